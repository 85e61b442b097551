"""The condenser: its passes as lines, two cores side by side, one inch of fins, and what their number does."""

import math
from dataclasses import dataclass

from thermo_kit.charts import pen, style
from thermo_kit.charts.picture import still_layer
from thermo_kit.charts.scales import QUARTERS
from thermo_kit.charts.strips import Axis, Column, Line, Mark, Strip, Zone, strips_picture
from thermo_kit.charts.told import sentence_of

_SHARE = Axis("vapour share by mass", "percent", (-0.06, 1.08), QUARTERS)
_TEMPERATURE, _FLUX = Axis("temperature", "temperature", count=5), Axis("mass flux", "mass_flux", count=4)
_DOTS, _DASHES, _SHORT = (0, (1.5, 2)), (0, (6, 2)), (0, (3, 1.5))
_LATER = (0.45, 0.6, 0.8, 0.3)


def path_picture(result, look):
    """Draw vapour share, temperatures and mass flux along the passes."""
    spec, passes, count = result.spec, result.passes, len(result.passes)
    way = [(point.pass_number - 1 + point.position, point) for point in result.path]
    xs, out = tuple(x for x, _ in way), [(x, point.air_temperature) for x, point in way if point.position > 0.0]
    air, steps = result.air.temperature, [(one.number - 1 + k, one.mass_flux) for one in passes for k in (0, 1)]
    share = (
        Line("", xs, tuple(_share(point) for _, point in way), style.VAPOUR),
        *(Mark(one.number, _share(one), _percent(one), style.VAPOUR) for one in passes),
    )
    temperature = (
        Line("refrigerant", xs, tuple(point.temperature for _, point in way), style.HIGH_SIDE, beside=_LATER),
        Line(f"air in, {look.text(air, 'temperature')}", (0.0, *xs[1:]), (air,) * len(xs), style.AIR, _DOTS, 1.6,
             beside=(0.03, 0.3, 0.6)),
        Line("air out", *zip(*out, strict=True), style.AIR, _DASHES, 1.8, beside=_LATER),
    )  # fmt: skip
    flux = (
        Line("", *zip(*steps, strict=True), style.LIQUID),
        *(Mark(one.number - 0.5, one.mass_flux, _bare(one.mass_flux, look), style.LIQUID, marker="") for one in passes),
        Mark(0.0, 0.0, "", marker=""),
        Mark(0.0, 1.12 * max(one.mass_flux for one in passes), "", marker=""),
    )
    if result.last_vapour is not None:
        here = result.last_vapour.pass_number - 1 + result.last_vapour.position
        share += (Mark(here, None, "last vapour", dashes=_SHORT),)
        temperature += (Mark(here, None, "", dashes=_SHORT),)
    ends = tuple(Mark(float(k), None, "", style.SOFT_INK, dashes=(0, (2, 2))) for k in range(count + 1))
    words = "pass {}: {} tubes" if count < 7 else "{}: {}"
    ticks = tuple((k - 0.5, words.format(k, tubes)) for k, tubes in enumerate(spec.tubes, start=1))
    strips = []
    for axis, things, name in ((_SHARE, share, "receiver"), (_TEMPERATURE, temperature, ""), (_FLUX, flux, "")):
        still = ends
        if spec.receiver_after is not None:
            still += (Mark(float(spec.receiver_after), None, name, style.INK, dashes="solid"),)
        strips.append(Strip(axis, things, still=still))
    x = Axis("the way of the refrigerant", ends=(0.0, float(count)), ticks=ticks, bare=True)
    named = {"shares": ", ".join(map(_percent, passes)), "first": passes[0], "last": passes[-1]}
    sentence = sentence_of("passes of a condenser", look, result, **named)
    return strips_picture(Column(x, tuple(strips)), look, sentence=sentence, size=(860, 620))


def _share(point):
    """Return the vapour share of a place on the way or of the end of a pass."""
    return point.quality if point.quality is not None else 1.0 if point.phase == "vapour" else 0.0


def _percent(one):
    return f"{100 * one.quality:.0f} %" if one.phase == "two-phase" else "100 %" if one.phase == "vapour" else "0 %"


def _bare(flux, look):
    return f"{look.number(flux, 'mass_flux'):,.{0 if look.number(1e3, 'mass_flux') > 500 else 1}f}"


_WIDTH, _HEAD, _ROW, _FOOT = 900, 84.0, 50.0, 34.0
_NAME, _FIRST, _SECOND, _ZERO, _REACH = 12.0, 236.0, 348.0, 660.0, 138.0
_CLIP, _LEAST = 0.20, 5e-4


@dataclass(frozen=True)
class ComparedQuantity:
    """One row: name; first and second [SI]; kind: key of `thermo_kit.units.KINDS`; dearer_when: "more" or "less" of it
    costs, "" if neither; has_bar: False where a share would mean nothing; difference: told instead of the share."""

    name: str
    first: float
    second: float
    kind: str
    dearer_when: str = ""
    has_bar: bool = True
    difference: str = ""

    @property
    def shift(self):
        """Second minus first, as a share of the first [-]."""
        return self.second / self.first - 1.0


def comparison_picture(rows, names, look):
    """Draw two cores side by side."""
    rows = tuple(rows)
    size = (_WIDTH, round(_HEAD + _FOOT + _ROW * len(rows)))
    still = still_layer(_draw_table, size, tuple(row.name for row in rows), tuple(names), size)
    return still.under(_draw_rows, rows, size, look, sentence=comparison_sentence(rows, names, look))


def comparison_sentence(rows, names, look):
    """Say what the comparison shows, with its numbers."""
    told = [f"{names[0]} against {names[1]}."]
    for row in rows:
        first, second = (look.text(value, row.kind) for value in (row.first, row.second))
        apart = row.difference or percent_words(row.shift)
        told.append(f"{row.name}: {first} and {second}, {apart.rstrip('.')}.")  # a unit may end in a point of its own
    return " ".join(told)


def percent_words(share):
    """Write how far one thing is off another; share [-].

    Examples
    --------
    >>> percent_words(-0.1)
    '10.0 % less'
    """
    shown = round(100 * abs(share), 1)
    if shown == 0:
        return "the same"
    return f"{shown:.1f} % {'more' if share > 0 else 'less'}"


def _draw_table(figure, names, cores, size):
    axes, top = pen.striped(figure, names, _HEAD, _ROW), size[1] - _HEAD
    for x, name in zip((_FIRST, _SECOND), cores, strict=True):
        axes.text(x, top + 14, name.replace(", ", ",\n"), fontweight="bold", va="bottom")
    axes.text(_ZERO, top + 48, "second against first", fontweight="bold", ha="center", va="bottom")
    axes.text(_ZERO - 10, top + 18, "← less", ha="right", va="bottom", color=style.SOFT_INK)
    axes.text(_ZERO + 10, top + 18, "more →", ha="left", va="bottom", color=style.SOFT_INK)
    axes.plot([_ZERO] * 2, [_FOOT - 4, top + 8], color=style.INK, linewidth=1.2)
    told = f"hatched bar: the change costs; plain bar: it does not. A full bar is {100 * _CLIP:.0f} % or more"
    axes.text(_NAME, 10, told, fontsize=style.SMALL_TEXT, color=style.SOFT_INK)


def _draw_rows(axes, rows, size, look):
    top = size[1] - _HEAD
    for index, row in enumerate(rows):
        y = top - (index + 0.5) * _ROW
        for x, value in ((_FIRST, row.first), (_SECOND, row.second)):
            pen.text(axes, look.text(value, row.kind), x, y, ha="left")
        has_bar = row.has_bar and abs(row.shift) >= _LEAST
        shown = min(max(row.shift, -_CLIP), _CLIP) / _CLIP * _REACH if has_bar else 0.0
        costs = (row.dearer_when == "more" and shown > 0) or (row.dearer_when == "less" and shown < 0)
        if shown:
            face, edge, hatch = ("#f3cdb4", style.HIGH_SIDE, "////") if costs else ("#cfe3ef", style.LIQUID, None)
            pen.box(
                axes, _ZERO, y - 10, _ZERO + shown, y + 10, facecolor=face, edgecolor=edge, hatch=hatch, linewidth=0.9
            )
        words = row.difference or percent_words(row.shift)
        aside, ha = (-7, "right") if shown < 0 else (7, "left")
        colour = style.HIGH_SIDE if costs else style.INK
        pen.text(axes, words, _ZERO + shown + aside, y, ha=ha, bold=True, color=colour)
    pen.line(axes, [_ZERO] * 2, [_FOOT - 4, top + 8], color=style.INK, linewidth=1.2)


STRIP_SIZE = (760, 190)
_INCH = 0.0254
_PER_INCH = 660.0
_LEFT = 50.0
_TUBE_LOW, _TUBE_HIGH, _TUBE = 60.0, 160.0, 14.0


def fin_strip(fins, look, *, sentence=None):
    """Draw the fins between two tubes over a ruler, true to scale along the tube."""
    named = {"count": fins.fin_density * _INCH, "pitch": 1 / fins.fin_density}
    told = sentence or sentence_of("inch of fins", look, **named)
    still = still_layer(_draw_ruler, STRIP_SIZE)
    return still.under(_draw_fins, fins, sentence=told)


def _draw_ruler(figure):
    axes = pen.whole(figure)
    for bottom in (_TUBE_LOW, _TUBE_HIGH):
        axes.fill_between([0, STRIP_SIZE[0]], bottom, bottom + _TUBE, color="#c8ced4", linewidth=0)
        axes.text(6, bottom + _TUBE / 2, "tube", va="center", fontsize=style.SMALL_TEXT)
    axes.plot([_LEFT, _LEFT + _PER_INCH], [40, 40], color=style.INK, linewidth=1.4)
    for mark in range(9):
        x = _LEFT + mark * _PER_INCH / 8
        axes.plot([x, x], [40, 52 if mark % 8 == 0 else 47], color=style.INK, linewidth=1.2)
    for x, words in ((_LEFT, "0"), (_LEFT + _PER_INCH, "1 in")):
        axes.plot([x, x], [40, _TUBE_HIGH + _TUBE], color=style.CYCLE, linewidth=1.0, linestyle=(0, (3, 2)))
        axes.text(x, 34, words, ha="center", va="top", fontsize=style.SMALL_TEXT)
    told = "each slanting line is one fin; ruler in eighths of an inch (25.4 mm in all)"
    axes.text(_LEFT + _PER_INCH / 2, 34, told, ha="center", va="top", fontsize=style.SMALL_TEXT)


def _draw_fins(axes, fins):
    pitch = _PER_INCH / (fins.fin_density * _INCH)
    places = range(-math.ceil(_LEFT / pitch) - 1, math.ceil((STRIP_SIZE[0] - _LEFT) / pitch) + 2)
    heights = [_TUBE_LOW + _TUBE if place % 2 == 0 else _TUBE_HIGH for place in places]
    pen.line(axes, [_LEFT + place * pitch for place in places], heights, color=style.INK, linewidth=1.5)


_COUNTS = tuple((count / _INCH, f"{count}") for count in range(0, 41, 4))
_BANDS = (((16.0, 18.0), "cheaper: 16 to 18", "doubt"), ((19.5, 20.5), "original: near 20", "cold"))


def fin_picture(curve, here, look):
    """Draw air flow, head pressure and power against fin density."""
    now = here.condenser.spec.fins.fin_density
    rows = (
        (Axis("air flow", "air_flow", count=5), style.AIR, lambda head: head.condenser.air_side.volume_flow),
        (Axis("head", "pressure", count=5), style.HIGH_SIDE, lambda head: head.condensing_pressure),
        (Axis("compressor and fan", "electric_power", count=5), style.CYCLE, _power),
    )
    strips = []
    for axis, colour, read in rows:
        values = tuple(map(read, curve.heads))
        is_top, is_last = not strips, len(strips) == 2
        still = [
            Zone(None, None, words if is_top else "", tone, ((ends[0] / _INCH, min(values)),),
                 tuple(end / _INCH for end in ends))
            for ends, words, tone in _BANDS
        ]  # fmt: skip
        still.append(Line("", curve.fin_densities, values, colour, width=2.2))
        if curve.best_is_inside:
            words = "least power" if is_last else ""
            still.append(Mark(curve.best_fin_density, None, words, style.GOOD, dashes=(0, (6, 2))))
        value = read(here)
        things = (
            Mark(now, None, "", style.INK, dashes="solid"),
            Mark(now, value, look.text(value, axis.kind), colour, "D"),
        )
        strips.append(Strip(axis, things, still=tuple(still)))
    ends = curve.fin_densities[0], curve.fin_densities[-1]
    x = Axis("fins per inch", ends=ends, ticks=tuple(tick for tick in _COUNTS if ends[0] <= tick[0]), bare=True)
    best = look.text(curve.best_fin_density, "fin_density", 0)
    told = f"The least power is taken near {best}." if curve.best_is_inside else f"The best lies beyond {best}."
    sentence = sentence_of("fins", look, here, density=now, power=_power(here), told=told)
    return strips_picture(Column(x, tuple(strips)), look, sentence=sentence, size=(760, 590))


def _power(head):
    return head.compressor_power + head.fan_power
