"""One stream of the exchanger over its temperature range: enthalpy, film coefficient, friction, in tube or gap."""

import functools
import math

import numpy as np

from thermo_kit.laws.films import laminar_to_turbulent, single_phase_coefficient
from thermo_kit.laws.friction import single_phase_friction
from thermo_kit.substances import Refrigerant

FINE = 65
# Below the critical pressure properties change gently with temperature; above it specific heat peaks.
NODES, NODES_ABOVE_CRITICAL = 4, 17
# Closer than this to the saturation line transport properties cannot be asked for.
_OFF_THE_LINE = 0.05


def annulus_coefficient(*, mass_flux, inner, outer, viscosity, conductivity, specific_heat):
    """Return the film coefficient on the inner wall of a gap between two tubes; the outer wall passes no heat.

    mass_flux [kg/(m² s)], inner, outer [m]: outside of the inner tube, bore of the outer one; viscosity [Pa s],
    conductivity [W/(m K)], specific_heat [J/(kg K)] → [W/(m² K)].

    Notes: Laminar below Re 2300 (on the gap's hydraulic diameter), turbulent above 4000, a straight line between: no
        jump. Entry length is left out. The factor of the diameters and the laminar form were read in the source text of
        three independent public programs that name the papers, not in the papers.

    References: Gnielinski, Heat Transfer Engineering 30 (2009) 431-436, with the tube equation of Petukhov, Kirillov &
        Popov as carried by `ht`; laminar: Gnielinski in VDI Heat Atlas, section G2 (heat at the inner wall only).

    Examples
    --------
    >>> round(annulus_coefficient(mass_flux=20.0, inner=0.025, outer=0.045, viscosity=0.0325,
    ...                           conductivity=0.138, specific_heat=2131.0), 1)
    38.5
    """
    ratio, gap = inner / outer, outer - inner
    reynolds = mass_flux * gap / viscosity
    prandtl = viscosity * specific_heat / conductivity
    laminar = 3.66 + 1.2 * ratio**-0.8
    nusselt = laminar_to_turbulent(reynolds, laminar, lambda number: _turbulent(number, prandtl, ratio))
    return nusselt * conductivity / gap


def _turbulent(reynolds, prandtl, ratio):
    from ht.conv_internal import turbulent_Petukhov_Kirillov_Popov

    friction = (1.8 * math.log10(reynolds * shape_factor(ratio)) - 1.5) ** -2
    return 0.75 * ratio**-0.17 * turbulent_Petukhov_Kirillov_Popov(Re=reynolds, Pr=prandtl, fd=friction)


def shape_factor(ratio):
    """Return what turns the Reynolds number of a gap into that of a tube with the same laminar friction.

    ratio [-] → [-].

    References: Exact solution of laminar flow in a concentric gap (any fluid mechanics textbook); its use for turbulent
        flow: Jones & Leung, J. Fluids Eng. 103 (1981) 615-623.
    """
    log = math.log(ratio)
    return ((1.0 + ratio**2) * log + (1.0 - ratio**2)) / ((1.0 - ratio) ** 2 * log)


def annulus_friction(*, mass_flux, inner, outer, density, viscosity):
    """Return the friction of pure liquid or vapour per metre of a smooth gap between two tubes.

    mass_flux [kg/(m² s)], inner, outer [m] as above, density [kg/m³], viscosity [Pa s] → [Pa/m].

    References: Jones & Leung, J. Fluids Eng. 103 (1981) 615-623, with the friction curve of Churchill (1977) as carried
        by `fluids`.
    """
    from fluids.friction import Churchill_1977

    gap = outer - inner
    reynolds = mass_flux * gap / viscosity * shape_factor(inner / outer)
    return Churchill_1977(reynolds, 0.0) / gap * mass_flux**2 / (2.0 * density)


class Side:
    """Tables of one stream; temperature in equal steps from the coldest to the hottest it can take on.

    span [K], mass_flow [kg/s].
    """

    def __init__(self, spec, fluid, inlet, span, mass_flow, in_tube):
        self.spec, self.inlet, self.in_tube = spec, inlet, in_tube
        self.mass_flux = mass_flow / (spec.tube_area if in_tube else spec.gap_area)
        is_above = inlet.p >= fluid.critical_pressure
        self.temperature = np.linspace(*span, NODES_ABOVE_CRITICAL if is_above else NODES)
        nodes = [self._node(fluid, inlet, float(T)) for T in self.temperature]
        enthalpy, specific_heat, self.density, self.coefficient, self.friction, viscosity = map(
            np.array, zip(*nodes, strict=True)
        )
        at_inlet = 0 if abs(inlet.T - self.temperature[0]) < abs(inlet.T - self.temperature[-1]) else -1
        hydraulic = spec.inner_diameter if in_tube else spec.outer_diameter - spec.tube_outside
        self.reynolds = self.mass_flux * hydraulic / float(viscosity[at_inlet])
        self.fine_temperature = np.linspace(*span, FINE)
        step = float(self.temperature[1] - self.temperature[0])
        self.fine_enthalpy = _through(len(nodes), enthalpy, specific_heat * step)

    def _node(self, fluid, inlet, T):
        known = (inlet.h, inlet.rho) if abs(T - inlet.T) < 1e-9 else ()
        h, density, specific_heat, viscosity, conductivity = _properties(fluid.name, inlet.p, T, *known)
        common = {"mass_flux": self.mass_flux, "viscosity": viscosity}
        heat = {"conductivity": conductivity, "specific_heat": specific_heat}
        if self.in_tube:
            diameter = self.spec.inner_diameter
            film = single_phase_coefficient(diameter=diameter, **common, **heat)
            friction = single_phase_friction(diameter=diameter, density=density, **common)
        else:
            gap = {"inner": self.spec.tube_outside, "outer": self.spec.outer_diameter}
            film = annulus_coefficient(**gap, **common, **heat)
            friction = annulus_friction(density=density, **gap, **common)
        return h, specific_heat, density, film, friction, viscosity

    def enthalpy_at(self, T):
        """Return the enthalpy at temperatures; T [K] → [J/kg]."""
        return np.interp(T, self.fine_temperature, self.fine_enthalpy)

    def temperature_at(self, h):
        """Return the temperature at enthalpies; h [J/kg] → [K]."""
        return np.interp(h, self.fine_enthalpy, self.fine_temperature)

    def resistance_at(self, T):
        """Return the resistance of the film on one metre of wall; T [K] → [K m/W]."""
        wall = self.spec.inner_diameter if self.in_tube else self.spec.tube_outside
        return 1.0 / (np.interp(T, self.temperature, self.coefficient) * np.pi * wall)

    def mean_coefficient(self, T, lengths):
        """Return the film coefficient, weighted by length; T [K], lengths [m] → [W/(m² K)]."""
        return float((np.interp(T, self.temperature, self.coefficient) * lengths).sum() / lengths.sum())

    def density_at(self, T):
        """Return the density; T [K] → [kg/m³]."""
        return float(np.interp(T, self.temperature, self.density))

    def pressure_drop(self, T, lengths, outlet_density):
        """Return what friction, speeding up and the two ends take.

        T [K], lengths [m], outlet_density [kg/m³] → [Pa].
        """
        rubbing = float((np.interp(T, self.temperature, self.friction) * lengths).sum())
        thin, thick = 1.0 / outlet_density, 1.0 / self.inlet.rho
        ends = self.spec.loss_coefficient * 0.25 * (thin + thick)
        return rubbing + self.mass_flux**2 * (thin - thick + ends)


def _through(count, y, step):
    """Draw a smooth line through points in equal steps, given the rise over a step that each point's slope means.

    Close to the critical point the slope shoots up; held to three times the neighbouring rises the line cannot
    overshoot (Fritsch & Carlson, SIAM J. Numer. Anal. 17 (1980) 238-246).
    """
    rise = np.diff(y)
    step = np.minimum(step, 3.0 * np.minimum(np.append(rise[0], rise), np.append(rise, rise[-1])))
    place, (a, b, c, d) = _weights(count)
    return a * y[place] + b * step[place] + c * y[place + 1] + d * step[place + 1]


@functools.cache
def _weights(count):
    """Where each fine point lies, and the cubic Hermite weights of its two neighbours."""
    u = np.linspace(0.0, count - 1.0, FINE)
    place = np.minimum(u.astype(int), count - 2)
    t = u - place
    return place, ((1 + 2 * t) * (1 - t) ** 2, t * (1 - t) ** 2, t * t * (3 - 2 * t), t * t * (t - 1))


@functools.lru_cache(maxsize=4096)
def _properties(name, p, T, h=None, density=None):
    """Return what a node needs; kept, since other lengths, bores and flows ask for the same temperatures again."""
    fluid = Refrigerant(name)
    if h is None:
        state = fluid.at(p=p, T=T)
        h, density = state.h, state.rho
    asked = T
    if p < 0.999 * fluid.critical_pressure:
        saturated = fluid.dew_temperature(p)
        if abs(T - saturated) < _OFF_THE_LINE:
            is_vapour = density < fluid.at(p=p, x=0.5).rho
            asked = saturated + (_OFF_THE_LINE if is_vapour else -_OFF_THE_LINE)
    flow = fluid.transport(p=p, T=asked)
    return h, density, flow.specific_heat, flow.viscosity, flow.conductivity
