"""The whole vehicle's panels: the circuit with a fault, the charge curve, a hidden fault to find, your own readings."""

import functools

from thermo_kit.charts.vehicle import charge_picture, circuit_picture, named_bars
from thermo_kit.errors import InputError
from thermo_kit.fleet import fault, fault_names, vehicle, vehicle_names
from thermo_kit.panels.frame import Description, shows
from thermo_kit.panels.rows import rows_of, texts_of
from thermo_kit.panels.settings import choice, degrees, filled, number, panel, text
from thermo_kit.service.diagnosis import INSTRUMENTS
from thermo_kit.service.kept import AMBIENTS
from thermo_kit.service.mystery import LARGEST_TICKET, MEASUREMENTS, WORDS, draw_ticket, judge_verdict, told_by
from thermo_kit.service.own_vehicle import LIKE, REFRIGERANTS, OwnVehicle, diagnose_own, read_sheet, verdict_words
from thermo_kit.systems.vehicle import FAULTS, Conditions, charge_curve, fault_fits, solve_vehicle
from thermo_kit.units import Said, celsius, tell
from thermo_kit.units.look import percent

NAMES = vehicle_names()
SOUND = "none"
_BRANCHES = (("cabin", "cabin"), ("chiller", "chiller"), ("cabin and chiller", "both"))


@functools.lru_cache(maxsize=64)
def _solved(name, day, faults=()):
    return solve_vehicle(vehicle(name), day, faults)


_VEHICLE = choice("Vehicle", "parcel_van", [(f"{vehicle(one).title}, {vehicle(one).feed}", one) for one in NAMES])
_AMBIENT = degrees("Outside air", 35, 22, 42)


def _has_chiller(settings):
    return vehicle(settings.vehicle).chiller is not None


@panel("The whole vehicle")
class VehiclePanel:
    """A whole circuit with its pressures and temperatures, sound or with a fault."""

    vehicle: str = _VEHICLE
    fault: str = choice(
        "Fault", SOUND, ((SOUND, SOUND), *((FAULTS[one].title, one) for one in fault_names())),
        fits=lambda s, value: value == SOUND or fault_fits(value, vehicle(s.vehicle)),
    )  # fmt: skip
    size: float = number("Size of the fault", 0.5, "percent", 0.0, 1.0, needed=lambda s: s.fault != SOUND)
    ambient_temperature: float = _AMBIENT
    open_branches: str = choice(
        "Open branches", "cabin", _BRANCHES, help="A second one needs a vehicle with a chiller.",
        fits=lambda s, value: value == "cabin" or _has_chiller(s),
    )  # fmt: skip
    coolant_temperature: float = degrees("Coolant before the chiller", 25, 5, 45, needed=_has_chiller)
    relative_humidity: float = number("Humidity outside", 0.4, "percent", 0.1, 0.9)
    cabin_temperature: float = degrees("Cabin air", 25, 18, 45)
    fan_speed: float = number("Condenser fan, of full speed", 1.0, "percent", 0.3, 1.0)
    blower: float = number("Blower, of full speed", 0.8, "percent", 0.3, 1.0)
    recirculated: float = number("Share of cabin air", 0.8, "percent", 0.0, 1.0)

    def describe(self, look):
        """Solve the vehicle and draw it."""
        day = filled(
            Conditions, self, altitude=look.altitude, fan_speed_share=self.fan_speed, blower_share=self.blower,
            recirculated_share=self.recirculated, cabin_open=self.open_branches != "chiller",
            chiller_open=self.open_branches != "cabin",
        )  # fmt: skip
        faults = () if self.fault == SOUND else (fault(self.fault, self.size),)
        result = _solved(self.vehicle, day, faults)
        words = "" if self.fault == SOUND else FAULTS[self.fault].title
        chilled = result.chiller_capacity if result.spec.chiller else None
        rows = rows_of("VehiclePanel", look, result, coolant_cooling=chilled)
        for part, mass in result.charge.items():
            rows += rows_of("each part of VehiclePanel", look, part=part, mass=mass)
        rows += rows_of("last of VehiclePanel", look, result)
        happened = (f"What has happened: {FAULTS[self.fault].event}.",) if words else ()
        notes = (*texts_of("invented vehicle", look), *texts_of("at a real vehicle", look))
        return shows(circuit_picture(result, look, faulty=words), rows, (*happened, *result.notes, *notes))


@panel("How charge shows, and hides")
class ChargeCurvePanel:
    """Subcooling, head pressure and vent temperature from little to much charge."""

    vehicle: str = _VEHICLE
    ambient_temperature: float = _AMBIENT
    share: float = number("Charge, of the label's", 1.0, "percent", 0.5, 1.4)

    def describe(self, look):
        """Solve the vehicle over its charge."""
        spec = vehicle(self.vehicle)
        day = Conditions(ambient_temperature=self.ambient_temperature, altitude=look.altitude)
        curve = charge_curve(spec, day)
        solved = [pair for pair in zip(curve.charges, curve.results, strict=True) if pair[1] is not None]
        charge, one = min(solved, key=lambda pair: abs(pair[0] - spec.charge * self.share))
        rows = rows_of("ChargeCurvePanel", look, one, label=spec.charge, solved=charge)
        notes = ["Weigh what you fill: on the plateau no gauge tells the charge.", *texts_of("invented vehicle", look)]
        if curve.refused:
            notes.insert(0, "At the end of the curve a pressure switch would stop the compressor.")
        return shows(charge_picture(curve, spec.charge * self.share, spec.charge, look), rows, tuple(notes))


_GUESSES = ("higher than on a sound one", "about the same", "lower than on a sound one")
_MEASURE = ((SOUND, SOUND), *((f"{title}, {minutes:.0f} min", name) for name, (title, minutes) in MEASUREMENTS.items()))
_SURE = (("not yet", 0.0), *((f"{sure} % sure", sure / 100) for sure in (20, 35, 50, 65, 80, 90, 98)))
_WORTH = 3.0  # of the usual error of an instrument: less apart is "about the same"


@panel("What is wrong with this vehicle?")
class MysteryVehiclePanel:
    """A vehicle with a hidden fault: predict, measure, pay minutes, and commit to a fault with a confidence."""

    ticket: float = number("Ticket", 1, "ratio", 1, LARGEST_TICKET, step=1, decimals=0, slider=False)
    measure: str = choice(
        "Measure next", SOUND, _MEASURE, fits=lambda s, name: name == SOUND or _can_be_measured(s, name)
    )
    guess: str = choice(
        "My prediction", SOUND, (SOUND, *_GUESSES), help="Your prediction starts the measurement. Minutes count."
    )
    verdict: str = choice(
        "Your verdict", SOUND, ((SOUND, SOUND), *((FAULTS[one].title, one) for one in fault_names())),
        fits=lambda s, name: name == SOUND or name in _ticket(s).table.faults,
    )  # fmt: skip
    commit: float = choice("I commit, and am", 0.0, _SURE, help="This ends the job: what was wrong is told.")
    taken: tuple = ()
    committed: tuple = ()

    def follow(self, changed):
        """Take the measurement that was predicted; keep the verdict that was committed to."""
        if changed == "ticket":
            return {"taken": (), "committed": (), "commit": 0.0, "verdict": SOUND, "measure": SOUND, "guess": SOUND}
        begun = changed == "guess" and self.guess != SOUND and self.measure != SOUND
        if begun or (changed == "measure" and self.measure in WORDS):
            fresh = not self.committed and _can_be_measured(self, self.measure)
            told = (self.measure, self.guess if begun else "–")
            return {"taken": (*self.taken, told) if fresh else self.taken, "measure": SOUND, "guess": SOUND}
        if changed in ("verdict", "commit") and self.committed:
            return dict(zip(("verdict", "commit"), self.committed, strict=True))
        if changed == "verdict":
            return {"commit": 0.0}
        if changed == "commit" and self.commit:
            if self.verdict == SOUND:
                raise InputError.about("your verdict", "is missing", "", "choose a fault, then commit again")
            return {"committed": (self.verdict, self.commit)}
        return {}

    def describe(self, look):
        """Show what has been measured, and after the verdict what was wrong."""
        ticket = _ticket(self)
        spec, names = vehicle(ticket.vehicle), tuple(name for name, _ in self.taken)
        minutes = sum(MEASUREMENTS[name][1] for name in names)
        rows = [(MEASUREMENTS[name][0], *_answer(ticket, name, look), f"{MEASUREMENTS[name][1]:.0f} min", guess)
                for name, guess in self.taken]  # fmt: skip
        rows += rows_of("MysteryVehiclePanel", look, spec, ticket)
        heads = ("Measurement", "Reading", "A sound one shows", "Cost", "You predicted")
        drive = {"electric": "electric compressor", "clutch": "cycling clutch"}.get(spec.drive, "stroke control")
        notes = [f"{spec.title}: {spec.refrigerant}, {spec.feed}, {drive}.", *texts_of("at a real vehicle", look)]
        sentence = f"Ticket {ticket.number}, the {spec.title}: {len(names)} measurements, {minutes:.0f} minutes."
        bars = [(*MEASUREMENTS[name], f"{MEASUREMENTS[name][1]:.0f} min") for name in names]
        nothing = [("nothing measured yet", 0.0, "")]
        pictures = [named_bars(bars or nothing, "minutes of work", 15.0, sentence)]
        if self.committed:
            judged = judge_verdict(ticket, names, *self.committed)
            hits = sum(guess == _side(ticket, name) for name, guess in self.taken if name in ticket.readings)
            what = {"fault": FAULTS[ticket.fault].title, "sure": self.committed[1], "hits": hits}
            verdict = "Right" if judged.right else "Not so"
            (told,) = texts_of("told of MysteryVehiclePanel", look, ticket, judged, verdict=verdict, **what)
            sentence = f"{sentence} {told}"
            pictures.append(_chances(judged.model.candidates, f"The model says: {judged.model.words}"))
            after = ", ".join(
                f"{MEASUREMENTS[n][0]} {percent(share)}" for n, share in zip(names, judged.shares, strict=True)
            )
            what = {"event": FAULTS[ticket.fault].event, "after": after or "nothing was measured"}
            best, score = MEASUREMENTS[judged.best][0], texts_of("score of a verdict", look)
            happened = texts_of("MysteryVehiclePanel", look, best=best, **what)
            notes = [*happened, *_speaking(judged.model), *score, *notes]
        return Description(tuple(pictures), sentence, tuple(rows), tuple(notes), heads)


def _chances(candidates, sentence):
    """Draw the likeliest causes with the range of their size."""
    rows = [
        (one.title, 100 * one.probability, percent(one.probability)
         + (f", size {percent(one.low)} to {percent(one.high)}" if one.high and one.probability > 0.1 else ""))
        for one in candidates[:6] if one.probability >= 0.005
    ]  # fmt: skip
    return named_bars(rows, "probability in %", 100.0, sentence)


def _speaking(found):
    """Return in words the readings that speak for or against the first fault, or the three that come nearest to it."""
    return [one.words for i, one in enumerate(found.evidence) if i < 3 or abs(one.weight) > 0.3]


def _ticket(settings):
    return draw_ticket(round(settings.ticket))


def _can_be_measured(settings, name):
    ticket = _ticket(settings)
    return name not in dict(settings.taken) and (name in ticket.readings or name in ticket.heard)


def _side(ticket, name):
    """Return which of the guesses came true for a reading."""
    sound, tool = ticket.table.values[0, ticket.table.names.index(name)], INSTRUMENTS[name]
    off = (ticket.readings[name].value - sound) / (tool.accuracy + tool.relative * abs(sound))
    return _GUESSES[1 if abs(off) < _WORTH else 0 if off > 0 else 2]


def _answer(ticket, name, look):
    if name in ticket.heard:
        return ticket.heard[name], "–"
    kind = INSTRUMENTS[name].kind
    sound = ticket.table.values[0, ticket.table.names.index(name)]
    return look.text(ticket.readings[name].value, kind), look.text(float(sound), kind)


@panel("Your own readings")
class OwnReadingsPanel:
    """Somebody's own vehicle, from its label and what was measured: causes, evidence, the next measurement."""

    sheet: str = text(
        "Readings, one on each line",
        told_by()["sheet"]["example"],
        lines=6,
        help="A name, a colon, the value with its unit. Leave out what you did not measure.",
    )
    kind: str = choice("Valve, compressor drive", next(iter(LIKE)), tuple(LIKE))
    refrigerant: str = choice("Refrigerant", REFRIGERANTS[0], REFRIGERANTS)
    charge: float = number("Charge on the label", 0.52, of=OwnVehicle, step=(0.01, 0.5))
    ambient_temperature: float = number("Outside air", celsius(30), "temperature", AMBIENTS[0], AMBIENTS[-1])
    file: str = text("Or a CSV file", help="Its name, beside this notebook. Two columns: reading, value.")

    def describe(self, look):
        """Read the sheet, doubt it, and rank what explains it."""
        own = OwnVehicle(kind=self.kind, refrigerant=self.refrigerant, charge=self.charge)
        readings, skipped = read_sheet(self.file.strip() or self.sheet + "\n", look)
        found, remarks = diagnose_own(own, self.ambient_temperature, readings, altitude=look.altitude)
        sentence = tell(verdict_words(own, found), look)
        rows = tuple(
            (INSTRUMENTS[one.name].title, look.text(one.value, INSTRUMENTS[one.name].kind)) for one in readings
        )
        notes = [Said(f"Line {line} is not used: {{}}.", reason) for line, reason in skipped]
        notes += [*remarks, *_speaking(found)]
        if found.following:
            best = found.following[0]
            notes.append(f"Measure next: {INSTRUMENTS[best.name].title}, {best.minutes:.0f} min.")
        notes += [*texts_of("OwnReadingsPanel", look), *texts_of("at a real vehicle", look)]
        return shows(_chances(found.candidates, sentence), rows, tuple(notes))
