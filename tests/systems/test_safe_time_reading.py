"""Reading a safe-time map between its points."""

import math

import pytest

from thermo_kit.systems.chiller_freeze import FreezeSpec, SafeTimeMap, read_safe_time

SECONDS = ((20.0, 40.0), (40.0, math.inf), (math.inf, math.inf))


def a_map(seconds=SECONDS):
    return SafeTimeMap(FreezeSpec(), "burst", (0.0, 0.1, 0.2), "flow", (0.0, 0.1), seconds, True)


def test_a_computed_point_is_read_as_it_is():
    for i, share in enumerate((0.0, 0.1, 0.2)):
        for j, value in enumerate((0.0, 0.1)):
            assert read_safe_time(a_map(), share, value) == pytest.approx(SECONDS[i][j])


def test_between_points_the_inverse_is_straight():
    assert read_safe_time(a_map(), 0.05, 0.0) == pytest.approx(1 / (0.5 / 20 + 0.5 / 40))
    assert read_safe_time(a_map(), 0.15, 0.0) == pytest.approx(80.0)


def test_far_towards_never_is_never_and_no_time_is_none():
    assert read_safe_time(a_map(), 0.195, 0.0) == math.inf
    assert read_safe_time(a_map(((0.0, 0.0), *SECONDS[1:])), 0.0, 0.0) == 0.0


def test_outside_the_map_its_edge_is_read():
    assert read_safe_time(a_map(), -1.0, -1.0) == pytest.approx(20.0)
    assert read_safe_time(a_map(), 9.0, 9.0) == math.inf


def test_beside_a_missing_or_frozen_point_nothing_is_promised():
    assert read_safe_time(a_map(((20.0, None), *SECONDS[1:])), 0.05, 0.05) is None
    assert math.isnan(read_safe_time(a_map(((math.nan, 40.0), *SECONDS[1:])), 0.05, 0.05))
    assert read_safe_time(a_map(((20.0, None), *SECONDS[1:])), 0.0, 0.0) == pytest.approx(20.0)
