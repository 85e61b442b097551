"""What the panels of the internal heat exchanger share: the cycle around it, and how changes are written."""

from thermo_kit.errors import OutOfRangeError, Problem
from thermo_kit.panels.controls import NumberControl
from thermo_kit.substances import Refrigerant
from thermo_kit.systems import CycleSpec
from thermo_kit.units import bar, celsius

EVAPORATING = NumberControl(
    "evaporating_temperature", "Evaporating temperature", "temperature",
    low=celsius(-30), high=celsius(20), step=0.5, us_step=1,
)  # fmt: skip
CONDENSING = NumberControl(
    "condensing_temperature", "Condensing temperature", "temperature",
    low=celsius(25), high=celsius(75), step=0.5, us_step=1,
    help="R-744 above its critical temperature is cooled as a gas instead.",
)  # fmt: skip
SUPERHEAT = NumberControl("superheat", "Superheat", "temperature_difference", low=0.0, high=20.0, step=0.5, us_step=1)
SUBCOOLING = NumberControl(
    "subcooling", "Subcooling", "temperature_difference", low=0.0, high=20.0, step=0.5, us_step=1,
    help="At the condenser outlet, before the exchanger.",
)  # fmt: skip
EFFICIENCY = NumberControl("isentropic_efficiency", "Isentropic efficiency", "ratio", low=0.4, high=1.0, step=0.01)
GAS_COOLER = NumberControl(
    "gas_cooler_pressure", "Gas cooler pressure", "pressure", low=bar(75), high=bar(140), step=0.5e5, us_step=10,
    decimals=1, help="For R-744 only.",
)  # fmt: skip
LIMIT = NumberControl(
    "discharge_limit", "Hot gas limit", "temperature", low=celsius(60), high=celsius(170), step=1, us_step=2,
    decimals=0, help="What compressor and oil stand; the maker says.",
)  # fmt: skip


def spec_of(settings):
    """Return the cycle around the exchanger; one that cannot condense gets a gas cooler."""
    critical = Refrigerant(settings.refrigerant).critical_temperature
    high = {"condensing_temperature": settings.condensing_temperature, "subcooling": settings.subcooling}
    if settings.condensing_temperature > critical - 1.0:
        if settings.refrigerant != "R-744":
            raise OutOfRangeError(
                Problem(
                    "condensing temperature", "is too high", f"for {settings.refrigerant}, which cannot condense there",
                    "lower it",
                )
            )  # fmt: skip
        high = {
            "gas_cooler_pressure": settings.gas_cooler_pressure,
            "gas_cooler_outlet_temperature": settings.condensing_temperature - settings.subcooling,
        }
    return CycleSpec(
        refrigerant=settings.refrigerant,
        evaporating_temperature=settings.evaporating_temperature,
        superheat=settings.superheat,
        isentropic_efficiency=settings.isentropic_efficiency,
        **high,
    )


def signed(share):
    """Write a change as per cent with its sign; share [-].

    Examples
    --------
    >>> signed(-0.021)
    '−2.1 %'
    """
    return f"{round(share * 100, 1) + 0.0:+.1f} %".replace("-", "−")


def from_to(before, after, kind, look):
    """Write a value without and with the exchanger; before [SI unit of the kind], after [SI unit of the kind]."""
    first, second = look.text(before, kind), look.text(after, kind)
    return f"{first.partition(' ')[0]} → {second}"


def effect_rows(effect, look):
    """Return what an exchanger changes, as rows of a table."""
    bare, own = effect.without, effect.with_exchanger
    return (
        ("Valve inlet", from_to(bare.points[3].state.T, own.points[3].state.T, "temperature", look)),
        ("Compressor inlet", from_to(bare.points[0].state.T, own.points[0].state.T, "temperature", look)),
        ("Hot gas", from_to(bare.discharge_temperature, own.discharge_temperature, "temperature", look)),
        ("Cooling per mass", signed(effect.refrigerating_effect_change)),
        ("Flow, same compressor", signed(effect.mass_flow_change)),
        ("Cooling, same compressor", signed(effect.volumetric_capacity_change)),
        ("Work per mass", signed(effect.work_change)),
        ("COP", from_to(bare.coefficient_of_performance, own.coefficient_of_performance, "ratio", look)),
        ("COP changes by", signed(effect.cop_change)),
    )  # fmt: skip
