"""How much processor time a receiver takes, beside the bare property calls it needs."""

import itertools
import time

import pytest

from tests.benchmarks.beside import measure
from thermo_kit.components.receiver import ChargeSpec, ReceiverConditions, charge_band, solve_receiver
from thermo_kit.fleet import part_of
from thermo_kit.panels import ReceiverChargePanel, ReceiverPanel
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.stream import stream_at
from thermo_kit.units import celsius
from thermo_kit.units.look import Look

CASES = {
    "van": (part_of("parcel_van", "receiver"), "R-1234yf", 0.03, 0.06),
    "shuttle bus": (part_of("shuttle_bus", "receiver"), "R-134a", 0.06, 0.15),
}
_fresh = itertools.count()


def _temperature():
    return celsius(45) + 1e-4 * next(_fresh)


@pytest.mark.parametrize("case", CASES)
@pytest.mark.benchmark(group="receiver: solve", timer=time.process_time)
def test_solving_a_receiver(benchmark, case):
    vessel, name, flow, mass = CASES[case]

    def given():
        inlet = stream_at(name, flow, T=_temperature(), x=0.0)
        return vessel, inlet, ReceiverConditions(inventory=mass, lateral_acceleration=5.0)

    result = measure(benchmark, solve_receiver, given, target=1, rounds=300)
    assert result.volume_closure < 1e-9


@pytest.mark.parametrize("case", CASES)
@pytest.mark.benchmark(group="receiver: solve", timer=time.process_time)
def test_bare_property_calls_of_a_receiver(benchmark, case):
    fluid = Refrigerant(CASES[case][1])

    def ask(T):
        saturation = fluid.saturation(T)
        liquid = fluid.at(p=saturation.p - 2e3, x=0.0)
        fluid.at(p=saturation.p - 2e3, x=1.0)
        return fluid.at(p=saturation.p - 2e3, T=liquid.T - 8.0)

    cold = benchmark.pedantic(ask, setup=lambda: ((_temperature(),), {}), rounds=300, warmup_rounds=10)
    assert cold.phase == "liquid"


@pytest.mark.benchmark(group="receiver: charge band", timer=time.process_time)
def test_the_charge_band(benchmark):
    def given():
        spec = ChargeSpec(
            receiver=part_of("shuttle_bus", "receiver"), refrigerant="R-134a", condensing_temperature=_temperature(),
            mass_flow=0.06, charge=1.7, held_elsewhere=1.25, leak_per_year=0.04, lateral_acceleration=4.0,
        )  # fmt: skip
        return (spec,)

    band = measure(benchmark, charge_band, given, target=1, rounds=300)
    assert band.mass_closure < 1e-12


@pytest.mark.parametrize("panel", [ReceiverPanel, ReceiverChargePanel], ids=lambda panel: panel.__name__)
@pytest.mark.benchmark(group="receiver: from settings to picture", timer=time.process_time)
def test_describing_a_panel(benchmark, panel):
    def given():
        return panel.Settings(lateral_acceleration=3.0 + 1e-3 * (next(_fresh) % 3000)), Look()

    told = measure(benchmark, panel.describe, given, target=20, rounds=40)
    assert told.pictures
