"""Words keep off lines, off other words and inside their axes."""

import numpy as np
import pytest

from thermo_kit.charts.labels import AROUND, ClearSpace, contour_label_places, event_rows
from thermo_kit.charts.picture import new_figure

SIZE = (400, 300)


@pytest.fixture
def axes():
    axes = new_figure(SIZE).add_axes((0, 0, 1, 1))
    axes.set(xlim=(0, 400), ylim=(0, 300))
    return axes


def place_of(axes):
    """Where the last words ended up, in pixels from the lower left."""
    x, y = axes.texts[-1].get_position()
    return float(x), float(y)


def test_words_stand_at_the_first_place_where_nothing_is_in_their_way(axes):
    ClearSpace(axes).write("here", (200, 150))
    assert place_of(axes) == (200 + AROUND[0][0], 150 + AROUND[0][1])


def test_words_leave_the_first_place_to_a_line_and_to_other_words(axes):
    space = ClearSpace(axes)
    space.keep_off_line([200, 260], [163, 163])
    space.write("here", (200, 150), places=((10, 13, "left"), (10, -13, "left"), (-10, 13, "right")))
    assert place_of(axes) == (210.0, 137.0)
    space.write("there", (200, 150), places=((10, 13, "left"), (10, -13, "left"), (-10, 13, "right")))
    assert place_of(axes) == (190.0, 163.0)


def test_words_stay_inside_the_axes(axes):
    ClearSpace(axes).write("a long name", (390, 150), places=((10, 13, "left"), (-10, 13, "right")))
    assert place_of(axes) == (380.0, 163.0)


def test_two_rows_are_centred_about_their_place(axes):
    ClearSpace(axes).write("one\ntwo", (200, 150), places=((0, 0, "left"),), size=10.0)
    heights = sorted(artist.get_position()[1] for artist in axes.texts)
    assert heights == [144.0, 156.0]


def test_labels_of_contours_stay_off_the_edges_and_off_the_line_told(axes):
    x, y = np.meshgrid(np.linspace(0, 400, 41), np.linspace(0, 300, 31))
    lines = axes.contour(x, y, x + y, levels=[350.0])
    places = contour_label_places(axes, lines, lines_to_avoid=[([0, 400], [150, 150])])
    assert len(places) == 1
    (at,) = places
    assert sum(at) == pytest.approx(350.0, abs=1.0)
    assert min(at[0], 400 - at[0], at[1], 300 - at[1]) > 20 and abs(at[1] - 150) > 20


def test_no_stem_of_a_later_event_runs_through_the_words_of_an_earlier():
    starts, ends = [10, 30, 300, 320], [160, 90, 420, 420]
    rows = event_rows(starts, ends)
    assert rows == [1, 0, 1, 0]
    for k, row in enumerate(rows):
        for later in range(k + 1, len(rows)):
            assert rows[later] < row or starts[later] >= ends[k]
    assert event_rows([], []) == []
