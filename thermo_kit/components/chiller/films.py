"""Heat-transfer films of a brazed plate chiller: coolant, boiling refrigerant, dry vapour."""

import math
from dataclasses import dataclass

import numpy as np

from thermo_kit.laws.constants import GRAVITY
from thermo_kit.laws.friction import bridged

# Martin's friction factor jumps at Re 2000 by construction; the measured transition is smooth.
_TRANSITION = (1600.0, 2500.0)
# Amalfi's two forms meet with a jump at a Bond number of 4.
_BOND_BAND = (3.0, 5.0)
_LIBRARY_BETA, _PAPER_BETA = 45.0, 70.0
_REFERENCE_QUALITY, _REFERENCE_FLUX = 0.5, 1.0e4
STAGNANT_NUSSELT = 7.54


def plate_friction(Re, chevron_angle):
    """Return the Darcy friction factor of a corrugated channel, without the jump at Re 2000.

    Re [-], chevron_angle [deg] → [-].

    References: Martin, Chemical Engineering and Processing 35 (1996) 301-310, as in
        `fluids.friction_plate_Martin_1999`.
    """
    from fluids.friction import friction_plate_Martin_1999

    return bridged(lambda number: friction_plate_Martin_1999(number, chevron_angle), max(Re, 1e-3), *_TRANSITION)


def plate_nusselt(Re, Pr, chevron_angle):
    """Return the Nusselt number of one fluid in a corrugated channel, down to creeping flow.

    Re [-], Pr [-], chevron_angle [deg] → [-].

    Notes: At very small flow it runs smoothly into 7.54, the value of slow flow between even plates of one temperature.

    References: Martin 1996 as in `ht.Nu_plate_Martin`; 7.54: Shah & London, Laminar Flow Forced Convection in Ducts,
        1978.
    """
    from ht.conv_plate import Nu_plate_Martin

    forced = bridged(lambda number: Nu_plate_Martin(number, Pr, chevron_angle), max(Re, 1e-3), *_TRANSITION)
    return (forced**4 + STAGNANT_NUSSELT**4) ** 0.25


@dataclass(frozen=True)
class BoilingFilm:
    """Boiling film as a power law, SI: ln h = log_factor + ln(x^quality_power · (1/ρ_mix)^volume_power · q^flux_power).

    liquid_volume, vapour_volume: of a kilogram of each [m³/kg]
    """

    log_factor: float
    quality_power: float
    volume_power: float
    flux_power: float
    liquid_volume: float
    vapour_volume: float

    def coefficient(self, quality, flux):
        """Return the film coefficient; quality [-], flux [W/m²] → [W/(m² K)]."""
        by_quality = self.quality_power * np.log(np.maximum(quality, 1e-3))
        volume = self.liquid_volume + quality * (self.vapour_volume - self.liquid_volume)
        by_volume = self.volume_power * np.log(volume)
        return np.exp(self.log_factor + by_quality + by_volume + self.flux_power * np.log(flux))


def boiling_film(saturation, *, mass_flux, stack):
    """Return the boiling film of a refrigerant in a corrugated channel; mass_flux [kg/(m² s)].

    Notes: `ht` 1.2 relates the chevron angle to 45 instead of 70 degrees, and gives the wide-gap form the power 0.135
        instead of 0.248; both are set right here. The narrow- and the wide-gap form are joined between Bond numbers 3
        and 5, since the published switch at 4 jumps. Scatter of the data about the correlation: 22 % mean.

    References: Amalfi, Vakili-Farahani & Thome, Int. J. Refrigeration 61 (2016) 185-203, through `ht.h_boiling_Amalfi`.
    """
    weight, narrow, wide = _bond_weight(saturation, stack)
    log_factor = 0.0
    if weight < 1.0:
        factor = _library_boiling(saturation, mass_flux, stack, narrow)
        x = _REFERENCE_QUALITY
        volume = x / saturation.vapour_density + (1.0 - x) / saturation.liquid_density
        log_factor += (1.0 - weight) * math.log(factor / (volume**0.315 * _REFERENCE_FLUX**0.320))
    if weight > 0.0:
        beta = stack.chevron_angle / _PAPER_BETA
        factor = _library_boiling(saturation, mass_flux, stack, wide) * beta ** (0.248 - 0.135)
        log_factor += weight * math.log(factor / (_REFERENCE_QUALITY**0.135 * _REFERENCE_FLUX**0.198))
    flux_power = 0.320 + weight * (0.198 - 0.320)
    volumes = 1.0 / saturation.liquid_density, 1.0 / saturation.vapour_density
    return BoilingFilm(log_factor, 0.135 * weight, 0.315 * (1.0 - weight), flux_power, *volumes)


def _bond_weight(saturation, stack):
    """Return (weight of the wide-gap form, surface tension for the narrow form, and for the wide form)."""
    difference = saturation.liquid_density - saturation.vapour_density
    bond_tension = GRAVITY * difference * stack.hydraulic_diameter**2
    low, high = _BOND_BAND
    share = min(max((bond_tension / saturation.surface_tension - low) / (high - low), 0.0), 1.0)
    weight = share * share * (3.0 - 2.0 * share)
    # Inside the band each form is asked at its own edge, where the library still answers with it.
    narrow = max(saturation.surface_tension, bond_tension / low)
    wide = min(saturation.surface_tension, bond_tension / high)
    return weight, narrow, wide


def _library_boiling(saturation, mass_flux, stack, tension):
    from ht.boiling_plate import h_boiling_Amalfi

    return h_boiling_Amalfi(
        m=mass_flux * stack.channel_area, x=_REFERENCE_QUALITY, Dh=stack.hydraulic_diameter,
        rhol=saturation.liquid_density, rhog=saturation.vapour_density, mul=saturation.liquid_viscosity,
        mug=saturation.vapour_viscosity, kl=saturation.liquid_conductivity,
        Hvap=saturation.vapour_enthalpy - saturation.liquid_enthalpy, sigma=tension, q=_REFERENCE_FLUX,
        A_channel_flow=stack.channel_area, chevron_angle=stack.chevron_angle * _LIBRARY_BETA / _PAPER_BETA,
    )  # fmt: skip


def vapour_film(saturation, *, mass_flux, stack):
    """Return the film coefficient of the vapour that has nothing left to boil; mass_flux [kg/(m² s)] → [W/(m² K)].

    References: Martin 1996, as in `plate_nusselt`.
    """
    Re = mass_flux * stack.hydraulic_diameter / saturation.vapour_viscosity
    Pr = saturation.vapour_specific_heat * saturation.vapour_viscosity / saturation.vapour_conductivity
    return plate_nusselt(Re, Pr, stack.chevron_angle) * saturation.vapour_conductivity / stack.hydraulic_diameter
