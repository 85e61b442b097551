"""What a refrigerant, a coolant, water or moist air is at a point; the only room that knows CoolProp."""

from thermo_kit.substances.coolant import COOLANT_KINDS, Coolant
from thermo_kit.substances.facts import Fact, RefrigerantFacts, facts_of
from thermo_kit.substances.moist_air import MoistAir, moist_air
from thermo_kit.substances.names import REFRIGERANT_NAMES, canonical_name
from thermo_kit.substances.refrigerant import Refrigerant, Saturation, StatePoint, Transport
from thermo_kit.substances.stream import Stream, stream_at
from thermo_kit.substances.water import water_boiling_temperature, water_saturation_pressure
