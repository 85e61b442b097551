"""One part of the circuit each: specification in, result out."""

from thermo_kit import doors

__all__, __getattr__, __dir__ = doors.door(
    __name__,
    compressor="CompressorConditions CompressorResult CompressorSpec EfficiencyMap efficiency_map solve_compressor",
    mount="MountResult MountSpec solve_mount transmissibility",
    insulation="InsulationResult InsulationSpec judge_insulation",
    condenser=(
        "AirConditions CompressorDuty CondenserSpec compare_cores condensing_pressure_for fin_curve solve_condenser"
    ),
    belt_compressor="BeltCompressorSpec run_belt_compressor",
    orifice="OrificeSpec short_tube_flow",
    louvered_fins="FinResult FinSpec fin_surface fins_per_inch",
    fan="FanPoint FanSpec fan_operating_point",
    receiver=(
        "ChargeSpec MoistureSpec ReceiverConditions ReceiverResult ReceiverSpec charge_band moisture_balance "
        "solve_receiver"
    ),
    internal_heat_exchanger="ExchangerResult ExchangerSpec solve_exchanger",
    expansion_valve=(
        "EvaporatorDuty ForceBalance ShutOffSpec ValveFault ValveResult ExpansionValveSpec close_shut_off fault_case "
        "force_balance maximum_operating_pressure opening_curves solve_valve static_superheat AccumulatorBleed "
        "OrificeFeedResult solve_orifice_feed"
    ),
    electronic_valve="ElectronicValveFault ElectronicValveResult ElectronicValveSpec solve_electronic_valve",
    evaporator="EnteringAir EvaporatorConditions EvaporatorResult EvaporatorSpec run_evaporator solve_evaporator",
    chiller="ChillerResult ChillerSpec PlateStack solve_chiller",
    pump="PumpResult PumpSpec operating_point run_pump",
    pipe="PipeResult PipeSpec pipe_flow",
    radiator="RadiatorSpec",
)
