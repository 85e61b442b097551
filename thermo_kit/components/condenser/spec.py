"""What a condenser core is, and what it is asked to do."""

from dataclasses import dataclass

from thermo_kit.components.fan import FanSpec
from thermo_kit.components.louvered_fins import FinSpec
from thermo_kit.units import STANDARD_ATMOSPHERE
from thermo_kit.units.checks import Checks

SUBCOOLING_PLACES = ("bottom", "top")
MOST_PASSES = 12


@dataclass(frozen=True, kw_only=True)
class CondenserSpec:
    """A core of flat tubes between two headers, whose separators sort the tubes into passes.

    Parameters
    ----------
    tubes : tuple of int
        Tubes in each pass, in flow order, 1 to 12 passes of 1 to 200 tubes.
    tube_length : float, [m]
        Between the headers, 0.1 to 2.
    ports : int
        Channels side by side in one tube, 1 to 60.
    port_diameter : float, [m]
        Hydraulic diameter of one channel, 0.3 to 8 mm.
    fins : FinSpec
        Fins and the outside measures of the tube.
    fan : FanSpec
        The fan that draws air through the core.
    receiver_after : int or None
        The receiver sits after this pass (1 is the first); None without receiver.
    subcooling_pass_at : str
        "bottom" or "top": where the last pass lies in the core.
    blocked_fraction : float, [-]
        Share of the face that lets no air through, evenly spread (dirt, bent fins), 0 to 0.9.
    blocked_profile : tuple of float, [-]
        The same for bands of equal height from the top down, for example (0, 0, 0.8) for mud at the bottom.
    air_profile : tuple of float, [-]
        Relative air speed in bands of equal height from the top down; (1,) is even.
    front_resistance : float, [Pa/(m³/s)²]
        What grille, radiator and ducts add to the core's resistance, 0 to 20,000.
    segments : int
        Steps along each pass, 2 to 200.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range; all bad values are told at once.

    Notes
    -----
    Every tube of a pass is taken to carry the same flow.
    """

    tubes: tuple[int, ...]
    tube_length: float
    ports: int
    port_diameter: float
    fins: FinSpec
    fan: FanSpec
    receiver_after: int | None = None
    subcooling_pass_at: str = "bottom"
    blocked_fraction: float = 0.0
    blocked_profile: tuple[float, ...] = (0.0,)
    air_profile: tuple[float, ...] = (1.0,)
    front_resistance: float = 0.0
    segments: int = 10

    def __post_init__(self):
        checks = Checks()
        for name in ("tubes", "blocked_profile", "air_profile"):
            if isinstance(getattr(self, name), list):
                object.__setattr__(self, name, tuple(getattr(self, name)))
        self._check_passes(checks)
        checks.within("tube length", self.tube_length, 0.1, 2.0, kind="length")
        _check_count(checks, "ports in a tube", self.ports, 1, 60, "a flat tube has at least one channel")
        checks.within("port diameter", self.port_diameter, 0.3e-3, 8e-3, kind="length")
        advice = "a share of the face: 20 % is 0.2"
        checks.within("blocked fraction", self.blocked_fraction, 0.0, 0.9, kind="ratio", advice=advice)
        _check_bands(checks, "blocked profile", self.blocked_profile, 0.0, 1.0, advice)
        _check_bands(checks, "air profile", self.air_profile, 0.05, 10.0, "relative speeds: 1 is the average")
        checks.within("front resistance", self.front_resistance, 0.0, 2e4, kind="ratio")
        _check_count(checks, "segments in a pass", self.segments, 2, 200, "10 is fine enough for most cores")
        checks.one_of("place of the subcooling pass", self.subcooling_pass_at, SUBCOOLING_PLACES)
        if not isinstance(self.fins, FinSpec):
            checks.add("fins", repr(self.fins), "is not a FinSpec", "describe the fins with FinSpec(...)")
        if not isinstance(self.fan, FanSpec):
            checks.add("fan", repr(self.fan), "is not a FanSpec", "describe the fan with FanSpec(...)")
        if not checks.problems and self.ports * self.port_diameter > self.fins.tube_depth:
            checks.add("ports", "side by side are wider than the tube", "", "fewer or smaller ports, or a deeper tube")
        if not checks.problems and self.port_diameter >= self.fins.tube_height:
            checks.add("port diameter", "is not less than the tube's height", "", "a port needs walls around it")
        checks.raise_if_any()

    def _check_passes(self, checks):
        if not isinstance(self.tubes, tuple) or not 1 <= len(self.tubes) <= MOST_PASSES:
            checks.add(
                "tubes", repr(self.tubes), f"is not a list of 1 to {MOST_PASSES} passes",
                "give the tubes of each pass in flow order, for example (15, 10, 6, 5)",
            )  # fmt: skip
            return
        for number, count in enumerate(self.tubes, start=1):
            _check_count(
                checks, f"tubes in pass {number}", count, 1, 200,
                "a pass without tubes shuts the core: leave the pass out instead",
            )  # fmt: skip
        if self.receiver_after is not None:
            _check_count(
                checks, "receiver after pass", self.receiver_after, 1, len(self.tubes),
                f"the core has {len(self.tubes)} passes; the first is 1; None means no receiver",
            )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class AirConditions:
    """The air in front of the core.

    Parameters
    ----------
    temperature : float, [K]
        Of the air that enters, 243.15 to 343.15.
    pressure : float, [Pa]
        Of the surrounding air, 50 to 110 kPa.
    fan_speed_share : float, [-]
        Fan speed divided by full speed, 0 to 1.2.
    driving_speed : float, [m/s]
        Of the vehicle, 0 (idle) to 40.
    ram_recovery : float, [-]
        Share of the driving wind's pressure that reaches the core, 0 to 1; 0.3 is our own guess.
    face_velocity : float or None, [m/s]
        If given, the air speed in front of the core, averaged over the whole face; fan and wind are then left out.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    """

    temperature: float
    pressure: float = STANDARD_ATMOSPHERE
    fan_speed_share: float = 1.0
    driving_speed: float = 0.0
    ram_recovery: float = 0.3
    face_velocity: float | None = None

    def __post_init__(self):
        checks = Checks()
        checks.within("condenser inlet air", self.temperature, 243.15, 343.15, kind="temperature")
        checks.within("surrounding air pressure", self.pressure, 5e4, 1.1e5, kind="pressure")
        checks.within("fan speed share", self.fan_speed_share, 0.0, 1.2, kind="ratio", advice="80 % is 0.8")
        checks.within("driving speed", self.driving_speed, 0.0, 40.0, kind="velocity", advice="72 km/h is 20 m/s")
        checks.within("ram recovery", self.ram_recovery, 0.0, 1.0, kind="ratio")
        if self.face_velocity is not None:
            checks.within("face velocity", self.face_velocity, 0.2, 15.0, kind="velocity")
        checks.raise_if_any()


@dataclass(frozen=True, kw_only=True)
class RefrigerantInlet:
    """The refrigerant at the core's inlet.

    Parameters
    ----------
    refrigerant : str
        One of the workbook's refrigerants.
    mass_flow : float, [kg/s]
        Through the whole core, 0.0005 to 1.
    pressure : float, [Pa]
        Absolute, below 0.95 times the critical pressure.
    temperature : float, [K]
        Of the hot gas, at or above the dew temperature at this pressure.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range; limits that depend on the refrigerant are checked when solved.
    """

    refrigerant: str
    mass_flow: float
    pressure: float
    temperature: float

    def __post_init__(self):
        checks = Checks()
        advice = "mass flow is in kg/s inside the package: 45 g/s is 0.045"
        checks.within("refrigerant mass flow", self.mass_flow, 5e-4, 1.0, kind="mass_flow", advice=advice)
        checks.within("condensing pressure", self.pressure, 0.0, 1e8, kind="pressure", exclusive=True)
        checks.within("condenser inlet temperature", self.temperature, 0.0, 2000.0, kind="temperature")
        checks.raise_if_any()


def _check_count(checks, name, value, low, high, advice):
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        checks.add(name, f"{value!r}", f"is not a whole number from {low} to {high}", advice)


def _check_bands(checks, name, bands, low, high, advice):
    if not isinstance(bands, tuple) or not 1 <= len(bands) <= 100:
        checks.add(name, repr(bands), "is not a list of bands from the top down", advice)
        return
    for number, value in enumerate(bands, start=1):
        checks.within(f"{name}, band {number}", value, low, high, kind="ratio", advice=advice)
