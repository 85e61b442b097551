"""Bad input to compressor, mounts and insulation: each message names the field, the limit and the likely slip."""

from dataclasses import replace

import pytest

from tests.components.compressor_cases import VAN
from thermo_kit.components import solve_compressor
from thermo_kit.components.compressor import CompressorConditions, rpm
from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.substances.stream import Stream, stream_at
from thermo_kit.units import celsius

GOOD = {
    "suction_pressure": 3.4e5, "suction_temperature": celsius(13), "discharge_pressure": 13e5, "speed": rpm(4000),
}  # fmt: skip


def run(spec=VAN, **changes):
    given = GOOD | changes
    suction = stream_at("R-1234yf", p=given.pop("suction_pressure"), T=given.pop("suction_temperature"))
    return solve_compressor(spec, suction, CompressorConditions(**given))


def test_a_suction_stream_that_cannot_be():
    conditions = CompressorConditions(discharge_pressure=13e5, speed=rpm(4000))
    with pytest.raises(OutOfRangeError, match=r"suction pressure .* is below .*typed in bar"):
        solve_compressor(VAN, Stream(refrigerant="R-1234yf", pressure=3.4, enthalpy=4e5), conditions)


def test_a_leak_that_wins_is_no_number():
    with pytest.raises(NoSolutionError, match=r"(leak|gas in the compressor) .*more speed"):
        run(replace(VAN, leakage_area=4e-6), speed=rpm(900))


def test_a_port_that_throttles_too_much_is_no_number():
    with pytest.raises(NoSolutionError, match="suction port takes .* wider port"):
        run(replace(VAN, suction_port_area=1e-5))
