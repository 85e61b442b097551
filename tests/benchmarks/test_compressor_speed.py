"""How much processor time a compressor takes, beside the bare property calls it needs."""

import itertools
import time

import pytest

from tests.benchmarks.beside import measure
from tests.components.compressor_cases import VAN
from thermo_kit.components.compressor import CompressorConditions, efficiency_map, rpm, solve_compressor
from thermo_kit.components.mount import MountSpec, solve_mount
from thermo_kit.panels import CompressorMapPanel, CompressorPanel, MountPanel
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.stream import stream_at
from thermo_kit.units import celsius
from thermo_kit.units.look import Look

_fresh = itertools.count()
NAMES = ("R-1234yf", "R-134a", "R-290")


def _gas(name="R-1234yf"):
    return stream_at(name, p=3.4e5 + next(_fresh), T=celsius(15))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.benchmark(group="compressor: solve", timer=time.process_time)
def test_solving_a_compressor(benchmark, name):
    conditions = CompressorConditions(discharge_pressure=13e5, speed=rpm(4000))
    result = measure(benchmark, solve_compressor, lambda: (VAN, _gas(name), conditions), target=1, rounds=300)
    assert result.energy_closure < 1e-6


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.benchmark(group="compressor: solve", timer=time.process_time)
def test_bare_property_calls_of_a_compressor(benchmark, name):
    fluid = Refrigerant(name)

    def ask(suction):
        start = fluid.at(p=suction, T=celsius(15))
        closed = fluid.at(p=suction, h=start.h + 5e3)
        fluid.at(rho=2.3 * closed.rho, s=closed.s)
        fluid.at(p=13e5, s=start.s)
        return fluid.at(p=13e5, h=start.h + 4e4)

    hot = benchmark.pedantic(ask, setup=lambda: ((3.4e5 + next(_fresh),), {}), rounds=300, warmup_rounds=10)
    assert hot.phase == "vapour"


@pytest.mark.benchmark(group="compressor: map of 90 points", timer=time.process_time)
def test_an_efficiency_map(benchmark):
    chart = measure(benchmark, efficiency_map, lambda: (VAN, _gas()), target=50, rounds=10, warmup_rounds=1)
    assert chart.best_efficiency > 0.5


@pytest.mark.benchmark(group="mounts: solve", timer=time.process_time)
def test_mounts(benchmark):
    spec = MountSpec(mass=6.5, stiffness=40e3)
    result = measure(benchmark, lambda: solve_mount(spec, speed=rpm(8000)), target=1, rounds=300)
    assert result.transmissibility < 0.1


PANELS = {"compressor": CompressorPanel, "map": CompressorMapPanel, "mounts": MountPanel}


@pytest.mark.parametrize("name", PANELS)
@pytest.mark.benchmark(group="compressor: from settings to picture", timer=time.process_time)
def test_describing_a_panel(benchmark, name):
    panel = PANELS[name]

    def given():
        return panel.Settings(speed=rpm(3000 + next(_fresh) % 3000)), Look()

    told = measure(benchmark, panel.describe, given, target=20, rounds=40)
    assert told.pictures
