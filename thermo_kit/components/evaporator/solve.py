"""Wet coil by enthalpy potential, step by step through its depth, boiling part and superheated part side by side."""

import functools
import math
from dataclasses import dataclass

from thermo_kit.components.evaporator.spec import EvaporatorResult
from thermo_kit.errors import OutOfRangeError
from thermo_kit.laws.closure import closed
from thermo_kit.laws.exchange import effectiveness
from thermo_kit.laws.roots import root_near
from thermo_kit.substances import Refrigerant, Stream
from thermo_kit.substances.moist_air import (
    AIR_CONSTANT,
    DRY_AIR_HEAT,
    EVAPORATION,
    MASS_RATIO,
    VAPOUR_HEAT,
    WATER_HEAT,
    ZERO,
    air_state,
    humidity_at,
    moist_enthalpy,
    saturated_humidity_and_slope,
)
from thermo_kit.units import Amount, Checks, Said

_MOST_ROUNDS = 80
_CLOSE_ENOUGH = 1e-12


@dataclass(frozen=True, slots=True)
class Strip:
    """What one strip of the coil does, scaled as if the whole face were like it.

    heat: through the film to the refrigerant [W]; h: of the air behind, per dry air [J/kg];
    w: humidity ratio behind [kg/kg]; condensate: by the air's humidity [kg/s];
    condensate_by_heat: the same, told by the heat that cooling the air leaves over [kg/s];
    drained: heat that the water carries off [W]; T_path, w_path: air through the depth [K], [kg/kg];
    surface: between these places [K]
    """

    heat: float
    h: float
    w: float
    condensate: float
    condensate_by_heat: float
    drained: float
    T_path: tuple[float, ...]
    w_path: tuple[float, ...]
    surface: tuple[float, ...]


class Face:
    """The face of a coil: every strip of it gets the same air at the same speed.

    pressure [Pa], dry_air [kg/s], conductance [W/K].
    """

    def __init__(self, inlet, pressure, dry_air, conductance, steps):
        self.inlet, self.pressure, self.dry_air, self.steps = inlet, pressure, dry_air, steps
        heat_capacity = DRY_AIR_HEAT + VAPOUR_HEAT * inlet.humidity_ratio
        self.transfer_units = conductance / (dry_air * heat_capacity)
        self.touched = effectiveness(self.transfer_units / steps)

    def strip(self, refrigerant, conductance):
        """Follow the air through the depth, with the refrigerant at one temperature all the way.

        refrigerant [K], conductance [W/K].
        """
        T, w, dew = self.inlet.T, self.inlet.humidity_ratio, self.inlet.dew_point
        film, touched, air = conductance / self.steps, self.touched, self.dry_air
        T_path, w_path, surface = [T], [w], []
        heat = condensate = by_heat = drained = 0.0
        wet = False
        for _ in range(self.steps):
            moist = DRY_AIR_HEAT + VAPOUR_HEAT * w
            fallen = 0.0
            if wet:
                guess = 2.0 * surface[-1] - surface[-2] if len(surface) > 1 else surface[-1]
                x, fallen = self._wet_surface(T, w, refrigerant, film, guess)
            else:
                # Without water both sides are straight lines in the surface temperature.
                given = air * touched * moist
                x = (given * T + film * refrigerant) / (given + film)
                if x < dew:
                    wet = True
                    x, fallen = self._wet_surface(T, w, refrigerant, film, x)
            T_behind = T - touched * (T - x)
            passed = film * (x - refrigerant)
            carried = WATER_HEAT * (x - ZERO)
            beyond = passed - air * touched * moist * (T - x)
            by_heat += beyond / (EVAPORATION + VAPOUR_HEAT * (T_behind - ZERO) - carried)
            heat += passed
            condensate += air * fallen
            drained += air * fallen * carried
            T, w = T_behind, w - fallen
            T_path.append(T)
            w_path.append(w)
            surface.append(x)
        return Strip(
            heat, moist_enthalpy(T, w), w, condensate, by_heat, drained, tuple(T_path), tuple(w_path), tuple(surface)
        )

    def _wet_surface(self, T, w, refrigerant, film, x):
        """Surface temperature and water left on it, where the air gives what the refrigerant takes: guarded Newton."""
        touched, air, pressure = self.touched, self.dry_air, self.pressure
        moist = touched * (DRY_AIR_HEAT + VAPOUR_HEAT * w)
        low, high = refrigerant, T
        if not low < x < high:
            x = 0.7 * low + 0.3 * high
        enough = _CLOSE_ENOUGH * film * (T - refrigerant)
        for _ in range(_MOST_ROUNDS):
            saturated, steepness = saturated_humidity_and_slope(x, pressure)
            fallen = touched * max(w - saturated, 0.0)
            # Each kilogram of water gives up the vapour's heat behind the step and runs off as warm as the surface.
            each = EVAPORATION + VAPOUR_HEAT * (T - touched * (T - x) - ZERO) - WATER_HEAT * (x - ZERO)
            left = air * (moist * (T - x) + fallen * each) - film * (x - refrigerant)
            if abs(left) <= enough:
                break
            if left > 0.0:
                low = x
            else:
                high = x
            if high - low < 1e-12:
                break
            slope = -air * moist - film
            if fallen > 0.0:
                slope += air * (fallen * (VAPOUR_HEAT * touched - WATER_HEAT) - touched * steepness * each)
            x -= left / slope
            if not low < x < high:
                x = 0.5 * (low + high)
        return x, fallen


STEPS = 16
CLOSEST = 0.5
"""How much warmer than the vapour that leaves the air must be [K]."""
_SMALL_SUPERHEAT = 0.01
_WETTEST_INLET = 0.8
_LEAST_WATER, _LEAST_HUMIDITY = 1e-4, 1e-4
_MOST_SPAN = 12.0
# Gauss-Legendre, three points on 0 to 1.
_GAUSS = tuple((0.5 + 0.5 * x, 0.5 * w) for x, w in ((-math.sqrt(0.6), 5 / 9), (0.0, 8 / 9), (math.sqrt(0.6), 5 / 9)))


def solve_evaporator(spec, conditions, *, steps=STEPS):
    """Return vent air, condensate, surface temperature and refrigerant flow of a coil held at its temperature.

    Parameters
    ----------
    spec : EvaporatorSpec. The coil.
    conditions : EvaporatorConditions. Air in front of it, refrigerant at valve and outlet.
    steps : int. Steps through the depth of the coil, 4 to 400.

    Returns: EvaporatorResult. Everything, SI. Raises OutOfRangeError if the air is not warmer than the refrigerant that
        leaves, or the valve gets no liquid; NoSolutionError if a balance does not close.

    Notes
    -----
    The evaporating temperature is given and held: compressor and valve are taken to follow, whatever the load. A
    whole system settles elsewhere, with a lower evaporating pressure where less heat comes in; `run_evaporator`
    solves the coil for such a system.

    The last part of the face, in which the refrigerant is only superheated, works beside the boiling part; each
    gets its share of the air, and the vent mixes both. Lewis factor 1. The air-side conductance is the dry one
    where the fins are wet too: the poorer fin efficiency under water and the water held between the fins are left
    out, and so is the refrigerant's pressure drop. The boiling conductance does not change with the flow.

    Steady: frost and its growth are not followed, and the heat of freezing (some 13 % of the latent heat) is left
    out. Air that leaves a fin with more water than it can hold becomes fog: behind the coil, air and droplets are
    brought into balance in one adiabatic step, and the droplets stay in the air.

    Three balances are held against each other for `energy_closure`: the refrigerant's enthalpy, the air's
    enthalpy less the water's, and the film between surface and refrigerant. `water_closure` holds the loss of
    humidity against the water told by the film's heat that cooling the air leaves over.

    References: Threlkeld, Thermal Environmental Engineering (1970), enthalpy potential over wet surfaces. ASHRAE
        Handbook - HVAC Systems and Equipment, air-cooling and dehumidifying coils (dry, wet and partly wet).

    Examples
    --------
    >>> from thermo_kit.fleet import part_of
    >>> result = solve_evaporator(part_of("parcel_van", "evaporator"), part_of("parcel_van", "evaporator_conditions"))
    >>> result.energy_closure < 1e-6 and result.water_closure < 1e-6
    True
    """
    T0, superheat = conditions.evaporating_temperature, conditions.superheat
    _check(conditions, T0 + superheat, steps)
    held = conditions.refrigerant, T0, superheat, conditions.valve_pressure, conditions.liquid_temperature
    p, h_valve, h_vapour, h_outlet = _held(*held)
    coil = _Coil(spec, conditions, T0, steps)
    pieces, taken = coil.superheated(T0, superheat, h_outlet - h_vapour)
    # Per kilogram of flow: face needed for boiling and for superheating. Both together are the whole face.
    flow = 1.0 / ((h_vapour - h_valve) / coil.boiling.heat + taken)
    feed = Stream(refrigerant=conditions.refrigerant, pressure=p, enthalpy=h_valve, mass_flow=flow)
    return coil.result(feed, h_vapour, h_outlet, superheat, pieces, flow * taken)


def run_evaporator(spec, air, feed, *, steps=STEPS):
    """Return what a coil makes of the refrigerant that comes: how it leaves, and the air behind.

    Parameters
    ----------
    spec : EvaporatorSpec. The coil.
    air : EnteringAir. Air in front of it.
    feed : Stream. Refrigerant behind the valve: its pressure is that of the whole coil, its mass flow is needed.
    steps : int. Steps through the depth of the coil, 4 to 400.

    Returns: EvaporatorResult. Everything, SI; `outlet` is wet where the coil cannot boil all that comes, and
        `superheat` then None. Raises OutOfRangeError if the air is not warmer than the refrigerant, or the pressure
        lies near the critical one; NoSolutionError if a balance does not close.

    Notes: The same model as `solve_evaporator`, asked the other way: there superheat and evaporating temperature are
        given and the flow is found, here flow and pressure are given and the superheat is found. A liquid that is
        colder than it boils is taken as boiling from the start.

    References: As in `solve_evaporator`.

    Examples
    --------
    >>> from thermo_kit.fleet import part_of
    >>> coil, day = part_of("parcel_van", "evaporator"), part_of("parcel_van", "evaporator_conditions")
    >>> held = solve_evaporator(coil, day)
    >>> round(run_evaporator(coil, day, held.feed).superheat, 6)
    5.0
    """
    fluid, flow, coil, h_vapour, T_start, left = _fed(spec, air, feed, steps)
    T0 = coil.T0
    if left <= 0.0:
        return coil.result(feed, h_vapour, feed.enthalpy + coil.boiling.heat / flow, None, [], 0.0)
    start = max(feed.enthalpy, h_vapour)

    def end(span):
        T = air.air_temperature - (air.air_temperature - T_start) * math.exp(-span)
        return T, _enthalpy_of_vapour(fluid, feed.pressure, T0, h_vapour, T - T0)

    def warmed(span):
        T, h = end(span)
        return coil.superheated(T_start, T - T_start, h - start)

    def wanting(span):
        return left - flow * warmed(span)[1]

    # The face that each e-fold of nearing the air takes hardly changes with their number.
    guess = 0.3 * left / (flow * warmed(0.3)[1])
    if guess > 0.9 * _MOST_SPAN and wanting(_MOST_SPAN) > 0.0:
        # So little flow that the vapour is as warm as the air long before it leaves: the rest of the face idles.
        span = _MOST_SPAN
    else:
        span = root_near(wanting, guess, lambda off: 1.1 * guess * abs(off) / left, 0.0, _MOST_SPAN,
                         what="superheat at the evaporator outlet")  # fmt: skip
    (T, h), (pieces, taken) = end(span), warmed(span)
    idle = left - flow * taken
    if idle > 0.0:
        pieces = [*pieces, (idle / flow, coil.face.strip(air.air_temperature, 1.0))]
    return coil.result(feed, h_vapour, h, T - T0, pieces, left)


def outlet_near(spec, air, feed, supposed, *, steps=STEPS):
    """Return how the refrigerant would leave a coil, estimated from an outlet that is supposed.

    Parameters
    ----------
    spec : EvaporatorSpec. The coil.
    air : EnteringAir. Air in front of it.
    feed : Stream. As of `run_evaporator`.
    supposed : float, [J/kg]. Enthalpy at the outlet.
    steps : int. Steps through the depth of the coil, 4 to 400.

    Returns: tuple of float. Enthalpy at the outlet [J/kg], that of `run_evaporator` where it is the supposed one; share
        of the face in which there is vapour alone [-].

    Raises: OutOfRangeError. As of `run_evaporator`.

    Notes: For a search that supposes the outlet anyway, in a fifth of the time: the face that each e-fold of nearing
        the air takes is asked once, at the supposed outlet, and hardly changes with it.

    References: As in `solve_evaporator`.
    """
    fluid, flow, coil, h_vapour, T_start, left = _fed(spec, air, feed, steps)
    if left <= 0.0:
        return feed.enthalpy + coil.boiling.heat / flow, 0.0
    start, ahead = max(feed.enthalpy, h_vapour), air.air_temperature - T_start
    T = fluid.at(p=feed.pressure, h=supposed).T if supposed > start + 1e3 else T_start
    rise = min(max(T - T_start, 0.5), ahead * (1.0 - math.exp(-_MOST_SPAN)))
    gained = _enthalpy_of_vapour(fluid, feed.pressure, coil.T0, h_vapour, T_start + rise - coil.T0) - start
    each = coil.superheated(T_start, rise, gained)[1] / -math.log1p(-rise / ahead)
    T = air.air_temperature - ahead * math.exp(-min(left / (flow * each), _MOST_SPAN))
    return _enthalpy_of_vapour(fluid, feed.pressure, coil.T0, h_vapour, T - coil.T0), left


def _fed(spec, air, feed, steps):
    """Return (fluid, flow, coil, dew enthalpy, temperature behind the valve, face left when all has boiled)."""
    fluid, flow = Refrigerant(feed.refrigerant), feed.flow
    with Checks() as checks:
        checks.within("refrigerant flow", feed.flow, 1e-6, 5.0, kind="mass_flow")
        highest = fluid.dew_pressure(fluid.critical_temperature - 2.0)
        checks.within("pressure in the evaporator", feed.pressure, 1e4, highest, kind="pressure")
    T0 = fluid.dew_temperature(feed.pressure)
    h_vapour = fluid.at(T=T0, x=1.0).h
    T_start = T0 if feed.enthalpy <= h_vapour else fluid.at(p=feed.pressure, h=feed.enthalpy).T
    _check(air, T_start, steps)
    coil = _Coil(spec, air, T0, steps)
    return fluid, flow, coil, h_vapour, T_start, 1.0 - flow * max(h_vapour - feed.enthalpy, 0.0) / coil.boiling.heat


class _Coil:
    """A coil with the air that enters it and the refrigerant's temperature, before its flow is known."""

    def __init__(self, spec, air, T0, steps):
        self.spec, self.air, self.T0, self.steps = spec, air, T0, steps
        p, T = air.air_pressure, air.air_temperature
        w = humidity_at(T, air.relative_humidity, p)
        # Left behind dirt: turbulent resistance of coil and ducts at the same blower pressure.
        coil = spec.coil_resistance_share
        self.air_flow = air.air_flow * (1.0 / math.sqrt(1.0 - coil + coil / (1.0 - spec.blocked_share) ** 2))
        self.dry_air = self.air_flow * p / (AIR_CONSTANT * T * (1.0 + w / MASS_RATIO))
        self.inlet = air_state(moist_enthalpy(T, w), w, p)
        self.open_share = 1.0 - spec.blocked_share
        # The flow per open face sets the film; the open face sets how much of it there is.
        speed = self.dry_air / self.open_share / spec.reference_air_flow
        self.face = Face(self.inlet, p, self.dry_air, spec.air_conductance * self.open_share * speed**spec.air_exponent,
                         steps)  # fmt: skip
        self.boiling = self.face.strip(T0, spec.boiling_conductance * self.open_share)

    def superheated(self, T_start, rise, gained):
        """Face that one kilogram per second needs to be warmed, in pieces with their strips; rise [K], gained [J/kg].

        Vapour nears the air along an exponential: points even in its logarithm hold close to the air's temperature
        too.
        """
        if gained <= 0.0:
            return [], 0.0
        conductance = self.spec.boiling_conductance * self.open_share * self.spec.vapour_share
        T_air = self.air.air_temperature
        ahead = T_air - T_start
        span = math.log(ahead / (ahead - rise))
        left = [(weight, ahead * math.exp(-place * span)) for place, weight in _GAUSS]
        whole = sum(weight * gap for weight, gap in left)
        pieces = []
        for weight, gap in left:
            # The vapour's heat capacity hardly changes over a few kelvin; the enthalpy itself is split exactly.
            strip = self.face.strip(T_air - gap, conductance)
            pieces.append((weight * gap / whole * gained / strip.heat, strip))
        return pieces, sum(need for need, _ in pieces)

    def result(self, feed, h_vapour, h_outlet, superheat, pieces, dry_share):
        """Mix the air of all parts and hold the balances against each other."""
        inlet, boiling, dry_air, p = self.inlet, self.boiling, self.dry_air, self.air.air_pressure
        flow = feed.mass_flow
        parts = [(1.0 - dry_share, boiling), *((flow * need, strip) for need, strip in pieces)]
        h, w, condensate, by_heat, drained, film = (
            sum(share * getattr(strip, name) for share, strip in parts)
            for name in ("h", "w", "condensate", "condensate_by_heat", "drained", "heat")
        )
        capacity = flow * (h_outlet - feed.enthalpy)
        from_air = dry_air * (inlet.h - h) - drained
        dried = dry_air * (inlet.humidity_ratio - w)
        closures = {
            "energy_closure": _gap(from_air, capacity, film) / capacity,
            "water_closure": _gap(dried, condensate, by_heat)
            / max(condensate, _LEAST_WATER * dry_air * max(inlet.humidity_ratio, _LEAST_HUMIDITY)),
        }
        closed(energy_of_the_evaporator=closures["energy_closure"], water_of_the_evaporator=closures["water_closure"])
        vent = air_state(h, w, p)
        sensible = dry_air * (DRY_AIR_HEAT + VAPOUR_HEAT * w) * (inlet.T - vent.T)
        coldest = min(boiling.surface)
        frost = coldest < ZERO and coldest < inlet.dew_point
        return EvaporatorResult(
            spec=self.spec,
            conditions=self.air,
            inlet=inlet,
            vent=vent,
            wet_side=air_state(boiling.h, boiling.w, p),
            dry_side=_mixed(pieces, dry_share / flow, p),
            superheated_share=dry_share,
            feed=feed,
            outlet=feed.at(enthalpy=h_outlet),
            evaporating_temperature=self.T0,
            superheat=superheat,
            cooling_capacity=capacity,
            sensible=sensible,
            latent=capacity - sensible,
            condensate=condensate,
            drained_heat=drained,
            dry_air_flow=dry_air,
            air_flow=self.air_flow,
            coldest_surface=coldest,
            mean_surface=sum(boiling.surface) / self.steps,
            frost=frost,
            depth=tuple(i / self.steps for i in range(self.steps + 1)),
            vapour_path=boiling.T_path,
            humidity_path=boiling.w_path,
            surface_path=boiling.surface,
            vapour_enthalpy=h_vapour,
            notes=tuple(_notes(frost, vent, condensate)),
            **closures,
        )


def _gap(*values):
    return max(values) - min(values)


@functools.lru_cache(maxsize=256)
def _held(name, T0, superheat, valve_pressure, liquid_temperature):
    """Boiling pressure and enthalpies, kept: a cabin that cools asks for the same ones many hundred times."""
    fluid = Refrigerant(name)
    highest = fluid.critical_temperature - 2.0
    if highest < T0:
        limit = Said("is above {}, 2 K below the critical point", Amount(highest, "temperature"))
        raise OutOfRangeError.about("evaporating temperature", Amount(T0, "temperature"), limit, "choose a lower one")
    p0 = fluid.dew_pressure(T0)
    if valve_pressure <= p0:
        limit = Said("is not above the evaporating pressure, {}", Amount(p0, "pressure"))
        advice = "were high side and low side swapped, or was a gauge pressure typed for an absolute one?"
        raise OutOfRangeError.about("pressure in front of the valve", Amount(valve_pressure, "pressure"), limit, advice)
    h_valve = fluid.at(p=valve_pressure, T=liquid_temperature).h
    h_vapour, h_liquid = fluid.at(T=T0, x=1.0).h, fluid.at(T=T0, x=0.0).h
    quality = (h_valve - h_liquid) / (h_vapour - h_liquid)
    if quality > _WETTEST_INLET:
        advice = "was a hot-gas temperature typed, or a gauge pressure for an absolute one?"
        told = f"leaves hardly anything to boil: {min(100.0 * quality, 100.0):.0f} % is vapour behind the valve"
        given = Amount(liquid_temperature, "temperature")
        raise OutOfRangeError.about("liquid in front of the valve", given, told, advice)
    return p0, h_valve, h_vapour, _enthalpy_of_vapour(fluid, p0, T0, h_vapour, superheat)


def _enthalpy_of_vapour(fluid, p0, T0, h_vapour, superheat):
    # At the dew line pressure and temperature fix no state: the last hundredth of a kelvin is a straight line.
    if superheat >= _SMALL_SUPERHEAT:
        return fluid.at(p=p0, T=T0 + superheat).h
    step = fluid.at(p=p0, T=T0 + _SMALL_SUPERHEAT).h - h_vapour
    return h_vapour + step * superheat / _SMALL_SUPERHEAT


def _mixed(pieces, taken, pressure):
    if not pieces:
        return None
    h = sum(need * strip.h for need, strip in pieces) / taken
    w = sum(need * strip.w for need, strip in pieces) / taken
    return air_state(h, w, pressure)


def _notes(frost, vent, condensate):
    if frost:
        yield "The surface is below 0 °C (32 °F): water freezes on it, and the ice will close the coil in time."
    if condensate <= 0.0:
        yield "The surface stays above the dew point of the air: no water condenses."
    if vent.droplets > 0.0:
        yield "The air leaves with a little fog; its humidity is shown as 100 %."


def _check(air, leaves, steps):
    with Checks() as checks:
        checks.whole("steps through the coil", steps, 4, 400, advice="leave it out")
        if air.air_temperature < leaves + CLOSEST:
            limit = Said("is not warmer than the vapour that leaves at {}", Amount(leaves, "temperature"))
            advice = "lower the superheat or the evaporating temperature, or check whether air and coil were swapped"
            checks.add("air in front of the coil", Amount(air.air_temperature, "temperature"), limit, advice)
