"""A cycle with and without an internal heat exchanger: balances, published signs and ranges, trends, limits."""

import dataclasses
import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.components.exchanger_cases import SUBCRITICAL, bus_exchanger, van_exchanger
from thermo_kit.components.internal_heat_exchanger import ExchangerSpec
from thermo_kit.errors import OutOfRangeError
from thermo_kit.substances import Refrigerant
from thermo_kit.systems import (
    CycleSpec,
    ExchangeJob,
    compare_exchange,
    effect_of_effectiveness,
    exchange_by_length,
    largest_effectiveness,
    solve_cycle,
    with_internal_heat_exchanger,
)
from thermo_kit.systems.cycle import cycle_between
from thermo_kit.systems.internal_exchange import ExchangeLine
from thermo_kit.units import celsius

ORDINARY = {
    "refrigerant": "R-1234yf",
    "evaporating_temperature": celsius(2),
    "condensing_temperature": celsius(52),
    "superheat": 5.0,
    "subcooling": 5.0,
    "isentropic_efficiency": 0.65,
}
BUS = CycleSpec(
    refrigerant="R-744",
    evaporating_temperature=celsius(2),
    gas_cooler_pressure=95e5,
    gas_cooler_outlet_temperature=celsius(42),
    superheat=5.0,
    isentropic_efficiency=0.65,
)


def van(**changes):
    return CycleSpec(**(ORDINARY | changes))


VANS = {
    "refrigerant": st.sampled_from(SUBCRITICAL),
    "evaporating_temperature": st.floats(-10, 10).map(celsius),
    "condensing_temperature": st.floats(35, 60).map(celsius),
    "superheat": st.sampled_from((0.0, 4.0, 10.0)),
    "subcooling": st.sampled_from((0.0, 3.0, 8.0)),
    "isentropic_efficiency": st.floats(0.6, 0.9),
}
LINES = {
    "suction_line_pressure_drop": st.sampled_from((0.0, 8e3)),
    "liquid_line_pressure_drop": st.sampled_from((0.0, 12e3)),
    "suction_line_temperature_rise": st.sampled_from((0.0, 3.0)),
}
BUSES = {
    "gas_cooler_outlet_temperature": st.floats(33, 46).map(celsius),
    "gas_cooler_pressure": st.floats(90e5, 125e5),
    "evaporating_temperature": st.just(celsius(5)),
}


@given(st.builds(van, **VANS, **LINES), st.floats(0.3, 3.0), st.floats(0.005, 0.03))
def test_the_joined_cycle_has_exactly_the_exchangers_heat_and_losses(spec, length, flow):
    effect = with_internal_heat_exchanger(spec, van_exchanger(length), flow)
    own, bare, exchanger = effect.with_exchanger, effect.without, effect.exchanger
    one, _two, three, four, _five, six = (point.state for point in own.points)
    assert own.energy_closure < 1e-6 and exchanger.energy_closure < 1e-6
    assert own.mass_flow * (three.h - four.h) == pytest.approx(exchanger.heat_flow, rel=1e-6)
    if spec.suction_line_temperature_rise == 0.0:
        assert own.mass_flow * (one.h - six.h) == pytest.approx(exchanger.heat_flow, rel=1e-6)
    # Losses of the lines stay, and those of the exchanger come on top.
    vapour = spec.suction_line_pressure_drop + exchanger.vapour_pressure_drop
    liquid = spec.liquid_line_pressure_drop + exchanger.liquid_pressure_drop
    assert six.p - one.p == pytest.approx(vapour, abs=1.0)
    assert three.p - four.p == pytest.approx(liquid, abs=1.0)
    # The same compressor draws in the same volume.
    assert own.mass_flow / one.rho == pytest.approx(flow / bare.points[0].state.rho, rel=1e-7)
    assert own.cooling_capacity / bare.cooling_capacity - 1 == pytest.approx(
        effect.volumetric_capacity_change, rel=1e-6, abs=1e-7
    )
    assert own.compressor_power / bare.compressor_power - 1 == pytest.approx(effect.power_change, rel=1e-6, abs=1e-7)
    cop = (1 + effect.volumetric_capacity_change) / (1 + effect.power_change) - 1
    assert effect.cop_change == pytest.approx(cop, rel=1e-6, abs=1e-7)
    assert four.phase == "liquid" and one.phase == "vapour"


@given(
    st.one_of(st.builds(van, **VANS), st.builds(dataclasses.replace, st.just(BUS), **BUSES)),
    st.floats(0.0, 0.8),
    st.floats(0.02, 0.1),
)
def test_more_effectiveness_never_lowers_the_discharge_temperature(spec, effectiveness, step):
    less, more = (effect_of_effectiveness(spec, share) for share in (effectiveness, effectiveness + step))
    assert more.with_exchanger.discharge_temperature > less.with_exchanger.discharge_temperature
    assert more.with_exchanger.points[0].state.T > less.with_exchanger.points[0].state.T
    assert more.refrigerating_effect_change > less.refrigerating_effect_change
    assert more.mass_flow_change < less.mass_flow_change
    assert more.work_change > less.work_change


def test_no_exchanger_changes_nothing():
    effect = effect_of_effectiveness(van(), 0.0)
    assert effect.with_exchanger == effect.without
    assert effect.heat == effect.cop_change == effect.discharge_temperature_rise == 0.0


@pytest.mark.parametrize("efficiency", (0.65, 1.0))
@pytest.mark.parametrize("condensing", (40.0, 52.0))
def test_refrigerants_gain_in_the_published_order(condensing, efficiency):
    """Domanski & Didion 1994: those that do poorly in the plain cycle gain most; heat capacity against latent heat."""
    gains, plain, ratios = {}, {}, {}
    for name in SUBCRITICAL:
        spec = van(
            refrigerant=name, condensing_temperature=celsius(condensing), isentropic_efficiency=efficiency,
            superheat=0.0, subcooling=0.0,
        )  # fmt: skip
        effect = effect_of_effectiveness(spec, 0.5)
        gains[name], plain[name] = effect.cop_change, effect.without.coefficient_of_performance
        at = Refrigerant(name).saturation(celsius(2))
        ratios[name] = at.vapour_specific_heat / (at.vapour_enthalpy - at.liquid_enthalpy)
    by_gain = sorted(SUBCRITICAL, key=gains.get)
    assert by_gain == sorted(SUBCRITICAL, key=ratios.get)
    assert by_gain == sorted(SUBCRITICAL, key=plain.get, reverse=True)
    assert by_gain[-1] == "R-1234yf" and gains["R-1234yf"] > 2 * gains["R-134a"]


def test_the_gain_with_r744_grows_with_the_gas_coolers_outlet_and_reaches_the_published_quarter():
    """Boewe et al. 1999: up to 25 % more capacity and COP with coaxial exchangers, more at higher temperatures."""
    cool, warm, hot = (
        with_internal_heat_exchanger(
            dataclasses.replace(BUS, gas_cooler_outlet_temperature=celsius(outlet)), bus_exchanger(), 0.05
        )
        for outlet in (38, 42, 46)
    )
    assert cool.cop_change < warm.cop_change < hot.cop_change
    assert 0.0 < cool.cop_change and 0.15 < hot.cop_change < 0.30
    assert hot.discharge_temperature_rise > 15.0


def test_friction_takes_from_cooling_and_a_narrow_bore_never_pays():
    wide = with_internal_heat_exchanger(van(), van_exchanger(), 0.03)
    free = effect_of_effectiveness(van(), wide.effectiveness)
    assert wide.volumetric_capacity_change < free.volumetric_capacity_change
    narrow = ExchangerSpec(length=1.2, inner_diameter=0.008, wall_thickness=0.0012, outer_diameter=0.0134)
    sweep = exchange_by_length(van(), narrow, 0.03, (0.2, 0.5, 1.0, 2.0, 4.0))
    changes = [effect.volumetric_capacity_change for effect in sweep.effects]
    assert max(changes) < 0.0
    assert changes.index(max(changes)) not in (0, len(changes) - 1), "the best length lies inside"
    assert all(point.volumetric_capacity_change > 0 for point in sweep.frictionless)


@pytest.mark.parametrize(
    ("refrigerant", "condensing", "bore", "length", "cools", "saves"),
    [
        ("R-1234yf", 50, 0.009, 2.0, True, True),
        ("R-1234yf", 55, 0.009, 2.0, True, True),
        ("R-1234yf", 50, 0.014, 1.2, True, True),
        ("R-134a", 50, 0.010, 1.2, False, False),
        ("R-134a", 60, 0.010, 1.2, False, True),
        ("R-1234yf", 40, 0.011, 1.2, True, False),
    ],
)
def test_whether_the_tubes_pay_is_judged_by_the_cycle(refrigerant, condensing, bore, length, cools, saves):
    tubes = dataclasses.replace(
        van_exchanger(), length=length, inner_diameter=bore, wall_thickness=0.0012, outer_diameter=bore + 0.0054
    )
    spec = van(refrigerant=refrigerant, condensing_temperature=celsius(condensing), isentropic_efficiency=0.65)
    effect = with_internal_heat_exchanger(spec, tubes, 0.03)
    assert (effect.volumetric_capacity_change > 0.0, effect.cop_change > 0.0) == (cools, saves)
    assert (cools or saves) != any("costs more than it brings here" in note for note in effect.notes)
    assert set(effect.exchanger.notes) <= set(effect.notes)


def test_a_sweep_says_the_same_as_each_length_alone():
    sweep = exchange_by_length(van(), van_exchanger(), 0.03, (0.4, 1.2))
    for length, effect in zip(sweep.lengths, sweep.effects, strict=True):
        assert effect == with_internal_heat_exchanger(van(), van_exchanger(length), 0.03)


@pytest.mark.parametrize("spec", [*(van(refrigerant=name) for name in SUBCRITICAL), BUS], ids=str)
@pytest.mark.parametrize("limit", (100, 110, 120))
def test_the_largest_effectiveness_meets_its_limit_exactly(spec, limit):
    found = largest_effectiveness(spec, celsius(limit))
    hottest = ExchangeLine(spec).curve().discharge_temperature[-1]
    if hottest <= celsius(limit):
        assert found.limited_by == "nothing" and found.effectiveness == 1.0
    else:
        assert found.limited_by == "discharge temperature" and found.effectiveness < 1.0
        again = dataclasses.replace(spec, internal_heat_exchanger_effectiveness=found.effectiveness)
        assert solve_cycle(again).discharge_temperature == pytest.approx(celsius(limit), abs=1e-3)


@given(step=st.floats(1.0, 10.0), limit=st.floats(95, 120))
def test_a_hotter_day_allows_less(step, limit):
    days = (van(refrigerant="R-134a", condensing_temperature=celsius(c)) for c in (48.0, 48.0 + step))
    mild, hot = (largest_effectiveness(day, celsius(limit)).effectiveness for day in days)
    assert hot < mild or mild == hot == 1.0


LOSSY = van(suction_line_temperature_rise=4.0, suction_line_pressure_drop=9e3)


@pytest.mark.parametrize("spec", [*(van(refrigerant=name) for name in SUBCRITICAL), BUS, LOSSY], ids=str)
def test_a_point_of_the_line_says_what_the_whole_cycle_says(spec):
    line = ExchangeLine(spec)
    for share in (0.0, 0.3, 0.9):
        point, effect = line.point(share), effect_of_effectiveness(spec, share)
        assert point.cop_change == pytest.approx(effect.cop_change, abs=1e-7)
        assert point.volumetric_capacity_change == pytest.approx(effect.volumetric_capacity_change, abs=1e-7)
        assert point.discharge_temperature == pytest.approx(effect.with_exchanger.discharge_temperature, abs=1e-5)


def test_comparison_covers_every_refrigerant_and_knows_the_limit():
    job = ExchangeJob(
        evaporating_temperature=celsius(2), condensing_temperature=celsius(52), discharge_limit=celsius(110)
    )
    compared = {row.curve.refrigerant: row for row in compare_exchange(job)}
    assert set(compared) == {*SUBCRITICAL, "R-744"}
    assert compared["R-744"].curve.above_critical and not compared["R-290"].curve.above_critical
    for name, row in compared.items():
        assert all(b > a for a, b in itertools.pairwise(row.curve.discharge_temperature)), name
        if row.largest_effectiveness is not None:
            alone = largest_effectiveness(cycle_between(job, name, job.gas_cooler_pressure), job.discharge_limit)
            assert row.largest_effectiveness == pytest.approx(alone.effectiveness, abs=1e-6)
    tight = dataclasses.replace(job, discharge_limit=celsius(85))
    assert {r.curve.refrigerant: r for r in compare_exchange(tight)}["R-152a"].largest_effectiveness is None


def test_a_curve_ends_where_the_property_data_end():
    hot = van(condensing_temperature=celsius(70), isentropic_efficiency=0.4, superheat=20.0)
    curve = ExchangeLine(hot).curve()
    assert curve.effectiveness[-1] < 1.0
    assert curve.discharge_temperature[-1] <= Refrigerant("R-1234yf").highest_temperature + 0.02
    assert ExchangeLine(hot).largest(celsius(170))[1] == "property data"


def test_heat_that_would_run_backwards_is_refused_with_the_cycles_own_words():
    with pytest.raises(OutOfRangeError, match="run backwards"):
        ExchangeLine(van(condensing_temperature=celsius(20), evaporating_temperature=celsius(15), superheat=10.0))
