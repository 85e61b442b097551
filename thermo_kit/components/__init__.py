"""One part of the circuit each: specification in, result out."""

import importlib

_HOMES = {
    "CompressorConditions": "compressor",
    "CompressorResult": "compressor",
    "CompressorSpec": "compressor",
    "EfficiencyMap": "compressor",
    "efficiency_map": "compressor",
    "solve_compressor": "compressor",
    "MountResult": "mount",
    "MountSpec": "mount",
    "solve_mount": "mount",
    "transmissibility": "mount",
    "InsulationResult": "insulation",
    "InsulationSpec": "insulation",
    "judge_insulation": "insulation",
    "AirConditions": "condenser",
    "CompressorDuty": "condenser",
    "CondenserSpec": "condenser",
    "compare_cores": "condenser",
    "condensing_pressure_for": "condenser",
    "fin_curve": "condenser",
    "solve_condenser": "condenser",
    "FinResult": "louvered_fins",
    "FinSpec": "louvered_fins",
    "fin_surface": "louvered_fins",
    "fins_per_inch": "louvered_fins",
    "FanPoint": "fan",
    "FanSpec": "fan",
    "fan_operating_point": "fan",
    "ChargeSpec": "receiver",
    "MoistureSpec": "receiver",
    "ReceiverConditions": "receiver",
    "ReceiverResult": "receiver",
    "ReceiverSpec": "receiver",
    "charge_band": "receiver",
    "moisture_balance": "receiver",
    "solve_receiver": "receiver",
    "ExchangerResult": "internal_heat_exchanger",
    "ExchangerSpec": "internal_heat_exchanger",
    "solve_exchanger": "internal_heat_exchanger",
    "EvaporatorDuty": "expansion_valve",
    "ForceBalance": "expansion_valve",
    "ShutOffSpec": "expansion_valve",
    "ValveFault": "expansion_valve",
    "ValveResult": "expansion_valve",
    "ExpansionValveSpec": "expansion_valve",
    "close_shut_off": "expansion_valve",
    "fault_case": "expansion_valve",
    "force_balance": "expansion_valve",
    "maximum_operating_pressure": "expansion_valve",
    "opening_curves": "expansion_valve",
    "solve_valve": "expansion_valve",
    "static_superheat": "expansion_valve",
    "AccumulatorBleed": "expansion_valve",
    "OrificeFeedResult": "expansion_valve",
    "solve_orifice_feed": "expansion_valve",
    "ElectronicValveFault": "electronic_valve",
    "ElectronicValveResult": "electronic_valve",
    "ElectronicValveSpec": "electronic_valve",
    "solve_electronic_valve": "electronic_valve",
    "EnteringAir": "evaporator",
    "EvaporatorConditions": "evaporator",
    "EvaporatorResult": "evaporator",
    "EvaporatorSpec": "evaporator",
    "run_evaporator": "evaporator",
    "solve_evaporator": "evaporator",
    "ChillerResult": "chiller",
    "ChillerSpec": "chiller",
    "PlateStack": "chiller",
    "solve_chiller": "chiller",
    "PumpResult": "pump",
    "PumpSpec": "pump",
    "operating_point": "pump",
    "run_pump": "pump",
    "PipeResult": "pipe",
    "PipeSpec": "pipe",
    "pipe_flow": "pipe",
    "RadiatorSpec": "radiator",
}
__all__ = sorted(_HOMES)


def __getattr__(name):
    # Each part loads when it is first asked for, so that one lesson does not wait for another's.
    if name in _HOMES:
        return getattr(importlib.import_module(f"{__name__}.{_HOMES[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__():
    return __all__
