"""Judging readings at the vehicle and deciding what to do."""

import importlib

_HOMES = {
    "BlendReading": "purity",
    "ChargingSpec": "charging",
    "ContaminantFinding": "purity",
    "CylinderReading": "purity",
    "CylinderSpec": "purity",
    "EvacuationSpec": "evacuation",
    "HoseHoldUp": "charging",
    "HoseSpec": "evacuation",
    "INSTRUMENTS": "diagnosis",
    "LossSpec": "leak",
    "OwnVehicle": "own_vehicle",
    "PassageSpec": "leak",
    "PressureTest": "leak",
    "PressureWatch": "pressure_log",
    "Reading": "diagnosis",
    "RecoverySpec": "charging",
    "RepairSpec": "estimate",
    "RestSpec": "purity",
    "RunningAir": "purity",
    "air_in_cylinder": "purity",
    "air_in_system": "purity",
    "air_left": "evacuation",
    "air_limits": "purity",
    "blend_curve": "purity",
    "blend_reading": "purity",
    "bubbles": "leak",
    "cold_state": "mixture",
    "confidence_score": "mystery",
    "diagnose": "diagnosis",
    "diagnose_own": "own_vehicle",
    "draw_ticket": "mystery",
    "drawn_speed": "evacuation",
    "estimate_repair": "estimate",
    "estimate_sheet": "customer_sheet",
    "evacuate": "evacuation",
    "fill_cylinder": "purity",
    "hole_flow": "leak",
    "hose_conductance": "evacuation",
    "hose_holds": "charging",
    "judge_charge": "charging",
    "judge_pressure_log": "pressure_log",
    "judge_pressure_test": "leak",
    "judge_recovery": "charging",
    "judge_reuse": "purity",
    "judge_vacuum_rise": "evacuation",
    "judge_verdict": "mystery",
    "kept_signatures": "kept",
    "law": "rules",
    "law_subjects": "rules",
    "mass_flow_of": "leak",
    "methods": "leak",
    "model_verdict": "mystery",
    "oil_balance": "charging",
    "passage_curve": "leak",
    "passage_flow": "leak",
    "plateau_share": "leak",
    "plateaus": "leak",
    "pump_down_time": "evacuation",
    "range_so_far": "estimate",
    "rate_of_loss": "leak",
    "read_hydrometer": "mixture",
    "read_pressure_log": "pressure_log",
    "read_recovery_log": "service_log",
    "read_refractometer": "mixture",
    "read_sheet": "own_vehicle",
    "read_vacuum_log": "service_log",
    "readings_of": "diagnosis",
    "recover": "charging",
    "refractive_index": "mixture",
    "rest_cylinder": "purity",
    "throughput": "leak",
    "top_up": "mixture",
    "value_of": "diagnosis",
    "vapour_left": "charging",
    "watch_pressure_test": "pressure_log",
}
__all__ = sorted(_HOMES)


def __getattr__(name):
    # Each task loads when it is first asked for, so that one lesson does not wait for another's.
    if name in _HOMES:
        return getattr(importlib.import_module(f"{__name__}.{_HOMES[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__():
    return __all__
