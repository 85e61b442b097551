"""A vehicle's circuit against tespy: conductances, swept volume and efficiency as ours, pressures found by it."""

import math
from itertools import pairwise

import pytest

from tests.systems.tespy_cycle import ENGINE_NAMES, solve_network
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
    from tespy.components import Compressor, CycleCloser, SimpleHeatExchanger, Valve
    from tespy.connections import Connection
    from tespy.networks import Network

    day = Conditions()
    one = solve_vehicle(vehicle(name), day)
    core, coil, flow = one.parts["condenser"], one.parts["evaporator"], one.mass_flow
    fluid = Refrigerant(one.spec.refrigerant)
    suction = fluid.at(p=one.suction_pressure, T=one.suction_temperature)
    ideal = fluid.at(p=core.inlet.pressure, s=suction.s).h
    gain = core.inlet.enthalpy - suction.h
    air = coil.conditions.air_temperature
    end = coil.outlet.at(pressure=one.suction_pressure)

    network = Network(iterinfo=False)
    network.units.set_defaults(pressure="Pa", temperature="K", enthalpy="J/kg")
    parts = (
        Compressor("compressor"),
        SimpleHeatExchanger("condenser"),
        Valve("valve"),
        SimpleHeatExchanger("evaporator"),
    )
    compressor, condenser, _, evaporator = parts
    closer = CycleCloser("closer")
    ways = (closer, *parts, closer)
    lines = [Connection(a, "out1", b, "in1") for a, b in pairwise(ways)]
    network.add_conns(*lines)
    # First guesses a tenth off and more: the pressures are to be found.
    lines[0].set_attr(
        fluid={ENGINE_NAMES[one.spec.refrigerant]: 1}, v=flow / suction.rho, p0=0.9 * one.suction_pressure
    )
    lines[1].set_attr(p0=1.15 * one.discharge_pressure)
    compressor.set_attr(eta_s=(ideal - suction.h) / gain)
    condenser.set_attr(
        pr=core.outlet.pressure / core.inlet.pressure, Tamb=day.ambient_temperature,
        kA=conductance(core.heat_rejection, core.inlet, core.outlet, day.ambient_temperature),
    )  # fmt: skip
    evaporator.set_attr(
        pr=one.suction_pressure / coil.feed.pressure, Tamb=air,
        kA=conductance(one.cooling_capacity, coil.feed, end, air),
    )  # fmt: skip
    lines[2].set_attr(td_bubble=fluid.bubble_temperature(core.outlet.pressure) - core.outlet.state.T)
    lines[0].set_attr(td_dew=suction.T - fluid.dew_temperature(suction.p))
    solve_network(network)

    assert lines[0].p.val_SI == pytest.approx(one.suction_pressure, rel=5e-3)
    assert lines[1].p.val_SI == pytest.approx(core.inlet.pressure, rel=5e-3)
    assert lines[0].m.val_SI == pytest.approx(flow, rel=5e-3)
    assert evaporator.Q.val_SI == pytest.approx(one.cooling_capacity, rel=5e-3)
    assert compressor.P.val_SI == pytest.approx(flow * gain, rel=5e-3)
    assert lines[1].T.val_SI == pytest.approx(one.discharge_temperature, abs=0.3)
