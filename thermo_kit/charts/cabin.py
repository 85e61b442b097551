"""What the cabin gets: a hot one that cools, and two vents with a fault beside those of a sound coil."""

from thermo_kit.charts import pen, style
from thermo_kit.charts.picture import still_layer
from thermo_kit.charts.scales import dress
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, strips_picture
from thermo_kit.charts.told import sentence_of
from thermo_kit.units import UnitSystem
from thermo_kit.units.look import percent


def after_text(result):
    """Say when the cabin is cool enough."""
    if result.comfort_time is None:
        return f"not within {result.time[-1] / 60.0:.0f} min"
    return f"after {result.comfort_time / 60.0:.1f} min"


def pull_down_picture(result, look, *, wish, outside):
    """Draw the temperatures of a cabin over time; wish [K], outside [K]."""
    time, last = result.time, result.time[-1]
    told = f"cool enough at {look.text(wish, 'temperature')}: {after_text(result)}"
    cool = result.comfort_time is not None
    things = (
        Line("cabin air", time, result.air, style.AIR, width=3.0, value=True),
        Line("seats, trim", time, result.interior, "#8a6a0c", (0, (8, 2, 1.5, 2)), value=True),
        Line("vent", time, result.vent, style.LOW_SIDE, style.DASHES["low side"], value=True),
        Line("outside", (0.0, last), (outside, outside), style.SOFT_INK, (0, (1.5, 2)), 1.6, value=True),
        Level(wish, "" if cool else told, style.GOOD if cool else style.WARNING, inside=True),
    )
    if cool:
        things += (Mark(result.comfort_time, wish, told, style.GOOD, drop="x"),)
    x = Axis("time after blower and cooling have started", "duration", (0.0, last))
    strip = Strip(Axis("temperature", "temperature", count=8), things)
    sentence = _pull_down_told(result, look, wish)
    return strips_picture(Column(x, (strip,), names=176.0), look, sentence=sentence, size=(900, 520))


def _pull_down_told(result, look, wish):
    last, cool = f"{result.time[-1] / 60.0:.0f} min", look.text(wish, "temperature")
    when = f"is cool enough ({cool}) {after_text(result)}"
    if result.comfort_time is None:
        when = f"does not come down to {cool} within {last}"
    ends = {"end": result.air[-1], "seats": result.interior[-1], "vented": result.vent[-1]}
    return sentence_of("cabin that cools", look, result, when=when, last=last, **ends)


_SIZE = (900, 560)
_LEFT, _LOW, _WIDE, _TALL = _COIL = (80.0, 442.0, 520.0, 72.0)
_PLOT = (80.0, 40.0, 520.0, 330.0)
_SIDE = 632.0
_PLACES = (0.25, 0.75)
_NOW = {"color": style.CYCLE, "linestyle": "solid", "marker": "s", "markerfacecolor": style.CYCLE}
_SOUND = {"color": style.SOFT_INK, "linestyle": (0, (5, 3)), "marker": "o", "markerfacecolor": style.PLATE}
_RIM = {"linewidth": 2.6, "markeredgewidth": 2.0}
PATTERNS = {
    "as sound": "AS A SOUND COIL",
    "drift apart": "THE VENTS DRIFT APART",
    "both warmer": "BOTH VENTS WARMER",
    "both colder": "BOTH VENTS COLDER",
}


def vents_picture(case, look, *, name=None):
    """Draw one coil seen from behind and both its vents, with a fault beside those of the sound coil."""
    shown = [air.T for vents in (case.sound, case.faulty) for air in (vents.left, vents.right)]
    low = 5.0 * ((min(shown) - 273.15 - 2.0) // 5.0)
    high = max(5.0 * -(-(max(shown) - 273.15 + 2.0) // 5.0), low + 20.0)
    still = still_layer(_draw_frame, _SIZE, (low + 273.15, high + 273.15), look)
    return still.under(_draw_vents, case, look, name, sentence=_vents_told(case, look, name))


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


def _vents_told(case, look, name):
    own, sound = case.faulty, case.sound
    meaning = meaning_text(case, look)
    told = f"{name}: the fault is hidden" if name else meaning[0].upper() + meaning[1:]
    verdict = "Which side is it?" if name else f"{PATTERNS[case.pattern].capitalize()}: {case.side}."
    told = told.removesuffix(".")  # "°F diff." brings its own full stop
    flow = own.air_flow / sound.air_flow
    return sentence_of("vents", look, told=told, own=own, sound=sound, flow=flow, verdict=verdict)


def _draw_frame(figure, ends, look):
    coil, plot = pen.window(figure, _COIL), pen.placed(figure, _PLOT)
    count = 5 if look.system is UnitSystem.SI else 6
    dress(plot, Axis("", ends=(0, 1)), Axis("vent temperature", "temperature", ends, count=count), look)
    plot.set_xticks([])
    words = "the face of the coil: liquid comes in at the left, vapour leaves at the right"
    pen.caption(figure, words, _LEFT, _LOW + _TALL + 14)
    for share, words in zip(_PLACES, ("LEFT VENT", "RIGHT VENT"), strict=True):
        for at in (share - 90 / _WIDE, share + 90 / _WIDE):
            pen.arrow(coil, (at, -6 / _TALL), (at, -40 / _TALL), **pen.AIR_ARROW)
        x = _LEFT + share * _WIDE
        pen.caption(figure, words, x, _LOW - 30, ha="center", fontweight="bold", color=style.AIR)
        plot.plot([share, share], ends, color=style.GRID, linewidth=8, zorder=0.5, solid_capstyle="butt")


def _draw_vents(coil, plot, case, look, name):
    boil = 1.0 if name else 1.0 - case.faulty.coil.superheated_share
    parts = [("boiling, cold", 0.0, boil, "#cfe6f5", "#5fa8d3", "///", style.LIQUID)]
    if boil < 1.0:
        parts.append(("superheated, warm", boil, 1.0, "#f7ecd0", "#c9a548", "\\\\", "#6e5208"))
    if name:
        parts = [(f"{name}: not shown", 0.0, 1.0, "#f3f4f6", "#b9bfc6", "", style.INK)]
    for words, start, end, face, edge, hatch, colour in parts:
        pen.box(coil, start, 0, end, 1, facecolor=face, edgecolor=edge, hatch=hatch, linewidth=0)
        short = words if (end - start) * _WIDE > 150 else words.partition(",")[2].strip()
        if (end - start) * _WIDE > 40:
            middle = _LEFT + 0.5 * (start + end) * _WIDE
            pen.text(coil, short, middle, _LOW + 0.5 * _TALL, color=colour, bold=True)
    pen.line(coil, [0, 1, 1, 0, 0], [0, 0, 1, 1, 0], color=style.INK, linewidth=1.6, clip_on=False)
    pen.line(coil, [0.5, 0.5], [-0.5, 0], color=style.INK, linewidth=1.2, linestyle=(0, (4, 3)), clip_on=False)
    if case.faulty.heated_share > 0 and not name:
        words = f"{percent(case.faulty.heated_share)} hot air past the damper"
        pen.text(coil, words, _LEFT + 0.5 * _WIDE, _LOW - 55, color=style.HIGH_SIDE, bold=True)
    _draw_readings(plot, case, look)
    _draw_side(plot, case, look, name)


def _draw_readings(plot, case, look):
    for vents, own in ((case.sound, _SOUND), (case.faulty, _NOW)):
        pen.line(plot, _PLACES, (vents.left.T, vents.right.T), markersize=10, **own, **_RIM)
    for share, own, sound, side, ha in (
        (_PLACES[0], case.faulty.left.T, case.sound.left.T, -14, "right"),
        (_PLACES[1], case.faulty.right.T, case.sound.right.T, 14, "left"),
    ):
        (x, y), (_, usual) = plot.transData.transform(((share, own), (share, sound)))
        if abs(y - usual) < 18.0:
            y, usual = (y + 9.0, usual - 9.0) if own >= sound else (y - 9.0, usual + 9.0)
        big = {"color": style.CYCLE, "bold": True, "size": style.LARGE_TEXT}
        pen.text(plot, look.text(own, "temperature"), x + side, y, ha=ha, **big)
        words = f"sound {look.text(sound, 'temperature')}"
        pen.text(plot, words, x + side, usual, ha=ha, color=style.SOFT_INK)


def _draw_side(plot, case, look, name):
    own, sound = case.faulty, case.sound
    colour = style.GOOD if case.side == "no fault seen" else style.WARNING
    head, side = PATTERNS[case.pattern], case.side
    if name:
        head, side, colour = "WHICH SIDE IS IT?", "read both vents and the flow", style.INK
    large = {"ha": "left", "color": colour}
    pen.text(plot, head, _SIDE, 500, size=style.LARGE_TEXT + 1, bold=True, **large)
    pen.text(plot, f"→ {side}", _SIDE, 476, size=style.TEXT + 1, **large)
    told = {"right minus left": "{difference:temperature_difference}", "air flow": "{air_flow:air_flow}"}
    rows = [(words, look.say(text, own), look.say(f"sound {text}", sound)) for words, text in told.items()]
    pen.now_and_sound(plot, rows, _SIDE, 424.0, step=82.0, size=style.LARGE_TEXT + 2)
    share, frame = own.air_flow / sound.air_flow, {"pixels": True, "clip_on": False}
    pen.box(plot, _SIDE, 266, _SIDE + 220, 282, facecolor=style.PLATE, edgecolor=style.SOFT_INK, **frame)
    full = {"facecolor": "#d9cfe8", "edgecolor": style.AIR, "hatch": "//"}
    pen.box(plot, _SIDE, 266, _SIDE + 220 * min(share, 1.0), 282, **full, **frame)
    pen.text(plot, f"{percent(share)} of the sound flow", _SIDE, 252, ha="left")
    knots = [_SIDE, _SIDE + 20, _SIDE + 40]
    for y, own, words in ((196.0, _NOW, "now: filled, full line"), (174.0, _SOUND, "sound coil: hollow, dashed")):
        pen.line(plot, knots, [y] * 3, pixels=True, markevery=[1], markersize=9, clip_on=False, **own, **_RIM)
        pen.text(plot, words, _SIDE + 50, y, ha="left")
