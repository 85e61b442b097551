"""What solving a condenser gives back."""

from dataclasses import dataclass

from thermo_kit.components.condenser.air_side import AirSide
from thermo_kit.components.condenser.spec import AirConditions, CondenserSpec
from thermo_kit.substances.stream import Stream


@dataclass(frozen=True, slots=True)
class PathPoint:
    """The refrigerant at one place on its way.

    pass_number: from 1; position [-]: share of this pass walked, 0 to 1; quality: None outside the two-phase dome;
    phase: "vapour", "two-phase" or "liquid"; temperature [K]; pressure [Pa]; specific_enthalpy [J/kg];
    charge [kg] and heat_flow [W] of the step that ends here, all tubes of the pass;
    air_temperature: of the air leaving this step [K]
    """

    pass_number: int
    position: float
    quality: float | None
    phase: str
    temperature: float
    pressure: float
    specific_enthalpy: float
    charge: float
    heat_flow: float
    air_temperature: float


@dataclass(frozen=True, slots=True)
class PassResult:
    """One pass, and the refrigerant at its end.

    number: from 1; tubes; top [-], bottom [-]: shares of the core's height from the top; mass_flux [kg/(m² s)];
    quality, phase, temperature [K], pressure [Pa], specific_enthalpy [J/kg], subcooling [K] (0 unless liquid):
    at its end; heat_flow [W]; pressure_drop [Pa], entry included; charge [kg]; air_temperature: mean of the air leaving
    it [K]; vapour_share, two_phase_share, liquid_share: of its length
    """

    number: int
    tubes: int
    top: float
    bottom: float
    mass_flux: float
    quality: float | None
    phase: str
    temperature: float
    pressure: float
    specific_enthalpy: float
    subcooling: float
    heat_flow: float
    pressure_drop: float
    charge: float
    air_temperature: float
    vapour_share: float
    two_phase_share: float
    liquid_share: float


@dataclass(frozen=True, slots=True)
class LastVapour:
    """Where the last vapour turns liquid: pass_number, and the position [-] in that pass, 0 to 1."""

    pass_number: int
    position: float


@dataclass(frozen=True, slots=True)
class ReceiverFeed:
    """What reaches the receiver: after_pass; quality (0 for liquid, 1 for vapour only); subcooling [K];
    enthalpy_above_liquid: above saturated liquid at its pressure [J/kg], negative for subcooled liquid;
    pressure [Pa]; vapour_carried: True if vapour arrives."""

    after_pass: int
    quality: float
    subcooling: float
    enthalpy_above_liquid: float
    pressure: float
    vapour_carried: bool


@dataclass(frozen=True, slots=True)
class CondenserResult:
    """A solved condenser.

    spec, inlet, air: what was asked; air_side: the air's shares; path: the refrigerant step by step;
    passes; receiver: None without one; last_vapour: None if vapour leaves the core; inlet_temperature [K];
    condensing_pressure [Pa] and condensing_temperature [K]: at the inlet; heat_rejection [W];
    outlet_pressure [Pa], outlet_temperature [K], outlet_enthalpy [J/kg], outlet_quality (None for liquid or hot gas);
    subcooling: at the outlet [K], 0 unless liquid; pressure_drop [Pa]; charge: in the tubes, headers and receiver left
    out [kg]; air_temperature: mean of the air leaving the open face [K]; energy_closure: relative; notes
    """

    spec: CondenserSpec
    inlet: Stream
    air: AirConditions
    air_side: AirSide
    path: tuple[PathPoint, ...]
    passes: tuple[PassResult, ...]
    receiver: ReceiverFeed | None
    last_vapour: LastVapour | None
    inlet_temperature: float
    condensing_temperature: float
    heat_rejection: float
    outlet_enthalpy: float
    air_temperature: float
    energy_closure: float
    notes: tuple

    @property
    def outlet(self):
        """The refrigerant that leaves."""
        return self.inlet.at(pressure=self.outlet_pressure, enthalpy=self.outlet_enthalpy)

    @property
    def condensing_pressure(self):
        """At the inlet [Pa]."""
        return self.inlet.pressure

    @property
    def outlet_pressure(self):
        """Of what leaves [Pa]."""
        return self.passes[-1].pressure

    @property
    def outlet_temperature(self):
        """Of what leaves [K]."""
        return self.passes[-1].temperature

    @property
    def outlet_quality(self):
        """Vapour share by mass of what leaves [-]; None for liquid or hot gas."""
        return self.passes[-1].quality

    @property
    def subcooling(self):
        """Of what leaves [K], 0 unless liquid."""
        return self.passes[-1].subcooling

    @property
    def pressure_drop(self):
        """Over all passes [Pa]."""
        return self.condensing_pressure - self.outlet_pressure

    @property
    def charge(self):
        """In the tubes, headers and receiver left out [kg]."""
        return sum(one.charge for one in self.passes)
