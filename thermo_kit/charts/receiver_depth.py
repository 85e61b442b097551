"""How deep the standpipe's mouth must lie: both published depths against flow, and the band between them."""

from thermo_kit.charts import style
from thermo_kit.charts.scales import nice_ends
from thermo_kit.charts.strips import Axis, Column, Line, Mark, Strip, Zone, strips_picture


def depth_picture(curves, look, *, words=None):
    """Draw the two published depths against flow, with the operating point."""
    sentence = (
        f"With {look.text(curves.mass_flow, 'mass_flow')} through a bore of {look.text(curves.bore, 'length')} "
        f"the surface dips into the mouth at {look.text(curves.onset_here, 'length')}; on the safe side are "
        f"{look.text(curves.safe_here, 'length')} and more. "
        f"The mouth lies {look.text(curves.depth, 'length')} deep: {curves.regime}."
    )
    flows, most = curves.flows, curves.flows[-1]
    top = max(curves.safe[-1], curves.depth, 0.0)
    safe = Line("safe side, ANSI/HI 9.8", flows, curves.safe, style.GOOD, (0, (7, 3)), 2.2, beside=(0.36, 0.6, 0.8))
    onset = Line(
        "onset, Lubin & Springer", flows, curves.onset, style.WARNING, (0, (2, 2)), 2.2, beside=(0.8, 0.6, 0.4)
    )
    spots = [int(share * len(flows)) for share in (0.7, 0.36, 0.5, 0.8)]
    between = tuple((flows[k], 0.5 * (curves.safe[k] + curves.onset[k])) for k in spots)
    above = tuple((0.25 * most, share * top) for share in (0.95, 0.85, 0.75, 0.6))
    below = tuple((share * most, 0.04 * top) for share in (0.7, 0.55, 0.4))
    told = words or f"this receiver:\n{look.text(curves.depth, 'length')}, {curves.regime}"
    things = (
        Zone(None, onset, "below: the surface dips in, bubbles go up", "bad", below, colour=style.WARNING),
        Zone(onset, safe, "doubtful: swirl decides", "doubt", between),
        Zone(safe, None, "above: flooded, only liquid goes up", "none", above, colour=style.GOOD),
        safe,
        onset,
        Mark(curves.mass_flow, max(curves.depth, 0.0), told, marker="D"),
    )
    x = Axis("flow up the standpipe", "mass_flow", (0.0, most), count=8)
    y = Axis("depth of the mouth", "length", nice_ends(0.0, top, "length", look, count=8), count=8)
    return strips_picture(Column(x, (Strip(y, things),)), look, sentence=sentence, size=(680, 460))
