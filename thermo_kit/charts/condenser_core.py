"""A condenser core with headers, separators and receiver, its tubes coloured and hatched by phase."""

from itertools import groupby, pairwise

from thermo_kit.charts import style
from thermo_kit.charts.condenser_frame import BOTTOM, LABELS, LEFT, RIGHT, SIZE, TOP, draw_frame, layout_of
from thermo_kit.charts.labels import spread_apart
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_rings, add_text
from thermo_kit.charts.shapes import add_box

TINTS = {"vapour": ("#f3e2b8", "#c9a24a"), "two-phase": ("#cfe9f8", "#2f8fc4"), "liquid": ("#7fb8dc", "#0a4f78")}
"""Ground and hatch of each phase; the mixture carries bubbles instead of a hatch."""
_BUBBLES = ((0.60, 8.0), (0.30, 5.8), (0.08, 3.8), (0.0, 2.2))
"""Least vapour share by mass, and size of its bubbles [px]."""
DRY = 5e-4
"""Below this share of vapour the refrigerant counts as condensed."""
WORDS = {"vapour": "vapour", "two-phase": "mixture", "liquid": "liquid"}
_MUD = {"facecolor": (0.42, 0.35, 0.23, 0.42), "edgecolor": "#6b5a3a", "hatch": "xx", "linewidth": 0.8, "zorder": 4}
_LOUD = {"fontsize": style.SMALL_TEXT + 1, "fontweight": "bold", "zorder": 9}
_STRIPS, _COLUMNS = 8, 13


def core_picture(result, spans, look):
    """Draw the refrigerant's way through a core; spans [-]."""
    spec = result.spec
    layout = layout_of(spec.tubes, spans, spec.receiver_after)
    return two_layers(
        draw_frame,
        lambda axes: _draw_refrigerant(axes, result, layout, look),
        sentence=core_sentence(result, look),
        still=(layout,),
        size=SIZE,
    )


def core_sentence(result, look):
    """Say what the picture of the core shows, with its numbers."""
    spec = result.spec
    told = [
        f"{result.inlet.refrigerant} walks through {len(spec.tubes)} "
        f"{'pass' if len(spec.tubes) == 1 else 'passes'} of {_listed(spec.tubes)} tubes."
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


def _listed(counts):
    words = [str(count) for count in counts]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def is_condensed(result):
    """Say whether nothing but liquid leaves a core."""
    return result.outlet_quality is None or result.outlet_quality < DRY


def _where(result):
    last = result.last_vapour
    if last is None:
        return f"at the end of pass {len(result.passes)}"
    if last.position > 0.995:
        return f"at the end of pass {last.pass_number}"
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
        _fill_pass(axes, box, one)
    _tube_lines(axes, layout)
    _bubbles(axes, result, layout)
    _weak_air(axes, result.spec)
    _dirt(axes, result.spec)
    _arrows(axes, layout)
    for box, one in zip(layout.passes, result.passes, strict=True):
        _words_in_pass(axes, box, one)
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


def _fill_pass(axes, box, one):
    for phase, start, end in pieces(one):
        ground, ink = TINTS[phase]
        hatch = style.HATCHES["liquid"] if phase == "liquid" else None
        add_box(axes, box.across(start), box.bottom, box.across(end), box.top, facecolor=ground, edgecolor=ink,
                hatch=hatch, linewidth=0, zorder=2)  # fmt: skip


def _tube_lines(axes, layout):
    """White gaps between the tubes, all in one path; above 90 tubes they would only grey the picture."""
    total = sum(box.tubes for box in layout.passes)
    if total > 90:
        return
    pitch, gap = (TOP - BOTTOM) / total, float("nan")
    heights = [TOP - index * pitch for index in range(1, total)]
    add_line(axes, [LEFT, RIGHT, gap] * len(heights), [y for height in heights for y in (height, height, gap)],
             color=style.PLATE, linewidth=min(2.6, 0.3 * pitch), solid_capstyle="butt", zorder=3)  # fmt: skip


def _bubbles(axes, result, layout):
    """Bubbles in the mixture: the larger they are, the more of it is vapour."""
    found = {size: ([], []) for _, size in _BUBBLES}
    for box in layout.passes:
        way = [(p.position, p.quality) for p in result.path if p.pass_number == box.number]
        rows = max(1, round((box.top - box.bottom) / 26))
        step = (box.top - box.bottom) / rows
        for column in range(_COLUMNS):
            position = (column + 0.5) / _COLUMNS
            quality = _read(way, position)
            if quality is None or quality < DRY:
                continue
            size = next(size for least, size in _BUBBLES if quality >= least)
            shift = 0.25 * step if column % 2 else -0.25 * step
            found[size][0].extend([box.across(position)] * rows)
            found[size][1].extend(box.bottom + (row + 0.5) * step + shift for row in range(rows))
    for size, (xs, ys) in found.items():
        if xs:
            add_rings(axes, xs, ys, size=size, face=style.PLATE, edge=TINTS["two-phase"][1], zorder=3.5)


def _read(way, position):
    """Return the quality at a place between two points of the way, None outside the dome."""
    for (start, before), (end, after) in pairwise(way):
        if start <= position <= end:
            if before is None or after is None:
                return None
            return before + (after - before) * (position - start) / max(end - start, 1e-12)
    return None


def _arrows(axes, layout):
    gap = float("nan")
    for rightward, marker, stem in ((True, ">", -15.0), (False, "<", 15.0)):
        boxes = [box for box in layout.passes if box.rightward == rightward]
        tips = [(box.across(share), box.middle) for box in boxes for share in (0.05, 0.97)]
        if not tips:
            continue
        xs = [x for tip, _ in tips for x in (tip + stem, tip, gap)]
        ys = [y for _, height in tips for y in (height, height, gap)]
        add_line(axes, xs, ys, color=style.INK, linewidth=1.8, zorder=7)
        add_line(axes, *zip(*tips, strict=True), linestyle="none", marker=marker, color=style.INK, zorder=7)


def _weak(spec):
    """Return (speed as a share of the mean, bottom, top [px]) where less air than the mean flows."""
    bands = spec.air_profile
    mean, tall = sum(bands) / len(bands), (TOP - BOTTOM) / len(bands)
    return [
        (speed / mean, TOP - (last + 1) * tall, TOP - first * tall)
        for speed, first, last in _merged(bands)
        if speed < 0.999 * mean
    ]


def _weak_air(axes, spec):
    for share, bottom, top in _weak(spec):
        look = {"facecolor": "none", "edgecolor": style.AIR, "hatch": "\\\\", "linewidth": 1.2, "zorder": 3.8}
        add_box(axes, LEFT, bottom, RIGHT, top, **look)
        words = f"weak air: {100 * share:.0f} % of the mean speed"
        add_text(axes, words, LEFT + 6, bottom + 9, ha="left", **_LOUD)


def _dirt(axes, spec):
    """Strips of dirt, together as wide as the blocked share of the face."""
    bands = spec.blocked_profile
    tall = (TOP - BOTTOM) / len(bands)
    patches = [(share, TOP - (last + 1) * tall, TOP - first * tall) for share, first, last in _merged(bands) if share]
    if spec.blocked_fraction:
        patches.append((spec.blocked_fraction, BOTTOM, TOP))
    wide = (RIGHT - LEFT) / _STRIPS
    for share, bottom, top in patches:
        for k in range(_STRIPS):
            left = LEFT + (k + 0.5 - 0.5 * share) * wide
            add_box(axes, left, bottom, left + share * wide, top, **_MUD)
        words = f"blocked: {100 * share:.0f} % " + ("of the face" if (bottom, top) == (BOTTOM, TOP) else "here")
        add_text(axes, words, RIGHT - 6, top - 10, ha="right", **_LOUD)


def _merged(bands):
    """Return (share, first band, last band) of neighbours that are blocked alike."""
    for share, group in groupby(enumerate(bands), key=lambda pair: pair[1]):
        numbers = [number for number, _ in group]
        yield share, numbers[0], numbers[-1]


def _words_in_pass(axes, box, one):
    if box.top - box.bottom < 15:
        return
    for phase, start, end in pieces(one):
        if (end - start) * (RIGHT - LEFT) > 62:
            middle = 0.5 * (box.across(start) + box.across(end)) + (8 if box.rightward else -8)
            add_text(axes, WORDS[phase], middle, box.middle, fontsize=style.TEXT, fontweight="bold", zorder=8)


def _mark_last_vapour(axes, result, layout):
    last = result.last_vapour
    if last is None:
        return
    box = layout.passes[last.pass_number - 1]
    x = box.across(last.position)
    add_line(axes, [x, x], [box.bottom, box.top], color=style.CYCLE, linewidth=2.4, linestyle=(0, (3, 1.5)), zorder=7)
    add_line(axes, [x], [box.top], marker="v", color=style.CYCLE, markersize=9, zorder=7)


def _label_passes(axes, result, layout, look):
    rows = sorted(zip(layout.passes, result.passes, strict=True), key=lambda row: row[0].middle)
    gap = min(38.0, (TOP - BOTTOM + 30) / len(rows))
    heights = spread_apart([box.middle for box, _ in rows], gap, BOTTOM - 20, TOP)
    both = gap >= 30
    for (box, one), height in zip(rows, heights, strict=True):
        name = f"pass {one.number}, {one.tubes} {'tube' if one.tubes == 1 else 'tubes'}"
        end = _short_end(one, look)
        add_line(axes, [LABELS - 26, LABELS - 6], [box.middle, height], color=style.SOFT_INK, linewidth=0.8)
        if both:
            add_text(axes, name, LABELS, height + 8, ha="left", fontsize=style.TEXT, fontweight="bold")
            add_text(axes, end, LABELS, height - 8, ha="left", fontsize=style.SMALL_TEXT + 1)
        else:
            add_text(axes, f"{name}: {end}", LABELS, height, ha="left", fontsize=style.SMALL_TEXT)


def _short_end(one, look):
    temperature = look.text(one.temperature, "temperature")
    if one.phase == "two-phase" and one.quality > DRY:
        return f"ends: {100 * one.quality:.0f} % vapour, {temperature}"
    return f"ends: {'vapour' if one.phase == 'vapour' else 'liquid'}, {temperature}"


def _state_ends(axes, result, layout, look):
    hot = look.text(result.inlet_temperature, "temperature")
    add_text(axes, hot, 8, layout.passes[0].middle - 16, ha="left", fontsize=style.SMALL_TEXT + 1)
    out = look.text(result.outlet_temperature, "temperature")
    subcooled = look.text(result.subcooling, "temperature_difference")
    condensed = is_condensed(result)
    words = f"{out}, subcooling {subcooled}" if condensed else f"{out}, with vapour in it"
    add_text(axes, words, LEFT, 18, ha="left", fontsize=style.SMALL_TEXT + 1, fontweight="bold")
    mark = "▼ dashed: the last vapour turns liquid" if result.last_vapour else "the last vapour condenses at the end"
    add_text(
        axes, mark if condensed else "vapour leaves the core", LABELS - 40, 18,
        ha="left", fontsize=style.SMALL_TEXT + 1, color=style.CYCLE if condensed else style.WARNING,
    )  # fmt: skip
