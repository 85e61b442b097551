"""A plate chiller along its plates, what happens when its coolant fails, and how long there is to react."""

import math
from dataclasses import replace

import numpy as np

from thermo_kit.charts import pen, style
from thermo_kit.charts.labels import contour_label_places, name_ends
from thermo_kit.charts.picture import still_layer
from thermo_kit.charts.scales import dress
from thermo_kit.charts.strips import Axis, Column, Event, Level, Line, Mark, Strip, Zone, strips_picture
from thermo_kit.charts.told import sentence_of
from thermo_kit.units.look import percent

_PLATE_SIZE = (860, 540)
_CUT, _PLOT = (70.0, 414.0, 618.0, 84.0), (70.0, 56.0, 618.0, 322.0)
_FLOORS = tuple(273.15 + t for t in (-10.0, -20.0, -30.0, -40.0, -60.0, -80.0))


def chiller_plate(result, look):
    """Draw a chiller in steady work: channels with the directions of flow, temperatures, freezing point, margin."""
    lowest = min(result.freezing_point, min(result.refrigerant_temperature)) - 3.0
    floor = next((T for T in _FLOORS if lowest >= T), lowest - 5.0)
    top = pen.tens(floor, max(result.coolant_temperature) + 1.0)[1]
    way = "the other way" if result.spec.counterflow else "the same way"
    margin = look.text(abs(result.freeze_margin), "temperature_difference")
    told = f"The freeze margin is {margin}" if result.freeze_margin > 0 else f"It is {margin} too cold, ice can grow"
    sentence = sentence_of("chiller at work", look, result, way=way, told=told)
    still = still_layer(_draw_axes, _PLATE_SIZE, look, floor, top, result.spec.counterflow)
    return still.under(_draw, result, look, sentence=sentence)


def _draw_axes(figure, look, floor, top, counterflow):
    cut, plot = pen.window(figure, _CUT), pen.placed(figure, _PLOT)
    _draw_channels(cut, counterflow)
    places = ((0.0, "refrigerant inlet"), (0.25, "¼"), (0.5, "half way"), (0.75, "¾"), (1.0, "outlet"))
    along = Axis("Place along the plate", ends=(0.0, 1.0), ticks=places)
    dress(plot, along, Axis("Temperature", "temperature", (floor, top), count=8), look)
    for words, side in zip(plot.xaxis.get_ticklabels(), ("left", "center", "center", "center", "right"), strict=True):
        words.set_ha(side)


def _draw_channels(cut, counterflow):
    cut.set_title(
        "two of the channels, cut along the plates: " + ("counterflow" if counterflow else "parallel flow"),
        fontsize=style.SMALL_TEXT + 1, color=style.SOFT_INK, pad=8,
    )  # fmt: skip
    pen.box(cut, 0, 0.56, 1, 0.92, facecolor="#e4f3ee", edgecolor=style.COLD_COOLANT, hatch="...", lw=0)
    pen.box(cut, 0, 0.08, 1, 0.44, facecolor="#e3f0f9", edgecolor="#9cc8e4", hatch="///", lw=0)
    for bottom, top in ((0.0, 0.08), (0.44, 0.56), (0.92, 1.0)):
        pen.box(cut, 0, bottom, 1, top, facecolor=style.SOFT_INK, lw=0)
    places = (0.1, 0.3, 0.5, 0.7, 0.9)
    head = "<" if counterflow else ">"
    cut.plot(places, [0.74] * 5, linestyle="none", marker=head, markersize=10, color=style.COLD_COOLANT)
    cut.plot(places, [0.26] * 5, linestyle="none", marker=">", markersize=10, color=style.LOW_SIDE)


def _draw(cut, plot, result, look):
    wall, freezing, along = result.wall_temperature, result.freezing_point, result.position
    _name_channels(cut, result, look)
    frozen = [(x, T) for x, T in zip(along, wall, strict=True) if freezing > T]
    if frozen:
        outline = [*frozen, (frozen[-1][0], freezing), (frozen[0][0], freezing)]
        pen.area(plot, [outline], facecolor="#f6d9dd", edgecolor=style.WARNING, hatch="xxx", linewidth=0)
    lines = {
        "coolant freezes": ((0, 1), (freezing, freezing), style.WARNING, 2.0, (0, (2, 2))),
        "coolant": (along, result.coolant_temperature, style.COLD_COOLANT, 3.0, "solid"),
        "wall, coolant side": (along, wall, style.INK, 2.4, (0, (8, 2, 2, 2))),
        "refrigerant": (along, result.refrigerant_temperature, style.LOW_SIDE, 2.6, style.DASHES["low side"]),
    }
    pen.lines(plot, lines.values())
    name_ends(plot, [(T[-1], name, colour) for name, (_, T, colour, *_) in lines.items()], plot.bbox.x1 + 8, gap=16.0)
    _draw_margin(plot, result, look)


def _name_channels(cut, result, look):
    warm = look.text(result.spec.coolant_inlet_temperature, "temperature")
    cold = look.text(result.coolant_outlet_temperature, "temperature")
    near, far = ("out", f"coolant in {warm}") if result.spec.counterflow else ("in", f"coolant out {cold}")
    for y, left, right, colour in (
        (0.74, near, far, style.COLD_COOLANT), (0.26, "in", "refrigerant vapour out", style.LOW_SIDE),
    ):  # fmt: skip
        pen.words(cut, left, 0, y, aside=(-8, 0), ha="right", color=colour)
        pen.words(cut, right, 1, y, aside=(8, 0), ha="left", color=colour)


def _draw_margin(plot, result, look):
    coldest = min(range(len(result.wall_temperature)), key=result.wall_temperature.__getitem__)
    x, wall, freezing = result.position[coldest], result.coldest_wall_temperature, result.freezing_point
    pen.point(plot, [x], [wall], size=9, color=style.PLATE, rim=style.INK, wide=2.0)
    (x_px, low), (_, high) = plot.transData.transform(((x, freezing), (x, wall)))
    margin = look.text(abs(result.freeze_margin), "temperature_difference")
    words = f"freeze margin {margin}" if result.freeze_margin > 0 else f"{margin} below freezing: ice can grow here"
    beside = 14 if x < 0.6 else -14
    if abs(high - low) > 12:
        pen.line(plot, [x_px, x_px], [low, high], pixels=True, color=style.INK, linewidth=1.6)
        for y, marker in ((min(low, high) + 4, "v"), (max(low, high) - 9, "^")):
            pen.point(plot, [x_px], [y], marker=marker, size=8, color=style.INK, pixels=True)
    y = 0.5 * (low + high) if high - low > 26 else min(low, high) - 16
    pen.text(plot, words, x_px + beside, y, ha="left" if beside > 0 else "right", bold=True)


_SPANS = (15.0, 30.0, 45.0, 60.0, 90.0, 120.0, 180.0, 240.0, 300.0, 600.0, 1200.0, 3600.0)
_MOST_ICE = 0.5
_DASHES = (0, (2, 2))


def freeze_story(result, look):
    """Draw the transient of a chiller whose coolant flow has failed."""
    time, last, slush = result.time, _span(result), result.spec.slush_limit
    cold, blue = style.DASHES["low side"], style.LOW_SIDE
    temperatures = (
        Line("coolant, mean", time, result.mean_coolant_temperature, style.COLD_COOLANT),
        Line("coldest plate", time, result.coldest_plate_temperature, style.INK, (0, (8, 2, 2, 2))),
        Line("refrigerant", time, result.evaporating_temperature, blue, cold),
        Level(result.freezing_point, "coolant freezes", dashes=_DASHES),
    )
    limit = (
        Zone(slush, None, "above: channel blocked", "bad", colour=style.WARNING),
        Zone(None, slush, "below: slush flows", "none", colour=style.GOOD),
        Level(slush, "", dashes=_DASHES),
    )
    end = next((k for k, t in enumerate(time) if t >= last), len(time) - 1)
    ice = (Line("", time, result.ice, style.INK, width=2.6),)
    if result.ice[end] <= 0.9 * _MOST_ICE:
        here = ((-6, 10, "right"), (-6, -10, "right"))
        ice += (Mark(min(time[end], last), result.ice[end], percent(result.ice[end]), style.INK, "", places=here),)
    pressure = Line("", time, result.evaporating_pressure, blue, cold, value=True)
    most = 1e5 * -(-max(result.evaporating_pressure) * 1.1 // 1e5)
    column = Column(
        Axis("Time after the coolant began to fail", "time", (0.0, last), count=8),
        (
            Strip(Axis("Temperature", "temperature"), temperatures, 2.0),
            Strip(Axis("Ice, % by mass", "percent", (0.0, _MOST_ICE), count=5, bare=True), ice, 1.3, still=limit),
            Strip(Axis("Low side", "pressure", (0.0, most), count=4), (pressure,)),
        ),
        names=176.0,
        events=tuple(Event(when, f"{words} {when:.1f} s", harm) for when, words, harm in story_events(result)),
        event_rows=5,
    )
    return strips_picture(column, look, sentence=story_sentence(result, look), size=(860, 660))


def story_events(result):
    """Return what happens, in order of time [s]: when, in words, whether it is harm or protection."""
    found = (
        (result.wall_below_freezing_time, "plate below freezing", True),
        (result.first_ice_time, "first ice", True),
        (result.blocked_time, "channel blocked", True),
        (result.burst_time, "plates burst", True),
        (result.valve_closed_time, "shut-off valve closed", False),
        (result.compressor_stopped_time, "compressor stops", False),
    )
    return tuple(sorted((float(row[0]), *row[1:]) for row in found if row[0] is not None))


def _span(result):
    """Return how many seconds are worth showing: all of them, unless nothing new happens for most of the time."""
    shown = result.time[-1]
    if result.outcome in ("no ice", "slush") and story_events(result):
        shown = min(shown, max(30.0, 2.5 * story_events(result)[-1][0]))
    return next((span for span in _SPANS if span >= shown - 0.5), shown)


def story_sentence(result, look):
    """Say what happens."""
    told = "; ".join(f"{words} at {time:.1f} s" for time, words, _ in story_events(result))
    coldest = look.text(min(result.coldest_plate_temperature), "temperature")
    freezing = look.text(result.freezing_point, "temperature")
    looked = f"within {result.spec.duration:.0f} s"
    most = f"At most {result.peak_ice * 100:.0f} % ice {looked}"
    end = {
        "no ice": f"No ice forms {looked}.",
        "slush": f"{most}: slush that still flows.",
        "blocked": f"{most}: a channel is blocked, the plates have not burst by then.",
        "burst": "The plates burst.",
    }[result.outcome]
    start = f"This coolant freezes at {freezing}; the coldest plate reaches {coldest}."
    return f"{start} {told[0].upper() + told[1:]}. {end}" if told else f"{start} {end}"


_MAP_SIZE = (760, 560)
_BOX = (0.105, 0.115, 0.87, 0.80)
_LEVELS = (5.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 90.0)
_SHADES = ("#ffffff", "#eceff1", "#cfd5da", "#b3bcc4")
_SHADE_EDGES = (15.0, 30.0, 60.0)
_AVOID = {"burst": "the plates burst", "blocked": "a channel is blocked", "ice": "the first ice forms"}
_SECOND = {
    "flow": Axis("Coolant flow that is left, %", "percent", count=7, bare=True),
    "compressor_speed": Axis("Compressor speed", "rotational_speed", count=7),
}
KINDS = {name: axis.kind for name, axis in _SECOND.items()}
"""Kind of the second quantity."""


def safe_time_picture(seconds_map, look, *, share, value, read):
    """Draw the map with the point the learner asks about; share [kg/kg], value [SI], read [s]."""
    kind = KINDS[seconds_map.against]
    sentence = (
        f"At {share * 100:.0f} % glycol and {look.text(value, kind, 0)} "
        f"{'of the coolant flow left' if seconds_map.against == 'flow' else 'of the compressor'}: "
        f"{time_words(seconds_map, read)}."
    )
    still = still_layer(_draw_map, _MAP_SIZE, seconds_map, look)
    return still.under(_draw_point, share, value, read, sentence=sentence)


def time_words(seconds_map, read):
    """Say how long there is to react; read [s]."""
    harm = _AVOID[seconds_map.avoid]
    if read is None:
        return "not computed"
    if math.isnan(read):
        return "it freezes already with its pump running"
    if math.isinf(read):
        return f"within {seconds_map.spec.duration:.0f} s this does not come about: {harm}"
    if read < 0.5:
        return f"no time at all before {harm}"
    return f"the shut-off valve must close within {read:.0f} s, or {harm}"


def short_time(read):
    """Write a time to react in a word or two; read [s]."""
    if read is None:
        return "not computed"
    if math.isnan(read):
        return "freezes in normal work"
    if math.isinf(read):
        return "no limit"
    return "no time" if read < 0.05 else f"{read:.1f} s"


def _draw_map(figure, seconds_map, look):
    axes = figure.add_axes(_BOX)
    shares, values = seconds_map.mass_fractions, seconds_map.values
    glycol = Axis("Glycol in the coolant, % by mass", "percent", (shares[0], shares[-1]), count=9, bare=True)
    dress(axes, glycol, replace(_SECOND[seconds_map.against], ends=(values[0], values[-1])), look)
    axes.grid(False)
    axes.tick_params(pad=9)  # the mark of the point asked about often lies on an axis
    axes.set_title(
        f"Seconds to close the shut-off valve before {_AVOID[seconds_map.avoid]}", fontsize=style.TEXT, pad=10
    )
    _draw_times(axes, seconds_map)


def _rates(seconds_map):
    """Turn times into their inverse, rows along the second quantity: never is zero, and so lies next to very long."""
    seconds = np.array([[np.nan if s is None else s for s in row] for row in seconds_map.seconds], dtype=float).T
    with np.errstate(divide="ignore"):
        return 1.0 / np.maximum(seconds, 1.0)


def _draw_times(axes, seconds_map):
    rates = _rates(seconds_map)
    shares, values = seconds_map.mass_fractions, seconds_map.values
    never = 0.5 / seconds_map.spec.duration
    levels = [s for s in _LEVELS if s < seconds_map.spec.duration]
    known = np.ma.masked_invalid(rates)
    if known.count():
        edges = [-1.0, never, *(1.0 / s for s in reversed(_SHADE_EDGES)), 0.95, 2.0]
        field, colours = (shares, values, known), ["#e4f3ee", *_SHADES, "#f6d9dd"]
        axes.contourf(*field, levels=edges, colors=colours, hatches=[".", None, None, None, None, "xx"])
        axes.contour(*field, levels=[never], colors=style.GOOD, linewidths=2.2, linestyles="dashed")
        lines = axes.contour(*field, levels=[1.0 / s for s in reversed(levels)], colors=style.INK, linewidths=1.4)
        axes.clabel(lines, fmt=lambda rate: f"{1.0 / rate:.0f} s", manual=contour_label_places(axes, lines))
    _draw_words(axes, rates, seconds_map, never)
    _draw_grid(axes, seconds_map)


def _draw_words(axes, rates, seconds_map, never):
    x, y = np.meshgrid(seconds_map.mass_fractions, seconds_map.values)
    computed = np.array([[s is not None for s in row] for row in seconds_map.seconds]).T
    for here, words, colour in (
        (rates < never, f"not within {seconds_map.spec.duration:.0f} s", style.GOOD),
        (np.isnan(rates) & computed, "freezes in normal work", style.WARNING),
        (~computed, "not computed", style.SOFT_INK),
    ):
        if here.sum() >= 3:
            pen.words(axes, words, x[here].mean(), y[here].mean(), color=colour, bold=True)


def _draw_grid(axes, seconds_map):
    for share, row in zip(seconds_map.mass_fractions, seconds_map.seconds, strict=True):
        done = [value for value, s in zip(seconds_map.values, row, strict=True) if s is not None]
        pen.line(axes, [share] * len(done), done, color=style.SOFT_INK, marker=".", markersize=3, linestyle="none")


def _draw_point(axes, share, value, read):
    for marker, size, colour in (("o", 17, style.PLATE), ("D", 11, style.CYCLE)):
        pen.point(axes, [share], [value], marker=marker, size=size, color=colour, clip_on=False)
    x, y = axes.transData.transform((share, value))
    aside, ha = (14, "left") if x < 0.5 * (axes.bbox.x0 + axes.bbox.x1) else (-14, "right")
    bold = {"color": style.CYCLE, "bold": True, "size": style.LARGE_TEXT}
    pen.text(axes, f"here: {short_time(read)}", x + aside, max(y, axes.bbox.y0 + 14), ha=ha, **bold)
