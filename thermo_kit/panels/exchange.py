"""The internal heat exchanger: in the cycle, as a double tube, for every refrigerant, and how long it should be."""

import functools
from dataclasses import replace

from thermo_kit import systems
from thermo_kit.charts import internal_heat_exchanger as charts
from thermo_kit.components.internal_heat_exchanger import ExchangerSpec
from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.panels.frame import Description, shows
from thermo_kit.panels.rows import rows_of, texts_of
from thermo_kit.panels.settings import choice, degrees, filled, number, panel
from thermo_kit.substances import REFRIGERANT_NAMES
from thermo_kit.substances.lines import property_lines
from thermo_kit.systems.cycle import cycle_between
from thermo_kit.units import bar
from thermo_kit.units.look import signed_percent

LONGEST = 2.5
_LENGTHS = (0.1, 0.2, 0.35, 0.5, 0.75, 1.0, 1.4, 1.8, 2.4, 3.0)
PATHS = (("inside", "inner tube"), ("in the gap", "annulus"))
_LEAST_GAIN = 0.0005
"""Less is shown as 0.0 %."""
_MOST_FAIR = 0.5
"""A larger gain of the COP only says that there was hardly any cooling to compare with: our own choice."""


_REFRIGERANT = choice("Refrigerant", "R-1234yf", REFRIGERANT_NAMES)


def _length(longest):
    return number("Length", 1.2, "length", 0.1, longest, step=(0.05, 2), decimals=0)


class _Job:
    """The cycle around the exchanger."""

    evaporating_temperature: float = degrees("Evaporating temperature", 2, -30, 20)
    condensing_temperature: float = degrees(
        "Condensing temperature", 50, 25, 75, help="R-744 above its critical temperature is cooled as a gas instead."
    )
    superheat: float = number("Superheat", 5.0, "temperature_difference", 0.0, 20.0)
    subcooling: float = number(
        "Subcooling", 5.0, "temperature_difference", 0.0, 20.0, help="At the condenser outlet, before the exchanger."
    )
    isentropic_efficiency: float = number("Isentropic efficiency", 0.65, "ratio", 0.4, 1.0)
    gas_cooler_pressure: float = number(
        "Gas cooler pressure", bar(110), "pressure", bar(75), bar(140), step=(0.5e5, 10), decimals=1,
        help="For R-744 only.",
    )  # fmt: skip


class _Limit:
    """How hot the compressed gas may be."""

    discharge_limit: float = degrees(
        "Hot gas limit", 120, 60, 170, step=(1, 2), decimals=0, help="What compressor and oil stand; the maker says."
    )


class _Tubes:
    """A double tube and the flow in it."""

    inner_diameter: float = number("Bore of the inner tube", 0.014, "length", 0.005, 0.025, step=(0.0005, 0.02))
    gap: float = number("Gap round it", 0.0015, "length", 0.0005, 0.005, step=(0.0001, 0.01))
    wall_thickness: float = 0.0012
    vapour_path: str = choice("The vapour flows", "inner tube", PATHS)
    mass_flow: float = number("Flow without exchanger", 0.030, "mass_flow", 0.005, 0.08)


def spec_of(settings):
    """Return the cycle around the exchanger; one that cannot condense gets a gas cooler."""
    spec = cycle_between(settings, settings.refrigerant, settings.gas_cooler_pressure)
    if spec.condensing_temperature is None and settings.refrigerant != "R-744":
        where = f"for {settings.refrigerant}, which cannot condense there"
        raise OutOfRangeError.about("condensing temperature", "is too high", where, "lower it")
    return spec


def tubes_of(settings):
    """Return the double tube that the settings describe."""
    return filled(
        ExchangerSpec, settings, outer_diameter=settings.inner_diameter + 2 * (settings.wall_thickness + settings.gap)
    )


def _from_to(before, after, kind, look):
    """Write a value without and with the exchanger; before [SI unit of the kind], after [SI unit of the kind]."""
    return f"{look.text(before, kind).partition(' ')[0]} → {look.text(after, kind)}"


def _effect_rows(effect, look):
    """Return what an exchanger changes, as rows of a table."""
    bare, own = effect.without, effect.with_exchanger
    told = {
        "valve": _from_to(bare.points[3].state.T, own.points[3].state.T, "temperature", look),
        "suction": _from_to(bare.points[0].state.T, own.points[0].state.T, "temperature", look),
        "hot": _from_to(bare.discharge_temperature, own.discharge_temperature, "temperature", look),
        "cop": _from_to(bare.coefficient_of_performance, own.coefficient_of_performance, "ratio", look),
    }
    return rows_of("effect of an exchanger", look, effect, **told)


@panel("Two cycles: without and with an internal heat exchanger")
class ExchangeCyclePanel(_Job, _Limit):
    """A cycle with and without an internal heat exchanger, on the pressure-enthalpy diagram."""

    refrigerant: str = _REFRIGERANT
    effectiveness: float = number("Effectiveness", 0.5, "ratio", 0.0, 0.95, help="0: a plain line. 1: endlessly long.")

    def describe(self, look):
        """Compare the two cycles."""
        spec, limit = spec_of(self), self.discharge_limit
        effect = systems.effect_of_effectiveness(spec, self.effectiveness)
        own = effect.with_exchanger
        allowed = _allowed(spec, limit)
        side = "above" if own.discharge_temperature > limit else "below"
        (sentence,) = texts_of("told of ExchangeCyclePanel", look, own, effect, side=side, limit=limit)
        picture = charts.exchange_diagram(property_lines(self.refrigerant, look.system), effect, look)
        notes = (*own.notes, "No pressure loss in the exchanger is counted here: the panel with the tubes does that.")
        return Description((picture,), sentence, (*_effect_rows(effect, look), ("Largest allowed", allowed)), notes)


def _allowed(spec, limit):
    try:
        found = systems.largest_effectiveness(spec, limit)
    except NoSolutionError:
        return "none: too hot already"
    if found.limited_by == "discharge temperature":
        return f"{found.effectiveness:.2f}"
    return "any" if found.limited_by == "nothing" else f"{found.effectiveness:.2f} ({found.limited_by})"


@panel("Inside the double tube")
class ExchangerPanel(_Tubes, _Job):
    """A double tube from its sizes: effectiveness, temperatures along it, pressure losses."""

    refrigerant: str = _REFRIGERANT
    length: float = _length(LONGEST)
    vapour_path: str = choice(
        "The vapour flows", "inner tube", PATHS, help="Its own big tube, or the gap round the liquid."
    )
    isentropic_efficiency: float = 0.65

    def describe(self, look):
        """Solve the tube inside the cycle."""
        effect = systems.with_internal_heat_exchanger(spec_of(self), tubes_of(self), self.mass_flow)
        result = effect.exchanger
        rows = (*rows_of("ExchangerPanel", look, result), *_effect_rows(effect, look))
        length = charts.length_text(self.length, look)
        (sentence,) = texts_of("told of ExchangerPanel", look, result, effect, length=length)
        notes = (*effect.notes, "Smooth tubes. Real lines often have grooves and do better.")
        return Description((charts.exchanger_profile(result, look, span=LONGEST),), sentence, rows, notes)


@panel("How long must it be?")
class ExchangerLengthPanel(_Tubes, _Limit, _Job):
    """Gain, friction and hot gas against the length of a double tube."""

    refrigerant: str = _REFRIGERANT
    length: float = _length(_LENGTHS[-1])

    def describe(self, look):
        """Solve the chosen length, beside the curve over all lengths."""
        # Curves are kept for a fixed list, so that a move of the length solves one exchanger and not eight.
        curve = _curve(replace(self, length=_LENGTHS[-1], discharge_limit=0.0))
        chosen = systems.exchange_by_length(spec_of(self), tubes_of(self), self.mass_flow, (self.length,))
        points = sorted(
            {**dict(zip(curve.lengths, _columns(curve), strict=True)), self.length: next(_columns(chosen))}.items()
        )
        lengths, columns = zip(*points, strict=True)
        frictionless, cooling, cop, hot = zip(*columns, strict=True)
        series = charts.LengthSeries(
            self.refrigerant, lengths, frictionless, cooling, cop, hot,
            chosen=self.length, best=_best(curve), discharge_limit=self.discharge_limit,
        )  # fmt: skip
        effect = chosen.effects[0]
        result, lost = effect.exchanger, frictionless[lengths.index(self.length)] - effect.volumetric_capacity_change
        rows = rows_of("ExchangerLengthPanel", look, result, effect=effect, points=100.0 * lost)
        return shows(charts.exchange_length(series, look), rows, effect.notes)


def _columns(sweep):
    for effect, free in zip(sweep.effects, sweep.frictionless, strict=True):
        yield (
            free.volumetric_capacity_change,
            effect.volumetric_capacity_change,
            effect.cop_change,
            effect.with_exchanger.discharge_temperature,
        )


def _best(curve):
    """Return the length of the fixed list that cools most, None where none shows a gain."""
    gain, best = max(zip((effect.volumetric_capacity_change for effect in curve.effects), curve.lengths, strict=True))
    return best if gain >= _LEAST_GAIN else None


@functools.lru_cache(maxsize=64)
def _curve(settings):
    return systems.exchange_by_length(spec_of(settings), tubes_of(settings), settings.mass_flow, _LENGTHS)


@panel("For which refrigerant does it pay?")
class ExchangeComparePanel(_Limit, _Job):
    """The same exchanger for every refrigerant of the workbook."""

    effectiveness: float = number("Effectiveness", 0.5, of=systems.ExchangeJob)

    def describe(self, look):
        """Compare the refrigerants."""
        compared = systems.compare_exchange(systems.ExchangeJob(**vars(self)))
        picture = charts.exchange_curves(compared, self.effectiveness, self.discharge_limit, look)
        rows = tuple(_compared_row(row, look) for row in compared)
        notes = ["No pressure loss in the exchanger is counted here; in ordinary tubes it takes a point or two."]
        above = _names(row for row in compared if row.curve.above_critical)
        if above:
            outlet = self.condensing_temperature - self.subcooling
            notes += texts_of("too hot to condense, given pressure", look, self, above=above, outlet=outlet)
        return Description((picture,), _compared_told(compared, self, look), rows, tuple(notes))


def _names(rows):
    return ", ".join(row.curve.refrigerant for row in rows)


def _compared_row(row, look):
    limit = "not allowed" if row.largest_effectiveness is None else f"limited by {row.limited_by}"
    (allowed,) = texts_of(f"exchanger, {limit}", look, row)
    table = "ExchangeComparePanel, not possible" if row.chosen is None else "ExchangeComparePanel"
    return rows_of(table, look, row, row.chosen, allowed=allowed)[0]


def _compared_told(compared, settings, look):
    able = [row for row in compared if row.chosen is not None]
    fair = [row for row in able if row.chosen.cop_change <= _MOST_FAIR]
    unfair = _names(row for row in able if row not in fair)
    hot = _names(row for row in able if row.chosen.discharge_temperature > settings.discharge_limit)
    best = max(fair, key=lambda row: row.chosen.cop_change, default=None)
    least = min(fair, key=lambda row: row.chosen.cop_change, default=None)
    case = "" if fair else ", none fair"
    if all(signed_percent(row.chosen.cop_change) == signed_percent(0.0) for row in able):
        case = ", no change" if able else ", none able"
    apart = f" Hardly cools without it, no fair comparison: {unfair}." if unfair else ""
    told = {"best": best, "least": least, "apart": apart, "hot": hot or "none"}
    return texts_of(f"told of ExchangeComparePanel{case}", look, settings, **told)[0]
