"""What a learner moves: plain settings, a pure description of them, and the widgets around both."""

import importlib

_HOMES = {
    "BlankSheetPanel": "blank_sheet_panel",
    "ChillerPanel": "chiller",
    "CompareCoresPanel": "condenser",
    "ComparePanel": "compare_panel",
    "CompressorMapPanel": "compressor_map_panel",
    "CompressorPanel": "compressor_panel",
    "CondenserPanel": "condenser",
    "CondenserPathPanel": "condenser",
    "CyclePanel": "cycle_panel",
    "EvaporatorPanel": "evaporator_panel",
    "ExchangeComparePanel": "exchange_compare_panel",
    "ExchangeCyclePanel": "exchange_cycle_panel",
    "ExchangerLengthPanel": "exchanger_length_panel",
    "ExchangerPanel": "exchanger_panel",
    "FinDensityPanel": "condenser",
    "FreezePanel": "chiller",
    "GuardPanel": "chiller",
    "InsulationPanel": "insulation_panel",
    "LayoutPanel": "coolant",
    "LeakPanel": "leak_panel",
    "LogPanel": "log_panel",
    "MixturePanel": "mixture",
    "MoistAirPanel": "moist_air_panel",
    "MountPanel": "mount_panel",
    "OperatingPointPanel": "coolant",
    "ParkedSystemPanel": "parked_panel",
    "PressurePanel": "pressure_panel",
    "PullDownPanel": "pull_down_panel",
    "ReadingsPanel": "readings_panel",
    "ReceiverChargePanel": "receiver",
    "ReceiverDepthPanel": "receiver",
    "ReceiverLiftPanel": "receiver",
    "ReceiverPanel": "receiver",
    "ReceiverWaterPanel": "receiver",
    "SafeTimePanel": "chiller",
    "SaturationPanel": "saturation_panel",
    "ScenarioPanel": "coolant",
    "StatePanel": "state_panel",
    "TwoVentsPanel": "two_vents_panel",
    "ValveFaultPanel": "expansion_valve",
    "ValveForcePanel": "expansion_valve",
    "ValveOpeningPanel": "expansion_valve",
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
