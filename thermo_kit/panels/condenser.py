"""The condenser's panels: a core to rebuild, its passes at a held pressure, two cores side by side, and its fins."""

import functools
import re
from dataclasses import replace
from typing import ClassVar

from thermo_kit.charts import condenser as charts
from thermo_kit.charts.condenser import ComparedQuantity as Row
from thermo_kit.charts.condenser_core import core_picture
from thermo_kit.components import condenser as parts
from thermo_kit.components.louvered_fins import fin_geometry, fins_per_inch
from thermo_kit.errors import InputError
from thermo_kit.fleet import part_of, title_of, vehicles_with
from thermo_kit.panels.frame import Description, shows
from thermo_kit.panels.rows import rows_of, texts_of
from thermo_kit.panels.settings import choice, degrees, number, panel, text
from thermo_kit.substances import Refrigerant, facts_of
from thermo_kit.substances.stream import stream_at
from thermo_kit.units import UnitSystem, atmosphere_pressure, barg, celsius
from thermo_kit.units.words import WORDS

WITHOUT_RECEIVER = 6.0
"""Subcooling of a core without receiver [K]; invented, near what such systems show."""
VEHICLES = tuple(name for name in vehicles_with("condenser_job") if name in vehicles_with("condenser"))
BEFORE_LAST, AFTER_LAST, NONE = -1, -2, 0
RECEIVER_PLACES = (
    ("before the last pass", BEFORE_LAST),
    ("after the last pass", AFTER_LAST),
    *((f"after pass {number}", number) for number in range(1, 12)),
    ("no receiver", NONE),
)
PATCHES = {
    "all over the face": None,
    "in the lowest sixth": (0, 0, 0, 0, 0, 1),
    "in the lower third": (0, 0, 1),
    "in the upper third": (1, 0, 0),
}
AIR_PROFILES = {"even": (1.0,), "weak in the lower half": (1.3, 0.7), "weak in the upper half": (0.7, 1.3)}
_DENSITIES = tuple(fins_per_inch(count) for count in range(12, 41, 2))
_VAN = part_of("parcel_van", "condenser")


def read_tubes(typed):
    """Read the tubes of each pass from what a learner typed."""
    words = [word for word in re.split(r"[\s,;+/-]+", typed.strip()) if word]
    if not words or not all(word.isascii() and word.isdigit() for word in words):
        advice = "write one number for each pass, in flow order, for example 17, 10, 6"
        raise InputError.about("tubes in each pass", f'"{typed}"', "is not a list of whole numbers", advice)
    return tuple(int(word) for word in words)


def write_tubes(tubes):
    """Write the tubes of each pass as a learner types them."""
    return ", ".join(str(count) for count in tubes)


def receiver_pass(place, tubes):
    """Return the pass after which the receiver sits."""
    if place == BEFORE_LAST and len(tubes) < 2:
        advice = "add a pass, or set the receiver after the last pass"
        raise InputError.about("receiver", "before the last pass", "needs two passes or more", advice)
    return {NONE: None, AFTER_LAST: len(tubes), BEFORE_LAST: len(tubes) - 1}.get(place, place)


def with_dirt(core, share, where="all over the face"):
    """Return a core with dirt on its face; share [-]."""
    bands = PATCHES[where]
    if bands is None:
        return replace(core, blocked_fraction=share)
    return replace(core, blocked_profile=tuple(share * band for band in bands))


def shift_text(first, second, kind, look):
    """Write second minus first with its sign, a pressure in the unit the gauges show.

    first [SI unit of the kind], second [SI unit of the kind].
    """
    if kind in ("pressure", "gauge_pressure"):
        si = look.system is UnitSystem.SI
        told = f"{look.number(second, kind) - look.number(first, kind):+.{2 if si else 1}f} {'bar' if si else 'psi'}"
    else:
        told = look.text(second - first, "temperature_difference" if kind == "temperature" else kind)
    bare = told.lstrip("+-−")
    if not any(digit in bare for digit in "123456789"):
        return bare
    return f"{'−' if second < first else '+'}{bare}"


def _fins(label, count=20):
    low, start, high = map(fins_per_inch, (12, count, 40))
    return number(label, start, "fin_density", low, high, step=fins_per_inch(0.5))


def _tubes(label, **more):
    return text(label, _VAN.tubes, read=read_tubes, write=write_tubes, **more)


_RECEIVER = choice(
    "Receiver sits", BEFORE_LAST, RECEIVER_PLACES,
    fits=lambda s, place: place <= len(s.tubes) and (place != BEFORE_LAST or len(s.tubes) > 1),
)  # fmt: skip


def _blocked(label, most):
    return number(label, 0.0, "percent", 0.0, most, step=0.05)


def _usual(vehicle):
    core, job = part_of(vehicle, "condenser"), part_of(vehicle, "condenser_job")
    fins = core.fins.fin_density
    return {"tubes": core.tubes, "fins": fins, "fewer": 0.8 * fins, "cooling": job.cooling, "flow": job.mass_flow}


class _Air:
    """The air in front of a core."""

    air_temperature: float = degrees("Air in front of the core", 40, 15, 50)
    fan_speed: float = number("Fan speed, of full speed", 1.0, "percent", 0.2, 1.2, step=0.05)
    driving_speed: float = number(
        "Driving speed", 0.0, "driving_speed", 0.0, 120 / 3.6,
        help="0 is idle. Beside a slow fan the wind counts too little here.",
    )  # fmt: skip

    def air(self, look):
        """Return the air in front of the core, at the altitude of the workshop."""
        return parts.AirConditions(
            temperature=self.air_temperature, pressure=atmosphere_pressure(look.altitude),
            fan_speed_share=self.fan_speed, driving_speed=self.driving_speed,
        )  # fmt: skip


class _Vehicle:
    """A vehicle's core and job, and what goes along when the vehicle changes."""

    usual: ClassVar = {}
    """Which settings go along, and which of the usual values they take."""
    vehicle: str = choice("Vehicle", "parcel_van", [(", ".join(title_of(name)), name) for name in VEHICLES])

    @property
    def core(self):
        """The vehicle's own core."""
        return part_of(self.vehicle, "condenser")

    @property
    def job(self):
        """What is usually asked of it."""
        return part_of(self.vehicle, "condenser_job")

    def follow(self, changed):
        """Take along what was usual for another vehicle, when a vehicle is chosen; what the learner set stays."""
        if changed != "vehicle":
            return {}
        here, set_to = _usual(self.vehicle), vars(self)
        others = [_usual(name) for name in VEHICLES if name != self.vehicle]
        return {
            name: here[what] for name, what in self.usual.items() if any(set_to[name] == one[what] for one in others)
        }


class _Duty(_Vehicle):
    """What the circuit of a vehicle asks for."""

    cooling: float = number(
        "Cooling asked for", part_of("parcel_van", "condenser_job").cooling, "power", lambda s: s.job.least_cooling,
        lambda s: s.job.most_cooling, step=(100.0, 250),
    )  # fmt: skip

    @property
    def duty(self):
        """What the circuit asks for."""
        return parts.CompressorDuty(
            refrigerant=title_of(self.vehicle)[1], evaporating_temperature=celsius(5), cooling_capacity=self.cooling
        )


@panel("A walk through the condenser")
class CondenserPanel(_Air, _Duty):
    """A core to rebuild: passes, receiver, fins, dirt, air."""

    usual: ClassVar = {"tubes": "tubes", "fin_density": "fins", "cooling": "cooling"}
    tubes: tuple = _tubes("Tubes in each pass", help="In flow order: 17, 10, 6.")
    receiver: int = _RECEIVER
    last_pass_at: str = choice("Last pass lies at the", "bottom", ("bottom", "top"))
    fin_density: float = _fins("Fin density")
    blocked: float = _blocked("Blocked share", 0.9)
    blocked_where: str = choice("Blocked where", "all over the face", PATCHES)
    air_profile: str = choice("Air over the face", "even", AIR_PROFILES)

    @property
    def rebuilt(self):
        """The core that the settings describe."""
        core = replace(
            parts.with_fin_density(self.core, self.fin_density), tubes=self.tubes,
            receiver_after=receiver_pass(self.receiver, self.tubes), subcooling_pass_at=self.last_pass_at,
            air_profile=AIR_PROFILES[self.air_profile],
        )  # fmt: skip
        return with_dirt(core, self.blocked, self.blocked_where)

    def describe(self, look):
        """Walk through the core."""
        core = self.rebuilt
        subcooling = WITHOUT_RECEIVER if core.receiver_after is None else None
        head = parts.condensing_pressure_for(core, self.duty, self.air(look), subcooling=subcooling)
        result = head.condenser
        above = head.condensing_temperature - result.air.temperature
        rows = rows_of("CondenserPanel", look, head, result, above=above)
        picture = core_picture(result, parts.pass_spans(core), look)
        flux = "; ".join(f"pass {one.number}: {look.text(one.mass_flux, 'mass_flux')}" for one in result.passes)
        notes = [f"Mass flux, {flux}.", *result.notes, *texts_of("job of a condenser", look)]
        if subcooling is not None:
            held = look.text(subcooling, "temperature_difference")
            notes.append(f"Without receiver the system is taken to be charged to {held} of subcooling.")
        told = "Head pressure {condensing_pressure:pressure}, compressor {compressor_power:electric_power}. "
        sentence = look.say(told, head) + picture.sentence
        return Description((picture,), sentence, rows, (*notes, facts_of(head.duty.refrigerant).caution))


@panel("Pass by pass, at a held pressure")
class CondenserPathPanel(_Air, _Vehicle):
    """Vapour share, temperature and mass flux along the way."""

    usual: ClassVar = {"tubes": "tubes", "mass_flow": "flow"}
    pressure: float = number("Head pressure", barg(14.0), "gauge_pressure", barg(7), barg(24), step=(0.1e5, 2))
    mass_flow: float = number(
        "Refrigerant flow", part_of("parcel_van", "condenser_job").mass_flow, "mass_flow", lambda s: s.job.least_flow,
        lambda s: s.job.most_flow,
    )  # fmt: skip
    tubes: tuple = _tubes("Tubes in each pass", help="In flow order: 17, 10, 6.")
    receiver: int = _RECEIVER
    superheat: float = number("Hot gas above condensing", 14.0, "temperature_difference", 0.5, 50.0)
    air_temperature: float = degrees("Air in front of the core", 38, 15, 50)

    def describe(self, look):
        """Follow the refrigerant at a pressure that is held."""
        name = title_of(self.vehicle)[1]
        hot = Refrigerant(name).dew_temperature(self.pressure) + self.superheat
        core = replace(self.core, tubes=self.tubes, receiver_after=receiver_pass(self.receiver, self.tubes))
        result = parts.solve_condenser(core, stream_at(name, self.mass_flow, p=self.pressure, T=hot), self.air(look))
        rows = rows_of("CondenserPathPanel", look, result, fed=_feed(result.receiver, look), left=_outlet(result, look))
        for one in result.passes:
            rows += rows_of("each pass of CondenserPathPanel", look, one)
        return shows(charts.path_picture(result, look), rows, (*result.notes, *texts_of("CondenserPathPanel", look)))


def _feed(feed, look):
    if feed is None:
        return "no receiver"
    if feed.vapour_carried:
        return f"{100 * feed.quality:.1f} % vapour"
    return f"liquid, {look.text(feed.subcooling, 'temperature_difference')} subcooled"


def _outlet(result, look):
    if result.outlet_quality is not None:
        return f"{100 * result.outlet_quality:.1f} % vapour"
    if result.subcooling > 0.0:
        return f"liquid, {look.text(result.subcooling, 'temperature_difference')} subcooled"
    return f"gas at {look.text(result.outlet_temperature, 'temperature')}"


_SHIFTED = ("condensing_pressure", "condensing_temperature", "compressor_power", "discharge_temperature")


@panel("Two cores, the same job")
class CompareCoresPanel(_Air, _Duty):
    """Two cores under the same duty and at the same pressure."""

    usual: ClassVar = {
        "first_fins": "fins", "second_fins": "fewer", "first_tubes": "tubes", "second_tubes": "tubes",
        "cooling": "cooling",
    }  # fmt: skip
    first_fins: float = _fins("First core: fins")
    second_fins: float = _fins("Second core: fins", 16)
    first_blocked: float = _blocked("First core: blocked", 0.7)
    second_blocked: float = _blocked("Second core: blocked", 0.7)
    first_tubes: tuple = _tubes("First core: tubes in each pass")
    second_tubes: tuple = _tubes("Second core: tubes in each pass")

    def _rebuilt(self, tubes, fins, blocked):
        core = replace(self.core, tubes=tubes, receiver_after=max(len(tubes) - 1, 1))
        return with_dirt(parts.with_fin_density(core, fins), blocked)

    @property
    def cores(self):
        """Both cores."""
        first = self._rebuilt(self.first_tubes, self.first_fins, self.first_blocked)
        return first, self._rebuilt(self.second_tubes, self.second_fins, self.second_blocked)

    def describe(self, look):
        """Set both side by side."""
        compared = parts.compare_cores(*self.cores, self.duty, self.air(look))
        first, second = compared.first, compared.second
        picture = charts.comparison_picture(tuple(compared_rows(compared, look)), ("First core", "Second core"), look)

        shifts = {
            name: shift_text(getattr(first, name), getattr(second, name), WORDS[name].kind, look) for name in _SHIFTED
        }
        rows = rows_of("CompareCoresPanel", look, first=first, second=second, **shifts)
        power = charts.percent_words(compared.compressor_power_ratio - 1)
        cooling = charts.percent_words(compared.capacity_ratio_at_equal_pressure - 1)
        (sentence,) = texts_of("told of CompareCoresPanel", look, compared, power=power, cooling=cooling)
        caution = facts_of(title_of(self.vehicle)[1]).caution
        notes = (*second.condenser.notes, *texts_of("job of a condenser", look), caution)
        return Description((picture,), sentence, rows, notes)


def compared_rows(compared, look):
    """Yield the rows of the picture."""
    a, b = compared.first, compared.second
    air = a.condenser.air.temperature
    pressures = a.condensing_pressure, b.condensing_pressure
    hot = a.discharge_temperature, b.discharge_temperature
    yield Row("Head pressure", *pressures, "pressure", "more", difference=shift_text(*pressures, "pressure", look))
    above = (a.condensing_temperature - air, b.condensing_temperature - air)
    yield Row("Condenses above the air by", *above, "temperature_difference", "more")
    yield Row("Compressor power", a.compressor_power, b.compressor_power, "electric_power", "more")
    yield Row("Hot gas", *hot, "temperature", has_bar=False, difference=shift_text(*hot, "temperature", look))
    yield Row("Subcooling", a.subcooling, b.subcooling, "temperature_difference")
    yield Row("Air flow", a.condenser.air_side.volume_flow, b.condenser.air_side.volume_flow, "air_flow")
    held = compared.second_at_first_pressure.cooling_capacity
    yield Row("Cooling at the first's pressure", a.cooling_capacity, held, "power", "less")


@functools.lru_cache(maxsize=8)
def _curve(core, duty, air):
    """Kept, so that the slider of the fins only moves the mark."""
    return parts.fin_curve(core, duty, air, _DENSITIES)


# All but the fins draw a whole curve anew, which takes a third of a second: no sliders for them.
@panel("How many fins?", typed=("blocked", "air_temperature", "fan_speed", "driving_speed", "cooling"))
class FinDensityPanel(_Air, _Duty):
    """One inch of fins, and what their number does."""

    usual: ClassVar = {"fin_density": "fins", "cooling": "cooling"}
    fin_density: float = _fins("Fin density")
    blocked: float = _blocked("Blocked share", 0.6)

    def describe(self, look):
        """Count them, and look for the best number."""
        core = with_dirt(parts.with_fin_density(self.core, self.fin_density), self.blocked)
        duty, air = self.duty, self.air(look)
        curve = _curve(parts.with_fin_density(core, _DENSITIES[0]), duty, air)
        near = min(curve.heads, key=lambda head: abs(head.condenser.spec.fins.fin_density - self.fin_density))
        head = parts.condensing_pressure_for(core, duty, air, near=near)
        drop = head.condenser.air_side.core_pressure_drop
        surface = fin_geometry(core.fins).total_area * core.tube_length * sum(core.tubes)
        pictures = (charts.fin_strip(core.fins, look), charts.fin_picture(curve, head, look))
        best = look.text(curve.best_fin_density, "fin_density", 0)
        rows = rows_of(
            "FinDensityPanel", look, head, self, surface=surface, surface_us=surface * 10.7639,
            every=1 / self.fin_density, drop=drop, drop_us=drop / 249.089,
            best=best if curve.best_is_inside else f"beyond {best}",
        )  # fmt: skip
        notes = (*texts_of("FinDensityPanel", look), *texts_of("job of a condenser", look))
        return Description(pictures, pictures[1].sentence, rows, (*head.condenser.notes, *notes))
