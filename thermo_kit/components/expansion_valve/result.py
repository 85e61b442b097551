"""What a solved valve tells."""

from dataclasses import dataclass

from thermo_kit.components.expansion_valve.forces import ForceBalance
from thermo_kit.components.expansion_valve.spec import EvaporatorDuty, ShutOffSpec, ValveFault, ValveSpec

STARVED_ABOVE = 15.0
"""Superheat above which a valve is called starved [K]: our own choice, no source."""
FLOODING_BELOW = 2.0
"""Superheat below which it is called flooding, as a clamp hardly tells it from none [K]: our own choice, no source."""

VERDICTS = {
    "in balance": "the last drop boils shortly before the end of the evaporator",
    "starved": "too little comes in: much of the evaporator is dry, the low side falls",
    "flooding": "too much comes in: liquid leaves the evaporator and runs to the compressor",
    "pulled down": "so little comes in that the low-side switch stops the compressor again and again",
}


@dataclass(frozen=True, kw_only=True)
class ValveResult:
    """A valve, its evaporator and the compressor at the point where all three agree, SI.

    spec, duty, fault, shut_off: what was asked; balance: forces on the diaphragm; evaporating_pressure: at the
    evaporator outlet, what a low-side gauge shows [Pa]; evaporating_temperature: its dew temperature [K]; superheat:
    at the evaporator outlet, 0 when wet [K]; outlet_temperature: of the line there [K]; outlet_quality: vapour share
    there, 1 when dry; mass_flow [kg/s]; running_share: of the time in which the compressor runs; cooling_capacity [W];
    boiling_share: of the evaporator that boils; valve_pressure: in front of the expansion valve [Pa];
    flashes_before_valve: vapour enters it; discharge_coefficient [-]; verdict: a key of VERDICTS; verdict_words;
    mass_closure: valve against compressor; energy_closure: heat through the wall against heat taken up; notes
    """

    spec: ValveSpec
    duty: EvaporatorDuty
    fault: ValveFault
    shut_off: ShutOffSpec
    balance: ForceBalance
    evaporating_pressure: float
    evaporating_temperature: float
    superheat: float
    outlet_temperature: float
    outlet_quality: float
    mass_flow: float
    running_share: float
    cooling_capacity: float
    boiling_share: float
    valve_pressure: float
    flashes_before_valve: bool
    discharge_coefficient: float
    verdict: str
    verdict_words: str
    mass_closure: float
    energy_closure: float
    notes: tuple[str, ...] = ()

    @property
    def quality_is_wet(self):
        """Whether liquid leaves the evaporator."""
        return self.outlet_quality < 1.0


def verdict_of(*, superheat, quality, pulled_down):
    """Return the key of VERDICTS that fits."""
    if pulled_down:
        return "pulled down"
    if quality < 1.0 or superheat < FLOODING_BELOW:
        return "flooding"
    return "starved" if superheat > STARVED_ABOVE else "in balance"
