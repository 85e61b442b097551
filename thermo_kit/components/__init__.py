"""One part of the circuit each: specification in, result out."""

from thermo_kit import doors

__all__, __getattr__, __dir__ = doors.door(
    __name__,
    compressor="CompressorConditions CompressorSpec efficiency_map solve_compressor",
    mount="MountSpec solve_mount transmissibility",
    insulation="InsulationSpec judge_insulation",
    condenser=(
        "AirConditions CompressorDuty CondenserSpec compare_cores condensing_pressure_for fin_curve solve_condenser"
    ),
    belt_compressor="BeltCompressorSpec run_belt_compressor",
    orifice="OrificeSpec short_tube_flow",
    louvered_fins="FinSpec fin_surface fins_per_inch",
    fan="FanSpec fan_operating_point",
    receiver="ChargeSpec MoistureSpec ReceiverConditions ReceiverSpec charge_band moisture_balance solve_receiver",
    internal_heat_exchanger="ExchangerSpec solve_exchanger",
    expansion_valve=(
        "EvaporatorDuty ShutOffSpec ValveFault ExpansionValveSpec close_shut_off fault_case force_balance "
        "maximum_operating_pressure opening_curves solve_valve static_superheat AccumulatorBleed solve_orifice_feed"
    ),
    electronic_valve="ElectronicValveFault ElectronicValveSpec solve_electronic_valve",
    evaporator="EnteringAir EvaporatorConditions EvaporatorSpec run_evaporator solve_evaporator",
    chiller="ChillerSpec PlateStack solve_chiller",
    pump="PumpSpec operating_point run_pump",
    pipe="PipeSpec pipe_flow",
    radiator="RadiatorSpec",
)
