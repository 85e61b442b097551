"""What the vehicle does over time: a drive, a fast charge, a hot soak, as steps of constant heat and speed."""

from thermo_kit.laws.constants import GRAVITY
from thermo_kit.systems.coolant_network.spec import ROLES
from thermo_kit.units import Checks, Part, Spec, flag, quantity, several, word

AIR_DENSITY = 1.2


class Segment(Spec):
    """A stretch of time with constant conditions.

    heat: pairs (role, heat [W]), shared by all bodies of that role
    """

    duration: float = quantity("time", 0.0, 86400.0, "duration of the segment", exclusive=True)
    vehicle_speed: float = quantity("driving_speed", 0.0, 60.0, "speed in the segment", 0.0)
    heat: tuple[tuple[str, float], ...] = ()
    pumps_running: bool = flag("pumps running", True)
    fans_running: bool = flag("fans running", True)
    chillers_running: bool = flag("chillers running", True)

    def fit(self, checks):
        for role, watts in self.heat:
            checks.one_of("role in the segment", role, ROLES)
            checks.within(f"heat of {role} in the segment", watts, -1e5, 1e6, kind="power")


class Scenario(Spec):
    """A run of segments with its surroundings.

    Everything starts at the initial temperature, but for initial_bodies: pairs (role, temperature [K])
    """

    name: str = word("name of the scenario")
    segments: tuple[Segment, ...] = several(
        Part(Segment, "segment"), 1, 20000, advice="give one stretch of time or more"
    )
    ambient_temperature: float = quantity("temperature", 223.15, 328.15, "ambient temperature", 298.15)
    initial_temperature: float = quantity("temperature", 223.15, 373.15, "initial temperature", 298.15)
    initial_bodies: tuple[tuple[str, float], ...] = ()

    def fit(self, checks):
        for role, value in self.initial_bodies:
            checks.one_of("role of an initial body", role, ROLES)
            checks.within(f"initial temperature of {role}", value, 223.15, 423.15, kind="temperature")

    @property
    def duration(self):
        """Length of the whole run [s], by arithmetic."""
        return sum(segment.duration for segment in self.segments)


# An invented delivery round: (seconds, km/h, climb in %), ten minutes long.
_ROUND = (
    (30, 0, 0), (40, 25, 0), (60, 50, 0), (40, 35, 3), (30, 0, 0), (50, 45, 2), (80, 70, 0), (70, 80, 3),
    (60, 90, 0), (50, 60, -2), (40, 30, 0), (50, 50, 4),
)  # fmt: skip
VAN_MASS = 3300.0
_DRAG_AREA, _ROLLING = 3.2, 0.010
_MOTOR_LOSS, _INVERTER_LOSS, _BATTERY_LOSS_AT_40_KW = 0.10, 0.035, 1600.0


def drive_heat(vehicle_speed, climb):
    """Return the heat in battery, inverter and motor of the invented van at steady speed.

    vehicle_speed [m/s], climb [-] → [W].

    Notes: Mass 3300 kg, drag area 3.2 m², loss shares and the battery's loss at 40 kW are invented round numbers.

    References: Road load: rolling, climbing and air drag, any textbook of vehicle dynamics; battery loss ~ current².

    Examples
    --------
    >>> sorted(drive_heat(0.0, 0.0))
    ['battery', 'inverter', 'motor']
    """
    force = VAN_MASS * GRAVITY * (_ROLLING + climb) + 0.5 * AIR_DENSITY * _DRAG_AREA * vehicle_speed**2
    wheel = abs(force * vehicle_speed)
    battery = _BATTERY_LOSS_AT_40_KW * ((wheel + 500.0) / 40e3) ** 2
    return {"battery": battery, "inverter": 60.0 + _INVERTER_LOSS * wheel, "motor": _MOTOR_LOSS * wheel}


def drive(*, duration=3600.0, ambient_temperature=308.15):
    """Return an invented delivery round, repeated until the time is up.

    Parameters
    ----------
    duration : float, [s]. Length, above 0 to 86400.
    ambient_temperature : float, [K]. Air outside and everything at the start.

    Returns: Scenario. The round. Raises InputError if a value is outside its range.

    Notes: The round is invented; the electric coolant heater is off.

    Examples
    --------
    >>> drive(duration=600.0).duration
    600.0
    """
    _check(duration)
    segments, left = [], float(duration)
    while left > 0.0 and len(segments) < 20000:
        for seconds, speed, climb in _ROUND:
            if left <= 0.0:
                break
            heat = {**drive_heat(speed / 3.6, climb / 100.0), "heater": 0.0}
            time = min(float(seconds), left)
            segments.append(Segment(duration=time, vehicle_speed=speed / 3.6, heat=tuple(heat.items())))
            left -= time
    return Scenario(
        name="drive",
        segments=tuple(segments),
        ambient_temperature=ambient_temperature,
        initial_temperature=ambient_temperature,
    )


def fast_charge(*, duration=1800.0, ambient_temperature=308.15, battery_heat=6000.0):
    """Return a fast charge: the battery heats, inverter and motor rest, no driving wind.

    Parameters
    ----------
    duration : float, [s]. Length, above 0 to 86400; the last quarter runs at 40 % of the heat, as charging tapers off.
    ambient_temperature : float, [K]. Air outside and everything at the start.
    battery_heat : float, [W]. Heat in the battery, 0 to 50000; 6 kW is invented.

    Returns: Scenario. The charge. Raises InputError if a value is outside its range.

    Notes: Heats and times are invented.

    Examples
    --------
    >>> fast_charge().duration
    1800.0
    """
    _check(duration, ("heat in the battery", battery_heat, 50e3, "power"))
    rest = (("inverter", 80.0), ("motor", 0.0), ("heater", 0.0))
    segments = (
        Segment(duration=0.75 * duration, heat=(("battery", battery_heat), *rest)),
        Segment(duration=0.25 * duration, heat=(("battery", 0.4 * battery_heat), *rest)),
    )
    return Scenario(
        name="fast charge",
        segments=segments,
        ambient_temperature=ambient_temperature,
        initial_temperature=ambient_temperature,
    )


def hot_soak(*, duration=3600.0, ambient_temperature=313.15, after_run=0.0):
    """Return a hot soak: parked in the heat right after a hard drive, everything switched off.

    Parameters
    ----------
    duration : float, [s]. Time parked, above 0 to 86400.
    ambient_temperature : float, [K]. Air outside.
    after_run : float, [s]. Pumps and fans run on for so long, 0 to duration.

    Returns: Scenario. The soak; motor at 110 °C, inverter at 75 °C, battery at 38 °C at the start (invented). Raises
        InputError if a value is outside its range.

    Notes: Temperatures and times are invented.

    Examples
    --------
    >>> len(hot_soak(after_run=300.0).segments)
    2
    """
    _check(duration)
    _check(duration, ("time of the after-run", after_run, duration, "time"))
    heat = tuple((role, 0.0) for role in ROLES)
    off = dict(heat=heat, pumps_running=False, fans_running=False, chillers_running=False)
    segments = []
    if after_run > 0.0:
        segments.append(Segment(duration=after_run, heat=heat, chillers_running=False))
    if duration > after_run:
        segments.append(Segment(duration=duration - after_run, **off))
    return Scenario(
        name="hot soak",
        segments=tuple(segments),
        ambient_temperature=ambient_temperature,
        initial_temperature=328.15,
        initial_bodies=(("motor", 383.15), ("inverter", 348.15), ("battery", 311.15)),
    )


def _check(duration, *others):
    """Refuse times and heats that no segment could be made of; others: (what, value, highest, kind) [SI]."""
    with Checks() as checks:
        checks.within("duration", duration, 0.0, 86400.0, kind="time", exclusive=True)
        for what, value, high, kind in others:
            checks.within(what, value, 0.0, high, kind=kind)
