"""A vehicle's circuit against tespy: conductances, swept volume and efficiency as ours, pressures found by it."""

import math

import pytest

from tests.systems.tespy_cycle import ENGINE_NAMES, ring, solve_network
from thermo_kit.fleet import vehicle
from thermo_kit.substances import Refrigerant
from thermo_kit.systems import Conditions, solve_vehicle

pytestmark = pytest.mark.filterwarnings("ignore::FutureWarning")


def conductance(heat, inlet, outlet, air):
    """Heat over the logarithmic mean difference to air of one temperature, as tespy's simple exchanger has it."""
    first, last = inlet.state.T - air, outlet.state.T - air
    return heat / abs((first - last) / math.log(first / last))


@pytest.mark.parametrize("name", ("older_van", "city_van", "shuttle_bus"))
def test_an_equal_circuit_settles_at_the_same_pressures(name):
    day = Conditions()
    one = solve_vehicle(vehicle(name), day)
    core, coil, flow = one.parts["condenser"], one.parts["evaporator"], one.mass_flow
    fluid = Refrigerant(one.spec.refrigerant)
    suction = fluid.at(p=one.suction_pressure, T=one.suction_temperature)
    ideal = fluid.at(p=core.inlet.pressure, s=suction.s).h
    gain = core.inlet.enthalpy - suction.h
    air = coil.conditions.air_temperature
    end = coil.outlet.at(pressure=one.suction_pressure)

    network, (compressor, condenser, _, evaporator), (first, hot, liquid, *_) = ring()
    # First guesses a tenth off and more: the pressures are to be found.
    drawn = flow / suction.rho
    first.set_attr(fluid={ENGINE_NAMES[one.spec.refrigerant]: 1}, v=drawn, p0=0.9 * one.suction_pressure)
    hot.set_attr(p0=1.15 * one.discharge_pressure)
    compressor.set_attr(eta_s=(ideal - suction.h) / gain)
    condenser.set_attr(
        pr=core.outlet.pressure / core.inlet.pressure, Tamb=day.ambient_temperature,
        kA=conductance(core.heat_rejection, core.inlet, core.outlet, day.ambient_temperature),
    )  # fmt: skip
    evaporator.set_attr(
        pr=one.suction_pressure / coil.feed.pressure, Tamb=air,
        kA=conductance(one.cooling_capacity, coil.feed, end, air),
    )  # fmt: skip
    liquid.set_attr(td_bubble=fluid.bubble_temperature(core.outlet.pressure) - core.outlet.state.T)
    first.set_attr(td_dew=suction.T - fluid.dew_temperature(suction.p))
    solve_network(network)

    assert first.p.val_SI == pytest.approx(one.suction_pressure, rel=5e-3)
    assert hot.p.val_SI == pytest.approx(core.inlet.pressure, rel=5e-3)
    assert first.m.val_SI == pytest.approx(flow, rel=5e-3)
    assert evaporator.Q.val_SI == pytest.approx(one.cooling_capacity, rel=5e-3)
    assert compressor.P.val_SI == pytest.approx(flow * gain, rel=5e-3)
    assert hot.T.val_SI == pytest.approx(one.discharge_temperature, abs=0.3)
