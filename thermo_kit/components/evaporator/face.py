"""The air side of a coil: one strip of it followed through the depth, dry at first, wet where the surface is cold."""

from dataclasses import dataclass

from thermo_kit.laws.exchange import effectiveness
from thermo_kit.substances.moist_air import (
    DRY_AIR_HEAT,
    EVAPORATION,
    VAPOUR_HEAT,
    WATER_HEAT,
    ZERO,
    moist_enthalpy,
    saturated_humidity_and_slope,
)

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
