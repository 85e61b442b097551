"""A cabin that cools down, with its coil read from a table of solved ones."""

import functools
import math
from dataclasses import dataclass, replace

from thermo_kit.components.evaporator import EvaporatorConditions, EvaporatorSpec, solve_evaporator
from thermo_kit.components.evaporator.solve import CLOSEST
from thermo_kit.errors import NoSolutionError, OutOfRangeError, ThermoKitError
from thermo_kit.laws.closure import closed
from thermo_kit.substances.moist_air import (
    AIR_CONSTANT,
    EVAPORATION,
    VAPOUR_HEAT,
    WATER_HEAT,
    ZERO,
    air_temperature,
    humidity_at,
    moist_enthalpy,
    relative_humidity_at,
    saturated_humidity,
)
from thermo_kit.units import Amount, Checks, Said, Spec, count, format_both, quantity

STEPS = 8
_SPACING = 2.0
_HUMIDITY_ROWS = 36


@dataclass(frozen=True, slots=True)
class Behind:
    """What a coil gives for the air in front of it.

    h: enthalpy of the vent air [J/kg dry air]; humidity_ratio: of the vent air, with droplets [kg/kg];
    T: its temperature [K]; dry_air_flow [kg/s];
    cooling: taken by the refrigerant [W]; condensate: water that drips off [kg/s];
    drained: heat that this water carries off, zero at 0 °C [W]
    """

    h: float
    humidity_ratio: float
    T: float
    dry_air_flow: float
    cooling: float
    condensate: float
    drained: float


class CoilTable:
    """One coil at one blower speed and one evaporating temperature, for any air in front of it."""

    def __init__(self, coil: EvaporatorSpec, conditions: EvaporatorConditions):
        self._coil, self._conditions, self._nodes = coil, conditions, {}

    def solved(self, T, relative_humidity):
        """Solve the coil for one air; T [K], relative_humidity [-]."""
        front = replace(self._conditions, air_temperature=T, relative_humidity=relative_humidity)
        result = solve_evaporator(self._coil, front, steps=STEPS)
        vent, flow = result.vent, result.dry_air_flow
        heats = result.cooling_capacity, result.condensate, result.drained_heat
        return Behind(vent.h, vent.humidity_ratio, vent.T, flow, *heats)

    def read(self, T, relative_humidity):
        """Read the coil for one air between its four neighbours in the table; T [K], relative_humidity [-].

        Notes: Flow, cooling, condensate and its heat are read; vent temperature and humidity follow from the balances,
            so that reading between neighbours neither makes nor loses heat or water. At the border of what the coil can
            be asked, where a neighbour has no solution, the coil is solved itself.
        """
        # Rows lie closer in dry air, where hot air turns from leaving the fins dry to wetting them.
        across, along = (T - ZERO) / _SPACING, math.sqrt(relative_humidity) * _HUMIDITY_ROWS
        column, row = math.floor(across), min(math.floor(along), _HUMIDITY_ROWS - 1)
        try:
            corners = [self._node(column + i, row + j) for i, j in ((0, 0), (1, 0), (0, 1), (1, 1))]
        except ThermoKitError:
            return self.solved(T, relative_humidity)
        low, high = (((row + i) / _HUMIDITY_ROWS) ** 2 for i in (0, 1))
        x, y = across - column, (relative_humidity - low) / (high - low)
        shares = ((1.0 - x) * (1.0 - y), x * (1.0 - y), (1.0 - x) * y, x * y)
        a, b, c, d = shares
        flow, cooling, condensate, drained = (
            a * k + b * m + c * n + d * o for k, m, n, o in zip(*corners, strict=True)
        )
        p = self._conditions.air_pressure
        w = humidity_at(T, relative_humidity, p)
        h, behind = moist_enthalpy(T, w) - (cooling + drained) / flow, w - condensate / flow
        return Behind(h, behind, air_temperature(h, behind, p), flow, cooling, condensate, drained)

    def _node(self, column, row):
        node = self._nodes.get((column, row))
        if node is None:
            here = self.solved(ZERO + column * _SPACING, (row / _HUMIDITY_ROWS) ** 2)
            node = (here.dry_air_flow, here.cooling, here.condensate, here.drained)
            self._nodes[column, row] = node
        return node


@functools.lru_cache(maxsize=64)
def _kept(coil, conditions):
    return CoilTable(coil, conditions)


def coil_table(coil, conditions):
    """Return the table of a coil, kept from the last time it was asked for."""
    return _kept(coil, replace(conditions, air_temperature=300.0, relative_humidity=0.5))


PERSON_HEAT = 75.0
"""Heat of a seated person to the air [W]."""
PERSON_WATER = 55.0 / 2.43e6
"""Vapour of a seated person [kg/s]: 55 W of latent heat."""
_FADE = 1.0
_LOOKS = 12
_RELATIVE = 1e-5
_ABSOLUTE = [1.0, 1e-6, 1e-3, 1e-5, 10.0, 10.0, 10.0, 1e-5, 10.0, 1e-5]


_SHARE = "a share runs from 0 to 1: 20 % is 0.2"


class CabinSpec(Spec):
    """A cabin as two lumps, air and interior, under the sun.

    The interior is seats, trim and dashboard; of the sun that comes through the glass a share warms the air at once,
    the rest the interior; the fresh-air share is that part of the blower's air that comes from outside.

    Notes: Invented data fill it in this workbook. A person gives 75 W of heat and 55 W as vapour (order of magnitude of
        ASHRAE Handbook - Fundamentals, seated, from memory). The mass of air in the cabin is taken at the outside
        temperature; seats and trim take up no water.
    """

    volume: float = quantity("volume", 1.0, 100.0, "cabin volume", 6.0, advice="give the air in m³: 6000 litres are 6")
    interior_heat: float = quantity("heat_capacity", 1e3, 1e7, "heat capacity of the interior", 1.2e5)
    interior_conductance: float = quantity("conductance", 0.0, 5e3, "conductance to the interior", 90.0)
    wall_conductance: float = quantity("conductance", 0.0, 1e3, "conductance of the walls", 35.0)
    sun: float = quantity("power", 0.0, 1e4, "sun", 700.0)
    sun_on_air_share: float = quantity("ratio", 0.0, 1.0, "sun on the air", 0.2, advice=_SHARE)
    people: int = count(0, 60, "people", 1)
    fresh_air_share: float = quantity("ratio", 0.0, 1.0, "fresh-air share", 0.2, advice=_SHARE)


@dataclass(frozen=True, kw_only=True)
class PullDown:
    """A cabin over time, SI.

    time [s]; air, interior, vent: temperatures [K]; humidity: relative, of the cabin air, 0 to 1 [-];
    condensate: dripped off so far [kg]; cooling: of the coil [W];
    comfort_time: until the air is as wished, None if never [s];
    energy_closure: what cabin and dripped water hold at the end against all that went in and the coil's refrigerant
    took out, as a share of the heat moved;
    water_closure: the same for the water of air, people and coil, as a share of the water moved;
    notes: what to keep in mind, in plain words
    """

    time: tuple[float, ...]
    air: tuple[float, ...]
    interior: tuple[float, ...]
    humidity: tuple[float, ...]
    vent: tuple[float, ...]
    cooling: tuple[float, ...]
    condensate: tuple[float, ...]
    comfort_time: float | None
    energy_closure: float
    water_closure: float
    notes: tuple[str, ...] = ()


def pull_down(
    cabin: CabinSpec,
    outside: EvaporatorConditions,
    coil: EvaporatorSpec | None,
    *,
    start: float,
    wish: float,
    duration: float = 1800.0,
    points: int = 61,
    exact: bool = False,
):
    """Follow a hot cabin from the moment the blower and the cooling start.

    Parameters
    ----------
    cabin : CabinSpec. The cabin.
    outside : EvaporatorConditions
        Air outside (temperature, humidity), blower, refrigerant and its evaporating temperature.
    coil : EvaporatorSpec or None. None for a cabin with blower and cooling off.
    start : float, [K]. Air and interior at the start, above the outside air or equal, up to 80 °C.
    wish : float, [K]. Cabin air at which the driver is content.
    duration : float, [s]. How long to follow, 10 to 14400.
    points : int. How many moments to keep, 3 to 2000.
    exact : bool. Solve the coil at every moment instead of reading it from its table: slower, hardly different.

    Returns: PullDown. Temperatures, humidity, cooling and condensate over time. Raises OutOfRangeError if a temperature
        or a time is out of range; NoSolutionError if the integration stops, or a balance does not close.

    Notes: Balance of moist enthalpy and of water over well-mixed air and an interior of one temperature. The
        evaporating temperature is held from the first second, as a compressor with capacity to spare and good control
        would do. A real one cannot at the start of a hot pull-down: its suction pressure begins high and falls, so that
        the first minutes cool less than shown here and the wait is longer. Where the air in front of the coil comes
        within 1.5 K of the vapour that leaves it, the cooling is faded out over one kelvin, as a control does that
        stops the compressor: so a cabin with small gains is held there.

    References: Lumped capacitance: Incropera et al., Fundamentals of Heat and Mass Transfer, chapter 5.
    """
    import numpy as np
    from scipy.integrate import solve_ivp

    with Checks() as checks:
        checks.within("cabin at the start", start, outside.air_temperature, 353.15, kind="temperature")
        checks.within("wished temperature", wish, 283.15, 313.15, kind="temperature")
        checks.within("duration", duration, 10.0, 14400.0, kind="time")
        checks.whole("number of points", points, 3, 2000, advice="leave it out")
    model = _Model(cabin, outside, coil, exact)
    if coil is not None and start < model.coldest:
        leaves = Said("is not warmer than the vapour that leaves at {}", Amount(model.coldest - CLOSEST, "temperature"))
        advice = "lower the superheat or the evaporating temperature, or check whether air and coil were swapped"
        raise OutOfRangeError.about("cabin at the start", Amount(start, "temperature"), leaves, advice)
    times = np.linspace(0.0, duration, points)
    first = model.first(start)
    solved = solve_ivp(
        lambda t, y: model.rates(y), (0.0, duration), first, method="LSODA", t_eval=times, rtol=_RELATIVE,
        atol=_ABSOLUTE, first_step=0.1,
    )  # fmt: skip
    if not solved.success:
        raise NoSolutionError(f"the pull-down stopped: {solved.message}")
    h, w, interior, condensate = solved.y[:4].tolist()
    p = outside.air_pressure
    air = [air_temperature(a, b, p) for a, b in zip(h, w, strict=True)]
    behind = [model.behind(a, b) for a, b in zip(h, w, strict=True)]
    energy, water = model.closures(first, solved.y[:, -1].tolist())
    closed(energy_of_the_cabin=energy, water_of_the_cabin=water)
    return PullDown(
        time=tuple(times.tolist()),
        air=tuple(air),
        interior=tuple(interior),
        humidity=tuple(min(relative_humidity_at(T, x, p), 1.0) for T, x in zip(air, w, strict=True)),
        vent=tuple(b.T for b in behind),
        cooling=tuple(b.cooling for b in behind),
        condensate=tuple(condensate),
        comfort_time=_first_below(times, air, wish),
        energy_closure=energy,
        water_closure=water,
        notes=tuple(model.notes(h, w)),
    )


class _Model:
    """States: enthalpy and humidity of the cabin air, interior temperature; then what has passed so far:
    condensate, heat to the refrigerant, heat with the drained water, heat and water brought in, heat and water moved.
    """

    def __init__(self, cabin, outside, coil, exact):
        self.cabin, self.outside, self.spec = cabin, outside, coil
        table = None if coil is None else coil_table(coil, outside)
        self.coil = None if table is None else table.solved if exact else table.read
        self.pressure = outside.air_pressure
        self.outside_w = humidity_at(outside.air_temperature, outside.relative_humidity, self.pressure)
        self.outside_h = moist_enthalpy(outside.air_temperature, self.outside_w)
        self.coldest = outside.evaporating_temperature + outside.superheat + CLOSEST
        self.dry_mass = cabin.volume * self.pressure / (AIR_CONSTANT * outside.air_temperature)

    def first(self, start):
        return [moist_enthalpy(start, self.outside_w), self.outside_w, start, *[0.0] * 7]

    def mixed(self, h, w):
        """Enthalpy and humidity in front of the coil: cabin air with its share of fresh air."""
        fresh = self.cabin.fresh_air_share
        return fresh * self.outside_h + (1.0 - fresh) * h, fresh * self.outside_w + (1.0 - fresh) * w

    def freezes(self, h, w):
        """Tell whether water freezes on the coil with this air in the cabin."""
        T, humidity, _ = self.front(*self.mixed(h, w))
        front = replace(self.outside, air_temperature=max(T, self.coldest), relative_humidity=humidity)
        return solve_evaporator(self.spec, front, steps=STEPS).frost

    def front(self, h, w):
        """Temperature, humidity and droplets of the mixed air, as far as the coil may be asked for it.

        Two airs may mix to fog. Its droplets hang in the air and run off the coil with the rest.
        """
        p = self.pressure
        T = air_temperature(h, w, p)
        asked = max(T, self.coldest)
        share = relative_humidity_at(asked, w, p)
        if (share if asked == T else relative_humidity_at(T, w, p)) <= 1.0:
            return T, max(share, 0.0), 0.0
        droplets = max(w - saturated_humidity(T, p), 0.0)
        return T, min(relative_humidity_at(asked, w - droplets, p), 1.0), droplets

    def behind(self, h, w):
        """Vent air of cabin air mixed with fresh air and led through the coil."""
        p = self.pressure
        if self.coil is None:
            return Behind(h, w, air_temperature(h, w, p), 0.0, 0.0, 0.0, 0.0)
        mixed_h, mixed_w = self.mixed(h, w)
        T, humidity, droplets = self.front(mixed_h, mixed_w)
        behind = self.coil(max(T, self.coldest), humidity)
        on = min(max((T - self.coldest) / _FADE, 0.0), 1.0)
        if on == 1.0 and droplets == 0.0:
            return behind
        flow, off = behind.dry_air_flow, 1.0 - on
        dripped = on * flow * droplets
        vent_h, vent_w = on * behind.h + off * mixed_h, on * behind.humidity_ratio + off * mixed_w
        water, drained = on * behind.condensate + dripped, on * behind.drained + dripped * WATER_HEAT * (T - ZERO)
        return Behind(vent_h, vent_w, air_temperature(vent_h, vent_w, p), flow, on * behind.cooling, water, drained)

    def rates(self, y):
        cabin = self.cabin
        h, w, interior = float(y[0]), float(y[1]), float(y[2])
        T = air_temperature(h, w, self.pressure)
        vent = self.behind(h, w)
        flow, fresh = vent.dry_air_flow, cabin.fresh_air_share
        to_air = cabin.interior_conductance * (interior - T)
        walls = cabin.wall_conductance * (self.outside.air_temperature - T)
        sun_on_air = cabin.sun_on_air_share * cabin.sun
        breath = PERSON_WATER * cabin.people
        persons = PERSON_HEAT * cabin.people + (EVAPORATION + VAPOUR_HEAT * (T - ZERO)) * breath
        blown = flow * (vent.h - h)
        exchanged, wet = flow * fresh * (self.outside_h - h), flow * fresh * (self.outside_w - w)
        brought = walls + cabin.sun + persons + exchanged
        moved = abs(walls) + cabin.sun + persons + abs(exchanged) + vent.cooling + abs(vent.drained)
        return [
            (blown + to_air + walls + sun_on_air + persons) / self.dry_mass,
            (flow * (vent.humidity_ratio - w) + breath) / self.dry_mass,
            (cabin.sun - sun_on_air - to_air) / cabin.interior_heat,
            vent.condensate,
            vent.cooling,
            vent.drained,
            brought,
            wet + breath,
            moved,
            abs(wet) + breath + vent.condensate,
        ]

    def notes(self, h, w):
        if self.coil is None:
            return
        # A surface lies between refrigerant and air: above 0 °C nothing has to be solved.
        seen = range(len(h) - 1, -1, -max(len(h) // _LOOKS, 1)) if self.outside.evaporating_temperature < ZERO else ()
        if any(self.freezes(h[k], w[k]) for k in seen):
            yield (
                f"Water freezes on the coil: its surface is below {format_both(ZERO, 'temperature')}. In time the ice "
                "would close the coil: the minutes shown are too good."
            )
        yield (
            "The evaporating temperature is held from the first second, as a compressor with control and enough "
            "capacity would. A real one needs some minutes to get there: the first minutes are too cool here."
        )
        if air_temperature(*self.mixed(h[-1], w[-1]), self.pressure) < self.coldest + _FADE:
            yield "The cabin is as cold as the coil can make it: the control holds it there."

    def closures(self, first, last):
        """Energy and water stored at the end against what came and went; stored and passed are followed apart."""
        air_h, air_w = (self.dry_mass * (b - a) for a, b in zip(first[:2], last[:2], strict=True))
        interior = self.cabin.interior_heat * (last[2] - first[2])
        condensate, cooling, drained, brought, water, moved, water_moved = last[3:]
        # In dry, closed air nothing moves: then a part of the water that is there is the scale.
        most = max(water_moved, 1e-3 * self.dry_mass * first[1], 1e-9)
        energy = abs(air_h + interior + cooling + drained - brought) / max(moved, 1.0)
        return energy, abs(air_w + condensate - water) / most


def _first_below(times, air, wish):
    i = next((i for i, T in enumerate(air) if wish >= T), None)
    if not i:
        return None if i is None else 0.0
    share = (air[i - 1] - wish) / (air[i - 1] - air[i])
    return float(times[i - 1] + share * (times[i] - times[i - 1]))
