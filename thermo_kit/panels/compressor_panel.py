"""The learner sets speed and pressures, and reads flow, power, both currents and the hot gas."""

from dataclasses import dataclass

from thermo_kit.components.compressor import rpm
from thermo_kit.panels.compressor_parts import MACHINE, REFRIGERANT, SPEED, machine_of, run_at, usual_voltage
from thermo_kit.panels.controls import NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.units import barg


@dataclass(frozen=True, kw_only=True)
class CompressorSettings:
    """Machine, refrigerant, speed [rad/s], pressures [Pa], superheat [K], battery voltage [V]."""

    machine: str = "van"
    refrigerant: str = "R-1234yf"
    speed: float = rpm(4000)
    suction_pressure: float = barg(2.4)
    discharge_pressure: float = barg(13.0)
    superheat: float = 10.0
    voltage: float = 400.0


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.compressor_power import power_picture

    result = run_at(
        machine_of(settings),
        refrigerant=settings.refrigerant,
        suction_pressure=settings.suction_pressure,
        superheat=settings.superheat,
        discharge_pressure=settings.discharge_pressure,
        speed=settings.speed,
        voltage=settings.voltage,
    )
    picture = power_picture(result, look)
    rows = (
        ("Flow", look.text(result.mass_flow, "mass_flow")),
        ("Electric power", look.text(result.electric_power, "electric_power")),
        ("Direct current from the battery", look.text(result.supply_current, "current")),
        ("Current in each motor line", look.text(result.line_current, "current")),
        ("Voltage between motor lines", look.text(result.line_voltage, "voltage")),
        ("Hot gas", look.text(result.discharge_temperature, "temperature")),
        ("Pressure ratio", f"{result.pressure_ratio:.2f}"),
        ("Volumetric efficiency", f"{result.volumetric_efficiency * 100:.0f} %"),
        ("Isentropic efficiency", f"{result.isentropic_efficiency * 100:.0f} %"),
        ("Motor / inverter", f"{result.motor_efficiency * 100:.0f} % / {result.inverter_efficiency * 100:.0f} %"),
    )
    return Description((picture,), picture.sentence, rows, result.notes)


class CompressorPanel(Panel):
    """Flow, power, currents and hot gas at one operating point."""

    title = "What the compressor pumps and draws"
    Settings = CompressorSettings
    controls = (
        SPEED,
        NumberControl(
            "suction_pressure",
            "Suction pressure",
            "gauge_pressure",
            low=barg(0.3),
            high=barg(5.0),
            step=0.05e5,
            us_step=1,
        ),
        NumberControl(
            "discharge_pressure",
            "Discharge pressure",
            "gauge_pressure",
            low=barg(3.5),
            high=barg(26),
            step=0.25e5,
            us_step=5,
        ),
        NumberControl(
            "superheat", "Superheat at the inlet", "temperature_difference", low=1.0, high=30.0, step=0.5, us_step=1
        ),
        NumberControl(
            "voltage",
            "Battery voltage",
            "voltage",
            low=200.0,
            high=850.0,
            step=10.0,
            us_step=10,
            help="Direct voltage at the inverter.",
        ),
        MACHINE,
        REFRIGERANT,
    )
    describe = staticmethod(describe)

    @staticmethod
    def follow(settings, changed):
        """Give a machine newly chosen the battery it is wound for, and a speed it may run at."""
        if changed != "machine":
            return {}
        spec = machine_of(settings)
        return {
            "voltage": usual_voltage(settings.machine),
            "speed": min(max(settings.speed, spec.lowest_speed), spec.highest_speed),
        }
