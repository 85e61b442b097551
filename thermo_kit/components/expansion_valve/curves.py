"""Flow of a valve over superheat, and what is left of it when the low side is warm."""

from dataclasses import dataclass, replace

from thermo_kit.components.expansion_valve.coil import LumpedCoil, inlet_of
from thermo_kit.components.expansion_valve.flow import discharge_coefficient, orifice_flow, port_area
from thermo_kit.components.expansion_valve.forces import (
    bulb_pressure,
    lift_of,
    maximum_operating_pressure,
    static_superheat,
)
from thermo_kit.components.expansion_valve.spec import CHARGES, EvaporatorDuty, ExpansionValveSpec
from thermo_kit.errors import NoSolutionError
from thermo_kit.substances import Refrigerant
from thermo_kit.units import Checks

HIGHEST_SUPERHEAT = 25.0
_STEPS = 51
LOWEST_BOILING, HIGHEST_BOILING = 243.15, 298.15
_BOILING_STEPS = 45


@dataclass(frozen=True, kw_only=True)
class OpeningCurves:
    """How a valve opens, SI.

    spec, duty: what was asked; evaporating_temperature [K] and superheat [K]: where the valve stands; superheats [K]
    and flows [kg/s]: the opening curve there; static_superheat: at which it leaves its seat [K], None where it cannot;
    full_superheat: at which it is fully open [K], None where it cannot; flow: at the superheat asked [kg/s];
    full_flow: of the fully open valve [kg/s]; boiling: evaporating temperatures [K]; flows_by_charge: name of the
    charge and the flow at each of them with the superheat asked [kg/s]; maximum_operating_pressure [Pa] and
    maximum_operating_temperature [K], its dew temperature: of the gas charge with this spring
    """

    spec: ExpansionValveSpec
    duty: EvaporatorDuty
    evaporating_temperature: float
    superheat: float
    superheats: tuple[float, ...]
    flows: tuple[float, ...]
    static_superheat: float | None
    full_superheat: float | None
    flow: float
    full_flow: float
    boiling: tuple[float, ...]
    flows_by_charge: tuple[tuple[str, tuple[float, ...]], ...]
    maximum_operating_pressure: float
    maximum_operating_temperature: float


def opening_curves(spec, duty, *, evaporating_temperature, superheat):
    """Return flow over superheat, and flow over the evaporating temperature for each charge.

    Parameters
    ----------
    spec : ExpansionValveSpec. The valve.
    duty : EvaporatorDuty. High side and pressure drop; its evaporator is not asked.
    evaporating_temperature : float, [K]. Dew temperature at the evaporator outlet, 243.15 to 298.15.
    superheat : float, [K]. At the bulb, 0 to 25.

    Returns: OpeningCurves. Curves and the marks on them. Raises OutOfRangeError if a value is out of range.

    References: See `force_balance` and `orifice_flow`.

    Examples
    --------
    >>> from thermo_kit.fleet import part_of
    >>> valve = part_of("older_van", "expansion_valve")
    >>> duty = EvaporatorDuty(refrigerant="R-134a", condensing_temperature=323.15)
    >>> curves = opening_curves(valve, duty, evaporating_temperature=273.15, superheat=7.0)
    >>> round(curves.static_superheat, 1)
    4.0
    """
    with Checks() as checks:
        checks.within(
            "evaporating temperature", evaporating_temperature, LOWEST_BOILING, HIGHEST_BOILING, kind="temperature"
        )
        checks.within("superheat", superheat, 0.0, HIGHEST_SUPERHEAT, kind="temperature_difference")
    inlet = inlet_of(duty)
    coil = LumpedCoil(duty, inlet, evaporating_temperature)
    static, full = (_or_none(spec, duty, coil.pressure, share) for share in (0.0, 1.0))
    kinks = {value for value in (static, full) if value is not None and 0.0 < value < HIGHEST_SUPERHEAT}
    superheats = tuple(sorted({HIGHEST_SUPERHEAT * k / (_STEPS - 1) for k in range(_STEPS)} | kinks))
    boiling = tuple(
        LOWEST_BOILING + (HIGHEST_BOILING - LOWEST_BOILING) * k / (_BOILING_STEPS - 1) for k in range(_BOILING_STEPS)
    )
    pressures = [Refrigerant(duty.refrigerant).dew_pressure(T) for T in boiling]

    def passes(valve, pressure, dew, above_dew):
        above = bulb_pressure(valve, refrigerant=duty.refrigerant, bulb_temperature=dew + above_dew)
        below = pressure + (duty.pressure_drop if valve.equalisation == "internal" else 0.0)
        return through(port_area(valve, lift_of(valve, above=above, below=below)), pressure)

    coefficient = discharge_coefficient(inlet_density=inlet.liquid_density, outlet_volume=coil.behind_volume)

    def through(area, pressure):
        return orifice_flow(
            area=area,
            density=inlet.density,
            pressure_drop=inlet.pressure - pressure - duty.pressure_drop,
            coefficient=coefficient,
        )

    valves = {charge: replace(spec, charge=charge) for charge in CHARGES}
    low_sides = list(zip(boiling, pressures, strict=True))
    by_charge = tuple(
        (charge, tuple(passes(valve, pressure, T, superheat) for T, pressure in low_sides))
        for charge, valve in valves.items()
    )
    gas = valves["gas charge"]
    limit = maximum_operating_pressure(gas, refrigerant=duty.refrigerant)
    return OpeningCurves(
        spec=spec,
        duty=duty,
        evaporating_temperature=evaporating_temperature,
        superheat=superheat,
        superheats=superheats,
        flows=tuple(passes(spec, coil.pressure, evaporating_temperature, value) for value in superheats),
        static_superheat=static,
        full_superheat=full,
        flow=passes(spec, coil.pressure, evaporating_temperature, superheat),
        full_flow=through(port_area(spec, spec.full_lift), coil.pressure),
        boiling=boiling,
        flows_by_charge=by_charge,
        maximum_operating_pressure=limit,
        maximum_operating_temperature=Refrigerant(duty.refrigerant).dew_temperature(limit),
    )


def _or_none(spec, duty, pressure, share):
    try:
        return static_superheat(
            spec,
            refrigerant=duty.refrigerant,
            outlet_pressure=pressure,
            pressure_drop=duty.pressure_drop,
            opening_share=share,
        )
    except NoSolutionError:
        return None
