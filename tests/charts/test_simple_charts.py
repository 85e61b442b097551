"""Saturation curve, ladder, and the axes they share: what is drawn is what was given."""

import functools
import itertools
import math
from dataclasses import replace

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from tests.charts.told import LOOKS, tells, texts
from thermo_kit.charts import Look
from thermo_kit.charts import pressure as pressure_ladder_module
from thermo_kit.charts.pressure import pressure_ladder, saturation_picture
from thermo_kit.charts.scales import Axis, linear_ticks, log_ticks, titled
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.substances.lines import saturation_curve
from thermo_kit.units import UnitSystem, atmosphere_pressure

EVERY_LOOK = [
    Look(system, altitude, gauge) for system in UnitSystem for altitude in (0.0, 1600.0) for gauge in (True, False)
]


@pytest.mark.parametrize("look", EVERY_LOOK)
def test_log_ticks_are_round_in_what_is_shown_and_keep_their_distance(look):
    ticks = log_ticks(look, "pressure", 0.43e5, 65e5, 460.0, spacing=26.0)
    assert len(ticks) >= 6
    places = [math.log(value) * 460.0 / math.log(65 / 0.43) for value, _ in ticks]
    assert min(b - a for a, b in itertools.pairwise(places)) >= 26.0
    for value, text in ticks:
        assert look.number(value, "pressure") == pytest.approx(float(text.replace("−", "-")), abs=1e-6)


def test_gauge_ticks_have_their_zero_at_the_local_air():
    look = Look(altitude=1600.0)
    value = next(value for value, text in log_ticks(look, "pressure", 0.43e5, 65e5, 460.0) if text == "0")
    assert round(value) == 83524  # ISO 2533 pressure at 1,600 m


def test_linear_ticks_are_round_in_what_is_shown():
    shown = [text for _, text in linear_ticks(Look(UnitSystem.US), "temperature", 233.15, 310.0)]
    assert shown[0] == "−40" and len(shown) >= 5


def test_the_title_of_an_axis_tells_the_altitude_of_a_gauge_axis():
    axis = Axis("Pressure", "pressure")
    assert titled(axis, Look(altitude=1600.0)) == "Pressure, bar(g) at 1,600 m"
    assert titled(axis, Look(altitude=1600.0, gauge=False)) == "Pressure, bar abs"


@pytest.mark.parametrize("name", REFRIGERANT_NAMES)
def test_one_curve_names_both_sides(name):
    tells(lambda curve, look: saturation_picture((curve,), look), saturation_curve(name), "|liquid|; |vapour|", name)


def test_several_curves_carry_their_names():
    names = "; ".join(f"|{name}|" for name in REFRIGERANT_NAMES)
    tells(saturation_picture, tuple(map(saturation_curve, REFRIGERANT_NAMES)), names)


@pytest.mark.parametrize(
    ("factor", "said"), [(1.0, "on the boiling line"), (1.1, "above the line: liquid"), (0.9, "below the line: vapour")]
)
def test_mark_is_told_to_be_on_above_or_below(factor, said):
    p = Refrigerant("R-134a").dew_pressure(293.15) * factor
    draw = functools.partial(saturation_picture, marks=((293.15, p, "parked van"),))
    tells(draw, (saturation_curve("R-134a"),), "parked van; {T:temperature}", said, T=293.15)


def test_a_colder_end_leaves_room_for_a_finer_scale():
    curves = (saturation_curve("R-134a"),)
    picture = saturation_picture(curves, Look(), hottest=323.15)
    assert {"12", "11", "45", "−5"} <= set(texts(picture.still))
    assert "boiling line of R-134a:" in texts(picture.moving)
    assert "11" not in texts(saturation_picture(curves, Look()).still)


@pytest.mark.parametrize("pressure", [0.0, 0.2e5, 1e5, 4e5, 18e5, 130e5])
def test_ladder_tells_both_numbers_and_the_side_of_the_air(pressure):
    for look in LOOKS:
        both = "; ".join(replace(look, gauge=gauge).text(pressure, "pressure") for gauge in (True, False))
        side = "above" if pressure > atmosphere_pressure(look.altitude) else "below"
        tells(pressure_ladder, pressure, both, f"{both}; {side} the surrounding air", looks=[look])


@pytest.mark.parametrize("pressure", [1.1e5, 1.9e5, 4.8e5, 13e5])
@pytest.mark.parametrize("altitude", [-500.0, 0.0, 400.0, 800.0, 1600.0, 3000.0, 5000.0])
def test_no_level_of_the_ladder_crosses_the_words_of_another(pressure, altitude):
    figure = Figure(figsize=(5.6, 4.8))
    canvas = FigureCanvasAgg(figure)
    top = next(
        top for top in pressure_ladder_module._TOPS if max(pressure, atmosphere_pressure(altitude)) <= 0.93 * top
    )
    pressure_ladder_module._draw_ladders(figure, top, UnitSystem.SI, altitude)
    canvas.draw()
    (axes,) = figure.axes
    across = [line for line in axes.lines if set(line.get_xdata()) == {0.0, 1.0}]
    levels = [axes.transData.transform((0.0, line.get_ydata()[0]))[1] for line in across]
    named = [text for text in axes.texts if "air" in text.get_text() or "vacuum" in text.get_text()]
    assert len(levels) == len(named) >= 2
    for text in named:
        box = text.get_window_extent(canvas.get_renderer())
        assert not any(box.y0 < level < box.y1 for level in levels), text.get_text()
