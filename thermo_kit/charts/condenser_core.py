"""A condenser core with headers, separators and receiver, its tubes coloured and hatched by phase."""

from dataclasses import dataclass
from itertools import groupby, pairwise

import numpy as np

from thermo_kit.charts import pen, style
from thermo_kit.charts.labels import spread_apart
from thermo_kit.charts.picture import still_layer
from thermo_kit.charts.told import listed

SIZE = (900, 610)
LEFT, RIGHT, BOTTOM, TOP = 160.0, 560.0, 86.0, 540.0
HEADER = 22.0
_LABELS = 690.0
_VESSEL = 46.0


@dataclass(frozen=True)
class PassBox:
    """One pass: number from 1; tubes; bottom and top [px]; whether it runs to the right."""

    number: int
    tubes: int
    bottom: float
    top: float
    rightward: bool

    @property
    def middle(self):
        """Middle height [px]."""
        return 0.5 * (self.bottom + self.top)

    @property
    def end_side(self):
        """Side on which it ends."""
        return "right" if self.rightward else "left"

    def across(self, position):
        """Return the place of a share of the way; position [-] → [px]."""
        share = position if self.rightward else 1.0 - position
        return LEFT + share * (RIGHT - LEFT)


@dataclass(frozen=True)
class CoreLayout:
    """A core laid out: passes in flow order; receiver_after: pass number or None; separators: (side, height [px])."""

    passes: tuple[PassBox, ...]
    receiver_after: int | None
    separators: tuple[tuple[str, float], ...]

    @property
    def vessel(self):
        """The receiver's box: left, bottom, width, height [px], or None."""
        if self.receiver_after is None:
            return None
        feeds = self.passes[self.receiver_after - 1]
        left = header_edge(feeds.end_side, 36 if feeds.rightward else 36 + _VESSEL)
        top = BOTTOM + 0.52 * (TOP - BOTTOM)
        if not feeds.rightward:
            # The vapour comes in from the left: the vessel stays below that line.
            top = max(min(top, self.passes[0].middle - 34), BOTTOM + 70)
        return left, BOTTOM, _VESSEL, top - BOTTOM


def header_edge(side, out=0.0):
    """Return where a header ends outwards, or so much further out; out [px] → [px]."""
    return LEFT - HEADER - out if side == "left" else RIGHT + HEADER + out


def layout_of(tubes, spans, receiver_after):
    """Lay out a core; spans [-]."""
    tall = TOP - BOTTOM
    passes = tuple(
        PassBox(number, count, TOP - bottom * tall, TOP - top * tall, number % 2 == 1)
        for number, (count, (top, bottom)) in enumerate(zip(tubes, spans, strict=True), start=1)
    )
    return CoreLayout(passes, receiver_after, tuple(_separators(passes, receiver_after)))


def _separators(passes, receiver_after):
    """A header is shut between two neighbours unless the refrigerant turns from one into the other there."""
    down = sorted(passes, key=lambda box: -box.top)
    for upper, lower in pairwise(down):
        turns = lower.number == upper.number + 1 and upper.number != receiver_after
        for side in ("left", "right"):
            if not (turns and side == upper.end_side):
                yield side, upper.bottom


_METAL, _EDGE = "#e4e8ec", "#6b747d"
_LARGE, _SMALL = 9.0, 4.5
_LIQUID_LINE, _MIXTURE_LINE, _VAPOUR_LINE = "#7fb8dc", "#cfe9f8", "#f3e2b8"


def _draw_frame(figure, layout):
    """Draw everything that does not depend on the state of the refrigerant."""
    axes = pen.whole(figure)
    for left in (LEFT - HEADER, RIGHT):
        pen.box(axes, left, BOTTOM - 6, left + HEADER, TOP + 6, facecolor=_METAL, edgecolor=_EDGE, linewidth=1.4)
    for side, height in layout.separators:
        left = LEFT - HEADER if side == "left" else RIGHT
        bar = left - 2, height - 2, left + HEADER + 2, height + 2
        pen.box(axes, *bar, facecolor=style.INK, edgecolor="none", zorder=5)
    height = layout.passes[0].middle
    _pipe(axes, [8, LEFT - HEADER], [height, height], wide=_LARGE, colour=_VAPOUR_LINE, zorder=3)
    axes.text(8, height + 12, "in, larger line:\nhot vapour", va="bottom", zorder=9)
    _turns(axes, layout)
    if layout.receiver_after is not None:
        _receiver(axes, layout)
    _outlet(axes, layout)
    words = "the core from the front; air flows into the page"
    if layout.separators:
        words += "; black bars: separators in the headers"
    axes.text(LEFT - HEADER, SIZE[1] - 6, words, va="top", color=style.SOFT_INK)


def _pipe(axes, xs, ys, *, wide, colour, zorder=2.0):
    ends = {"solid_capstyle": "butt", "solid_joinstyle": "miter"}
    axes.plot(xs, ys, color=_EDGE, linewidth=wide + 2.4, zorder=zorder, **ends)
    axes.plot(xs, ys, color=colour, linewidth=wide, zorder=zorder + 0.1, **ends)
    _arrow(axes, (xs[-2], ys[-2]), (xs[-1], ys[-1]))


def _arrow(axes, start, end):
    pen.arrow(axes, start, end, wide=1.6, shrinkA=0, shrinkB=0, mutation_scale=13, zorder=6)


def _turns(axes, layout):
    for before, after in pairwise(layout.passes):
        side = before.end_side
        if before.number == layout.receiver_after:
            continue
        if abs(before.bottom - after.top) < 1e-6:
            reach = 0.5 * min(before.top - before.bottom, after.top - after.bottom, 60.0)
            middle = header_edge(side, -HEADER / 2)
            _arrow(axes, (middle, before.bottom + reach), (middle, after.top - reach))
        else:
            edge, out = header_edge(side), header_edge(side, 20)
            heights = [before.middle, before.middle, after.middle, after.middle]
            _pipe(axes, [edge, out, out, edge], heights, wide=_SMALL, colour="#a9d3ec")


def _receiver(axes, layout):
    left, bottom, wide, tall = layout.vessel
    feeds = layout.passes[layout.receiver_after - 1]
    side, top = feeds.end_side, bottom + tall
    edge, between = header_edge(side), header_edge(side, 18)
    height = min(max(feeds.middle, bottom + 0.72 * tall), top - 12)
    near = left if feeds.rightward else left + wide
    way = [edge, between, between, near], [feeds.middle] * 2 + [height] * 2
    if abs(height - feeds.middle) < 1e-6:
        way = [edge, near], [height, height]
    _pipe(axes, *way, wide=_LARGE, colour=_MIXTURE_LINE)
    _vessel(axes, left, bottom, wide, tall)
    if layout.receiver_after == len(layout.passes):
        return
    after = layout.passes[layout.receiver_after]
    mouth, middle = bottom + 8, left + 0.5 * wide
    below = after.middle < height - 20 and after.middle < bottom + 0.45 * tall
    level = min(max(after.middle, mouth), bottom + 0.4 * tall) if below else max(after.middle, top + 12)
    _pipe(axes, [middle, middle, edge], [mouth, level, level], wide=_SMALL, colour=_LIQUID_LINE)
    if below and abs(level - after.middle) > 6:
        _arrow(axes, (edge, level), (edge, after.middle))


def _vessel(axes, left, bottom, wide, tall):
    pen.round_box(axes, left, bottom, wide, tall, 9, facecolor=style.PLATE, edgecolor=_EDGE, lw=2.2, zorder=1)
    liquid = {"facecolor": _LIQUID_LINE, "edgecolor": "#0a4f78", "hatch": style.HATCHES["liquid"], "linewidth": 0}
    pen.box(axes, left + 2, bottom + 4, left + wide - 2, bottom + 4 + 0.46 * tall, zorder=1.5, **liquid)
    words = {"ha": "center", "va": "bottom", "rotation": 90, "zorder": 9}
    axes.text(left + 0.27 * wide, bottom + 0.6 * tall, "receiver", **words)


def _outlet(axes, layout):
    last = layout.passes[-1]
    if layout.receiver_after == len(layout.passes):
        left, bottom, wide, _ = layout.vessel
        middle = left + 0.5 * wide
        way, (x, y) = ([middle, middle], [bottom + 8, 34]), (middle + 10, 44)
    else:
        side = last.end_side
        edge, out = header_edge(side), header_edge(side, 14)
        upward = last.number > 1 and last.middle > layout.passes[0].middle
        end = TOP + 42 if upward else 36
        way = [edge, out, out], [last.middle, last.middle, end]
        x, y = (out + 10, end - 8) if upward else (max(out + 10, LEFT if side == "left" else 0), end + 4)
    _pipe(axes, *way, wide=_SMALL, colour=_LIQUID_LINE)
    axes.text(x, y, "out, smaller line: liquid", va="center")


_BUBBLE_RIM = "#2f8fc4"
_PHASES = {
    "vapour": ("#f3e2b8", "#c9a24a", None, "vapour"),
    "two-phase": ("#cfe9f8", _BUBBLE_RIM, None, "mixture"),
    "liquid": ("#7fb8dc", "#0a4f78", style.HATCHES["liquid"], "liquid"),
}
"""Ground, edge, hatch and word of each phase; the mixture carries bubbles instead of a hatch."""
_BUBBLES = ((0.60, 8.0), (0.30, 5.8), (0.08, 3.8), (0.0, 2.2))
"""Least vapour share by mass, and size of its bubbles [px]."""
DRY = 5e-4
"""Below this share of vapour the refrigerant counts as condensed."""
_MUD = {"facecolor": (0.42, 0.35, 0.23, 0.42), "edgecolor": "#6b5a3a", "hatch": "xx", "linewidth": 0.8, "zorder": 4}
_LOUD = {"bold": True, "zorder": 9}
_STRIPS, _COLUMNS = 8, 13


def core_picture(result, spans, look):
    """Draw the refrigerant's way through a core; spans [-]."""
    spec = result.spec
    layout = layout_of(spec.tubes, spans, spec.receiver_after)
    still = still_layer(_draw_frame, SIZE, layout)
    return still.under(_draw_refrigerant, result, layout, look, sentence=core_sentence(result, look))


def core_sentence(result, look):
    """Say what the picture of the core shows, with its numbers."""
    spec = result.spec
    told = [
        f"{result.inlet.refrigerant} walks through {len(spec.tubes)} "
        f"{'pass' if len(spec.tubes) == 1 else 'passes'} of {listed(map(str, spec.tubes))} tubes."
    ]
    for one in result.passes:
        told.append(f"Pass {one.number} ends {_ends(one, look)}.")
    told.append(
        f"The last vapour turns liquid {_where(result)}." if is_condensed(result) else "Vapour leaves the core."
    )
    if result.receiver is not None:
        state = "gets vapour along with liquid" if result.receiver.vapour_carried else "gets liquid only"
        told.append(f"The receiver sits after pass {result.receiver.after_pass} and {state}.")
    if len(spec.tubes) > 1:
        told.append(f"The last pass lies at the {spec.subcooling_pass_at}.")
    if spec.blocked_fraction or any(spec.blocked_profile):
        told.append(f"Blocked: {_blocked_words(spec)}.")
    for share, bottom, top in _weak(spec):
        ends = [100 * (TOP - height) / (TOP - BOTTOM) for height in (top, bottom)]
        told.append(
            f"Weak air, {100 * share:.0f} % of the mean speed, from {ends[0]:.0f} to {ends[1]:.0f} % of the height, "
            "from the top."
        )
    told.append(f"Subcooling at the outlet: {look.text(result.subcooling, 'temperature_difference').rstrip('.')}.")
    return " ".join(told)


def is_condensed(result):
    """Say whether nothing but liquid leaves a core."""
    return result.outlet_quality is None or result.outlet_quality < DRY


def _where(result):
    last = result.last_vapour
    if last is None or last.position > 0.995:
        return f"at the end of pass {last.pass_number if last else len(result.passes)}"
    return f"{100 * last.position:.0f} % along pass {last.pass_number}"


def _ends(one, look):
    temperature = look.text(one.temperature, "temperature")
    if one.phase == "two-phase" and one.quality > DRY:
        return f"with {100 * one.quality:.0f} % vapour by mass at {temperature}"
    if one.subcooling < 0.05 and one.phase != "vapour":
        return f"as liquid, just condensed, at {temperature}"
    if one.phase == "liquid":
        return f"as liquid at {temperature}, {look.text(one.subcooling, 'temperature_difference')} subcooled"
    return f"as vapour at {temperature}"


def _blocked_words(spec):
    told = []
    if spec.blocked_fraction:
        told.append(f"{100 * spec.blocked_fraction:.0f} % of the whole face")
    bands = spec.blocked_profile
    for number, share in enumerate(bands):
        if share:
            low, high = 100 * number / len(bands), 100 * (number + 1) / len(bands)
            told.append(f"{100 * share:.0f} % of the face from {low:.0f} to {high:.0f} % of the height, from the top")
    return "; ".join(told)


def _draw_refrigerant(axes, result, layout, look):
    for box, one in zip(layout.passes, result.passes, strict=True):
        _draw_pass(axes, box, one)
    _tube_lines(axes, layout)
    _bubbles(axes, result, layout)
    _weak_air(axes, result.spec)
    _dirt(axes, result.spec)
    _arrows(axes, layout)
    _mark_last_vapour(axes, result, layout)
    _label_passes(axes, result, layout, look)
    _state_ends(axes, result, layout, look)


def pieces(one):
    """Return the phases of a pass along its way."""
    found, start = [], 0.0
    shares = (("vapour", one.vapour_share), ("two-phase", one.two_phase_share), ("liquid", one.liquid_share))
    for phase, share in shares:
        if share > 1e-9:
            found.append((phase, start, start + share))
            start += share
    return found


def _draw_pass(axes, box, one):
    """The phases of a pass along its way, each named where there is room for the word."""
    for phase, start, end in pieces(one):
        ground, edge, hatch, word = _PHASES[phase]
        left, right = box.across(start), box.across(end)
        shade = {"facecolor": ground, "edgecolor": edge, "hatch": hatch, "linewidth": 0, "zorder": 2}
        pen.box(axes, left, box.bottom, right, box.top, **shade)
        if box.top - box.bottom >= 15 and (end - start) * (RIGHT - LEFT) > 62:
            middle = 0.5 * (left + right) + (8 if box.rightward else -8)
            pen.text(axes, word, middle, box.middle, bold=True, zorder=8)


def _tube_lines(axes, layout):
    """White gaps between the tubes, all in one path; above 90 tubes they would only grey the picture."""
    total = sum(box.tubes for box in layout.passes)
    if total > 90:
        return
    pitch = (TOP - BOTTOM) / total
    heights = [TOP - index * pitch for index in range(1, total)]
    pen.line(axes, [LEFT, RIGHT, np.nan] * len(heights), [y for height in heights for y in (height, height, np.nan)],
             color=style.PLATE, linewidth=min(2.6, 0.3 * pitch), solid_capstyle="butt", zorder=3)  # fmt: skip


def _bubbles(axes, result, layout):
    """Bubbles in the mixture: the larger they are, the more of it is vapour."""
    found = {size: ([], []) for _, size in _BUBBLES}
    positions = (np.arange(_COLUMNS) + 0.5) / _COLUMNS
    for box in layout.passes:
        way = [
            (p.position, np.nan if p.quality is None else p.quality) for p in result.path if p.pass_number == box.number
        ]
        rows = max(1, round((box.top - box.bottom) / 26))
        step = (box.top - box.bottom) / rows
        for column, quality in enumerate(np.interp(positions, *zip(*way, strict=True))):
            if quality >= DRY:
                xs, ys = found[next(size for least, size in _BUBBLES if quality >= least)]
                shift = 0.25 * step if column % 2 else -0.25 * step
                xs.extend([box.across(positions[column])] * rows)
                ys.extend(box.bottom + (row + 0.5) * step + shift for row in range(rows))
    for size, (xs, ys) in found.items():
        if xs:
            pen.rings(axes, xs, ys, size=size, face=style.PLATE, edge=_BUBBLE_RIM, zorder=3.5)


def _arrows(axes, layout):
    for rightward, marker, stem in ((True, ">", -15.0), (False, "<", 15.0)):
        tips = [(b.across(at), b.middle) for b in layout.passes if b.rightward == rightward for at in (0.05, 0.97)]
        if tips:
            xs = [x for tip, _ in tips for x in (tip + stem, tip, np.nan)]
            ys = [y for _, height in tips for y in (height, height, np.nan)]
            pen.line(axes, xs, ys, color=style.INK, linewidth=1.8, zorder=7)
            pen.point(axes, *zip(*tips, strict=True), marker=marker, size=6, color=style.INK, zorder=7)


def _bands(profile):
    """Yield (value, bottom, top [px]) of bands of the face, neighbours that are alike as one, from the top."""
    tall = (TOP - BOTTOM) / len(profile)
    for value, group in groupby(enumerate(profile), key=lambda pair: pair[1]):
        numbers = [number for number, _ in group]
        yield value, TOP - (numbers[-1] + 1) * tall, TOP - numbers[0] * tall


def _weak(spec):
    """Return (speed as a share of the mean, bottom, top [px]) where less air than the mean flows."""
    mean = sum(spec.air_profile) / len(spec.air_profile)
    return [(speed / mean, *ends) for speed, *ends in _bands(spec.air_profile) if speed < 0.999 * mean]


def _weak_air(axes, spec):
    for share, bottom, top in _weak(spec):
        look = {"facecolor": "none", "edgecolor": style.AIR, "hatch": "\\\\", "linewidth": 1.2, "zorder": 3.8}
        pen.box(axes, LEFT, bottom, RIGHT, top, **look)
        words = f"weak air: {100 * share:.0f} % of the mean speed"
        pen.text(axes, words, LEFT + 6, bottom + 9, ha="left", **_LOUD)


def _dirt(axes, spec):
    """Strips of dirt, together as wide as the blocked share of the face."""
    patches = [band for band in _bands(spec.blocked_profile) if band[0]]
    if spec.blocked_fraction:
        patches.append((spec.blocked_fraction, BOTTOM, TOP))
    wide = (RIGHT - LEFT) / _STRIPS
    for share, bottom, top in patches:
        for k in range(_STRIPS):
            left = LEFT + (k + 0.5 - 0.5 * share) * wide
            pen.box(axes, left, bottom, left + share * wide, top, **_MUD)
        words = f"blocked: {100 * share:.0f} % " + ("of the face" if (bottom, top) == (BOTTOM, TOP) else "here")
        pen.text(axes, words, RIGHT - 6, top - 10, ha="right", **_LOUD)


def _mark_last_vapour(axes, result, layout):
    last = result.last_vapour
    if last is None:
        return
    box = layout.passes[last.pass_number - 1]
    x = box.across(last.position)
    pen.line(axes, [x, x], [box.bottom, box.top], color=style.CYCLE, linewidth=2.4, linestyle=(0, (3, 1.5)), zorder=7)
    pen.point(axes, [x], [box.top], marker="v", size=9, color=style.CYCLE, zorder=7)


def _label_passes(axes, result, layout, look):
    rows = sorted(zip(layout.passes, result.passes, strict=True), key=lambda row: row[0].middle)
    gap = min(38.0, (TOP - BOTTOM + 30) / len(rows))
    heights = spread_apart([box.middle for box, _ in rows], gap, BOTTOM - 20, TOP)
    both = gap >= 30
    for (box, one), height in zip(rows, heights, strict=True):
        name = f"pass {one.number}, {one.tubes} {'tube' if one.tubes == 1 else 'tubes'}"
        end = _short_end(one, look)
        pen.line(axes, [_LABELS - 26, _LABELS - 6], [box.middle, height], color=style.SOFT_INK, linewidth=0.8)
        if both:
            pen.text(axes, name, _LABELS, height + 8, ha="left", bold=True)
            pen.text(axes, end, _LABELS, height - 8, ha="left")
        else:
            pen.text(axes, f"{name}: {end}", _LABELS, height, ha="left", size=style.SMALL_TEXT)


def _short_end(one, look):
    temperature = look.text(one.temperature, "temperature")
    if one.phase == "two-phase" and one.quality > DRY:
        return f"ends: {100 * one.quality:.0f} % vapour, {temperature}"
    return f"ends: {'vapour' if one.phase == 'vapour' else 'liquid'}, {temperature}"


def _state_ends(axes, result, layout, look):
    pen.text(axes, look.text(result.inlet_temperature, "temperature"), 8, layout.passes[0].middle - 16, ha="left")
    leaves = "{outlet_temperature:temperature}, subcooling {subcooling:temperature_difference}"
    mark = "▼ dashed: the last vapour turns liquid" if result.last_vapour else "the last vapour condenses at the end"
    colour = style.CYCLE
    if not is_condensed(result):
        leaves, colour = "{outlet_temperature:temperature}, with vapour in it", style.WARNING
        mark = "vapour leaves the core"
    pen.text(axes, look.say(leaves, result), LEFT, 18, ha="left", bold=True)
    pen.text(axes, mark, _LABELS - 40, 18, ha="left", color=colour)
