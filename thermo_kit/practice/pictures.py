"""Draws the picture of a question: a panel's own picture with words turned into letters, gauges, or a diagram."""

import re
from dataclasses import dataclass, replace

from thermo_kit import panels
from thermo_kit.charts import Look
from thermo_kit.errors import InputError, Problem, ThermoKitError
from thermo_kit.panels.controls import NumberControl
from thermo_kit.units import format_both, parse_quantity, sign_of

PANELS = {
    "boiling line": ("SaturationPanel", 0), "ladder": ("PressurePanel", 0), "circuit": ("VehiclePanel", 0),
    "core": ("CondenserPanel", 0), "core path": ("CondenserPathPanel", 0), "fins": ("FinDensityPanel", 0),
    "receiver": ("ReceiverPanel", 0), "charge": ("ReceiverChargePanel", 0), "years": ("ReceiverChargePanel", 1),
    "standpipe": ("ReceiverDepthPanel", 0), "double line": ("ExchangerPanel", 0), "gain": ("ExchangeComparePanel", 0),
    "valve": ("ValveForcePanel", 0), "valve flow": ("ValveOpeningPanel", 0), "valve fault": ("ValveFaultPanel", 0),
    "feedings": ("FeedingPanel", 0), "coil": ("EvaporatorPanel", 0), "moist air": ("MoistAirPanel", 0),
    "vents": ("TwoVentsPanel", 0), "pull-down": ("PullDownPanel", 0), "compressor": ("CompressorPanel", 0),
    "efficiency": ("CompressorMapPanel", 0), "mounts": ("MountPanel", 0), "insulation": ("InsulationPanel", 0),
    "plate": ("ChillerPanel", 0), "freezing": ("FreezePanel", 0), "guards": ("GuardPanel", 0),
    "layout": ("LayoutPanel", 0), "pump": ("OperatingPointPanel", 0), "mixture": ("MixturePanel", 0),
    "coolant run": ("ScenarioPanel", 0), "rise": ("RisePanel", 0),
}  # fmt: skip
"""Kinds of picture that a panel draws, with the number of the picture in its description."""
SMALLEST_TEXT = 11.0
_FRAME = re.compile(r"^<svg [^>]*>|</svg>$")
_PLATE = r'(<g><path [^>]*style="fill: #ffffff; opacity: [.\d]+"/></g>)?'
_TEXT = re.compile(_PLATE + r'<text style="([^"]*)"([^>]*)>([^<]*)</text>')
_PLACE = re.compile(r'x="([-.\d]+)" y="([-.\d]+)"|translate\(([-.\d]+) ([-.\d]+)\)')
_FONT_SIZE = re.compile(r"font-size: ([.\d]+)px")
_DIAL_ENDS = {"low": ((-1.0, 10.0), (-1.0, 100.0)), "high": ((0.0, 35.0), (0.0, 160.0))}


@dataclass(frozen=True, slots=True)
class Drawn:
    """A picture as SVG text, and what stands in its place for those who cannot see it."""

    svg: str
    alt: str


def draw(name, asked, look=None):
    """Draw the picture of a question.

    Parameters
    ----------
    name : str
        The question's, for messages.
    asked : dict
        `draw`, a kind; `alt`, its alternative text; what the kind needs, numbers in SI or as text with their unit;
        `words`, patterns of whole texts and what stands there instead (a letter marks a place, nothing removes it);
        `show`, left, top, right and bottom of the part that is shown [px].
    look : Look or None
        The reader's units; None is SI, gauge pressures at sea level.

    Returns
    -------
    Drawn
        SVG text and alternative text.

    Raises
    ------
    InputError
        If the kind, a parameter or a pattern is unknown, or the model has no answer there.

    Notes
    -----
    Definition: draws what the charts and models of the package give.
    """
    wanted = dict(asked)
    kind, alt = wanted.pop("draw", ""), wanted.pop("alt", "")
    words, show = wanted.pop("words", {}), wanted.pop("show", None)
    if kind not in (*PANELS, *_OWN):
        raise _refused(name, repr(kind), "is not a kind", "use one of " + ", ".join((*PANELS, *_OWN)))
    if not alt:
        raise _refused(name, "alt", "is missing", "say what is seen, without the answer")
    try:
        picture = (_OWN[kind] if kind in _OWN else _of_panel)(kind, wanted, look or Look())
    except TypeError as error:
        raise _refused(name, str(error).rsplit("() ")[-1], "", f"look up what {kind} needs") from None
    except ThermoKitError as error:
        raise _refused(name, str(error)) from error
    return Drawn(_written(name, picture, words, show or (0, 0, picture.width, picture.height), alt), alt)


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


def _of_panel(kind, wanted, look):
    panel, number = PANELS[kind]
    return _settings_of(getattr(panels, panel), wanted).describe(look).pictures[number]


def _gauges(_kind, wanted, look):
    """Draw gauges by what they show: low, high as text with a unit; told: rows of words."""

    def drawn(low=None, high=None, told=()):
        shown = {"low": low, "high": high}
        at = {side: parse_quantity(one, "bar(g)", look.altitude, side) for side, one in shown.items() if one}
        return _dials(at, told, look)

    return drawn(**wanted)


def _dials(at, told, look):
    from thermo_kit.charts.gauge_pair import Dial, gauge_pair

    dials = []
    for side, pressure in at.items():
        shown = pressure - look.stored(0.0, "gauge_pressure")
        low, high = next((ends for ends in _DIAL_ENDS[side] if shown <= 1e5 * ends[1]), _DIAL_ENDS[side][-1])
        dials.append(Dial(f"{side} side", shown, 1e5 * low, 1e5 * high))
    return gauge_pair(dials, told, sentence="")


def _vehicle_gauges(_kind, wanted, look):
    """Draw both gauges of a solved vehicle; told: names of measurements; sister: whether a sound one stands beside."""
    from thermo_kit.fleet import fault, vehicle
    from thermo_kit.service.diagnosis import INSTRUMENTS, value_of
    from thermo_kit.systems.vehicle import Conditions, solve_vehicle

    def drawn(vehicle_name="parcel_van", faults=(), told=(), sister=True, **day):
        spec, day = vehicle(vehicle_name), Conditions(altitude=look.altitude, **day)
        result = solve_vehicle(spec, day, tuple(fault(*one) for one in faults))
        sound = solve_vehicle(spec, day) if sister else None

        def row(name):
            both = [format_both(value_of(one, name), INSTRUMENTS[name].kind, look.altitude) for one in (result, sound) if one]
            return f"{INSTRUMENTS[name].title}: " + ", sound sister: ".join(both)

        air = f"{spec.refrigerant}, outside air {format_both(day.ambient_temperature, 'temperature')}"
        names = ("suction_pressure", "discharge_pressure") if sister else ()
        at = {"low": result.suction_pressure, "high": result.discharge_pressure}
        return _dials(at, [air, *(row(name) for name in (*names, *told))], look)

    return drawn(**wanted)


def _diagram(_kind, wanted, look):
    """Draw a cycle by its panel's settings on a diagram with few lines; marks: rows (p, h, letter)."""
    from thermo_kit.charts.cycle_drawing import Mark
    from thermo_kit.charts.picture import Picture, draw_on, new_figure, svg_text
    from thermo_kit.charts.pressure_enthalpy import draw_lines, draw_over
    from thermo_kit.panels.cycle import spec_of
    from thermo_kit.substances.lines import property_lines
    from thermo_kit.systems import solve_cycle

    size = (740, 500)
    marks = tuple(Mark(*row) for row in wanted.pop("marks", ()))
    families = {family: () for family in wanted.pop("without", ("isentropes", "isochores", "qualities"))}
    with_cycle = wanted.pop("cycle", True)
    settings = _settings_of(panels.CyclePanel, wanted)
    lines = replace(property_lines(settings.refrigerant, look.system), **families)
    cycles = (solve_cycle(spec_of(settings)),) if with_cycle else ()
    sheet = new_figure(size)
    draw_on(sheet, draw_lines, lines, look, size)
    draw_on(sheet, lambda one: draw_over(one.axes[0], look, cycles, marks, (), (), to_read=True))
    return Picture(svg_text(sheet, size, plate=True), "", "", *size)


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
