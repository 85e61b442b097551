"""What is asked of the freeze transient: chiller, circuit, failure, protection."""

import itertools

from thermo_kit.components.chiller.solve import GLYCOL_ADVICE, PlateChiller
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.coolant import coolant_table
from thermo_kit.systems.guard_table import GUARD_NAMES, GuardEvent
from thermo_kit.units import Spec, count, flag, one_of, part, quantity, several
from thermo_kit.units.spec import Asked, Name, asked


class _Profile(Asked):
    """Pairs of time [s] and share of the flow."""

    words = "flow profile"

    def tidy(self, value):
        return value if _pairs(value) is None else _pairs(value)

    def check(self, checks, value):
        if _pairs(value) is None:
            advice = "for example ((0, 1), (1, 0))"
            checks.add(self.words, repr(value)[:60], "is not a row of numbers (time, share)", advice)
            return
        if not value or value[0][0] != 0.0:
            checks.add(self.words, "must start at time 0", advice="for example ((0, 1), (1, 0))")
            return
        if value[0][1] <= 0.0:
            advice = "the case starts with the pump running: begin with (0, 1)"
            checks.add(self.words, "starts with no flow", "at time 0 the share must be above 0", advice)
        if any(later[0] < earlier[0] for earlier, later in itertools.pairwise(value)):
            checks.add(self.words, "goes back in time", advice="sort the pairs by time")
        for time, share in value:
            checks.within("time in the flow profile", time, 0.0, 1e5, kind="time")
            checks.within("share in the flow profile", share, 0.0, 1.5, kind="ratio", advice="1 is the normal flow")

    def line(self):
        return "pairs of (time in s, share of the flow), straight between them"


def _pairs(value):
    try:
        # Adding keeps out texts such as "1", which float() alone would take.
        return tuple((float(time + 0.0), float(share + 0.0)) for time, share in value)
    except (TypeError, ValueError):
        return None


class GuardSettings(Spec):
    """How the four guards are set, and which of them have failed. Delays and limits are invented, not a maker's.

    cold_limit: None sets it 3 K above the coolant's freezing point. sensor_place: "plate" (in the chiller) or "hose"
    (downstream, where it goes blind when the flow stops).
    """

    flow_limit: float = quantity(
        "ratio", 0.0, 0.95, "share of the flow below which the flow watch trips", 0.4, exclusive=True,
        advice="a share of the normal flow, for example 0.4",
    )  # fmt: skip
    flow_delay: float = quantity("time", 0.0, 600.0, "delay of the flow watch", 2.0)
    cold_limit: float | None = quantity("temperature", 223.15, 303.15, "limit of the cold watch", None)
    cold_delay: float = quantity("time", 0.0, 600.0, "delay of the cold watch", 1.0)
    sensor_lag: float = quantity("time", 0.1, 120.0, "time constant of the temperature sensor", 3.0)
    sensor_place: str = one_of(("plate", "hose"), "place of the temperature sensor", "plate")
    pressure_limit: float = quantity("pressure", 2.0e4, 2.0e6, "limit of the pressure watch", 1.5e5)
    pressure_delay: float = quantity("time", 0.0, 600.0, "delay of the pressure watch", 1.0)
    valve_time: float = quantity("time", 0.0, 600.0, "time the shut-off valve needs", 0.5)
    interlock_stops_compressor: bool = flag("the flow watch stops the compressor, not only the chiller's feed", True)
    failed: tuple = several(Name(GUARD_NAMES, "failed guard"), 0, len(GUARD_NAMES), ())

    def healthy(self, guard):
        return guard not in self.failed

    def events(self):
        lost = GuardEvent.FLOW_LOST if self.interlock_stops_compressor else GuardEvent.FLOW_LOST_CABIN_RUNS
        reports = {
            "flow watch": (lost, self.flow_delay),
            "cold watch": (GuardEvent.TOO_COLD, self.cold_delay),
            "pressure watch": (GuardEvent.PRESSURE_LOW, self.pressure_delay),
        }
        return {guard: report for guard, report in reports.items() if self.healthy(guard)}


class FreezeSpec(PlateChiller):
    """A chiller, its circuit, and how the coolant flow fails. The numbers set here are an invented electric van's.

    speed_control_temperature: the speed follows the boiling temperature; None: fixed speed. The expansion valve holds
    the liquid in the chiller, as a superheat-controlled valve does. reaction_time: after the start until closing is
    ordered; None: nobody orders it. valve_leak: 1 is a valve stuck open. guards: None for none at all.
    viscous_power: 0 keeps the flow as given for every mixture; 1 lets it fall as the coolant thickens against 30 %
    glycol at the inlet temperature, as with a pump that hardly turns (0.25 is nearer to a healthy one).
    """

    mass_fraction: float = quantity("ratio", 0.0, 0.60, "glycol share by mass", 0.30, advice=GLYCOL_ADVICE)
    coolant_flow: float = quantity(
        "mass_flow", 0.0, 5.0, "coolant flow", 0.20, exclusive=True,
        advice="the case starts with the pump running: give the flow before the failure",
    )  # fmt: skip
    coolant_inlet_temperature: float = quantity("temperature", 223.15, 323.15, "coolant inlet temperature", 288.15)
    flow_profile: tuple = asked(_Profile(), ((0.0, 1.0), (1.0, 0.0)))
    compressor_displacement: float = quantity("displacement", 1e-6, 5e-4, "compressor displacement", 34.0e-6)
    compressor_speed: float = quantity("rotational_speed", 20.0, 1500.0, "compressor speed", 418.9)
    volumetric_efficiency: float = quantity("ratio", 0.2, 1.0, "volumetric efficiency", 0.75)
    speed_control_temperature: float | None = quantity(
        "temperature", 243.15, 293.15, "boiling temperature that the speed follows", None
    )
    lowest_speed_ratio: float = quantity("ratio", 0.02, 1.0, "lowest share of the speed", 0.25)
    cabin_open: bool = flag("the cabin evaporator boils too", False)
    cabin_conductance: float = quantity("conductance", 0.0, 1000.0, "conductance of the cabin evaporator", 120.0)
    cabin_air_temperature: float = quantity("temperature", 273.15, 333.15, "cabin air temperature", 298.15)
    condensing_temperature: float = quantity("temperature", 288.15, 343.15, "condensing temperature", 318.15)
    subcooling: float = quantity("temperature_difference", 0.0, 30.0, "subcooling", 5.0)
    valve_full_flow: float = quantity("mass_flow", 1e-3, 1.0, "flow of the wide open expansion valve at 0 °C", 0.05)
    suction_volume: float = quantity("volume", 1e-5, 1e-2, "volume up to the compressor", 0.15e-3)
    liquid_share: float = quantity("ratio", 0.02, 0.6, "share of the channels that boiling liquid fills", 0.10)
    reaction_time: float | None = quantity(
        "time", 0.0, 3600.0, "reaction time", None, advice="seconds after the start; None if nobody closes the valve"
    )
    valve_leak: float = quantity("ratio", 0.0, 1.0, "share of the feed that passes a closed shut-off valve", 0.0)
    guards: GuardSettings | None = part(GuardSettings, "guards", None)
    slush_limit: float = quantity("ratio", 0.05, 0.9, "share of ice at which slush stops flowing", 0.30)
    burst_pressure: float = quantity("pressure", 5e5, 1e8, "pressure that the plates bear", 10.0e6)
    loop_share: float = quantity("ratio", 0.0, 1.0, "the chiller's part of the loop's resistance", 0.30)
    viscous_power: float = quantity("ratio", 0.0, 1.0, "loss of flow with viscosity", 0.0)
    duration: float = quantity("time", 1.0, 3600.0, "duration", 180.0)
    segments: int = count(2, 60, "segments along a channel", 6)
    layers: int = count(2, 60, "layers across a channel", 4)

    def fit(self, checks):
        lowest = coolant_table(self.coolant, self.glycol).freezing_point + 0.5
        checks.within(
            "coolant inlet temperature", self.coolant_inlet_temperature, lowest, 323.15, kind="temperature",
            advice="a frozen chiller is no start for this case: thaw it, or check concentration and unit",
        )  # fmt: skip
        highest = Refrigerant(self.refrigerant).critical_temperature - 3.0
        checks.within("condensing temperature", self.condensing_temperature, 288.15, highest, kind="temperature",
                      advice="this model condenses below the critical point")  # fmt: skip
