"""Exchangers and streams that the tests of the internal heat exchanger share."""

from hypothesis import strategies as st

from thermo_kit.components.internal_heat_exchanger import ExchangerSpec, ExchangerStreams
from thermo_kit.substances import Refrigerant
from thermo_kit.units import celsius

SUBCRITICAL = ("R-134a", "R-1234yf", "R-152a", "R-290")


def streams(name="R-1234yf", *, evaporating=2.0, condensing=50.0, superheat=5.0, subcooling=5.0, mass_flow=0.03):
    fluid = Refrigerant(name)
    return ExchangerStreams(
        refrigerant=name,
        mass_flow=mass_flow,
        liquid_pressure=fluid.bubble_pressure(celsius(condensing)),
        vapour_pressure=fluid.dew_pressure(celsius(evaporating)),
        liquid_temperature=celsius(condensing - subcooling) if subcooling else None,
        vapour_temperature=celsius(evaporating + superheat) if superheat else None,
    )


def gas_streams(*, pressure=95e5, outlet=40.0, mass_flow=0.05):
    return ExchangerStreams(
        refrigerant="R-744",
        mass_flow=mass_flow,
        liquid_pressure=pressure,
        liquid_temperature=celsius(outlet),
        vapour_pressure=Refrigerant("R-744").dew_pressure(celsius(2.0)),
        vapour_temperature=celsius(7.0),
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


@st.composite
def any_streams(draw):
    return streams(
        draw(st.sampled_from(SUBCRITICAL)),
        evaporating=draw(st.floats(-10, 12)),
        condensing=draw(st.floats(35, 65)),
        superheat=draw(st.sampled_from((0.0, 3.0, 10.0))),
        subcooling=draw(st.sampled_from((0.0, 2.0, 8.0))),
        mass_flow=draw(st.floats(0.004, 0.02)),
    )
