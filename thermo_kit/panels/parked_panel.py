"""The learner reads gauge and thermometer on a parked vehicle and sees what they can and cannot tell."""

from dataclasses import dataclass, replace

from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.systems import ParkedSpec, judge_parked
from thermo_kit.units import atmosphere_pressure, barg, celsius, format_quantity


@dataclass(frozen=True, kw_only=True)
class ParkedSettings:
    """Refrigerant [name], gauge reading [Pa absolute], temperature [K] and inside volume [m³] of a parked system."""

    refrigerant: str = "R-134a"
    pressure: float = barg(5.6)
    temperature: float = celsius(25)
    volume: float = 0.003
    pressure_accuracy: float = 10e3
    temperature_accuracy: float = 1.0


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.saturation_curve import SaturationMark, saturation_picture
    from thermo_kit.substances.lines import saturation_curve

    result = judge_parked(
        ParkedSpec(
            refrigerant=settings.refrigerant,
            pressure=settings.pressure,
            temperature=settings.temperature,
            volume=settings.volume,
            pressure_accuracy=settings.pressure_accuracy,
            temperature_accuracy=settings.temperature_accuracy,
        )
    )
    curve = saturation_curve(settings.refrigerant)
    mark = SaturationMark(settings.temperature, settings.pressure, "your reading")
    picture = saturation_picture((curve,), look, marks=(mark,))
    seen = (
        f"The boiling line of {curve.refrigerant}, pressure over temperature. Your reading, "
        f"{look.text(mark.T, 'temperature')} and {look.text(mark.p, 'pressure')}, lies {_PLACES[result.verdict]}."
    )
    return Description(
        pictures=(replace(picture, sentence=seen),),
        sentence=_SENTENCES[result.verdict](result, look),
        rows=_rows(result, look),
        notes=(*_empty(result, look), *result.notes, Refrigerant(settings.refrigerant).facts.caution),
    )


def _empty(result, look):
    """Return a note where the gauge shows no more than the air around it, and no cold liquid explains that."""
    air = atmosphere_pressure(look.altitude)
    gone = result.verdict in ("all vapour", "too warm for liquid")
    return (_AS_GOOD_AS_EMPTY,) if gone and result.spec.pressure <= air + result.spec.pressure_accuracy else ()


_AS_GOOD_AS_EMPTY = (
    "About the pressure of the air around, or less: as good as empty. Air and moisture may be inside. "
    "Find the leak, fit a new drier and evacuate before anything is filled in, as the vehicle maker says."
)


def _mass(value, look):
    return format_quantity(value, "mass", look.system)


def _gap(value, look):
    """A pressure difference in the unit of the gauge, so that it can be compared with the reading."""
    text = format_quantity(abs(value), "pressure", look.system)
    return text.replace(" bar abs", " bar").replace("psia", "psi")


def _rows(result, look):
    rows = [("Your reading", look.text(result.spec.pressure, "pressure"))]
    if result.saturation_pressure is not None:
        side = "above" if result.excess >= 0 else "below"
        rows += [
            ("Boiling pressure there", look.text(result.saturation_pressure, "pressure")),
            ("Gap between them", f"{_gap(result.excess, look)} {side}"),
            ("Gauge and thermometer error", _gap(result.tolerance, look)),
        ]
    if result.least_charge == result.most_charge:
        rows.append(("Charge in this volume", _mass(result.least_charge, look)))
    elif result.excess_share == 0.0:
        rows += [
            ("Least charge that fits", _mass(result.least_charge, look)),
            ("Most charge that fits", _mass(result.most_charge, look)),
        ]
    else:
        rows.append(("Pressure left unexplained", f"{result.excess_share * 100:.0f} %"))
    return tuple(rows)


def _saturated(result, look):
    return (
        "The reading fits the boiling pressure: there is liquid and vapour inside. How much liquid, it cannot tell: "
        f"any charge from {_mass(result.least_charge, look)} to {_mass(result.most_charge, look)} reads the same."
    )


def _all_vapour(result, look):
    return (
        "The reading is below the boiling pressure: no liquid is left. In this volume there are only "
        f"{_mass(result.most_charge, look)} of vapour."
    )


def _above(result, look):
    return (
        f"The reading is {_gap(result.excess, look)} above the boiling pressure: more than gauge and thermometer "
        f"explain. If it is air, air makes up {result.excess_share * 100:.0f} % of the gas above the liquid."
    )


def _no_liquid(result, look):
    return (
        f"It is warmer than the critical temperature, so nothing can be liquid. This volume holds "
        f"{_mass(result.most_charge, look)}."
    )


_SENTENCES = {
    "saturated": _saturated,
    "all vapour": _all_vapour,
    "above saturation": _above,
    "too warm for liquid": _no_liquid,
}


_PLACES = {
    "saturated": "on the line, as far as gauge and thermometer can tell",
    "all vapour": "below the line, where all is vapour",
    "above saturation": "above the line, where refrigerant alone would be liquid only",
    "too warm for liquid": "warmer than the end of the line",
}


def _highest(settings):
    return 120e5 if Refrigerant(settings.refrigerant).critical_temperature < celsius(60) else 30e5


class ParkedSystemPanel(Panel):
    """Gauge and thermometer on a vehicle at rest."""

    title = "A parked system: what does the gauge tell?"
    Settings = ParkedSettings
    controls = (
        ChoiceControl("refrigerant", "Refrigerant", REFRIGERANT_NAMES),
        NumberControl("pressure", "Gauge reading", "gauge_pressure", low=10e3, high=_highest, step=0.1e5, us_step=1),
        NumberControl(
            "temperature", "Temperature of all parts", "temperature",
            low=celsius(-30), high=celsius(60), step=0.5, us_step=1,
        ),
        NumberControl(
            "volume", "Inside volume", "volume", low=0.0005, high=0.012, step=0.0005, us_step=0.1,
            help="Of the whole circuit. The vehicle maker's papers rarely name it: 3 litres is invented.",
        ),
    )  # fmt: skip
    describe = staticmethod(describe)
