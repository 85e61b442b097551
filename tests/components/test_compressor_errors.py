"""Bad input to compressor, mounts and insulation: each message names the field, the limit and the likely slip."""

from dataclasses import replace

import pytest

from tests.components.compressor_cases import VAN
from thermo_kit.components import InsulationSpec, MountSpec, solve_compressor, solve_mount
from thermo_kit.components.compressor import CompressorConditions, rpm
from thermo_kit.errors import NoSolutionError, OutOfRangeError, UnknownNameError
from thermo_kit.substances.stream import Stream, stream_at
from thermo_kit.units import celsius

SPECS = [
    ({"displacement": 0}, r"displacement 0\.0 cm³ is below .*read it off the maker's data"),
    ({"displacement": -34e-6}, r"displacement .* is below"),
    ({"displacement": 34}, r"displacement .* is above .*34 cm³ is 34e-6"),
    ({"built_in_volume_ratio": 1.0}, r"built-in volume ratio 1 is below 1\.2: large pocket by small pocket"),
    ({"leakage_area": 0.35}, r"leakage area .* is above .*0\.5 mm² is 0\.5e-6"),
    ({"suction_port_area": 0.0}, r"suction port area .* is below"),
    ({"discharge_port_area": 60.0}, r"discharge port area .* is above .*120 mm²"),
    ({"power_factor": 92}, r"power factor 92 is above 1: a share: 92 % is 0\.92"),
    ({"phase_resistance": float("nan")}, r"phase resistance nan is not a finite number"),
    ({"discharge_temperature_limit": 115.0}, r"discharge temperature limit .* in kelvin .* typed in °C"),
    ({"lowest_speed": rpm(9000)}, r"lowest speed 9,000 r/min is not below the highest, 8,600 r/min: .*swapped"),
    ({"torque_constant": "strong"}, r"torque constant 'strong' is not a number"),
]


@pytest.mark.parametrize(("wrong", "message"), SPECS, ids=lambda case: str(case)[:40])
def test_a_machine_that_cannot_be(wrong, message):
    with pytest.raises(OutOfRangeError, match=message):
        replace(VAN, **wrong)


def test_all_faults_of_a_machine_are_told_at_once():
    with pytest.raises(OutOfRangeError) as caught:
        replace(VAN, displacement=0, power_factor=2.0, friction_torque=-1.0)
    assert len(caught.value.problems) == 3


GOOD = {
    "suction_pressure": 3.4e5, "suction_temperature": celsius(13), "discharge_pressure": 13e5, "speed": rpm(4000),
}  # fmt: skip


def run(spec=VAN, **changes):
    given = GOOD | changes
    suction = stream_at("R-1234yf", p=given.pop("suction_pressure"), T=given.pop("suction_temperature"))
    return solve_compressor(spec, suction, CompressorConditions(**given))


CONDITIONS = [
    (
        {"suction_pressure": 14e5},
        r"suction pressure 14\.00 bar abs is not below the discharge pressure, 13\.00 bar abs: .*swapped",
    ),
    ({"discharge_pressure": 60e5}, r"pressure ratio 17\.65 is outside 1\.02 to 15"),
    ({"suction_temperature": celsius(95)}, r"suction temperature 95\.0 °C is above 80\.0 °C"),
    (
        {"suction_temperature": celsius(1)},
        r"suction temperature 1\.0 °C is not above the dew point, .*liquid would come",
    ),
    ({"speed": 0.0}, r"speed 0 r/min is below .* a standing compressor pumps nothing"),
    ({"speed": -5.0}, r"speed .48 r/min is below"),
    ({"speed": rpm(12000)}, r"speed 12,000 r/min is above 8,600 r/min: outside the range the maker allows"),
    ({"speed": rpm(300)}, r"speed 300 r/min is below 800 r/min"),
    ({"supply_voltage": 12.0}, r"supply voltage 12 V is below 40 V: .*not of the 12-volt system"),
    ({"ambient_temperature": 35.0}, r"air round the compressor .* typed in °C"),
]


@pytest.mark.parametrize(("wrong", "message"), CONDITIONS, ids=lambda case: str(case)[:40])
def test_conditions_that_cannot_be(wrong, message):
    with pytest.raises(OutOfRangeError, match=message):
        run(**wrong)


def test_a_suction_stream_that_cannot_be():
    with pytest.raises(UnknownNameError, match="R-12"):
        stream_at("R-12", p=3e5, T=celsius(13))
    conditions = CompressorConditions(discharge_pressure=13e5, speed=rpm(4000))
    with pytest.raises(OutOfRangeError, match=r"suction pressure .* is below .*typed in bar"):
        solve_compressor(VAN, Stream(refrigerant="R-1234yf", pressure=3.4, enthalpy=4e5), conditions)


def test_a_battery_too_low_for_the_speed_is_no_number():
    with pytest.raises(NoSolutionError, match=r"voltage between the motor lines 256 V .*177 V .* of 250 V direct"):
        run(speed=rpm(8000), supply_voltage=250.0)


def test_a_leak_that_wins_is_no_number():
    with pytest.raises(NoSolutionError, match=r"(leak|gas in the compressor) .*more speed"):
        run(replace(VAN, leakage_area=4e-6), speed=rpm(900))


def test_a_port_that_throttles_too_much_is_no_number():
    with pytest.raises(NoSolutionError, match="suction port takes .* wider port"):
        run(replace(VAN, suction_port_area=1e-5))


MOUNTS = [
    ({"mass": 0.0}, r"mass on the mounts .* is below"),
    ({"mass": 6500.0}, r"mass on the mounts .* is above .*7 kg is 7"),
    ({"stiffness": 40.0}, r"stiffness of a mount .* is below .*40 N/mm is 40,000 N/m"),
    ({"count": 0}, r"number of mounts 0 is not a whole number from 1 to 12"),
    ({"count": 2.5}, r"number of mounts 2\.5 is not"),
    ({"damping_ratio": 10}, r"damping ratio 10 is above 1: a share: 10 % is 0\.1"),
    ({"unbalance": 30.0}, r"unbalance .* is above .*30 g mm is 3e-5"),
]


@pytest.mark.parametrize(("wrong", "message"), MOUNTS, ids=lambda case: str(case)[:40])
def test_mounts_that_cannot_be(wrong, message):
    with pytest.raises(OutOfRangeError, match=message):
        MountSpec(**{"mass": 6.5, "stiffness": 40e3} | wrong)


def test_a_speed_in_the_wrong_unit_is_told():
    with pytest.raises(OutOfRangeError, match=r"speed .* is above .*6000 r/min is 628 rad/s"):
        solve_mount(MountSpec(mass=6.5, stiffness=40e3), speed=8000.0)


INSULATIONS = [
    ({"voltage": 0.0}, r"working voltage .* is below"),
    ({"compressor": 0.0}, r"insulation of the compressor .* is below .*2 MΩ is 2e6"),
    ({"others": -5.0}, r"insulation of the other parts .* is below"),
    ({"circuit": "AC"}, r"circuit 'AC' is not known: use one of"),
]


@pytest.mark.parametrize(("wrong", "message"), INSULATIONS, ids=lambda case: str(case)[:40])
def test_insulation_that_cannot_be(wrong, message):
    with pytest.raises(OutOfRangeError, match=message):
        InsulationSpec(**{"voltage": 400.0, "compressor": 1e6, "others": 1e6} | wrong)
