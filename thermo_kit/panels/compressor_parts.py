"""What the compressor's panels share: which machines there are, and the state of the suction gas."""

from thermo_kit.components.compressor import CompressorConditions, bus_compressor, rpm, solve_compressor, van_compressor
from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.substances import Refrigerant
from thermo_kit.units import celsius

REFRIGERANTS = ("R-1234yf", "R-134a", "R-152a", "R-290")
MACHINES = (("parcel van, 34 cm³ (2.07 in³)", "van"), ("shuttle bus, 90 cm³ (5.49 in³)", "shuttle bus"))
_MADE = {"van": van_compressor, "shuttle bus": bus_compressor}
SPEED = NumberControl(
    "speed", "Speed", "rotational_speed", low=rpm(800), high=rpm(8600), step=rpm(100), us_step=100, help="Of the shaft."
)
MACHINE = ChoiceControl("machine", "Compressor", MACHINES)
REFRIGERANT = ChoiceControl("refrigerant", "Refrigerant", REFRIGERANTS)


def machine_of(settings):
    """Return the compressor that the settings choose."""
    return _MADE[settings.machine]()


def usual_voltage(machine):
    """Return the battery voltage a machine is wound for; → [V]."""
    return 400.0 if machine == "van" else 650.0


def run_at(spec, *, refrigerant, suction_pressure, superheat, discharge_pressure, speed, voltage):
    """Solve a compressor for a superheat at its suction port.

    suction_pressure [Pa], superheat [K], discharge_pressure [Pa], speed [rad/s], voltage [V].
    """
    return solve_compressor(
        spec,
        CompressorConditions(
            refrigerant=refrigerant,
            suction_pressure=suction_pressure,
            suction_temperature=Refrigerant(refrigerant).dew_temperature(suction_pressure) + superheat,
            discharge_pressure=discharge_pressure,
            speed=speed,
            supply_voltage=voltage,
        ),
    )


EVAPORATING = tuple(celsius(t) for t in (-10, -5, 0, 5, 10))
"""Boiling temperatures for which a map is drawn."""
