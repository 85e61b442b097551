"""Judging readings at the vehicle and deciding what to do."""

from thermo_kit import doors

__all__, __getattr__, __dir__ = doors.door(
    __name__,
    charging="ChargingSpec HoseHoldUp RecoverySpec hose_holds judge_charge judge_recovery oil_balance recover",
    customer_sheet="estimate_sheet",
    diagnosis="INSTRUMENTS Reading diagnose readings_of value_of",
    estimate="RepairSpec estimate_repair range_so_far",
    evacuation="EvacuationSpec HoseSpec air_left drawn_speed evacuate hose_conductance judge_vacuum_rise",
    kept="kept_signatures",
    leak=(
        "LossSpec PassageSpec PressureTest bubbles hole_flow judge_pressure_test mass_flow_of methods passage_curve "
        "passage_flow plateau_share plateaus rate_of_loss throughput"
    ),
    mixture="cold_state read_hydrometer read_refractometer refractive_index top_up",
    mystery="confidence_score draw_ticket judge_verdict model_verdict",
    own_vehicle="OwnVehicle diagnose_own read_sheet",
    pressure_log="PressureWatch judge_pressure_log read_pressure_log watch_pressure_test",
    purity=(
        "BlendReading ContaminantFinding CylinderReading CylinderSpec RestSpec RunningAir air_in_cylinder "
        "air_in_system air_limits blend_curve blend_reading fill_cylinder judge_reuse rest_cylinder"
    ),
    rules="law law_subjects",
    service_log="read_recovery_log read_vacuum_log",
)
