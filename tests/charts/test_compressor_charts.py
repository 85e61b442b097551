"""Pictures of compressor, mounts and insulation: what is drawn follows the result, words carry what colour carries."""

import functools
import re
from dataclasses import replace

import pytest

from tests.charts.told import tells
from tests.components.compressor_cases import VAN
from thermo_kit.charts import Look, compressor
from thermo_kit.components import InsulationSpec, MountSpec, judge_insulation, solve_mount, transmissibility
from thermo_kit.components.compressor import CompressorConditions, efficiency_map, rpm, solve_compressor
from thermo_kit.substances.stream import stream_at
from thermo_kit.units import barg, celsius
from thermo_kit.units.text import ohms

JOB = CompressorConditions(discharge_pressure=barg(13), speed=rpm(4000))
GAS = stream_at("R-1234yf", p=barg(2.4), T=celsius(13))
RUBBER = MountSpec(mass=6.5, stiffness=40e3)
SPEEDS = tuple(rpm(100 * k) for k in range(1, 91))
PIECES = "loss-free work; scroll and leak; friction; motor; inverter"


def run(**changed):
    return solve_compressor(VAN, GAS, replace(JOB, **changed))


@functools.cache
def chart():
    return efficiency_map(VAN, GAS)


def mounts(result, look):
    spec = result.spec
    shares = [transmissibility(speed_ratio=n / spec.natural_speed, damping_ratio=spec.damping_ratio) for n in SPEEDS]
    alone = shares if spec.metal_path_stiffness else None
    named = [(rpm(n), solve_mount(spec, speed=rpm(n)).transmissibility) for n in (900, 8000)]
    return compressor.mount_picture(result, SPEEDS, shares, alone, look, named=named)


def test_the_power_falls_into_named_pieces_that_add_up_and_too_hot_is_said():
    tells(compressor.power_picture, run(), PIECES, f"{PIECES}; below the limit", "beyond the limit")
    hot = run(speed=rpm(1600), discharge_pressure=barg(20.5))
    tells(compressor.power_picture, hot, "beyond the limit", "above the limit")
    watts = re.findall(r"(\d\.\d\d) kW", compressor.power_picture(run(), Look()).sentence)
    assert sum(map(float, watts[1:])) == pytest.approx(float(watts[0]), abs=0.03)


@pytest.mark.parametrize(
    ("ratio", "verdict", "seen", "unseen"),
    [
        (1.6, "over-compression", "work for nothing", ""),
        (2.3, "matched", "", "work for nothing"),
        (4.0, "under-compression", "work for nothing", ""),
    ],
)
def test_the_pocket_tells_whether_it_fits(ratio, verdict, seen, unseen):
    result = run(discharge_pressure=ratio * GAS.pressure)
    draw = functools.partial(compressor.map_picture, chart())
    tells(draw, result, f"{verdict}; {{isentropic_efficiency:share}} here; {seen}", verdict, unseen)


def test_mounts_tell_their_speeds_and_a_metal_path():
    free = "900 r/min: 155 %; 8,000 r/min: 5.3 %; isolates from 2,119 r/min"
    tells(mounts, solve_mount(RUBBER, speed=rpm(3000)), free, unseen="rubber alone; metal path")
    touching = replace(RUBBER, metal_path_stiffness=5e6)
    tells(mounts, solve_mount(touching, speed=rpm(3000)), "rubber alone", "metal path")
    tells(mounts, solve_mount(RUBBER, speed=rpm(8100)), "8,100 r/min: 5.2 %", unseen="8,000 r/min:")


def test_insulation_tells_its_verdict():
    for own, seen, said in ((1.5e5, "TOO LITTLE", "does not reach"), (2e7, "enough", "It reaches")):
        result = judge_insulation(InsulationSpec(voltage=400.0, compressor=own, others=2e6))
        tells(compressor.insulation_picture, result, seen, said)
    assert [ohms(x) for x in (9500.0, 2.4e6, 45e6, 2e9)] == ["9.5 kΩ", "2.40 MΩ", "45 MΩ", "2.0 GΩ"]
