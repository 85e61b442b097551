"""What several parts share: closure, roots, exchange, films, friction; no jump where physics has none."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit.errors import NoSolutionError
from thermo_kit.laws import exchange, films, friction
from thermo_kit.laws.closure import closed
from thermo_kit.laws.roots import root, root_near
from thermo_kit.laws.void import void_fraction
from thermo_kit.substances import Refrigerant


@pytest.mark.parametrize("value", [1.1e-6, -1.1e-6, math.nan, math.inf, 1.5e18])
def test_a_balance_that_does_not_close_is_an_error_that_names_it(value):
    with pytest.raises(NoSolutionError, match="valve mass balance is open") as caught:
        closed(energy=1e-9, valve_mass=value)
    assert "energy" not in str(caught.value)


def test_a_balance_that_closes_gives_the_worst_and_open_ones_are_all_told():
    assert closed(energy=-3e-7, mass=1e-9) == 3e-7
    with pytest.raises(NoSolutionError, match="energy balance.*mass balance"):
        closed(energy=1.0, mass=2.0)


@given(st.floats(-5.0, 5.0), st.floats(-8.0, 8.0))
def test_a_root_is_found_from_two_ends_and_from_a_guess(where, guess):
    def falling(x):
        return math.expm1(where - x)

    assert root(falling, -9.0, 9.0, what="x") == pytest.approx(where, abs=1e-9)
    assert root_near(falling, guess, abs, -9.0, 9.0, what="x") == pytest.approx(where, abs=1e-9)


@pytest.mark.parametrize("function", [lambda x: x + 2.0, lambda x: -x - 2.0, lambda x: math.nan])
def test_ends_that_hold_no_root_are_refused(function):
    for found in (
        lambda: root(function, 0.0, 1.0, what="x"),
        lambda: root_near(function, 0.5, abs, 0.0, 1.0, what="x"),
    ):
        with pytest.raises(NoSolutionError, match="x has no answer: move"):
            found()


def test_a_pole_is_no_root():
    with pytest.raises(NoSolutionError, match="jumps"):
        root(lambda x: 1.0 / (x - 0.3), 0.0, 1.0, what="x", settled=1e-6)


def test_what_is_settled_is_not_asked_again():
    asked = []

    def falling(x):
        asked.append(x)
        return 2.0 - x

    assert root_near(falling, 2.05, lambda off: 1.0, 0.0, 9.0, what="x", settled=0.1) == 2.05
    assert asked == [2.05]


@given(st.floats(0.1, 80.0), st.floats(1e-12, 50.0))
def test_the_mean_share_is_the_log_mean_over_the_first_difference(first, units):
    last = first * math.exp(-units)
    assert first * exchange.mean_share(units) == pytest.approx(float(exchange.log_mean(first, last)), rel=1e-6)


def test_the_log_mean_of_equal_ends_is_theirs_and_is_smooth_beside():
    ends = 7.0 * (1.0 + np.array([0.0, 0.99e-5, 1.01e-5]))
    assert exchange.log_mean(ends, np.full(3, 7.0)) == pytest.approx(0.5 * (ends + 7.0), rel=1e-10)


@given(st.floats(0.01, 8.0), st.floats(0.01, 1.0))
def test_crossflow_lies_between_parallel_and_counterflow(units, ratio):
    parallel = -math.expm1(-units * (1.0 + ratio)) / (1.0 + ratio)
    # The formula is an approximation: at few units it falls short of parallel flow by up to 0.006.
    assert parallel - 0.007 <= exchange.crossflow_effectiveness(units, ratio) <= exchange.effectiveness(units) + 1e-9


S = Refrigerant("R-1234yf").saturation(327.0)


@pytest.mark.parametrize("quality", [0.0, 0.049, 0.05, 0.3, 0.95, 0.951, 1.0])
def test_two_phase_friction_does_not_jump_with_flow(quality):
    losses = [
        friction.two_phase_friction(mass_flux=20.0 * 1.01**i, diameter=1e-3, quality=quality, saturation=S)
        for i in range(460)
    ]
    ratios = [b / a for a, b in itertools.pairwise(losses)]
    assert 0.93 < min(ratios) <= max(ratios) < 1.07


def test_without_the_bridge_friction_does_jump():
    switch = 2040.0 * S.liquid_viscosity / 1e-3
    below, above = (friction.friedel(switch * k, 1e-3, 0.3, S) for k in (0.9999, 1.0001))
    assert above / below > 1.2


def test_mixtures_run_into_pure_liquid_and_vapour_at_both_ends():
    qualities = [i / 1000 for i in range(1001)]
    film = [
        films.condensing_coefficient(
            mass_flux=300.0, diameter=1e-3, quality=x, saturation=S, critical_pressure=4.059e6,
            liquid=900.0, vapour=700.0,
        )
        for x in qualities
    ]  # fmt: skip
    loss = [friction.two_phase_friction(mass_flux=300.0, diameter=1e-3, quality=x, saturation=S) for x in qualities]
    pure = [
        friction.single_phase_friction(mass_flux=300.0, diameter=1e-3, density=density, viscosity=viscosity)
        for density, viscosity in ((S.liquid_density, S.liquid_viscosity), (S.vapour_density, S.vapour_viscosity))
    ]
    assert (film[0], film[-1]) == pytest.approx((900.0, 700.0))
    assert (loss[0], loss[-1]) == pytest.approx(tuple(pure))
    for values in (film, loss):
        assert max(abs(b - a) for a, b in itertools.pairwise(values)) < 0.02 * max(values)


def test_single_phase_film_is_continuous_from_laminar_to_turbulent():
    given = {"diameter": 1e-3, "viscosity": 1.2e-4, "conductivity": 0.06, "specific_heat": 1500.0}
    for reynolds in (films.LAMINAR_LIMIT, films.TURBULENT_LIMIT):
        flux = reynolds * 1.2e-4 / 1e-3
        below, above = (films.single_phase_coefficient(mass_flux=flux * k, **given) for k in (1 - 1e-9, 1 + 1e-9))
        assert above == pytest.approx(below, rel=1e-6)


def test_vapour_fills_nothing_of_liquid_and_all_of_vapour():
    assert [void_fraction(x, S) for x in (-0.1, 0.0, 1.0, 1.1)] == [0.0, 0.0, 1.0, 1.0]
    assert 0.0 < void_fraction(0.1, S) < void_fraction(0.5, S) < 1.0
