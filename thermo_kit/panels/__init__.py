"""What a learner moves: plain settings, a pure description of them, and the widgets around both."""

import importlib

_HOMES = {
    "BlankSheetPanel": "diagram",
    "BlendPanel": "purity",
    "ChargePanel": "evacuation_panels",
    "ChillerPanel": "chiller",
    "CompareCoresPanel": "condenser",
    "ComparePanel": "cycle",
    "CompressorMapPanel": "compressor",
    "CompressorPanel": "compressor",
    "CondenserPanel": "condenser",
    "CondenserPathPanel": "condenser",
    "CyclePanel": "cycle",
    "CylinderAirPanel": "purity",
    "CylinderFillPanel": "purity",
    "CylinderRestPanel": "purity",
    "EstimatePanel": "estimate_panels",
    "EvaporatorPanel": "evaporator",
    "ExchangeComparePanel": "exchange",
    "ExchangeCyclePanel": "exchange",
    "ExchangerLengthPanel": "exchange",
    "ExchangerPanel": "exchange",
    "FeedingPanel": "expansion_valve",
    "FinDensityPanel": "condenser",
    "FreezePanel": "chiller",
    "GuardPanel": "chiller",
    "InsulationPanel": "compressor",
    "LawTable": "law",
    "LayoutPanel": "coolant",
    "LeakHolePanel": "leak",
    "LeakPanel": "cycle",
    "LogPanel": "readings",
    "LossPanel": "leak",
    "MixturePanel": "mixture",
    "MoistAirPanel": "evaporator",
    "MountPanel": "compressor",
    "NarrowingPanel": "estimate_panels",
    "NitrogenTestPanel": "leak",
    "OperatingPointPanel": "coolant",
    "ParkedSystemPanel": "pressure",
    "OwnReadingsPanel": "vehicle",
    "PressurePanel": "pressure",
    "PullDownPanel": "evaporator",
    "ReadingsPanel": "readings",
    "ReceiverChargePanel": "receiver",
    "ReceiverDepthPanel": "receiver",
    "ReceiverLiftPanel": "receiver",
    "ReceiverPanel": "receiver",
    "ReceiverWaterPanel": "receiver",
    "RecoveryPanel": "evacuation_panels",
    "RisePanel": "evacuation_panels",
    "SafeTimePanel": "chiller",
    "SaturationPanel": "pressure",
    "ScenarioPanel": "coolant",
    "ScopePanel": "estimate_panels",
    "StatePanel": "diagram",
    "TwoVentsPanel": "evaporator",
    "VacuumPanel": "evacuation_panels",
    "ValveFaultPanel": "expansion_valve",
    "ValveForcePanel": "expansion_valve",
    "ValveOpeningPanel": "expansion_valve",
    "ChargeCurvePanel": "vehicle",
    "MysteryVehiclePanel": "vehicle",
    "VehiclePanel": "vehicle",
    "glossary": "tables",
    "show_picture": "tables",
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
