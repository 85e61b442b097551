"""How much processor time an expansion valve takes, beside the bare property calls it needs."""

import itertools
import time
from dataclasses import replace

import pytest

from tests.benchmarks.beside import measure
from thermo_kit.components.expansion_valve import EvaporatorDuty, ValveFault, solve_valve
from thermo_kit.fleet import part_of
from thermo_kit.panels import ValveFaultPanel, ValveForcePanel, ValveOpeningPanel
from thermo_kit.substances import Refrigerant
from thermo_kit.units import celsius
from thermo_kit.units.look import Look

VALVE = part_of("older_van", "expansion_valve")
DUTY = EvaporatorDuty(refrigerant="R-134a", condensing_temperature=celsius(50))
FAULTS = {
    "sound": None,
    "flooding": ValveFault(stuck_at=0.9),
    "starved": ValveFault(stuck_at=0.3),
    "pulled down": ValveFault(bulb_lost=True),
}
PANELS = {
    "forces": (ValveForcePanel, lambda k: ValveForcePanel.Settings(line_temperature=celsius(1.0 + 1e-3 * k))),
    "opening": (ValveOpeningPanel, lambda k: ValveOpeningPanel.Settings(superheat=3.0 + 1e-3 * k)),
    "faults": (ValveFaultPanel, lambda k: ValveFaultPanel.Settings(fault="pin stuck", size=0.2 + 1e-4 * k)),
}
MOST_OVER_BARE = 3.0
_fresh = itertools.count()


def _duty():
    return replace(DUTY, condensing_temperature=celsius(50) + 1e-4 * next(_fresh))


def _median(task, rounds=60):
    times = []
    for _ in range(rounds):
        start = time.process_time()
        task()
        times.append(time.process_time() - start)
    return sorted(times)[rounds // 2]


@pytest.mark.parametrize("fault", FAULTS)
@pytest.mark.benchmark(group="expansion valve: solve", timer=time.process_time)
def test_solving_a_valve(benchmark, fault):
    valve = VALVE
    result = measure(
        benchmark, lambda duty: solve_valve(valve, duty, fault=FAULTS[fault]), lambda: (_duty(),), target=1, rounds=200
    )
    assert result.mass_closure < 1e-6


def test_a_valve_beside_its_bare_property_calls(monkeypatch, record_property):
    asked = []
    fluid = Refrigerant("R-134a")
    original = Refrigerant.at

    def listening(self, **given):
        asked.append(given)
        return original(self, **given)

    monkeypatch.setattr(Refrigerant, "at", listening)
    solve_valve(VALVE, DUTY)
    monkeypatch.undo()
    assert len(asked) > 10

    def bare():
        for given in asked:
            fluid.at(**given)

    duty, valve = DUTY, VALVE
    own, calls = _median(lambda: solve_valve(valve, duty)), _median(bare)
    ratio = own / calls
    record_property(
        "ratio",
        f"expansion valve: {own * 1e3:.2f} ms, its {len(asked)} states alone {calls * 1e3:.2f} ms: {ratio:.1f} times",
    )
    assert ratio < MOST_OVER_BARE


@pytest.mark.parametrize("name", PANELS)
@pytest.mark.benchmark(group="expansion valve: from settings to picture", timer=time.process_time)
def test_describing_a_panel(benchmark, name):
    panel, settings = PANELS[name]
    told = measure(benchmark, panel.describe, lambda: (settings(next(_fresh) % 3000), Look()), target=20, rounds=40)
    assert told.pictures
