"""The learner spoils a valve and reads what gauge and clamp show."""

from dataclasses import dataclass

from thermo_kit.components.expansion_valve import FAULTS, fault_case
from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.panels.valve_parts import CONDENSING, PRELOAD, REFRIGERANT, duty_of, valve_of
from thermo_kit.units import celsius


@dataclass(frozen=True, kw_only=True)
class FaultSettings:
    """The fault and its size; air and condensing temperature [K], compressor [m³/s], spring [N]."""

    fault: str = "none"
    size: float = 0.3
    refrigerant: str = "R-134a"
    air_temperature: float = celsius(25)
    condensing_temperature: float = celsius(50)
    suction_flow: float = 0.0025
    spring_preload: float = 14.1


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.valve_readings import outlet_text, readings_picture

    case = fault_case(valve_of(settings), duty_of(settings), fault=settings.fault, size=settings.size)
    picture, own, sound = readings_picture(case, look), case.faulty, case.sound

    def both(name, kind):
        return f"{look.text(getattr(own, name), kind)} ({look.text(getattr(sound, name), kind)})"

    rows = (
        ("Fault", case.meaning),
        ("Verdict", own.verdict),
        ("Low-side gauge (sound valve)", both("evaporating_pressure", "pressure")),
        ("Boils at", both("evaporating_temperature", "temperature")),
        ("Line at the bulb", both("outlet_temperature", "temperature")),
        ("Evaporator outlet", f"{outlet_text(own, look)} ({outlet_text(sound, look)})"),
        ("Flow", both("mass_flow", "mass_flow")),
        ("Cooling", both("cooling_capacity", "power")),
        ("Opening of the pin", f"{own.balance.opening_share * 100:.0f} % ({sound.balance.opening_share * 100:.0f} %)"),
        ("Compressor runs", f"{own.running_share * 100:.0f} % of the time"),
    )
    return Description((picture,), picture.sentence, rows, own.notes)


class ValveFaultPanel(Panel):
    """Starved or flooding: a fault, and what it does to the readings."""

    title = "Starved or flooding?"
    Settings = FaultSettings
    controls = (
        ChoiceControl("fault", "Fault", FAULTS),
        NumberControl(
            "size",
            "Size of the fault",
            "percent",
            low=0.0,
            high=1.0,
            step=0.01,
            decimals=0,
            help="Pin: where it sticks. Bulb: air it feels. Flash gas: of 30 % vapour. Shut-off: leak of a 1 mm hole.",
        ),
        NumberControl(
            "air_temperature",
            "Air over the evaporator",
            "temperature",
            low=celsius(5),
            high=celsius(50),
            step=0.5,
            us_step=1,
        ),
        NumberControl(
            "suction_flow",
            "Compressor draws",
            "volume_flow",
            low=0.0008,
            high=0.005,
            step=0.0000166667 * 3,
            us_step=1,
        ),
        PRELOAD,
        CONDENSING,
        REFRIGERANT,
    )
    describe = staticmethod(describe)
