"""What an expansion valve is, what stands in front of it, what it feeds, and what may be wrong with it."""

import math
from dataclasses import dataclass

from thermo_kit.substances import Refrigerant
from thermo_kit.units import STANDARD_ATMOSPHERE, format_quantity
from thermo_kit.units.checks import Checks

CHARGES = ("same refrigerant", "cross charge", "gas charge")
EQUALISATIONS = ("internal", "external")


@dataclass(frozen=True, kw_only=True)
class ValveSpec:
    """A thermostatic expansion valve by its sizes.

    Parameters
    ----------
    diaphragm_diameter : float, [m]
        Over which the pressures push, 0.008 to 0.06.
    spring_preload : float, [N]
        Force of the spring while the pin rests on its seat, 1 to 400.
    spring_rate : float, [N/m]
        Force that each metre of lift adds, 100 to 200000.
    full_lift : float, [m]
        Way of the pin up to its stop, 0.0001 to 0.005.
    port_diameter : float, [m]
        Of the seat, 0.0005 to 0.012, less than the pipe.
    pipe_diameter : float, [m]
        Bore of the liquid line, 0.002 to 0.03.
    pin_angle : float, [rad]
        Half of the angle of the pin's cone, 0.1 to 1.4.
    charge : str
        "same refrigerant" (liquid always left in the bulb), "cross charge" or "gas charge".
    charge_limit_temperature : float, [K]
        Gas charge only: bulb temperature at which its last drop has evaporated, 233.15 to 333.15.
    equalisation : str
        "internal" (pressure below the diaphragm taken at the valve outlet) or "external" (at the bulb).

    Raises
    ------
    OutOfRangeError
        If a size is out of range or the port does not fit the pipe.

    Notes
    -----
    Geometry. The pin is taken as balanced: the liquid pressure on it, a few newton, is left out.
    """

    diaphragm_diameter: float
    spring_preload: float
    spring_rate: float
    full_lift: float
    port_diameter: float
    pipe_diameter: float
    pin_angle: float = math.radians(30)
    charge: str = "same refrigerant"
    charge_limit_temperature: float = 288.15
    equalisation: str = "external"

    def __post_init__(self):
        checks = Checks()
        pushes = "a spring can only push the valve shut: give its force as a positive number"
        checks.within("diaphragm diameter", self.diaphragm_diameter, 0.008, 0.06, kind="length")
        negative = self.spring_preload < 0 if isinstance(self.spring_preload, int | float) else False
        checks.within(
            "spring preload", self.spring_preload, 1.0, 400.0, kind="force", advice=pushes if negative else ""
        )
        negative = self.spring_rate < 0 if isinstance(self.spring_rate, int | float) else False
        checks.within(
            "spring rate",
            self.spring_rate,
            100.0,
            200e3,
            kind="stiffness",
            advice=pushes if negative else "30 N/mm is 30,000 N/m",
        )
        checks.within("full lift", self.full_lift, 1e-4, 5e-3, kind="length")
        checks.within("port diameter", self.port_diameter, 5e-4, 12e-3, kind="length")
        checks.within("pipe diameter", self.pipe_diameter, 2e-3, 30e-3, kind="length")
        checks.within("half angle of the pin", self.pin_angle, 0.1, 1.4, kind="angle")
        checks.within(
            "temperature at which the bulb is dry", self.charge_limit_temperature, 233.15, 333.15, kind="temperature"
        )
        checks.one_of("bulb charge", self.charge, CHARGES)
        checks.one_of("equalisation", self.equalisation, EQUALISATIONS)
        checks.raise_if_any()
        if self.port_diameter >= self.pipe_diameter:
            checks.add(
                "port diameter",
                format_quantity(self.port_diameter, "length"),
                f"is not less than the pipe's bore of {format_quantity(self.pipe_diameter, 'length')}",
                "a valve throttles only where its port is narrower than its pipe: were the two swapped?",
            )
        if self.port_diameter >= self.diaphragm_diameter:
            checks.add(
                "port diameter",
                format_quantity(self.port_diameter, "length"),
                f"is not less than the diaphragm's {format_quantity(self.diaphragm_diameter, 'length')}",
                "were the two swapped?",
            )
        checks.raise_if_any()

    @property
    def diaphragm_area(self):
        """Area on which the pressures push [m²]."""
        return 0.25 * math.pi * self.diaphragm_diameter**2

    @property
    def preload_pressure(self):
        """Spring preload spread over the diaphragm [Pa]."""
        return self.spring_preload / self.diaphragm_area


@dataclass(frozen=True, kw_only=True)
class ShutOffSpec:
    """An electric or solenoid shut-off valve in the liquid line, in front of the expansion valve.

    Parameters
    ----------
    seat_diameter : float, [m]
        Of the open passage, 0.0005 to 0.02.
    leak_diameter : float, [m]
        Of a round hole that leaks as much as the shut seat, 0 to 0.002; 0 is tight.
    is_open : bool
        Whether it is open.

    Raises
    ------
    OutOfRangeError
        If a size is out of range, or the leak is larger than the seat.

    Notes
    -----
    Geometry. That it stands in front of the expansion valve is common practice, no source.
    """

    seat_diameter: float = 0.005
    leak_diameter: float = 0.0
    is_open: bool = True

    def __post_init__(self):
        checks = Checks()
        checks.within("seat of the shut-off valve", self.seat_diameter, 5e-4, 0.02, kind="length")
        checks.within("leak of the shut-off valve", self.leak_diameter, 0.0, 2e-3, kind="length")
        checks.raise_if_any()
        if self.leak_diameter >= self.seat_diameter:
            checks.add(
                "leak of the shut-off valve",
                format_quantity(self.leak_diameter, "length"),
                f"is not less than its seat of {format_quantity(self.seat_diameter, 'length')}",
                "were the two swapped?",
            )
        checks.raise_if_any()

    @property
    def area(self):
        """Passage as it stands [m²]."""
        return 0.25 * math.pi * (self.seat_diameter if self.is_open else self.leak_diameter) ** 2


@dataclass(frozen=True, kw_only=True)
class EvaporatorDuty:
    """What the valve is fed with, what it feeds, and how hard the compressor draws.

    Parameters
    ----------
    refrigerant : str
        One of `thermo_kit.substances.REFRIGERANT_NAMES`.
    condensing_temperature : float, [K]
        Bubble temperature of the liquid line's pressure, below the critical one.
    subcooling : float, [K]
        Of the liquid in front of the valves, 0 to 40.
    inlet_quality : float, [-]
        Vapour share in front of the valves, 0 to 0.5; above 0 only without subcooling.
    air_temperature : float, [K]
        Of the air over the evaporator, taken as one number, 253.15 to 333.15.
    conductance : float, [W/K]
        Of the whole evaporator while it boils, 10 to 2000.
    dry_share : float, [-]
        Conductance of a dry stretch against a boiling one, 0.02 to 1.
    suction_flow : float, [m³/s]
        Vapour that the compressor draws in, 0.0002 to 0.05.
    pressure_drop : float, [Pa]
        From the valve's outlet to the bulb, 0 to 200000.
    cut_out_pressure : float, [Pa]
        Absolute low-side pressure at which the compressor is switched off, 60000 to 400000.
    ambient_temperature : float, [K]
        Of the air that a loose bulb feels.
    atmosphere : float, [Pa]
        Air pressure, which a burst bulb takes on.

    Raises
    ------
    OutOfRangeError
        If a value is out of range.
    UnknownNameError
        If the refrigerant is not in the workbook.

    Notes
    -----
    Definition of the case; a lumped evaporator, see `solve_valve`.
    """

    refrigerant: str
    condensing_temperature: float
    subcooling: float = 5.0
    inlet_quality: float = 0.0
    air_temperature: float = 298.15
    conductance: float = 220.0
    dry_share: float = 0.15
    suction_flow: float = 0.0025
    pressure_drop: float = 20e3
    cut_out_pressure: float = 120e3
    ambient_temperature: float = 308.15
    atmosphere: float = STANDARD_ATMOSPHERE

    def __post_init__(self):
        fluid = Refrigerant(self.refrigerant)
        limit = fluid.critical_temperature - 2.0
        checks = Checks()
        checks.within(
            "condensing temperature",
            self.condensing_temperature,
            283.15,
            limit,
            kind="temperature",
            advice=f"near and above its critical point {fluid.name} has no liquid line, and this model needs liquid"
            if isinstance(self.condensing_temperature, int | float) and self.condensing_temperature > limit
            else "",
        )
        checks.within("subcooling", self.subcooling, 0.0, 40.0, kind="temperature_difference")
        checks.within("vapour share at the inlet", self.inlet_quality, 0.0, 0.5, kind="ratio", advice="10 % is 0.1")
        checks.within("air over the evaporator", self.air_temperature, 253.15, 333.15, kind="temperature")
        checks.within("conductance of the evaporator", self.conductance, 10.0, 2000.0, kind="ratio", advice="give W/K")
        checks.within("conductance of a dry stretch", self.dry_share, 0.02, 1.0, kind="ratio", advice="15 % is 0.15")
        checks.within("suction flow of the compressor", self.suction_flow, 2e-4, 0.05, kind="volume_flow")
        checks.within("pressure drop of the evaporator", self.pressure_drop, 0.0, 200e3, kind="pressure_difference")
        checks.within("low-side cut-out", self.cut_out_pressure, 60e3, 400e3, kind="pressure")
        checks.within("ambient air", self.ambient_temperature, 233.15, 353.15, kind="temperature")
        checks.within("air pressure", self.atmosphere, 50e3, 110e3, kind="pressure")
        checks.raise_if_any()
        if self.inlet_quality > 0 and self.subcooling > 0:
            checks.add(
                "vapour share at the inlet",
                f"{self.inlet_quality:g}",
                "does not go with subcooling",
                "subcooled liquid carries no vapour: set one of the two to 0",
            )
        low = max(self.cut_out_pressure, fluid.lowest_pressure)
        if not checks.problems and fluid.dew_temperature(low) > self.air_temperature - 2.0:
            checks.add(
                "air over the evaporator",
                format_quantity(self.air_temperature, "temperature"),
                f"is not warmer than {self.refrigerant} boils at the low-side cut-out",
                "nothing would boil: raise the air",
            )
        checks.raise_if_any()


@dataclass(frozen=True, kw_only=True)
class ValveFault:
    """What is wrong with a valve; all as it should be by default.

    Parameters
    ----------
    bulb_lost : bool
        The bulb's charge has leaked out, the air's pressure is left.
    stuck_at : float or None, [-]
        Share of the full lift at which the pin sticks, 0 to 1; None moves freely.
    bulb_loose_share : float, [-]
        How far the bulb feels the ambient air instead of the line, 0 to 1.

    Raises
    ------
    OutOfRangeError
        If a share is out of range.

    Notes
    -----
    Definition of the faults.
    """

    bulb_lost: bool = False
    stuck_at: float | None = None
    bulb_loose_share: float = 0.0

    def __post_init__(self):
        checks = Checks()
        if self.stuck_at is not None:
            checks.within("place at which the pin sticks", self.stuck_at, 0.0, 1.0, kind="ratio", advice="50 % is 0.5")
        checks.within("share of the ambient air", self.bulb_loose_share, 0.0, 1.0, kind="ratio", advice="30 % is 0.3")
        checks.raise_if_any()
