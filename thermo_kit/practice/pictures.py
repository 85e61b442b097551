"""Draws the picture of a question: a panel's own picture with words turned into letters, gauges, or a diagram."""

import re
from dataclasses import replace

from thermo_kit import panels
from thermo_kit.charts import Look
from thermo_kit.errors import InputError, Problem, ThermoKitError
from thermo_kit.panels.controls import NumberControl
from thermo_kit.units import format_both, parse_quantity, sign_of

SMALLEST_TEXT = 11.0
_FRAME = re.compile(r"^<svg [^>]*>|</svg>$")
_PLATE = r'(<g><path [^>]*style="fill: #ffffff; opacity: [.\d]+"/></g>)?'
_TEXT = re.compile(_PLATE + r'<text style="([^"]*)"([^>]*)>([^<]*)</text>')
_PLACE = re.compile(r'x="([-.\d]+)" y="([-.\d]+)"|translate\(([-.\d]+) ([-.\d]+)\)')
_FONT_SIZE = re.compile(r"font-size: ([.\d]+)px")
_DIAL_ENDS = {"low": ((-1e5, 10e5), (-1e5, 100e5)), "high": ((0.0, 35e5), (0.0, 160e5))}


def draw(name, asked, look=None):
    """Draw the picture of a question.

    Parameters
    ----------
    name : str. The question's, for messages.
    asked : dict. `draw`, a panel, whose first picture it is, or "gauges", "vehicle gauges", "diagram"; `alt`, its
        alternative text; what the kind needs, numbers in SI or as text with their unit; `words`, patterns of whole
        texts and what stands there instead (a letter marks a place, nothing removes it); `show`, left, top, right and
        bottom of the part that is shown [px].
    look : Look or None
        The reader's units; None is SI. Pressures are always those of a gauge at sea level, as the answers are.

    Returns: str. The picture as SVG text, with its alternative text as title. Raises InputError if the kind, a
        parameter or a pattern is unknown, or the model has no answer there.

    Notes: Definition: draws what the charts and models of the package give.
    """
    wanted = dict(asked)
    kind, alt = wanted.pop("draw", ""), wanted.pop("alt", "")
    words, show = wanted.pop("words", {}), wanted.pop("show", None)
    kinds = (*_OWN, *(one for one in panels.__all__ if one.endswith("Panel")))
    if kind not in kinds:
        raise _refused(name, repr(kind), "is not a kind", "use one of " + ", ".join(kinds))
    if not alt:
        raise _refused(name, "alt", "is missing", "say what is seen, without the answer")
    look = replace(look or Look(), altitude=0.0, gauge=True)
    try:
        if kind in _OWN:
            picture = _OWN[kind](look, **wanted)
        else:
            picture = _settings_of(getattr(panels, kind), wanted).describe(look).pictures[0]
    except (TypeError, IndexError) as error:
        raise _refused(name, str(error).rsplit("() ")[-1], "", f"look up what {kind} needs") from None
    except ThermoKitError as error:
        raise _refused(name, str(error)) from error
    return _written(name, picture, words, show or (0, 0, picture.width, picture.height), alt)


def _refused(name, *problem):
    return InputError(Problem(f"picture of question {name}:", *problem))


def _settings_of(panel, wanted):
    kinds = {control.field: control.kind for control in panel.controls if isinstance(control, NumberControl)}
    read = {
        field: parse_quantity(value, sign_of(kinds[field]), argument=field)
        if field in kinds and isinstance(value, str) else value
        for field, value in wanted.items()
    }  # fmt: skip
    settings = panel.Settings(**read)
    for field in read if panel.follow else ():
        along = panel.follow(settings, field) or {}
        settings = replace(settings, **{name: value for name, value in along.items() if name not in read})
    return settings


def _gauges(look, *, low=None, high=None, told=()):
    """Draw gauges by what they show: low, high [Pa] or text with a unit; told: rows of words."""
    from thermo_kit.charts.practice import Dial, gauge_pair

    dials = []
    for side, pressure in (("low", low), ("high", high)):
        if pressure is not None:
            at = parse_quantity(pressure, "bar(g)", argument=side) if isinstance(pressure, str) else pressure
            shown = at - look.stored(0.0, "gauge_pressure")
            ends = next((ends for ends in _DIAL_ENDS[side] if shown <= ends[1]), _DIAL_ENDS[side][-1])
            dials.append(Dial(f"{side} side", shown, *ends))
    return gauge_pair(dials, told, sentence="")


def _vehicle_gauges(look, *, vehicle_name="parcel_van", faults=(), told=(), **day):
    """Draw both gauges of a solved vehicle beside a sound sister's; told: names of measurements; the rest: the day."""
    from thermo_kit.fleet import fault, vehicle
    from thermo_kit.service.diagnosis import INSTRUMENTS, value_of
    from thermo_kit.systems.vehicle import Conditions, solve_vehicle

    spec, day = vehicle(vehicle_name), Conditions(**day)
    own, sound = (solve_vehicle(spec, day, tuple(fault(*one) for one in which)) for which in (faults, ()))
    rows = [f"{spec.refrigerant}, outside air {format_both(day.ambient_temperature, 'temperature')}"]
    for name in ("suction_pressure", "discharge_pressure", *told):
        what = INSTRUMENTS[name]
        shown, usual = (format_both(value_of(one, name), what.kind) for one in (own, sound))
        rows.append(f"{what.title}: {shown}, sound sister: {usual}")
    return _gauges(look, low=own.suction_pressure, high=own.discharge_pressure, told=rows)


def _diagram(look, *, marks=(), without=("isentropes", "isochores", "qualities"), cycle=True, **wanted):
    """Draw a cycle by its panel's settings on a diagram with few lines; marks: rows (p [Pa], h [J/kg], letter)."""
    from thermo_kit.charts.cycle_drawing import Mark
    from thermo_kit.charts.picture import one_layer
    from thermo_kit.charts.pressure_enthalpy import draw_lines, draw_over
    from thermo_kit.panels.cycle import spec_of
    from thermo_kit.substances.lines import property_lines
    from thermo_kit.systems import solve_cycle

    size = (740, 500)
    settings = _settings_of(panels.CyclePanel, wanted)
    lines = replace(property_lines(settings.refrigerant, look.system), **dict.fromkeys(without, ()))
    cycles = (solve_cycle(spec_of(settings)),) if cycle else ()
    marks = [Mark(*row) for row in marks]

    def draw_sheet(sheet):
        draw_lines(sheet, lines, look, size)
        draw_over(sheet.axes[0], look, cycles, marks, (), (), to_read=True)

    return one_layer(draw_sheet, sentence="", size=size)


_OWN = {"gauges": _gauges, "vehicle gauges": _vehicle_gauges, "diagram": _diagram}


def _written(name, picture, words, show, alt):
    """Return the part that is shown as one SVG text, its words changed, its smallest text large enough."""
    left, top, right, bottom = show
    used, sizes = set(), []

    def changed(found):
        plate, look, place, text = found.groups(default="")
        x, y = (float(one) for one in _PLACE.search(place).groups() if one)
        if not (left <= x <= right and top <= y <= bottom):
            return ""
        for pattern, instead in words.items():
            if re.fullmatch(pattern, text):
                used.add(pattern)
                text = instead
                if len(instead) == 1:
                    look = "font-weight: 700; " + _FONT_SIZE.sub("font-size: 18px", look)
        if not text:
            return ""
        sizes.append(float(_FONT_SIZE.search(look).group(1)))
        return f'{plate}<text style="{look}"{place}>{text}</text>'

    body = "".join(f"<g>{_FRAME.sub('', layer)}</g>" for layer in (picture.still, picture.moving))
    body = _TEXT.sub(changed, body)
    if len(used) < len(words):
        raise _refused(name, ", ".join(set(words) - used), "stands nowhere in it", "look at the picture's words")
    scale = max(1.0, SMALLEST_TEXT / min(sizes, default=SMALLEST_TEXT))
    wide, tall = right - left, bottom - top
    title = alt.replace("&", "&amp;").replace("<", "&lt;")
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" role="img" '
        f'viewBox="{left} {top} {wide} {tall}" width="{wide * scale:.0f}" height="{tall * scale:.0f}" '
        f'style="max-width:100%;height:auto;stroke-linejoin:round;stroke-linecap:butt">'
        f"<title>{title}</title>{body}</svg>"
    )
