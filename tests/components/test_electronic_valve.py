"""The electronic valve: it holds what its sensors show, within its limits, and believes a sensor that lies."""

from dataclasses import replace

import pytest

from thermo_kit.components.electronic_valve import ElectronicValveFault, ElectronicValveSpec, solve_electronic_valve
from thermo_kit.components.expansion_valve import EvaporatorDuty, ValveFault, solve_valve
from thermo_kit.errors import InputError
from thermo_kit.fleet import part_of
from thermo_kit.units import celsius

VALVE = ElectronicValveSpec()
DUTY = EvaporatorDuty(refrigerant="R-134a", condensing_temperature=celsius(50))


def settled(fault=None, valve=VALVE, **duty):
    fault = fault and ElectronicValveFault(**fault)
    return solve_electronic_valve(valve, replace(DUTY, **duty), fault=fault)


@pytest.mark.parametrize(
    "duty", [{}, {"air_temperature": celsius(35)}, {"suction_flow": 0.0015}, {"conductance": 70.0}]
)
@pytest.mark.parametrize("target", [4.0, 6.0, 10.0])
def test_a_sound_valve_holds_its_target_to_a_step(duty, target):
    found = settled(valve=replace(VALVE, target_superheat=target), **duty)
    assert found.limit == "holds" and found.superheat == pytest.approx(found.shown_superheat)
    assert found.superheat == pytest.approx(target, abs=0.3)
    assert found.mass_closure < 1e-6 and found.energy_closure < 1e-6


def test_more_heat_takes_more_steps():
    steps = [settled(conductance=c).steps for c in (66.0, 132.0, 220.0)]
    assert steps == sorted(steps) and steps[0] < steps[-1]


def test_a_sensor_that_lies_is_believed():
    warm = settled({"temperature_error": 5.0})
    assert warm.limit == "holds" and warm.shown_superheat == pytest.approx(6.0, abs=0.3)
    assert warm.superheat == pytest.approx(1.0, abs=0.3) and warm.verdict == "flooding"
    assert warm.shown_temperature - warm.outlet_temperature == pytest.approx(5.0)
    cold, high = settled({"temperature_error": -5.0}), settled({"pressure_error": 30e3})
    assert cold.superheat > 10.0 and high.superheat > 8.0
    assert high.shown_pressure - high.evaporating_pressure == pytest.approx(30e3)


def test_limits_are_told():
    flooded = settled({"temperature_error": 8.0})
    assert flooded.limit == "upper limit" and flooded.steps == VALVE.highest_steps and flooded.quality_is_wet
    starved = settled(inlet_quality=0.3, subcooling=0.0)
    assert starved.limit == "upper limit" and starved.shown_superheat > 10.0
    wide = settled(valve=replace(VALVE, lowest_steps=400))
    assert wide.limit == "lower limit" and wide.superheat < wide.target_superheat


@pytest.mark.parametrize(
    ("place", "verdict", "commanded", "limit"),
    [(100, "starved", 480, "upper limit"), (400, "flooding", 40, "lower limit")],
)
def test_a_stuck_pin_does_not_follow(place, verdict, commanded, limit):
    found = settled({"stuck_at": place})
    assert (found.limit, found.verdict, found.steps, found.commanded_steps) == (limit, verdict, place, commanded)


def test_a_pin_stuck_where_it_belongs_is_not_seen():
    assert settled({"stuck_at": settled().steps}).limit == "holds"


def test_a_block_valve_has_the_same_forces_but_no_loose_bulb():
    strap = part_of("older_van", "expansion_valve")
    block = replace(strap, body="block")
    assert solve_valve(block, DUTY).superheat == solve_valve(strap, DUTY).superheat
    with pytest.raises(InputError, match="cannot come loose"):
        solve_valve(block, DUTY, fault=ValveFault(bulb_loose_share=0.2))
