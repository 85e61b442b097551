"""Leaks: units, passages, methods, a loss turned into a rate, a nitrogen test judged by hand and from a log."""

import itertools

import pytest

from thermo_kit import service
from thermo_kit.errors import OutOfRangeError, ReadingsError
from thermo_kit.fleet import vehicle
from thermo_kit.service.leak import YEAR
from thermo_kit.systems.vehicle import Conditions, charge_curve
from thermo_kit.units import celsius

HEADER = "time [min]; pressure [bar(g)]; temperature [°C]"


def log_of(*lines, header=HEADER):
    return service.read_pressure_log("\n".join((header, *lines)) + "\n")


def test_throughput_and_mass_are_two_ways_of_one_leak():
    assert service.mass_flow_of(service.throughput(1e-6, "R-134a"), "R-134a") == pytest.approx(1e-6)


def passing(bore, gas, **case):
    return service.passage_flow(service.PassageSpec(diameter=bore), gas, **case)


def test_wide_passages_are_held_by_the_open_hole():
    flows = [passing(bore, "R-134a", inside=5e5) for bore in (10e-6, 20e-6, 100e-6, 200e-6)]
    assert flows[1] / flows[0] == pytest.approx(16.0, rel=0.1)
    assert flows[3] / flows[2] == pytest.approx(4.0, rel=1e-9)


def test_methods_stand_from_fine_to_coarse_and_name_their_source():
    finest = [method.least for method in service.methods()]
    assert finest == sorted(finest)
    assert all(method.source and method.fails for method in service.methods())


def loss(lost, years=1, accuracy=0.03):
    spec = {"charge": 0.6, "lost": lost, "since": years * YEAR, "weighing_accuracy": accuracy}
    return service.rate_of_loss(service.LossSpec(refrigerant="R-134a", **spec))


@pytest.mark.parametrize(
    ("case", "verdict"),
    [((0.0,), "cannot tell"), ((0.03,), "cannot tell"), ((0.2,), "leaks"), ((0.05, 5, 0.02), "sound")],
)
def test_a_loss_is_judged_with_the_scale_s_accuracy(case, verdict):
    assert loss(*case).verdict == verdict


def test_the_customer_notices_when_the_share_is_lost():
    result = loss(0.2)
    assert result.noticed_after * result.rate == pytest.approx(0.18)
    assert [method.name for method in result.methods] == ["trace gas", "electronic detector", "dye and lamp", "foam"]


def test_without_a_leak_no_bubble_comes():
    with pytest.raises(OutOfRangeError, match="no bubble"):
        service.bubbles(0.0)


def nitrogen(wanted=None, **changes):
    usual = {"start_pressure": 1.6e6, "end_pressure": 1.6e6, "start_temperature": celsius(15),
             "end_temperature": celsius(15), "duration": 3600.0}  # fmt: skip
    return service.judge_pressure_test(service.PressureTest(**usual | changes), wanted=wanted)


@pytest.mark.parametrize(
    ("changes", "verdict", "note"),
    [
        ({}, "cannot tell", "so small a leak would take"),
        ({"wanted": 0.1}, "no leak found", ""),
        ({"end_temperature": celsius(22)}, "leaks", "warmed up"),
        ({"end_temperature": celsius(8), "end_pressure": 1.561e6}, "cannot tell", "got colder"),
        ({"end_pressure": 1.8e6}, "cannot tell", "gas came in"),
    ],
)
def test_a_gauge_is_judged_with_the_temperature_taken_out(changes, verdict, note):
    result = nitrogen(**changes)
    assert result.verdict == verdict and note in " ".join(map(str, result.notes))


def test_twice_the_time_halves_the_least_leak_and_far_too_much_at_the_end_is_refused():
    assert nitrogen(duration=7200.0).least_leak == pytest.approx(0.5 * nitrogen().least_leak)
    with pytest.raises(OutOfRangeError, match="swapped"):
        nitrogen(end_pressure=3e6)


WARM = service.PressureWatch(start_pressure=1.6e6, end_temperature=celsius(22), bore=12e-6)


def test_nitrogen_lost_is_nitrogen_missing():
    told = service.watch_pressure_test(WARM, duration=4 * 3600.0, points=97)
    assert told.tight[-1] > told.tight[0] and told.pressures[0] == pytest.approx(1.6e6)
    step, T = told.times[1], told.temperatures
    flows = [passing(12e-6, "nitrogen", inside=p, temperature=t) for p, t in zip(told.pressures, T, strict=True)]
    left = sum(0.5 * (a + b) * step for a, b in itertools.pairwise(flows))
    missing = (told.tight[-1] - told.pressures[-1]) * WARM.volume / (296.8 * T[-1])
    assert missing == pytest.approx(left, rel=0.02)


def test_a_gauge_may_stand_where_it_began_and_yet_leak():
    told = service.watch_pressure_test(WARM, duration=3.5 * 3600.0)
    assert told.pressures[-1] == pytest.approx(told.pressures[0], abs=5e3)
    assert max(told.pressures) > told.pressures[0] + 1e4


def test_a_log_is_judged_as_the_readings_are():
    told = service.watch_pressure_test(WARM, duration=4 * 3600.0)
    lines = [f"{t / 60:.2f}; {(p - 101325) / 1e5:.4f}; {T - 273.15:.3f}" for t, p, T in
             zip(told.times, told.pressures, told.temperatures, strict=True)]  # fmt: skip
    verdict = service.judge_pressure_log(log_of(*lines), volume=WARM.volume)
    assert verdict.verdict == "leaks"
    assert verdict.lost_pressure == pytest.approx(told.tight[-1] - told.pressures[-1], rel=0.12)


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ("20; 0,2; 15", "gauge or absolute"),
        ("20; 15; 150", "columns swapped"),
        ("20; 15; 22", "in the sun"),
        ("20; 15", "2 of 3 cells"),
    ],
)
def test_a_line_that_cannot_be_used_is_named_with_the_fix(line, reason):
    log = log_of("0; 15; 15", "10; 15; 15", line, "30; 15; 15")
    assert len(log.times) == 3
    ((number, told),) = log.skipped
    assert number == 4 and reason in told


def test_a_log_of_bad_lines_is_refused_with_the_first_reasons():
    with pytest.raises(ReadingsError, match="line 2.*swapped"):
        log_of("0; 15; 150", "10; 15; 150")
    with pytest.raises(ReadingsError, match="no lines"):
        service.read_pressure_log(HEADER + "\n")


def test_the_kept_plateau_is_what_the_vehicle_model_says():
    # Fails after a change of the model: run .ci/keep_plateaus.py.
    hot = Conditions(ambient_temperature=celsius(38.0))
    curve = charge_curve(vehicle("street_sweeper"), hot, low=0.2, high=1.0, points=9)
    full = curve.results[-1].cooling_capacity
    _, charges, cooling = service.plateaus()["street_sweeper"]
    assert charges[::4] == pytest.approx([0.2 + 0.1 * i for i in range(9)])
    assert cooling[::4] == pytest.approx([one.cooling_capacity / full for one in curve.results], abs=0.01)


def test_the_cooling_fades_where_the_plateau_has_lost_so_much():
    for name, (_, charges, cooling) in service.plateaus().items():
        few, more = (service.plateau_share(name, fade=fade) for fade in (0.05, 0.2))
        assert charges[0] < more < few == service.plateau_share(name) < 1.0
        assert max(c for m, c in zip(charges, cooling, strict=True) if m < few) < 0.95
