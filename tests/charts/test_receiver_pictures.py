"""The receiver's pictures: what is drawn follows the result, and words carry what colour carries."""

import dataclasses
import math
import re
import xml.etree.ElementTree as ElementTree

import pytest

from tests.charts.told import words
from thermo_kit.charts import Look
from thermo_kit.charts.receiver import band_picture, depth_picture, lift_picture, water_picture, years_picture
from thermo_kit.charts.receiver_cutaway import _below, cutaway_picture
from thermo_kit.components.receiver import (
    REGIMES,
    ChargeSpec,
    MoistureSpec,
    ReceiverConditions,
    charge_band,
    depth_curves,
    depth_over_years,
    moisture_balance,
    pick_up,
    solve_receiver,
    water_after,
)
from thermo_kit.fleet import part_of
from thermo_kit.substances.stream import stream_at
from thermo_kit.units import celsius

VAN, BUS = (part_of(name, "receiver") for name in ("parcel_van", "shuttle_bus"))

STATE = {"refrigerant": "R-1234yf", "condensing_temperature": celsius(45), "mass_flow": 0.03}
MASSES = {"flooded": 0.15, "vapour possible": 0.05, "vapour pulled down": 0.024, "uncovered": 0.018}


def solve(inventory, vessel=VAN, **given):
    inlet = stream_at("R-1234yf", 0.03, T=celsius(45), x=0.0)
    return solve_receiver(vessel, inlet, ReceiverConditions(inventory=inventory, **given))


def charge_pictures():
    years = tuple(range(16))
    spec = ChargeSpec(
        receiver=VAN, **STATE, charge=0.56, held_elsewhere=0.43, leak_per_year=0.02, lateral_acceleration=5.0
    )
    band = charge_band(spec)
    return (
        band_picture(band, Look(), years=3.0),
        years_picture(band, years, depth_over_years(spec, years), Look(), at=3.0),
    )


@pytest.mark.parametrize("regime", REGIMES)
def test_the_regime_is_told_in_words(regime):
    result = solve(MASSES[regime])
    picture = cutaway_picture(result, Look())
    assert result.regime == regime
    assert regime.upper() in words(picture) and REGIMES[regime] in words(picture) and regime in picture.sentence


def test_parts_are_named_and_lines_are_as_the_trade_has_them():
    told = words(cutaway_picture(solve(0.06), Look()))
    for word in ("standpipe", "mouth", "desiccant", "in, larger line", "out, smaller line", "liquid", "vapour"):
        assert word in told


@pytest.mark.parametrize("given", [{}, {"lateral_acceleration": 6.0}, {"tilt": 0.3, "lateral_acceleration": 9.0}])
def test_the_liquid_drawn_lies_below_the_surface_and_within_the_vessel(given):
    result = solve(0.06, **given)
    spec, slope = result.spec, math.tan(result.surface_angle)
    corners = _below(result, spec.height)
    assert len(corners) >= 3
    for x, z in corners:
        assert -1e-12 <= z <= spec.height + 1e-12 and abs(x) <= spec.radius + 1e-12
        assert z <= result.axis_height + slope * x + 1e-9
    assert any(abs(z - result.axis_height - slope * x) < 1e-9 for x, z in corners)


def test_the_surface_sinks_on_the_side_of_the_mouth():
    result = solve(0.06, lateral_acceleration=6.0)
    top = sorted(_below(result, result.spec.height), key=lambda corner: corner[1])[-2:]
    left, right = sorted(top)
    assert left[1] < right[1]
    assert "pushed this way" in words(cutaway_picture(result, Look()))


def test_an_almost_empty_and_a_full_receiver_can_be_drawn():
    here = pick_up(vessel=BUS, **STATE)
    for mass in here.masses():
        ElementTree.fromstring(cutaway_picture(solve(mass, BUS, lateral_acceleration=9.0), Look()).whole())


def test_the_depth_chart_names_both_published_forms_and_the_point():
    curves = depth_curves(pick_up(vessel=VAN, **STATE), depth=0.03, most=0.08)
    told = words(depth_picture(curves, Look()))
    assert "ANSI/HI 9.8" in told and "Lubin" in told and "vapour possible" in told and "swirl decides" in told
    assert "this receiver" not in words(depth_picture(curves, Look(), words="the flow"))


@pytest.mark.parametrize("depth", [0.0, 0.004, 0.05, 0.14])
def test_the_point_of_the_depth_chart_may_lie_anywhere(depth):
    curves = depth_curves(pick_up(vessel=VAN, **STATE), depth=depth, most=0.08)
    assert Look().text(depth, "length") in depth_picture(curves, Look()).sentence


def test_the_charge_line_has_four_zones_in_words():
    told = words(charge_pictures()[0])
    for zone in ("bubbles", "doubtful", "plateau", "overfilled", "when filled: 560 g", "after 3.0 years: 500 g"):
        assert zone in told


def test_the_years_are_told_and_drawn():
    picture = charge_pictures()[1]
    assert "first bubble standing level" in words(picture) and "in the hardest bend" in words(picture)
    assert words(picture).count("at the latest") == picture.sentence.count("at the latest after") == 2
    years = re.findall(r"after (\d+\.\d) years", picture.sentence)
    assert len(years) == 4


def test_the_lift_names_every_piece():
    told = words(lift_picture(solve(0.06).lift, Look()))
    assert all(piece in told for piece in ("lift", "mouth", "pipe", "filter"))


def test_free_water_is_told_in_words():
    full = moisture_balance(MoistureSpec(desiccant_mass=0.01, water_at_start=0.005))
    held, free = zip(*(water_after(full, year) for year in range(5)), strict=True)
    picture = water_picture(full, range(5), held, free, Look())
    assert "free water" in words(picture) and "full already" in picture.sentence
    never = dataclasses.replace(full, years_left=None)
    assert "nothing more comes in" in water_picture(never, range(5), held, free, Look()).sentence
