"""Solve a condenser: walk the refrigerant through its passes, from hot gas to whatever leaves."""

import functools
import math
from bisect import bisect_right
from dataclasses import dataclass

from thermo_kit.components.condenser import spec as condenser
from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.laws.closure import closed
from thermo_kit.laws.exchange import effectiveness, mean_share
from thermo_kit.laws.films import condensing_coefficient, single_phase_coefficient
from thermo_kit.laws.friction import single_phase_friction, two_phase_friction
from thermo_kit.laws.void import void_fraction
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.refrigerant import SaturationTable, saturation_table
from thermo_kit.units import Amount, Checks, Said
from thermo_kit.units.look import percent

HIGHEST_REDUCED_PRESSURE = 0.95


class SinglePhaseLine:
    """Vapour or liquid at one pressure, told by how far its enthalpy is from saturation.

    At another pressure nearby `offset` says how much farther that pressure's own saturation lies.
    """

    def __init__(self, refrigerant, p, saturation_temperature, quality, farthest, steps):
        edge = refrigerant.at(p=p, x=quality)
        first = refrigerant.saturation(saturation_temperature)
        kind = "vapour" if quality == 1.0 else "liquid"
        names = ("specific_heat", "viscosity", "conductivity")
        rows = [(0.0, 0.0, edge.rho, *(getattr(first, f"{kind}_{name}") for name in names))]
        for i in range(1, steps + 1):
            T = saturation_temperature + (farthest - saturation_temperature) * i / steps
            state, transport = refrigerant.at(p=p, T=T), refrigerant.transport(p=p, T=T)
            rows.append(
                (abs(state.h - edge.h), abs(T - saturation_temperature), state.rho,
                 transport.specific_heat, transport.viscosity, transport.conductivity)
            )  # fmt: skip
        self._excess = [row[0] for row in rows]
        self._rows = rows

    def at(self, excess, offset=0.0):
        """Return (temperature distance from saturation, density, specific heat, viscosity, conductivity)."""
        values = self._at(excess + offset)
        return (values[0] - self._at(offset)[0], *values[1:]) if offset else values

    def _at(self, excess):
        index = min(max(bisect_right(self._excess, excess) - 1, 0), len(self._rows) - 2)
        a, b = self._rows[index], self._rows[index + 1]
        span = b[0] - a[0]
        w = (excess - a[0]) / span
        # Hermite's cubic with the exact slopes 1/cp, so that a handful of exact states is enough.
        slope_a, slope_b = span / a[3], span / b[3]
        if 0.0 <= w <= 1.0:
            u = 1.0 - w
            distance = a[1] * u * u * (1.0 + 2.0 * w) + slope_a * w * u * u
            distance += b[1] * w * w * (3.0 - 2.0 * w) - slope_b * w * w * u
        elif w > 1.0:
            distance = b[1] + (w - 1.0) * slope_b
        else:
            distance = a[1] + w * slope_a
        v = min(max(w, 0.0), 1.0)
        return (distance, a[2] + v * (b[2] - a[2]), a[3] + v * (b[3] - a[3]),
                a[4] + v * (b[4] - a[4]), a[5] + v * (b[5] - a[5]))  # fmt: skip


@functools.lru_cache(maxsize=512)
def single_phase_lines(name, p, inlet_temperature, air_temperature):
    """Return (vapour line up to the inlet, liquid line down to the air) at the inlet pressure."""
    refrigerant = Refrigerant(name)
    saturation_temperature = refrigerant.dew_temperature(p)
    top = max(inlet_temperature, saturation_temperature + 1.0)
    vapour = SinglePhaseLine(refrigerant, p, saturation_temperature, 1.0, top, 4)
    liquid = SinglePhaseLine(refrigerant, p, saturation_temperature, 0.0, air_temperature - 1.0, 3)
    return vapour, liquid


_TINY = 1e-3
_STAGES = 6


class Tube:
    """One tube with its share of air. `advance` walks one step; the object keeps enthalpy, pressure and sums."""

    def __init__(self, spec, fluid, pass_air, tube_flow, air_temperature):
        self.fluid, self.air, self.flow = fluid, pass_air, tube_flow
        self.diameter = spec.port_diameter
        self.area = spec.ports * 0.25 * math.pi * spec.port_diameter**2
        self.inner_perimeter = spec.ports * math.pi * spec.port_diameter
        self.flux = tube_flow / self.area
        self.air_temperature = air_temperature
        self.lengths = {"vapour": 0.0, "two-phase": 0.0, "liquid": 0.0}
        self.trailing_liquid = 0.0
        self.last_slope = 0.0
        self.last_grip = None

    def grip(self, coefficient):
        """Return heat flow per metre of tube and per kelvin between refrigerant and entering air [W/(m K)]."""
        air = self.air
        conductance = 1.0 / (1.0 / (coefficient * self.inner_perimeter) + 1.0 / air.conductance)
        return air.open_share * air.capacity_rate * effectiveness(conductance / air.capacity_rate)

    def advance(self, h, p, length):
        """Walk one step: return (enthalpy, pressure, mass held, heat to air) at its end."""
        s = self.fluid.table.at(p - 0.5 * self.last_slope * length)
        left, drop, mass, heat = length, 0.0, 0.0, 0.0
        volume = specific_volume(self.fluid, s, h)
        for _ in range(_STAGES):
            if h - s.vapour_enthalpy > _TINY:
                phase, stage = "vapour", self._gas
            elif h - s.liquid_enthalpy > _TINY:
                phase, stage = "two-phase", self._mixture
            else:
                phase, stage = "liquid", self._liquid
            h, used, friction, density, given = stage(h, s, left)
            self.lengths[phase] += used
            self.trailing_liquid = self.trailing_liquid + used if phase == "liquid" else 0.0
            drop += friction * used
            mass += density * self.area * used
            heat += given
            left -= used
            if left <= 1e-12 * length:
                break
        self.last_slope = drop / length
        # Slowing down gives pressure back: homogeneous momentum balance.
        drop += self.flux**2 * (specific_volume(self.fluid, s, h) - volume)
        return h, p - drop, mass, heat

    def _pure(self, viscosity, conductivity, specific_heat):
        return single_phase_coefficient(
            mass_flux=self.flux, diameter=self.diameter, viscosity=viscosity, conductivity=conductivity,
            specific_heat=specific_heat,
        )  # fmt: skip

    def _single(self, line, excess, s, left, *, sign, density_scale=1.0, offset=0.0):
        """What vapour (sign 1) or liquid (sign -1) does over a length: density, friction, mean specific heat, distance
        from saturation, grip, how much warmer than the air it is, and by how much it cools."""
        distance, density, cp, viscosity, conductivity = line.at(excess, offset)
        density *= density_scale
        friction = single_phase_friction(
            mass_flux=self.flux, diameter=self.diameter, density=density, viscosity=viscosity
        )
        grip = self.grip(self._pure(viscosity, conductivity, cp))
        warm = s.T + sign * distance - self.air_temperature
        fall = warm * effectiveness(grip * left / (self.flow * cp))
        cp = line.at(max(excess - sign * 0.5 * cp * fall, 0.0), offset)[2]
        fall = warm * effectiveness(grip * left / (self.flow * cp))
        return density, friction, cp, distance, grip, warm, fall

    def _gas(self, h, s, left):
        excess, scale = h - s.vapour_enthalpy, s.p / self.fluid.line_pressure
        density, friction, cp, distance, grip, warm, fall = self._single(
            self.fluid.vapour, excess, s, left, sign=1.0, density_scale=scale
        )
        used, after = left, h - cp * fall
        if cp * fall >= excess:
            cp, after = excess / distance, s.vapour_enthalpy
            used = min(self.flow * cp / grip * -math.log1p(-min(distance / warm, 1.0 - 1e-12)), left)
        return after, used, friction, density, grip * used * warm * mean_share(grip * used / (self.flow * cp))

    def _mixture(self, h, s, left):
        latent = s.vapour_enthalpy - s.liquid_enthalpy
        x = (h - s.liquid_enthalpy) / latent
        warm = s.T - self.air_temperature
        ends = self._ends(s)
        if self.last_grip is None:
            self.last_grip = self.grip(self._film(x, s, ends))
        middle = max(x - 0.5 * self.last_grip * warm * left / (self.flow * latent), 0.5 * x)
        grip = self.grip(self._film(middle, s, ends))
        used, after = left, h - grip * warm * left / self.flow
        if after <= s.liquid_enthalpy:
            after = s.liquid_enthalpy
            used = min(self.flow * (h - after) / (grip * warm), left)
        self.last_grip = grip
        friction = two_phase_friction(mass_flux=self.flux, diameter=self.diameter, quality=middle, saturation=s)
        end = (after - s.liquid_enthalpy) / latent
        density = (self._density(x, s) + 4.0 * self._density(0.5 * (x + end), s) + self._density(end, s)) / 6.0
        return after, used, friction, density, grip * warm * used

    def _ends(self, s):
        _, _, cp, viscosity, conductivity = self.fluid.vapour.at(0.0)
        liquid = self._pure(s.liquid_viscosity, s.liquid_conductivity, s.liquid_specific_heat)
        return liquid, self._pure(viscosity, conductivity, cp)

    def _film(self, x, s, ends):
        return condensing_coefficient(
            mass_flux=self.flux, diameter=self.diameter, quality=x, saturation=s,
            critical_pressure=self.fluid.critical_pressure, liquid=ends[0], vapour=ends[1],
        )  # fmt: skip

    def _density(self, x, s):
        void = void_fraction(x, s)
        return void * s.vapour_density + (1.0 - void) * s.liquid_density

    def _liquid(self, h, s, left):
        excess = max(s.liquid_enthalpy - h, 0.0)
        offset = self.fluid.line_liquid_enthalpy - s.liquid_enthalpy
        density, friction, cp, _, grip, warm, fall = self._single(
            self.fluid.liquid, excess, s, left, sign=-1.0, offset=offset
        )
        return h - cp * fall, left, friction, density, grip * left * warm * mean_share(grip * left / (self.flow * cp))


def specific_volume(fluid, s, h):
    """Return the specific volume at an enthalpy, vapour and liquid taken to move together [m³/kg]."""
    if h >= s.vapour_enthalpy:
        return fluid.line_pressure / (s.p * fluid.vapour.at(h - s.vapour_enthalpy)[1])
    if h <= s.liquid_enthalpy:
        return 1.0 / fluid.liquid.at(s.liquid_enthalpy - h)[1]
    x = (h - s.liquid_enthalpy) / (s.vapour_enthalpy - s.liquid_enthalpy)
    return x / s.vapour_density + (1.0 - x) / s.liquid_density


ENTRY_LOSS = 0.5
LARGEST_DROP_SHARE = 0.4
FLASH_LIMIT = 0.003
# What is just condensed may keep a trace of vapour, since the search for the pressure stops there.
DRY = 1e-5
LOWEST_CONDENSING_TEMPERATURE = 253.15
# At small flow the walk meets the temperature of the air but for rounding.
COLDER_THAN_AIR = 0.05


@dataclass(frozen=True, slots=True)
class _Fluid:
    table: SaturationTable
    vapour: SinglePhaseLine
    liquid: SinglePhaseLine
    line_pressure: float
    line_liquid_enthalpy: float
    enthalpy_shift: float
    critical_pressure: float

    def subcooling(self, s, h):
        return self.liquid.at(s.liquid_enthalpy - h, self.line_liquid_enthalpy - s.liquid_enthalpy)[0]


def solve_condenser(spec, inlet, air):
    """Follow the refrigerant through a condenser, pass by pass and step by step.

    Parameters
    ----------
    spec : CondenserSpec. The core.
    inlet : Stream. Hot gas, 0.0005 to 1 kg/s, below 95 % of the critical pressure.
    air : AirConditions. The air in front of the core.

    Returns: CondenserResult. State along the path and at each pass end, heat, pressure drop, charge, air, notes,
        outlet. Raises OutOfRangeError if the pressure is not one at which this refrigerant condenses, the inlet is not
        vapour, or the air is hotter than the refrigerant; NoSolutionError if no air moves, the refrigerant's pressure
        drop becomes absurd, or the heat balance does not close.

    Notes: Each step meets air of inlet temperature (one row of tubes). Gas is cooled to its dew temperature before
        condensing begins, though a cold wall condenses earlier. The receiver neither takes nor gives heat: what enters
        leaves, saturated liquid in steady running with a free surface. If vapour reaches it, the vapour is carried on
        and a note says so. Scatter of the correlations: film and friction about 15 to 30 per cent. At five points of a
        measured two-slab core the condensing temperature came out 5 to 18 per cent less above the air than measured.

    References: Effectiveness-NTU for one stream of constant temperature and for cross-flow (Kays & London, Compact Heat
        Exchangers); films, friction and void as in `thermo_kit.laws`; fins as in `thermo_kit.components.louvered_fins`.

    Examples
    --------
    >>> from thermo_kit.fleet import part_of
    >>> from thermo_kit.components.condenser import AirConditions
    >>> from thermo_kit.substances.stream import stream_at
    >>> hot_gas = stream_at("R-1234yf", 0.04, p=1.5e6, T=345.0)
    >>> result = solve_condenser(part_of("parcel_van", "condenser"), hot_gas, AirConditions(temperature=308.15))
    >>> result.energy_closure < 1e-6, result.outlet.mass_flow
    (True, 0.04)
    """
    refrigerant, hot, dew = _checked(inlet, air)
    side = condenser.air_side(spec, air)
    vapour, liquid = single_phase_lines(refrigerant.name, inlet.pressure, hot, air.temperature)
    table = saturation_table(refrigerant.name)
    start = table.at(inlet.pressure)
    # The table's own saturation differs from the exact one by a hair; counting from it keeps the walk seamless.
    shift = start.vapour_enthalpy - refrigerant.at(p=inlet.pressure, x=1.0).h
    fluid = _Fluid(table, vapour, liquid, inlet.pressure, start.liquid_enthalpy, shift, refrigerant.critical_pressure)
    h, p = inlet.enthalpy + shift, inlet.pressure

    path, passes, feed, last, air_heat = [], [], None, None, 0.0
    for index, count in enumerate(spec.tubes):
        h, p, heat, done, vapour_end = _walk_pass(spec, fluid, side.passes[index], index, count, inlet, air, h, p, path)
        air_heat += heat
        passes.append(done)
        if vapour_end is not None:
            last = _last_vapour(passes, vapour_end, last)
        if spec.receiver_after == index + 1:
            feed = _feed(table.at(p), fluid, h, index + 1)
    if passes[-1].phase != "liquid" and passes[-1].quality != 0.0:
        last = None
    heat_rejection = inlet.flow * (inlet.enthalpy + shift - h)
    below_air = any(one.phase == "two-phase" and one.temperature < air.temperature - COLDER_THAN_AIR for one in path)
    warmed = sum(pa.capacity_rate * pa.open_share * n for pa, n in zip(side.passes, spec.tubes, strict=True))
    return condenser.CondenserResult(
        spec=spec, inlet=inlet, air=air, air_side=side, path=tuple(path), passes=tuple(passes), receiver=feed,
        last_vapour=last, inlet_temperature=hot, condensing_temperature=dew, heat_rejection=heat_rejection,
        outlet_enthalpy=h - shift, air_temperature=air.temperature + air_heat / (warmed * spec.tube_length),
        energy_closure=closed(condenser_heat=(air_heat - heat_rejection) / max(abs(air_heat), abs(heat_rejection))),
        notes=tuple(_notes(spec, side, passes, feed, below_air)),
    )  # fmt: skip


def _last_vapour(passes, vapour_end, last):
    """Leave out the little that saturated liquid flashes on entering a tube: that is not the vapour asked for."""
    number = len(passes)
    before = passes[-2] if number > 1 else None
    if before is None or before.phase == "vapour" or (before.quality or 0.0) >= FLASH_LIMIT:
        return condenser.LastVapour(number, vapour_end)
    return last or condenser.LastVapour(number - 1, 1.0)


def _walk_pass(spec, fluid, pass_air, index, count, inlet, air, h, p, path):
    """Return (enthalpy, pressure, heat to the air, result, where the last vapour goes or None) at the pass's end."""
    tube = Tube(spec, fluid, pass_air, inlet.flow / count, air.temperature)
    lowest = (1.0 - LARGEST_DROP_SHARE) * inlet.pressure
    p_start, h_start = p, h
    p -= (1.0 + ENTRY_LOSS) * 0.5 * tube.flux**2 * specific_volume(fluid, fluid.table.at(p), h)
    if p < lowest:
        raise _too_much_drop(inlet, index)
    length = spec.tube_length / spec.segments
    rate = count * pass_air.capacity_rate * pass_air.open_share * length
    path.append(_point(fluid, index, 0.0, h, p, 0.0, 0.0, air.temperature))
    charge = heat = 0.0
    for step in range(1, spec.segments + 1):
        h, p, mass, given = tube.advance(h, p, length)
        if p < lowest:
            raise _too_much_drop(inlet, index)
        charge += mass * count
        heat += given * count
        warmed = air.temperature + (given * count / rate if rate > 0.0 else 0.0)
        path.append(_point(fluid, index, step / spec.segments, h, p, mass * count, given * count, warmed))
    end = path[-1]
    vapour_end = None
    if end.phase == "liquid" and path[-1 - spec.segments].phase != "liquid":
        vapour_end = 1.0 - tube.trailing_liquid / spec.tube_length
    done = condenser.PassResult(
        number=index + 1, tubes=count, top=pass_air.top, bottom=pass_air.bottom, mass_flux=tube.flux,
        quality=end.quality, phase=end.phase, temperature=end.temperature, pressure=p,
        specific_enthalpy=h - fluid.enthalpy_shift,
        subcooling=max(fluid.table.at(p).T - end.temperature, 0.0) if end.phase == "liquid" else 0.0,
        heat_flow=inlet.flow * (h_start - h), pressure_drop=p_start - p, charge=charge,
        air_temperature=air.temperature + (heat / (rate * spec.segments) if rate > 0.0 else 0.0),
        **{f"{phase.replace('-', '_')}_share": used / spec.tube_length for phase, used in tube.lengths.items()},
    )  # fmt: skip
    return h, p, heat, done, vapour_end


def _point(fluid, index, position, h, p, charge, heat, air_temperature):
    s = fluid.table.at(p)
    if h > s.vapour_enthalpy:
        phase, x, T = "vapour", None, s.T + fluid.vapour.at(h - s.vapour_enthalpy)[0]
    elif h < s.liquid_enthalpy:
        phase, x, T = "liquid", None, s.T - fluid.subcooling(s, h)
    else:
        phase, x, T = "two-phase", (h - s.liquid_enthalpy) / (s.vapour_enthalpy - s.liquid_enthalpy), s.T
    return condenser.PathPoint(
        x, phase, T, p, h - fluid.enthalpy_shift, charge, heat, air_temperature, index + 1, position
    )


def _feed(s, fluid, h, after_pass):
    above = h - s.liquid_enthalpy
    quality = min(max(above / (s.vapour_enthalpy - s.liquid_enthalpy), 0.0), 1.0)
    subcooling = fluid.subcooling(s, h) if above < 0.0 else 0.0
    return condenser.ReceiverFeed(after_pass, quality, subcooling, above, s.p, above > 1.0)


def _checked(inlet, air):
    """Return (refrigerant, inlet temperature, dew temperature), or say why this does not condense."""
    refrigerant = Refrigerant(inlet.refrigerant)
    with Checks() as checks:
        condenser.FLOW.check(checks, inlet.flow)
        checks.within("condensing pressure", inlet.pressure, 0.0, 1e8, kind="pressure", exclusive=True)
    limit = HIGHEST_REDUCED_PRESSURE * refrigerant.critical_pressure
    if inlet.pressure > limit:
        above = inlet.pressure >= refrigerant.critical_pressure
        advice = "above the critical pressure nothing condenses: that core is a gas cooler, and this is not its model"
        raise OutOfRangeError.about(
            "condensing pressure", Amount(inlet.pressure, "pressure"),
            Said("is above {} (95 % of the critical pressure of {})", Amount(limit, "pressure"), refrigerant.name),
            advice if above else "so near the critical point the correlations fail; check the number and its unit",
        )  # fmt: skip
    low = refrigerant.dew_pressure(LOWEST_CONDENSING_TEMPERATURE)
    checks.within("condensing pressure", inlet.pressure, low, limit, kind="pressure")
    checks.raise_if_any()
    dew, hot = refrigerant.dew_temperature(inlet.pressure), inlet.state.T
    checks.within("condenser inlet temperature", hot, 0.0, refrigerant.highest_temperature - 1.0, kind="temperature")
    if hot < dew + 0.05:
        checks.add(
            "condenser inlet temperature", Amount(hot, "temperature"),
            Said("is below the dew temperature {} at {}", Amount(dew, "temperature"),
                 Amount(inlet.pressure, "pressure")),
            "hot gas enters a condenser: check whether the pressure is gauge or absolute, and which line was measured",
        )  # fmt: skip
    if air.temperature > dew - 0.5:
        checks.add(
            "condenser inlet air", Amount(air.temperature, "temperature"),
            Said("is not colder than the condensing temperature {} by {} or more", Amount(dew, "temperature"),
                 Amount(0.5, "temperature_difference")),
            "heat cannot flow to hotter air: check °C and °F, or raise the condensing pressure",
        )  # fmt: skip
    checks.raise_if_any()
    return refrigerant, hot, dew


def _too_much_drop(inlet, index):
    told = f"more than {percent(LARGEST_DROP_SHARE)} of the inlet pressure {{}}"
    limit = Said(told, Amount(inlet.pressure, "pressure"))
    advice = "the flow is too large for these tubes: fewer kilograms per second, more tubes in the pass, larger ports"
    return NoSolutionError.about(f"pressure drop in pass {index + 1}", "eats up", limit, advice)


def _notes(spec, side, passes, feed, below_air):
    yield from side.notes
    if below_air:
        yield (
            "the pressure drop makes the refrigerant colder than the air before it has condensed: there it takes "
            "heat in, and more flow would not help"
        )
    if feed is not None and feed.vapour_carried:
        text = f"vapour reaches the receiver ({percent(feed.quality)} by mass)"
        if spec.receiver_after < len(spec.tubes):
            text += "; in steady running it is carried on into the next pass, which must finish condensing"
        yield text
    elif feed is not None and feed.subcooling > 0.1:
        yield (
            Said(
                "liquid reaches the receiver {} subcooled; a receiver with vapour above its liquid would bring the "
                "pressure down until it arrives just saturated, so this one is full",
                Amount(feed.subcooling, "temperature_difference"),
            )
        )
    end = passes[-1]
    if end.phase == "vapour" or (end.quality or 0.0) > DRY:
        yield "vapour leaves the core: this pressure is too low to condense the whole flow"
    if spec.port_diameter < 3e-3:
        yield (
            Said("channels below {} lie outside the data of the condensing film; the air side decides the duty",
                 Amount(3e-3, "length"))
        )  # fmt: skip
