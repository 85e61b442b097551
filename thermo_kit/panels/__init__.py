"""What a learner moves: plain settings, a pure description of them, and the widgets around both."""

import importlib

_HOMES = {
    "BlankSheetPanel": "blank_sheet_panel",
    "ChargePanel": "evacuation_panels",
    "ChillerPanel": "chiller_panel",
    "CompareCoresPanel": "compare_cores_panel",
    "ComparePanel": "compare_panel",
    "CompressorMapPanel": "compressor_map_panel",
    "CompressorPanel": "compressor_panel",
    "CondenserPanel": "condenser_panel",
    "CondenserPathPanel": "condenser_path_panel",
    "CyclePanel": "cycle_panel",
    "EstimatePanel": "estimate_panels",
    "EvaporatorPanel": "evaporator_panel",
    "ExchangeComparePanel": "exchange_compare_panel",
    "ExchangeCyclePanel": "exchange_cycle_panel",
    "ExchangerLengthPanel": "exchanger_length_panel",
    "ExchangerPanel": "exchanger_panel",
    "FinDensityPanel": "fin_density_panel",
    "FreezePanel": "freeze_panel",
    "GuardPanel": "guard_panel",
    "InsulationPanel": "insulation_panel",
    "LayoutPanel": "layout_panel",
    "LeakPanel": "leak_panel",
    "LogPanel": "log_panel",
    "MixturePanel": "mixture_panel",
    "MoistAirPanel": "moist_air_panel",
    "MountPanel": "mount_panel",
    "NarrowingPanel": "estimate_panels",
    "OperatingPointPanel": "operating_point_panel",
    "ParkedSystemPanel": "parked_panel",
    "PressurePanel": "pressure_panel",
    "PullDownPanel": "pull_down_panel",
    "ReadingsPanel": "readings_panel",
    "ReceiverChargePanel": "receiver_charge_panel",
    "ReceiverDepthPanel": "receiver_depth_panel",
    "ReceiverLiftPanel": "receiver_lift_panel",
    "ReceiverPanel": "receiver_panel",
    "ReceiverWaterPanel": "receiver_water_panel",
    "RecoveryPanel": "evacuation_panels",
    "RisePanel": "evacuation_panels",
    "SafeTimePanel": "safe_time_panel",
    "SaturationPanel": "saturation_panel",
    "ScenarioPanel": "scenario_panel",
    "ScopePanel": "estimate_panels",
    "StatePanel": "state_panel",
    "TwoVentsPanel": "two_vents_panel",
    "VacuumPanel": "evacuation_panels",
    "ValveFaultPanel": "valve_fault_panel",
    "ValveForcePanel": "valve_force_panel",
    "ValveOpeningPanel": "valve_opening_panel",
    "glossary": "word_table",
    "show_picture": "still",
    "table": "tables",
    "the_view": "view",
    "view_switch": "view",
}
"""Where each name lives; a panel and the charts behind it load when a lesson first asks for it."""

__all__ = sorted(_HOMES)


def __getattr__(name):
    if name not in _HOMES:
        raise AttributeError(f"thermo_kit.panels has no {name}; it has {', '.join(__all__)}")
    return getattr(importlib.import_module(f"thermo_kit.panels.{_HOMES[name]}"), name)


def __dir__():
    return __all__
