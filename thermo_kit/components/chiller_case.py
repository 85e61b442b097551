"""What is asked of a chiller in steady running, and what comes back."""

from dataclasses import dataclass, field

from thermo_kit.components.chiller_plates import PlateStack


@dataclass(frozen=True, kw_only=True)
class ChillerSpec:
    """What is asked of a chiller.

    Give evaporating_temperature [K] or evaporating_pressure [Pa] (at the outlet, dew), and either the outlet
    superheat [K], which the expansion valve then holds, or the refrigerant mass_flow [kg/s].
    inlet_quality: vapour share after the valve; coolant_flow [kg/s]; coolant_inlet_temperature [K];
    mass_fraction of glycol [kg/kg]; fouling [m² K/W] on the coolant side; fed_channels: share of the coolant
    channels that hold coolant and not air; segments: number of slices for the sums
    """

    refrigerant: str = "R-134a"
    coolant: str = "ethylene glycol"
    mass_fraction: float = 0.50
    coolant_flow: float = 0.20
    coolant_inlet_temperature: float = 288.15
    evaporating_temperature: float | None = None
    evaporating_pressure: float | None = None
    inlet_quality: float = 0.25
    superheat: float = 5.0
    mass_flow: float | None = None
    counterflow: bool = True
    fouling: float = 0.0
    fed_channels: float = 1.0
    stack: PlateStack = field(default_factory=PlateStack)
    segments: int = 32


@dataclass(frozen=True)
class ChillerResult:
    """What the chiller does. Profiles run from the refrigerant's inlet (position 0) to its outlet (position 1).

    spec: what was asked; cooling_capacity [W]; mass_flow [kg/s] of refrigerant; evaporating_temperature [K];
    evaporating_pressure [Pa]; outlet_quality; superheat [K]; coolant_outlet_temperature [K]; freezing_point [K] of the
    coolant; coldest_wall_temperature [K] on the coolant's side, under deposits; freeze_margin [K]: that wall minus the
    freezing point; coolant_pressure_drop [Pa]; refrigerant_pressure_drop [Pa]; heat_transfer_coefficient [W/(m² K)]
    from coolant to refrigerant; profiles position [-], wall_temperature [K], coolant_temperature [K],
    refrigerant_temperature [K], quality [-], heat_flux [W/m²]; energy_closure: relative; notes
    """

    spec: ChillerSpec
    cooling_capacity: float
    mass_flow: float
    evaporating_temperature: float
    evaporating_pressure: float
    outlet_quality: float
    superheat: float
    coolant_outlet_temperature: float
    freezing_point: float
    coldest_wall_temperature: float
    freeze_margin: float
    coolant_pressure_drop: float
    refrigerant_pressure_drop: float
    heat_transfer_coefficient: float
    position: tuple
    wall_temperature: tuple
    coolant_temperature: tuple
    refrigerant_temperature: tuple
    quality: tuple
    heat_flux: tuple
    energy_closure: float
    notes: tuple
