"""The learner writes down a cycle by its temperatures and sees it on the pressure-enthalpy diagram."""

from dataclasses import dataclass, replace

from thermo_kit.errors import OutOfRangeError, Problem
from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.cycle_words import cycle_rows, mass_word
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.systems import CycleSpec, solve_cycle
from thermo_kit.units import bar, barg, celsius

CONDENSER, GAS_COOLER = "condenser", "gas cooler"


@dataclass(frozen=True, kw_only=True)
class CycleSettings:
    """A refrigerant [name] and its cycle: temperatures [K], pressure [Pa], efficiency and effectiveness [-]."""

    refrigerant: str = "R-134a"
    high_side: str = CONDENSER
    evaporating_temperature: float = celsius(0)
    condensing_temperature: float = celsius(45)
    superheat: float = 8.0
    subcooling: float = 6.0
    gas_cooler_pressure: float = barg(95)
    gas_cooler_outlet_temperature: float = celsius(38)
    isentropic_efficiency: float = 0.7
    internal_heat_exchanger_effectiveness: float = 0.0
    with_loss_free: bool = False


def spec_of(settings):
    """Return the cycle that the settings ask for."""
    if settings.high_side == GAS_COOLER:
        high = {
            "gas_cooler_pressure": settings.gas_cooler_pressure,
            "gas_cooler_outlet_temperature": settings.gas_cooler_outlet_temperature,
        }
    else:
        high = {"condensing_temperature": settings.condensing_temperature, "subcooling": settings.subcooling}
    return CycleSpec(
        refrigerant=settings.refrigerant,
        evaporating_temperature=settings.evaporating_temperature,
        superheat=settings.superheat,
        isentropic_efficiency=settings.isentropic_efficiency,
        internal_heat_exchanger_effectiveness=settings.internal_heat_exchanger_effectiveness,
        **high,
    )


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.pressure_enthalpy import diagram
    from thermo_kit.substances.lines import property_lines

    _refuse_condensing_above_critical(settings, look)
    spec = spec_of(settings)
    cycles, names = [solve_cycle(spec)], ()
    if settings.with_loss_free:
        cycles.append(solve_cycle(replace(spec, isentropic_efficiency=1.0)))
        names = ("loss-free",)
    lines = property_lines(settings.refrigerant, look.system)
    picture = diagram(lines, look, cycles=tuple(cycles), names=names)
    caution = Refrigerant(settings.refrigerant).facts.caution
    return Description((picture,), _sentence(cycles[0], look), cycle_rows(cycles[0], look), (*cycles[0].notes, caution))


def _refuse_condensing_above_critical(settings, look):
    critical = Refrigerant(settings.refrigerant).critical_temperature
    if settings.high_side == CONDENSER and settings.condensing_temperature >= critical:
        raise OutOfRangeError(
            Problem(
                "Condensing temperature",
                look.text(settings.condensing_temperature, "temperature"),
                f"is not below {look.text(critical, 'temperature')}, critical for {settings.refrigerant}",
                "choose the gas cooler as high side, or a lower condensing temperature",
            )
        )


def _sentence(cycle, look):
    taken, work, given = (
        look.text(value, "specific_enthalpy")
        for value in (cycle.refrigerating_effect, cycle.compressor_work, cycle.heat_rejected)
    )
    times = f"{cycle.coefficient_of_performance:.2f}"
    return (
        f"Each {mass_word(look)} of {cycle.refrigerant} takes in {taken} in the evaporator, costs {work} of compressor "
        f"work and gives away {given} on the high side. The cooling is {times} times the work. "
        f"The hot gas leaves at {look.text(cycle.discharge_temperature, 'temperature')}."
    )


def follow(settings, changed):
    """Return the kind of high side that suits a newly chosen refrigerant."""
    if changed != "refrigerant":
        return {}
    is_hot = settings.condensing_temperature >= Refrigerant(settings.refrigerant).critical_temperature
    return {"high_side": GAS_COOLER if is_hot else CONDENSER}


def _has_condenser(settings):
    return settings.high_side == CONDENSER


def _has_gas_cooler(settings):
    return settings.high_side == GAS_COOLER


class CyclePanel(Panel):
    """A cycle from its temperatures, on the pressure-enthalpy diagram."""

    title = "A cycle on the pressure–enthalpy diagram"
    Settings = CycleSettings
    controls = (
        ChoiceControl("refrigerant", "Refrigerant", REFRIGERANT_NAMES),
        NumberControl(
            "evaporating_temperature", "Evaporating temperature", "temperature",
            low=celsius(-35), high=celsius(25), step=0.5, us_step=1,
        ),
        NumberControl("superheat", "Superheat", "temperature_difference", low=0.0, high=40.0, step=0.5, us_step=1),
        ChoiceControl(
            "high_side", "High side",
            (CONDENSER, GAS_COOLER),
            help="A gas cooler works above the critical pressure, as with R-744 on warm days.",
        ),
        NumberControl(
            "condensing_temperature", "Condensing temperature", "temperature",
            low=celsius(-10), high=celsius(85), step=0.5, us_step=1, needed=_has_condenser,
        ),
        NumberControl(
            "subcooling", "Subcooling", "temperature_difference", low=0.0, high=30.0, step=0.5, us_step=1,
            needed=_has_condenser,
        ),
        NumberControl(
            "gas_cooler_pressure", "Gas cooler pressure", "pressure", low=bar(74), high=bar(150),
            step=0.5e5, us_step=10, decimals=1, needed=_has_gas_cooler,
        ),
        NumberControl(
            "gas_cooler_outlet_temperature", "Gas cooler outlet", "temperature",
            low=celsius(10), high=celsius(60), step=0.5, us_step=1, needed=_has_gas_cooler,
        ),
        NumberControl("isentropic_efficiency", "Isentropic efficiency", "ratio", low=0.3, high=1.0, step=0.01),
        ChoiceControl("with_loss_free", "Compare with loss-free", (("no", False), ("yes", True)),
            help="Loss-free is the thin dotted cycle."),
        NumberControl(
            "internal_heat_exchanger_effectiveness", "Internal heat exchanger", "ratio", low=0.0, high=0.95, step=0.05,
            help="Effectiveness: 0 is none fitted, 1 would be perfect.",
        ),
    )  # fmt: skip
    describe = staticmethod(describe)
    follow = staticmethod(follow)
