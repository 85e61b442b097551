"""How fast a hot cabin cools: its air, its interior as one mass, the sun, and the coil."""

from dataclasses import dataclass

from thermo_kit.checks import Checks
from thermo_kit.components.evaporator import EvaporatorConditions, EvaporatorSpec, humidity_at, saturated_humidity
from thermo_kit.components.evaporator.air import AIR_CONSTANT, DRY_AIR_HEAT, VAPOUR_HEAT, relative_humidity_at
from thermo_kit.errors import NoSolutionError
from thermo_kit.systems.coil_table import coil_table


@dataclass(frozen=True, kw_only=True)
class CabinSpec:
    """A cabin as two lumps, air and interior, under the sun.

    Parameters
    ----------
    volume : float, [m³]
        Of air, 1 to 100.
    interior_heat : float, [J/K]
        Heat capacity of seats, trim and dashboard, 1e3 to 1e7.
    interior_conductance : float, [W/K]
        Between interior and air, 0 to 5000.
    wall_conductance : float, [W/K]
        Between outside and cabin air, 0 to 1000.
    sun : float, [W]
        Sun that comes through the glass, 0 to 10000.
    sun_on_air_share : float
        Part of it that warms the air at once; the rest warms the interior.
    people : int
        In the cabin, 0 to 60.
    fresh_air_share : float
        Part of the blower's air that comes from outside.

    Notes
    -----
    Invented data fill it in this workbook. A person gives 75 W of heat and 55 W as vapour (order of magnitude of
    ASHRAE Handbook - Fundamentals, seated, from memory).
    """

    volume: float = 6.0
    interior_heat: float = 1.2e5
    interior_conductance: float = 90.0
    wall_conductance: float = 35.0
    sun: float = 700.0
    sun_on_air_share: float = 0.2
    people: int = 1
    fresh_air_share: float = 0.2

    def __post_init__(self):
        checks = Checks()
        checks.within("cabin volume", self.volume, 1.0, 100.0, kind="ratio")
        checks.within("heat capacity of the interior", self.interior_heat, 1e3, 1e7, kind="ratio")
        checks.within("conductance to the interior", self.interior_conductance, 0.0, 5e3, kind="ratio")
        checks.within("conductance of the walls", self.wall_conductance, 0.0, 1e3, kind="ratio")
        checks.within("sun", self.sun, 0.0, 1e4, kind="power")
        share = "a share runs from 0 to 1: 20 % is 0.2"
        checks.within("sun on the air", self.sun_on_air_share, 0.0, 1.0, kind="ratio", advice=share)
        checks.within("people", self.people, 0, 60, kind="ratio")
        checks.within("fresh-air share", self.fresh_air_share, 0.0, 1.0, kind="ratio", advice=share)
        checks.raise_if_any()


@dataclass(frozen=True, kw_only=True)
class PullDown:
    """A cabin over time, SI.

    time [s]; air, interior, vent: temperatures [K]; humidity: relative, of the cabin air, 0 to 1 [-];
    condensate: dripped off so far [kg]; cooling: of the coil [W];
    comfort_time: until the air is as wished, None if never [s];
    energy_closure: heat in against heat stored, as a share of the heat moved
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
    cabin : CabinSpec
        The cabin.
    outside : EvaporatorConditions
        Air outside (temperature, humidity), blower, refrigerant and its evaporating temperature.
    coil : EvaporatorSpec or None
        None for a cabin with blower and cooling off.
    start : float, [K]
        Air and interior at the start, above the outside air or equal, up to 80 °C.
    wish : float, [K]
        Cabin air at which the driver is content.
    duration : float, [s]
        How long to follow, 10 to 14400.
    points : int
        How many moments to keep, 3 to 2000.
    exact : bool
        Solve the coil at every moment instead of reading it from its table: slower, hardly different.

    Returns
    -------
    PullDown
        Temperatures, humidity, cooling and condensate over time.

    Raises
    ------
    OutOfRangeError
        If a temperature or a time is out of range.
    NoSolutionError
        If the integration stops.

    Notes
    -----
    Lumped balance of energy and water. The evaporating temperature is held, as a compressor with enough capacity
    and control does; a small compressor needs longer. The air in front of the coil must stay warmer than the coil.

    References
    ----------
    Lumped capacitance: Incropera et al., Fundamentals of Heat and Mass Transfer, chapter 5.
    """
    import numpy as np
    from scipy.integrate import solve_ivp

    checks = Checks()
    checks.within("cabin at the start", start, outside.air_temperature, 353.15, kind="temperature")
    checks.within("wished temperature", wish, 283.15, 313.15, kind="temperature")
    checks.within("duration", duration, 10.0, 14400.0, kind="time")
    checks.within("number of points", points, 3, 2000, kind="ratio")
    checks.raise_if_any()
    model = _Model(cabin, outside, coil, exact)
    first = [start, start, model.outside_humidity, 0.0, 0.0, 0.0]
    times = np.linspace(0.0, duration, points)
    solved = solve_ivp(
        lambda t, y: model.rates(y), (0.0, duration), first, method="LSODA", t_eval=times, rtol=1e-4,
        atol=[1e-3, 1e-3, 1e-6, 1e-5, 10.0, 10.0],
    )  # fmt: skip
    if not solved.success:
        raise NoSolutionError(f"the pull-down stopped: {solved.message}")
    air, interior, w, condensate = solved.y[:4]
    behind = [model.vent(T, x) for T, x in zip(air.tolist(), w.tolist(), strict=True)]
    stored = (
        model.air_heat * (air[-1] - start) + cabin.interior_heat * (interior[-1] - start),
        solved.y[4, -1],
    )
    p = outside.air_pressure
    return PullDown(
        time=tuple(times.tolist()),
        air=tuple(air.tolist()),
        interior=tuple(interior.tolist()),
        humidity=tuple(min(relative_humidity_at(T, x, p), 1.0) for T, x in zip(air.tolist(), w.tolist(), strict=True)),
        vent=tuple(b[0] for b in behind),
        cooling=tuple(b[3] for b in behind),
        condensate=tuple(condensate.tolist()),
        comfort_time=_first_below(times, air, wish),
        energy_closure=abs(stored[0] - stored[1]) / max(solved.y[5, -1], 1.0),
    )


class _Model:
    def __init__(self, cabin, outside, coil, exact):
        self.cabin, self.outside = cabin, outside
        table = None if coil is None else coil_table(coil, outside)
        self.coil = None if table is None else table.solved if exact else table.read
        self.outside_humidity = humidity_at(outside.air_temperature, outside.relative_humidity, outside.air_pressure)
        self.dry_mass = cabin.volume * outside.air_pressure / (AIR_CONSTANT * outside.air_temperature)
        self.heat = DRY_AIR_HEAT + VAPOUR_HEAT * self.outside_humidity
        self.air_heat = self.dry_mass * self.heat

    def vent(self, T, w):
        """Return vent temperature, vent humidity ratio, dry air flow, cooling and condensate."""
        if self.coil is None:
            return T, w, 0.0, 0.0, 0.0
        fresh, out, p = self.cabin.fresh_air_share, self.outside, self.outside.air_pressure
        mixed = fresh * out.air_temperature + (1.0 - fresh) * T
        moisture = min(fresh * self.outside_humidity + (1.0 - fresh) * max(w, 0.0), saturated_humidity(mixed, p))
        humidity = min(max(relative_humidity_at(mixed, moisture, p), 0.0), 1.0)
        behind = self.coil(mixed, humidity)
        return behind.T, behind.humidity_ratio, behind.dry_air_flow, behind.cooling, behind.condensate

    def rates(self, y):
        cabin = self.cabin
        T, interior, w = float(y[0]), float(y[1]), float(y[2])
        vent, vent_w, flow, _, condensate = self.vent(T, w)
        to_air = cabin.interior_conductance * (interior - T)
        through_walls = cabin.wall_conductance * (self.outside.air_temperature - T)
        to_interior = (1.0 - cabin.sun_on_air_share) * cabin.sun
        blown = flow * self.heat * (vent - T)
        gains = cabin.sun_on_air_share * cabin.sun + 75.0 * cabin.people
        air = blown + to_air + through_walls + gains
        moisture = flow * (vent_w - w) + 55.0 / 2.43e6 * cabin.people
        net = blown + through_walls + gains + to_interior
        moved = abs(blown) + abs(through_walls) + gains + to_interior
        return [
            air / self.air_heat,
            (to_interior - to_air) / cabin.interior_heat,
            moisture / self.dry_mass,
            condensate,
            net,
            moved,
        ]


def _first_below(times, air, wish):
    for i, T in enumerate(air):
        if wish >= T:
            if i == 0:
                return 0.0
            share = (air[i - 1] - wish) / (air[i - 1] - T)
            return float(times[i - 1] + share * (times[i] - times[i - 1]))
    return None
