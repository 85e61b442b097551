"""The plate chiller in steady running: balances, films against their sources, trends, limits, bad input."""

import itertools
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit.components.chiller import ChillerSpec, PlateStack, solve_chiller
from thermo_kit.components.chiller.films import boiling_film, plate_friction, plate_nusselt
from thermo_kit.substances import Coolant, Refrigerant
from thermo_kit.substances.coolant import coolant_table

BASE = ChillerSpec(evaporating_temperature=272.15)
cases = st.builds(
    ChillerSpec,
    refrigerant=st.sampled_from(("R-134a", "R-1234yf", "R-290")),
    coolant=st.sampled_from(("water", "ethylene glycol", "propylene glycol")),
    mass_fraction=st.floats(0.0, 0.6),
    coolant_flow=st.floats(0.05, 0.6),
    coolant_inlet_temperature=st.floats(284.0, 310.0),
    evaporating_temperature=st.floats(262.0, 276.0),
    inlet_quality=st.floats(0.0, 0.5),
    superheat=st.floats(0.0, 7.0),
    counterflow=st.booleans(),
    fed_channels=st.floats(0.2, 1.0),
    fouling=st.floats(0.0, 5e-4),
)


@given(cases)
def test_heat_is_the_same_on_both_sides_and_temperatures_lie_in_order(spec):
    result = solve_chiller(spec)
    assert result.energy_closure < 1e-6
    share = {} if spec.coolant == "water" else {"mass_fraction": spec.mass_fraction}
    coolant = Coolant(spec.coolant, **share)
    fluid = Refrigerant(spec.refrigerant)
    saturation = fluid.saturation(result.evaporating_temperature)
    outlet = saturation.vapour_enthalpy
    if spec.superheat > 0.02:
        outlet = fluid.at(p=result.evaporating_pressure, T=result.evaporating_temperature + spec.superheat).h
    latent = saturation.vapour_enthalpy - saturation.liquid_enthalpy
    inlet = saturation.liquid_enthalpy + spec.inlet_quality * latent
    assert result.mass_flow * (outlet - inlet) == pytest.approx(result.cooling_capacity, rel=2e-4)
    gained = result.outlet.mass_flow * (result.outlet.enthalpy - inlet)
    assert gained == pytest.approx(result.cooling_capacity, rel=1e-9)
    assert result.outlet.pressure == result.evaporating_pressure
    if result.coolant_outlet_temperature > coolant.freezing_point:
        mean = 0.5 * (result.coolant_outlet_temperature + spec.coolant_inlet_temperature)
        taken = spec.coolant_flow * coolant.specific_heat(mean)
        taken *= spec.coolant_inlet_temperature - result.coolant_outlet_temperature
        assert taken == pytest.approx(result.cooling_capacity, rel=2e-3)
    for warm, wall, boiling in zip(
        result.coolant_temperature, result.wall_temperature, result.refrigerant_temperature, strict=True
    ):
        assert warm >= wall - 1e-6 >= boiling - 2e-6
    assert result.freeze_margin == pytest.approx(result.coldest_wall_temperature - result.freezing_point)
    assert min(result.wall_temperature) == result.coldest_wall_temperature
    assert all(b > a for a, b in itertools.pairwise(result.position))


@pytest.mark.parametrize("counterflow", [True, False])
@pytest.mark.parametrize("temperature", [262.15, 272.15, 277.15])
def test_halving_the_segments_changes_little(counterflow, temperature):
    spec = replace(BASE, counterflow=counterflow, evaporating_temperature=temperature)
    coarse, fine = (solve_chiller(replace(spec, segments=n)).cooling_capacity for n in (16, 32))
    finest = solve_chiller(replace(spec, segments=256)).cooling_capacity
    assert fine == pytest.approx(coarse, rel=0.005)
    assert abs(fine - finest) < abs(coarse - finest) + 1e-9


def test_given_mass_flow_returns_the_superheat_that_asked_for_it():
    asked = solve_chiller(BASE)
    found = solve_chiller(replace(BASE, mass_flow=asked.mass_flow))
    assert found.superheat == pytest.approx(5.0, abs=0.05)
    assert found.cooling_capacity == pytest.approx(asked.cooling_capacity, rel=1e-3)


def test_too_much_refrigerant_leaves_wet():
    asked = solve_chiller(BASE)
    flooded = solve_chiller(replace(BASE, mass_flow=1.6 * asked.mass_flow))
    assert flooded.outlet.state.x < 1.0 and flooded.superheat == 0.0


def test_pressure_and_temperature_mean_the_same():
    pressure = Refrigerant("R-134a").dew_pressure(272.15)
    by_pressure = solve_chiller(replace(BASE, evaporating_temperature=None, evaporating_pressure=pressure))
    assert by_pressure.cooling_capacity == pytest.approx(solve_chiller(BASE).cooling_capacity, rel=1e-6)


@pytest.mark.parametrize(
    ("field", "low", "high", "least", "rise", "heat"),
    [
        ("evaporating_temperature", 258.0, 275.0, 0.3, 2.2, -1.0),
        ("mass_fraction", 0.0, 0.5, 0.02, 0.08, -1.0),
        ("coolant_flow", 0.05, 0.4, 0.02, 0.4, 1.0),
    ],
)
@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_warmer_boiling_more_glycol_and_more_flow_keep_farther_from_ice(field, low, high, least, rise, heat, at, more):
    value = low + at * (high - low)
    less, greater = (solve_chiller(replace(BASE, **{field: x})) for x in (value, value + least + more * rise))
    assert greater.freeze_margin > less.freeze_margin
    assert heat * greater.cooling_capacity > heat * less.cooling_capacity
    assert field != "mass_fraction" or greater.coolant_pressure_drop > less.coolant_pressure_drop


@pytest.mark.parametrize(
    ("change", "left"), [({"counterflow": False}, 1.0), ({"fouling": 2e-4}, 0.95), ({"fed_channels": 0.5}, 0.75)]
)
def test_parallel_flow_fouling_and_air_in_the_loop_cost_capacity(change, left):
    assert solve_chiller(replace(BASE, **change)).cooling_capacity < left * solve_chiller(BASE).cooling_capacity


def test_huge_flow_and_plates_reach_the_limit_of_an_ideal_exchanger():
    stack = replace(PlateStack(), plates=200, length=1.2)
    result = solve_chiller(replace(BASE, stack=stack, superheat=0.0, coolant_flow=0.1, mass_fraction=0.0))
    table = coolant_table("ethylene glycol", 0.0)
    most = 0.1 * float(table.enthalpy_at(288.15) - table.enthalpy_at(272.15))
    assert 0.98 * most < result.cooling_capacity <= most * (1 + 1e-9)


def test_water_and_glycol_without_glycol_agree():
    water = solve_chiller(replace(BASE, coolant="water", evaporating_temperature=276.15))
    none = solve_chiller(replace(BASE, mass_fraction=0.0, evaporating_temperature=276.15))
    assert none.cooling_capacity == pytest.approx(water.cooling_capacity, rel=0.02)


@pytest.mark.parametrize("angle", [30.0, 60.0])
@pytest.mark.parametrize("edge", [1600.0, 2000.0, 2500.0])
def test_films_do_not_jump_at_the_transition(edge, angle):
    for film in (lambda Re: plate_friction(Re, angle), lambda Re: plate_nusselt(Re, 8.0, angle)):
        assert film(edge * 1.0001) == pytest.approx(film(edge * 0.9999), rel=2e-3)


def test_the_library_does_jump_where_the_bridge_stands():
    from fluids.friction import friction_plate_Martin_1999

    below, above = friction_plate_Martin_1999(1999.99, 60.0), friction_plate_Martin_1999(2000.01, 60.0)
    assert abs(above / below - 1.0) > 0.02


def test_slow_flow_keeps_the_film_of_resting_liquid():
    assert plate_nusselt(1e-3, 10.0, 60.0) == pytest.approx(7.54, rel=0.01)
    assert plate_nusselt(3000.0, 10.0, 60.0) > 80.0


def test_the_plates_part_14_and_15_channels_of_28_cubic_centimetres():
    stack = PlateStack()
    assert (stack.refrigerant_channels, stack.coolant_channels) == (14, 15)
    assert stack.channel_volume(1) == pytest.approx(0.002 * 0.07 * 0.20)
    assert stack.channel_area == pytest.approx(0.002 * 0.07)


@pytest.mark.parametrize("share", [0.0, 0.3, 0.5])
def test_every_slice_carries_its_heat_through_two_films_and_a_plate(share):
    """Films straight from the libraries; the correction for a cold wall is Martin's (viscosity ratio to 1/6)."""
    from ht.conv_plate import Nu_plate_Martin

    spec = replace(BASE, mass_fraction=share, coolant_flow=0.45)
    result, coolant = solve_chiller(spec), Coolant("ethylene glycol", mass_fraction=share)
    stack, D = spec.stack, spec.stack.hydraulic_diameter
    saturation = Refrigerant("R-134a").saturation(272.15)
    flux = result.mass_flow / (14 * 0.002 * 0.07)
    plate = 0.4e-3 / 15.0
    latent, checked = saturation.vapour_enthalpy - saturation.liquid_enthalpy, 0
    rows = list(zip(result.position, result.coolant_temperature, result.wall_temperature, result.quality, strict=True))
    for before, (_, warm, wall, quality), after in zip(rows, rows[1:], rows[2:], strict=False):
        heat = result.mass_flow * latent * (after[3] - before[3]) / (stack.area * (after[0] - before[0]))
        speed = 0.45 / (15 * 0.002 * 0.07)
        Re = speed * D / coolant.viscosity(warm)
        Pr = coolant.specific_heat(warm) * coolant.viscosity(warm) / coolant.conductivity(warm)
        if quality > 0.89 or 1600.0 < Re < 2500.0:
            continue
        thinner = (coolant.viscosity(warm) / coolant.viscosity(wall)) ** (1.0 / 6.0)
        film = Nu_plate_Martin(Re, Pr, 60.0) * coolant.conductivity(warm) / D * thinner
        assert heat == pytest.approx(film * (warm - wall), rel=0.03)
        boiling, _ = wide_gap(saturation, flux, quality, heat, stack)
        assert heat == pytest.approx((wall - 272.15) / (plate + 1.0 / boiling), rel=0.03)
        checked += 1
    assert checked > 10


@pytest.mark.parametrize("flow", [0.15, 0.45])
def test_both_pressure_drops_by_the_rule_of_darcy(flow):
    from fluids.friction import friction_plate_Martin_1999

    spec = replace(BASE, mass_fraction=0.3, coolant_flow=flow)
    result, coolant = solve_chiller(spec), Coolant("ethylene glycol", mass_fraction=0.3)
    D, mean = spec.stack.hydraulic_diameter, 0.5 * (288.15 + result.coolant_outlet_temperature)
    flux = flow / (15 * 0.002 * 0.07)
    factor = friction_plate_Martin_1999(flux * D / coolant.viscosity(mean), 60.0)
    drop = factor * 0.20 / D * flux**2 / (2.0 * coolant.density(mean))
    assert result.coolant_pressure_drop == pytest.approx(drop, rel=0.05)
    # Refrigerant: one homogeneous fluid of mean quality, which also speeds up on the way.
    s, flux = Refrigerant("R-134a").saturation(272.15), result.mass_flow / (14 * 0.002 * 0.07)
    volumes = [x / s.vapour_density + (1 - x) / s.liquid_density for x in (spec.inlet_quality, 0.65, 1.0)]
    viscosity = 1.0 / (0.65 / s.vapour_viscosity + 0.35 / s.liquid_viscosity)
    rubbing = friction_plate_Martin_1999(flux * D / viscosity, 60.0) * 0.20 / D * volumes[1] / 2.0
    assert result.refrigerant_pressure_drop == pytest.approx(flux**2 * (rubbing + volumes[2] - volumes[0]), rel=0.15)


def wide_gap(saturation, flux, quality, heat, stack):
    """The published wide-gap form, typed from a second source than the library the package calls."""
    D = stack.hydraulic_diameter
    bond = 9.80665 * (saturation.liquid_density - saturation.vapour_density) * D**2 / saturation.surface_tension
    boiling = heat / flux / (saturation.vapour_enthalpy - saturation.liquid_enthalpy)
    Nu = (
        18.495 * (stack.chevron_angle / 70.0) ** 0.248
        * (flux * quality * D / saturation.vapour_viscosity) ** 0.135
        * (flux * D / saturation.liquid_viscosity) ** 0.351
        * bond**0.235 * boiling**0.198
        * (saturation.liquid_density / saturation.vapour_density) ** -0.223
    )  # fmt: skip
    return Nu * saturation.liquid_conductivity / D, bond


def narrow_gap(saturation, flux, quality, heat, stack):
    D = stack.hydraulic_diameter
    mixture = 1.0 / (quality / saturation.vapour_density + (1.0 - quality) / saturation.liquid_density)
    boiling = heat / flux / (saturation.vapour_enthalpy - saturation.liquid_enthalpy)
    Nu = (
        982.0 * (stack.chevron_angle / 70.0) ** 1.101 * (flux**2 * D / mixture / saturation.surface_tension) ** 0.315
        * boiling**0.320 * (saturation.liquid_density / saturation.vapour_density) ** -0.224
    )  # fmt: skip
    return Nu * saturation.liquid_conductivity / D


@pytest.mark.parametrize("angle", [35.0, 60.0, 70.0])
@pytest.mark.parametrize(("quality", "heat"), [(0.2, 4e3), (0.7, 2e4)])
def test_boiling_film_is_the_published_one(angle, quality, heat):
    saturation = Refrigerant("R-134a").saturation(273.15)
    stack = replace(PlateStack(), chevron_angle=angle)
    film = boiling_film(saturation, mass_flux=25.0, stack=stack)
    wanted, bond = wide_gap(saturation, 25.0, quality, heat, stack)
    assert bond > 5.0
    assert float(film.coefficient(quality, heat)) == pytest.approx(wanted, rel=1e-3)
    slim = replace(stack, amplitude=0.4e-3)
    film = boiling_film(saturation, mass_flux=25.0, stack=slim)
    wanted = narrow_gap(saturation, 25.0, quality, heat, slim)
    assert float(film.coefficient(quality, heat)) == pytest.approx(wanted, rel=1e-3)


def test_boiling_film_does_not_jump_between_the_two_forms():
    saturation = Refrigerant("R-134a").saturation(273.15)
    values = []
    for step in range(200):
        stack = replace(PlateStack(), amplitude=0.4e-3 + step * 2e-6)
        film = boiling_film(saturation, mass_flux=25.0, stack=stack)
        values.append(float(film.coefficient(0.5, 1e4)))
    steps = [abs(b / a - 1.0) for a, b in itertools.pairwise(values)]
    assert max(steps) < 0.02


def test_notes_warn_of_ice_and_of_thin_data():
    icy = solve_chiller(replace(BASE, coolant="water", evaporating_temperature=262.15))
    assert icy.freeze_margin < 0.0
    assert any("ice grows" in str(note) for note in icy.notes)
    assert any("Reynolds" in str(note) for note in solve_chiller(BASE).notes)
