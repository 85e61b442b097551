"""The fixed orifice and the evaporator behind it: choking, continuity, balances, what the accumulator fixes."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from thermo_kit.components import expansion_valve as valves
from thermo_kit.components.expansion_valve import AccumulatorBleed, EvaporatorDuty, solve_orifice_feed
from thermo_kit.components.orifice import OrificeSpec, short_tube_flow
from thermo_kit.errors import NoSolutionError
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.stream import stream_at
from thermo_kit.units import celsius

TUBE = OrificeSpec(diameter=0.0017, length=0.038)
BLEED = AccumulatorBleed()
DUTY = EvaporatorDuty(refrigerant="R-134a", condensing_temperature=celsius(50))


def entering(refrigerant="R-134a", subcooling=5.0, quality=0.0):
    fluid, hot = Refrigerant(refrigerant), celsius(50)
    pressure = fluid.bubble_pressure(hot)
    if subcooling:
        return stream_at(refrigerant, p=pressure, T=hot - subcooling)
    return stream_at(refrigerant, p=pressure, x=quality)


def bled(found):
    """Flow through the hole in the accumulator's pipe [kg/s], with the contraction of a sharp edge."""
    density = Refrigerant("R-134a").at(T=found.evaporating_temperature, x=0.0).rho
    push = BLEED.suction + density * 9.80665 * BLEED.liquid_depth
    return math.pi / (math.pi + 2) * math.pi / 4 * BLEED.hole_diameter**2 * math.sqrt(2 * density * push)


def passed(inlet, outlet_pressure=3e5, tube=TUBE):
    return short_tube_flow(tube, inlet, outlet_pressure=outlet_pressure)


@pytest.mark.parametrize("refrigerant", valves.VALVE_REFRIGERANTS)
def test_a_choked_orifice_does_not_ask_for_the_low_side(refrigerant):
    inlet = entering(refrigerant)
    assert passed(inlet, 0.3 * inlet.pressure) == passed(inlet, 0.5 * inlet.pressure) > 0.0
    assert passed(inlet, 0.97 * inlet.pressure) < passed(inlet, 0.5 * inlet.pressure)
    assert passed(inlet, inlet.pressure) == 0.0


def test_flow_does_not_jump_where_choking_ends_or_vapour_begins():
    inlet = entering()
    ends = [passed(inlet, share * inlet.pressure) for share in (0.80, 0.82, 0.84, 0.86, 0.88, 0.90, 0.92)]
    assert ends == sorted(ends, reverse=True) and all(later > 0.85 * earlier for earlier, later in pairwise(ends))
    assert passed(entering(subcooling=0.01)) == pytest.approx(passed(entering(subcooling=0.0)), rel=2e-3)


def test_subcooling_width_and_shortness_pass_more_and_vapour_less():
    flows = [passed(entering(subcooling=k)) for k in (1.0, 5.0, 10.0, 14.0)]
    assert flows == sorted(flows)
    assert passed(entering(), tube=replace(TUBE, diameter=0.0018)) > passed(entering())
    assert passed(entering(), tube=replace(TUBE, length=0.020)) > passed(entering())
    wet = [passed(entering(subcooling=0.0, quality=x)) for x in (0.0, 0.05, 0.2)]
    assert wet == sorted(wet, reverse=True)


def test_the_accumulator_fixes_the_outlet_whatever_the_day():
    for air in (20, 25, 30):
        found = solve_orifice_feed(TUBE, BLEED, replace(DUTY, air_temperature=celsius(air)))
        assert found.superheat == 0.0 and found.quality_is_wet
        seeping = found.mass_flow * (1.0 - found.outlet_quality)
        assert seeping == pytest.approx(bled(found), rel=1e-6)
    tight = solve_orifice_feed(TUBE, replace(BLEED, hole_diameter=0.0005), DUTY)
    assert tight.outlet_quality > solve_orifice_feed(TUBE, BLEED, DUTY).outlet_quality


def test_a_narrow_orifice_backs_liquid_up_until_the_accumulator_runs_empty():
    backed = [solve_orifice_feed(replace(TUBE, diameter=b), BLEED, DUTY) for b in (0.0017, 0.0016, 0.0015)]
    assert [one.subcooling for one in backed] == sorted(one.subcooling for one in backed)
    blocked = solve_orifice_feed(replace(TUBE, diameter=0.0011), BLEED, DUTY)
    assert blocked.subcooling == pytest.approx(valves.fixed_orifice.DEEPEST_SUBCOOLING) and not blocked.quality_is_wet
    assert blocked.superheat > 5.0 and blocked.evaporating_pressure < backed[0].evaporating_pressure


def test_little_air_lowers_the_low_side_but_makes_no_superheat():
    sound, iced = (solve_orifice_feed(TUBE, BLEED, replace(DUTY, conductance=c)) for c in (220.0, 66.0))
    assert iced.evaporating_pressure < sound.evaporating_pressure - 0.5e5 and iced.superheat == 0.0


def test_too_little_refrigerant_starves():
    flash = replace(DUTY, subcooling=0.0, inlet_quality=0.05)
    found = solve_orifice_feed(TUBE, BLEED, flash, holds_liquid=False)
    assert found.verdict == "starved" and found.mass_closure < 1e-6 and found.energy_closure < 1e-6
    assert found.inlet_quality == pytest.approx(0.05, rel=1e-6) and found.subcooling == 0.0
    with pytest.raises(NoSolutionError, match="does not stay empty"):
        solve_orifice_feed(replace(TUBE, diameter=0.0025), BLEED, replace(DUTY, subcooling=14.0), holds_liquid=False)


def test_above_the_critical_point_the_short_tube_tells_no_flow():
    with pytest.raises(NoSolutionError, match="critical point"):
        passed(stream_at("R-134a", p=4.07e6, h=2.5e5))
