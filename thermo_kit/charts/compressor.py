"""A compressor: where its power goes, how well it works, what its mounts let through, how it is insulated."""

import math
from itertools import pairwise

import numpy as np

from thermo_kit.charts import pen, style
from thermo_kit.charts.labels import ClearSpace, contour_label_places
from thermo_kit.charts.picture import still_layer
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, Zone, strips_picture
from thermo_kit.charts.told import sentence_of
from thermo_kit.units import celsius
from thermo_kit.units.look import percent
from thermo_kit.units.text import ohms

_POWER_SIZE = (820, 360)
_TOPS = (0.4e3, 0.6e3, 1e3, 1.5e3, 2e3, 3e3, 4e3, 6e3, 8e3, 12e3, 20e3, 40e3)
_COLDEST, _HOTTEST = celsius(-20), celsius(140)
_FACES = (
    ("loss-free work", "#cfe3f1", ""),
    ("scroll and leak", "#efe3c8", "||"),
    ("friction", "#dceee8", "xx"),
    ("motor", "#e6e0ee", "//"),
    ("inverter", "#f6d9cf", "\\\\"),
)


def power_picture(result, look):
    """Draw the electric power piece by piece, and the temperatures before and behind."""
    pieces = _pieces(result)
    top = next((value for value in _TOPS if 1.04 * result.electric_power <= value), _TOPS[-1])
    told = ", ".join(f"{name} {look.text(watts, 'electric_power')}" for name, watts, *_ in pieces)
    limit = result.spec.discharge_temperature_limit
    side = "below" if result.temperature_margin >= 0.0 else "above"
    apart = abs(result.temperature_margin)
    sentence = sentence_of("power of a compressor", look, result, pieces=told, apart=apart, side=side)
    still = still_layer(_draw_axes_power, _POWER_SIZE, top, limit, look)
    return still.under(_draw_power, result, pieces, look, sentence=sentence)


def _pieces(result):
    loss_free = result.isentropic_efficiency * result.electric_power
    powers = (loss_free, result.gas_power, result.shaft_power, result.motor_power, result.electric_power)
    watts = (loss_free, *(more - less for less, more in pairwise(powers)))
    return tuple((name, value, *face) for (name, *face), value in zip(_FACES, watts, strict=True))


def _draw_axes_power(figure, top, limit, look):
    power = Axis("electric power", "electric_power", (0.0, top), count=8)
    gas = Axis("temperature of the gas", "temperature", (_COLDEST, _HOTTEST), count=9)
    pen.rail(figure, (0.03, 0.58, 0.94, 0.17), power, look)
    heat = pen.rail(figure, (0.03, 0.15, 0.94, 0.12), gas, look)
    heat.axvspan(limit, _HOTTEST, facecolor="#fbeaec", edgecolor=style.WARNING, hatch="////", linewidth=0)
    words = f"limit {look.text(limit, 'temperature', 0)}"
    heat.text(limit, 1.12, words, ha="center", va="bottom", color=style.WARNING)


def _draw_power(power, heat, result, pieces, look):
    _draw_pieces(power, result, pieces, look)
    start, end = result.suction_temperature, min(result.discharge_temperature, _HOTTEST)
    hot = result.temperature_margin < 0.0
    colour = style.WARNING if hot else style.HIGH_SIDE
    pen.box(heat, start, 0.22, end, 0.77, facecolor=colour, alpha=0.35, linewidth=0)
    pen.line(heat, [end, end], [0.0, 1.0], color=colour, linewidth=3.0)
    y = heat.transAxes.transform((0, 1.35))[1]
    x = min(max(heat.transData.transform((end, 0))[0], 220.0), 560.0)
    word = "hot gas, beyond the limit" if hot else "hot gas"
    pen.text(
        heat, f"{word} {look.text(result.discharge_temperature, 'temperature')}", x - 12, y, ha="right", color=style.INK
    )


def _draw_pieces(axes, result, pieces, look):
    room, y = -1e9, axes.bbox.y1
    shown = ((name, max(watts, 0.0), *face) for name, watts, *face in pieces)
    for name, place, _ in pen.pieces(axes, shown):
        middle = axes.transData.transform((place, 0.0))[0]
        wide = 7.2 * len(name)
        x = max(middle, room + wide / 2 + 6)
        room = x + wide / 2
        pen.line(axes, [middle, x], [y + 2, y + 9], pixels=True, color=style.SOFT_INK, linewidth=0.7, clip_on=False)
        pen.text(axes, name, x, y + 18)
    voltage = look.text(result.conditions.supply_voltage, "voltage")
    words = (
        f"{look.text(result.electric_power, 'electric_power')} = {voltage} × "
        f"{look.text(result.supply_current, 'current')} direct;  each of the three motor lines "
        f"{look.text(result.line_current, 'current')} at {look.text(result.line_voltage, 'voltage')}"
    )
    pen.text(axes, words, 26, _POWER_SIZE[1] - 24, ha="left", bold=True)


_MAP_SIZE = (900, 440)
_MAP = (62 / 900, 62 / 440, 420 / 900, 320 / 440)
_POCKET = (566 / 900, 62 / 440, 314 / 900, 320 / 440)
_NAMED = (0.2, 0.3, 0.4, 0.5, 0.6, 0.7)
_BETWEEN = (0.55, 0.65, 0.75)  # without names, which would crowd there
_TOP_RATIO = 7.0
_BESIDE = ((13, 0, "left"), (-13, 0, "right"), (13, 16, "left"), (-13, 16, "right"))


def map_picture(efficiency, result, look):
    """Draw the efficiency map with one operating point, and the path of a pocket beside it."""
    loss = max(result.mismatch_loss, 0.0)
    sentence = sentence_of("map of a compressor", look, result, map=efficiency, loss=loss)
    still = still_layer(_draw_still, _MAP_SIZE, efficiency, look.system)
    return still.under(_draw_map, result, look, sentence=sentence)


def _draw_still(figure, efficiency, system):
    axes = figure.add_axes(_MAP)
    style.dress(axes, grid="none")
    speeds = [n * 30.0 / np.pi for n in efficiency.speeds]
    values = np.array([[np.nan if v is None else v for v in row] for row in efficiency.efficiency])
    axes.set(xlim=(0, speeds[-1]), ylim=(1.0, _TOP_RATIO))
    axes.set_facecolor("#f3f4f6")
    field, line = (speeds, efficiency.ratios, values), {"colors": style.INK, "linewidths": 0.9}
    axes.contourf(*field, levels=sorted((0.0, *_NAMED, *_BETWEEN, 1.0)), cmap="Blues", alpha=0.55)
    axes.contour(*field, levels=_BETWEEN, **line)
    lines = axes.contour(*field, levels=_NAMED, **line)
    built_in = efficiency.built_in_pressure_ratio
    places = contour_label_places(axes, lines, lines_to_avoid=[([0, speeds[-1]], [built_in, built_in])])
    small = {"fontsize": style.SMALL_TEXT, "inline_spacing": 3}
    axes.clabel(lines, fmt=lambda value: f"{value * 100:.0f} %", manual=places, **small)
    axes.axhline(built_in, color=style.WARNING, linewidth=1.8, linestyle=(0, (7, 3)))
    words = {"ha": "right", "va": "bottom", "color": style.WARNING}
    pen.plated(axes, speeds[-1], 1.04, "dashed: pocket fits here", pad=1.5, alpha=0.8, **words)
    axes.set_xlabel("speed, r/min")
    axes.set_ylabel("pressure ratio")
    figure.text(_MAP[0], 0.935, "Isentropic efficiency", fontweight="bold")
    axes.text(60, 6.85, "grey: cannot run", va="top", fontsize=style.SMALL_TEXT, color=style.SOFT_INK)
    pocket = figure.add_axes(_POCKET)
    style.dress(pocket)
    pocket.set(xlim=(0.0, 1.05), ylim=(0.0, _TOP_RATIO + 1.0))
    pocket.set_xlabel("volume of the pocket, share")
    pocket.set_ylabel("pressure by suction pressure")
    figure.text(_POCKET[0], 0.935, "One pocket", fontweight="bold")


def _draw_map(chart, pocket, result, look):
    x, y = result.conditions.speed * 30.0 / 3.141592653589793, min(result.pressure_ratio, _TOP_RATIO)
    pen.point(chart, [x], [y], marker="D", size=11, color=style.CYCLE, rim=style.PLATE, wide=1.4, clip_on=False)
    space = ClearSpace(chart)
    foot = chart.transData.transform((chart.get_xlim()[1], 1.18))
    space.keep_off_words("dashed: pocket fits here", *foot, ha="right")
    words = f"{result.isentropic_efficiency * 100:.0f} % here"
    space.write(words, (x, y), places=_BESIDE, color=style.CYCLE, bold=True)
    _draw_pocket(pocket, result)


def _draw_pocket(axes, result):
    pocket, base = result.pocket, result.suction.pressure
    small = 1.0 / pocket.volume_ratio
    shares = [1.0 - k * (1.0 - small) / 20 for k in range(21)]
    closed, outside = pocket.pressure / base, pocket.discharge_pressure / base
    opening = pocket.opening_pressure / base
    path = [pocket.pressure_at(v) / base for v in shares]
    fits = (closed / outside) ** (1.0 / pocket.exponent)
    low, high = sorted((small, fits))
    along = [low + k * (high - low) / 12 for k in range(13)]
    curve = [pocket.pressure_at(v) / base for v in along]
    if abs(outside / opening - 1.0) > 0.02:
        lost = {"facecolor": "#fbeaec", "edgecolor": style.WARNING, "hatch": "////", "linewidth": 0.6}
        axes.fill([*along, small], [*curve, outside], **lost)
    lines = (
        ([0.0, 1.0], [closed, closed], style.LOW_SIDE, 2.0, style.DASHES["low side"]),
        (shares, path, style.INK, 2.4, "solid"),
        ([small, small], [opening, outside], style.WARNING, 2.4, "solid"),
        ([small, 0.0], [outside, outside], style.HIGH_SIDE, 2.4, "solid"),
    )
    pen.lines(axes, lines)
    pen.words(axes, "in", 0.35, closed, aside=(0, -11), color=style.LOW_SIDE)
    pen.words(axes, "out", small / 2, outside, aside=(0, 11), color=style.HIGH_SIDE)
    pen.words(axes, "opens", small, opening, aside=(12, 6), ha="left")
    right, top = axes.transData.transform((1.0, 0))[0], _MAP_SIZE[1]
    pen.text(axes, result.mismatch, right, top - 74, ha="right", color=style.WARNING, bold=True)
    if result.mismatch != "matched":
        pen.text(axes, "hatched: work for nothing", right, top - 92, ha="right")


_RPM = math.pi / 30.0
_SPEEDS = tuple((n * _RPM, f"{n:,}") for n in range(0, 9001, 1000))
_SPEED = Axis("speed, r/min", "rotational_speed", (0.0, _SPEEDS[-1][0]), ticks=_SPEEDS, bare=True)
_TICKS = ((0.01, "1 %"), (0.1, "10 %"), (1.0, "100 %"), (10.0, "1,000 %"))
_FORCE = Axis("force on the body by force of the machine", ends=(0.01, 20.0), ticks=_TICKS, logarithmic=True)
_FRAME = (
    Zone(1.0, None, "above this line: worse than a rigid bolt", "bad", ((6300.0 * _RPM, 12.0),), colour=style.WARNING),
    Level(1.0, "", dashes="solid"),
    Zone(None, 1.0, "below: isolated", "none", tuple((8100.0 * _RPM, y) for y in (0.013, 0.02, 0.04, 0.1, 0.3)),
         colour=style.GOOD),
)  # fmt: skip


def mount_picture(result, speeds, shares, bridged, look, *, named=()):
    """Draw the share of the force that gets through against speed; speeds [rad/s], shares [-], bridged [-]."""
    listed = ", ".join(f"at {look.text(n, 'rotational_speed')} {percent(t, None)}" for n, t in named)
    listed = f" Of the force, {listed}." if listed else ""
    touch = " A metal path bridges the rubber." if result.spec.metal_path_stiffness else ""
    sentence = sentence_of("mounts", look, result, touch=touch, listed=listed)
    marks = [(result.speed, result.transmissibility, "D", style.CYCLE)]
    # What the chosen speed says already is not named again.
    marks += [(n, t, "o", style.INK) for n, t in named if abs(n / result.speed - 1.0) >= 0.06]
    things = [Line("", speeds, shares, style.LIQUID, width=2.6)]
    if bridged is not None:
        things.append(Line("rubber alone", speeds, bridged, style.SOFT_INK, (0, (5, 3)), 1.6, beside=(0.99, 0.8, 0.6)))
    things += [
        Mark(n, t, f"{look.text(n, 'rotational_speed')}: {percent(t, None)}", colour, marker)
        for n, t, marker, colour in marks
    ]
    if result.isolating_from < _SPEED.ends[1]:
        words = f"isolates from {look.text(result.isolating_from, 'rotational_speed')}"
        beside = tuple((6 * side, lift, ha) for lift in (-200, -140, -80) for side, ha in ((1, "left"), (-1, "right")))
        dashes = (0, (3, 2))
        things.append(Mark(result.isolating_from, 1.0, words, style.GOOD, "", "x", dashes=dashes, places=beside))
    return strips_picture(Column(_SPEED, (Strip(_FORCE, tuple(things), still=_FRAME),)), look, sentence=sentence,
                          size=(820, 440))  # fmt: skip


_INSULATION_SIZE = (760, 300)
_LOW, _HIGH = 1e4, 1e9
_ROWS = ("compressor", "other parts", "together")


def insulation_picture(result, look):
    """Draw three bars and the least value."""
    word = "reaches" if result.passes else "does not reach"
    sentence = sentence_of("insulation", look, result, word=word, leaking=result.leak_current * 1e3)
    still = still_layer(_draw_axes_insulation, _INSULATION_SIZE, result.least_resistance)
    return still.under(_draw_insulation, result, sentence=sentence)


def _draw_axes_insulation(figure, least):
    axes = figure.add_axes((0.15, 0.2, 0.8, 0.62))
    style.dress(axes, grid="x")
    axes.set(xscale="log", xlim=(_LOW, _HIGH), ylim=(-0.6, 2.6))
    axes.set_xticks([1e4, 1e5, 1e6, 1e7, 1e8, 1e9], ["10 kΩ", "100 kΩ", "1 MΩ", "10 MΩ", "100 MΩ", "1 GΩ"])
    axes.set_yticks([2, 1, 0], _ROWS)
    axes.set_xticks([], minor=True)
    axes.set_xlabel("insulation to the body")
    axes.axvspan(_LOW, least, facecolor="#fbeaec", edgecolor=style.WARNING, hatch="////", linewidth=0, alpha=0.6)
    axes.axvline(least, color=style.WARNING, linewidth=2.0)
    axes.text(least, 2.72, f"least value {ohms(least)}", ha="center", va="bottom", color=style.WARNING)


def _draw_insulation(axes, result):
    values, least = (result.spec.compressor, result.spec.others, result.resistance), result.least_resistance
    colour = style.GOOD if result.passes else style.WARNING
    for y, value, shade in zip((2, 1, 0), values, (style.TWO_PHASE, style.TWO_PHASE, colour), strict=True):
        end = min(max(value, _LOW * 1.02), _HIGH)
        pen.box(axes, _LOW, y - 0.27, end, y + 0.28, facecolor=shade, alpha=0.6, edgecolor=style.INK, linewidth=0.6)
        words = ohms(value)
        if y == 0:
            words += ", enough" if result.passes else ", TOO LITTLE"
        inside = end > 5e7
        if end < least < 7 * end:
            end = least  # the words would lie across the line of the least value
        x, ha = (end / 1.15, "right") if inside else (end * 1.15, "left")
        weight = "bold" if y == 0 else "normal"
        pen.plated(axes, x, y, words, pad=2, alpha=0.85, ha=ha, va="center", fontweight=weight)
