"""Flow of an expansion valve over superheat, and over the evaporating temperature for three bulb charges."""

from thermo_kit.charts import style
from thermo_kit.charts.scales import nice_ends
from thermo_kit.charts.strips import Axis, Column, Line, Mark, Strip, Zone, strips_picture

_TOPS = (0.01, 0.02, 0.03, 0.05, 0.08, 0.12, 0.2, 0.3, 0.5, 0.8, 1.2, 2.0)


def opening_picture(curves, look):
    """Draw how a valve opens."""
    most = max(curves.full_flow, *(max(flows) for _, flows in curves.flows_by_charge))
    flow = Axis("flow", "mass_flow", nice_ends(0.0, 1.32 * most, "mass_flow", look, steps=_TOPS))
    columns = (
        Column(
            Axis("superheat at the bulb", "temperature_difference", (0.0, curves.superheats[-1])),
            (Strip(flow, _over_superheat(curves, look, flow.ends[1])),),
            heading="More superheat, more flow", names=24.0,
        ),
        Column(
            Axis("evaporating temperature", "temperature", (curves.boiling[0], curves.boiling[-1])),
            (Strip(flow, _by_charge(curves, look)),), heading="The same superheat, another boiling point",
        ),
    )  # fmt: skip
    return strips_picture(columns, look, sentence=_sentence(curves, look), size=(900, 440))


def _over_superheat(curves, look, top):
    widest = curves.superheats[-1]
    things = [
        Line("", curves.superheats, curves.flows, style.LIQUID, width=3.0),
        Mark(curves.superheat, curves.flow, f"now {look.text(curves.flow, 'mass_flow')}"),
    ]
    for value, words, dashes in (
        (curves.static_superheat, "opens", (0, (2, 2))),
        (curves.full_superheat, "fully open", (0, (6, 2))),
    ):
        if value is not None and 0.0 <= value <= widest:
            told = f"{words} {look.text(value, 'temperature_difference')}"
            things.append(Mark(value, None, told, style.SOFT_INK, dashes=dashes))
    if curves.static_superheat is None:
        middle = ((0.5 * widest, 0.5 * top),)
        words = "stays shut at this boiling point"
        things.append(Zone(None, None, words, "none", at=middle, colour=style.WARNING))
    return tuple(things)


def _by_charge(curves, look):
    things = []
    for index, (name, flows) in enumerate(curves.flows_by_charge):
        colour, dashes, _ = style.series_style(index)
        own = name == curves.spec.charge
        words, width = (f"{name} (this valve)", 3.2) if own else (name, 1.8)
        beside = (0.15 + 0.2 * index, 0.35, 0.6, 0.85)
        things.append(Line(words, curves.boiling, flows, colour, dashes, width, beside=beside))
    things.append(Mark(curves.evaporating_temperature, None, "", style.INK, dashes=(0, (4, 3))))
    limit = curves.maximum_operating_temperature
    if curves.boiling[0] <= limit <= curves.boiling[-1]:
        words = f"limit {look.text(curves.maximum_operating_pressure, 'pressure')}"
        things.append(Mark(limit, 0.0, words, style.SERIES[2][0], "^"))
    return tuple(things)


def _sentence(curves, look):
    static, full = curves.static_superheat, curves.full_superheat
    opens = "It cannot leave its seat here"
    if static is not None:
        opens = f"It leaves its seat at {look.text(static, 'temperature_difference')} of superheat"
    if full is not None:
        opens += f" and is fully open with {look.text(full, 'temperature_difference')} of it"
    return (
        f"Evaporating at {look.text(curves.evaporating_temperature, 'temperature')}. {opens}. At "
        f"{look.text(curves.superheat, 'temperature_difference')} it passes {look.text(curves.flow, 'mass_flow')}. "
        f"A gas charge would shut it above {look.text(curves.maximum_operating_pressure, 'pressure')}, where it "
        f"boils at {look.text(curves.maximum_operating_temperature, 'temperature')}."
    )
