"""One part of the circuit each: specification in, result out."""

import importlib

_HOMES = {
    "CoilAir": "evaporator",
    "EvaporatorConditions": "evaporator",
    "EvaporatorResult": "evaporator",
    "EvaporatorSpec": "evaporator",
    "solve_evaporator": "evaporator",
    "AirConditions": "condenser",
    "CompressorDuty": "condenser",
    "CompressorConditions": "compressor",
    "CompressorResult": "compressor",
    "CompressorSpec": "compressor",
    "CondenserSpec": "condenser",
    "RefrigerantInlet": "condenser",
    "EfficiencyMap": "compressor",
    "InsulationResult": "insulation",
    "InsulationSpec": "insulation",
    "MountResult": "mount",
    "MountSpec": "mount",
    "compare_cores": "condenser",
    "condensing_pressure_for": "condenser",
    "efficiency_map": "compressor",
    "fin_curve": "condenser",
    "judge_insulation": "insulation",
    "solve_compressor": "compressor",
    "solve_condenser": "condenser",
    "solve_mount": "mount",
    "transmissibility": "mount",
    "ChargeSpec": "receiver",
    "MoistureSpec": "receiver",
    "EvaporatorDuty": "expansion_valve",
    "ForceBalance": "expansion_valve",
    "ShutOffSpec": "expansion_valve",
    "ValveFault": "expansion_valve",
    "ValveResult": "expansion_valve",
    "ValveSpec": "expansion_valve",
    "close_shut_off": "expansion_valve",
    "fault_case": "expansion_valve",
    "force_balance": "expansion_valve",
    "maximum_operating_pressure": "expansion_valve",
    "opening_curves": "expansion_valve",
    "solve_valve": "expansion_valve",
    "static_superheat": "expansion_valve",
    "ReceiverConditions": "receiver",
    "ReceiverResult": "receiver",
    "ReceiverSpec": "receiver",
    "charge_band": "receiver",
    "moisture_balance": "receiver",
    "solve_receiver": "receiver",
}
__all__ = sorted(_HOMES)


def __getattr__(name):
    # Each part loads when it is first asked for, so that one lesson does not wait for another's.
    if name in _HOMES:
        return getattr(importlib.import_module(f"{__name__}.{_HOMES[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__():
    return __all__
