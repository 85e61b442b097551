"""Cycles against tespy, an independent general-purpose solver (its property data come from CoolProp too)."""

import pytest

from tests.systems.tespy_cycle import network_of, solve_network
from thermo_kit.systems import CycleSpec, solve_cycle
from thermo_kit.units import celsius

# tespy warns of a change in its next version that does not concern these networks.
pytestmark = pytest.mark.filterwarnings("ignore::FutureWarning")

CASES = (
    CycleSpec(refrigerant="R-134a", evaporating_temperature=celsius(-5), condensing_temperature=celsius(45)),
    CycleSpec(
        refrigerant="R-1234yf", evaporating_temperature=celsius(3), condensing_temperature=celsius(55),
        superheat=6, subcooling=5, isentropic_efficiency=0.68,
    ),
    CycleSpec(
        refrigerant="R-290", evaporating_temperature=celsius(-10), condensing_temperature=celsius(40),
        superheat=8, subcooling=3, isentropic_efficiency=0.72,
        evaporator_pressure_drop=20e3, condenser_pressure_drop=30e3,
    ),
    CycleSpec(
        refrigerant="R-744", evaporating_temperature=celsius(2), gas_cooler_pressure=95e5,
        gas_cooler_outlet_temperature=celsius(37), superheat=5, isentropic_efficiency=0.7,
    ),
)  # fmt: skip


@pytest.mark.parametrize("spec", CASES, ids=lambda spec: spec.refrigerant)
def test_agrees_with_an_independent_solver(spec):
    network, parts = network_of(spec)
    solve_network(network)
    cycle = solve_cycle(spec)
    assert cycle.refrigerating_effect == pytest.approx(parts["evaporator"].Q.val_SI, rel=1e-5)
    assert cycle.compressor_work == pytest.approx(parts["compressor"].P.val_SI, rel=1e-5)
    assert cycle.heat_rejected == pytest.approx(-parts["condenser"].Q.val_SI, rel=1e-5)
    assert cycle.discharge_temperature == pytest.approx(parts["discharge"].T.val_SI, abs=1e-3)
