"""What a learner moves: plain settings, a pure description of them, and the widgets around both."""

from thermo_kit import doors

# A panel and the charts behind it load when a lesson first asks for it.
__all__, __getattr__, __dir__ = doors.door(
    __name__,
    chiller="ChillerPanel FreezePanel GuardPanel SafeTimePanel",
    compressor="CompressorMapPanel CompressorPanel InsulationPanel MountPanel",
    condenser="CompareCoresPanel CondenserPanel CondenserPathPanel FinDensityPanel",
    coolant="LayoutPanel OperatingPointPanel ScenarioPanel",
    cycle="ComparePanel CyclePanel LeakPanel",
    diagram="BlankSheetPanel StatePanel",
    estimate_panels="EstimatePanel NarrowingPanel ScopePanel",
    evacuation_panels="ChargePanel RecoveryPanel RisePanel VacuumPanel",
    evaporator="EvaporatorPanel MoistAirPanel PullDownPanel TwoVentsPanel",
    exchange="ExchangeComparePanel ExchangeCyclePanel ExchangerLengthPanel ExchangerPanel",
    expansion_valve="FeedingPanel ValveFaultPanel ValveForcePanel ValveOpeningPanel",
    law="LawTable",
    leak="LeakHolePanel LossPanel NitrogenTestPanel",
    mixture="MixturePanel",
    pressure="ParkedSystemPanel PressurePanel SaturationPanel",
    purity="BlendPanel CylinderAirPanel CylinderFillPanel CylinderRestPanel",
    readings="LogPanel ReadingsPanel",
    receiver="ReceiverChargePanel ReceiverDepthPanel ReceiverLiftPanel ReceiverPanel ReceiverWaterPanel",
    tables="glossary show_picture table",
    vehicle="ChargeCurvePanel MysteryVehiclePanel OwnReadingsPanel VehiclePanel",
    view="the_view view_switch",
)
