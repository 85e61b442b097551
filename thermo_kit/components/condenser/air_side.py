"""The air side of a core: how much air each pass gets, and what one metre of its tubes can give to it."""

import functools
from dataclasses import dataclass

from thermo_kit.components.dry_air import AIR_SPECIFIC_HEAT, dry_air
from thermo_kit.components.fan import fan_operating_point
from thermo_kit.components.louvered_fins import FASTEST_FACE, fin_geometry, fin_surface
from thermo_kit.errors import NoSolutionError


@dataclass(frozen=True, slots=True)
class PassAir:
    """The air of one pass: top [-] and bottom [-] as shares of the core's height from the top; open_share of its face;
    velocity in front of the open part [m/s]; conductance (air side) and capacity_rate, both for one metre of one
    tube with open fins [W/(m K)]."""

    top: float
    bottom: float
    open_share: float
    velocity: float
    conductance: float
    capacity_rate: float


@dataclass(frozen=True, slots=True)
class AirSide:
    """The air through a core: volume_flow [m³/s] at inlet density; mass_flow [kg/s]; face_velocity [m/s] averaged
    over the whole face; core_pressure_drop [Pa]; fan_power [W]; face_area [m²]; passes; notes."""

    volume_flow: float
    mass_flow: float
    face_velocity: float
    core_pressure_drop: float
    fan_power: float
    face_area: float
    passes: tuple[PassAir, ...]
    notes: tuple[str, ...]


def pass_spans(spec):
    """Return where each pass lies in the core.

    Parameters
    ----------
    spec : CondenserSpec. The core.

    Returns: tuple of tuple of float, [-]. (top, bottom) of each pass in flow order, as shares of the core's height from
        the top.

    Notes: Geometry: passes run from the top down. With the subcooling pass at the top, the last pass lies above all
        others.
    """
    total = sum(spec.tubes)
    order = list(range(len(spec.tubes)))
    if spec.subcooling_pass_at == "top":
        order = [order[-1], *order[:-1]]
    spans, done = [None] * len(order), 0
    for index in order:
        spans[index] = (done / total, (done + spec.tubes[index]) / total)
        done += spec.tubes[index]
    return tuple(spans)


@functools.lru_cache(maxsize=64)
def air_side(spec, air):
    """Return how much air a core gets from fan and wind, and how it is shared out.

    Parameters
    ----------
    spec : CondenserSpec. The core.
    air : AirConditions. The air in front of it.

    Returns: AirSide. Flow, pressure drop, fan power, and the air of each pass. Raises NoSolutionError if no air moves,
        or all of the face is blocked.

    Notes: The resistance is that of the open face at its average velocity. The fan is taken to work in air of inlet
        density, though it draws air that is 10 to 15 K warmer and 3 to 5 per cent thinner: the true flow is a little
        less.

    References: Fins as in `thermo_kit.components.louvered_fins`; operating point as in `thermo_kit.components.fan`.
    """
    geometry = fin_geometry(spec.fins)
    total = sum(spec.tubes)
    tube_face = geometry.tube_pitch * spec.tube_length
    face_area = total * tube_face
    inlet = dry_air(T=air.temperature, p=air.pressure)
    spans = pass_spans(spec)
    opens = [(1.0 - spec.blocked_fraction) * (1.0 - _mean_of_bands(spec.blocked_profile, *span)) for span in spans]
    weights = [_mean_of_bands(spec.air_profile, *span) for span in spans]
    areas = [count * tube_face * share for count, share in zip(spec.tubes, opens, strict=True)]
    open_area = sum(areas)
    if open_area < 0.02 * face_area:
        raise NoSolutionError.about("core face", "is blocked", "all but shut", "clear the face first")

    def resistance(flow):
        # The search for the flow may look beyond the fin data; what it finds is checked against them below.
        velocity = flow / open_area
        known = min(velocity, 0.99 * FASTEST_FACE)
        core = fin_surface(spec.fins, face_velocity=known, air=inlet).pressure_drop * (velocity / known) ** 2
        return core + spec.front_resistance * inlet.density / 1.2 * flow**2

    if air.face_velocity is not None:
        flow, fan_power = air.face_velocity * face_area, 0.0
    else:
        ram = air.ram_recovery * 0.5 * inlet.density * air.driving_speed**2
        point = fan_operating_point(
            spec.fan, resistance, speed_share=air.fan_speed_share, density=inlet.density, ram_pressure=ram
        )
        flow, fan_power = point.volume_flow, point.electric_power
    mean = fin_surface(spec.fins, face_velocity=flow / open_area, air=inlet)
    scale = flow / sum(a * w for a, w in zip(areas, weights, strict=True))
    passes = []
    for span, share, weight in zip(spans, opens, weights, strict=True):
        velocity = scale * weight
        fins = fin_surface(spec.fins, face_velocity=velocity, air=inlet)
        rate = inlet.density * velocity * geometry.tube_pitch * AIR_SPECIFIC_HEAT
        passes.append(PassAir(*span, share, velocity, fins.conductance, rate))
    return AirSide(
        flow, flow * inlet.density, flow / face_area, mean.pressure_drop, fan_power, face_area, tuple(passes),
        mean.notes,
    )  # fmt: skip


def _mean_of_bands(bands, top, bottom):
    count = len(bands)
    total = 0.0
    for number, value in enumerate(bands):
        overlap = min(bottom, (number + 1) / count) - max(top, number / count)
        total += value * max(overlap, 0.0)
    return total / (bottom - top)
