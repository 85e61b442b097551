"""The plates of a brazed chiller: their geometry and the look at their numbers."""

import functools
from dataclasses import dataclass

from thermo_kit.substances import COOLANT_KINDS, REFRIGERANT_NAMES


@dataclass(frozen=True, kw_only=True)
class PlateStack:
    """The plates of a brazed chiller (the numbers set here are an invented one).

    plates: number of plates, both end plates counted; width and length [m]: between the brazed edges and from
    port to port; amplitude [m]: half of the gap between two plates; wavelength [m]: of the corrugation;
    chevron_angle [deg]: between corrugation and flow direction; thickness [m] and conductivity [W/(m K)] of a plate;
    density [kg/m³] and specific_heat [J/(kg K)] of its metal
    """

    plates: int = 30
    width: float = 0.07
    length: float = 0.20
    amplitude: float = 1.0e-3
    wavelength: float = 7.0e-3
    chevron_angle: float = 60.0
    thickness: float = 0.4e-3
    conductivity: float = 15.0
    density: float = 7900.0
    specific_heat: float = 500.0

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
        """Return the volume of some channels; → [m³]."""
        return channels * self.channel_area * self.length


@functools.lru_cache(maxsize=256)
def _geometry(stack):
    from fluids.geometry import PlateExchanger

    return PlateExchanger(
        amplitude=stack.amplitude, wavelength=stack.wavelength, chevron_angle=stack.chevron_angle,
        width=stack.width, length=stack.length, thickness=stack.thickness, plates=stack.plates,
    )  # fmt: skip


def check_stack(checks, stack):
    """Note every dimension of a plate stack that no brazed chiller has."""
    checks.within("plates", stack.plates, 4, 200, kind="ratio", advice="count all plates, both end plates included")
    if not isinstance(stack.plates, int):
        checks.add("plates", f"{stack.plates}", "is not a whole number", "count the plates")
    checks.within("plate width", stack.width, 0.01, 0.6, kind="length")
    checks.within("plate length", stack.length, 0.03, 1.5, kind="length")
    checks.within("corrugation amplitude", stack.amplitude, 0.3e-3, 3.0e-3, kind="length",
                  advice="give half the gap between two plates, in metres")  # fmt: skip
    checks.within("corrugation wavelength", stack.wavelength, 2.0e-3, 20.0e-3, kind="length")
    checks.within("chevron angle", stack.chevron_angle, 20.0, 70.0, kind="ratio",
                  advice="in degrees from the flow direction; the boiling data cover 27 to 70")  # fmt: skip
    checks.within("plate thickness", stack.thickness, 0.1e-3, 2.0e-3, kind="length")
    checks.within("plate conductivity", stack.conductivity, 5.0, 400.0, kind="conductivity")


def check_fluids(checks, *, refrigerant, coolant, mass_fraction):
    """Note an unknown refrigerant or coolant, or a concentration beyond the data; mass_fraction [kg/kg]."""
    checks.one_of("refrigerant", refrigerant, REFRIGERANT_NAMES)
    checks.one_of("coolant", coolant, COOLANT_KINDS)
    advice = "a share from 0 to 0.60 by mass: 30 % is 0.30"
    checks.within("mass_fraction of glycol", mass_fraction, 0.0, 0.60, kind="ratio", advice=advice)
