"""What rubber mounts let through, over the speed range of a compressor."""

import math

from thermo_kit.charts import style
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, Zone, strips_picture
from thermo_kit.units.look import percent

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
    touch = " A metal path bridges the rubber." if result.spec.metal_path_stiffness else ""
    sentence = (
        f"At {look.text(result.speed, 'rotational_speed')} {percent(result.transmissibility, None)} of the force "
        f"reaches the body. The mounts swing by themselves at {look.text(result.natural_speed, 'rotational_speed')}, "
        f"{look.text(result.natural_frequency, 'frequency')}, and isolate above "
        f"{look.text(result.isolating_from, 'rotational_speed')}.{touch}"
        + (f" Of the force, {listed}." if listed else "")
    )
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
