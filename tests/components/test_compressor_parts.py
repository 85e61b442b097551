"""Single figures of the compressor, each worked out anew from its inputs and from exact states."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.components import compressor_cases
from tests.components.compressor_cases import BUS, VAN
from thermo_kit.components.compressor import rpm
from thermo_kit.substances import Refrigerant
from thermo_kit.units import celsius


def run(machine="van", refrigerant="R-1234yf", condensing=50.0, speed=4000.0, **spec):
    machine = replace({"van": VAN, "bus": BUS}[machine], **spec)
    return compressor_cases.run(machine, refrigerant, condensing=condensing, speed=speed, voltage=800.0)


some = {
    "machine": st.sampled_from(("van", "bus")), "refrigerant": st.sampled_from(("R-1234yf", "R-134a", "R-290")),
    "condensing": st.floats(35.0, 60.0), "speed": st.floats(2000.0, 6000.0),
}  # fmt: skip


@given(**some)
def test_each_loss_between_battery_and_gas(machine, refrigerant, condensing, speed):
    result = run(machine, refrigerant, condensing, speed)
    spec, turning = result.spec, rpm(speed)
    assert result.shaft_power - result.gas_power == pytest.approx(spec.friction_torque * turning, rel=1e-9)
    assert result.torque * turning == pytest.approx(result.shaft_power)
    assert result.line_current == pytest.approx(result.torque / spec.torque_constant)
    winding = 3.0 * spec.phase_resistance * result.line_current**2
    assert result.motor_power - result.shaft_power == pytest.approx(winding + spec.iron_loss * turning)
    inverter = spec.inverter_loss_share * result.motor_power + spec.inverter_idle_loss
    assert result.electric_power - result.motor_power == pytest.approx(inverter)
    pocket = result.pocket
    fitted = Refrigerant(refrigerant).at(p=pocket.discharge_pressure, s=pocket.entropy).h - pocket.enthalpy
    assert -1e-9 < result.mismatch_loss == pytest.approx(result.gas_power * (1.0 - fitted / pocket.work), abs=1e-6)


@given(**some)
def test_what_is_swept_leaves_or_leaks_and_the_port_throttles_it(machine, refrigerant, condensing, speed):
    result = run(machine, refrigerant, condensing, speed)
    spec, suction = result.spec, result.suction
    swept = spec.displacement * speed / 60.0
    assert result.mass_flow + result.leakage_flow == pytest.approx(swept * result.pocket.density, rel=1e-9)
    density = suction.state.rho
    throttled = (swept * density / spec.suction_port_area) ** 2 / (2.0 * density)
    assert suction.pressure - result.pocket.pressure == pytest.approx(throttled, rel=1e-6)
    behind = result.pocket.discharge_pressure - result.outlet.pressure
    flow = result.mass_flow + result.leakage_flow
    pressed = (flow / spec.discharge_port_area) ** 2 / (2.0 * result.pocket.density * spec.built_in_volume_ratio)
    assert behind == pytest.approx(pressed, rel=1e-6)


@pytest.mark.parametrize("condensing", [12.0, 35.0, 60.0])
@pytest.mark.parametrize("refrigerant", ["R-1234yf", "R-134a", "R-290"])
def test_the_leak_is_that_of_a_loss_free_nozzle_with_exact_states(refrigerant, condensing):
    """The largest flow over all throat pressures: choked or not, whatever the gas."""
    result = run(refrigerant=refrigerant, condensing=condensing)
    fluid, pocket = Refrigerant(refrigerant), result.pocket
    start = fluid.at(p=pocket.discharge_pressure, s=pocket.entropy)

    def flux(p):
        throat = fluid.at(p=p, s=pocket.entropy)
        return throat.rho * math.sqrt(2.0 * max(start.h - throat.h, 0.0))

    span = pocket.discharge_pressure - pocket.pressure
    largest = max(flux(pocket.pressure + span * k / 200) for k in range(201))
    assert result.leakage_flow == pytest.approx(result.spec.leakage_area * largest, rel=0.05)


@given(loss=st.floats(0.5, 6.0), condensing=st.floats(40.0, 60.0))
def test_the_hot_end_loses_heat_by_its_mean_temperature(loss, condensing):
    result = run(condensing=condensing, heat_loss_coefficient=loss)
    before = result.outlet.enthalpy + result.heat_loss / result.mass_flow
    hottest = Refrigerant("R-1234yf").at(p=result.outlet.pressure, h=before).T
    mean = 0.5 * (hottest + result.discharge_temperature)
    assert result.heat_loss == pytest.approx(loss * (mean - celsius(35)), rel=1e-3)
    assert result.discharge_temperature < hottest
