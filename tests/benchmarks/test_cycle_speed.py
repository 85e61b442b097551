"""A cycle beside the bare property calls it needs, and beside the same cycle in a general-purpose solver."""

import pytest

from tests.benchmarks.beside import ratio
from tests.systems.tespy_cycle import network_of, solve_network
from thermo_kit.systems import CycleSpec, solve_cycle
from thermo_kit.units import celsius

MOST_OVER_BARE_CALLS = 1.5
# The target is printed; what is enforced leaves room for a busy machine.
ROOM = 1.2
LEAST_OVER_SOLVER = 30.0
EVAPORATING, CONDENSING = celsius(3), celsius(50)
ORDINARY = CycleSpec(
    refrigerant="R-134a",
    evaporating_temperature=EVAPORATING,
    condensing_temperature=CONDENSING,
    superheat=6,
    subcooling=5,
    isentropic_efficiency=0.7,
)


def bare_calls():
    """Return a cycle by CoolProp alone, with one kept state and nothing read that the points do not show."""
    import CoolProp as engine

    state = engine.AbstractState("HEOS", "R134a")

    def read():
        return state.p(), state.T(), state.hmass(), state.smass(), state.rhomass(), state.Q(), state.phase()

    def cycle():
        state.update(engine.QT_INPUTS, 1.0, EVAPORATING)
        low = state.p()
        state.update(engine.QT_INPUTS, 0.0, CONDENSING)
        high = state.p()
        state.update(engine.PT_INPUTS, low, EVAPORATING + 6)
        vapour = read()
        state.update(engine.PT_INPUTS, high, CONDENSING - 5)
        liquid = read()
        state.update(engine.PSmass_INPUTS, high, vapour[3])
        state.update(engine.HmassP_INPUTS, vapour[2] + (state.hmass() - vapour[2]) / 0.7, high)
        discharge = read()
        state.update(engine.HmassP_INPUTS, liquid[2], low)
        return vapour, discharge, liquid, read()

    return cycle


def test_the_bare_calls_compute_the_same_cycle():
    one, two, three, _four, five, _six = (point.state for point in solve_cycle(ORDINARY).points)
    for state, values in zip((one, two, three, five), bare_calls()(), strict=True):
        assert (state.p, state.T, state.h, state.s, state.rho) == pytest.approx(values[:5], rel=1e-7)


def test_a_cycle_costs_little_more_than_its_property_calls(record_property):
    times = ratio(lambda: solve_cycle(ORDINARY), bare_calls(), rounds=201, repeats=(10, 10))
    record_property(
        "ratio", f"cycle with superheat, subcooling, compressor loss / bare CoolProp calls: {times:.2f} (target 1.5)"
    )
    assert times <= MOST_OVER_BARE_CALLS * ROOM


def test_a_cycle_is_far_cheaper_than_in_a_general_solver(record_property):
    network, _parts = network_of(ORDINARY)
    solve_network(network)
    times = ratio(lambda: solve_network(network), lambda: solve_cycle(ORDINARY), rounds=15, repeats=(1, 50))
    record_property("ratio", f"the same cycle in tespy, network kept and warm / ours: {times:.0f}")
    assert times >= LEAST_OVER_SOLVER
