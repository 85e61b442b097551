"""The rates of change in a chiller whose coolant may freeze: channel layers, plates and the boiling pool."""

import math

import numpy as np

from thermo_kit.components.chiller_films import boiling_film, plate_nusselt
from thermo_kit.components.coolant_table import coolant_table
from thermo_kit.substances import Refrigerant
from thermo_kit.systems.chiller_freeze.parts import slush_thickening, smooth_step
from thermo_kit.systems.chiller_freeze.refrigerant_pool import pool_table
from thermo_kit.systems.chiller_freeze.slush import ICE_EXPANSION, gap_heat, slush_curve

WATER_STIFFNESS = 2.2e9
_REST_NUSSELT = 12.0
_DRY_SHARE = 0.02
_SPEED_GAIN = 0.15
_CLEAR = 1.00273
_RATED_SHARE = 0.30


class ChillerModel:
    """One chiller with its circuit; states in columns, so that a whole Jacobian is one call."""

    def __init__(self, spec):
        self.spec, stack = spec, spec.stack
        self.n, self.m = spec.segments, spec.layers
        self.curve = slush_curve(spec.coolant, spec.glycol)
        self.pool = pool_table(spec.refrigerant)
        self.half_gap = stack.hydraulic_diameter / 4.0
        self.patch = stack.area / self.n
        self.layer_mass = self.curve.density * self.patch * self.half_gap / self.m
        self.plate_heat = stack.density * stack.specific_heat * stack.thickness * self.patch
        self.wall_resistance = 0.5 * stack.thickness / stack.conductivity + spec.fouling
        channel_volume = stack.channel_volume(stack.refrigerant_channels)
        self.volume = channel_volume + spec.suction_volume
        place = (np.arange(self.n) + 0.5) / self.n
        self.place = place[:, None]
        self.towards_inlet = spec.counterflow
        self._set_circuit(channel_volume)
        self._set_films()
        self.inlet_enthalpy = float(self.curve.enthalpy_at(spec.coolant_inlet_temperature))
        self.times = np.array([pair[0] for pair in spec.flow_profile], dtype=float)
        self.shares = np.array([pair[1] for pair in spec.flow_profile], dtype=float)
        self.size = self.n * self.m + self.n + 6
        self.scale = np.concatenate(
            (np.full(self.n * self.m, 4e3), np.ones(self.n), [1e-2, 2e3, 1.0], [1e3, 1e3, 1e-2])
        )

    def _set_circuit(self, channel_volume):
        spec = self.spec
        fluid = Refrigerant(spec.refrigerant)
        self.high_pressure = fluid.bubble_pressure(spec.condensing_temperature)
        liquid = spec.condensing_temperature - max(spec.subcooling, 0.05)
        self.feed_enthalpy = fluid.at(p=self.high_pressure, T=liquid).h
        self.full_liquid = spec.liquid_share * channel_volume * float(self.pool.read("liquid_density", 273.15))
        self.drop_at_rating = self.high_pressure - float(self.pool.read("pressure", 273.15))
        self.swept = spec.compressor_displacement * spec.compressor_speed / (2.0 * math.pi)
        self.swept *= spec.volumetric_efficiency
        self.coldest = float(self.pool.temperature[0])

    def _set_films(self):
        spec, stack = self.spec, self.spec.stack
        fluid = Refrigerant(spec.refrigerant)
        density = float(self.pool.read("vapour_density", 270.15))
        flux = self.swept * density / (stack.refrigerant_channels * stack.channel_area)
        nodes = np.linspace(self.pool.temperature[0], self.pool.temperature[-1], 7)
        films = [boiling_film(fluid.saturation(T), mass_flux=flux, stack=stack) for T in nodes]
        self.film_nodes = nodes
        # Flux = (factor · difference)^(1/(1 − power)): the film's own power law solved for the flux.
        power = films[3].flux_power
        self.flux_power = 1.0 / (1.0 - power)
        logs = [math.log(float(f.coefficient(0.5, 1e4)) / 1e4**power) for f in films]
        self.film_log = np.array(logs)
        table = coolant_table(spec.coolant, spec.glycol)
        T = spec.coolant_inlet_temperature
        rated = coolant_table(spec.coolant, 0.0 if spec.coolant == "water" else _RATED_SHARE)
        self.thick_nodes = table.temperature
        self.thick_log = np.log(table.viscosity / float(rated.at("viscosity", T)))
        self.loop_thickness = float(np.exp(np.interp(T, self.thick_nodes, self.thick_log)))
        viscosity, conductivity = float(table.at("viscosity", T - 5.0)), float(table.at("conductivity", T - 5.0))
        Pr = float(table.at("specific_heat", T - 5.0)) * viscosity / conductivity
        flux = spec.coolant_flow / (stack.coolant_channels * stack.channel_area)
        Re = flux * stack.hydraulic_diameter / viscosity
        self.share_nodes = np.linspace(0.0, 1.5, 31)
        stirred = [plate_nusselt(max(Re * share, 1e-3), Pr, stack.chevron_angle) for share in self.share_nodes]
        self.stirring = np.array([(1.0 + (Nu / _REST_NUSSELT) ** 4) ** 0.25 for Nu in stirred])

    def flow_share(self, t):
        """Return the share of the coolant flow that the pump would move at a time.

        Parameters
        ----------
        t : float, [s]
            Time.

        Returns
        -------
        float, [-]
            Share of the normal flow.
        """
        # At a step the later value counts, which np.interp does not promise; before the start, the first.
        index = int(np.searchsorted(self.times, t, side="right"))
        if index == 0 or index == len(self.times):
            return float(self.shares[max(index - 1, 0)])
        t0, t1 = self.times[index - 1], self.times[index]
        return float(self.shares[index - 1] + (self.shares[index] - self.shares[index - 1]) * (t - t0) / (t1 - t0))

    def split(self, y):
        """Return the parts of a state.

        Parameters
        ----------
        y : array, [SI]
            States in columns.

        Returns
        -------
        tuple of array
            Layer enthalpies, plate temperatures, refrigerant mass, its energy, sensor temperature, and the three
            running totals: energy through the borders, heat moved, refrigerant through the borders.
        """
        cells = self.n * self.m
        layers = y[:cells].reshape(self.m, self.n, y.shape[1])
        plates = y[cells : cells + self.n]
        return layers, plates, *y[cells + self.n :]

    def ice(self, layers):
        """Return the share of ice in each layer.

        Parameters
        ----------
        layers : array, [J/kg]
            Layer enthalpies.

        Returns
        -------
        array, [kg/kg]
            Ice.
        """
        return self.curve.ice_at(layers)

    def flow(self, ice, share, T):
        """Return the coolant flow that still passes, and how it is shared by the layers.

        Parameters
        ----------
        ice : array, [kg/kg]
            In each layer.
        share : float, [-]
            What the pump would move.
        T : array, [K]
            Temperature of each layer.

        Returns
        -------
        tuple of array
            Flow [kg/s], its parts by layer, and how open each layer is.
        """
        open_to_flow = 1.0 - smooth_step(ice / self.spec.slush_limit)
        return *self._passing(ice, open_to_flow, share, T), open_to_flow

    def _passing(self, ice, open_to_flow, share, T):
        total = open_to_flow.sum(axis=0)
        fullest = self.fullest(ice)
        thicker = 1.0 + self.spec.loop_share * (slush_thickening(np.minimum(fullest, 0.6)) - _CLEAR)
        if self.spec.viscous_power > 0.0:
            chiller = np.exp(np.interp(T.sum(axis=(0, 1)) / (self.n * self.m), self.thick_nodes, self.thick_log))
            loop = (1.0 - self.spec.loop_share) * self.loop_thickness + self.spec.loop_share * chiller
            thicker = thicker * loop**self.spec.viscous_power
        # The flow dies away over the last half of the way to a blocked channel.
        still_open = 1.0 - smooth_step(2.0 * fullest / self.spec.slush_limit - 1.0)
        return share * self.spec.coolant_flow / thicker * still_open, open_to_flow / np.maximum(total, 1e-6)

    @staticmethod
    def fullest(ice):
        """Return the share of ice in the channel section that holds most.

        Parameters
        ----------
        ice : array, [kg/kg]
            In each layer.

        Returns
        -------
        array, [kg/kg]
            Mean over the section.
        """
        return ice.sum(axis=0).max(axis=0) / ice.shape[0]

    def rates(self, t, y, mode):
        """Return the rate of change of every state.

        Parameters
        ----------
        t : float, [s]
            Time.
        y : array, [SI]
            States in columns.
        mode : Mode
            Feed and compressor.

        Returns
        -------
        array, [SI per second]
            Rates, in the same columns.
        """
        layers, plates, mass, energy, sensor, *_ = self.split(y)
        T = self.curve.temperature_at(layers)
        ice = self.ice(layers)
        flow, parts, open_to_flow = self.flow(ice, self.flow_share(t), T)
        stirring = np.interp(flow / self.spec.coolant_flow, self.share_nodes, self.stirring)
        wallward, coreward = self.curve.conductivities_at(layers)
        mixing = 1.0 + (stirring - 1.0) * open_to_flow
        gained, from_plate = gap_heat(
            T, wallward * mixing, coreward * mixing, plates, half_gap=self.half_gap,
            wall_resistance=self.wall_resistance,
        )  # fmt: skip
        heat = gained * self.patch
        leaving = (parts * layers).sum(axis=0)
        entering = np.empty_like(leaving)
        if self.towards_inlet:
            entering[-1], entering[:-1] = self.inlet_enthalpy, leaving[1:]
            outlet = 0
        else:
            entering[0], entering[1:] = self.inlet_enthalpy, leaving[:-1]
            outlet = self.n - 1
        heat += flow * parts * (entering - layers)
        pool = self._pool(mass, energy, mode)
        boiled = self._boiling(plates, pool)
        out = np.empty_like(y)
        cells = self.n * self.m
        out[:cells] = (heat / self.layer_mass).reshape(cells, -1)
        out[cells : cells + self.n] = (-from_plate * self.patch - boiled) / self.plate_heat
        total = boiled.sum(axis=0)
        tail = out[cells + self.n :]
        tail[0] = pool["mass_in"] - pool["mass_out"]
        tail[1] = pool["energy_in"] - pool["energy_out"] + total
        seen = T[:, outlet].mean(axis=0)
        reach = flow / self.spec.coolant_flow if self._blind else 1.0
        tail[2] = (seen - sensor) / self._lag * reach
        tail[3] = pool["energy_in"] - pool["energy_out"] + flow * (self.inlet_enthalpy - leaving[outlet])
        tail[4] = np.abs(total)
        tail[5] = tail[0]
        return out

    @property
    def _blind(self):
        return self.spec.guards is not None and self.spec.guards.sensor_place == "hose"

    @property
    def _lag(self):
        return 3.0 if self.spec.guards is None else self.spec.guards.sensor_lag

    def _pool(self, mass, energy, mode):
        """Return temperature, liquid and all flows of the boiling pool."""
        spec, table = self.spec, self.pool
        T = table.temperature_of(mass, energy, self.volume)
        liquid = table.liquid_mass(mass, T, self.volume)
        pressure = table.read("pressure", T)
        vapour_enthalpy = table.read("vapour_enthalpy", T)
        filled = liquid / self.full_liquid
        opening = smooth_step((1.15 - filled) / 0.5)
        drive = np.sqrt(np.maximum(self.high_pressure - pressure, 0.0) / self.drop_at_rating)
        feed = mode.feed * spec.valve_full_flow * opening * drive
        cabin = np.zeros_like(T)
        if spec.cabin_open and mode.running:
            warmth = np.maximum(spec.cabin_air_temperature - T, 0.0)
            cabin = spec.cabin_conductance * warmth / (vapour_enthalpy - self.feed_enthalpy)
        drawn = np.zeros_like(T)
        if mode.running:
            # Near the end of the table the compressor is taken to draw nothing more.
            drawn = self.swept * self.speed_ratio(T) * table.read("vapour_density", T)
            # With the last drop gone the vapour thins out below saturation, and there is less to draw.
            drawn = drawn * np.maximum(mass, 0.0) / (mass - np.minimum(liquid, 0.0) + 1e-9)
            drawn = drawn * smooth_step((T - self.coldest - 1.0) / 5.0)
        return {
            "T": T,
            "pressure": pressure,
            "filled": filled,
            "mass_in": feed + cabin,
            "mass_out": drawn,
            "energy_in": feed * self.feed_enthalpy + cabin * vapour_enthalpy,
            "energy_out": drawn * vapour_enthalpy,
        }

    def speed_ratio(self, T):
        """Return the compressor's speed over its set speed.

        Parameters
        ----------
        T : array, [K]
            Boiling temperature.

        Returns
        -------
        array, [-]
            1 when fixed; falls with the boiling temperature when controlled.
        """
        target = self.spec.speed_control_temperature
        if target is None:
            return np.ones_like(T)
        low = self.spec.lowest_speed_ratio
        return low + (1.0 - low) * smooth_step(0.5 + _SPEED_GAIN * (T - target))

    def _boiling(self, plates, pool):
        """Return the heat that each plate patch gives to the pool [W]; negative where vapour condenses on it."""
        filled = pool["filled"]
        wet = smooth_step((filled - 0.9 * self.place) / 0.15 + 0.5) * np.minimum(np.maximum(10.0 * filled, 0.0), 1.0)
        # Patches without liquid pass a little heat to the vapour; with no liquid anywhere, there is nothing to boil.
        wet = (_DRY_SHARE + (1.0 - _DRY_SHARE) * wet) * np.minimum(np.maximum(20.0 * filled, 0.0), 1.0)
        factor = np.exp(np.interp(pool["T"], self.film_nodes, self.film_log))
        difference = plates - pool["T"]
        # The power law has no slope at zero difference; 1e-3 K keeps the solver's derivative finite.
        flux = (factor * (np.abs(difference) + 1e-3)) ** (self.flux_power - 1.0) * factor * difference
        return self.patch * wet * flux

    def stored(self, y):
        """Return the energy in coolant, plates and refrigerant.

        Parameters
        ----------
        y : array, [SI]
            States in columns.

        Returns
        -------
        array, [J]
            Stored energy, from an arbitrary zero.
        """
        layers, plates, _, energy, *_ = self.split(y)
        return self.layer_mass * layers.sum(axis=(0, 1)) + self.plate_heat * plates.sum(axis=0) + energy

    def trapped_pressure(self, ice):
        """Return the pressure on the plates where a channel section no longer flows and freezes on.

        Parameters
        ----------
        ice : array, [kg/kg]
            In each layer.

        Returns
        -------
        array, [Pa]
            The highest over the segments; 0 while slush can still make room for its ice.

        Notes
        -----
        Once a section holds more ice than slush can flow with, what freezes further is taken to have nowhere to go:
        it needs 9 % more room, against the stiffness of water. Stretching of the plates and liquid that still seeps
        out are left out: the safe side.

        References
        ----------
        Expansion of 9.07 % and stiffness of 2.2 GPa: IAPWS-95 and R10-06; the criterion itself is an assumption.
        """
        stuck = np.maximum(self.fullest(ice) - self.spec.slush_limit, 0.0)
        return WATER_STIFFNESS * ICE_EXPANSION * stuck

    def start(self):
        """Return the steady state before the failure.

        Returns
        -------
        array, [SI]
            One column of states, running totals at zero.
        """
        from thermo_kit.systems.chiller_freeze.steady import settled

        return settled(self)
