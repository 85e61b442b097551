"""Bars of several refrigerants, and readings over time."""

import itertools
import re
import xml.etree.ElementTree as ElementTree
from types import SimpleNamespace

import pytest

from thermo_kit.charts import Look
from thermo_kit.charts.reading_strip import SIZE, Series, reading_strip
from thermo_kit.charts.refrigerant_bars import refrigerant_bars
from thermo_kit.systems.comparison import ComparedCycle
from thermo_kit.units import UnitSystem, celsius

SVG = "{http://www.w3.org/2000/svg}"


def compared(name, low, high, hot, volume, cop, *, above=False):
    cycle = SimpleNamespace(
        evaporating_pressure=low, condensing_pressure=high, discharge_temperature=celsius(hot),
        coefficient_of_performance=cop,
    )  # fmt: skip
    return ComparedCycle(name, cycle, volume, above)


ROWS = (
    compared("first", 3e5, 12e5, 70, 5e-4, 3.5),
    compared("second", 35e5, 100e5, 100, 1e-4, 2.0, above=True),
)
TIMES = (0.0, 60.0, 120.0)
SERIES = (
    Series("high side", "pressure", (12e5, 13e5, 12.5e5)),
    Series("low side", "pressure", (3e5, 2.9e5, 2.8e5)),
    Series("hot gas", "temperature", (celsius(70), celsius(72), celsius(71))),
    Series("liquid line", "temperature", (celsius(40), celsius(42), celsius(41))),
)


def texts(svg):
    return [text.text for text in ElementTree.fromstring(svg).iter(SVG + "text")]


def plain_bar_widths(svg):
    path = next(p for p in ElementTree.fromstring(svg).iter(SVG + "path") if p.get("d").count("M") > 4)
    numbers = [[float(n) for n in re.findall(r"[\d.]+", box)] for box in path.get("d").split("M")[1:]]
    return [max(box[0::2]) - min(box[0::2]) for box in numbers]


@pytest.mark.parametrize("look", [Look(), Look(UnitSystem.US, 1600.0), Look(gauge=False)])
def test_each_bar_has_its_number_and_each_row_its_name(look):
    picture = refrigerant_bars(ROWS, look)
    assert {"first", "second"} <= set(texts(picture.still))
    assert len(texts(picture.moving)) == 2 * 5
    high = look.number(12e5, "pressure")
    assert (f"{high:.1f}" if high < 100 else f"{high:.0f}") in texts(picture.moving)
    assert look.text(100e5, "pressure") in picture.sentence


def test_bars_are_as_long_as_their_values():
    widths = plain_bar_widths(refrigerant_bars(ROWS, Look()).moving)
    # Order: low side of both, high side of the first (the second one's is hatched), hot gas, volume, COP of both.
    assert widths[0] / widths[1] == pytest.approx(3 / 35, abs=0.01)
    assert widths[3] / widths[4] == pytest.approx(0.7, abs=0.01)
    assert widths[6] / widths[5] == pytest.approx(0.2, abs=0.01)


def test_above_critical_is_hatched_and_said():
    picture = refrigerant_bars(ROWS, Look())
    assert "<pattern" in picture.moving and "Above the critical pressure: second." in picture.sentence
    assert "<pattern" not in refrigerant_bars(ROWS[:1], Look()).moving


def test_strip_names_each_line_and_tells_the_moment():
    picture = reading_strip(TIMES, SERIES, Look(), cursor=65.0, skipped=(30.0,))
    assert {one.name for one in SERIES} <= set(texts(picture.still))
    assert "At 60 s: high side 11.99 bar(g), low side 1.89 bar(g), hot gas 72.0 °C" in picture.sentence
    assert "1 lines could not be used" in picture.sentence and "60 s" in texts(picture.moving)


def test_cursor_moves_without_redrawing_the_lines():
    first, second = (reading_strip(TIMES, SERIES, Look(), cursor=moment) for moment in (0.0, 120.0))
    assert first.still is second.still and first.moving != second.moving


def test_names_of_close_lines_keep_apart():
    close = tuple(Series(f"line {i}", "temperature", (celsius(40 + 0.1 * i),) * 3) for i in range(4))
    svg = reading_strip(TIMES, (SERIES[0], *close), Look()).still
    heights = sorted(
        float(text.get("y")) for text in ElementTree.fromstring(svg).iter(SVG + "text") if text.text.startswith("line ")
    )
    assert len(heights) == 4 and min(b - a for a, b in itertools.pairwise(heights)) > 11
    assert max(heights) < SIZE[1]


def test_a_single_moment_can_be_drawn():
    single = tuple(Series(one.name, one.kind, one.values[:1]) for one in SERIES)
    assert "1 lines of readings" in reading_strip((0.0,), single, Look(), cursor=0.0).sentence
