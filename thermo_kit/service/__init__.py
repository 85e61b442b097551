"""Judging readings at the vehicle and deciding what to do."""

import importlib

_HOMES = {
    **dict.fromkeys(
        (
            "BlendReading",
            "ContaminantFinding",
            "CylinderReading",
            "CylinderSpec",
            "RestSpec",
            "air_in_cylinder",
            "air_limits",
            "blend_curve",
            "blend_reading",
            "fill_cylinder",
            "judge_reuse",
            "rest_cylinder",
        ),
        "purity",
    ),
    **dict.fromkeys(
        (
            "LossSpec",
            "PassageSpec",
            "PressureTest",
            "bubbles",
            "hole_flow",
            "judge_pressure_test",
            "mass_flow_of",
            "methods",
            "passage_flow",
            "rate_of_loss",
            "throughput",
        ),
        "leak",
    ),
    **dict.fromkeys(
        ("EvacuationSpec", "HoseSpec", "drawn_speed", "evacuate", "hose_conductance", "judge_vacuum_rise"), "evacuation"
    ),
    **dict.fromkeys(
        ("ChargingSpec", "HoseHoldUp", "RecoverySpec", "hose_holds", "judge_charge", "oil_balance", "recover"),
        "charging",
    ),
    **dict.fromkeys(("RepairSpec", "estimate_repair"), "estimate"),
    **dict.fromkeys(("law", "law_subjects"), "rules"),
    "cold_state": "mixture",
    "read_hydrometer": "mixture",
    "read_refractometer": "mixture",
    "refractive_index": "mixture",
    "top_up": "mixture",
}
__all__ = sorted(_HOMES)


def __getattr__(name):
    # Each task loads when it is first asked for, so that one lesson does not wait for another's.
    if name in _HOMES:
        return getattr(importlib.import_module(f"{__name__}.{_HOMES[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__():
    return __all__
