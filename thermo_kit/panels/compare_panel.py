"""The learner gives five refrigerants the same job and sees what differs."""

from dataclasses import dataclass

from thermo_kit.panels.controls import NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.systems.comparison import ComparisonSpec, compare_refrigerants
from thermo_kit.units import celsius, format_quantity


@dataclass(frozen=True, kw_only=True)
class CompareSettings:
    """The job: evaporating and condensing temperature [K], superheat [K], subcooling [K], isentropic efficiency [-]."""

    evaporating_temperature: float = celsius(0)
    condensing_temperature: float = celsius(45)
    superheat: float = 5.0
    subcooling: float = 5.0
    isentropic_efficiency: float = 0.7


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.refrigerant_bars import ComparedRefrigerant, refrigerant_bars

    compared = compare_refrigerants(
        ComparisonSpec(
            evaporating_temperature=settings.evaporating_temperature,
            condensing_temperature=settings.condensing_temperature,
            superheat=settings.superheat,
            subcooling=settings.subcooling,
            isentropic_efficiency=settings.isentropic_efficiency,
        )
    )
    bars = tuple(
        ComparedRefrigerant(
            row.refrigerant,
            row.cycle.evaporating_pressure,
            row.cycle.condensing_pressure,
            row.cycle.discharge_temperature,
            row.suction_volume_flow,
            row.cycle.coefficient_of_performance,
            row.above_critical,
        )
        for row in compared
    )
    rows = tuple(_row(row, look) for row in compared)
    notes = ["The same isentropic efficiency for all is an assumption that makes the refrigerants comparable."]
    outlet = look.text(settings.condensing_temperature - settings.subcooling, "temperature")
    for row in compared:
        if row.above_critical:
            notes.append(
                f"{row.refrigerant} is too hot to condense. It is cooled as a gas to {outlet} at {_chosen(row, look)}."
            )
    picture = refrigerant_bars(bars, look)
    return Description((picture,), _sentence(compared, settings, look), rows, tuple(notes), _HEADS)


def _chosen(row, look):
    """Say at which gas cooler pressure, and why: the limits are absolute pressures, so they are named so."""
    pressure = row.cycle.condensing_pressure
    if row.limit:
        beyond = "higher" if row.limit == "highest" else "lower"
        limit = format_quantity(pressure, "pressure", look.system)
        return f"{limit}, the {row.limit} this panel goes to; the best COP lies at a {beyond} pressure"
    return f"{look.text(pressure, 'pressure')}, chosen for the best COP"


_HEADS = ("Refrigerant", "Low side", "High side", "Hot gas", "Suction volume for 1 kW", "COP")


def _row(row, look):
    return (
        row.refrigerant,
        look.text(row.cycle.evaporating_pressure, "pressure"),
        look.text(row.cycle.condensing_pressure, "pressure"),
        look.text(row.cycle.discharge_temperature, "temperature"),
        look.text(row.suction_volume_flow, "volume_flow"),
        f"{row.cycle.coefficient_of_performance:.2f}",
    )


def _sentence(compared, settings, look):
    best = max(compared, key=lambda row: row.cycle.coefficient_of_performance)
    worst = min(compared, key=lambda row: row.cycle.coefficient_of_performance)
    hottest = max(compared, key=lambda row: row.cycle.discharge_temperature)
    return (
        f"Between {look.text(settings.evaporating_temperature, 'temperature')} and "
        f"{look.text(settings.condensing_temperature, 'temperature')} {best.refrigerant} has the highest COP, "
        f"{best.cycle.coefficient_of_performance:.2f}, and {worst.refrigerant} the lowest, "
        f"{worst.cycle.coefficient_of_performance:.2f}. {hottest.refrigerant} has the hottest gas, "
        f"{look.text(hottest.cycle.discharge_temperature, 'temperature')}."
    )


class ComparePanel(Panel):
    """The same temperatures for every refrigerant of the workbook."""

    title = "Same job, different numbers"
    Settings = CompareSettings
    controls = (
        NumberControl(
            "evaporating_temperature", "Evaporating temperature", "temperature",
            low=celsius(-30), high=celsius(20), step=0.5, us_step=1,
        ),
        NumberControl(
            "condensing_temperature", "Condensing temperature", "temperature",
            low=celsius(25), high=celsius(70), step=0.5, us_step=1,
            help="R-744 above its critical temperature is cooled as a gas instead.",
        ),
        NumberControl("superheat", "Superheat", "temperature_difference", low=0.0, high=30.0, step=0.5, us_step=1),
        NumberControl("subcooling", "Subcooling", "temperature_difference", low=0.0, high=20.0, step=0.5, us_step=1),
        NumberControl("isentropic_efficiency", "Isentropic efficiency", "ratio", low=0.3, high=1.0, step=0.01),
    )  # fmt: skip
    describe = staticmethod(describe)
