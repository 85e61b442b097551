"""Which kinds of quantity there are, how each is stored and how each is shown."""

from dataclasses import dataclass
from enum import Enum

from thermo_kit.errors import Problem, UnitError


class UnitSystem(Enum):
    """The two ways a number is shown."""

    SI = "SI"
    US = "US"


@dataclass(frozen=True)
class Kind:
    """How one kind of quantity is stored and shown (pint unit names, printed signs, decimals)."""

    base: str
    si: str
    us: str
    si_sign: str
    us_sign: str
    si_decimals: int
    us_decimals: int


KINDS = {
    "pressure": Kind("Pa", "bar", "psi", "bar abs", "psia", 2, 1),
    "gauge_pressure": Kind("Pa", "bar", "psi", "bar(g)", "psig", 2, 1),
    "pressure_difference": Kind("Pa", "kPa", "psi", "kPa", "psi", 1, 2),
    "temperature": Kind("K", "degC", "degF", "°C", "°F", 1, 1),
    "temperature_difference": Kind("K", "K", "delta_degF", "K", "°F diff.", 1, 1),
    "specific_enthalpy": Kind("J/kg", "kJ/kg", "Btu/lb", "kJ/kg", "Btu/lb", 1, 1),
    "specific_entropy": Kind("J/kg/K", "kJ/kg/K", "Btu/lb/delta_degF", "kJ/(kg K)", "Btu/(lb °F)", 3, 4),
    "density": Kind("kg/m**3", "kg/m**3", "lb/ft**3", "kg/m³", "lb/ft³", 1, 2),
    "concentration": Kind("kg/m**3", "g/m**3", "oz/ft**3", "g/m³", "oz/ft³", 1, 4),
    "mass": Kind("kg", "g", "oz", "g", "oz", 0, 1),
    "mass_flow": Kind("kg/s", "g/s", "lb/min", "g/s", "lb/min", 1, 2),
    "drip_rate": Kind("kg/s", "kg/hour", "lb/hour", "kg/h", "lb/h", 2, 2),
    "drip_volume": Kind("m**3/s", "mL/hour", "fluid_ounce/hour", "mL/h", "fl oz/h", 0, 0),
    "volume_flow": Kind("m**3/s", "L/min", "gallon/min", "L/min", "gal/min", 1, 2),
    "air_flow": Kind("m**3/s", "m**3/h", "ft**3/min", "m³/h", "ft³/min", 0, 0),
    "mass_flux": Kind("kg/m**2/s", "kg/m**2/s", "lb/ft**2/s", "kg/(m² s)", "lb/(ft² s)", 0, 1),
    "power": Kind("W", "kW", "Btu/hour", "kW", "Btu/h", 2, 0),
    "electric_power": Kind("W", "kW", "kW", "kW", "kW", 2, 2),
    "heat": Kind("J", "kJ", "Btu", "kJ", "Btu", 1, 1),
    "length": Kind("m", "mm", "inch", "mm", "in", 1, 2),
    "fine_length": Kind("m", "um", "um", "µm", "µm", 1, 1),
    "head": Kind("m", "m", "ft", "m", "ft", 1, 1),
    "altitude": Kind("m", "m", "ft", "m", "ft", 0, 0),
    "angle": Kind("rad", "degree", "degree", "°", "°", 0, 0),
    "area": Kind("m**2", "cm**2", "inch**2", "cm²", "in²", 1, 2),
    "volume": Kind("m**3", "L", "gallon", "L", "gal", 2, 2),
    "displacement": Kind("m**3", "cm**3", "inch**3", "cm³", "in³", 1, 2),
    "velocity": Kind("m/s", "m/s", "ft/s", "m/s", "ft/s", 2, 2),
    "driving_speed": Kind("m/s", "km/hour", "mile/hour", "km/h", "mph", 0, 0),
    "acceleration": Kind("m/s**2", "m/s**2", "ft/s**2", "m/s²", "ft/s²", 1, 1),
    "rotational_speed": Kind("rad/s", "rpm", "rpm", "r/min", "r/min", 0, 0),
    "frequency": Kind("Hz", "Hz", "Hz", "Hz", "Hz", 1, 1),
    "torque": Kind("N*m", "N*m", "ft*lbf", "N m", "lbf ft", 2, 2),
    "torque_constant": Kind("N*m/A", "N*m/A", "ft*lbf/A", "N m/A", "lbf ft/A", 3, 3),
    "unbalance": Kind("kg*m", "g*mm", "oz*inch", "g mm", "oz in", 0, 3),
    "force": Kind("N", "N", "lbf", "N", "lbf", 1, 2),
    "stiffness": Kind("N/m", "N/mm", "lbf/inch", "N/mm", "lbf/in", 1, 1),
    "viscosity": Kind("Pa*s", "mPa*s", "mPa*s", "mPa s", "cP", 3, 3),
    "conductivity": Kind("W/m/K", "W/m/K", "Btu/hour/ft/delta_degF", "W/(m K)", "Btu/(h ft °F)", 3, 3),
    "specific_heat": Kind("J/kg/K", "kJ/kg/K", "Btu/lb/delta_degF", "kJ/(kg K)", "Btu/(lb °F)", 3, 3),
    "heat_transfer_coefficient": Kind(
        "W/m**2/K", "W/m**2/K", "Btu/hour/ft**2/delta_degF", "W/(m² K)", "Btu/(h ft² °F)", 0, 0
    ),
    "conductance": Kind("W/K", "W/K", "Btu/hour/delta_degF", "W/K", "Btu/(h °F)", 1, 1),
    "heat_capacity": Kind("J/K", "kJ/K", "Btu/delta_degF", "kJ/K", "Btu/°F", 1, 1),
    "fouling": Kind("m**2*K/W", "m**2*K/W", "hour*ft**2*delta_degF/Btu", "m² K/W", "h ft² °F/Btu", 4, 4),
    "flow_resistance": Kind("Pa*s**2/m**6", "Pa*s**2/m**6", "Pa*s**2/m**6", "Pa/(m³/s)²", "Pa/(m³/s)²", 0, 0),
    "time": Kind("s", "s", "s", "s", "s", 1, 1),
    "long_time": Kind("s", "year", "year", "years", "years", 1, 1),
    "leak_rate": Kind("kg/s", "g/year", "oz/year", "g/year", "oz/year", 1, 2),
    "throughput": Kind("Pa*m**3/s", "mbar*L/s", "mbar*L/s", "mbar L/s", "mbar L/s", 6, 6),
    "vacuum": Kind("Pa", "Pa", "mtorr", "Pa", "micron", 0, 0),
    "hours": Kind("s", "hour", "hour", "h", "h", 1, 1),
    "duration": Kind("s", "min", "min", "min", "min", 1, 1),
    "current": Kind("A", "A", "A", "A", "A", 1, 1),
    "voltage": Kind("V", "V", "V", "V", "V", 0, 0),
    "resistance": Kind("ohm", "kohm", "kohm", "kΩ", "kΩ", 0, 0),
    "winding_resistance": Kind("ohm", "ohm", "ohm", "Ω", "Ω", 2, 2),
    "ratio": Kind("", "", "", "", "", 2, 2),
    "percent": Kind("", "percent", "percent", "%", "%", 1, 1),
    "humidity_ratio": Kind("kg/kg", "g/kg", "grain/lb", "g/kg", "gr/lb", 1, 0),
    "fin_density": Kind("1/m", "1/inch", "1/inch", "fins/in", "fins/in", 1, 1),
}
"""Kinds of quantity. A pressure is always stored absolute; `gauge_pressure` is that same stored
number shown as a gauge would read it."""


def kind_of(kind):
    """Return the facts of a kind, a key of `KINDS`; an unknown one is a `UnitError`."""
    try:
        return KINDS[kind]
    except KeyError:
        raise UnitError(
            Problem("kind of quantity", repr(kind), "is not known", "use one of " + ", ".join(sorted(KINDS)))
        ) from None


def sign_of(kind, system=UnitSystem.SI):
    """Return the printed unit sign of a kind, such as "bar(g)" or "psig"; empty for a plain ratio."""
    facts = kind_of(kind)
    return facts.si_sign if system is UnitSystem.SI else facts.us_sign


def decimals_of(kind, system=UnitSystem.SI):
    """Return how many decimals a kind is usually shown with."""
    facts = kind_of(kind)
    return facts.si_decimals if system is UnitSystem.SI else facts.us_decimals
