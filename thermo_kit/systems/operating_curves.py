"""One loop with one pump: what the pump gives, what the loop takes, and the flow at which both agree."""

from dataclasses import dataclass, replace

from thermo_kit.components.pipe import pipe_flow
from thermo_kit.components.pump import PumpResult, PumpSpec, operating_point, pump_head
from thermo_kit.errors import InputError, NoSolutionError
from thermo_kit.laws.constants import GRAVITY
from thermo_kit.substances import Coolant


@dataclass(frozen=True, slots=True)
class OperatingCurves:
    """Both curves of a loop and where they meet.

    pump: the pump; flows: flows of the curves [m³/s]; pump_pressure, healthy_pressure: what the pump gives now, and
    healthy at full speed [Pa]; loop_pressure: what the loop takes [Pa]; point: the pump where both agree, None where
    nothing flows; shares: pairs (branch, pressure lost [Pa]) at the point; density [kg/m³]; viscosity [Pa s];
    freezing_point [K].
    """

    pump: PumpSpec
    flows: tuple[float, ...]
    pump_pressure: tuple[float, ...]
    healthy_pressure: tuple[float, ...]
    loop_pressure: tuple[float, ...]
    point: PumpResult | None
    shares: tuple[tuple[str, float], ...]
    density: float
    viscosity: float
    freezing_point: float


def operating_curves(spec, pump_branch, *, temperature, count=31):
    """Return pump curve, loop curve and operating point of a loop whose coolant has one temperature.

    temperature [K].

    Notes: Series losses add. A reversed pump is refused: its curve lies on the other side of zero.

    References: Cengel & Cimbala, Fluid Mechanics, section 14-2 (operating point) and chapter 8 (losses in series).

    Examples
    --------
    >>> from thermo_kit.systems.coolant_network import load_layout
    >>> curves = operating_curves(load_layout("two_loops"), "drive pump", temperature=298.15)
    >>> 18 < curves.point.volume_flow * 60e3 < 23
    True
    """
    ring = _ring(spec, pump_branch)
    pump = ring[0].pump
    coolant = Coolant(spec.coolant, mass_fraction=spec.mass_fraction)
    density, viscosity = coolant.density(temperature), coolant.viscosity(temperature)

    def taken(branch, flow):
        return pipe_flow(branch.passage, volume_flow=flow, density=density, viscosity=viscosity).pressure_drop

    def loss(flow):
        return sum(taken(branch, flow) for branch in ring)

    try:
        point = operating_point(pump, loss, density=density)
    except NoSolutionError:
        point = None
    flow = point.volume_flow if point else 0.0
    healthy = replace(pump, speed_share=1.0, condition="healthy")
    flows = tuple(1.05 * pump.run_out_flow * k / (count - 1) for k in range(count))
    return OperatingCurves(
        pump=pump,
        flows=flows,
        pump_pressure=tuple(density * GRAVITY * pump_head(pump, one)[0] for one in flows),
        healthy_pressure=tuple(density * GRAVITY * pump_head(healthy, one)[0] for one in flows),
        loop_pressure=tuple(loss(one) for one in flows),
        point=point,
        shares=tuple((branch.name, taken(branch, flow)) for branch in ring),
        density=density,
        viscosity=viscosity,
        freezing_point=coolant.freezing_point,
    )


def _ring(spec, pump_branch):
    """Return the branches in the order of the flow, the pump's first."""
    first = spec.branch(pump_branch)
    if first.pump is None or first.pump.condition == "reversed":
        advice = "name another branch"
        raise InputError.about("pump of the loop", repr(pump_branch), "has no pump that pushes forwards", advice)
    ring, here = [first], first.end
    while here != first.start:
        following = [branch for branch in spec.branches if branch.start == here]
        if len(following) != 1 or following[0] in ring:
            advice = "take a loop without fork or valve"
            raise InputError.about("loop", f"does not go on as one way after {here!r}", "", advice)
        ring.append(following[0])
        here = following[0].end
    return ring
