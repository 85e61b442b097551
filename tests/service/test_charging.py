"""Recovery, hoses, charge by weight, oil."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from thermo_kit import service
from thermo_kit.errors import ReadingsError
from thermo_kit.substances import Refrigerant


def emptied(points=200, **spec):
    return service.recover(service.RecoverySpec(**spec), points=points)


@given(
    charge=st.floats(0.3, 0.9), warmth=st.floats(2.0, 60.0), speed=st.floats(3e-5, 5e-4),
    name=st.sampled_from(("R-134a", "R-1234yf", "R-152a")),
)  # fmt: skip
@settings(max_examples=8, deadline=None)
def test_recovered_and_left_make_the_charge_and_what_left_went_through_the_machine(charge, warmth, speed, name):
    spec = {"refrigerant": name, "charge": charge, "warmth": warmth, "machine_speed": speed, "duration": 1800.0}
    result = emptied(1500, **spec)
    assert np.add(result.left, result.recovered) == pytest.approx(charge, abs=1e-9)
    assert result.as_liquid + result.as_vapour + result.in_oil == pytest.approx(result.left[-1], abs=1e-9)
    # Independent of the model's own sum: density of saturated vapour while it boils, over time.
    fluid = Refrigerant(name)
    boiling = [i for i, p in enumerate(result.pressure) if p > 0.98 * fluid.saturation(result.temperature[i]).p]
    t = np.array(result.time)[boiling]
    rho = np.array([fluid.saturation(result.temperature[i]).vapour_density for i in boiling])
    assert result.recovered[boiling[-1]] == pytest.approx(speed * np.trapezoid(rho, t), rel=0.03, abs=0.004)


def test_liquid_runs_out_without_the_cold_of_boiling_and_energy_closes():
    common = {"refrigerant": "R-134a", "charge": 0.6, "warmth": 0.0, "oil": 0.0}
    result = emptied(4000, **common, liquid_flow=0.01, out_of_reach=0.4, duration=60.0)
    dry = next(i for i, drawn in enumerate(result.recovered) if drawn > result.drawn_liquid - 1e-4)
    fluid, volume = Refrigerant("R-134a"), result.spec.volume

    def inside(i):
        point, left = fluid.saturation(result.temperature[i]), result.left[i]
        gas = (volume - left / point.liquid_density) / (1.0 - point.vapour_density / point.liquid_density)
        gas *= point.vapour_density
        return (left - gas) * point.liquid_enthalpy + gas * point.vapour_enthalpy - point.p * volume

    carried = np.trapezoid(
        [fluid.saturation(T).liquid_enthalpy for T in result.temperature[: dry + 1]], result.recovered[: dry + 1]
    )
    # Had the same mass gone as vapour, 54 kJ more would have been carried off.
    assert inside(0) - inside(dry) == pytest.approx(carried, abs=100.0)
    assert np.add(result.left, result.recovered) == pytest.approx(0.6, abs=1e-9)
    vapour = emptied(4000, **common, duration=60.0)
    assert result.temperature[dry] > 290.0 > min(vapour.temperature)


def test_liquid_first_is_quicker_and_what_is_out_of_reach_still_boils():
    common = {"refrigerant": "R-1234yf", "warmth": 3.0}
    vapour, liquid = emptied(**common), emptied(**common, liquid_flow=0.01)
    assert liquid.finished_after < 0.8 * vapour.finished_after
    assert 0.0 == vapour.drawn_liquid < liquid.drawn_liquid < 0.7 * liquid.spec.charge
    assert min(liquid.temperature) == pytest.approx(min(vapour.temperature), abs=1.0)
    assert any("oil along" in str(note) for note in liquid.notes)
    assert not any("oil along" in str(note) for note in vapour.notes)


def test_warmth_makes_it_quicker_and_oil_brings_the_pressure_back():
    cold, warm = (emptied(refrigerant="R-1234yf", warmth=warmth) for warmth in (5.0, 40.0))
    assert warm.finished_after < cold.finished_after
    assert min(cold.temperature) < 268.15 < min(warm.temperature)
    assert len(emptied(50, refrigerant="R-1234yf", warmth=5.0).time) < 10 < len(cold.time) < 50
    more_oil = emptied(refrigerant="R-1234yf", oil=4e-4)
    assert more_oil.in_oil > warm.in_oil
    assert more_oil.comes_back_to > warm.comes_back_to > warm.spec.end_pressure


@pytest.mark.parametrize(
    "given, verdict",
    [
        ({}, "within the label"),
        ({"weighed": 0.5}, "too little"),
        ({"weighed": 0.7}, "too much"),
        ({"left_before": 0.2}, "too much"),
        ({"scale_accuracy": 0.05}, "cannot tell"),
        ({"hose_hold_up": 0.04}, "too little"),
        ({"hose_hold_up": 0.025}, "cannot tell"),
        ({"hose_hold_up": 0.04, "weighed": 0.64}, "within the label"),
    ],
)
def test_charge_by_weight(given, verdict):
    spec = service.ChargingSpec(**({"scale_accuracy": 0.005} | given))
    result = service.judge_charge(spec)
    assert result.verdict == verdict
    assert result.charge + spec.hose_hold_up - spec.left_before == pytest.approx(spec.weighed)


@given(recovered=st.floats(0.0, 1e-4), drained=st.floats(0.0, 2e-4), shipped=st.floats(0.0, 3e-4))
def test_oil_out_is_oil_in(recovered, drained, shipped):
    low, usual, high = service.oil_balance(
        ["condenser", "hose"], recovered_oil=recovered, drained_from_old_compressor=drained,
        shipped_in_new_compressor=shipped,
    )  # fmt: skip
    assert low < usual < high
    assert usual + shipped == pytest.approx(recovered + drained + 40e-6, abs=1e-12)


def _recovery(*rows):
    return service.read_recovery_log(
        "time [min], recovered [g], pressure [bar(a)]\n" + "".join(f"{row}\n" for row in rows)
    )


@pytest.mark.parametrize(
    "rows, verdict",
    [
        (("0, 0, 5.9", "4, 398, 0.3", "6, 398, 0.6"), "wait"),
        (("0, 0, 5.9", "4, 398, 0.3", "10, 398, 0.8"), "empty"),
        (("0, 0, 5.9", "4, 398, 0.3", "6, 398, 1.2"), "draw off again"),
    ],
)
def test_a_recovery_log_is_judged(rows, verdict):
    said = service.judge_recovery(_recovery(*rows))
    assert said.verdict == verdict and said.recovered == pytest.approx(0.398)
    high = service.judge_recovery(_recovery(*rows), atmosphere=0.7e5)
    assert (high.verdict == "draw off again") == (said.last >= 0.7e5)


def test_a_vacuum_log_is_no_recovery_log():
    with pytest.raises(ReadingsError, match="no weights"):
        service.judge_recovery(service.read_vacuum_log("time [min], vacuum [Pa]\n0, 60\n1, 70\n"))
