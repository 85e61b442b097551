"""How much processor time an evaporator and a pull-down take, beside the bare property calls they need."""

import itertools
import time

import pytest

from tests.benchmarks.beside import measure
from tests.components.evaporator_cases import coil, day
from thermo_kit.components.evaporator import solve as solve_module
from thermo_kit.components.evaporator import solve_evaporator
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.moist_air import saturated_humidity_and_slope
from thermo_kit.systems import CabinSpec, pull_down
from thermo_kit.units import celsius

AIRS = {
    "warm day": {},
    "partly wet": {"relative_humidity": 0.28},
    "dry": {"relative_humidity": 0.05},
    "starved": {"superheat": 20.0},
    "frost": {"evaporating_temperature": celsius(-8), "air_flow": 0.06},
}
MOST_OVER_BARE = 5.0
HOT = {"start": celsius(55), "wish": celsius(25), "duration": 3600.0}
_fresh = itertools.count()


def _new(**changes):
    """Conditions never asked before, so that nothing is kept from an earlier call."""
    given = {"air_temperature": celsius(30), **changes}
    return day(**{**given, "liquid_temperature": celsius(42) + 1e-4 * next(_fresh)})


def _median(task, setup=lambda: None, rounds=60):
    times = []
    for _ in range(rounds):
        given = setup()
        start = time.process_time()
        task(given)
        times.append(time.process_time() - start)
    return sorted(times)[rounds // 2]


@pytest.mark.parametrize("air", AIRS)
@pytest.mark.benchmark(group="evaporator: solve", timer=time.process_time)
def test_solving_an_evaporator(benchmark, air):
    own = coil()
    result = measure(
        benchmark, lambda conditions: solve_evaporator(own, conditions), lambda: (_new(**AIRS[air]),), target=5,
        rounds=200,
    )  # fmt: skip
    assert result.energy_closure < 1e-6


def test_an_evaporator_beside_its_bare_property_calls(monkeypatch, record_property):
    states, airs = [], []
    fluid = Refrigerant("R-1234yf")
    original, humid = Refrigerant.at, saturated_humidity_and_slope

    def listening(self, **given):
        states.append(given)
        return original(self, **given)

    def listening_to_air(T, p):
        airs.append((T, p))
        return humid(T, p)

    monkeypatch.setattr(Refrigerant, "at", listening)
    monkeypatch.setattr("thermo_kit.components.evaporator.face.saturated_humidity_and_slope", listening_to_air)
    solve_evaporator(coil(), _new())
    monkeypatch.undo()
    assert len(states) == 4 and len(airs) > 60

    def bare(_):
        fluid.dew_pressure(celsius(3))
        for given in states:
            fluid.at(**given)
        for T, p in airs:
            humid(T, p)

    own = coil()
    own, calls = _median(lambda conditions: solve_evaporator(own, conditions), _new), _median(bare)
    ratio = own / calls
    record_property(
        "ratio",
        f"evaporator: {own * 1e3:.2f} ms, its {len(states)} states and {len(airs)} saturated airs alone"
        f" {calls * 1e3:.2f} ms: {ratio:.1f} times",
    )
    assert ratio < MOST_OVER_BARE


def _coil_settings():
    return day(
        air_temperature=celsius(32), relative_humidity=0.4, evaporating_temperature=celsius(3) + 1e-4 * next(_fresh)
    )


@pytest.mark.parametrize(("way", "target"), [("kept", 10), ("new coil setting", 20), ("exact", 50)])
@pytest.mark.benchmark(group="pull-down of an hour", timer=time.process_time)
def test_a_pull_down_of_an_hour(benchmark, way, target):
    own, cabin, same = coil(), CabinSpec(), _coil_settings()
    result = measure(
        benchmark, lambda outside: pull_down(cabin, outside, own, exact=way == "exact", **HOT),
        lambda: (same if way == "kept" else _coil_settings(),), target=target, rounds=20, warmup_rounds=2,
    )  # fmt: skip
    assert result.energy_closure < 1e-6


def test_refrigerant_states_are_kept_over_a_pull_down(monkeypatch):
    asked = []
    original = Refrigerant.at
    monkeypatch.setattr(Refrigerant, "at", lambda self, **given: asked.append(given) or original(self, **given))
    solve_module._held.cache_clear()
    pull_down(CabinSpec(), _coil_settings(), coil(), exact=True, **HOT)
    assert len(asked) == 4
