"""The learner lets the insulation of the compressor fall and watches the whole system."""

from dataclasses import dataclass

from thermo_kit.components.insulation import InsulationSpec, judge_insulation
from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.frame import Description, Panel


@dataclass(frozen=True, kw_only=True)
class InsulationSettings:
    """Voltage [V], insulation of compressor and of all other parts [ohm], kind of circuit."""

    voltage: float = 400.0
    compressor: float = 5e6
    others: float = 2e6
    circuit: str = "alternating or both"


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.insulation_scale import insulation_picture, ohms

    result = judge_insulation(
        InsulationSpec(
            voltage=settings.voltage,
            compressor=settings.compressor,
            others=settings.others,
            circuit=settings.circuit,
        )
    )
    picture = insulation_picture(result, look)
    rows = (
        ("Whole system", ohms(result.resistance)),
        ("Least value", ohms(result.least_resistance)),
        ("By voltage", f"{result.ohm_per_volt:,.0f} Ω/V"),
        ("Could leak to the body", f"{result.leak_current * 1e3:.2f} mA"),
        ("Weakest", result.weakest),
        ("Verdict", "reaches the least value" if result.passes else "too little: out of service"),
    )
    notes = (
        "A picture, not a permit: measuring and working on high voltage is for trained and named persons only.",
        "Least value for approval by UN Regulation No. 100, which lets the lower one do where alternating parts "
        "are specially enclosed. The maker's own limit may be higher and goes first.",
    )
    return Description((picture,), picture.sentence, rows, notes)


class InsulationPanel(Panel):
    """Insulation of compressor and other parts against the least value."""

    title = "Insulation of the whole system"
    Settings = InsulationSettings
    controls = (
        NumberControl(
            "compressor",
            "Compressor to the body",
            "resistance",
            low=50e3,
            high=10e6,
            step=50e3,
            us_step=50,
            help="2 MΩ is 2,000 kΩ.",
        ),
        NumberControl("others", "All other parts to the body", "resistance", low=50e3, high=5e6, step=50e3, us_step=50),
        NumberControl("voltage", "Highest working voltage", "voltage", low=60.0, high=1000.0, step=10.0, us_step=10),
        ChoiceControl(
            "circuit",
            "Circuit",
            (("alternating, or direct and alternating joined", "alternating or both"), ("direct only", "direct only")),
        ),
    )
    describe = staticmethod(describe)
