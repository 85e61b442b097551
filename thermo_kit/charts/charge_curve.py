"""Subcooling, head pressure and vent temperature of a vehicle over its charge."""

from thermo_kit.charts import style
from thermo_kit.charts.strips import Axis, Column, Line, Mark, Strip, strips_picture


def charge_picture(curve, charge, label, look):
    """Draw three curves over the charge, with a line at the charge asked for; charge, label [kg]."""
    rows = [(at, one) for at, one in zip(curve.charges, curve.results, strict=True) if one is not None]
    charges = tuple(at for at, _ in rows)
    strips = []
    for title, kind, name, colour in (
        ("subcooling", "temperature_difference", "subcooling", style.LIQUID),
        ("high side", "gauge_pressure", "discharge_pressure", style.HIGH_SIDE),
        ("vent air", "temperature", "vent_temperature", style.AIR),
    ):
        y = tuple(getattr(one, name) for _, one in rows)
        things = (
            Line("", charges, y, colour),
            Mark(min(max(charge, charges[0]), charges[-1]), None, "", dashes="solid"),
        )
        strips.append(Strip(Axis(title, kind), things))
    first, last = rows[0][1], rows[-1][1]
    plateau = [at for at, one in rows if 0.0 <= one.fill <= 1.0]
    flat = (
        f"from {look.text(plateau[0], 'mass')} to {look.text(plateau[-1], 'mass')} the readings hardly move"
        if plateau else "there is no plateau on this day"
    )  # fmt: skip
    sentence = (
        f"From {look.text(charges[0], 'mass')} to {look.text(charges[-1], 'mass')} of charge, label "
        f"{look.text(label, 'mass')}: {flat}; vent {look.text(first.vent_temperature, 'temperature')} at the low end, "
        f"high side {look.text(last.discharge_pressure, 'gauge_pressure')} at the high end."
    )
    return strips_picture(Column(Axis("charge", "mass"), tuple(strips)), look, sentence=sentence, size=(720, 560))
