"""The one list of quantities: the field's name, its sign, its kind, what it means, the trade's own word.

Result fields use these names. The glossary of the workbook and the tests of the docstrings read this list.
"""

from dataclasses import dataclass

from thermo_kit.errors import UnknownNameError


@dataclass(frozen=True)
class Word:
    """One quantity.

    name: field name in the package
    sign: printed symbol
    kind: key of `thermo_kit.units.KINDS`
    meaning: one sentence a beginner understands
    trade: what it is called at the vehicle
    """

    name: str
    sign: str
    kind: str
    meaning: str
    trade: str


_ROWS = (
    ("evaporating_pressure", "p₀", "gauge_pressure", "Pressure at which the refrigerant boils in the evaporator.", "low side"),
    ("condensing_pressure", "p_c", "gauge_pressure", "Pressure at which the refrigerant condenses in the condenser.", "high side, head pressure"),
    ("suction_pressure", "p_s", "gauge_pressure", "Pressure where the compressor draws in.", "low-side reading"),
    ("discharge_pressure", "p_d", "gauge_pressure", "Pressure where the compressor delivers.", "high-side reading"),
    ("evaporating_temperature", "t₀", "temperature", "Saturation temperature that belongs to the evaporating pressure.", "boiling point"),
    ("condensing_temperature", "t_c", "temperature", "Saturation temperature that belongs to the condensing pressure.", "condensing point"),
    ("bubble_temperature", "t_b", "temperature", "Temperature at which the first bubble forms in the liquid at this pressure.", "bubble point"),
    ("dew_temperature", "t_dew", "temperature", "Temperature at which the first drop forms in the vapour at this pressure.", "dew point"),
    ("superheat", "Δt_sh", "temperature_difference", "How much warmer the vapour is than its dew temperature at the same pressure.", "superheat"),
    ("suction_superheat", "Δt_sh,1", "temperature_difference", "How much warmer than dew the vapour is when it reaches the compressor.", "total superheat"),
    ("subcooling", "Δt_sc", "temperature_difference", "How much colder the liquid is than its bubble temperature at the same pressure.", "subcooling"),
    ("suction_temperature", "t_s", "temperature", "Temperature of the line at the compressor inlet.", "suction line"),
    ("discharge_temperature", "t_d", "temperature", "Temperature of the vapour leaving the compressor.", "hot gas, discharge line"),
    ("liquid_temperature", "t_l", "temperature", "Temperature of the liquid line.", "liquid line"),
    ("quality", "x", "ratio", "Share of vapour in a boiling or condensing mixture, by mass: 0 all liquid, 1 all vapour.", "vapour share"),
    ("mass_flow", "ṁ", "mass_flow", "How much refrigerant passes each second.", "flow"),
    ("mass_flux", "G", "mass_flux", "Mass flow per open area of the tube.", "mass flux"),
    ("refrigerating_effect", "q₀", "specific_enthalpy", "Heat that each kilogram of refrigerant picks up in the evaporator.", "cooling per kilogram"),
    ("compressor_work", "w", "specific_enthalpy", "Energy that the compressor gives to each kilogram.", "work per kilogram"),
    ("heat_rejected", "q_c", "specific_enthalpy", "Heat that each kilogram gives up on the high side.", "heat to the air"),
    ("cooling_capacity", "Q̇₀", "power", "Heat taken in by the evaporator each second.", "cooling power"),
    ("heat_rejection", "Q̇_c", "power", "Heat given to the outside air each second.", "condenser load"),
    ("compressor_power", "P", "electric_power", "Power that the compressor gives to the refrigerant.", "compressor power"),
    ("coefficient_of_performance", "COP", "ratio", "Cooling power divided by compressor power.", "COP"),
    ("isentropic_efficiency", "η_s", "ratio", "Work of a loss-free compression divided by the work really done.", "how good the compressor is"),
    ("pressure_ratio", "π", "ratio", "Absolute discharge pressure divided by absolute suction pressure.", "compression ratio"),
    ("effectiveness", "ε", "ratio", "Heat really exchanged divided by the most that could be exchanged.", "effectiveness"),
    ("density", "ρ", "density", "Mass in each cubic metre.", "density"),
    ("specific_enthalpy", "h", "specific_enthalpy", "Heat content of each kilogram, counted from a fixed zero.", "enthalpy"),
    ("specific_entropy", "s", "specific_entropy", "Property that stays the same in a loss-free compression.", "entropy"),
    ("freezing_point", "t_f", "temperature", "Temperature at which the first ice crystal forms in the coolant.", "freeze point"),
    ("freeze_margin", "Δt_f", "temperature_difference", "Coldest wall minus freezing point of the coolant.", "distance from ice"),
    ("relative_humidity", "φ", "percent", "Water vapour in the air compared with the most it can hold at that temperature.", "humidity"),
    ("humidity_ratio", "w_a", "humidity_ratio", "Water vapour carried by each kilogram of dry air.", "moisture in the air"),
    ("altitude", "z", "altitude", "Height of the workshop above sea level.", "altitude"),
    ("atmosphere_pressure", "p_a", "pressure", "Pressure of the surrounding air.", "air pressure"),
)  # fmt: skip

WORDS = {row[0]: Word(*row) for row in _ROWS}
"""Every quantity by its name."""


def word(name):
    """Return the entry for a quantity by its field name; an unknown one is an `UnknownNameError`."""
    try:
        return WORDS[name]
    except KeyError:
        advice = "use one of " + ", ".join(WORDS)
        raise UnknownNameError.about("quantity", repr(name), "is not in the list of words", advice) from None
