"""What a vehicle's refrigerant circuit is made of, and the day on which it is looked at."""

from thermo_kit.components.belt_compressor import BeltCompressorSpec
from thermo_kit.components.chiller import PlateStack
from thermo_kit.components.compressor import CompressorSpec, rpm
from thermo_kit.components.condenser import CondenserSpec
from thermo_kit.components.evaporator import EvaporatorSpec
from thermo_kit.components.expansion_valve import ExpansionValveSpec, ValveFault
from thermo_kit.components.internal_heat_exchanger import ExchangerSpec
from thermo_kit.components.orifice import OrificeSpec
from thermo_kit.components.receiver import ReceiverSpec
from thermo_kit.substances import COOLANT_KINDS
from thermo_kit.substances.names import REFRIGERANT_NAMES, canonical_name
from thermo_kit.units import Spec, celsius, flag, one_of, part, quantity, word

_SHARE = "a share: 80 % is 0.8"


class LineSpec(Spec):
    """A smooth line; open_share: what a kink or a clogged drier leaves of its section at the narrowest place."""

    diameter: float = quantity("length", 2e-3, 40e-3, "bore of the line")
    length: float = quantity("length", 0.0, 20.0, "length of the line")
    open_share: float = quantity("ratio", 0.02, 1.0, "open share of the line", 1.0, advice=_SHARE)


class AccumulatorSpec(Spec):
    """The store on the low side; bleed_share: of what leaves, by mass, that is liquid drawn through the oil hole.

    The bleed share is our own choice, no source.
    """

    volume: float = quantity("volume", 1e-4, 5e-3, "volume of the accumulator")
    bleed_share: float = quantity("ratio", 0.0, 0.1, "share of liquid through the oil hole", 0.02)


class ControlledValveSpec(Spec):
    """A stepper valve whose controller holds the superheat at the evaporator outlet between two end stops.

    sensor_error: what its superheat sensor adds to the truth; stuck_at: share of the full passage, None moves freely.
    """

    full_area: float = quantity("area", 1e-7, 2e-5, "full passage of the electronic valve")
    least_opening: float = quantity("ratio", 0.0, 0.5, "least opening", 0.04, advice=_SHARE)
    superheat_target: float = quantity("temperature_difference", 1.0, 20.0, "superheat that the controller holds", 6.0)
    sensor_error: float = quantity("temperature_difference", -20.0, 20.0, "error of the superheat sensor", 0.0)
    stuck_at: float | None = quantity("ratio", 0.0, 1.0, "opening at which the valve sticks", None, advice=_SHARE)


class ShutOffFault(Spec):
    """What is wrong with a branch's shut-off valve; leak_share: of its branch's full passage, let through where shut.

    stuck: where it stays whatever is asked, None obeys.
    """

    leak_share: float = quantity("ratio", 0.0, 0.5, "leak of the shut-off valve", 0.0, advice=_SHARE)
    stuck: str | None = one_of(("open", "shut"), "where the shut-off valve sticks", None)


class ChillerBranchSpec(Spec):
    """A plate chiller beside the evaporator, at its pressure, with its own valve; a shut-off before each branch."""

    valve: ControlledValveSpec = part(ControlledValveSpec, "valve of the chiller")
    stack: PlateStack = part(PlateStack, "plates of the chiller", PlateStack())
    coolant: str = one_of(COOLANT_KINDS, "coolant", "ethylene glycol")
    mass_fraction: float = quantity("ratio", 0.0, 0.6, "glycol share by mass", 0.5, advice=_SHARE)
    shut_off: ShutOffFault = part(ShutOffFault, "what is wrong with the chiller's shut-off", ShutOffFault())
    cabin_shut_off: ShutOffFault = part(ShutOffFault, "what is wrong with the cabin's shut-off", ShutOffFault())


class VehicleSpec(Spec):
    """A whole circuit: one compressor, a condenser, one way to feed the evaporator, one store for spare refrigerant.

    usual_speed: of the compressor, where conditions name none; hold_pressure: low side at the compressor below which
    clutch, stroke or speed hold back (absolute); least_share: down to which they can; low_switch, high_switch:
    absolute pressures at which the compressor is stopped for good; blower_flow: at full blower, clean coil;
    blend_leak: share of the vent air that comes through the heater; hot_air_return: share of the condenser's own
    rise that it draws in again; air_mass: air in the circuit; high_sensor_error, low_sensor_error: what the vehicle's
    own sensors add; recirculation_stuck: share of cabin air whatever is set, None obeys; stuck_share: stroke at which
    displacement control sticks; slip: of the belt or clutch.
    """

    title: str = word("name of the vehicle")
    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", known=canonical_name)
    charge: float = quantity("mass", 0.0, 20.0, "charge of the system", advice="600 g is 0.6 kg")
    condenser: CondenserSpec = part(CondenserSpec, "condenser")
    evaporator: EvaporatorSpec = part(EvaporatorSpec, "evaporator")
    evaporator_volume: float = quantity("volume", 5e-5, 5e-3, "inner volume of the evaporator")
    blower_flow: float = quantity("air_flow", 0.03, 1.5, "flow of the blower")
    usual_speed: float = quantity("rotational_speed", rpm(300), rpm(9000), "usual compressor speed")
    hold_pressure: float = quantity("pressure", 8e4, 6e5, "low side that is held")
    least_share: float = quantity("ratio", 0.005, 1.0, "least share of the compressor", 0.05, advice=_SHARE)
    low_switch: float = quantity("pressure", 3e4, 4e5, "low-pressure switch", 1.2e5)
    high_switch: float = quantity("pressure", 1e6, 4e6, "high-pressure switch", 3.0e6)
    compressor: CompressorSpec | None = part(CompressorSpec, "electric compressor", None)
    belt_compressor: BeltCompressorSpec | None = part(BeltCompressorSpec, "belt compressor", None)
    receiver: ReceiverSpec | None = part(ReceiverSpec, "receiver", None)
    accumulator: AccumulatorSpec | None = part(AccumulatorSpec, "accumulator", None)
    internal_heat_exchanger: ExchangerSpec | None = part(ExchangerSpec, "internal heat exchanger", None)
    expansion_valve: ExpansionValveSpec | None = part(ExpansionValveSpec, "expansion valve", None)
    orifice: OrificeSpec | None = part(OrificeSpec, "orifice", None)
    electronic_valve: ControlledValveSpec | None = part(ControlledValveSpec, "electronic valve", None)
    chiller: ChillerBranchSpec | None = part(ChillerBranchSpec, "chiller", None)
    liquid_line: LineSpec = part(LineSpec, "liquid line", LineSpec(diameter=0.008, length=2.0))
    suction_line: LineSpec = part(LineSpec, "suction line", LineSpec(diameter=0.016, length=2.0))
    valve_fault: ValveFault = part(ValveFault, "what is wrong with the valve", ValveFault())
    blend_leak: float = quantity("ratio", 0.0, 1.0, "leak of the blend door", 0.0, advice=_SHARE)
    heater_temperature: float = quantity("temperature", 273.15, 373.15, "air behind the heater", celsius(70))
    hot_air_return: float = quantity("ratio", 0.0, 0.8, "condenser air drawn in again", 0.0, advice=_SHARE)
    air_mass: float = quantity("mass", 0.0, 0.05, "air in the circuit", 0.0)
    high_sensor_error: float = quantity("pressure_difference", -2e6, 2e6, "error of the high-side sensor", 0.0)
    low_sensor_error: float = quantity("pressure_difference", -5e5, 5e5, "error of the low-side sensor", 0.0)
    vent_sensor_error: float = quantity("temperature_difference", -30.0, 30.0, "error of the vent sensor", 0.0)
    recirculation_stuck: float | None = quantity("ratio", 0.0, 1.0, "share of cabin air that is stuck", None)
    stuck_share: float | None = quantity("ratio", 0.01, 1.0, "stroke at which the control sticks", None)
    slip: float = quantity("ratio", 0.0, 0.9, "slip of the belt", 0.0, advice=_SHARE)

    def fit(self, checks):
        for names, what in (
            (("compressor", "belt_compressor"), "compressor"),
            (("expansion_valve", "orifice", "electronic_valve"), "way to feed the evaporator"),
            (("receiver", "accumulator"), "store for spare refrigerant"),
        ):
            given = [name for name in names if getattr(self, name) is not None]
            if len(given) != 1:
                told = ", ".join(given) or "nothing"
                checks.add(what, told, "is given; it takes exactly one", "of " + ", ".join(names))
        if (self.receiver is None) != (self.condenser.receiver_after is None):
            advice = "give both a receiver, with receiver_after in the condenser, or neither"
            checks.add("receiver", "of condenser and vehicle", "do not agree", advice)
        if self.chiller and self.orifice:
            checks.add("chiller", "is given", "beside an orifice", "two branches need valves that share the liquid")
        if self.refrigerant == "R-744":
            advice = "this model condenses: it has no gas cooler"
            checks.add("refrigerant", self.refrigerant, "works above its critical point on a warm day", advice)
        if self.low_switch >= self.hold_pressure:
            checks.add("low-pressure switch", "is not below the low side that is held", "", "were the two swapped?")

    @property
    def drive(self):
        """What turns it and what holds it back: "electric", "clutch" or "displacement"."""
        return self.belt_compressor.control if self.belt_compressor else "electric"

    @property
    def feed(self):
        """What feeds the evaporator: "thermostatic valve", "orifice" or "electronic valve"."""
        if self.orifice:
            return "orifice"
        return "electronic valve" if self.electronic_valve else "thermostatic valve"

    @property
    def store(self):
        """What keeps spare refrigerant: "receiver" or "accumulator"."""
        return "receiver" if self.receiver else "accumulator"


class Conditions(Spec):
    """The day, the cabin, and how the vehicle is run; the defaults are a warm day at idle.

    relative_humidity: of the outside air; cabin air is taken at 40 %; compressor_speed: None is the vehicle's usual
    one; cabin_open, chiller_open: what the shut-off valves are asked to do; coolant: as it comes to the chiller.
    """

    ambient_temperature: float = quantity("temperature", 283.15, 328.15, "outside air", celsius(35))
    relative_humidity: float = quantity("ratio", 0.02, 1.0, "relative humidity", 0.4, advice="40 % is 0.4")
    cabin_temperature: float = quantity("temperature", 283.15, 343.15, "cabin air", celsius(25))
    compressor_speed: float | None = quantity("rotational_speed", rpm(300), rpm(9000), "compressor speed", None)
    fan_speed_share: float = quantity("ratio", 0.0, 1.2, "fan speed share", 1.0, advice=_SHARE)
    blower_share: float = quantity("ratio", 0.15, 1.0, "blower share", 0.8, advice=_SHARE)
    driving_speed: float = quantity("driving_speed", 0.0, 40.0, "driving speed", 0.0)
    recirculated_share: float = quantity("ratio", 0.0, 1.0, "share of cabin air", 0.8, advice=_SHARE)
    altitude: float = quantity("altitude", -400.0, 4000.0, "altitude", 0.0)
    cabin_open: bool = flag("branch of the cabin open", True)
    chiller_open: bool = flag("branch of the chiller open", False)
    coolant_temperature: float = quantity("temperature", 253.15, 328.15, "coolant before the chiller", celsius(25))
    coolant_flow: float = quantity("mass_flow", 0.01, 2.0, "coolant flow", 0.15, advice="steady running needs flow")
