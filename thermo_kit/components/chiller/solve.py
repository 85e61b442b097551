"""The brazed plate chiller in steady running: what it is, its heat flow, and how far its wall is from ice."""

import functools
import math
from dataclasses import dataclass

import numpy as np

from thermo_kit.components.chiller.films import boiling_film, plate_friction, plate_nusselt, vapour_film
from thermo_kit.errors import NoSolutionError
from thermo_kit.laws.closure import closed
from thermo_kit.laws.exchange import log_mean
from thermo_kit.laws.roots import root
from thermo_kit.substances import COOLANT_KINDS, REFRIGERANT_NAMES, Refrigerant, Stream
from thermo_kit.substances.coolant import coolant_table
from thermo_kit.units import Amount, Said, Spec, count, flag, one_of, part, quantity

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


class PlateChiller(Spec):
    """What runs through a chiller, and what its plates are."""

    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", "R-134a")
    coolant: str = one_of(COOLANT_KINDS, "coolant", "ethylene glycol")
    mass_fraction: float = quantity("ratio", 0.0, 0.60, "glycol share by mass", 0.50, advice=GLYCOL_ADVICE)
    counterflow: bool = flag("coolant flows against the refrigerant", True)
    fouling: float = quantity(
        "fouling", 0.0, 5e-3, "deposit on the coolant side", 0.0, advice="0.0001 m² K/W is a common allowance"
    )
    stack: PlateStack = part(PlateStack, "plates", PlateStack())

    @property
    def glycol(self):
        """Share of glycol by mass, 0 for water [kg/kg]."""
        return 0.0 if self.coolant == "water" else float(self.mass_fraction)


class ChillerSpec(PlateChiller):
    """What is asked of a chiller.

    Give evaporating_temperature or evaporating_pressure (at the outlet, dew), and either the outlet superheat, which
    the expansion valve then holds, or the refrigerant mass_flow.
    """

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
    fed_channels: float = quantity(
        "ratio", 0.02, 1.0, "share of the coolant channels that hold coolant", 1.0, advice="1 is all of them"
    )
    segments: int = count(4, 400, "segments", 32)

    @functools.cached_property
    def boiling(self):
        """Dew temperature at the outlet [K], by definition."""
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
    evaporating_temperature [K]; evaporating_pressure [Pa]; superheat [K];
    coolant_outlet_temperature [K]; freezing_point [K] of the coolant; coldest_wall_temperature [K] on the coolant's
    side, under deposits; freeze_margin [K]: that wall minus the freezing point; coolant_pressure_drop [Pa];
    refrigerant_pressure_drop [Pa]; profiles position [-], wall_temperature [K], coolant_temperature [K],
    refrigerant_temperature [K], quality [-]; energy_closure: relative; notes
    """

    spec: ChillerSpec
    outlet: Stream
    cooling_capacity: float
    mass_flow: float
    evaporating_temperature: float
    evaporating_pressure: float
    superheat: float
    coolant_outlet_temperature: float
    freezing_point: float
    coldest_wall_temperature: float
    freeze_margin: float
    coolant_pressure_drop: float
    refrigerant_pressure_drop: float
    position: tuple
    wall_temperature: tuple
    coolant_temperature: tuple
    refrigerant_temperature: tuple
    quality: tuple
    energy_closure: float
    notes: tuple


DRY_OUT_QUALITY = 0.90
_FLUX_ROUNDS = 40


def solve_chiller(spec):
    """Return the steady state of a chiller: heat flow, outlet temperatures, wall profile, distance from ice.

    Parameters
    ----------
    spec : ChillerSpec. Plates, fluids and operating point.

    Returns: ChillerResult. All in SI; freeze_margin [K] is the coldest coolant-side wall minus the freezing point of
        this mixture. Raises OutOfRangeError if a value is outside its range, or the coolant is frozen or too cold to
        boil the refrigerant; NoSolutionError if the given refrigerant flow cannot boil in the dome at this pressure.

    Notes: The boiling pressure is taken as the outlet's everywhere, so the wall near the inlet is a little warmer than
        shown. Flow is shared evenly by all channels; channels without coolant are taken to pass no heat. Films: about
        ±10 % on the coolant side, ±25 % on the boiling side. Below 90 % vapour all plates are wet; above, the boiling
        film fades into the vapour film (an assumption). Pressure drops leave out ports and distributor. No other checks
        of plate strength are made.

    References: Coolant side: Martin 1996. Boiling side: Amalfi, Vakili-Farahani & Thome 2016. Two-phase pressure drop:
        homogeneous flow (Collier & Thome, Convective Boiling and Condensation, 3rd ed. 1994) with Martin's friction.

    Examples
    --------
    >>> from thermo_kit.components import ChillerSpec
    >>> result = solve_chiller(ChillerSpec(evaporating_temperature=275.15))
    >>> result.freeze_margin > 30
    True
    """
    march = _March(spec)
    return _result(spec, march, march.solve())


class _March:
    """Slices of equal refrigerant heat from inlet to outlet; the plate area each of them needs is summed up."""

    def __init__(self, spec):
        self.spec = spec
        self.stack = spec.stack
        fluid = Refrigerant(spec.refrigerant)
        boiling = spec.boiling
        self.saturation = fluid.saturation(boiling)
        self.pressure = spec.evaporating_pressure or fluid.dew_pressure(boiling)
        self.boiling = boiling
        self.latent = self.saturation.vapour_enthalpy - self.saturation.liquid_enthalpy
        self.inlet_enthalpy = self.saturation.liquid_enthalpy + spec.inlet_quality * self.latent
        self.vapour_heat = self.saturation.vapour_specific_heat
        # Where the flow is given, vapour may get as warm as the coolant that comes, and never warmer.
        superheat = spec.superheat if spec.mass_flow is None else spec.coolant_inlet_temperature - boiling
        # A superheat of less than this lies within the noise of the saturation line.
        if superheat > 0.01:
            outlet = fluid.at(p=self.pressure, T=boiling + superheat)
            self.vapour_heat = (outlet.h - self.saturation.vapour_enthalpy) / superheat
        self.table = coolant_table(spec.coolant, spec.glycol)
        self.coolant_inlet = float(self.table.enthalpy_at(spec.coolant_inlet_temperature))
        self.area = self.stack.area * spec.fed_channels
        channels = self.stack.coolant_channels * spec.fed_channels
        self.coolant_flux = spec.coolant_flow / (channels * self.stack.channel_area)
        # The film is asked at nine temperatures and drawn through them: each call of the library costs its time.
        self.film_temperature = np.linspace(
            min(max(boiling, self.table.freezing_point), spec.coolant_inlet_temperature - 0.5),
            spec.coolant_inlet_temperature, 9,
        )  # fmt: skip
        self.film = np.array([self._coolant_film(T) for T in self.film_temperature])
        self.last_flux = None

    def coolant_reynolds(self, T):
        return self.coolant_flux * self.stack.hydraulic_diameter / float(self.table.viscosity(T))

    def _coolant_film(self, T):
        Nu = plate_nusselt(self.coolant_reynolds(T), float(self.table.prandtl(T)), self.stack.chevron_angle)
        return Nu * float(self.table.conductivity(T)) / self.stack.hydraulic_diameter

    def solve(self):
        spec = self.spec
        if spec.mass_flow is None:
            outlet = self.saturation.vapour_enthalpy + self.vapour_heat * spec.superheat
            most = self._most_heat(outlet) / (outlet - self.inlet_enthalpy)
            flow = self._root(lambda flow: (flow, outlet), most)
            return _Slices(self, flow, outlet)
        rise = self._most_rise()
        outlet = self._root(lambda rise: (spec.mass_flow, self.inlet_enthalpy + rise), rise) + self.inlet_enthalpy
        return _Slices(self, spec.mass_flow, outlet)

    def _most_heat(self, outlet):
        """Heat at which coolant and refrigerant temperatures would touch."""
        reach = self.boiling
        if not self.spec.counterflow:
            reach += max(outlet - self.saturation.vapour_enthalpy, 0.0) / self.vapour_heat
        return self.spec.coolant_flow * (self.coolant_inlet - float(self.table.enthalpy_at(reach)))

    def _most_rise(self):
        """Largest enthalpy rise of the given refrigerant flow before temperatures touch."""
        superheating = self.spec.coolant_inlet_temperature - self.boiling
        top = self.saturation.vapour_enthalpy + self.vapour_heat * superheating - self.inlet_enthalpy

        def spare(rise):
            return self._most_heat(self.inlet_enthalpy + rise) - self.spec.mass_flow * rise

        return top if spare(top) >= 0.0 else root(spare, 0.0, top, what="heat that the refrigerant takes up")

    def _root(self, operating_point, most):
        from scipy.optimize import brentq

        def excess(log_part):
            part = 1.0 / (1.0 + math.exp(-log_part))
            return math.log(_Slices(self, *operating_point(most * part)).area_sum / self.area)

        # In this stretched coordinate the touching point lies at infinity, and the root is mild.
        low, high = -9.0, 5.0
        while excess(high) < 0.0:
            high += 8.0
            if high > 34.0:
                return most
        while excess(low) > 0.0:
            low -= 6.0
            if low < -40.0:
                advice = "check flows and temperatures"
                raise NoSolutionError.about("chiller", "has almost no heat to move", "at this point", advice)
        log_part = brentq(excess, low, high, xtol=1e-8, rtol=1e-10)
        return most / (1.0 + math.exp(-log_part))


class _Slices:
    def __init__(self, march, flow, outlet):
        saturation, spec = march.saturation, march.spec
        self.flow, self.outlet = flow, outlet
        self.mass_flux = flow / (march.stack.refrigerant_channels * march.stack.channel_area)
        edge = self._edges(march, outlet)
        middle = 0.5 * (edge[1:] + edge[:-1])
        self.heat = flow * np.diff(edge)
        travelled = (outlet - edge) if spec.counterflow else (edge - march.inlet_enthalpy)
        coolant_edge = march.table.temperature_at(march.coolant_inlet - flow * travelled / spec.coolant_flow)
        self.coolant_edge = coolant_edge
        self.coolant = 0.5 * (coolant_edge[1:] + coolant_edge[:-1])
        above = np.maximum(edge - saturation.vapour_enthalpy, 0.0) / march.vapour_heat
        self.refrigerant = march.boiling + 0.5 * (above[1:] + above[:-1])
        self.quality = (middle - saturation.liquid_enthalpy) / march.latent
        difference = np.maximum(coolant_edge - march.boiling - above, 1e-9)
        self.mean_difference = log_mean(difference[:-1], difference[1:])
        self._films(march)
        self.area_of = self.heat / self.flux
        self.area_sum = float(self.area_of.sum())

    @staticmethod
    def _edges(march, outlet):
        saturation, count = march.saturation, march.spec.segments
        dry_out = saturation.liquid_enthalpy + DRY_OUT_QUALITY * march.latent
        stops = [march.inlet_enthalpy, dry_out, saturation.vapour_enthalpy, outlet]
        shares = (count // 2, count // 4, count - count // 2 - count // 4)
        parts = []
        for low, high, share in zip(stops[:-1], stops[1:], shares, strict=True):
            high = min(high, outlet)
            if high > low:
                parts.append(np.linspace(low, high, share + 1)[:-1])
        return np.concatenate([*parts, [outlet]])

    def _films(self, march):
        boiling = boiling_film(march.saturation, mass_flux=self.mass_flux, stack=march.stack)
        dry = vapour_film(march.saturation, mass_flux=self.mass_flux, stack=march.stack)
        fade = np.clip((self.quality - DRY_OUT_QUALITY) / (1.0 - DRY_OUT_QUALITY), 0.0, 1.0)
        fade = fade * fade * (3.0 - 2.0 * fade)
        quality = np.clip(self.quality, 1e-3, 1.0)
        table, viscosity = march.table, march.table.viscosity(self.coolant)
        film = np.interp(self.coolant, march.film_temperature, march.film)
        fixed = (1.0 - fade) * np.log(boiling.coefficient(quality, 1.0)) + fade * math.log(dry)
        power = (1.0 - fade) * boiling.flux_power
        passive = march.spec.fouling + march.stack.thickness / march.stack.conductivity
        start = march.last_flux
        log_flux = np.log(self.mean_difference * 500.0) if start is None or len(start) != len(film) else start
        residual = np.inf
        for _ in range(_FLUX_ROUNDS):
            flux = np.exp(log_flux)
            boiling_resistance = np.exp(-(fixed + power * log_flux))
            thinning = (viscosity / table.viscosity(self.coolant - flux / film)) ** (1.0 / 6.0)
            resistance = 1.0 / (film * thinning) + passive + boiling_resistance
            change = np.log(self.mean_difference / resistance) - log_flux
            residual = float(np.abs(change).max())
            if residual < 1e-9:
                break
            # The boiling film's own answer to the flux is known, so that few rounds suffice.
            log_flux = log_flux + change / (1.0 - power * boiling_resistance / resistance)
        march.last_flux = log_flux
        self.flux, self.residual = flux, residual
        # Deposits are porous: coolant reaches the metal below them, the coldest place.
        self.metal = self.coolant - flux * (1.0 / (film * thinning)) - flux * march.spec.fouling


def _result(spec, march, solved):
    heat = float(solved.heat.sum())
    coolant_outlet = float(solved.coolant_edge[0] if spec.counterflow else solved.coolant_edge[-1])
    from_coolant = spec.coolant_flow * (march.coolant_inlet - float(march.table.enthalpy_at(coolant_outlet)))
    through_plates = float((solved.flux * solved.area_of).sum()) * march.area / solved.area_sum
    closure = closed(
        coolant_heat=from_coolant / heat - 1.0, chiller_plates=through_plates / heat - 1.0, wall_flux=solved.residual
    )
    share = np.cumsum(solved.area_of) / solved.area_sum
    position = share - 0.5 * solved.area_of / solved.area_sum
    coldest = float(solved.metal.min())
    drop = _refrigerant_drop(march, solved)
    return ChillerResult(
        spec=spec,
        outlet=Stream(refrigerant=spec.refrigerant, pressure=march.pressure, enthalpy=solved.outlet,
                      mass_flow=solved.flow),
        cooling_capacity=heat,
        mass_flow=solved.flow,
        evaporating_temperature=march.boiling,
        evaporating_pressure=march.pressure,
        superheat=max(solved.outlet - march.saturation.vapour_enthalpy, 0.0) / march.vapour_heat,
        coolant_outlet_temperature=coolant_outlet,
        freezing_point=march.table.freezing_point,
        coldest_wall_temperature=coldest,
        freeze_margin=coldest - march.table.freezing_point,
        coolant_pressure_drop=_coolant_drop(march, solved),
        refrigerant_pressure_drop=drop,
        position=tuple(position.tolist()),
        wall_temperature=tuple(solved.metal.tolist()),
        coolant_temperature=tuple(solved.coolant.tolist()),
        refrigerant_temperature=tuple(solved.refrigerant.tolist()),
        quality=tuple(np.clip(solved.quality, 0.0, 1.0).tolist()),
        energy_closure=closure,
        notes=tuple(_notes(spec, march, solved, coldest, coolant_outlet, drop)),
    )  # fmt: skip


def _coolant_drop(march, solved):
    mean = float((solved.coolant * solved.area_of).sum() / solved.area_sum)
    friction = plate_friction(march.coolant_reynolds(mean), march.stack.chevron_angle)
    length = march.stack.length / march.stack.hydraulic_diameter
    return friction * length * march.coolant_flux**2 / (2.0 * float(march.table.density(mean)))


def _refrigerant_drop(march, solved):
    saturation, stack = march.saturation, march.stack
    quality = np.clip(solved.quality, 0.0, 1.0)
    volume = quality / saturation.vapour_density + (1.0 - quality) / saturation.liquid_density
    viscosity = 1.0 / (quality / saturation.vapour_viscosity + (1.0 - quality) / saturation.liquid_viscosity)
    reynolds = solved.mass_flux * stack.hydraulic_diameter / viscosity
    friction = np.array([plate_friction(number, stack.chevron_angle) for number in reynolds.tolist()])
    share = solved.area_of / solved.area_sum
    rubbing = stack.length / stack.hydraulic_diameter * float((friction * volume * share).sum()) / 2.0
    return solved.mass_flux**2 * (rubbing + float(volume[-1] - volume[0]))


def _notes(spec, march, solved, coldest, coolant_outlet, drop):
    number = march.coolant_reynolds(spec.coolant_inlet_temperature)
    if not 200.0 <= number <= 10000.0:
        yield f"coolant Reynolds number {number:.0f} is outside the data of 200 to 10000: film less certain"
    if not 5.6 <= solved.mass_flux <= 125.0:
        flux, low, high = (Amount(x, "mass_flux", 1) for x in (solved.mass_flux, 5.6, 125.0))
        yield Said("refrigerant mass flux {} is outside the data of {} to {}", flux, low, high)
    if spec.refrigerant in ("R-744", "R-152a"):
        yield f"the boiling correlation was not fitted to {spec.refrigerant}"
    if coldest < march.table.freezing_point:
        yield "the wall is colder than the coolant's freezing point: ice grows, and this will not last"
    if coolant_outlet < march.table.freezing_point:
        yield "the coolant would leave below its freezing point: it is slush by then"
    if drop > 0.1 * march.pressure:
        yield "refrigerant pressure drop above 10 % of the boiling pressure: the inlet boils noticeably warmer"
    if spec.fed_channels < 1.0:
        yield "channels without coolant are taken to pass no heat; liquid may leave them unboiled"
