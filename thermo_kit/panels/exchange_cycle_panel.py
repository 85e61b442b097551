"""The learner turns an internal heat exchanger up and sees what happens to the cycle."""

from dataclasses import dataclass

from thermo_kit.errors import NoSolutionError
from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.exchange_parts import (
    CONDENSING,
    EFFICIENCY,
    EVAPORATING,
    GAS_COOLER,
    LIMIT,
    SUBCOOLING,
    SUPERHEAT,
    effect_rows,
    signed,
    spec_of,
)  # fmt: skip
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.substances import REFRIGERANT_NAMES
from thermo_kit.systems import effect_of_effectiveness, largest_effectiveness
from thermo_kit.units import bar, celsius


@dataclass(frozen=True, kw_only=True)
class ExchangeCycleSettings:
    """A refrigerant [name], its cycle: temperatures [K], pressure [Pa], efficiency and effectiveness [-]; limit [K]."""

    refrigerant: str = "R-1234yf"
    effectiveness: float = 0.5
    evaporating_temperature: float = celsius(2)
    condensing_temperature: float = celsius(50)
    superheat: float = 5.0
    subcooling: float = 5.0
    gas_cooler_pressure: float = bar(110)
    isentropic_efficiency: float = 0.65
    discharge_limit: float = celsius(120)


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.exchange_diagram import exchange_diagram
    from thermo_kit.substances.lines import property_lines

    spec = spec_of(settings)
    effect = effect_of_effectiveness(spec, settings.effectiveness)
    own, limit = effect.with_exchanger, settings.discharge_limit
    allowed = _allowed(spec, limit, look)
    sentence = (
        f"{own.refrigerant}: with the same compressor the exchanger changes the cooling by "
        f"{signed(effect.volumetric_capacity_change)} and the COP by {signed(effect.cop_change)}. The hot gas leaves "
        f"at {look.text(own.discharge_temperature, 'temperature')}, "
        f"{'above' if own.discharge_temperature > limit else 'below'} the limit {look.text(limit, 'temperature', 0)}."
    )
    picture = exchange_diagram(property_lines(settings.refrigerant, look.system), effect, look)
    notes = (*own.notes, "No pressure loss in the exchanger is counted here: the panel with the tubes does that.")
    return Description((picture,), sentence, (*effect_rows(effect, look), ("Largest allowed", allowed)), notes)


def _allowed(spec, limit, look):
    try:
        found = largest_effectiveness(spec, limit)
    except NoSolutionError:
        return "none: too hot already"
    if found.limited_by == "discharge temperature":
        return f"{found.effectiveness:.2f}"
    return "any" if found.limited_by == "nothing" else f"{found.effectiveness:.2f} ({found.limited_by})"


class ExchangeCyclePanel(Panel):
    """A cycle with and without an internal heat exchanger, on the pressure-enthalpy diagram."""

    title = "Two cycles: without and with an internal heat exchanger"
    Settings = ExchangeCycleSettings
    controls = (
        ChoiceControl("refrigerant", "Refrigerant", REFRIGERANT_NAMES),
        NumberControl(
            "effectiveness", "Effectiveness", "ratio", low=0.0, high=0.95, step=0.01,
            help="0: a plain line. 1: endlessly long.",
        ),
        EVAPORATING, CONDENSING, SUPERHEAT, SUBCOOLING, EFFICIENCY, GAS_COOLER, LIMIT,
    )  # fmt: skip
    describe = staticmethod(describe)
