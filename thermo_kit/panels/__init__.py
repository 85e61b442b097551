"""What a learner moves: plain settings, a pure description of them, and the widgets around both."""

import importlib

_HOMES = {
    "BlankSheetPanel": "blank_sheet_panel",
    "ChillerPanel": "chiller",
    "CompareCoresPanel": "condenser",
    "ComparePanel": "compare_panel",
    "CompressorMapPanel": "compressor",
    "CompressorPanel": "compressor",
    "CondenserPanel": "condenser",
    "CondenserPathPanel": "condenser",
    "CyclePanel": "cycle_panel",
    "EvaporatorPanel": "evaporator",
    "ExchangeComparePanel": "exchange_compare_panel",
    "ExchangeCyclePanel": "exchange_cycle_panel",
    "ExchangerLengthPanel": "exchanger_length_panel",
    "ExchangerPanel": "exchanger_panel",
    "FinDensityPanel": "condenser",
    "FreezePanel": "chiller",
    "GuardPanel": "chiller",
    "InsulationPanel": "compressor",
    "LayoutPanel": "coolant",
    "LeakPanel": "leak_panel",
    "LogPanel": "log_panel",
    "MixturePanel": "mixture",
    "MoistAirPanel": "evaporator",
    "MountPanel": "compressor",
    "OperatingPointPanel": "coolant",
    "ParkedSystemPanel": "parked_panel",
    "PressurePanel": "pressure_panel",
    "PullDownPanel": "evaporator",
    "ReadingsPanel": "readings_panel",
    "ReceiverChargePanel": "receiver_charge_panel",
    "ReceiverDepthPanel": "receiver_depth_panel",
    "ReceiverLiftPanel": "receiver_lift_panel",
    "ReceiverPanel": "receiver_panel",
    "ReceiverWaterPanel": "receiver_water_panel",
    "SafeTimePanel": "chiller",
    "SaturationPanel": "saturation_panel",
    "ScenarioPanel": "coolant",
    "StatePanel": "state_panel",
    "TwoVentsPanel": "evaporator",
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
