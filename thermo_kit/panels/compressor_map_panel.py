"""The learner moves an operating point over the efficiency map and watches one pocket beside it."""

from dataclasses import dataclass

from thermo_kit.components.compressor import efficiency_map, rpm
from thermo_kit.panels.compressor_parts import (
    EVAPORATING,
    MACHINE,
    REFRIGERANT,
    SPEED,
    machine_of,
    run_at,
    usual_voltage,
)
from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.substances import Refrigerant
from thermo_kit.units import format_both

SUPERHEAT = 8.0


@dataclass(frozen=True, kw_only=True)
class MapSettings:
    """Machine, refrigerant, boiling temperature [K], speed [rad/s], pressure ratio [-]."""

    machine: str = "van"
    refrigerant: str = "R-1234yf"
    evaporating_temperature: float = EVAPORATING[3]
    speed: float = rpm(4000)
    pressure_ratio: float = 4.0


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.compressor_map import map_picture

    spec = machine_of(settings)
    suction = Refrigerant(settings.refrigerant).dew_pressure(settings.evaporating_temperature)
    voltage = usual_voltage(settings.machine)
    result = run_at(
        spec,
        refrigerant=settings.refrigerant,
        suction_pressure=suction,
        superheat=SUPERHEAT,
        discharge_pressure=settings.pressure_ratio * suction,
        speed=settings.speed,
        voltage=voltage,
    )
    charted = efficiency_map(
        spec,
        refrigerant=settings.refrigerant,
        suction_pressure=suction,
        suction_temperature=settings.evaporating_temperature + SUPERHEAT,
        supply_voltage=voltage,
    )
    picture = map_picture(charted, result, look)
    pocket = result.pocket
    rows = (
        ("Isentropic efficiency", f"{result.isentropic_efficiency * 100:.0f} %"),
        ("Volumetric efficiency", f"{result.volumetric_efficiency * 100:.0f} %"),
        ("Pressure outside", look.text(pocket.discharge_pressure, "pressure")),
        ("Pocket opens at", look.text(pocket.opening_pressure, "pressure")),
        ("Built-in volume ratio", f"{pocket.volume_ratio:.2f}"),
        ("Pressure ratio that it makes", f"{result.built_in_pressure_ratio:.2f}"),
        ("Verdict", result.mismatch),
        ("Power lost by it", look.text(max(result.mismatch_loss, 0.0), "electric_power")),
        ("Electric power", look.text(result.electric_power, "electric_power")),
        ("Hot gas", look.text(result.discharge_temperature, "temperature")),
    )
    notes = (
        f"Reckoned with {look.text(SUPERHEAT, 'temperature_difference')} superheat, {look.text(voltage, 'voltage')}.",
        *result.notes,
    )
    return Description((picture,), picture.sentence, rows, notes)


class CompressorMapPanel(Panel):
    """Efficiency over speed and pressure ratio, and over- or under-compression of one pocket."""

    title = "The map of a compressor"
    Settings = MapSettings
    controls = (
        SPEED,
        NumberControl(
            "pressure_ratio",
            "Pressure ratio",
            "ratio",
            low=1.2,
            high=7.0,
            step=0.1,
            us_step=0.1,
            help="Absolute discharge pressure by absolute suction pressure.",
        ),
        ChoiceControl(
            "evaporating_temperature", "Boils at", tuple((format_both(t, "temperature"), t) for t in EVAPORATING)
        ),
        MACHINE,
        REFRIGERANT,
    )
    describe = staticmethod(describe)

    @staticmethod
    def follow(settings, changed):
        """Keep the speed where a machine newly chosen may run."""
        if changed != "machine":
            return {}
        spec = machine_of(settings)
        return {"speed": min(max(settings.speed, spec.lowest_speed), spec.highest_speed)}
