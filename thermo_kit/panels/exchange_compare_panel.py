"""The learner gives five refrigerants the same exchanger and sees for which it pays, and which gets too hot."""

from dataclasses import dataclass

from thermo_kit.panels.controls import NumberControl
from thermo_kit.panels.exchange_parts import (
    CONDENSING,
    EFFICIENCY,
    EVAPORATING,
    GAS_COOLER,
    LIMIT,
    SUBCOOLING,
    SUPERHEAT,
    signed,
)  # fmt: skip
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.systems import ExchangeJob, compare_exchange
from thermo_kit.units import bar, celsius

_MOST_FAIR = 0.5
"""A larger gain of the COP only says that there was hardly any cooling to compare with: our own choice."""


@dataclass(frozen=True, kw_only=True)
class ExchangeCompareSettings:
    """Effectiveness [-], the job: temperatures [K], pressure [Pa], efficiency [-]; and the hot gas limit [K]."""

    effectiveness: float = 0.5
    discharge_limit: float = celsius(120)
    evaporating_temperature: float = celsius(2)
    condensing_temperature: float = celsius(50)
    superheat: float = 5.0
    subcooling: float = 5.0
    gas_cooler_pressure: float = bar(110)
    isentropic_efficiency: float = 0.65


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.exchange_curves import exchange_curves

    compared = compare_exchange(
        ExchangeJob(
            evaporating_temperature=settings.evaporating_temperature,
            condensing_temperature=settings.condensing_temperature,
            superheat=settings.superheat,
            subcooling=settings.subcooling,
            gas_cooler_pressure=settings.gas_cooler_pressure,
            isentropic_efficiency=settings.isentropic_efficiency,
            effectiveness=settings.effectiveness,
            discharge_limit=settings.discharge_limit,
        )
    )
    picture = exchange_curves(compared, settings.effectiveness, settings.discharge_limit, look)
    rows = tuple((row.curve.refrigerant, _row_text(row, look)) for row in compared)
    notes = ["No pressure loss in the exchanger is counted here; in ordinary tubes it takes a point or two."]
    above = [row.curve.refrigerant for row in compared if row.curve.above_critical]
    if above:
        outlet = look.text(settings.condensing_temperature - settings.subcooling, "temperature")
        pressure = look.text(settings.gas_cooler_pressure, "pressure", 1)
        notes.append(f"{', '.join(above)}: too hot to condense, cooled as a gas to {outlet} at {pressure}.")
    return Description((picture,), _sentence(compared, settings, look), rows, tuple(notes))


def _row_text(row, look):
    allowed = (
        "limit: none allowed" if row.largest_effectiveness is None else f"limit at {row.largest_effectiveness:.2f}"
    )
    if row.limited_by == "nothing":
        allowed = "never at the limit"
    elif row.limited_by != "discharge temperature":
        allowed = f"ends at {row.largest_effectiveness:.2f}"
    if row.chosen is None:
        return f"not possible, {allowed}"
    return (
        f"cooling {signed(row.chosen.volumetric_capacity_change)}, COP {signed(row.chosen.cop_change)}, hot gas "
        f"{look.text(row.chosen.discharge_temperature, 'temperature', 0)}, {allowed}"
    )


def _sentence(compared, settings, look):
    able = [row for row in compared if row.chosen is not None]
    if not able:
        return "None of them can pass so much heat."
    hot = [row.curve.refrigerant for row in able if row.chosen.discharge_temperature > settings.discharge_limit]
    limit = look.text(settings.discharge_limit, "temperature", 0)
    told = f"At an effectiveness of {settings.effectiveness:.2f} {_verdict(able)}"
    return f"{told} Hotter than {limit}: {', '.join(hot) if hot else 'none'}."


def _verdict(able):
    if all(signed(row.chosen.cop_change) == signed(0.0) for row in able):
        return "nothing changes."
    fair = [row for row in able if row.chosen.cop_change <= _MOST_FAIR]
    unfair = ", ".join(row.curve.refrigerant for row in able if row not in fair)
    apart = f" Hardly cools without it, no fair comparison: {unfair}." if unfair else ""
    if not fair:
        return f"none can be compared.{apart}"
    best = max(fair, key=lambda row: row.chosen.cop_change)
    least = min(fair, key=lambda row: row.chosen.cop_change)
    return (
        f"it does most for {best.curve.refrigerant}, COP {signed(best.chosen.cop_change)}, and least for "
        f"{least.curve.refrigerant}, COP {signed(least.chosen.cop_change)}.{apart}"
    )


class ExchangeComparePanel(Panel):
    """The same exchanger for every refrigerant of the workbook."""

    title = "For which refrigerant does it pay?"
    Settings = ExchangeCompareSettings
    controls = (
        NumberControl("effectiveness", "Effectiveness", "ratio", low=0.0, high=1.0, step=0.01),
        LIMIT, EVAPORATING, CONDENSING, SUPERHEAT, SUBCOOLING, EFFICIENCY, GAS_COOLER,
    )  # fmt: skip
    describe = staticmethod(describe)
