"""Curves told as data: what is told is drawn, and the frame stays while only the data move."""

from tests.charts.told import texts
from thermo_kit.charts import Look
from thermo_kit.charts.strips import Axis, Column, Event, Level, Line, Mark, Strip, Zone, strips_picture


def picture(high=30.0, **axis):
    line = Line("cabin", (0.0, 60.0), (300.0, 280.0 + high / 10.0), "#000000", value=True)
    things = (
        line,
        Level(290.0, "limit", inside=True),
        Zone(None, 285.0, "too cold", "bad"),
        Mark(30.0, 290.0, "now", drop="xy"),
    )
    y = Axis("temperature", "temperature", **axis)
    strips = (Strip(y, things), Strip(y, (line,)))
    events = (Event(20.0, "pump stops"),)
    left = Column(Axis("time", "time", (0.0, 60.0)), strips, names=120.0, heading="first", events=events, event_rows=2)
    right = Column(Axis("share", ends=(0.01, 1.0), logarithmic=True, bare=True), (Strip(y, (line,)),))
    return strips_picture((left, right), Look(), sentence="all of it")


def test_all_that_is_told_is_written():
    drawn = picture()
    told = texts(drawn.moving)
    assert {"limit", "too cold", "now", "pump stops"} <= set(told)
    assert told.count("cabin 9.9 °C") == 3
    still = texts(drawn.still)
    assert "first" in still and still.count("temperature, °C") == 3 and "time, s" in still and "share" in still


def test_the_frame_stays_while_the_data_move_within_its_ticks():
    assert picture(30.0).still == picture(31.0).still
    assert picture(30.0).moving != picture(31.0).moving
    assert picture(30.0).still != picture(-300.0).still


def test_given_ends_are_kept():
    assert picture(30.0, ends=(270.0, 310.0)).still == picture(-90.0, ends=(270.0, 310.0)).still
