"""What an electric scroll compressor is, and what it is asked to do."""

import math
from dataclasses import dataclass

from thermo_kit.substances.names import canonical_name
from thermo_kit.units import UnitSystem, celsius, format_quantity, from_display
from thermo_kit.units.checks import Checks

HIGHEST_DISCHARGE_PRESSURE = 1.6e7


def rpm(number):
    """Turn revolutions per minute into radians per second.

    Parameters
    ----------
    number : float, [r/min]
        Speed.

    Returns
    -------
    float, [rad/s]
        The same speed.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> round(rpm(6000), 1)
    628.3
    """
    return from_display(number, "rotational_speed", UnitSystem.SI)


@dataclass(frozen=True, kw_only=True)
class CompressorSpec:
    """A scroll with its motor and inverter in one housing; the suction gas cools both.

    Parameters
    ----------
    displacement : float, [m³]
        Gas closed in at each turn, 1e-6 to 3e-4.
    built_in_volume_ratio : float, [-]
        Volume of the pocket when it closes, by its volume when it opens to the discharge, 1.2 to 5.
    leakage_area : float, [m²]
        Open area of all gaps together, 0 to 2e-5.
    suction_port_area : float, [m²]
        Of the narrowest place on the way in, 1e-5 to 5e-3.
    discharge_port_area : float, [m²]
        Of the narrowest place on the way out, 1e-5 to 5e-3.
    friction_torque : float, [N m]
        Of bearings and scrolls, 0 to 5.
    torque_constant : float, [N m/A]
        Torque by current in each of the three lines, effective value, 0.05 to 5.
    phase_resistance : float, [ohm]
        Of each winding, 0 to 20.
    iron_loss : float, [W s/rad]
        Loss of the motor by speed, 0 to 2.
    power_factor : float, [-]
        Of the motor, 0.5 to 1.
    inverter_idle_loss : float, [W]
        0 to 500.
    inverter_loss_share : float, [-]
        Loss by the power that the inverter passes on, 0 to 0.2.
    heat_loss_coefficient : float, [W/K]
        From the hot end of the housing to the air around it, 0 to 50.
    lowest_speed : float, [rad/s]
        Slower, oil and seal are not safe.
    highest_speed : float, [rad/s]
        Faster, the maker does not allow.
    discharge_temperature_limit : float, [K]
        Highest allowed temperature of the hot gas.
    current_limit : float, [A]
        Highest allowed current in each of the three lines.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range; all are told at once.

    Notes
    -----
    Data: the vessel of a model, not a maker's figures. Limits of speed and temperature are common practice.
    """

    displacement: float
    built_in_volume_ratio: float
    leakage_area: float
    suction_port_area: float
    discharge_port_area: float
    friction_torque: float
    torque_constant: float
    phase_resistance: float
    iron_loss: float = 0.08
    power_factor: float = 0.92
    inverter_idle_loss: float = 25.0
    inverter_loss_share: float = 0.025
    heat_loss_coefficient: float = 1.5
    lowest_speed: float = rpm(800)
    highest_speed: float = rpm(8600)
    discharge_temperature_limit: float = celsius(115)
    current_limit: float = 30.0

    def __post_init__(self):
        checks = Checks()
        if self.displacement == 0:
            checks.add(
                "displacement", "0", "is nothing to pump with", "read it off the maker's data, for example 34 cm³"
            )
        else:
            checks.within(
                "displacement", self.displacement, 1e-6, 3e-4, kind="displacement", advice="34 cm³ is 34e-6 m³"
            )
        checks.within("built-in volume ratio", self.built_in_volume_ratio, 1.2, 5.0, kind="ratio",
                      advice="large pocket by small pocket, usually 2 to 3")  # fmt: skip
        checks.within("leakage area", self.leakage_area, 0.0, 2e-5, kind="area", advice="0.5 mm² is 0.5e-6 m²")
        for name, area in (("suction", self.suction_port_area), ("discharge", self.discharge_port_area)):
            checks.within(f"{name} port area", area, 1e-5, 5e-3, kind="area", advice="120 mm² is 120e-6 m²")
        checks.within("friction torque", self.friction_torque, 0.0, 5.0, kind="torque")
        checks.within(
            "torque constant", self.torque_constant, 0.05, 5.0, kind="ratio", advice="newton metres by ampere"
        )
        checks.within("phase resistance", self.phase_resistance, 0.0, 20.0, kind="ratio", advice="ohms of one winding")
        checks.within("iron loss", self.iron_loss, 0.0, 2.0, kind="ratio", advice="watts for each rad/s")
        checks.within("power factor", self.power_factor, 0.5, 1.0, kind="ratio", advice="a share: 92 % is 0.92")
        checks.within("inverter idle loss", self.inverter_idle_loss, 0.0, 500.0, kind="electric_power")
        checks.within("inverter loss share", self.inverter_loss_share, 0.0, 0.2, kind="ratio", advice="3 % is 0.03")
        checks.within(
            "heat loss coefficient", self.heat_loss_coefficient, 0.0, 50.0, kind="ratio", advice="watts for each kelvin"
        )
        checks.within("lowest speed", self.lowest_speed, rpm(100), rpm(20000), kind="rotational_speed")
        checks.within("highest speed", self.highest_speed, rpm(100), rpm(20000), kind="rotational_speed")
        checks.within(
            "discharge temperature limit",
            self.discharge_temperature_limit,
            celsius(60),
            celsius(180),
            kind="temperature",
        )
        checks.within("current limit", self.current_limit, 0.5, 500.0, kind="current")
        if not checks.problems and self.lowest_speed >= self.highest_speed:
            checks.add("lowest speed", format_quantity(self.lowest_speed, "rotational_speed"),
                       f"is not below the highest, {format_quantity(self.highest_speed, 'rotational_speed')}",
                       "the two were swapped?")  # fmt: skip
        checks.raise_if_any()


@dataclass(frozen=True, kw_only=True)
class CompressorConditions:
    """What a compressor is connected to.

    Parameters
    ----------
    refrigerant : str
        One of the workbook's refrigerants.
    suction_pressure : float, [Pa]
        At the suction port, absolute.
    suction_temperature : float, [K]
        At the suction port; the gas must be dry.
    discharge_pressure : float, [Pa]
        At the discharge port, absolute; above the suction pressure.
    speed : float, [rad/s]
        Of the shaft.
    supply_voltage : float, [V]
        Direct voltage at the inverter, 40 to 1000.
    ambient_temperature : float, [K]
        Air round the housing, −40 to 120 °C.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    UnknownNameError
        If the refrigerant is not in the workbook.

    Notes
    -----
    Data.
    """

    refrigerant: str
    suction_pressure: float
    suction_temperature: float
    discharge_pressure: float
    speed: float
    supply_voltage: float = 400.0
    ambient_temperature: float = celsius(35)

    def __post_init__(self):
        object.__setattr__(self, "refrigerant", canonical_name(self.refrigerant))
        checks = Checks()
        checks.within("suction pressure", self.suction_pressure, 2e4, 7e6, kind="pressure")
        checks.within("discharge pressure", self.discharge_pressure, 2e4, HIGHEST_DISCHARGE_PRESSURE, kind="pressure")
        checks.within("suction temperature", self.suction_temperature, celsius(-50), celsius(80), kind="temperature")
        checks.within("supply voltage", self.supply_voltage, 40.0, 1000.0, kind="voltage",
                      advice="direct voltage of the high-voltage battery, not of the 12-volt system")  # fmt: skip
        checks.within(
            "air round the compressor", self.ambient_temperature, celsius(-40), celsius(120), kind="temperature"
        )
        if not isinstance(self.speed, int | float) or not math.isfinite(self.speed) or self.speed <= 0:
            checks.add(
                "speed", f"{self.speed}", "is no speed", "a standing compressor pumps nothing: 6000 r/min is 628 rad/s"
            )
        if not checks.problems and self.discharge_pressure <= self.suction_pressure:
            checks.add("suction pressure", format_quantity(self.suction_pressure, "pressure"),
                       f"is not below the discharge pressure, {format_quantity(self.discharge_pressure, 'pressure')}",
                       "are the two gauges swapped, or is the system at rest?")  # fmt: skip
        elif not checks.problems and not 1.02 <= self.discharge_pressure / self.suction_pressure <= 15.0:
            checks.add("pressure ratio", f"{self.discharge_pressure / self.suction_pressure:.2f}",
                       "is outside 1.02 to 15, the range of this model",
                       "ratio of absolute pressures: was a gauge reading used as absolute?")  # fmt: skip
        checks.raise_if_any()
