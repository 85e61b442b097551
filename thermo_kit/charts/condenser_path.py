"""The refrigerant's way through a condenser as lines: vapour share, temperature and mass flux, pass by pass."""

import math

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.scales import linear_ticks, set_ticks

SIZE = (860, 620)
_BOXES = ((0.10, 0.70, 0.87, 0.23), (0.10, 0.385, 0.87, 0.26), (0.10, 0.09, 0.87, 0.23))
_KELVIN_STEP, _FLUX_STEP = 10.0, 200.0


def path_picture(result, look):
    """Draw vapour share, temperatures and mass flux along the passes."""
    spec = result.spec
    temperatures = [point.temperature for point in result.path] + [result.air.temperature]
    # Ends in steps, so that the frame is drawn anew only now and then.
    cold = math.floor((min(temperatures) - 6) / _KELVIN_STEP) * _KELVIN_STEP
    hot = math.ceil((max(temperatures) + 2) / _KELVIN_STEP) * _KELVIN_STEP
    flux = math.ceil(1.12 * max(one.mass_flux for one in result.passes) / _FLUX_STEP) * _FLUX_STEP
    return two_layers(
        _draw_frame,
        lambda *strips: _draw_lines(*strips, result, look),
        sentence=path_sentence(result, look),
        still=(spec.tubes, spec.receiver_after, (cold, hot), flux, look),
        size=SIZE,
    )


def path_sentence(result, look):
    """Say what the strips show, with their numbers."""
    shares = ", ".join(_share(one.quality, one.phase) for one in result.passes)
    first, last = result.passes[0], result.passes[-1]
    return (
        f"Vapour share by mass at the end of each pass: {shares}. "
        f"The gas comes in at {look.text(result.inlet.temperature, 'temperature')}, begins to condense at "
        f"{look.text(result.condensing_temperature, 'temperature')} and leaves at "
        f"{look.text(result.outlet_temperature, 'temperature')}; the air comes at "
        f"{look.text(result.air.temperature, 'temperature')}. Mass flux: {look.text(first.mass_flux, 'mass_flux')} "
        f"in the first pass, {look.text(last.mass_flux, 'mass_flux')} in the last."
    )


def _share(quality, phase):
    if phase == "two-phase":
        return f"{100 * quality:.0f} %"
    return "100 %" if phase == "vapour" else "0 %"


def _draw_frame(figure, tubes, receiver_after, temperatures, flux, look):
    count = len(tubes)
    limits = ((-0.06, 1.08), temperatures, (0.0, flux))
    kinds = ("percent", "temperature", "mass_flux")
    titles = (
        "vapour share by mass, %", f"temperature, {look.sign('temperature')}", f"mass flux, {look.sign('mass_flux')}",
    )  # fmt: skip
    for box, (low, high), kind, title in zip(_BOXES, limits, kinds, titles, strict=True):
        axes = figure.add_axes(box)
        axes.set(xlim=(0, count), ylim=(low, high))
        style.dress(axes, grid="y")
        set_ticks(axes.xaxis, [])
        set_ticks(axes.yaxis, linear_ticks(look, kind, max(low, 0.0), min(high, 1.0) if kind == "percent" else high,
                                           count=4))  # fmt: skip
        axes.set_ylabel(title, fontsize=style.SMALL_TEXT + 1)
        for number in range(count + 1):
            axes.plot([number] * 2, [low, high], color=style.SOFT_INK, linewidth=0.8, linestyle=(0, (2, 2)))
        if receiver_after is not None:
            axes.plot([receiver_after] * 2, [low, high], color=style.INK, linewidth=2.2)
    top = figure.axes[0]
    for number, tubes_here in enumerate(tubes, start=1):
        words = f"pass {number}: {tubes_here} tubes" if count < 7 else f"{number}: {tubes_here}"
        top.text(number - 0.5, 1.16, words, ha="center", fontweight="bold", fontsize=style.SMALL_TEXT + 1)
    if receiver_after is not None:
        figure.axes[-1].text(receiver_after, -0.05 * flux, "receiver", ha="center", va="top",
                             fontsize=style.SMALL_TEXT + 1, fontweight="bold")  # fmt: skip


def _draw_lines(quality, temperature, flux, result, look):
    way = [(point.pass_number - 1 + point.position, point) for point in result.path]
    xs = [x for x, _ in way]
    shares = [_number(point) for _, point in way]
    add_line(quality, xs, shares, color=style.VAPOUR, linewidth=2.4)
    add_line(temperature, xs, [point.temperature for _, point in way], color=style.HIGH_SIDE, linewidth=2.4)
    air = result.air.temperature
    add_line(temperature, [0, xs[-1]], [air] * 2, color=style.AIR, linewidth=1.6, linestyle=(0, (1.5, 2)))
    leaving = [(x, p.air_temperature) for x, p in way if p.position > 0.0]
    add_line(temperature, *zip(*leaving, strict=True), color=style.AIR, linewidth=1.8, linestyle=(0, (6, 2)))
    steps = [(one.number - 1 + k, one.mass_flux) for one in result.passes for k in (0, 1)]
    add_line(flux, *zip(*steps, strict=True), color=style.LIQUID, linewidth=2.4)
    for one in result.passes:
        _value(quality, one.number, _end_share(one), _share(one.quality, one.phase), style.VAPOUR)
        text = f"{look.number(one.mass_flux, 'mass_flux'):,.{0 if look.number(1e3, 'mass_flux') > 500 else 1}f}"
        _words(flux, one.number - 0.5, one.mass_flux, text, 10, style.LIQUID)
    middle = 0.5 if len(result.passes) == 1 else len(result.passes) // 2 - 0.5  # clear of the lines between passes
    air_in = f"air in, {look.text(air, 'temperature')}"
    _words(temperature, 0.02 * len(result.passes), air, air_in, -10, style.AIR, ha="left")
    near = min(leaving, key=lambda pair: abs(pair[0] - middle))
    _words(temperature, *near, "air out", -12, style.AIR)
    here = min(way, key=lambda pair: abs(pair[0] - middle))
    _words(temperature, here[0], here[1].temperature, "refrigerant", 13, style.HIGH_SIDE)
    last = result.last_vapour
    if last is not None:
        x = last.pass_number - 1 + last.position
        for axes in (quality, temperature):
            add_line(axes, [x, x], axes.get_ylim(), color=style.CYCLE, linewidth=1.6, linestyle=(0, (3, 1.5)))
        _words(quality, x, 0.88, "last vapour", 0, style.CYCLE, ha="right" if x > 1 else "left", shift=-6)


def _number(point):
    return point.quality if point.quality is not None else 1.0 if point.phase == "vapour" else 0.0


def _end_share(one):
    return one.quality if one.phase == "two-phase" else 1.0 if one.phase == "vapour" else 0.0


def _value(axes, x, y, text, colour):
    add_line(axes, [x], [y], marker="o", color=colour, markersize=6, clip_on=False)
    last = x >= axes.get_xlim()[1]  # the line falls, so there is room to the right, but for the end of the chart
    _words(axes, x, y, text, 10, colour, ha="right" if last else "left", shift=-6 if last else 6)


def _words(axes, x, y, text, above, colour, *, ha="center", shift=0):
    place = axes.transData.transform((x, y))
    add_text(axes, text, place[0] + shift, place[1] + above, ha=ha, color=colour, fontsize=style.SMALL_TEXT + 1)
