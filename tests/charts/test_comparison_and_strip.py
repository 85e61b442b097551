"""Bars of several refrigerants, and readings over time."""

import re
import xml.etree.ElementTree as ElementTree
from types import SimpleNamespace

import pytest

from tests.charts.told import SVG, texts
from thermo_kit.charts import Look
from thermo_kit.charts.reading_strip import reading_strip
from thermo_kit.charts.refrigerants import refrigerant_bars
from thermo_kit.systems import read_log
from thermo_kit.systems.comparison import ComparedCycle
from thermo_kit.units import UnitSystem, celsius


def compared(name, low, high, hot, volume, cop, *, above=False):
    cycle = SimpleNamespace(
        evaporating_pressure=low, condensing_pressure=high, discharge_temperature=celsius(hot),
        coefficient_of_performance=cop,
    )  # fmt: skip
    return ComparedCycle(name, cycle, volume, above)


ROWS = (compared("first", 3e5, 12e5, 70, 5e-4, 3.5), compared("second", 35e5, 100e5, 100, 1e-4, 2.0, above=True))
HEADER = "time [s],suction_pressure [bar(g)],discharge_pressure [bar(g)],suction_temperature [°C],"
HEADER += "discharge_temperature [°C],liquid_temperature [°C]\n"


def strip_of(*lines, moment):
    log = read_log("# refrigerant: R-134a\n" + HEADER + "\n".join(lines) + "\n")
    return reading_strip(log, Look(), moment=moment)


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
    log = "0,1.99,10.99,9,70,40", "30,1.99,10.99,9,9,40", "60,1.89,11.99,9,72,41", "120,1.79,11.49,9,71,41"
    picture = strip_of(*log, moment=65.0)
    names = {"high side", "low side", "discharge line", "liquid line", "suction line", "line not used", "60 s"}
    assert names <= set(texts(picture.moving)) and "evaporator outlet" not in texts(picture.moving)
    assert picture.sentence.startswith("3 lines of readings from 0 s to 120 s. At 60 s: high side 11.99 bar(g), low")
    assert picture.sentence.endswith("suction line 9.0 °C. 1 lines could not be used.")


def test_a_single_moment_can_be_drawn():
    picture = strip_of("0,1.99,10.99,9,70,40", moment=0.0)
    assert picture.sentence.startswith("1 lines of readings from 0 s to 0 s.")
