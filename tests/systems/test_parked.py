"""What a parked system's reading tells: limits, Dalton's law, and the borders between verdicts."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.systems import ParkedSpec, judge_parked
from thermo_kit.units import bar, celsius

GAS_CONSTANT = 8.314462618  # J/(mol K), CODATA
R134A = Refrigerant("R-134a")


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


@given(st.sampled_from(REFRIGERANT_NAMES), st.floats(243.15, 333.15), st.floats(0.05e5, 60e5), st.floats(1e-3, 0.02))
def test_the_verdict_follows_the_gap_and_the_charge_grows_with_the_volume(name, temperature, gap_to, volume):
    fluid, given_by_all = Refrigerant(name), {"pressure": bar(0.1) + gap_to, "temperature": temperature}
    result, double = (parked(refrigerant=name, volume=size, **given_by_all) for size in (volume, 2 * volume))
    assert double.least_charge == pytest.approx(2 * result.least_charge)
    assert double.verdict == result.verdict
    if temperature > fluid.critical_temperature:
        assert result.verdict == "too warm for liquid"
        return
    saturation = fluid.dew_pressure(temperature)
    assert result.excess == pytest.approx(result.spec.pressure - saturation)
    expected = "saturated" if abs(result.excess) <= result.tolerance else "all vapour"
    assert result.verdict == ("above saturation" if result.excess > result.tolerance else expected)


# kg/mol: Tillner-Roth & Baehr 1994; Span & Wagner 1996, and 1 bar lies below the triple point of carbon dioxide.
@pytest.mark.parametrize(
    ("name", "pressure", "molar_mass"), [("R-134a", 20e3, 0.10203), ("R-744", 101_325.0, 0.0440098)]
)
def test_a_nearly_empty_system_holds_what_the_ideal_gas_law_says(name, pressure, molar_mass):
    result = parked(refrigerant=name, pressure=pressure)
    ideal = pressure * 0.003 * molar_mass / (GAS_CONSTANT * celsius(25))
    assert result.verdict == "all vapour"
    assert result.most_charge == pytest.approx(ideal, rel=0.01)  # a real gas this thin: within one per cent


def test_air_adds_its_own_pressure_as_dalton_says():
    saturation = R134A.dew_pressure(celsius(25))
    result = parked(pressure=saturation + bar(2))
    assert result.verdict == "above saturation"
    assert result.excess_share == pytest.approx(bar(2) / (saturation + bar(2)))


@pytest.mark.parametrize("share", [0.2, 0.6])
def test_air_beside_too_little_refrigerant_reads_like_liquid_and_a_warmer_reading_tells(share):
    # Dalton: vapour at a share of its saturation pressure, air fills up the rest; both are gas alone.
    saturation = R134A.dew_pressure(celsius(25))
    masked = parked(pressure=saturation)
    assert masked.verdict == "saturated" and any("without a drop of liquid" in str(note) for note in masked.notes)
    (warmer,) = (note for note in masked.notes if "warm up" in str(note))
    _, boiling, gas = (amount.value for amount in warmer.parts)
    # The vapour's own density stays; its pressure at 35 °C by its equation of state, the air's by the ideal gas law.
    vapour = R134A.at(T=celsius(35), rho=R134A.at(p=share * saturation, T=celsius(25)).rho).p
    air = (1 - share) * saturation * celsius(35) / celsius(25)
    assert gas == pytest.approx(vapour + air, rel=0.01)
    assert boiling == pytest.approx(R134A.dew_pressure(celsius(35))) and boiling > 1.25 * gas
    assert parked(pressure=vapour + air, temperature=celsius(35)).verdict == "all vapour"


def test_near_the_critical_temperature_no_warmer_reading_is_promised():
    near = parked(refrigerant="R-744", pressure=Refrigerant("R-744").dew_pressure(celsius(25)))
    assert near.verdict == "saturated" and not any("warm up" in str(note) for note in near.notes)


def test_gauge_and_thermometer_err_independently():
    gauge, thermometer = parked(temperature_accuracy=0.0).tolerance, parked(pressure_accuracy=0.0).tolerance
    assert (gauge, parked(pressure_accuracy=0.0, temperature_accuracy=0.0).tolerance) == (10e3, 0.0)
    assert thermometer == pytest.approx(R134A.dew_pressure(celsius(25.5)) - R134A.dew_pressure(celsius(24.5)), rel=1e-3)
    assert parked().tolerance ** 2 == pytest.approx(gauge**2 + thermometer**2)


def test_just_below_the_critical_temperature_it_still_answers():
    fluid = Refrigerant("R-744")
    result = parked(refrigerant="R-744", pressure=73e5, temperature=fluid.critical_temperature - 0.02)
    assert result.most_charge >= result.least_charge > 0
