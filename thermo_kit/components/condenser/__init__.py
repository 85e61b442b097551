"""The condenser: a core of flat tubes in passes, louvered fins and a fan."""

from thermo_kit import doors

__all__, __getattr__, __dir__ = doors.door(
    __name__,
    head_pressure="compare_cores condensing_pressure_for fin_curve mass_flow_for",
    solve="solve_condenser",
    spec="AirConditions CompressorDuty CondenserJob CondenserSpec air_side pass_spans with_fin_density",
)
