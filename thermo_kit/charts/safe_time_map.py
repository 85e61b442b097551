"""How long there is to react, as a map over concentration and what is left of the flow, or the compressor's speed."""

import math

from thermo_kit.charts import style
from thermo_kit.charts.labels import contour_label_places
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks

SIZE = (760, 560)
_BOX = (0.105, 0.115, 0.87, 0.80)
_LEVELS = (5.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 90.0)
_SHADES = ("#ffffff", "#eceff1", "#cfd5da", "#b3bcc4")
_SHADE_EDGES = (15.0, 30.0, 60.0)
_AVOID = {"burst": "the plates burst", "blocked": "a channel is blocked", "ice": "the first ice forms"}
_AXIS = {"flow": "Coolant flow that is left, %", "compressor_speed": None}
KINDS = {"flow": "percent", "compressor_speed": "rotational_speed"}
"""Kind of the second quantity."""


def safe_time_picture(seconds_map, look, *, share, value, read):
    """Draw the map with the point the learner asks about; share [kg/kg], value [SI], read [s]."""
    kind = KINDS[seconds_map.against]
    sentence = (
        f"At {share * 100:.0f} % glycol and {look.text(value, kind, 0)} "
        f"{'of the coolant flow left' if seconds_map.against == 'flow' else 'of the compressor'}: "
        f"{time_words(seconds_map, read)}."
    )
    return two_layers(
        _draw_map,
        lambda axes: _draw_point(axes, share, value, read),
        still=(seconds_map, look),
        sentence=sentence,
        size=SIZE,
    )


def time_words(seconds_map, read):
    """Say how long there is to react; read [s]."""
    harm = _AVOID[seconds_map.avoid]
    if read is None:
        return "not computed"
    if math.isnan(read):
        return "it freezes already with its pump running"
    if math.isinf(read):
        return f"within {seconds_map.spec.duration:.0f} s this does not come about: {harm}"
    if read < 0.5:
        return f"no time at all before {harm}"
    return f"the shut-off valve must close within {read:.0f} s, or {harm}"


def short_time(read):
    """Write a time to react in a word or two; read [s]."""
    if read is None:
        return "not computed"
    if math.isnan(read):
        return "freezes in normal work"
    if math.isinf(read):
        return "no limit"
    return "no time" if read < 0.05 else f"{read:.1f} s"


def _draw_map(figure, seconds_map, look):
    axes = figure.add_axes(_BOX)
    shares, values = seconds_map.mass_fractions, seconds_map.values
    style.dress(axes, grid="none")
    axes.tick_params(pad=9)  # the mark of the point asked about often lies on an axis
    axes.set(xlim=(shares[0], shares[-1]), ylim=(values[0], values[-1]))
    kind = KINDS[seconds_map.against]
    set_ticks(axes.xaxis, linear_ticks(look, "percent", shares[0], shares[-1], count=9))
    set_ticks(axes.yaxis, linear_ticks(look, kind, values[0], values[-1], count=7))
    axes.set_xlabel("Glycol in the coolant, % by mass")
    axes.set_ylabel(_AXIS[seconds_map.against] or axis_title("Compressor speed", kind, look))
    axes.set_title(
        f"Seconds to close the shut-off valve before {_AVOID[seconds_map.avoid]}", fontsize=style.TEXT, pad=10
    )
    _draw_times(axes, seconds_map)


def _rates(seconds_map):
    """Turn times into their inverse, rows along the second quantity: never is zero, and so lies next to very long."""
    import numpy as np

    seconds = np.array([[np.nan if s is None else s for s in row] for row in seconds_map.seconds], dtype=float).T
    with np.errstate(divide="ignore"):
        return 1.0 / np.maximum(seconds, 1.0)


def _draw_times(axes, seconds_map):
    import numpy as np

    rates = _rates(seconds_map)
    shares, values = seconds_map.mass_fractions, seconds_map.values
    never = 0.5 / seconds_map.spec.duration
    levels = [s for s in _LEVELS if s < seconds_map.spec.duration]
    known = np.ma.masked_invalid(rates)
    if known.count():
        edges = [-1.0, never, *(1.0 / s for s in reversed(_SHADE_EDGES)), 0.95, 2.0]
        axes.contourf(
            shares, values, known, levels=edges, colors=["#e4f3ee", *_SHADES, "#f6d9dd"],
            hatches=[".", None, None, None, None, "xx"],
        )  # fmt: skip
        axes.contour(shares, values, known, levels=[never], colors=style.GOOD, linewidths=2.2, linestyles="dashed")
        lines = axes.contour(
            shares, values, known, levels=[1.0 / s for s in reversed(levels)], colors=style.INK, linewidths=1.4
        )
        axes.clabel(
            lines, fmt=lambda rate: f"{1.0 / rate:.0f} s", fontsize=style.SMALL_TEXT + 1,
            manual=contour_label_places(axes, lines),
        )  # fmt: skip
    _draw_words(axes, rates, seconds_map, never)
    _draw_grid(axes, seconds_map)


def _draw_words(axes, rates, seconds_map, never):
    import numpy as np

    x, y = np.meshgrid(seconds_map.mass_fractions, seconds_map.values)
    computed = np.array([[s is not None for s in row] for row in seconds_map.seconds]).T
    for here, words, colour in (
        (rates < never, f"not within {seconds_map.spec.duration:.0f} s", style.GOOD),
        (np.isnan(rates) & computed, "freezes in normal work", style.WARNING),
        (~computed, "not computed", style.SOFT_INK),
    ):
        if here.sum() < 3:
            continue
        at = x[here].mean(), y[here].mean()
        px, py = axes.transData.transform(at)
        add_text(axes, words, px, py, color=colour, fontweight="bold")


def _draw_grid(axes, seconds_map):
    for share, row in zip(seconds_map.mass_fractions, seconds_map.seconds, strict=True):
        done = [value for value, s in zip(seconds_map.values, row, strict=True) if s is not None]
        add_line(axes, [share] * len(done), done, color=style.SOFT_INK, marker=".", markersize=3, linestyle="none")


def _draw_point(axes, share, value, read):
    add_line(axes, [share], [value], color=style.PLATE, marker="o", markersize=17, ls="none", clip_on=False)
    add_line(axes, [share], [value], color=style.CYCLE, marker="D", markersize=11, ls="none", clip_on=False)
    words = short_time(read)
    x, y = axes.transData.transform((share, value))
    left, right = axes.transData.transform([(v, 0) for v in axes.get_xlim()])[:, 0]
    bottom = axes.transData.transform((share, axes.get_ylim()[0]))[1]
    side = 14 if x < 0.5 * (left + right) else -14
    height = max(y, bottom + 14)
    add_text(axes, f"here: {words}", x + side, height, ha="left" if side > 0 else "right",
             color=style.CYCLE, fontweight="bold", fontsize=style.LARGE_TEXT)  # fmt: skip
