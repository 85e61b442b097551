"""The plates of a chiller, what is asked of it in steady running, and what comes back."""

import functools
import math
from dataclasses import dataclass

from thermo_kit.substances import COOLANT_KINDS, REFRIGERANT_NAMES, Refrigerant, Stream
from thermo_kit.substances.coolant_table import coolant_table
from thermo_kit.units import Spec, count, flag, one_of, part, quantity

GLYCOL_ADVICE = "a share from 0 to 0.60 by mass: 30 % is 0.30"


class PlateStack(Spec):
    """The plates of a brazed chiller; the numbers set here are an invented one. Both end plates count."""

    plates: int = count(4, 200, "plates", 30, advice="count all plates, both end plates included")
    width: float = quantity("length", 0.01, 0.6, "plate width between the brazed edges", 0.07)
    length: float = quantity("length", 0.03, 1.5, "plate length from port to port", 0.20)
    amplitude: float = quantity(
        "length", 0.3e-3, 3.0e-3, "corrugation amplitude", 1.0e-3, advice="give half the gap between two plates"
    )
    wavelength: float = quantity("length", 2.0e-3, 20.0e-3, "corrugation wavelength", 7.0e-3)
    chevron_angle: float = quantity(
        "ratio", 20.0, 70.0, "chevron angle", 60.0,
        advice="in degrees from the flow direction; the boiling data cover 27 to 70",
    )  # fmt: skip
    thickness: float = quantity("length", 0.1e-3, 2.0e-3, "plate thickness", 0.4e-3)
    conductivity: float = quantity("conductivity", 5.0, 400.0, "plate conductivity", 15.0)
    density: float = quantity("density", 2000.0, 10000.0, "density of the plates' metal", 7900.0)
    specific_heat: float = quantity("specific_heat", 300.0, 1000.0, "specific heat of the plates' metal", 500.0)

    @property
    def refrigerant_channels(self):
        """Number of channels on the refrigerant side: one fewer, since coolant lies outside [count]."""
        return (self.plates - 1) // 2

    @property
    def coolant_channels(self):
        """Number of channels on the coolant side [count]."""
        return self.plates - 1 - self.refrigerant_channels

    @property
    def hydraulic_diameter(self):
        """Four times the channel volume over its wetted surface [m]."""
        return _geometry(self).D_hydraulic

    @property
    def area(self):
        """Surface of all plates that part refrigerant from coolant [m²]."""
        return _geometry(self).A_heat_transfer

    @property
    def channel_area(self):
        """Open cross-section of one channel [m²]."""
        return _geometry(self).A_channel_flow

    def channel_volume(self, channels):
        return channels * self.channel_area * self.length  # [m³]


@functools.lru_cache(maxsize=256)
def _geometry(stack):
    from fluids.geometry import PlateExchanger

    return PlateExchanger(
        amplitude=stack.amplitude, wavelength=stack.wavelength, chevron_angle=stack.chevron_angle,
        width=stack.width, length=stack.length, thickness=stack.thickness, plates=stack.plates,
    )  # fmt: skip


class ChillerSpec(Spec):
    """What is asked of a chiller.

    Give evaporating_temperature or evaporating_pressure (at the outlet, dew), and either the outlet superheat, which
    the expansion valve then holds, or the refrigerant mass_flow.
    """

    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", "R-134a")
    coolant: str = one_of(COOLANT_KINDS, "coolant", "ethylene glycol")
    mass_fraction: float = quantity("ratio", 0.0, 0.60, "glycol share by mass", 0.50, advice=GLYCOL_ADVICE)
    coolant_flow: float = quantity(
        "mass_flow", 0.0, 5.0, "coolant flow", 0.20, exclusive=True,
        advice="steady running needs flow; for lost flow use simulate_chiller_freeze",
    )  # fmt: skip
    coolant_inlet_temperature: float = quantity("temperature", 223.15, 333.15, "coolant inlet temperature", 288.15)
    evaporating_temperature: float | None = quantity("temperature", 223.15, 308.15, "evaporating temperature", None)
    evaporating_pressure: float | None = quantity("pressure", 1e3, 8e6, "evaporating pressure", None)
    inlet_quality: float = quantity("ratio", 0.0, 0.85, "vapour share after the valve", 0.25)
    superheat: float = quantity("temperature_difference", 0.0, 30.0, "superheat at the outlet", 5.0)
    mass_flow: float | None = quantity("mass_flow", 0.0, 2.0, "refrigerant flow", None, exclusive=True)
    counterflow: bool = flag("coolant flows against the refrigerant", True)
    fouling: float = quantity(
        "fouling", 0.0, 5e-3, "deposit on the coolant side", 0.0, advice="0.0001 m² K/W is a common allowance"
    )
    fed_channels: float = quantity(
        "ratio", 0.02, 1.0, "share of the coolant channels that hold coolant", 1.0, advice="1 is all of them"
    )
    stack: PlateStack = part(PlateStack, "plates", PlateStack())
    segments: int = count(4, 400, "segments", 32)

    @property
    def glycol(self):
        """Share of glycol by mass, 0 for water [kg/kg]."""
        return 0.0 if self.coolant == "water" else float(self.mass_fraction)

    @functools.cached_property
    def boiling(self):
        """Dew temperature at the outlet [K]."""
        if self.evaporating_temperature is not None:
            return self.evaporating_temperature
        return Refrigerant(self.refrigerant).dew_temperature(self.evaporating_pressure)

    def fit(self, checks):
        if (self.evaporating_temperature is None) == (self.evaporating_pressure is None):
            advice = "evaporating_temperature or evaporating_pressure"
            checks.add("evaporating state", "must be given once", advice=advice)
            return
        fluid, table = Refrigerant(self.refrigerant), coolant_table(self.coolant, self.glycol)
        highest = min(fluid.critical_temperature - 5.0, 308.15)
        if self.evaporating_pressure is not None:
            low, high = fluid.dew_pressure(max(fluid.lowest_temperature, 223.15)), fluid.dew_pressure(highest)
            checks.within("evaporating pressure", self.evaporating_pressure, low, high, kind="pressure")
            if checks.problems:
                return
        checks.within("evaporating temperature", self.boiling, max(fluid.lowest_temperature, 223.15), highest,
                      kind="temperature")  # fmt: skip
        hottest = self.boiling + (self.superheat if self.mass_flow is None else 0.0) + 0.05
        inlet = self.coolant_inlet_temperature
        if inlet <= table.freezing_point:
            checks.within("coolant inlet temperature", inlet, table.freezing_point, 333.15, kind="temperature",
                          exclusive=True, advice="it is frozen: thaw it, or check concentration and unit")  # fmt: skip
        elif inlet <= hottest:
            advice = (
                "the coolant must enter warmer than the refrigerant leaves: lower evaporating_temperature or superheat"
            )
            checks.within("coolant inlet temperature", inlet, hottest, math.inf, kind="temperature", exclusive=True,
                          advice=advice)  # fmt: skip


@dataclass(frozen=True)
class ChillerResult:
    """What the chiller does. Profiles run from the refrigerant's inlet (position 0) to its outlet (position 1).

    spec: what was asked; outlet: the refrigerant that leaves; cooling_capacity [W]; mass_flow [kg/s] of refrigerant;
    evaporating_temperature [K]; evaporating_pressure [Pa]; outlet_quality; superheat [K];
    coolant_outlet_temperature [K]; freezing_point [K] of the coolant; coldest_wall_temperature [K] on the coolant's
    side, under deposits; freeze_margin [K]: that wall minus the freezing point; coolant_pressure_drop [Pa];
    refrigerant_pressure_drop [Pa]; heat_transfer_coefficient [W/(m² K)] from coolant to refrigerant; profiles
    position [-], wall_temperature [K], coolant_temperature [K], refrigerant_temperature [K], quality [-],
    heat_flux [W/m²]; energy_closure: relative; notes
    """

    spec: ChillerSpec
    outlet: Stream
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
