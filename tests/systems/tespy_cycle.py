"""The same cycle in a general-purpose network solver, as an independent computation."""

import logging
import warnings
from itertools import pairwise

from thermo_kit.substances import Refrigerant

ENGINE_NAMES = {"R-134a": "R134a", "R-1234yf": "R1234yf", "R-290": "n-Propane", "R-744": "CO2"}


def ring():
    """Return a network, its compressor, condenser, valve and evaporator, and the lines before each and to the end."""
    logging.getLogger("TESPyLogger").setLevel(logging.CRITICAL)
    from tespy.components import Compressor, CycleCloser, SimpleHeatExchanger, Valve
    from tespy.connections import Connection
    from tespy.networks import Network

    network = Network(iterinfo=False)
    network.units.set_defaults(pressure="Pa", temperature="K", enthalpy="J/kg")
    kinds = {
        "compressor": Compressor,
        "condenser": SimpleHeatExchanger,
        "valve": Valve,
        "evaporator": SimpleHeatExchanger,
    }
    parts = [kind(name) for name, kind in kinds.items()]
    closer = CycleCloser("closer")
    lines = [Connection(a, "out1", b, "in1") for a, b in pairwise((closer, *parts, closer))]
    network.add_conns(*lines)
    return network, parts, lines


def network_of(spec):
    """A network of compressor, condenser, valve and evaporator that meets a CycleSpec, ready to be solved."""
    network, (compressor, condenser, _, evaporator), (suction, discharge, liquid, *_) = ring()
    fluid = Refrigerant(spec.refrigerant)
    low = fluid.dew_pressure(spec.evaporating_temperature)
    transcritical = spec.gas_cooler_pressure is not None
    high = spec.gas_cooler_pressure if transcritical else fluid.bubble_pressure(spec.condensing_temperature)
    warm = spec.evaporating_temperature + spec.superheat
    suction.set_attr(
        fluid={ENGINE_NAMES[spec.refrigerant]: 1}, m=1.0, p=low, **{"T": warm} if spec.superheat else {"x": 1}
    )
    if transcritical:
        cooled = {"T": spec.gas_cooler_outlet_temperature}
    else:
        cooled = {"T": spec.condensing_temperature - spec.subcooling} if spec.subcooling else {"x": 0}
    liquid.set_attr(p=high, **cooled)
    compressor.set_attr(eta_s=spec.isentropic_efficiency)
    condenser.set_attr(pr=high / (high + spec.condenser_pressure_drop))
    evaporator.set_attr(pr=low / (low + spec.evaporator_pressure_drop))
    return network, {"compressor": compressor, "evaporator": evaporator, "condenser": condenser, "discharge": discharge}


def solve_network(network):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        network.solve("design")
