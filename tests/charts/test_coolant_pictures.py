"""The coolant pictures: what is drawn follows the result, and words carry what colour carries."""

import re
import xml.etree.ElementTree as ElementTree
from dataclasses import replace

import pytest

from thermo_kit.charts import Look
from thermo_kit.charts.coolant import mixture_picture, operating_picture, part_text, run_picture
from thermo_kit.charts.coolant_layout import BANDS, band_of, layout_picture
from thermo_kit.charts.coolant_places import SIZE, places_of
from thermo_kit.service import cold_state, read_refractometer, top_up
from thermo_kit.service.mixture import freezing_curve
from thermo_kit.systems.coolant_network import (
    LAYOUT_NAMES,
    NetworkFault,
    apply_faults,
    fast_charge,
    load_layout,
    simulate_network,
    solve_coolant_network,
)
from thermo_kit.systems.coolant_network.faults import with_heats, with_parts_off
from thermo_kit.systems.operating_curves import operating_curves
from thermo_kit.units import UnitSystem, celsius

LOOKS = (Look(), Look(system=UnitSystem.US))


def fault(kind, part="", amount=None):
    return NetworkFault(kind=kind, part=part, amount=amount)


def solved(layout, *faults, **fields):
    return solve_coolant_network(apply_faults(replace(load_layout(layout), **fields), faults))


def words(picture):
    return re.findall(r">([^<>]+)</text>", picture.still + picture.moving)


def mixture(look, shown=-18.0):
    kind = "ethylene glycol"
    reading = read_refractometer(kind, scale_freezing_point=celsius(shown))
    state = cold_state(kind, mass_fraction=reading.mass_fraction, temperature=celsius(-25))
    plan = top_up(kind, system_volume=8e-3, volume_fraction=reading.volume_fraction, target_volume_fraction=0.5)
    return mixture_picture(freezing_curve(kind), reading, state, plan, celsius(-25), look)


@pytest.fixture(scope="module")
def charge():
    spec = load_layout("two_loops")
    scene = fast_charge(duration=3600, ambient_temperature=celsius(35))
    return simulate_network(spec, scene, faults=(fault("pump dead", "battery pump"),), fault_time=600)


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.system.value)
@pytest.mark.parametrize("layout", LAYOUT_NAMES)
def test_every_layout_is_sound_and_the_same_each_time(layout, look):
    result = solved(layout)
    first, second = layout_picture(result, look), layout_picture(result, look)
    assert first == second
    ElementTree.fromstring(first.whole())
    told = words(first)
    titles = [line.title for line in places_of(result.spec).lines if line.title]
    assert titles and all(title in told for title in titles)
    wrong = ("°C", "L/min") if look.system is UnitSystem.US else ("°F", "gal/min")
    assert not [sign for sign in wrong if sign in first.sentence + " ".join(told)]


@pytest.mark.parametrize("layout", LAYOUT_NAMES)
def test_boxes_lie_on_the_picture_and_not_on_each_other(layout):
    boxes = [line.box for line in places_of(load_layout(layout)).lines if line.box]
    for x, y, width, height in boxes:
        assert width / 2 <= x <= SIZE[0] - width / 2 and height / 2 <= y <= SIZE[1] - 60 - height / 2
    for i, (x, y, width, height) in enumerate(boxes):
        for other_x, other_y, other_width, other_height in boxes[:i]:
            apart = abs(x - other_x) >= (width + other_width) / 2 or abs(y - other_y) >= (height + other_height) / 2
            assert apart


def test_a_part_moves_off_a_stretch_that_two_branches_share():
    lines = {line.name: line for line in places_of(load_layout("warm_cabin")).lines}
    (x1, _), (x2, _) = lines["radiator"].points[1:3]
    assert lines["radiator"].box[0] == x1 == x2


def test_a_dead_loop_is_dashed_and_says_so():
    result = solved("two_loops", fault("pump dead", "drive pump"))
    picture = layout_picture(result, Look())
    told = words(picture)
    assert "DEAD" in told and "no flow" in told and "stands still" in told and "OVER LIMIT 85 °C" in told
    assert "No flow in drive pump" in picture.sentence and "Over the limit: inverter, motor" in picture.sentence
    healthy = layout_picture(solved("two_loops"), Look())
    dashes = "stroke-dasharray: 6,6"
    assert picture.moving.count(dashes) >= 5 and healthy.moving.count(dashes) == 0


def test_a_closed_port_is_named_and_an_open_one_has_flow():
    told = words(layout_picture(solved("warm_cabin"), Look()))
    assert "shut" in told and "radiator" in told and "in" in told and "cabin" in told and "position: cabin" in told
    stuck = words(layout_picture(solved("warm_cabin", fault("valve stuck", "cabin valve", 0.5)), Look()))
    assert "STUCK, 50 % to radiator" in stuck and "shut" not in stuck


def test_arrows_turn_with_the_flow():
    forwards = layout_picture(solved("one_loop"), Look())
    backwards = layout_picture(solved("one_loop", fault("pump reversed", "pump")), Look())
    assert "BACK TO FRONT" in words(backwards) and "backwards" in backwards.sentence
    assert "backwards" not in forwards.sentence

    def downwards(picture):
        """Arrow heads on the long vertical line at the left whose tip lies below its tail."""
        heads = re.findall(r"M ([\d.]+) ([\d.]+) L ([\d.]+) ([\d.]+) L ([\d.]+) ([\d.]+) z", picture.moving)
        left = [tuple(map(float, head)) for head in heads if float(head[0]) < 180]
        return [head[1] > head[3] for head in left if abs(head[3] - head[5]) < 0.1]

    assert downwards(forwards) and not any(downwards(forwards)) and all(downwards(backwards))


def test_more_flow_is_drawn_thicker_than_less():
    result = solved("warm_cabin", fault("valve stuck", "cabin valve", 0.8))
    widths = sorted({float(w) for w in re.findall(r"stroke-width: ([\d.]+)", layout_picture(result, Look()).moving)})
    assert widths[-1] == pytest.approx(9.0) and any(3.0 < width < 8.5 for width in widths)


@pytest.mark.parametrize("kind, part, word", [
    ("hose kinked", "drive return", "10.9 L/min KINKED"),
    ("hose kinked", "motor jacket", "KINKED, 10 % open"),
    ("radiator blocked", "radiator", "70 % BLOCKED"),
    ("pump air-locked", "drive pump", "AIR-LOCKED 100 %"),
])  # fmt: skip
def test_every_fault_is_told_in_words(kind, part, word):
    assert word in words(layout_picture(solved("two_loops", fault(kind, part)), Look()))


def test_bands_tell_temperature_without_colour():
    assert [band_of(celsius(t))[0] for t in (-5, 10, 30, 50, 70, 99)] == [band[0] for band in BANDS]
    assert len({str(band[3]) for band in BANDS}) == len(BANDS)


def test_a_loop_that_flows_without_a_steady_temperature_can_be_drawn():
    spec = load_layout("two_loops")
    result = solve_coolant_network(with_parts_off(with_heats(spec, battery=6000.0, drive=1800.0), "chiller"))
    assert result.body("battery").temperature is None
    assert "no steady value" in words(layout_picture(result, Look()))


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.system.value)
def test_pump_and_loop_curve_are_named_and_meet(look):
    curves = operating_curves(load_layout("two_loops"), "drive pump", temperature=celsius(25))
    picture = operating_picture(curves, look)
    told = words(picture)
    assert "the pump gives" in told and "the loop takes" in told
    assert look.text(curves.point.volume_flow, "volume_flow") in told
    assert f"motor jacket, {look.text(dict(curves.shares)['motor jacket'], 'pressure_difference')}" in told
    assert "pump, healthy, full speed" not in told


def test_the_crossing_can_be_left_to_the_learner():
    curves = operating_curves(load_layout("two_loops"), "drive pump", temperature=celsius(25))
    picture = operating_picture(curves, Look(), point_shown=False)
    flow = Look().text(curves.point.volume_flow, "volume_flow")
    assert flow not in picture.sentence + " ".join(words(picture)) and "motor jacket" not in " ".join(words(picture))


def test_a_pump_full_of_air_has_no_point():
    spec = apply_faults(load_layout("two_loops"), [fault("pump air-locked", "drive pump", 1.0)])
    picture = operating_picture(operating_curves(spec, "drive pump", temperature=celsius(25)), Look())
    assert "no flow: the pump lifts nothing" in words(picture) and "no operating point" in picture.sentence
    assert "pump, healthy, full speed" in words(picture)


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.system.value)
def test_the_run_names_parts_limits_fault_and_the_first_over(charge, look):
    picture = run_picture(charge, look, cursor=900.0, fault_time=600.0)
    told = words(picture)
    limit = look.text(celsius(45), "temperature", 0)
    for word in ("fault", f"limit of the battery, {limit}", "battery", "inverter", "motor", "drive pump", "15.0 min"):
        assert word in told
    assert "battery passes its limit" in " ".join(told)
    assert "First over its limit: battery, at 20.3 min, 10.3 min after the fault." in picture.sentence


def test_no_figure_beyond_what_the_model_knows():
    assert part_text(celsius(149), Look()) == "149.0 °C"
    assert part_text(celsius(300), Look()) == "above 150 °C"


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.system.value)
def test_the_mixture_chart_names_both_mixtures_and_both_regions(look):
    picture = mixture(look)
    told = " ".join(words(picture))
    for word in ("liquid", "slush", "in the loop: 33 %", "after topping up: 50 %", "coldest night"):
        assert word in told
    assert "slush" in picture.sentence and mixture(look, -37.0).moving != picture.moving
