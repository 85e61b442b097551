"""Wet coil by enthalpy potential, step by step through its depth, boiling part and superheated part side by side."""

import math

from thermo_kit.checks import Checks
from thermo_kit.components.evaporator.air import (
    AIR_CONSTANT,
    DRY_AIR_HEAT,
    EVAPORATION,
    MASS_RATIO,
    VAPOUR_HEAT,
    WATER_HEAT,
    ZERO,
    air_temperature,
    dew_point,
    humidity_at,
    moist_enthalpy,
    relative_humidity_at,
    saturated_humidity,
)
from thermo_kit.components.evaporator.spec import CoilAir, EvaporatorResult
from thermo_kit.substances import Refrigerant
from thermo_kit.units import format_quantity

STEPS = 16
_CLOSEST = 0.5
_SMALL_SUPERHEAT = 0.01
# Gauss-Legendre, five points on 0 to 1: exact to the tenth degree in the refrigerant's enthalpy.
_GAUSS = tuple(
    (0.5 + 0.5 * x, 0.5 * w)
    for x, w in (
        (-0.9061798459386640, 0.2369268850561891),
        (-0.5384693101056831, 0.4786286704993665),
        (0.0, 0.5688888888888889),
        (0.5384693101056831, 0.4786286704993665),
        (0.9061798459386640, 0.2369268850561891),
    )
)


def solve_evaporator(spec, conditions, *, steps=STEPS):
    """Return vent air, condensate, surface temperature and refrigerant flow of a coil.

    Parameters
    ----------
    spec : EvaporatorSpec
        The coil.
    conditions : EvaporatorConditions
        Air in front of it, refrigerant at valve and outlet.
    steps : int
        Steps through the depth of the coil, 4 to 400.

    Returns
    -------
    EvaporatorResult
        Everything, SI.

    Raises
    ------
    OutOfRangeError
        If the air is not warmer than the refrigerant that leaves, or the valve gets no liquid.

    Notes
    -----
    The last part of the face, in which the refrigerant is only superheated, works beside the boiling part; each
    gets its share of the air, and the vent mixes both. Lewis factor 1. Steady: frost and its growth are not
    followed. Boiling conductance does not change with the flow.

    References
    ----------
    Threlkeld, Thermal Environmental Engineering (1970), enthalpy potential over wet surfaces.
    ASHRAE Handbook - HVAC Systems and Equipment, air-cooling and dehumidifying coils (dry, wet and partly wet).

    Examples
    --------
    >>> from thermo_kit.components.evaporator import van_coil, van_conditions
    >>> result = solve_evaporator(van_coil(), van_conditions())
    >>> result.energy_closure < 1e-6 and result.water_closure < 1e-6
    True
    """
    fluid = Refrigerant(conditions.refrigerant)
    T0 = conditions.evaporating_temperature
    _check(conditions, fluid, steps)
    p0 = fluid.dew_pressure(T0)
    h_valve = fluid.at(p=conditions.valve_pressure, T=conditions.liquid_temperature).h
    h_vapour = fluid.at(T=T0, x=1.0).h
    h_out = _outlet_enthalpy(fluid, p0, T0, h_vapour, conditions.superheat)
    _check_valve(conditions, p0, h_valve, h_vapour)

    pressure, w_in = conditions.air_pressure, humidity_at(
        conditions.air_temperature, conditions.relative_humidity, conditions.air_pressure
    )  # fmt: skip
    air_flow = conditions.air_flow * _flow_left(spec)
    specific_volume = AIR_CONSTANT * conditions.air_temperature * (1.0 + w_in / MASS_RATIO) / pressure
    dry_air = air_flow / specific_volume
    inlet = _air(moist_enthalpy(conditions.air_temperature, w_in), w_in, pressure)
    open_share = 1.0 - spec.blocked_share
    # The flow per open face sets the film; the open face sets how much of it there is.
    air_side = spec.air_conductance * open_share * (dry_air / open_share / spec.reference_air_flow) ** spec.air_exponent
    face = _Face(inlet, pressure, dry_air, air_side, steps)

    boiling = face.strip(T0, spec.boiling_conductance * open_share)
    superheated, taken = _superheated_part(face, fluid, spec, conditions, p0, h_vapour, h_out, open_share)
    # Per kilogram of flow: face needed for boiling and for superheating. Both together are the whole face.
    flow = 1.0 / ((h_vapour - h_valve) / boiling.heat + taken)
    dry_share = flow * taken
    parts = [(1.0 - dry_share, boiling), *((flow * need, strip) for need, strip in superheated)]
    h_mix = sum(share * strip.h for share, strip in parts)
    w_mix = sum(share * strip.w for share, strip in parts)
    condensate = sum(share * strip.condensate for share, strip in parts)
    drained = sum(share * strip.drained for share, strip in parts)
    capacity = flow * (h_out - h_valve)
    from_air = dry_air * (inlet.h - h_mix) - drained
    vent = _air(h_mix, w_mix, pressure)
    sensible = dry_air * (DRY_AIR_HEAT + VAPOUR_HEAT * w_mix) * (inlet.T - vent.T)
    coldest = min(boiling.surface)
    frost = coldest < ZERO and coldest < inlet.dew_point
    return EvaporatorResult(
        spec=spec,
        conditions=conditions,
        inlet=inlet,
        vent=vent,
        wet_side=_air(boiling.h, boiling.w, pressure),
        dry_side=_dry_side(superheated, taken, pressure),
        superheated_share=dry_share,
        mass_flow=flow,
        cooling_capacity=capacity,
        sensible=sensible,
        latent=capacity - sensible,
        condensate=condensate,
        dry_air_flow=dry_air,
        air_flow=air_flow,
        coldest_surface=coldest,
        mean_surface=sum(boiling.surface) / len(boiling.surface),
        bypass_share=math.exp(-face.transfer_units),
        frost=frost,
        depth=tuple(i / steps for i in range(steps + 1)),
        air_path=tuple(boiling.T_path),
        humidity_path=tuple(boiling.w_path),
        surface_path=tuple(boiling.surface),
        evaporating_pressure=p0,
        valve_enthalpy=h_valve,
        vapour_enthalpy=h_vapour,
        outlet_enthalpy=h_out,
        energy_closure=abs(from_air - capacity) / capacity,
        water_closure=abs(dry_air * (w_in - w_mix) - condensate) / max(dry_air * w_in, 1e-12),
        notes=_notes(frost, h_mix, w_mix, pressure, condensate),
    )


def _outlet_enthalpy(fluid, p0, T0, h_vapour, superheat):
    # At the dew line pressure and temperature fix no state: the last hundredth of a kelvin is a straight line.
    if superheat >= _SMALL_SUPERHEAT:
        return fluid.at(p=p0, T=T0 + superheat).h
    step = fluid.at(p=p0, T=T0 + _SMALL_SUPERHEAT).h - h_vapour
    return h_vapour + step * superheat / _SMALL_SUPERHEAT


class _Strip:
    """What leaves one strip of the coil, scaled as if the whole face were like it."""

    def __init__(self, heat, h, w, condensate, drained, T_path, w_path, surface):
        self.heat, self.h, self.w = heat, h, w
        self.condensate, self.drained = condensate, drained
        self.T_path, self.w_path, self.surface = T_path, w_path, surface


class _Face:
    """The air side of the coil: every strip of it gets the same air at the same speed."""

    def __init__(self, inlet, pressure, dry_air, conductance, steps):
        self.inlet, self.pressure, self.dry_air, self.steps = inlet, pressure, dry_air, steps
        heat_capacity = DRY_AIR_HEAT + VAPOUR_HEAT * inlet.humidity_ratio
        self.transfer_units = conductance / (dry_air * heat_capacity)
        self.touched = 1.0 - math.exp(-self.transfer_units / steps)

    def strip(self, refrigerant_temperature, conductance):
        """Follow the air through the depth, with the refrigerant at one temperature all the way."""
        T, w = self.inlet.T, self.inlet.humidity_ratio
        step_conductance = conductance / self.steps
        T_path, w_path, surface = [T], [w], []
        heat = condensate = drained = 0.0
        guess = 0.3 * T + 0.7 * refrigerant_temperature
        for _ in range(self.steps):
            guess = self._surface(T, w, refrigerant_temperature, step_conductance, guess)
            passed, T, w, fallen = self._step(T, w, guess)
            heat += passed
            condensate += fallen
            drained += fallen * WATER_HEAT * (guess - ZERO)
            T_path.append(T)
            w_path.append(w)
            surface.append(guess)
        return _Strip(heat, moist_enthalpy(T, w), w, condensate, drained, T_path, w_path, surface)

    def _step(self, T, w, surface):
        """Heat to the surface, air behind the step, and water left on it, for a surface temperature."""
        T_out = T - self.touched * (T - surface)
        fallen_share = self.touched * max(w - saturated_humidity(surface, self.pressure), 0.0)
        w_out = w - fallen_share
        heat = self.dry_air * (
            moist_enthalpy(T, w) - moist_enthalpy(T_out, w_out) - fallen_share * WATER_HEAT * (surface - ZERO)
        )
        return heat, T_out, w_out, self.dry_air * fallen_share

    def _surface(self, T, w, refrigerant, conductance, guess):
        """Surface temperature at which what the air gives is what the refrigerant takes: a guarded secant."""
        low, high = refrigerant, T
        x = min(max(guess, low), high)
        last_x = last_f = None
        for _ in range(80):
            f = self._step(T, w, x)[0] - conductance * (x - refrigerant)
            if f > 0.0:
                low = x
            else:
                high = x
            if abs(f) <= 1e-12 * (conductance * (T - refrigerant)) or high - low < 1e-12:
                return x
            slope = self._slope(T, x, conductance) if last_x is None else (f - last_f) / (x - last_x)
            last_x, last_f = x, f
            x = x - f / slope if slope < 0.0 else 0.5 * (low + high)
            if not low < x < high:
                x = 0.5 * (low + high)
        return x

    def _slope(self, T, surface, conductance):
        air = self.dry_air * self.touched * DRY_AIR_HEAT
        wet = saturated_humidity(surface, self.pressure) * EVAPORATION * 0.07 / DRY_AIR_HEAT
        return -conductance - air * (1.0 + wet)


def _superheated_part(face, fluid, spec, conditions, p0, h_vapour, h_out, open_share):
    """Face that one kilogram per second needs to be superheated, in pieces with their strips."""
    if h_out <= h_vapour:
        return [], 0.0
    conductance = spec.boiling_conductance * open_share * spec.vapour_share
    T0, pieces = conditions.evaporating_temperature, []
    for place, weight in _GAUSS:
        # The vapour's heat capacity hardly changes over a few kelvin; the enthalpy itself is split exactly.
        strip = face.strip(T0 + place * conditions.superheat, conductance)
        pieces.append((weight * (h_out - h_vapour) / strip.heat, strip))
    return pieces, sum(need for need, _ in pieces)


def _dry_side(pieces, taken, pressure):
    if not pieces:
        return None
    h = sum(need * strip.h for need, strip in pieces) / taken
    w = sum(need * strip.w for need, strip in pieces) / taken
    return _air(h, w, pressure)


def _flow_left(spec):
    """Share of the air that is left behind dirt: turbulent resistance of coil and ducts at the same blower pressure."""
    coil = spec.coil_resistance_share
    return 1.0 / math.sqrt(1.0 - coil + coil / (1.0 - spec.blocked_share) ** 2)


def _air(h, w, pressure):
    T = air_temperature(h, w)
    dew = dew_point(w, pressure) if w > 0 else 173.15
    return CoilAir(
        T=T, humidity_ratio=w, relative_humidity=min(relative_humidity_at(T, w, pressure), 1.0), dew_point=dew, h=h
    )


def _notes(frost, h, w, pressure, condensate):
    notes = []
    if frost:
        notes.append("The surface is below 0 °C: water freezes on it, and the ice will close the coil in time.")
    if condensate <= 0.0:
        notes.append("The surface stays above the dew point of the air: no water condenses.")
    if w > 0 and relative_humidity_at(air_temperature(h, w), w, pressure) > 1.0 + 1e-9:
        notes.append("The air leaves with a little fog; its humidity is shown as 100 %.")
    return tuple(notes)


def _check(conditions, fluid, steps):
    checks = Checks()
    if not isinstance(steps, int) or not 4 <= steps <= 400:
        checks.add("steps through the coil", repr(steps), "must be a whole number from 4 to 400", "leave it out")
    leaves = conditions.evaporating_temperature + conditions.superheat
    if conditions.air_temperature < leaves + _CLOSEST:
        shown = format_quantity(conditions.air_temperature, "temperature")
        checks.add(
            "air in front of the coil",
            shown,
            f"is not warmer than the vapour that leaves at {format_quantity(leaves, 'temperature')}",
            "lower the superheat or the evaporating temperature, or check whether air and coil were swapped",
        )
    if conditions.evaporating_temperature > fluid.critical_temperature - 2.0:
        checks.add("evaporating temperature", "", "must lie 2 K below the critical point", "choose a lower one")
    checks.raise_if_any()


def _check_valve(conditions, p0, h_valve, h_vapour):
    checks = Checks()
    if conditions.valve_pressure <= p0:
        checks.add(
            "pressure in front of the valve",
            format_quantity(conditions.valve_pressure, "pressure"),
            f"is not above the evaporating pressure, {format_quantity(p0, 'pressure')}",
            "were high side and low side swapped, or was a gauge pressure typed for an absolute one?",
        )
    elif h_vapour - h_valve < 0.1 * h_vapour:
        checks.add(
            "liquid in front of the valve",
            format_quantity(conditions.liquid_temperature, "temperature"),
            "leaves hardly anything to boil at this pressure",
            "was a hot-gas temperature typed, or a gauge pressure for an absolute one?",
        )
    checks.raise_if_any()
