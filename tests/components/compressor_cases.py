"""Operating points to try a compressor at."""

from dataclasses import replace

from hypothesis import strategies as st

from thermo_kit.components.compressor import CompressorConditions, rpm, solve_compressor
from thermo_kit.fleet import part_of
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.stream import stream_at
from thermo_kit.units import celsius

VAN, BUS = (part_of(vehicle, "compressor") for vehicle in ("parcel_van", "shuttle_bus"))
LOSS_FREE = replace(
    VAN, leakage_area=0.0, suction_port_area=5e-3, discharge_port_area=5e-3, friction_torque=0.0,
    phase_resistance=0.0, iron_loss=0.0, inverter_idle_loss=0.0, inverter_loss_share=0.0, heat_loss_coefficient=0.0,
)  # fmt: skip
TEMPERATURES = {"evaporating": st.floats(-8, 12), "condensing": st.floats(35, 62), "superheat": st.floats(3, 20)}


def gas(refrigerant="R-1234yf", evaporating=3.0, superheat=10.0):
    """Suction gas above its boiling temperature."""
    return stream_at(
        refrigerant, p=Refrigerant(refrigerant).dew_pressure(celsius(evaporating)), T=celsius(evaporating) + superheat
    )


def run(spec=VAN, refrigerant="R-1234yf", evaporating=3.0, superheat=10.0, condensing=50.0, discharge=None, ratio=None,
        speed=4000, voltage=400.0, air=35.0):  # fmt: skip
    """Solve a compressor; discharge [Pa] or ratio stand instead of the condensing temperature."""
    suction = gas(refrigerant, evaporating, superheat)
    if ratio:
        discharge = ratio * suction.pressure
    conditions = CompressorConditions(
        discharge_pressure=discharge or Refrigerant(refrigerant).dew_pressure(celsius(condensing)), speed=rpm(speed),
        supply_voltage=voltage, ambient_temperature=celsius(air),
    )  # fmt: skip
    return solve_compressor(spec, suction, conditions)
