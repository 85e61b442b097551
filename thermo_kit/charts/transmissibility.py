"""What rubber mounts let through, over the speed range of a compressor."""

import math

from thermo_kit.charts import style
from thermo_kit.charts.labels import ClearSpace
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text

SIZE = (820, 440)
_BOX = (84 / 820, 60 / 440, 700 / 820, 330 / 440)
_TOP_SPEED = 9000.0
_LOW, _HIGH = 0.01, 20.0


def mount_picture(result, speeds, shares, bridged, look, *, named=()):
    """Draw the share of the force that gets through against speed; speeds [rad/s], shares [-], bridged [-]."""
    listed = ", ".join(f"at {look.text(n, 'rotational_speed')} {_share(t)}" for n, t in named)
    touch = " A metal path bridges the rubber." if result.spec.metal_path_stiffness else ""
    sentence = (
        f"At {look.text(result.speed, 'rotational_speed')} {_share(result.transmissibility)} of the force reaches "
        f"the body. The mounts swing by themselves at {look.text(result.natural_speed, 'rotational_speed')}, "
        f"{look.text(result.natural_frequency, 'frequency')}, and isolate above "
        f"{look.text(result.isolating_from, 'rotational_speed')}.{touch}"
        + (f" Of the force, {listed}." if listed else "")
    )
    return two_layers(
        _draw_axes,
        lambda axes: _draw(axes, result, speeds, shares, bridged, named, look),
        sentence=sentence,
        size=SIZE,
    )


def _share(value):
    return f"{value * 100:,.0f} %" if value >= 0.095 else f"{value * 100:.1f} %"


def _draw_axes(figure):
    axes = figure.add_axes(_BOX)
    style.dress(axes)
    axes.set(xlim=(0, _TOP_SPEED), yscale="log", ylim=(_LOW, _HIGH))
    axes.set_yticks([0.01, 0.1, 1.0, 10.0], ["1 %", "10 %", "100 %", "1,000 %"])
    axes.set_yticks([], minor=True)
    axes.set_xticks(range(0, 9001, 1000), [f"{n:,}" for n in range(0, 9001, 1000)])
    axes.set_xlabel("speed, r/min")
    axes.set_ylabel("force on the body by force of the machine")
    axes.axhspan(1.0, _HIGH, facecolor="#fbeaec", edgecolor=style.WARNING, hatch="////", linewidth=0, alpha=0.5)
    axes.axhline(1.0, color=style.WARNING, linewidth=1.6)
    axes.text(8900, 14, "above this line: worse than a rigid bolt", ha="right", va="top", color=style.WARNING)


def _draw(axes, result, speeds, shares, bridged, named, look):
    x = [n * 30.0 / math.pi for n in speeds]
    if bridged is not None:
        add_line(axes, x, _clip(bridged), color=style.SOFT_INK, linewidth=1.6, linestyle=(0, (5, 3)))
        px, py = axes.transData.transform((x[-1], min(max(bridged[-1], _LOW), _HIGH)))
        add_text(axes, "rubber alone", px - 4, py + 12, ha="right", color=style.SOFT_INK)
    add_line(axes, x, _clip(shares), color=style.LIQUID, linewidth=2.6)
    start = result.isolating_from * 30.0 / math.pi
    space = ClearSpace(axes)
    space.keep_off_line(x, _clip(shares))
    if bridged is not None:
        space.keep_off_line(x, _clip(bridged))
    space.keep_off_line([0, _TOP_SPEED], [1.0, 1.0])
    space.keep_off_line([start, start], [_LOW, 1.0])
    _mark(axes, space, result.speed, result.transmissibility, "D", style.CYCLE, look)
    for speed, share in named:
        if abs(speed / result.speed - 1.0) < 0.06:
            continue  # the chosen speed says the same
        _mark(axes, space, speed, share, "o", style.INK, look)
    if start < _TOP_SPEED:
        add_line(axes, [start, start], [_LOW, 1.0], color=style.GOOD, linewidth=1.4, linestyle=(0, (3, 2)))
        words = f"isolates from {look.text(result.isolating_from, 'rotational_speed')}"
        beside = tuple((side * 6, lift, ha) for lift in (0, 60, 120) for side, ha in ((1, "left"), (-1, "right")))
        space.write(words, start, 0.02, places=beside, color=style.GOOD)
    up = tuple((0, 14 + 20 * step, "right") for step in range(8))
    space.write("below: isolated", 8900, _LOW, places=up, color=style.GOOD)


def _mark(axes, space, speed, share, marker, colour, look):
    x, y = speed * 30.0 / math.pi, min(max(share, _LOW), _HIGH)
    add_line(
        axes, [x], [y], linestyle="none", marker=marker, markersize=10, color=colour, markeredgecolor=style.PLATE,
        clip_on=False,
    )  # fmt: skip
    words = f"{look.text(speed, 'rotational_speed')}: {_share(share)}"
    space.write(words, x, y, color=colour, bold=marker == "D")


def _clip(values):
    return [min(max(value, _LOW / 2), 2 * _HIGH) for value in values]
