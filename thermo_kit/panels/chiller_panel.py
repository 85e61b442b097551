"""The learner sets a plate chiller in steady work and watches how near its coldest wall comes to freezing."""

from dataclasses import dataclass

from thermo_kit.components.chiller import ChillerSpec, solve_chiller
from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.panels.freeze_parts import COOLANT, SHARE, mixture_of
from thermo_kit.units import celsius


@dataclass(frozen=True, kw_only=True)
class ChillerSettings:
    """Coolant, its glycol [kg/kg], flow [kg/s] and inlet [K], boiling temperature [K], deposit [m² K/W], channels fed
    [-], direction of flow."""

    coolant: str = "ethylene glycol"
    mass_fraction: float = 0.30
    coolant_flow: float = 0.20
    coolant_inlet_temperature: float = celsius(15)
    evaporating_temperature: float = celsius(-1)
    fouling: float = 0.0
    fed_channels: float = 1.0
    counterflow: bool = True


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.chiller_plate import chiller_plate

    result = solve_chiller(
        ChillerSpec(
            **mixture_of(settings),
            coolant_flow=settings.coolant_flow,
            coolant_inlet_temperature=settings.coolant_inlet_temperature,
            evaporating_temperature=settings.evaporating_temperature,
            fouling=settings.fouling,
            fed_channels=settings.fed_channels,
            counterflow=settings.counterflow,
        )
    )
    picture = chiller_plate(result, look)
    rows = (
        ("Cooling", look.text(result.cooling_capacity, "power")),
        ("Coolant out", look.text(result.coolant_outlet_temperature, "temperature")),
        ("Coldest wall", look.text(result.coldest_wall_temperature, "temperature")),
        ("Coolant freezes at", look.text(result.freezing_point, "temperature")),
        ("Freeze margin", look.text(result.freeze_margin, "temperature_difference")),
        ("Low side", look.text(result.evaporating_pressure, "pressure")),
        ("Refrigerant flow", look.text(result.mass_flow, "mass_flow")),
        ("Coolant loses", look.text(result.coolant_pressure_drop, "pressure_difference", 1)),
    )
    return Description((picture,), picture.sentence, rows, result.notes)


class ChillerPanel(Panel):
    """A plate chiller in steady work, with its freeze margin."""

    title = "How near to freezing?"
    Settings = ChillerSettings
    controls = (
        NumberControl(
            "evaporating_temperature", "Refrigerant boils at", "temperature",
            low=celsius(-25), high=celsius(8), step=0.5, us_step=1,
        ),
        NumberControl("coolant_flow", "Coolant flow", "mass_flow", low=0.02, high=0.5, step=0.01, us_step=1),
        COOLANT, SHARE,
        NumberControl(
            "coolant_inlet_temperature", "Coolant comes in at", "temperature",
            low=celsius(10), high=celsius(40), step=0.5, us_step=1,
        ),
        ChoiceControl(
            "fouling", "Deposit on the plates",
            (("none", 0.0), ("thin", 5e-5), ("thick", 2e-4)), help="Invented steps; on the coolant side.",
        ),
        ChoiceControl(
            "fed_channels", "Coolant channels filled",
            (("all", 1.0), ("three quarters", 0.75), ("half: air in the loop", 0.5)),
        ),
        ChoiceControl("counterflow", "Coolant flows", (("against the refrigerant", True), ("along with it", False))),
    )  # fmt: skip
    describe = staticmethod(describe)
