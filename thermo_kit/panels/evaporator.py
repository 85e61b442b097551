"""The coil, its air on the chart, a cabin that cools, and two vents with a fault."""

from dataclasses import replace

from thermo_kit.charts.cabin import after_text, pull_down_picture, vents_picture
from thermo_kit.charts.evaporator import coil_picture, drip_text, frost_text, moist_air_picture, places_of
from thermo_kit.components.evaporator import air_process, moist_air_lines, solve_evaporator
from thermo_kit.errors import OutOfRangeError
from thermo_kit.fleet import part_of, title_of, vehicles_with
from thermo_kit.panels.frame import shows
from thermo_kit.panels.rows import rows_of, texts_of
from thermo_kit.panels.settings import choice, degrees, filled, number, panel
from thermo_kit.systems import VENT_FAULTS, CabinSpec, pull_down, two_vents
from thermo_kit.units import atmosphere_pressure

VEHICLE = "parcel_van"
HOUR, POINTS = 3600.0, 121
HIDDEN = {
    "case A": ("slow blower", 0.55),
    "case B": ("starved coil", 0.45),
    "case C": ("blocked fins", 0.65),
    "case D": ("damper leaks", 0.25),
}
"""Cases whose fault is not told: fault and size."""
_LEAST_AIR = 0.06
"""A fifth of it, which the slow blower leaves, is what the coil can still be asked for [m³/s]."""


_AIR = degrees("Air in front of the coil", 30, 15, 50)
_HUMIDITY = number("Its relative humidity", 0.5, "percent", 0.05, 0.95)


def _of_usual(share):
    """Limit a blower to a share of what is usual in its vehicle."""
    return lambda settings: round(share * _usual(settings.vehicle).air_flow, 3)


def _air_flow(low=0.03, high=0.18):
    return number("Air flow of the blower", 0.11, "air_flow", low=low, high=high, step=(10.0 / 3600.0, 5))


def _boils(lowest=-8):
    return degrees("Refrigerant boils at", 3, lowest, 12)


def _usual(vehicle=VEHICLE):
    return part_of(vehicle, "evaporator_conditions")


def _conditions(look, settings, vehicle=VEHICLE, **others):
    """Return what the coil works with by the settings, at the altitude of the workshop."""
    return filled(_usual(vehicle), settings, air_pressure=atmosphere_pressure(look.altitude), **others)


def _coil_notes(look, vehicle=VEHICLE):
    return texts_of("depot's coil", look, vehicle=", ".join(title_of(vehicle)))


def _work_notes(look, vehicle=VEHICLE):
    return *texts_of("coil at work", look), *_coil_notes(look, vehicle)


class _Coil:
    """A coil and the air in front of it."""

    air_temperature: float = _AIR
    relative_humidity: float = _HUMIDITY
    air_flow: float = _air_flow(_of_usual(0.03 / 0.11), _of_usual(0.18 / 0.11))
    evaporating_temperature: float = _boils()
    superheat: float = number("Superheat at the outlet", 5.0, "temperature_difference", 0.0, 20.0)
    vehicle: str = choice("Coil", VEHICLE, ((title_of(one)[0], one) for one in vehicles_with("evaporator_conditions")))
    blocked_share: float = number("Blocked share of the face", 0.0, "percent", 0.0, 0.8)

    def process(self, look):
        """Solve the coil and follow the air through it."""
        coil = replace(part_of(self.vehicle, "evaporator"), blocked_share=self.blocked_share)
        return air_process(solve_evaporator(coil, _conditions(look, self, self.vehicle)))

    def follow(self, changed):
        """Give a coil newly chosen the air that its blower usually moves."""
        return {"air_flow": _usual(self.vehicle).air_flow} if changed == "vehicle" else {}


@panel("What leaves the coil")
class EvaporatorPanel(_Coil):
    """A coil in section: wet and dry fins, boiling and superheated part, air in front and behind."""

    def describe(self, look):
        """Show the coil."""
        process = self.process(look)
        result = process.result
        drips, frost = drip_text(result.condensate, look), frost_text(process, look)
        rows = rows_of("EvaporatorPanel", look, result, drips=drips, frost=frost)
        return shows(coil_picture(process, look), rows, (*result.notes, *_work_notes(look, self.vehicle)))


@panel("Air on its way through the coil")
class MoistAirPanel(_Coil):
    """Temperature and water of the air on its way through the coil."""

    blocked_share: float = 0.0

    def describe(self, look):
        """Show the way on the chart."""
        process = self.process(look)
        result = process.result
        picture = moist_air_picture(process, moist_air_lines(result.conditions.air_pressure), look)
        rows = ()
        for place, name, air in places_of(result):
            rows += rows_of("MoistAirPanel", look, air, place=place, name=name)
        rows += rows_of("fins of MoistAirPanel", look, result)
        heads = ("Place", "Temperature", "Relative humidity", "Water in the air", "Dew point")
        return shows(picture, rows, (*result.notes, *_work_notes(look, self.vehicle)), heads)


@panel("How long until the cabin is cool?")
class PullDownPanel:
    """A hot cabin over an hour."""

    start_temperature: float = degrees("Cabin at the start", 55, lambda s: s.outside_temperature, 75, step=(1.0, 2))
    outside_temperature: float = degrees("Outside air", 32, 20, 45)
    relative_humidity: float = number("Humidity outside", 0.4, "percent", 0.1, 0.9)
    air_flow: float = _air_flow()
    recirculated_share: float = number(
        "Recirculated share of the air", 0.8, "percent", 0.0, 1.0, help="The rest comes from outside."
    )
    sun: float = number("Sun through the glass", 700.0, of=CabinSpec, high=1500.0, step=(20.0, 50))
    people: int = choice("People in the cabin", 1, range(5))
    evaporating_temperature: float = _boils(-5)
    wish: float = degrees("Cool enough at", 25, 20, 30)

    def describe(self, look):
        """Follow the cabin."""
        cabin = filled(CabinSpec, self, fresh_air_share=1.0 - self.recirculated_share)
        outside = _conditions(look, self, air_temperature=self.outside_temperature)
        coil, ends = part_of(VEHICLE, "evaporator"), {"start": self.start_temperature, "wish": self.wish}
        result = pull_down(cabin, outside, coil, **ends, duration=HOUR, points=POINTS)
        picture = pull_down_picture(result, look, wish=self.wish, outside=self.outside_temperature)
        notes = (*result.notes, *texts_of("PullDownPanel", look), *_coil_notes(look))
        return shows(picture, rows_of("PullDownPanel", look, result, cool=after_text(result)), notes)


@panel("Two vents, one fault")
class TwoVentsPanel:
    """Two vent thermometers under a fault, beside those of a sound coil."""

    fault: str = choice("Fault", "none", (*VENT_FAULTS, *((f"{name}: fault hidden", name) for name in HIDDEN)))
    size: float = number(
        "Size of the fault", 0.3, "percent", 0.0, 1.0, help="The sentence says what it means.",
        needed=lambda s: s.fault in VENT_FAULTS[1:],
    )  # fmt: skip
    air_temperature: float = _AIR
    relative_humidity: float = _HUMIDITY
    air_flow: float = _air_flow(_LEAST_AIR)
    evaporating_temperature: float = _boils()

    def __post_init__(self):
        if self.fault not in (*VENT_FAULTS, *HIDDEN):
            known = ", ".join((*VENT_FAULTS, *HIDDEN))
            raise OutOfRangeError.about("fault", repr(self.fault), "is not known here", f"use one of {known}")

    def describe(self, look):
        """Read both vents."""
        hidden = self.fault in HIDDEN
        fault, size = HIDDEN.get(self.fault, (self.fault, self.size))
        case = two_vents(part_of(VEHICLE, "evaporator"), _conditions(look, self), fault=fault, size=size)
        picture = vents_picture(case, look, name=self.fault[0].upper() + self.fault[1:] if hidden else None)

        drips, usual = (drip_text(vents.coil.condensate, look) for vents in (case.faulty, case.sound))
        told = {"now": case.faulty, "sound": case.sound, "drips": drips, "usual": usual}
        rows = rows_of("TwoVentsPanel", look, **told)
        rows += rows_of("coil of TwoVentsPanel, hidden" if hidden else "coil of TwoVentsPanel", look, **told)
        noted = () if hidden else case.faulty.coil.notes
        notes = (*texts_of("TwoVentsPanel", look), *noted, *_work_notes(look))
        return shows(picture, rows, notes, ("", "Now", "Sound coil"))
