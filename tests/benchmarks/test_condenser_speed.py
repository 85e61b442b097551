"""How much processor time a condenser takes, beside the bare property calls it needs."""

import itertools
import time

import pytest

from tests.benchmarks.beside import measure
from thermo_kit.components.condenser import (
    AirConditions,
    CompressorDuty,
    compare_cores,
    condensing_pressure_for,
    solve_condenser,
    with_fin_density,
)
from thermo_kit.components.condenser.solve import single_phase_lines
from thermo_kit.components.louvered_fins import fins_per_inch
from thermo_kit.fleet import part_of
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.refrigerant import saturation_table
from thermo_kit.substances.stream import stream_at

AIR = AirConditions(temperature=308.15)
VAN, BUS = (part_of(vehicle, "condenser") for vehicle in ("parcel_van", "shuttle_bus"))
CASES = {"van": (VAN, "R-1234yf", 0.040, 4500.0), "shuttle bus": (BUS, "R-134a", 0.1, 14000.0)}
# Every round meets a pressure never seen before, or the kept lines would hide their cost.
_fresh = itertools.count()


def _new_pressure():
    return 1.45e6 + 0.37 * next(_fresh)


def _inlet(name, flow):
    return stream_at(name, flow, p=_new_pressure(), T=350.0)


@pytest.mark.parametrize("case", CASES)
@pytest.mark.benchmark(group="condenser: solve", timer=time.process_time)
def test_solving_a_condenser(benchmark, case):
    core, name, flow, _ = CASES[case]
    result = measure(benchmark, solve_condenser, lambda: (core, _inlet(name, flow), AIR), target=10, rounds=100)
    assert result.energy_closure < 1e-6


@pytest.mark.parametrize("case", CASES)
@pytest.mark.benchmark(group="condenser: solve", timer=time.process_time)
def test_bare_property_calls_of_a_condenser(benchmark, case):
    """The exact states one solution asks for; the saturation table is made once and not counted."""
    name = CASES[case][1]
    refrigerant = Refrigerant(name)
    saturation_table(name)

    def ask(p):
        refrigerant.at(p=p, T=350.0)
        refrigerant.at(p=p, x=1.0)
        refrigerant.dew_temperature(p)
        return single_phase_lines(name, p, 350.0, AIR.temperature)

    vapour, _ = benchmark.pedantic(ask, setup=lambda: ((_new_pressure(),), {}), rounds=100, warmup_rounds=5)
    assert vapour.at(0.0)[0] == 0.0


@pytest.mark.parametrize("case", CASES)
@pytest.mark.benchmark(group="condenser: head pressure and comparison", timer=time.process_time)
def test_finding_the_head_pressure(benchmark, case):
    core, name, _, capacity = CASES[case]

    def duty():
        asked = capacity * (1.0 + 1e-6 * next(_fresh))
        return CompressorDuty(refrigerant=name, evaporating_temperature=278.15, cooling_capacity=asked)

    found = measure(
        benchmark, condensing_pressure_for, lambda: (core, duty(), AIR), target=30, rounds=20, warmup_rounds=2
    )
    assert abs(found.condenser.receiver.enthalpy_above_liquid) < 1.0


@pytest.mark.benchmark(group="condenser: head pressure and comparison", timer=time.process_time)
def test_comparing_two_cores(benchmark):
    core = VAN
    poorer = with_fin_density(core, fins_per_inch(16))

    def duty():
        asked = 4500.0 * (1.0 + 1e-6 * next(_fresh))
        return CompressorDuty(refrigerant="R-1234yf", evaporating_temperature=278.15, cooling_capacity=asked)

    shown = measure(
        benchmark, compare_cores, lambda: (core, poorer, duty(), AIR), target=60, rounds=10, warmup_rounds=1
    )
    assert shown.condensing_pressure_shift > 0.0
