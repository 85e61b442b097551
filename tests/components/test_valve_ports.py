"""The port map: positions, sticking between two, slips in the map."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit.components.valve_ports import PortValveSpec, ValvePosition, open_paths
from thermo_kit.errors import InputError

APART = ValvePosition(name="apart", joins=(("B", "A"), ("D", "C")))
JOINED = ValvePosition(name="joined", joins=(("B", "C"), ("D", "A")))
VALVE = PortValveSpec(ports=("A", "B", "C", "D"), positions=(APART, JOINED), position="apart")


def test_a_position_opens_its_joins_only():
    assert [(p.start, p.end, p.opening) for p in open_paths(VALVE)] == [("B", "A", 1.0), ("D", "C", 1.0)]
    assert [(p.start, p.end) for p in open_paths(replace(VALVE, position="joined"))] == [("B", "C"), ("D", "A")]
    assert open_paths(VALVE)[0].loss_coefficient == pytest.approx(1.5)


@given(travel=st.floats(0.0, 1.0))
def test_between_two_positions_the_openings_share_the_bore(travel):
    paths = open_paths(replace(VALVE, stuck_towards="joined", travel=travel))
    by_ports = {(p.start, p.end): p for p in paths}
    shut = sum(1 for value in (travel, 1.0 - travel) if value < 0.02)
    assert len(paths) == 4 - 2 * shut
    for pair, expected in ((("B", "A"), 1.0 - travel), (("B", "C"), travel)):
        if expected >= 0.02:
            assert by_ports[pair].opening == pytest.approx(expected)
            assert by_ports[pair].loss_coefficient >= 1.5


def test_a_way_open_in_both_positions_stays_open():
    turned = ValvePosition(name="turned", joins=(("A", "B"), ("C", "D")))
    paths = open_paths(replace(VALVE, positions=(APART, turned), stuck_towards="turned", travel=0.4))
    assert [path.opening for path in paths] == pytest.approx([1.0, 1.0])


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"ports": ("A", "A", "C", "D")}, "different names"),
        ({"position": "shut"}, "apart, joined"),
        ({"stuck_towards": "nowhere"}, "stuck towards"),
        ({"travel": 40.0}, "travel"),
        ({"positions": (APART, APART)}, "rename"),
        ({"positions": (ValvePosition(name="apart", joins=(("A", "E"),)),)}, "port 'E'.*A, B, C, D"),
        ({"positions": (ValvePosition(name="apart", joins=(("A", "A"),)),)}, "joins a port with itself"),
        ({"bore": 16.0}, "bore"),
    ],
)
def test_slips_are_named(changes, words):
    with pytest.raises(InputError, match=words):
        replace(VALVE, **changes)
