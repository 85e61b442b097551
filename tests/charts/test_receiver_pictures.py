"""The receiver's pictures: what is drawn follows the result, and words carry what colour carries."""

import functools
import math
import re
import xml.etree.ElementTree as ElementTree
from dataclasses import replace

import pytest

from tests.charts.told import tells, words
from thermo_kit.charts import Look
from thermo_kit.charts import receiver as chart
from thermo_kit.charts.receiver_cutaway import _below, cutaway_picture
from thermo_kit.components import receiver as part
from thermo_kit.fleet import part_of
from thermo_kit.substances.stream import stream_at
from thermo_kit.units import celsius

VAN, BUS = (part_of(name, "receiver") for name in ("parcel_van", "shuttle_bus"))
STATE = {"refrigerant": "R-1234yf", "condensing_temperature": celsius(45), "mass_flow": 0.03}
MASSES = {"flooded": 0.15, "vapour possible": 0.05, "vapour pulled down": 0.024, "uncovered": 0.018}


def solve(inventory, vessel=VAN, **given):
    inlet = stream_at("R-1234yf", 0.03, T=celsius(45), x=0.0)
    return part.solve_receiver(vessel, inlet, part.ReceiverConditions(inventory=inventory, **given))


@pytest.mark.parametrize("regime", part.REGIMES)
def test_the_regime_is_told_in_words(regime):
    result = solve(MASSES[regime])
    assert result.regime == regime
    tells(cutaway_picture, result, f"{regime.upper()}; {part.REGIMES[regime]}", regime)


def test_parts_are_named_and_lines_are_as_the_trade_has_them():
    seen = "|standpipe|; |mouth|; |desiccant|; in, larger line; out, smaller line; |liquid|; |vapour|"
    tells(cutaway_picture, solve(0.06), seen)


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
    left, right = sorted(sorted(_below(result, result.spec.height), key=lambda corner: corner[1])[-2:])
    assert left[1] < right[1]
    tells(cutaway_picture, result, "pushed this way")


def test_an_almost_empty_and_a_full_receiver_can_be_drawn():
    for mass in part.pick_up(vessel=BUS, **STATE).masses():
        ElementTree.fromstring(cutaway_picture(solve(mass, BUS, lateral_acceleration=9.0), Look()).whole())


def test_the_depth_chart_names_both_published_forms_and_the_point():
    curves = part.depth_curves(part.pick_up(vessel=VAN, **STATE), depth=0.03, most=0.08)
    tells(chart.depth_picture, curves, "ANSI/HI 9.8; Lubin; vapour possible; swirl decides; this receiver")
    tells(functools.partial(chart.depth_picture, words="the flow"), curves, "the flow", unseen="this receiver")


@pytest.mark.parametrize("depth", [0.0, 0.004, 0.05, 0.14])
def test_the_point_of_the_depth_chart_may_lie_anywhere(depth):
    curves = part.depth_curves(part.pick_up(vessel=VAN, **STATE), depth=depth, most=0.08)
    tells(chart.depth_picture, curves, said="{depth:length}")


def test_the_charge_line_has_four_zones_in_words_and_the_years_are_told_and_drawn():
    charge = {"charge": 0.56, "held_elsewhere": 0.43, "leak_per_year": 0.02, "lateral_acceleration": 5.0}
    spec, years = part.ChargeSpec(receiver=VAN, **STATE, **charge), tuple(range(16))
    band = part.charge_band(spec)
    zones = "bubbles; doubtful; plateau; overfilled"
    seen = f"{zones}; when filled: {{spec.charge:mass}}; after 3.0 years: {{left:mass}}"
    tells(functools.partial(chart.band_picture, years=3.0), band, seen, left=0.5)
    picture = chart.years_picture(band, years, part.depth_over_years(spec, years), Look(), at=3.0)
    assert "first bubble standing level" in words(picture) and "in the hardest bend" in words(picture)
    assert words(picture).count("at the latest") == picture.sentence.count("at the latest after") == 2
    assert len(re.findall(r"after (\d+\.\d) years", picture.sentence)) == 4


def test_the_lift_names_every_piece():
    tells(chart.lift_picture, solve(0.06).lift, "lift; mouth; pipe; filter")


def test_free_water_is_told_in_words():
    full = part.moisture_balance(part.MoistureSpec(desiccant_mass=0.01, water_at_start=0.005))
    held, free = zip(*(part.water_after(full, year) for year in range(5)), strict=True)
    for result, said in ((full, "full already"), (replace(full, years_left=None), "nothing more comes in")):
        picture = chart.water_picture(result, range(5), held, free, Look())
        assert "free water" in words(picture) and said in picture.sentence
