"""What a parked system's reading tells: limits, Dalton's law, and the borders between verdicts."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit.errors import OutOfRangeError, UnknownNameError
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.systems import ParkedSpec, judge_parked
from thermo_kit.units import bar, celsius

GAS_CONSTANT, MOLAR_MASS_R134A = 8.314462618, 0.10203  # J/(mol K) CODATA; kg/mol, Tillner-Roth & Baehr 1994


def parked(**changes):
    given_by_default = {"refrigerant": "R-134a", "pressure": 6.65e5, "temperature": celsius(25), "volume": 0.003}
    return judge_parked(ParkedSpec(**given_by_default | changes))


@pytest.mark.parametrize("name", REFRIGERANT_NAMES)
def test_at_saturation_the_charge_lies_between_all_vapour_and_all_liquid(name):
    fluid = Refrigerant(name)
    result = parked(refrigerant=name, pressure=fluid.dew_pressure(celsius(20)), temperature=celsius(20))
    at_20 = fluid.saturation(celsius(20))
    assert result.verdict == "saturated"
    assert result.least_charge == pytest.approx(0.003 * at_20.vapour_density)
    assert result.most_charge == pytest.approx(0.003 * at_20.liquid_density)


@given(
    st.sampled_from(REFRIGERANT_NAMES),
    st.floats(celsius(-30), celsius(60)),
    st.floats(0.05e5, 60e5),
    st.floats(1e-3, 0.02),
)
def test_the_verdict_follows_the_gap_and_the_charge_grows_with_the_volume(name, temperature, gap_to, volume):
    fluid = Refrigerant(name)
    result = parked(refrigerant=name, pressure=bar(0.1) + gap_to, temperature=temperature, volume=volume)
    double = parked(refrigerant=name, pressure=bar(0.1) + gap_to, temperature=temperature, volume=2 * volume)
    assert double.least_charge == pytest.approx(2 * result.least_charge)
    assert double.verdict == result.verdict
    if temperature > fluid.critical_temperature:
        assert result.verdict == "too warm for liquid"
        return
    saturation = fluid.dew_pressure(temperature)
    assert result.excess == pytest.approx(result.spec.pressure - saturation)
    expected = "saturated" if abs(result.excess) <= result.tolerance else "all vapour"
    assert result.verdict == ("above saturation" if result.excess > result.tolerance else expected)


def test_a_nearly_empty_system_holds_what_the_ideal_gas_law_says():
    result = parked(pressure=20e3)
    ideal = 20e3 * 0.003 * MOLAR_MASS_R134A / (GAS_CONSTANT * celsius(25))
    assert result.verdict == "all vapour"
    assert result.most_charge == pytest.approx(ideal, rel=0.01)  # real gas at 0.2 bar: within one per cent


def test_carbon_dioxide_below_its_triple_point_pressure_holds_what_the_ideal_gas_law_says():
    result = parked(refrigerant="R-744", pressure=101_325.0)
    ideal = 101_325.0 * 0.003 * 0.0440098 / (GAS_CONSTANT * celsius(25))  # kg/mol, Span & Wagner 1996
    assert result.verdict == "all vapour"
    assert result.most_charge == pytest.approx(ideal, rel=0.01)


def test_air_adds_its_own_pressure_as_dalton_says():
    saturation = Refrigerant("R-134a").dew_pressure(celsius(25))
    result = parked(pressure=saturation + bar(2))
    assert result.verdict == "above saturation"
    assert result.excess_share == pytest.approx(bar(2) / (saturation + bar(2)))


@pytest.mark.parametrize("share", [0.2, 0.6])
def test_air_beside_too_little_refrigerant_reads_like_liquid_and_a_warmer_reading_tells(share):
    # Dalton: vapour at a share of its saturation pressure, air fills up the rest; both are gas alone.
    saturation = Refrigerant("R-134a").dew_pressure(celsius(25))
    masked = parked(pressure=share * saturation + (1 - share) * saturation)
    assert masked.verdict == "saturated" and any("without a drop of liquid" in str(note) for note in masked.notes)
    (warmer,) = (note for note in masked.notes if "warm up" in str(note))
    _, boiling, gas = (amount.value for amount in warmer.parts)
    # The vapour's own density stays; its pressure at 35 °C by its equation of state, the air's by the ideal gas law.
    fluid = Refrigerant("R-134a")
    vapour = fluid.at(T=celsius(35), rho=fluid.at(p=share * saturation, T=celsius(25)).rho).p
    air = (1 - share) * saturation * celsius(35) / celsius(25)
    assert gas == pytest.approx(vapour + air, rel=0.01)
    assert boiling == pytest.approx(fluid.dew_pressure(celsius(35))) and boiling > 1.25 * gas
    again = parked(pressure=vapour + air, temperature=celsius(35))
    assert again.verdict == "all vapour"


def test_near_the_critical_temperature_no_warmer_reading_is_promised():
    near = parked(refrigerant="R-744", pressure=Refrigerant("R-744").dew_pressure(celsius(25)))
    assert near.verdict == "saturated" and not any("warm up" in str(note) for note in near.notes)


def test_exact_instruments_leave_only_their_own_tolerance():
    assert parked(pressure_accuracy=0.0, temperature_accuracy=0.0).tolerance == 0.0
    assert parked(pressure_accuracy=0.0).tolerance == pytest.approx(
        Refrigerant("R-134a").dew_pressure(celsius(25.5)) - Refrigerant("R-134a").dew_pressure(celsius(24.5)), rel=1e-3
    )


def test_gauge_and_thermometer_err_independently():
    gauge, thermometer = parked(temperature_accuracy=0.0).tolerance, parked(pressure_accuracy=0.0).tolerance
    assert parked().tolerance ** 2 == pytest.approx(gauge**2 + thermometer**2)


def test_just_below_the_critical_temperature_it_still_answers():
    fluid = Refrigerant("R-744")
    result = parked(refrigerant="R-744", pressure=73e5, temperature=fluid.critical_temperature - 0.02)
    assert result.most_charge >= result.least_charge > 0


def test_bad_arguments_are_all_named():
    with pytest.raises(OutOfRangeError) as caught:
        parked(pressure=5.6, temperature=25.0, volume=3.0)
    for text in ("was this typed in bar", "was this typed in °C", "inside volume"):
        assert text in str(caught.value)
    with pytest.raises(UnknownNameError, match="R-134a"):
        parked(refrigerant="R-12")
