"""Lesson 01: a gauge at any altitude, the boiling line, and a vehicle at rest."""

from dataclasses import replace

from thermo_kit.charts.pressure import pressure_ladder, saturation_picture
from thermo_kit.panels.frame import Description, shows
from thermo_kit.panels.rows import rows_of, texts_of
from thermo_kit.panels.settings import choice, degrees, number, panel
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.substances.lines import saturation_curve
from thermo_kit.systems import ParkedSpec, judge_parked
from thermo_kit.units import atmosphere_pressure, barg, celsius, format_quantity

COLDEST, HOTTEST = celsius(-40), celsius(95)
_PRESSURE = {"low": 0.0, "high": 40e5, "fixed": True}


@panel("Gauge and absolute pressure")
class PressurePanel:
    """One pressure on the gauge and absolute; move either."""

    gauge_reading: float = number(
        "Gauge reading", barg(2.0), "gauge_pressure", **_PRESSURE,
        help="Absolute minus surrounding air. Below zero: vacuum.",
    )  # fmt: skip
    absolute: float = number(
        "Absolute pressure", barg(2.0), "pressure", **_PRESSURE, help="Counted from a perfect vacuum."
    )

    def describe(self, look):
        """Show one pressure on two scales."""
        pressure, air = self.gauge_reading, atmosphere_pressure(look.altitude)
        read, absolute, around = _gauge(pressure, look), _absolute(pressure, look), _absolute(air, look)
        rows = rows_of("PressurePanel", look, look, read=read, absolute=absolute, around=around)
        note = "Standard air for this altitude. Weather shifts it by about 3 kPa (0.03 bar, 0.4 psi) either way."
        return shows(pressure_ladder(pressure, look), rows, (note,))

    def follow(self, changed):
        """Return the value that the other control takes on."""
        return {"gauge_reading": self.absolute} if changed == "absolute" else {"absolute": self.gauge_reading}


def _gauge(pressure, look):
    return format_quantity(pressure, "gauge_pressure", look.system, look.altitude)


def _absolute(pressure, look):
    return format_quantity(pressure, "pressure", look.system)


def _dew_pressure(settings, temperature):
    return Refrigerant(settings.refrigerant).dew_pressure(temperature)


def _warmest(settings):
    return min(HOTTEST, Refrigerant(settings.refrigerant).critical_temperature - 0.1)


@panel("Boiling pressure and boiling temperature")
class SaturationPanel:
    """Boiling temperature and boiling pressure; move either."""

    refrigerant: str = choice("Refrigerant", "R-134a", REFRIGERANT_NAMES)
    temperature: float = number(
        "Temperature", celsius(25), "temperature", COLDEST, _warmest, help="Move this one: the pressure follows."
    )
    pressure: float = number(
        "Pressure", barg(5.64), "gauge_pressure", lambda s: _dew_pressure(s, COLDEST),
        lambda s: _dew_pressure(s, _warmest(s)), step=(0.1e5, 1), help="Or this one: the temperature follows.",
    )  # fmt: skip

    def describe(self, look):
        """Show a point on the boiling line."""
        fluid = Refrigerant(self.refrigerant)
        liquid, vapour = (fluid.at(T=self.temperature, x=x).rho for x in (0.0, 1.0))
        mark = (self.temperature, self.pressure, "liquid and vapour")
        picture = saturation_picture((saturation_curve(fluid.name),), look, marks=(mark,))
        read, absolute = _gauge(self.pressure, look), _absolute(self.pressure, look)
        told = {"read": read, "absolute": absolute, "liquid": liquid, "vapour": vapour}
        rows = rows_of("SaturationPanel", look, self, fluid, **told)
        (sentence,) = texts_of("told of SaturationPanel", look, self, fluid)
        return Description((picture,), sentence, rows, (fluid.facts.caution,))

    def follow(self, changed):
        """Return the pressure that belongs to the temperature, or the temperature that belongs to the pressure."""
        if changed == "pressure":
            return {"temperature": Refrigerant(self.refrigerant).dew_temperature(self.pressure)}
        return {"pressure": _dew_pressure(self, self.temperature)}


def _highest(settings):
    return 120e5 if Refrigerant(settings.refrigerant).critical_temperature < celsius(60) else 30e5


@panel("A parked system: what does the gauge tell?")
class ParkedSystemPanel:
    """Gauge and thermometer on a vehicle at rest."""

    refrigerant: str = choice("Refrigerant", "R-134a", REFRIGERANT_NAMES)
    pressure: float = number("Gauge reading", barg(5.6), "gauge_pressure", of=ParkedSpec, high=_highest)
    temperature: float = degrees("Temperature of all parts", 25, -30, 60)
    volume: float = number(
        "Inside volume", 0.003, of=ParkedSpec, low=0.0005, high=0.012, step=(0.0005, 0.1),
        help="Of the whole circuit. The vehicle maker's papers rarely name it: 3 litres is invented.",
    )  # fmt: skip

    def describe(self, look):
        """Compare a reading with the boiling pressure."""
        result = judge_parked(ParkedSpec(**vars(self)))
        mark = (self.temperature, self.pressure, "your reading")
        picture = saturation_picture((saturation_curve(self.refrigerant),), look, marks=(mark,))
        sentence, place = texts_of(result.verdict, look, result, gap=_gap(result.excess or 0.0, look))
        (seen,) = texts_of("seen in ParkedSystemPanel", look, self, place=place)
        notes = (*_empty(result, look), *result.notes, Refrigerant(self.refrigerant).facts.caution)
        return Description((replace(picture, sentence=seen),), sentence, _rows(result, look), notes)


def _empty(result, look):
    """Return a note where the gauge shows no more than the air around it, and no cold liquid explains that."""
    air = atmosphere_pressure(look.altitude)
    gone = result.verdict in ("all vapour", "too warm for liquid")
    is_empty = gone and result.spec.pressure <= air + result.spec.pressure_accuracy
    return texts_of("good as empty", look) if is_empty else ()


def _gap(value, look):
    """A pressure difference in the unit of the gauge, so that it can be compared with the reading."""
    return _absolute(abs(value), look).replace(" bar abs", " bar").replace("psia", "psi")


def _rows(result, look):
    rows = rows_of("ParkedSystemPanel", look, result)
    if result.saturation_pressure is not None:
        side = "above" if result.excess >= 0 else "below"
        gap, error = _gap(result.excess, look), _gap(result.tolerance, look)
        rows += rows_of("two phases of ParkedSystemPanel", look, result, gap=gap, side=side, error=error)
    charge = "range of charge" if result.excess_share == 0.0 else "gas above"
    if result.least_charge == result.most_charge:
        charge = "charge"
    return rows + rows_of(f"{charge} of ParkedSystemPanel", look, result)
