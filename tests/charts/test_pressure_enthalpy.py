"""The pressure-enthalpy diagram: labels that never cover each other, a cycle that lies where its states are."""

import functools
import io
import itertools
import re
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest

from tests.charts.told import SVG, tells, texts
from thermo_kit.charts import Look
from thermo_kit.charts import pressure_enthalpy as chart
from thermo_kit.charts.cycle_drawing import Mark, compression_path, point_badges, side_words
from thermo_kit.charts.labels import PlacedLabel, WantedLabel, overlap, place_labels, resampled
from thermo_kit.charts.picture import draw_on, new_figure
from thermo_kit.charts.pressure_enthalpy import sheet_bytes
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.substances.lines import property_lines
from thermo_kit.systems.cycle import CycleSpec, solve_cycle
from thermo_kit.systems.readings import PointSpread
from thermo_kit.units import UnitSystem

EVERY = [
    (name, Look(system, altitude, gauge))
    for name in REFRIGERANT_NAMES
    for system in UnitSystem
    for altitude, gauge in ((0.0, True), (1600.0, True), (0.0, False))
]


def cycle(name, **given):
    high = {"condensing_temperature": 318.15, "subcooling": 6.0}
    if name == "R-744":
        high = {"gas_cooler_pressure": 95e5, "gas_cooler_outlet_temperature": 311.15}
    usual = {"evaporating_temperature": 273.15, "superheat": 8.0, "isentropic_efficiency": 0.7}
    return solve_cycle(CycleSpec(refrigerant=name, **usual | high | given))


def of_r134a(**given):
    return chart.diagram(property_lines("R-134a"), Look(), **given)


@functools.cache
def axes_of(name, look):
    sheet = new_figure(chart.SIZE)
    draw_on(sheet, chart.draw_lines, property_lines(name, look.system), look)
    return sheet.axes[0]


@functools.cache
def labels_of(name, look):
    return chart.labels(axes_of(name, look), property_lines(name, look.system), look)


@pytest.mark.parametrize(("name", "look"), EVERY)
def test_no_label_covers_another_or_leaves_the_axes(name, look):
    axes, labels = axes_of(name, look), labels_of(name, look)
    boxes = [label.corners() for label in labels]
    for (i, first), (j, second) in itertools.combinations(enumerate(boxes), 2):
        assert not overlap(first, second), (labels[i].text, labels[j].text)
    (left, bottom), (right, top) = axes.transAxes.transform(((0, 0), (1, 1)))
    for box in boxes:
        assert left <= box[:, 0].min() and box[:, 0].max() <= right
        assert bottom <= box[:, 1].min() and box[:, 1].max() <= top


@pytest.mark.parametrize(("name", "look"), EVERY)
def test_every_family_is_labelled_on_its_own_line(name, look):
    lines, axes, labels = property_lines(name, look.system), axes_of(name, look), labels_of(name, look)
    for kind, least in (("temperature", 5), ("specific_entropy", 3), ("density", 3), ("ratio", 4), ("region", 4)):
        assert sum(label.kind == kind for label in labels) >= least, kind
    by_text = {chart._line_text(line, look): line for line in chart.every_line(lines)}
    for label in labels[4:]:
        line = by_text[label.text]
        pixels = axes.transData.transform(np.column_stack([line.h, line.p]))
        dense = resampled(pixels)  # every 6 px
        assert np.hypot(*(dense - (label.x, label.y)).T).min() < 4.0


def test_overlap_knows_turned_boxes_apart():
    flat = PlacedLabel("a", "k", 10, 0, 0, 0.0, 40, 10)
    crossing = PlacedLabel("b", "k", 10, 0, 0, 90.0, 40, 10)
    beside = PlacedLabel("c", "k", 10, 0, 21, 0.0, 40, 10)
    corner = PlacedLabel("d", "k", 10, 28, 13, 45.0, 20, 10)
    assert overlap(flat.corners(), crossing.corners())
    assert not overlap(flat.corners(), beside.corners())
    assert not overlap(flat.corners(), corner.corners())


def test_a_label_that_fits_nowhere_is_left_out():
    wanted = WantedLabel("wide label", "k", 10.0, np.column_stack([np.linspace(10, 90, 30), np.full(30, 50.0)]), (15,))
    blocker = PlacedLabel("x", "k", 10, 50, 50, 0.0, 120, 30)
    assert len(place_labels([wanted], window=(0, 0, 100, 100))) == 1
    assert place_labels([wanted], window=(0, 0, 100, 100), taken=[blocker]) == []


@pytest.mark.parametrize(("name", "look"), EVERY)
@pytest.mark.parametrize("exchanger", [0.0, 0.1, 0.6])
def test_numbers_of_the_points_keep_clear_and_none_is_missing(name, look, exchanger):
    solved, axes = cycle(name, internal_heat_exchanger_effectiveness=exchanger), axes_of(name, look)
    words = side_words(axes, solved, look)
    badges = point_badges(axes, solved, words)
    for first, second in itertools.combinations([*badges, *words], 2):
        assert not first.touches(second), (first.text, second.text)
    assert sorted(number for badge in badges for number in badge.text.split()) == list("123456")


@pytest.mark.parametrize("name", REFRIGERANT_NAMES)
def test_points_are_drawn_where_their_states_are(name):
    solved, axes = cycle(name), axes_of(name, Look())
    svg = ElementTree.fromstring(chart.diagram(property_lines(name), Look(), cycles=(solved,)).moving)
    drawn = {(round(float(u.get("x"))), round(float(u.get("y")))) for u in svg.iter(SVG + "use")}
    for point in solved.points:
        x, y = axes.transData.transform((point.state.h, point.state.p))
        assert (round(x), round(chart.SIZE[1] - y)) in drawn


@pytest.mark.parametrize("name", REFRIGERANT_NAMES)
def test_loss_free_compression_follows_the_line_of_constant_entropy(name):
    start, end = (point.state for point in cycle(name, isentropic_efficiency=1.0).points[:2])
    refrigerant = Refrigerant(name)
    h, p = compression_path(start, end)
    assert (h[0], h[-1]) == pytest.approx((start.h, end.h))
    for i in range(1, len(h) - 1, 3):
        assert h[i] == pytest.approx(refrigerant.at(p=p[i], s=start.s).h, abs=400.0)  # 0.4 kJ/kg is under a pixel


@pytest.mark.parametrize(("name", "look"), EVERY)
def test_sentence_and_picture_tell_the_numbers_in_their_units(name, look):
    pressures = "{evaporating_pressure:pressure}; {condensing_pressure:pressure}"
    lines = property_lines(name, look.system)
    tells(
        lambda solved, look: chart.diagram(lines, look, cycles=(solved,)),
        cycle(name),
        f"{pressures}; |{name}|; |high side; |low side; |liquid|; |vapour|; |liquid and vapour together|",
        f"{pressures}; {{discharge_temperature:temperature}}",
        looks=[look],
    )


def test_uncertainty_is_drawn_as_boxes():
    solved = cycle("R-134a")
    spreads = tuple(
        PointSpread(p.number, 0.95 * p.state.p, 1.05 * p.state.p, p.state.h - 4e3, p.state.h + 4e3)
        for p in solved.points
    )
    bare, told = (of_r134a(cycles=(solved,), spreads=drawn) for drawn in ((), spreads))
    hatched = re.compile(r'<path d="([^"]*)"[^>]*style="fill: url\(#')
    (boxes,) = hatched.findall(told.moving)
    assert not hatched.findall(bare.moving) and boxes.count("M") == 6  # one hatched box a point
    assert "may be off" in told.sentence


def test_a_mark_and_a_second_cycle_are_named():
    cycles = cycle("R-134a"), cycle("R-134a", isentropic_efficiency=1.0)
    picture = of_r134a(cycles=cycles, names=("loss-free",), marks=(Mark(8e5, 300e3, "picked"),))
    assert "loss-free" in texts(picture.moving)
    assert "Loss-free boils at" in picture.sentence and "Picked: 6.99 bar(g), 300.0 kJ/kg." in picture.sentence


def test_moving_layer_is_small_and_the_still_one_is_kept():
    first, second = (of_r134a(cycles=(cycle("R-134a", superheat=superheat),)) for superheat in (8.0, 9.0))
    assert first.still is second.still and first.moving != second.moving
    assert len(first.moving) < 8_000 and "stroke-dasharray" in first.moving  # the low side, told without colour


@pytest.mark.parametrize(("system", "width"), [(UnitSystem.SI, 842), (UnitSystem.US, 792)])
def test_blank_sheet_is_a_vector_page_with_the_same_bytes_each_time(system, width):
    from pypdf import PdfReader

    look, lines = Look(system), property_lines("R-744", system)
    data = sheet_bytes(lines, look)
    page = PdfReader(io.BytesIO(data)).pages[0]
    assert round(page.mediabox.width) == width
    assert "Name" in page.extract_text() and "R-744" in page.extract_text()
    assert not page.images
    assert data == sheet_bytes(lines, look)
