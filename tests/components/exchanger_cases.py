"""Exchangers and streams that the tests of the internal heat exchanger share."""

from dataclasses import replace

from hypothesis import strategies as st

from thermo_kit.components.internal_heat_exchanger import ExchangerSpec
from thermo_kit.fleet import part_of
from thermo_kit.substances import Refrigerant, stream_at
from thermo_kit.units import celsius

SUBCRITICAL = ("R-134a", "R-1234yf", "R-152a", "R-290")


def van_exchanger(length=1.2):
    return replace(part_of("parcel_van", "internal_heat_exchanger"), length=length)


def bus_exchanger(length=1.5):
    return replace(part_of("heat_pump_bus", "internal_heat_exchanger"), length=length)


def streams(name="R-1234yf", *, evaporating=2.0, condensing=50.0, superheat=5.0, subcooling=5.0, mass_flow=0.03):
    fluid = Refrigerant(name)
    p, T = fluid.bubble_pressure(celsius(condensing)), celsius(condensing - subcooling)
    liquid = stream_at(name, mass_flow, p=p, **({"T": T} if subcooling else {"x": 0.0}))
    p, T = fluid.dew_pressure(celsius(evaporating)), celsius(evaporating + superheat)
    return liquid, stream_at(name, mass_flow, p=p, **({"T": T} if superheat else {"x": 1.0}))


def gas_streams(*, pressure=95e5, outlet=40.0, mass_flow=0.05):
    dew = Refrigerant("R-744").dew_pressure(celsius(2.0))
    return (
        stream_at("R-744", mass_flow, p=pressure, T=celsius(outlet)),
        stream_at("R-744", mass_flow, p=dew, T=celsius(7.0)),
    )


@st.composite
def tubes(draw):
    bore, wall = draw(st.floats(0.012, 0.02)), draw(st.floats(0.0006, 0.002))
    return ExchangerSpec(
        length=draw(st.floats(0.05, 4.0)),
        inner_diameter=bore,
        wall_thickness=wall,
        outer_diameter=bore + 2 * wall + 2 * draw(st.floats(0.001, 0.004)),
        vapour_path=draw(st.sampled_from(("inner tube", "annulus"))),
    )


def any_streams():
    return st.builds(
        streams,
        st.sampled_from(SUBCRITICAL),
        evaporating=st.floats(-10, 12),
        condensing=st.floats(35, 65),
        superheat=st.sampled_from((0.0, 3.0, 10.0)),
        subcooling=st.sampled_from((0.0, 2.0, 8.0)),
        mass_flow=st.floats(0.004, 0.02),
    )
