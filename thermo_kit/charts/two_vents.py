"""One coil seen from behind, its two vents, and how a fault moves their temperatures beside those of a sound coil."""

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.shapes import add_box, placed, temperature_axis, window
from thermo_kit.units import UnitSystem
from thermo_kit.units.look import percent

SIZE = (900, 560)
_COIL = (80.0, 442.0, 520.0, 72.0)
_PLOT = (80.0, 40.0, 520.0, 330.0)
_SIDE = 632.0
_PLACES = (0.25, 0.75)
_NOW = {"color": style.CYCLE, "linestyle": "solid", "marker": "s", "markerfacecolor": style.CYCLE}
_SOUND = {"color": style.SOFT_INK, "linestyle": (0, (5, 3)), "marker": "o", "markerfacecolor": style.PLATE}
_RIM = {"linewidth": 2.6, "markeredgewidth": 2.0}
_SMALL = {"ha": "left", "fontsize": style.SMALL_TEXT + 1}
PATTERNS = {
    "as sound": "AS A SOUND COIL",
    "drift apart": "THE VENTS DRIFT APART",
    "both warmer": "BOTH VENTS WARMER",
    "both colder": "BOTH VENTS COLDER",
}


def vents_picture(case, look, *, name=None):
    """Draw both vents of a coil with a fault, beside those of the sound coil."""
    shown = [air.T for vents in (case.sound, case.faulty) for air in (vents.left, vents.right)]
    low = 5.0 * ((min(shown) - 273.15 - 2.0) // 5.0)
    high = max(5.0 * -(-(max(shown) - 273.15 + 2.0) // 5.0), low + 20.0)
    return two_layers(
        _draw_still,
        lambda coil, plot: _draw(coil, plot, case, look, name),
        sentence=_sentence(case, look, name),
        still=((low + 273.15, high + 273.15), look),
        size=SIZE,
    )


def meaning_text(case, look):
    """Say what is wrong, with the numbers of the fault."""
    own, sound = case.faulty, case.sound
    if case.fault == "starved coil":
        now, usual = (look.text(v.coil.superheat, "temperature_difference") for v in (own, sound))
        return f"starved coil: superheat {now} instead of {usual}"
    if case.fault == "damper leaks":
        return f"damper leaks: {percent(own.heated_share)} of the air goes through the heater"
    if case.fault in ("slow blower", "blocked fins"):
        why = "" if case.fault == "slow blower" else f"{percent(own.coil.spec.blocked_share)} of the face closed, "
        now, usual = (look.text(v.air_flow, "air_flow") for v in (own, sound))
        return f"{case.fault}: {why}air flow {now} instead of {usual}"
    return "no fault"


def _sentence(case, look, name):
    own, sound = case.faulty, case.sound
    left, right, usual_left, usual_right = (
        look.text(air.T, "temperature") for air in (own.left, own.right, sound.left, sound.right)
    )
    meaning = meaning_text(case, look)
    told = f"{name}: the fault is hidden" if name else meaning[0].upper() + meaning[1:]
    flow = f"Air flow {percent(own.air_flow / sound.air_flow)} of the sound one."
    verdict = "Which side is it?" if name else f"{PATTERNS[case.pattern].capitalize()}: {case.side}."
    # "°F diff." brings its own full stop.
    return (
        f"{told.removesuffix('.')}. Left vent {left} (sound {usual_left}), right vent {right} (sound {usual_right}), "
        f"difference {look.text(own.difference, 'temperature_difference')} "
        f"(sound {look.text(sound.difference, 'temperature_difference')}). {flow} {verdict}"
    )


def _draw_still(figure, ends, look):
    coil, plot = window(figure, SIZE, _COIL), placed(figure, SIZE, _PLOT)
    temperature_axis(plot, ends, look, "vent temperature", count=5 if look.system is UnitSystem.SI else 6)
    plot.set(xlim=(0, 1), xticks=[])
    left, low, wide, tall = _COIL
    figure.text(
        left / SIZE[0],
        (low + tall + 14) / SIZE[1],
        "the face of the coil: liquid comes in at the left, vapour leaves at the right",
        fontsize=style.SMALL_TEXT + 1,
    )
    arrow = {"arrowstyle": "-|>,head_width=0.35,head_length=0.7", "color": style.AIR, "linewidth": 2.2}
    for share, words in zip(_PLACES, ("LEFT VENT", "RIGHT VENT"), strict=True):
        x = (left + share * wide) / SIZE[0]
        for aside in (-90, 90):
            at = x + aside / SIZE[0]
            coil.annotate(
                "", (at, (low - 40) / SIZE[1]), (at, (low - 6) / SIZE[1]), xycoords="figure fraction", arrowprops=arrow
            )
        figure.text(x, (low - 30) / SIZE[1], words, ha="center", fontweight="bold", color=style.AIR)
        plot.plot([share, share], ends, color=style.GRID, linewidth=8, zorder=0.5, solid_capstyle="butt")


def _draw(coil, plot, case, look, name):
    left, low, wide, tall = _COIL
    boil = 1.0 if name else 1.0 - case.faulty.coil.superheated_share
    parts = [("boiling, cold", 0.0, boil, "#cfe6f5", "#5fa8d3", "///", style.LIQUID)]
    if boil < 1.0:
        parts.append(("superheated, warm", boil, 1.0, "#f7ecd0", "#c9a548", "\\\\", "#6e5208"))
    if name:
        parts = [(f"{name}: not shown", 0.0, 1.0, "#f3f4f6", "#b9bfc6", "", style.INK)]
    for words, start, end, face, edge, hatch, colour in parts:
        add_box(coil, start, 0, end, 1, facecolor=face, edgecolor=edge, hatch=hatch, linewidth=0)
        short = words if (end - start) * wide > 150 else words.partition(",")[2].strip()
        if (end - start) * wide > 40:
            middle = left + 0.5 * (start + end) * wide
            add_text(coil, short, middle, low + 0.5 * tall, color=colour, fontweight="bold")
    add_line(coil, [0, 1, 1, 0, 0], [0, 0, 1, 1, 0], color=style.INK, linewidth=1.6, clip_on=False)
    add_line(coil, [0.5, 0.5], [-0.5, 0], color=style.INK, linewidth=1.2, linestyle=(0, (4, 3)), clip_on=False)
    if case.faulty.heated_share > 0 and not name:
        words = f"{percent(case.faulty.heated_share)} hot air past the damper"
        add_text(coil, words, left + 0.5 * wide, low - 55, color=style.HIGH_SIDE, fontweight="bold")
    _draw_vents(plot, case, look)
    _draw_side(plot, case, look, name)


def _draw_vents(plot, case, look):
    for vents, own in ((case.sound, _SOUND), (case.faulty, _NOW)):
        add_line(plot, _PLACES, (vents.left.T, vents.right.T), markersize=10, **own, **_RIM)
    for share, own, sound, side in (
        (_PLACES[0], case.faulty.left.T, case.sound.left.T, -1),
        (_PLACES[1], case.faulty.right.T, case.sound.right.T, 1),
    ):
        x, y = plot.transData.transform((share, own))
        usual = plot.transData.transform((share, sound))[1]
        if abs(y - usual) < 18.0:
            y, usual = (y + 9.0, usual - 9.0) if own >= sound else (y - 9.0, usual + 9.0)
        at, place = x + 14 * side, {"ha": "right" if side < 0 else "left"}
        big = {"color": style.CYCLE, "fontweight": "bold", "fontsize": style.LARGE_TEXT}
        add_text(plot, look.text(own, "temperature"), at, y, **place, **big)
        words = f"sound {look.text(sound, 'temperature')}"
        add_text(plot, words, at, usual, color=style.SOFT_INK, fontsize=style.SMALL_TEXT + 1, **place)


def _draw_side(plot, case, look, name):
    own, sound = case.faulty, case.sound
    colour = style.GOOD if case.side == "no fault seen" else style.WARNING
    head, side = ("WHICH SIDE IS IT?", "read both vents and the flow") if name else (PATTERNS[case.pattern], case.side)
    bold = {"ha": "left", "fontweight": "bold"}
    add_text(plot, head, _SIDE, 500, color=style.INK if name else colour, fontsize=style.LARGE_TEXT + 1, **bold)
    add_text(plot, f"→ {side}", _SIDE, 476, ha="left", color=style.INK if name else colour, fontsize=style.TEXT + 1)
    y = 424.0
    for words, kind, now, usual in (
        ("right minus left", "temperature_difference", own.difference, sound.difference),
        ("air flow", "air_flow", own.air_flow, sound.air_flow),
    ):
        add_text(plot, words, _SIDE, y, color=style.SOFT_INK, **_SMALL)
        add_text(plot, look.text(now, kind), _SIDE, y - 21, color=style.CYCLE, fontsize=style.LARGE_TEXT + 2, **bold)
        add_text(plot, f"sound {look.text(usual, kind)}", _SIDE, y - 41, **_SMALL)
        y -= 82.0
    share = min(own.air_flow / sound.air_flow, 1.0)
    frame = {"pixels": True, "clip_on": False}
    add_box(plot, _SIDE, 266, _SIDE + 220, 282, facecolor=style.PLATE, edgecolor=style.SOFT_INK, **frame)
    full = {"facecolor": "#d9cfe8", "edgecolor": style.AIR, "hatch": "//"}
    add_box(plot, _SIDE, 266, _SIDE + 220 * share, 282, **full, **frame)
    add_text(plot, f"{percent(own.air_flow / sound.air_flow)} of the sound flow", _SIDE, 252, **_SMALL)
    knots = [_SIDE, _SIDE + 20, _SIDE + 40]
    for y, own, words in ((196.0, _NOW, "now: filled, full line"), (174.0, _SOUND, "sound coil: hollow, dashed")):
        add_line(plot, knots, [y] * 3, pixels=True, markevery=[1], markersize=9, clip_on=False, **own, **_RIM)
        add_text(plot, words, _SIDE + 50, y, **_SMALL)
