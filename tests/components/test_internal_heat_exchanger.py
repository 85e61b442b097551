"""The double tube: balances, limits, trends, refinement, films across their switches, and what is refused."""

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.components import exchanger_cases as cases
from tests.components.exchanger_cases import any_streams, streams, tubes, van_exchanger
from thermo_kit.components import internal_heat_exchanger as ihx
from thermo_kit.components.internal_heat_exchanger import ExchangerSpec, solve_exchanger
from thermo_kit.errors import InputError, NoSolutionError, OutOfRangeError
from thermo_kit.laws.exchange import log_mean
from thermo_kit.laws.friction import single_phase_friction
from thermo_kit.substances import Refrigerant, stream_at
from thermo_kit.units import celsius

WATER = {"viscosity": 1e-3, "conductivity": 0.6, "specific_heat": 4180.0}


def solved(spec, given_streams):
    try:
        return solve_exchanger(spec, *given_streams)
    except NoSolutionError as reason:
        # The only way out on this range: a tube too narrow for its flow.
        assert "a third" in str(reason)
        assume(False)


def conductance(result):
    """Heat flow by mean temperature difference [W/K], summed up over the pieces of equal heat."""
    apart = np.subtract(result.liquid_temperature, result.vapour_temperature)
    mean = log_mean(apart[:-1], apart[1:])
    return result.heat_flow / len(mean) * float((1.0 / mean).sum())


@given(tubes(), any_streams())
def test_both_sides_pass_the_same_heat_and_the_second_law_holds(spec, given_streams):
    result = solved(spec, given_streams)
    flow = given_streams[0].mass_flow
    given_up = flow * (result.liquid_inlet.h - result.liquid_outlet.h)
    taken = flow * (result.vapour_outlet.h - result.vapour_inlet.h)
    assert result.energy_closure < 1e-6
    assert given_up == pytest.approx(taken, rel=1e-6) == pytest.approx(result.heat_flow, rel=1e-6)
    assert 0.0 < result.effectiveness <= 1.0
    gained = result.vapour_outlet.s - result.vapour_inlet.s + result.liquid_outlet.s - result.liquid_inlet.s
    assert gained > 0.0
    assert all(warm > cold for warm, cold in zip(result.liquid_temperature, result.vapour_temperature, strict=True))
    assert result.liquid_outlet.phase == "liquid" and result.vapour_outlet.phase == "vapour"
    assert result.liquid_pressure_drop > 0.0 and result.vapour_pressure_drop > 0.0
    for stream, state, inlet in zip(
        result.outlets, (result.liquid_outlet, result.vapour_outlet), given_streams, strict=True
    ):
        assert (stream.pressure, stream.enthalpy, stream.mass_flow) == (state.p, state.h, inlet.mass_flow)
    # The profile is that of the outlet states.
    fluid = Refrigerant(given_streams[0].refrigerant)
    warm = fluid.at(p=result.liquid_inlet.p, h=result.liquid_outlet.h).T
    cold = fluid.at(p=result.vapour_inlet.p, h=result.vapour_outlet.h).T
    assert result.liquid_temperature[-1] == pytest.approx(warm, abs=0.03)
    assert result.vapour_temperature[0] == pytest.approx(cold, abs=0.03)
    assert list(result.position) == sorted(result.position)
    assert result.position[-1] <= spec.length * (1 + 1e-6)


@given(tubes(), any_streams(), st.floats(1.05, 2.0))
def test_more_length_passes_more_heat_and_costs_more_pressure(spec, given_streams, factor):
    assume(spec.length * factor <= 5.0)
    short, long = (solved(replace(spec, length=spec.length * x), given_streams) for x in (1.0, factor))
    assert long.heat_flow > short.heat_flow
    assert long.vapour_pressure_drop > short.vapour_pressure_drop
    assert long.liquid_pressure_drop > short.liquid_pressure_drop


@given(tubes(), any_streams(), st.floats(0.05, 0.9))
def test_length_for_an_effectiveness_gives_back_that_effectiveness(spec, given_streams, wanted):
    pair = ihx._Pair(spec, *given_streams)
    length = float(pair.pieces(wanted * pair.most)[0].sum())
    assume(0.02 <= length <= 5.0)
    result = solved(replace(spec, length=length), given_streams)
    assert result.effectiveness == pytest.approx(wanted, abs=2e-7)


@pytest.mark.parametrize("name", cases.SUBCRITICAL)
@pytest.mark.parametrize("length", (0.2, 1.2, 4.0))
def test_it_agrees_with_the_textbook_relation_where_properties_hardly_change(name, length):
    from ht.hx import effectiveness_from_NTU

    near = streams(name, evaporating=10.0, condensing=30.0, superheat=8.0, subcooling=5.0)
    result = solve_exchanger(van_exchanger(length), *near)
    warm, cold = result.liquid_temperature, result.vapour_temperature
    small, large = sorted(result.heat_flow / (T[0] - T[-1]) for T in (warm, cold))
    textbook = effectiveness_from_NTU(NTU=conductance(result) / small, Cr=small / large, subtype="counterflow")
    assert result.effectiveness == pytest.approx(textbook, rel=0.01)


@pytest.mark.parametrize("case", ((van_exchanger(), streams()), (cases.bus_exchanger(), cases.gas_streams())))
def test_halving_pieces_and_nodes_changes_little(case, monkeypatch):
    usual = solve_exchanger(case[0], *case[1])
    for pieces in (12, 48, 192):
        monkeypatch.setattr(ihx, "PIECES", pieces)
        monkeypatch.setattr(ihx, "_SHARE", np.linspace(0.0, 1.0, pieces + 1))
        assert solve_exchanger(case[0], *case[1]).heat_flow == pytest.approx(usual.heat_flow, rel=5e-4)
    monkeypatch.setattr(ihx, "NODES", 9)
    monkeypatch.setattr(ihx, "NODES_ABOVE_CRITICAL", 33)
    finer = solve_exchanger(case[0], *case[1])
    assert finer.heat_flow == pytest.approx(usual.heat_flow, rel=5e-3)
    assert finer.vapour_pressure_drop == pytest.approx(usual.vapour_pressure_drop, rel=5e-3)


def test_an_endless_line_takes_the_vapour_to_the_liquid():
    slim = ExchangerSpec(length=5.0, inner_diameter=0.004, wall_thickness=0.0005, outer_diameter=0.0062)
    result = solve_exchanger(slim, *streams(mass_flow=0.0005))
    assert result.effectiveness == pytest.approx(1.0, abs=0.01)
    assert result.vapour_temperature[0] == pytest.approx(result.liquid_inlet.T, abs=0.5)
    assert any("all but met" in note for note in result.notes)
    pair = ihx._Pair(slim, *streams(mass_flow=0.0005))
    assert pair.heat_for(1e6) == pytest.approx(pair.most, rel=1e-9)


def test_swapping_the_paths_swaps_the_films():
    inside = solve_exchanger(van_exchanger(), *streams())
    outside = solve_exchanger(replace(van_exchanger(), vapour_path="annulus"), *streams())
    # The same flow through the narrow gap runs faster: better film, far more friction.
    assert outside.vapour_coefficient > inside.vapour_coefficient
    assert outside.vapour_pressure_drop > 3 * inside.vapour_pressure_drop
    assert outside.liquid_pressure_drop < inside.liquid_pressure_drop


@given(tubes(), any_streams())
def test_conductance_is_two_films_and_a_wall_in_series(spec, given_streams):
    spec = replace(spec, wall_conductivity=15.0)
    result = solved(spec, given_streams)
    inside, outside = (
        (result.vapour_coefficient, result.liquid_coefficient)
        if spec.vapour_path == "inner tube"
        else (result.liquid_coefficient, result.vapour_coefficient)
    )
    films = 1.0 / (inside * math.pi * spec.inner_diameter) + 1.0 / (outside * math.pi * spec.tube_outside)
    wall = math.log(spec.tube_outside / spec.inner_diameter) / (2.0 * math.pi * 15.0)
    assert conductance(result) == pytest.approx(result.position[-1] / (films + wall), rel=0.03)


@pytest.mark.parametrize("length", (0.3, 3.0))
def test_the_vapour_loses_friction_speed_and_two_ends(length):
    from fluids.friction import friction_factor

    spec, given_streams = van_exchanger(length), streams()
    result, fluid = solve_exchanger(spec, *given_streams), Refrigerant("R-1234yf")
    p, flux = result.vapour_inlet.p, given_streams[0].mass_flow / (0.25 * math.pi * spec.inner_diameter**2)
    T = 0.5 * (result.vapour_temperature[0] + result.vapour_temperature[-1])
    reynolds = flux * spec.inner_diameter / fluid.transport(p=p, T=T).viscosity
    thin, thick = 1.0 / fluid.at(p=p, T=result.vapour_temperature[0]).rho, 1.0 / result.vapour_inlet.rho
    rubbing = friction_factor(reynolds, 0.0) * length / spec.inner_diameter / (2.0 * fluid.at(p=p, T=T).rho)
    speeding = thin - thick
    ends = 1.5 * 0.5 * 0.5 * (thin + thick)
    assert result.vapour_pressure_drop == pytest.approx(flux**2 * (rubbing + speeding + ends), rel=0.02)
    bare = solve_exchanger(replace(spec, loss_coefficient=0.0), *given_streams)
    assert result.vapour_pressure_drop - bare.vapour_pressure_drop == pytest.approx(flux**2 * ends, rel=0.01)
    assert bare.vapour_pressure_drop == pytest.approx(flux**2 * (rubbing + speeding), rel=0.02)


def test_notes_tell_what_is_unusual():
    narrow = replace(van_exchanger(), inner_diameter=0.008)
    result = solve_exchanger(narrow, *streams())
    # Whether that is too much depends on the cycle, which the part does not know.
    lost = result.vapour_pressure_drop / result.vapour_inlet.p
    assert f"The vapour loses {lost * 100:.0f} % of its pressure." in result.notes
    unsteady = solve_exchanger(van_exchanger(), *streams(mass_flow=0.01))
    assert any("neither smoothly nor fully turbulent" in note for note in unsteady.notes)
    assert solve_exchanger(van_exchanger(), *streams()).notes == ()


@pytest.mark.parametrize("pressure", (74.5e5, 78e5, 90e5, 120e5))
@pytest.mark.parametrize("outlet", (32.0, 34.0, 45.0))
def test_close_to_the_critical_point_the_curves_stay_smooth_and_apart(pressure, outlet):
    given = cases.gas_streams(pressure=pressure, outlet=outlet)
    pair = ihx._Pair(cases.bus_exchanger(), *given)
    assert (pair.warm.fine_enthalpy[1:] >= pair.warm.fine_enthalpy[:-1]).all()
    # What the ends allow is what an endless exchanger passes: nowhere inside do the curves touch first.
    warm, cold = pair.warm.fine_enthalpy, pair.cold.fine_enthalpy
    assert pair.most == pytest.approx(min(warm[-1] - warm[0], cold[-1] - cold[0]), rel=1e-9)
    assert solve_exchanger(cases.bus_exchanger(), *given).energy_closure < 1e-6


@pytest.mark.parametrize("switch", (2300.0, 4000.0))
@pytest.mark.parametrize("ratio", (0.3, 0.8, 0.95))
def test_the_film_of_the_gap_does_not_jump(switch, ratio):
    outer = 0.02
    inner = ratio * outer

    def at(reynolds):
        return ihx.annulus_coefficient(
            mass_flux=reynolds * WATER["viscosity"] / (outer - inner), inner=inner, outer=outer, **WATER
        )

    assert at(switch * (1 + 1e-9)) == pytest.approx(at(switch * (1 - 1e-9)), rel=1e-5)
    steps = [at(switch * (0.5 + 0.05 * i)) for i in range(40)]
    assert all(b >= a * (1 - 1e-12) for a, b in itertools.pairwise(steps))


def test_the_gap_has_the_friction_of_known_limits():
    assert ihx.shape_factor(0.9999) == pytest.approx(2 / 3, abs=1e-3)
    assert ihx.shape_factor(1e-6) == pytest.approx(1.0, abs=0.1)
    # A thin gap in laminar flow: 96/Re, as between two plates.
    gap, flux = 0.0002, 20.0
    reynolds = flux * 2 * gap / 1e-3
    drop = ihx.annulus_friction(mass_flux=flux, inner=0.02, outer=0.02 + 2 * gap, density=1000.0, viscosity=1e-3)
    assert drop == pytest.approx(96 / reynolds / (2 * gap) * flux**2 / 2000.0, rel=1e-3)
    # Turbulent: within a few per cent of a round tube of the same hydraulic diameter.
    gap, flux = 0.005, 4000.0
    round_tube = single_phase_friction(mass_flux=flux, diameter=2 * gap, density=1000.0, viscosity=1e-3)
    wide = ihx.annulus_friction(mass_flux=flux, inner=0.02, outer=0.03, density=1000.0, viscosity=1e-3)
    assert wide == pytest.approx(round_tube, rel=0.12) and wide > round_tube


LIQUID, VAPOUR = streams()


def both(**changes):
    return replace(LIQUID, **changes), replace(VAPOUR, **changes)


BAD_STREAMS = [
    (both(mass_flow=0.0), "mass flow .* give kg/s inside the package"),
    (both(mass_flow=30.0), "mass flow .* 30 g/s is 0.03"),
    ((replace(LIQUID, mass_flow=0.02), VAPOUR), "vapour is not the liquid's own flow"),
    ((LIQUID, replace(VAPOUR, refrigerant="R-134a")), "vapour is not the liquid's own flow"),
    ((LIQUID.at(pressure=12.0), VAPOUR), "liquid pressure .* was this typed in bar"),
    ((LIQUID.at(pressure=2e5), VAPOUR), "liquid pressure .* must be above the vapour pressure .* swapped"),
    ((LIQUID, VAPOUR.at(pressure=40e5)), "vapour pressure .* must be able to boil"),
    ((stream_at("R-1234yf", 0.03, p=LIQUID.pressure, T=celsius(60)), VAPOUR), "60.0 °C brings vapour .* 50.0 °C"),
    ((stream_at("R-1234yf", 0.03, p=LIQUID.pressure, x=0.1), VAPOUR), "liquid of 50.0 °C brings vapour along"),
    ((LIQUID, stream_at("R-1234yf", 0.03, p=VAPOUR.pressure, T=celsius(-5))), "−5.0 °C brings liquid .* floods"),
    ((LIQUID, stream_at("R-1234yf", 0.03, p=VAPOUR.pressure, x=0.9)), "vapour of 2.0 °C brings liquid along"),
    ((LIQUID, stream_at("R-1234yf", 0.03, p=VAPOUR.pressure, T=celsius(46))), "must be above .* run backwards"),
]


@pytest.mark.parametrize("given, message", BAD_STREAMS, ids=[message for _, message in BAD_STREAMS])
def test_streams_that_are_not_what_they_say_are_refused(given, message):
    with pytest.raises(OutOfRangeError, match=message):
        solve_exchanger(van_exchanger(), *given)


def test_a_stream_must_know_its_flow():
    with pytest.raises(InputError, match="mass flow is missing"):
        solve_exchanger(van_exchanger(), *both(mass_flow=None))


def test_gas_just_above_critical_is_no_mixture():
    assert solve_exchanger(van_exchanger(), *cases.gas_streams(pressure=74e5, outlet=33.0)).heat_flow > 0.0


def test_a_tube_far_too_narrow_is_refused():
    thin = ExchangerSpec(length=3.0, inner_diameter=0.004, wall_thickness=0.001, outer_diameter=0.012)
    with pytest.raises(NoSolutionError, match="vapour path .* more than a third .* make the tube wider"):
        solve_exchanger(thin, *streams())
