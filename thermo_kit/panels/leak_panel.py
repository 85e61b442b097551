"""The learner lets a whole charge leak into a closed space and compares with the published limits."""

from dataclasses import dataclass

from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.substances import REFRIGERANT_NAMES, facts_of
from thermo_kit.systems import LeakSpec, spread_leak
from thermo_kit.units import format_quantity


@dataclass(frozen=True, kw_only=True)
class LeakSettings:
    """Which refrigerant [name], how much of it [kg], into how much air [m³]."""

    refrigerant: str = "R-1234yf"
    charge: float = 0.6
    volume: float = 3.0


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.limit_bar import concentration_picture

    result = spread_leak(LeakSpec(refrigerant=settings.refrigerant, charge=settings.charge, volume=settings.volume))
    picture = concentration_picture(result, look)
    facts = facts_of(settings.refrigerant)
    burns = result.lower_flammability_limit
    rows = (
        ("Safety class", str(facts.safety_class.value)),
        ("Concentration", f"{result.concentration * 1e3:.1f} g/m³"),
        (
            "Lower flammability limit",
            f"{burns * 1e3:.0f} g/m³" if burns else "does not burn in air at room temperature",
        ),
        ("Share of that limit", f"{result.concentration / burns * 100:.0f} %" if burns else "–"),
        ("Limit for people", f"{result.limit_for_people * 1e3:.1f} g/m³"),
        ("Charge that spreads to the limit for people", format_quantity(result.largest_charge, "mass", look.system)),
    )
    return Description(pictures=(picture,), sentence=picture.sentence, rows=rows, notes=(facts.caution, *result.notes))


class LeakPanel(Panel):
    """A leaked charge beside the limits of the standards."""

    title = "If it all leaks out"
    Settings = LeakSettings
    controls = (
        ChoiceControl("refrigerant", "Refrigerant", REFRIGERANT_NAMES),
        NumberControl("charge", "Charge that leaks", "mass", low=0.0, high=5.0, step=0.01, us_step=0.5),
        NumberControl(
            "volume", "Air in the closed space", "volume", low=1.0, high=100.0, step=0.5, decimals=0,
            help="A driver's cab holds 2,000 to 4,000 litres; a workshop bay fifty times that.",
        ),
    )  # fmt: skip
    describe = staticmethod(describe)
