"""The same cycle in a general-purpose network solver, as an independent computation."""

import logging
import warnings

from thermo_kit.substances import Refrigerant

ENGINE_NAMES = {"R-134a": "R134a", "R-1234yf": "R1234yf", "R-290": "n-Propane", "R-744": "CO2"}


def network_of(spec):
    """A network of compressor, condenser, valve and evaporator that meets a CycleSpec, ready to be solved."""
    logging.getLogger("TESPyLogger").setLevel(logging.CRITICAL)
    from tespy.components import Compressor, CycleCloser, SimpleHeatExchanger, Valve
    from tespy.connections import Connection
    from tespy.networks import Network

    network = Network(iterinfo=False)
    network.units.set_defaults(pressure="Pa", temperature="K", enthalpy="J/kg")
    compressor, condenser = Compressor("compressor"), SimpleHeatExchanger("condenser")
    valve, evaporator, closer = Valve("valve"), SimpleHeatExchanger("evaporator"), CycleCloser("closer")
    suction = Connection(closer, "out1", compressor, "in1")
    discharge = Connection(compressor, "out1", condenser, "in1")
    liquid = Connection(condenser, "out1", valve, "in1")
    mixture = Connection(valve, "out1", evaporator, "in1")
    outlet = Connection(evaporator, "out1", closer, "in1")
    network.add_conns(suction, discharge, liquid, mixture, outlet)

    fluid = Refrigerant(spec.refrigerant)
    low = fluid.dew_pressure(spec.evaporating_temperature)
    transcritical = spec.gas_cooler_pressure is not None
    high = spec.gas_cooler_pressure if transcritical else fluid.bubble_pressure(spec.condensing_temperature)
    suction.set_attr(fluid={ENGINE_NAMES[spec.refrigerant]: 1}, m=1.0, p=low)
    if spec.superheat:
        suction.set_attr(T=spec.evaporating_temperature + spec.superheat)
    else:
        suction.set_attr(x=1)
    liquid.set_attr(p=high)
    if transcritical:
        liquid.set_attr(T=spec.gas_cooler_outlet_temperature)
    elif spec.subcooling:
        liquid.set_attr(T=spec.condensing_temperature - spec.subcooling)
    else:
        liquid.set_attr(x=0)
    compressor.set_attr(eta_s=spec.isentropic_efficiency)
    condenser.set_attr(pr=high / (high + spec.condenser_pressure_drop))
    evaporator.set_attr(pr=low / (low + spec.evaporator_pressure_drop))
    return network, {"compressor": compressor, "evaporator": evaporator, "condenser": condenser, "discharge": discharge}


def solve_network(network):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        network.solve("design")
