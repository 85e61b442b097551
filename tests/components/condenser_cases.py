"""Operating points that the condenser's tests share."""

import functools

from hypothesis import strategies as st

from thermo_kit.components.condenser import AirConditions, CompressorDuty, condensing_pressure_for, solve_condenser
from thermo_kit.fleet import part_of
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.stream import stream_at

CORES = {"R-1234yf": part_of("parcel_van", "condenser"), "R-134a": part_of("shuttle_bus", "condenser")}
DUTIES = {"R-1234yf": 4500.0, "R-134a": 14000.0}
FLOWS = {"R-1234yf": 0.040, "R-134a": 0.100}
NAMES = tuple(CORES)
WARM = AirConditions(temperature=308.15)


def inlet(name, condensing_temperature, *, flow=None, superheat=22.0):
    pressure = Refrigerant(name).dew_pressure(condensing_temperature)
    return stream_at(name, flow or FLOWS[name], p=pressure, T=condensing_temperature + superheat)


def solve(name, condensing_temperature, *, air=WARM, core=None, flow=None, superheat=22.0):
    hot = inlet(name, condensing_temperature, flow=flow, superheat=superheat)
    return solve_condenser(core or CORES[name], hot, air)


def duty(name, share=1.0):
    return CompressorDuty(refrigerant=name, evaporating_temperature=278.15, cooling_capacity=share * DUTIES[name])


@functools.cache
def head(name, core, air=WARM, share=1.0):
    return condensing_pressure_for(core, duty(name, share), air)


names = st.sampled_from(NAMES)
temperatures = st.floats(316.15, 343.15)
shares = st.floats(0.5, 1.3)
