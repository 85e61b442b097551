"""Bad input to compressor, mounts and insulation: each message names the field, the limit and the likely slip."""

from dataclasses import replace

import pytest

from tests.components.compressor_cases import VAN
from thermo_kit.components import InsulationSpec, MountSpec, solve_compressor, solve_mount
from thermo_kit.components.compressor import CompressorConditions, rpm
from thermo_kit.errors import NoSolutionError, OutOfRangeError, UnknownNameError
from thermo_kit.substances.stream import Stream, stream_at
from thermo_kit.units import celsius


def test_a_machine_whose_speeds_are_upside_down():
    with pytest.raises(OutOfRangeError, match=r"lowest speed 9,000 r/min is not below the highest, 8,600 r/min"):
        replace(VAN, lowest_speed=rpm(9000))


GOOD = {
    "suction_pressure": 3.4e5, "suction_temperature": celsius(13), "discharge_pressure": 13e5, "speed": rpm(4000),
}  # fmt: skip


def run(spec=VAN, **changes):
    given = GOOD | changes
    suction = stream_at("R-1234yf", p=given.pop("suction_pressure"), T=given.pop("suction_temperature"))
    return solve_compressor(spec, suction, CompressorConditions(**given))


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


def test_a_speed_in_the_wrong_unit_is_told():
    with pytest.raises(OutOfRangeError, match=r"speed .* is above .*6000 r/min is 628 rad/s"):
        solve_mount(MountSpec(mass=6.5, stiffness=40e3), speed=8000.0)


def test_a_circuit_that_is_not_known():
    with pytest.raises(OutOfRangeError, match=r"circuit 'AC' is not known: use one of"):
        InsulationSpec(voltage=400.0, compressor=1e6, others=1e6, circuit="AC")
