"""The whole vehicle's panels: the circuit with a fault, the charge curve, and a vehicle whose fault is to be found."""

import functools
import random

from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.fleet import fault, fault_names, vehicle, vehicle_names
from thermo_kit.panels.frame import Description
from thermo_kit.panels.settings import SHARE, TEMPERATURE, choice, number, panel
from thermo_kit.service.diagnosis import INSTRUMENTS, diagnose, readings_of
from thermo_kit.systems.vehicle import FAULTS, Conditions, charge_curve, fault_fits, solve_vehicle
from thermo_kit.units import celsius, tell

NAMES = vehicle_names()
INVENTED = "The vehicle is invented, and its parts are models: numbers of a real one differ, their directions do not."
CAREFUL = (
    "At a real vehicle: goggles and gloves at the gauges, no hands near belt and fan, high voltage only for those "
    "trained for it, and the vehicle maker's procedure and local rules first."
)
SOUND = "none"


@functools.lru_cache(maxsize=64)
def _solved(name, day, faults=()):
    return solve_vehicle(vehicle(name), day, faults)


def _vehicle(**more):
    return choice("Vehicle", "parcel_van", tuple((f"{vehicle(one).title}, {vehicle(one).feed}", one) for one in NAMES),
                  **more)  # fmt: skip


def _fault_choices(settings):
    fits = [one for one in fault_names() if fault_fits(one, vehicle(settings.vehicle))]
    return (SOUND, *fits)


def _ambient(default=35):
    return number("Outside air", celsius(default), low=celsius(22), high=celsius(42), **TEMPERATURE)


def _percent(share):
    return f"{share:.0%}"


@panel("The whole vehicle")
class VehiclePanel:
    """A whole circuit with its pressures and temperatures, sound or with a fault."""

    vehicle: str = _vehicle()
    fault: str = choice(
        "Fault", SOUND, ((SOUND, SOUND), *((FAULTS[one].title, one) for one in fault_names())),
        fits=lambda s, value: value == SOUND or fault_fits(value, vehicle(s.vehicle)),
    )  # fmt: skip
    size: float = number("Size of the fault", 0.5, low=0.0, high=1.0, needed=lambda s: s.fault != SOUND, **SHARE)
    ambient_temperature: float = _ambient()
    relative_humidity: float = number("Humidity outside", 0.4, low=0.1, high=0.9, **SHARE)
    cabin_temperature: float = number("Cabin air", celsius(25), low=celsius(18), high=celsius(45), **TEMPERATURE)
    fan_speed: float = number("Condenser fan, of full speed", 1.0, low=0.3, high=1.0, **SHARE)
    blower: float = number("Blower, of full speed", 0.8, low=0.3, high=1.0, **SHARE)
    recirculated: float = number("Share of cabin air", 0.8, low=0.0, high=1.0, **SHARE)

    def describe(self, look):
        """Solve the vehicle and draw it."""
        from thermo_kit.charts.vehicle_circuit import circuit_picture

        day = Conditions(
            ambient_temperature=self.ambient_temperature, relative_humidity=self.relative_humidity,
            cabin_temperature=self.cabin_temperature, fan_speed_share=self.fan_speed, blower_share=self.blower,
            recirculated_share=self.recirculated, altitude=look.altitude,
        )  # fmt: skip
        faults = () if self.fault == SOUND else (fault(self.fault, self.size),)
        result = _solved(self.vehicle, day, faults)
        words = "" if self.fault == SOUND else FAULTS[self.fault].title
        picture = circuit_picture(result, look, faulty=words)
        rows = [
            ("Suction superheat", look.text(result.suction_superheat, "temperature_difference")),
            ("Cooling", look.text(result.cooling_capacity, "power")),
            ("Compressor power", look.text(result.compressor_power, "power")),
            ("Coefficient of performance", f"{result.coefficient_of_performance:.2f}"),
            ("Refrigerant flow", look.text(result.mass_flow, "mass_flow")),
            ("Compressor works at", _percent(result.running_share)),
            ("Humidity at the vent", _percent(result.vent_humidity)),
            ("Charge in all", look.text(result.spec.charge, "mass")),
            *((f"of it in the {part}", look.text(mass, "mass")) for part, mass in result.charge.items()),
        ]
        if result.supply_current is not None:
            rows.append(("Direct current", look.text(result.supply_current, "current")))
        notes = [*result.notes, INVENTED, CAREFUL]
        if words:
            notes.insert(0, f"What has happened: {FAULTS[self.fault].event}.")
        return Description((picture,), picture.sentence, tuple(rows), tuple(notes))


@panel("How charge shows, and hides")
class ChargeCurvePanel:
    """Subcooling, head pressure and vent temperature from little to much charge."""

    vehicle: str = _vehicle()
    ambient_temperature: float = _ambient()
    share: float = number("Charge, of the label's", 1.0, low=0.5, high=1.4, **SHARE)

    def describe(self, look):
        """Solve the vehicle over its charge."""
        from thermo_kit.charts.charge_curve import charge_picture

        spec = vehicle(self.vehicle)
        day = Conditions(ambient_temperature=self.ambient_temperature, altitude=look.altitude)
        curve = charge_curve(spec, day)
        picture = charge_picture(curve, spec.charge * self.share, spec.charge, look)
        shown = min(
            ((charge, one) for charge, one in zip(curve.charges, curve.results, strict=True) if one is not None),
            key=lambda pair: abs(pair[0] - spec.charge * self.share),
        )  # fmt: skip
        charge, one = shown
        rows = (
            ("Label charge", look.text(spec.charge, "mass")),
            ("Solved nearest to it", look.text(charge, "mass")),
            ("High side", look.text(one.discharge_pressure, "gauge_pressure")),
            ("Low side", look.text(one.suction_pressure, "gauge_pressure")),
            ("Subcooling", look.text(one.subcooling, "temperature_difference")),
            ("Superheat", look.text(one.superheat, "temperature_difference")),
            ("Vent air", look.text(one.vent_temperature, "temperature")),
        )
        notes = ["Weigh what you fill: on the plateau no gauge tells the charge.", INVENTED]
        if curve.refused:
            notes.insert(0, "At the end of the curve a pressure switch would stop the compressor.")
        return Description((picture,), picture.sentence, rows, tuple(notes))


TICKETS = 30


@functools.cache
def mystery(ticket):
    """Return (vehicle, day, fault, readings with their errors) of a ticket number."""
    chance = random.Random(f"mystery vehicle {ticket}")
    while True:
        name = chance.choice(NAMES)
        spec = vehicle(name)
        one = fault(chance.choice([kind for kind in fault_names() if fault_fits(kind, spec)]), chance.uniform(0.4, 0.9))
        day = Conditions(ambient_temperature=celsius(chance.choice((28, 31, 34))))
        try:
            result = solve_vehicle(spec, day, one)
        except (NoSolutionError, OutOfRangeError):
            continue
        readings = {read.name: read for read in readings_of(result, INSTRUMENTS, noise=chance)}
        return name, day, one, readings


@panel("What is wrong with this vehicle?")
class MysteryVehiclePanel:
    """A vehicle with a hidden fault: measure, pay minutes, and commit to a fault with a confidence."""

    ticket: int = choice("Ticket", 1, range(1, TICKETS + 1))
    first: str = choice(
        "Measure first", SOUND, ((SOUND, SOUND), *((tool.title, one) for one, tool in INSTRUMENTS.items()))
    )
    second: str = choice("then", SOUND, ((SOUND, SOUND), *((tool.title, one) for one, tool in INSTRUMENTS.items())))
    third: str = choice("then", SOUND, ((SOUND, SOUND), *((tool.title, one) for one, tool in INSTRUMENTS.items())))
    fourth: str = choice("then", SOUND, ((SOUND, SOUND), *((tool.title, one) for one, tool in INSTRUMENTS.items())))
    fifth: str = choice("then", SOUND, ((SOUND, SOUND), *((tool.title, one) for one, tool in INSTRUMENTS.items())))
    verdict: str = choice("Your verdict", SOUND, ((SOUND, SOUND), *((FAULTS[one].title, one) for one in fault_names())))
    confidence: float = number("How sure you are", 0.5, low=0.0, high=1.0, **SHARE)

    def describe(self, look):
        """Show what has been measured, and after the verdict what was wrong."""
        from thermo_kit.charts.minutes import minutes_picture

        name, day, hidden, readings = mystery(self.ticket)
        spec = vehicle(name)
        taken, missing = [], []
        for one in (self.first, self.second, self.third, self.fourth, self.fifth):
            if one != SOUND and one not in taken:
                (taken if one in readings else missing).append(one)
        minutes = sum(INSTRUMENTS[one].minutes for one in taken)
        rows = [
            (INSTRUMENTS[one].title, look.text(readings[one].value, INSTRUMENTS[one].kind),
             f"{INSTRUMENTS[one].minutes:.0f} min") for one in taken
        ]  # fmt: skip
        rows += [(INSTRUMENTS[one].title, "this vehicle has none", "–") for one in missing]
        rows.append(("Label charge", look.text(spec.charge, "mass"), "–"))
        rows.append(("Outside air", look.text(day.ambient_temperature, "temperature"), "–"))
        notes = [f"{spec.title}: {spec.refrigerant}, {spec.feed}, compressor: {spec.drive}.", CAREFUL]
        sentence = f"Ticket {self.ticket}, the {spec.title}: {len(taken)} measurements, {minutes:.0f} minutes."
        if self.verdict != SOUND:
            right = self.verdict == hidden.name
            score = 1.0 - (float(right) - self.confidence) ** 2
            sentence += (
                f" {'Right' if right else 'Not so'}: it was {FAULTS[hidden.name].title}, size {hidden.severity:.0%}. "
                f"Score {score:.2f} of 1 in {minutes:.0f} minutes."
            )
            notes.insert(0, f"What had happened: {FAULTS[hidden.name].event}.")
            if taken:
                found = diagnose(spec, day, tuple(readings[one] for one in taken), even=True)
                notes += [tell(one.words, look) for one in found.evidence]
                notes.append(f"The model's own verdict from your readings. {found.words}")
                if found.following:
                    best = found.following[0]
                    notes.append(f"It would measure next: {INSTRUMENTS[best.name].title}, {best.minutes:.0f} min.")
        picture = minutes_picture([(INSTRUMENTS[one].title, INSTRUMENTS[one].minutes) for one in taken], sentence)
        return Description((picture,), sentence, tuple(rows), tuple(notes), ("Measurement", "Reading", "Cost"))
