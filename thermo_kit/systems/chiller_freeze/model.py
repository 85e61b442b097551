"""Coolant that freezes, and the rates of change in channel layers, plates and the boiling pool."""

import bisect
import functools
import math
from dataclasses import dataclass

import numpy as np

from thermo_kit.components.chiller.films import plate_nusselt
from thermo_kit.errors import NoSolutionError
from thermo_kit.substances import Coolant
from thermo_kit.substances.coolant import coolant_table
from thermo_kit.systems.chiller_freeze.circuit import Circuit, Mode, smooth_number, smooth_step

LATENT_HEAT = 333.4e3
ICE_SPECIFIC_HEAT = 2.1e3
ICE_CONDUCTIVITY = 2.2
ICE_EXPANSION = 0.0907
_LOWEST_SLUSH = 226.0
# Water melts at one temperature; a narrow ramp keeps enthalpy and temperature one-to-one.
_WATER_RAMP = 0.10
# A layer's share of ice over which its wall side turns from liquid to ice, and at the end its core side.
_SWITCH = 0.10


@dataclass(frozen=True, eq=False)
class SlushCurve:
    """A freezing liquid along its enthalpy; arrays rise with enthalpy, which is 0 for liquid at the freezing point.

    enthalpy [J/kg]; temperature [K]; ice [kg/kg]; density [kg/m³], held constant so that energy stays exact (the
    room that ice needs is treated apart); wallward and coreward [W/(m K)]: conductivity between the middle of a
    layer and its side towards the wall or the core. Slush conducts alike on both sides; water freezes with a front,
    so that ice lies on the wall side of a layer and liquid on the other
    """

    freezing_point: float
    density: float
    enthalpy: np.ndarray
    temperature: np.ndarray
    ice: np.ndarray
    wallward: np.ndarray
    coreward: np.ndarray

    def temperature_at(self, enthalpy):
        """Return the temperature at an enthalpy; enthalpy [J/kg] → [K]."""
        return np.interp(enthalpy, self.enthalpy, self.temperature)

    def ice_at(self, enthalpy):
        """Return the share of ice at an enthalpy; enthalpy [J/kg] → [kg/kg]."""
        return np.interp(enthalpy, self.enthalpy, self.ice)

    def conductivities_at(self, enthalpy):
        """Return the conductivity towards the wall and towards the core; enthalpy [J/kg] → [W/(m K)]."""
        return tuple(np.interp(enthalpy, self.enthalpy, one) for one in (self.wallward, self.coreward))

    def enthalpy_at(self, T):
        """Return the enthalpy at a temperature; T [K] → [J/kg]."""
        return np.interp(T, self.temperature, self.enthalpy)


def front_branch(colder, liquid_conductivity, solid_conductivity, latent_heat, solid_specific_heat, ramp):
    """Return enthalpy, temperature below freezing, ice and both conductivities of a liquid that freezes at once."""
    share = np.array([1.0, 1.0 - _SWITCH, _SWITCH])
    solid, liquid = solid_conductivity, liquid_conductivity
    deep = np.ones_like(colder)
    return (
        np.append(-latent_heat + solid_specific_heat * (colder + ramp), -latent_heat * share),
        np.append(colder, -ramp * share),
        np.append(deep, share),
        np.append(deep * solid, (solid, solid, solid)),
        np.append(deep * solid, (solid, liquid, liquid)),
    )


@functools.lru_cache(maxsize=512)
def slush_curve(kind, mass_fraction):
    """Return how a coolant freezes: slush along its liquidus, or solid for water; mass_fraction [kg/kg].

    Notes: Equilibrium: no undercooling, which in reality delays the first ice by an uncertain while, and then freezes
        at once. Heat of fusion held at 333.4 kJ/kg, heat of mixing left out. Below the coldest data no more ice forms.

    References: Lever rule on the published liquidus (`thermo_kit.substances.Coolant.ice_fraction`). Heat of fusion and
        specific heat of ice: IAPWS R10-06(2009). Conductivity of ice: handbooks, 2.14 to 2.25 W/(m K).
    """
    table = coolant_table(kind, mass_fraction)
    liquid_heat = float(table.heats[0])
    liquid = float(table.conductivities[0])
    if kind == "water" or mass_fraction < 1e-4:
        enthalpy, below, ice, wallward, coreward = front_branch(
            np.array([-80.0]), liquid, ICE_CONDUCTIVITY, LATENT_HEAT, ICE_SPECIFIC_HEAT, _WATER_RAMP
        )
    else:
        below, ice, enthalpy = _glycol_branch(Coolant(kind, mass_fraction=mass_fraction), liquid_heat)
        wallward = coreward = (1.0 - ice) * liquid + ice * ICE_CONDUCTIVITY
    return SlushCurve(
        table.freezing_point,
        float(table.densities[0]),
        np.concatenate((enthalpy, table.enthalpies)),
        np.concatenate((table.freezing_point + below, table.temperature)),
        np.concatenate((ice, np.zeros_like(table.temperature))),
        np.concatenate((wallward, table.conductivities)),
        np.concatenate((coreward, table.conductivities)),
    )


def _glycol_branch(coolant, liquid_heat):
    # Ice comes fastest just below the freezing point, so the steps are finest there.
    depth = coolant.freezing_point - _LOWEST_SLUSH
    below = -depth * np.linspace(1.0, 0.0, 48, endpoint=False) ** 2
    ice = np.array([coolant.ice_fraction(coolant.freezing_point + step) for step in below])
    steps, shares = np.append(below, 0.0), np.append(ice, 0.0)
    mean_ice = 0.5 * (shares[1:] + shares[:-1])
    heat = ((1.0 - mean_ice) * liquid_heat + mean_ice * ICE_SPECIFIC_HEAT) * np.diff(steps)
    heat += LATENT_HEAT * (shares[:-1] - shares[1:])
    enthalpy = -np.cumsum(heat[::-1])[::-1]
    coldest = below[0] - 40.0
    tail = enthalpy[0] - 40.0 * ((1.0 - ice[0]) * liquid_heat + ice[0] * ICE_SPECIFIC_HEAT)
    return np.append(coldest, below), np.append(ice[0], ice), np.append(tail, enthalpy)


def slush_thickening(ice):
    """Return how many times thicker slush flows than its liquid; ice [-] → [-].

    References: Thomas, J. Colloid Science 20 (1965) 267-277 (coefficients from memory), as used for ice slurries.
    """
    return 1.0 + 2.5 * ice + 10.05 * ice**2 + 0.00273 * math.exp(16.6 * ice)


def gap_heat(temperature, wallward, coreward, wall_temperature, *, half_gap, wall_resistance):
    """Return the heat that flows from the wall and between the layers of half a gap.

    temperature [K], wallward [W/(m K)], coreward [W/(m K)], wall_temperature [K], half_gap [m], wall_resistance [m²
    K/W] → [W/m²].

    References: Enthalpy method on a fixed grid: Alexiades & Solomon, Mathematical Modeling of Melting and Freezing
        Processes, 1993.
    """
    width = half_gap / temperature.shape[0]
    from_wall = (wall_temperature - temperature[0]) / (wall_resistance + 0.5 * width / wallward[0])
    resistance = 0.5 * width * (1.0 / coreward[:-1] + 1.0 / wallward[1:])
    inward = (temperature[:-1] - temperature[1:]) / resistance
    gained = np.empty_like(temperature)
    gained[0] = from_wall
    gained[1:] = inward
    gained[:-1] -= inward
    return gained, from_wall


WATER_STIFFNESS = 2.2e9
_REST_NUSSELT = 12.0
_CLEAR = 1.00273
_RATED_SHARE = 0.30
_ROUNDS = 60
_BEFORE = -1.0


class ChillerModel:
    """One chiller with its circuit; states alone, or many in columns, so that a whole Jacobian is one call."""

    def __init__(self, spec):
        self.spec, stack = spec, spec.stack
        self.n, self.m = spec.segments, spec.layers
        self.curve = slush_curve(spec.coolant, spec.glycol)
        self.circuit = Circuit(spec)
        self.half_gap = stack.hydraulic_diameter / 4.0
        self.patch = stack.area / self.n
        self.layer_mass = self.curve.density * self.patch * self.half_gap / self.m
        self.plate_heat = stack.density * stack.specific_heat * stack.thickness * self.patch
        self.wall_resistance = 0.5 * stack.thickness / stack.conductivity + spec.fouling
        place = (np.arange(self.n) + 0.5) / self.n
        # Liquid wets the patches one after the other as the pool fills, each over 0.15 of the filling.
        self.sunk_at = 0.9 * place / 0.15 - 0.5
        self.towards_inlet = spec.counterflow
        self.blind = bool(spec.guards) and spec.guards.sensor_place == "hose"
        self.lag = spec.guards.sensor_lag if spec.guards else 3.0
        self._set_coolant()
        self.inlet_enthalpy = float(self.curve.enthalpy_at(spec.coolant_inlet_temperature))
        self.times = [float(pair[0]) for pair in spec.flow_profile]
        self.shares = [float(pair[1]) for pair in spec.flow_profile]
        self.size = self.n * self.m + self.n + 6
        self.scale = np.concatenate(
            (np.full(self.n * self.m, 4e3), np.ones(self.n), [1e-2, 2e3, 1.0], [1e3, 1e3, 1e-2])
        )

    def _set_coolant(self):
        spec, stack = self.spec, self.spec.stack
        table = coolant_table(spec.coolant, spec.glycol)
        T = spec.coolant_inlet_temperature
        rated = coolant_table(spec.coolant, 0.0 if spec.coolant == "water" else _RATED_SHARE)
        self.thick_nodes = table.temperature
        self.thick_log = np.log(table.viscosities / float(rated.viscosity(T)))
        self.loop_thickness = float(np.exp(np.interp(T, self.thick_nodes, self.thick_log)))
        viscosity, Pr = float(table.viscosity(T - 5.0)), float(table.prandtl(T - 5.0))
        flux = spec.coolant_flow / (stack.coolant_channels * stack.channel_area)
        Re = flux * stack.hydraulic_diameter / viscosity
        self.share_nodes = np.linspace(0.0, 1.5, 31)
        stirred = [plate_nusselt(max(Re * share, 1e-3), Pr, stack.chevron_angle) for share in self.share_nodes]
        self.stirring = np.array([(1.0 + (Nu / _REST_NUSSELT) ** 4) ** 0.25 for Nu in stirred])

    def flow_share(self, t):
        """Return the share of the coolant flow that the pump would move at a time; t [s] → [-]."""
        # At a step the later value counts, which np.interp does not promise; before the start, the first.
        index = bisect.bisect_right(self.times, t)
        if index == 0 or index == len(self.times):
            return self.shares[max(index - 1, 0)]
        t0, t1 = self.times[index - 1], self.times[index]
        return self.shares[index - 1] + (self.shares[index] - self.shares[index - 1]) * (t - t0) / (t1 - t0)

    def split(self, y):
        """Return the parts of a state; y [SI]."""
        cells = self.n * self.m
        layers = y[:cells].reshape(self.m, self.n, *y.shape[1:])
        plates = y[cells : cells + self.n]
        return layers, plates, *y[cells + self.n :]

    def flow(self, ice, share, T):
        """Return the coolant flow that still passes; ice [kg/kg], share [-], T [K] → [kg/s]."""
        return self._passing(ice, self._open(ice), share, T)[0]

    def _open(self, ice):
        return 1.0 - smooth_step(ice / self.spec.slush_limit)

    def _passing(self, ice, open_to_flow, share, T):
        fullest = self.fullest(ice)
        if fullest.ndim == 0:
            clear = self._clear(float(fullest))
        else:
            # Columns of a Jacobian mostly share it; plain numbers are quicker for the few that differ.
            found = {each: self._clear(each) for each in set(fullest.tolist())}
            clear = np.array([found[each] for each in fullest.tolist()])
        flow = share * self.spec.coolant_flow * clear
        if self.spec.viscous_power > 0.0:
            chiller = np.exp(np.interp(T.sum(axis=(0, 1)) / (self.n * self.m), self.thick_nodes, self.thick_log))
            loop = (1.0 - self.spec.loop_share) * self.loop_thickness + self.spec.loop_share * chiller
            flow = flow / loop**self.spec.viscous_power
        return flow, open_to_flow / np.maximum(open_to_flow.sum(axis=0), 1e-6)

    def _clear(self, fullest):
        """Return the share of the flow that slush lets through, by the ice in the fullest section."""
        thicker = 1.0 + self.spec.loop_share * (slush_thickening(min(fullest, 0.6)) - _CLEAR)
        # The flow dies away over the last half of the way to a blocked channel.
        return (1.0 - smooth_number(2.0 * fullest / self.spec.slush_limit - 1.0)) / thicker

    @staticmethod
    def fullest(ice):
        """Return the share of ice in the channel section that holds most; ice [kg/kg] → [kg/kg]."""
        return ice.sum(axis=0).max(axis=0) / ice.shape[0]

    def rates(self, t, y, mode):
        """Return the rate of change of every state; t [s], y [SI] → [SI per second]."""
        layers, plates, mass, energy, sensor, *_ = self.split(y)
        T = self.curve.temperature_at(layers)
        wallward, coreward = self.curve.conductivities_at(layers)
        ice, share, outlet = self.curve.ice_at(layers), self.flow_share(t), 0 if self.towards_inlet else self.n - 1
        open_to_flow, stirring = self._open(ice), self.stirring[0]
        flow = carried = kept = 0.0
        if share > 0.0:
            flow, parts = self._passing(ice, open_to_flow, share, T)
            stirring = np.interp(flow / self.spec.coolant_flow, self.share_nodes, self.stirring)
            leaving = (parts * layers).sum(axis=0)
            carried = flow * parts * (self._entering(leaving) - layers)
            kept = flow * (self.inlet_enthalpy - leaving[outlet])
        mixing = 1.0 + (stirring - 1.0) * open_to_flow
        gained, from_plate = gap_heat(
            T, wallward * mixing, coreward * mixing, plates, half_gap=self.half_gap,
            wall_resistance=self.wall_resistance,
        )  # fmt: skip
        heat = gained * self.patch + carried
        *wetness, gathered, brought = self._pools(mass, energy, mode)
        boiled = self._boiled(plates, *wetness)
        out = np.empty_like(y)
        cells = self.n * self.m
        out[:cells] = (heat / self.layer_mass).reshape(cells, *y.shape[1:])
        out[cells : cells + self.n] = (-from_plate * self.patch - boiled) / self.plate_heat
        total = boiled.sum(axis=0)
        tail = out[cells + self.n :]
        tail[0] = tail[5] = gathered
        tail[1] = brought + total
        seen = T[:, outlet].sum(axis=0) / self.m
        reach = flow / self.spec.coolant_flow if self.blind else 1.0
        tail[2] = (seen - sensor) / self.lag * reach
        tail[3] = brought + kept
        tail[4] = np.abs(total)
        return out

    def _entering(self, leaving):
        """Return with which enthalpy coolant enters each segment."""
        entering = np.empty_like(leaving)
        if self.towards_inlet:
            entering[-1], entering[:-1] = self.inlet_enthalpy, leaving[1:]
        else:
            entering[0], entering[1:] = self.inlet_enthalpy, leaving[:-1]
        return entering

    def _pools(self, mass, energy, mode):
        """Return what `Circuit.pool` does, a row each; columns of a Jacobian mostly share one pool."""
        if mass.ndim == 0:
            return self.circuit.pool(float(mass), float(energy), mode)
        pairs = list(zip(mass.tolist(), energy.tolist(), strict=True))
        found = {pair: self.circuit.pool(*pair, mode) for pair in dict.fromkeys(pairs)}
        return np.array([found[pair] for pair in pairs]).T

    def boiling_heat(self, plates, mass, energy, mode):
        """Return the heat that each plate patch gives to the pool; plates [K], mass [kg], energy [J] → [W]."""
        return self._boiled(plates, *self._pools(mass, energy, mode)[:4])

    def _boiled(self, plates, boiling, filled, dry, wet):
        difference = plates - boiling
        # The power law has no slope at zero difference; 1e-3 K keeps the solver's derivative finite.
        flux = (np.abs(difference) + 1e-3) ** (self.circuit.flux_power - 1.0) * difference
        sunk_at = self.sunk_at if plates.ndim == 1 else self.sunk_at[:, None]
        return (dry + wet * smooth_step(filled / 0.15 - sunk_at)) * flux * self.patch

    def stored(self, y):
        """Return the energy in coolant, plates and refrigerant; y [SI] → [J]."""
        layers, plates, _, energy, *_ = self.split(y)
        return self.layer_mass * layers.sum(axis=(0, 1)) + self.plate_heat * plates.sum(axis=0) + energy

    def trapped_pressure(self, fullest):
        """Return the pressure on the plates where a channel section no longer flows and freezes on.

        fullest [kg/kg] → [Pa].

        Notes: Once a section holds more ice than slush can flow with, what freezes further is taken to have nowhere to
            go: it needs 9 % more room, against the stiffness of water. Stretching of the plates and liquid that still
            seeps out are left out: the safe side.

        References: Expansion of 9.07 % and stiffness of 2.2 GPa: IAPWS-95 and R10-06; the criterion itself is an
            assumption.
        """
        return WATER_STIFFNESS * ICE_EXPANSION * max(fullest - self.spec.slush_limit, 0.0)


def linear(rates, y, scale):
    """Return the rates at a state and their derivative, all columns in one call; y [SI], scale [SI] → [1/s]."""
    step = 1e-6 * np.maximum(np.abs(y), scale)
    columns = np.repeat(y[:, None], len(y) + 1, axis=1)
    each = np.arange(len(y))
    columns[each, each + 1] += step
    values = rates(columns)
    return values[:, 0], (values[:, 1:] - values[:, :1]) / step


def settled(model):
    """Return the steady state of a chiller with its pump running; → [SI]."""
    y = _guess(model)
    mode = Mode(1.0, True)

    def rates(columns):
        return model.rates(_BEFORE, columns, mode)

    active = model.size - 3
    # Implicit steps that grow: a march in time which forgets the way and keeps the end.
    step = 0.5
    for _ in range(_ROUNDS):
        rate, slope = linear(rates, y, model.scale)
        change = np.linalg.solve(np.eye(active) / step - slope[:active, :active], rate[:active])
        size = float(np.max(np.abs(change) / model.scale[:active]))
        if size > 5.0:
            change, step = change * (5.0 / size), step * 0.5
        y[:active] += change
        if size < 1e-9 and step > 1e3:
            break
        step = min(step * (3.0 if size < 1.0 else 1.2), 1e7)
    layers = model.split(y)[0]
    if not np.all(np.isfinite(y)) or size > 1e-5:
        advice = "check compressor_displacement and compressor_speed against coolant_flow"
        raise NoSolutionError.about("chiller before the failure", "does not settle", "with these numbers", advice)
    if layers.min() < 0.0:
        advice = "slow the compressor, raise mass_fraction, coolant_flow or coolant_inlet_temperature"
        told = "at this compressor_speed and concentration"
        raise NoSolutionError.about("chiller before the failure", "already freezes with the pump running", told, advice)
    return y


def _guess(model):
    boiling = min(model.spec.coolant_inlet_temperature - 8.0, 278.15)
    coolant = np.linspace(boiling + 4.0, model.spec.coolant_inlet_temperature, model.n)
    if not model.towards_inlet:
        coolant = coolant[::-1]
    coolant = np.maximum(coolant, model.curve.freezing_point + 1.0)
    layers = np.tile(model.curve.enthalpy_at(coolant), model.m)
    plates = 0.5 * (coolant + boiling)
    circuit = model.circuit
    density = float(circuit.table.read("vapour_density", boiling))
    mass = 0.9 * circuit.full_liquid + density * circuit.volume
    energy = circuit.table.energy_of(mass, boiling, circuit.volume)
    return np.concatenate((layers, plates, [mass, energy, float(coolant[0])], np.zeros(3)))
