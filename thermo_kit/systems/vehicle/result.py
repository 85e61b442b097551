"""What a vehicle answers: every gauge, clamp and sensor, and where its charge is."""

from dataclasses import dataclass

from thermo_kit.systems.vehicle.spec import Conditions, VehicleSpec


@dataclass(frozen=True, kw_only=True)
class VehicleResult:
    """A whole vehicle in steady running, SI, pressures absolute.

    spec, conditions: as solved, faults put in; faults: what was asked; suction_pressure, discharge_pressure [Pa]: at
    the compressor's ports, what gauges show; evaporating_pressure [Pa]: at the evaporator outlet; condensing_pressure
    [Pa]: at the condenser inlet, air included; evaporating_temperature, condensing_temperature [K]: of what the gauges
    show, air in the circuit included; superheat [K]: at the evaporator outlet, 0 where wet; outlet_quality [-]: vapour
    share there; suction_superheat [K]: at the compressor; subcooling [K]: of the liquid line by gauge and clamp, 0
    where bubbles go along; liquid_quality [-]: vapour share in the liquid line; suction_temperature,
    discharge_temperature, liquid_temperature [K]; mass_flow [kg/s]: mean; cooling_capacity [W]: of the cabin;
    chiller_capacity [W]: of the coolant; heat_rejection [W]; compressor_power [W]: electric or at the shaft, mean;
    vent_temperature [K], vent_humidity [-]: behind the blend door; running_share [-]: of time, stroke or speed at which
    the compressor works; opening [-]: of the valve, None for an orifice; supply_current [A]: of an electric compressor;
    fill [-]: below 0 vapour at the store's outlet, 0 to 1 its level, above 1 full; charge [kg]: by part; readings: what
    instruments and sensors show, by name; scan: what the vehicle's own sensors report; mass_closure, energy_closure,
    charge_closure [-]; notes; parts: the solved components by name; open_branches: whether cabin and chiller are, as
    their shut-off valves stand; unknowns, slopes: for a warm start
    """

    spec: VehicleSpec
    conditions: Conditions
    faults: tuple
    suction_pressure: float
    discharge_pressure: float
    evaporating_pressure: float
    condensing_pressure: float
    evaporating_temperature: float
    condensing_temperature: float
    superheat: float
    outlet_quality: float
    suction_superheat: float
    subcooling: float
    liquid_quality: float
    suction_temperature: float
    discharge_temperature: float
    liquid_temperature: float
    mass_flow: float
    cooling_capacity: float
    chiller_capacity: float
    heat_rejection: float
    compressor_power: float
    vent_temperature: float
    vent_humidity: float
    running_share: float
    opening: float | None
    supply_current: float | None
    fill: float
    charge: dict
    readings: dict
    scan: dict
    mass_closure: float
    energy_closure: float
    charge_closure: float
    notes: tuple
    parts: dict
    open_branches: tuple
    unknowns: tuple
    slopes: tuple

    @property
    def coefficient_of_performance(self):
        """Cooling of cabin and coolant by compressor power."""
        return (self.cooling_capacity + self.chiller_capacity) / self.compressor_power

    @property
    def pressure_ratio(self):
        """Discharge by suction pressure, absolute, at the compressor's ports."""
        return self.discharge_pressure / self.suction_pressure
