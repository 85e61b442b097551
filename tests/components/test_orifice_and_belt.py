"""The short tube and the belt compressor: published values, limits and refusals."""

import pytest

from thermo_kit.components import BeltCompressorSpec, OrificeSpec, run_belt_compressor, short_tube_flow
from thermo_kit.errors import NoSolutionError
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.stream import stream_at

TUBE = OrificeSpec(diameter=1.35e-3, length=12.7e-3)
R134A = Refrigerant("R-134a")


def flow(tube, *, condensing, subcooling, boiling=275.15):
    p = R134A.bubble_pressure(condensing)
    liquid = stream_at("R-134a", p=p, T=condensing - subcooling)
    return short_tube_flow(tube, liquid, outlet_pressure=R134A.dew_pressure(boiling))


def test_the_flow_is_choked_and_closes_at_last():
    """Published: -1.1 ± 2 % where the downstream saturation rises from -5 to 10 °C."""
    low, high = (flow(TUBE, condensing=320.15, subcooling=5.6, boiling=T) for T in (268.15, 283.15))
    assert abs(high / low - 1.0) < 0.031
    assert short_tube_flow(TUBE, stream_at("R-134a", p=1e6, h=2.5e5), outlet_pressure=1e6) == 0.0


def test_clearance_eats_up_the_stroke_as_the_ratio_rises():
    machine = BeltCompressorSpec(displacement=150e-6, control="clutch")
    gas = stream_at("R-134a", p=2.5e5, T=280.0)
    runs = [run_belt_compressor(machine, gas, discharge_pressure=p, speed=150.0) for p in (8e5, 14e5, 22e5)]
    filled = [one.volumetric_efficiency for one in runs]
    assert filled[0] > filled[1] > filled[2]
    half = run_belt_compressor(machine, gas, discharge_pressure=14e5, speed=150.0, stroke_share=0.5)
    assert half.outlet.mass_flow == pytest.approx(0.5 * runs[1].outlet.mass_flow)
    assert max(abs(one.energy_closure) for one in runs) < 1e-6
    with pytest.raises(NoSolutionError, match="no room"):
        run_belt_compressor(machine, stream_at("R-134a", p=0.6e5, T=280.0), discharge_pressure=3e6, speed=150.0)


def test_above_the_critical_point_the_short_tube_tells_no_flow():
    with pytest.raises(NoSolutionError, match="critical point"):
        short_tube_flow(TUBE, stream_at("R-134a", p=4.07e6, h=2.5e5), outlet_pressure=3e5)
