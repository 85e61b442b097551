"""The learner cuts a double tube to length and sees both temperatures along it."""

from dataclasses import dataclass

from thermo_kit.components.internal_heat_exchanger import ExchangerSpec
from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.exchange_parts import (
    CONDENSING,
    EVAPORATING,
    GAS_COOLER,
    SUBCOOLING,
    SUPERHEAT,
    effect_rows,
    signed,
    spec_of,
)  # fmt: skip
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.substances import REFRIGERANT_NAMES
from thermo_kit.systems import with_internal_heat_exchanger
from thermo_kit.units import bar, celsius

LONGEST = 2.5


@dataclass(frozen=True, kw_only=True)
class ExchangerSettings:
    """The tubes [m], which stream is inside, flow [kg/s], the cycle: temperatures [K], pressure [Pa], efficiency."""

    refrigerant: str = "R-1234yf"
    length: float = 1.2
    inner_diameter: float = 0.014
    gap: float = 0.0015
    wall_thickness: float = 0.0012
    vapour_path: str = "inner tube"
    mass_flow: float = 0.030
    evaporating_temperature: float = celsius(2)
    condensing_temperature: float = celsius(50)
    superheat: float = 5.0
    subcooling: float = 5.0
    gas_cooler_pressure: float = bar(110)
    isentropic_efficiency: float = 0.65


def tubes_of(settings):
    """Return the double tube that the settings describe."""
    return ExchangerSpec(
        length=settings.length,
        inner_diameter=settings.inner_diameter,
        wall_thickness=settings.wall_thickness,
        outer_diameter=settings.inner_diameter + 2 * (settings.wall_thickness + settings.gap),
        vapour_path=settings.vapour_path,
    )


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.exchanger_profile import exchanger_profile, length_text

    effect = with_internal_heat_exchanger(spec_of(settings), tubes_of(settings), settings.mass_flow)
    result = effect.exchanger
    rows = (
        ("Effectiveness", f"{result.effectiveness:.2f}"),
        ("Heat passed", look.text(result.heat_flow, "power")),
        ("Vapour loses", look.text(result.vapour_pressure_drop, "pressure_difference")),
        ("Liquid loses", look.text(result.liquid_pressure_drop, "pressure_difference")),
        ("Film, vapour side", look.text(result.vapour_coefficient, "heat_transfer_coefficient")),
        ("Film, liquid side", look.text(result.liquid_coefficient, "heat_transfer_coefficient")),
        *effect_rows(effect, look),
    )
    sentence = (
        f"{length_text(settings.length, look)} of double tube reach an effectiveness of {result.effectiveness:.2f}. "
        f"With friction counted and the same compressor, the cooling changes by "
        f"{signed(effect.volumetric_capacity_change)} and the COP by {signed(effect.cop_change)}."
    )
    notes = (*effect.notes, "Smooth tubes. Real lines often have grooves and do better.")
    return Description((exchanger_profile(result, look, span=LONGEST),), sentence, rows, notes)


class ExchangerPanel(Panel):
    """A double tube from its sizes: effectiveness, temperatures along it, pressure losses."""

    title = "Inside the double tube"
    Settings = ExchangerSettings
    controls = (
        ChoiceControl("refrigerant", "Refrigerant", REFRIGERANT_NAMES),
        NumberControl("length", "Length", "length", low=0.1, high=LONGEST, step=0.05, us_step=2, decimals=0),
        NumberControl(
            "inner_diameter", "Bore of the inner tube", "length", low=0.005, high=0.025, step=0.0005, us_step=0.02,
        ),
        NumberControl("gap", "Gap round it", "length", low=0.0005, high=0.005, step=0.0001, us_step=0.01),
        ChoiceControl(
            "vapour_path", "The vapour flows", (("inside", "inner tube"), ("in the gap", "annulus")),
            help="Its own big tube, or the gap round the liquid.",
        ),
        NumberControl(
            "mass_flow", "Flow without exchanger", "mass_flow", low=0.005, high=0.08, step=0.001, us_step=0.1,
        ),
        EVAPORATING, CONDENSING, SUPERHEAT, SUBCOOLING, GAS_COOLER,
    )  # fmt: skip
    describe = staticmethod(describe)
