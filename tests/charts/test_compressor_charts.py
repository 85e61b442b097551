"""Pictures of compressor, mounts and insulation: what is drawn follows the result, words carry what colour carries."""

import re
from dataclasses import replace

import pytest

from tests.charts.told import words
from tests.components.compressor_cases import VAN
from thermo_kit.charts import Look
from thermo_kit.charts.compressor import insulation_picture, map_picture, mount_picture, power_picture
from thermo_kit.components import InsulationSpec, MountSpec, judge_insulation, solve_mount, transmissibility
from thermo_kit.components.compressor import CompressorConditions, efficiency_map, rpm, solve_compressor
from thermo_kit.substances.stream import stream_at
from thermo_kit.units import UnitSystem, barg, celsius
from thermo_kit.units.text import ohms

LOOKS = (Look(), Look(system=UnitSystem.US))
JOB = CompressorConditions(discharge_pressure=barg(13), speed=rpm(4000))
GAS = stream_at("R-1234yf", p=barg(2.4), T=celsius(13))
RUBBER = MountSpec(mass=6.5, stiffness=40e3)
SPEEDS = tuple(rpm(100 * k) for k in range(1, 91))


def run(**changed):
    return solve_compressor(VAN, GAS, replace(JOB, **changed))


def chart():
    return efficiency_map(VAN, GAS)


def mounts(speed=3000, look=LOOKS[0], **changed):
    spec = replace(RUBBER, **changed)
    shares = [transmissibility(speed_ratio=n / spec.natural_speed, damping_ratio=spec.damping_ratio) for n in SPEEDS]
    alone = shares if spec.metal_path_stiffness else None
    named = [(rpm(n), solve_mount(spec, speed=rpm(n)).transmissibility) for n in (900, 8000)]
    return mount_picture(solve_mount(spec, speed=rpm(speed)), SPEEDS, shares, alone, look, named=named)


def test_all_pieces_of_the_power_are_named_and_add_up():
    result = run()
    picture = power_picture(result, Look())
    for name in ("loss-free work", "scroll and leak", "friction", "motor", "inverter"):
        assert name in words(picture) and name in picture.sentence
    watts = [float(x) for x in re.findall(r"(\d\.\d\d) kW", picture.sentence)]
    assert sum(watts[1:]) == pytest.approx(watts[0], abs=0.03)


def test_too_hot_is_told_in_words():
    calm = power_picture(run(), Look())
    hot = power_picture(run(speed=rpm(1600), discharge_pressure=barg(20.5)), Look())
    assert "below the limit" in calm.sentence and "beyond the limit" not in words(calm)
    assert "above the limit" in hot.sentence and "beyond the limit" in words(hot)
    assert calm.still == power_picture(run(speed=rpm(4010)), Look()).still


@pytest.mark.parametrize(
    ("ratio", "verdict"), [(1.6, "over-compression"), (2.3, "matched"), (4.0, "under-compression")]
)
def test_the_pocket_tells_whether_it_fits(ratio, verdict):
    result = run(discharge_pressure=ratio * GAS.pressure)
    picture = map_picture(chart(), result, Look())
    assert verdict in words(picture) and verdict in picture.sentence
    assert ("work for nothing" in words(picture)) == (verdict != "matched")
    assert f"{result.isentropic_efficiency * 100:.0f} % here" in words(picture)


def test_mounts_tell_their_speeds_and_a_metal_path():
    free, touching = mounts(), mounts(metal_path_stiffness=5e6)
    assert "900 r/min: 155 %" in words(free) and "8,000 r/min: 5.3 %" in words(free)
    assert "isolates from 2,119 r/min" in words(free) and "rubber alone" not in words(free)
    assert "rubber alone" in words(touching) and "metal path" in touching.sentence
    beside = words(mounts(speed=8100))
    assert "8,100 r/min: 5.2 %" in beside and "8,000 r/min" not in beside


def test_insulation_tells_its_verdict():
    bad = insulation_picture(judge_insulation(InsulationSpec(voltage=400.0, compressor=1.5e5, others=2e6)), Look())
    good = insulation_picture(judge_insulation(InsulationSpec(voltage=400.0, compressor=2e7, others=2e6)), Look())
    assert "TOO LITTLE" in words(bad) and "does not reach" in bad.sentence
    assert "enough" in words(good) and "It reaches" in good.sentence
    assert [ohms(x) for x in (9500.0, 2.4e6, 45e6, 2e9)] == ["9.5 kΩ", "2.40 MΩ", "45 MΩ", "2.0 GΩ"]
