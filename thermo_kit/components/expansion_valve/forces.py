"""Three forces on a diaphragm, where the pin comes to rest, and how much goes through the gap it leaves."""

import math
from dataclasses import dataclass

from thermo_kit.components.expansion_valve.spec import ExpansionValveSpec, ValveFault
from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.laws.roots import root
from thermo_kit.substances import Refrigerant
from thermo_kit.units import STANDARD_ATMOSPHERE, Checks


def port_area(spec, lift):
    """Return the gap that the pin leaves open.

    Parameters
    ----------
    spec : ExpansionValveSpec. The valve.
    lift : float, [m]. Way of the pin from its seat, 0 to the full lift.

    Returns: float, [m²]. Area of the narrowest ring between cone and seat, at most the open port.

    References: Geometry: side of the cut cone that stands square to the pin's flank.

    Examples
    --------
    >>> from thermo_kit.fleet import part_of
    >>> valve = part_of("older_van", "expansion_valve")
    >>> round(port_area(valve, 0.0003) * 1e6, 2)
    1.02
    """
    sine = math.sin(spec.pin_angle)
    ring = math.pi * lift * sine * (spec.port_diameter - lift * sine * math.cos(spec.pin_angle))
    # Beyond this lift the ring would shrink again, and the port itself is the narrowest place.
    widest = spec.port_diameter / (2.0 * sine * math.cos(spec.pin_angle))
    whole = 0.25 * math.pi * spec.port_diameter**2
    return whole if lift >= widest else min(ring, whole)


def discharge_coefficient(*, inlet_density, outlet_volume):
    """Return the share of the loss-free flow that really passes.

    Parameters
    ----------
    inlet_density : float, [kg/m³]. Of the liquid that enters, 1 to 2000.
    outlet_volume : float, [m³/kg]. Of the mixture behind the valve, 0 to 1.

    Returns: float, [-]. Discharge coefficient, at most 1.

    Notes: Found for liquid of refrigerants near 900 to 1300 kg/m³; for the light R-290 it is a stretch. Scatter about
        10 % (common practice, no source). With vapour at the inlet it is taken at the density of the liquid.

    References: Wile, D.D., The measurement of expansion valve capacity, Refrigerating Engineering 30 (1935); its two
        coefficients in SI as later papers repeat them, from memory.

    Examples
    --------
    >>> round(discharge_coefficient(inlet_density=1120.0, outlet_volume=0.02), 3)
    0.684
    """
    return min(0.02005 * math.sqrt(inlet_density) + 0.634 * outlet_volume, 1.0)


def inlet_density(*, liquid_density, vapour_density, quality=0.0):
    """Return the density of what enters the valve.

    Parameters
    ----------
    liquid_density : float, [kg/m³]. Of the liquid.
    vapour_density : float, [kg/m³]. Of the vapour among it.
    quality : float, [-]. Vapour share by mass, 0 to 1.

    Returns: float, [kg/m³]. Density of the homogeneous mixture: a little flash gas takes a lot of room.

    References: Homogeneous two-phase mixture, any textbook. Tests of short tubes (Kim & O'Neal, Int. J. Refrigeration
        18 (1995) 447-455) found mist flow near to this; a valve may pass somewhat more, so this is the low side.

    Examples
    --------
    >>> round(inlet_density(liquid_density=1100.0, vapour_density=66.0, quality=0.1))
    429
    """
    if not 0.0 <= quality <= 1.0:
        advice = "10 % is 0.1"
        raise OutOfRangeError.about("vapour share at the inlet", f"{quality:g}", "is not between 0 and 1", advice)
    return 1.0 / (quality / vapour_density + (1.0 - quality) / liquid_density)


def orifice_flow(*, area, density, pressure_drop, coefficient):
    """Return the flow through one opening.

    Parameters
    ----------
    area : float, [m²]. Of the opening.
    density : float, [kg/m³]. Of what enters.
    pressure_drop : float, [Pa]. Across it; no flow where it is negative.
    coefficient : float, [-]. Discharge coefficient.

    Returns: float, [kg/s]. Mass flow.

    References: Single-orifice form, Bernoulli; for expansion valves Wile 1935.

    Examples
    --------
    >>> round(orifice_flow(area=1.5e-6, density=1120.0, pressure_drop=10e5, coefficient=0.68), 4)
    0.0483
    """
    return coefficient * area * math.sqrt(2.0 * density * max(pressure_drop, 0.0))


def in_series(first, second):
    """Return the one opening that passes as much as two, one behind the other, [m²]."""
    if first <= 0.0 or second <= 0.0:
        return 0.0
    return first * second / math.hypot(first, second)


CROSS_SHARE = 0.90
CROSS_TEMPERATURE = 283.15
_LIQUID_MARGIN = 1.0
_HIGHEST_SUPERHEAT = 30.0


def bulb_pressure(spec, *, refrigerant, bulb_temperature):
    """Return the pressure in the bulb, above the diaphragm.

    Parameters
    ----------
    spec : ExpansionValveSpec. The valve with its charge.
    refrigerant : str. The system's refrigerant.
    bulb_temperature : float, [K]. Of the bulb.

    Returns: float, [Pa]. Absolute pressure; rises with the temperature.

    Notes: "same refrigerant": the saturation pressure, since liquid is always left. "cross charge": an approximation of
        our own, a line 10 % flatter than the refrigerant's, which it meets at 10 °C; the fluids makers fill in are
        their secret. "gas charge": saturation up to the temperature at which the last drop evaporates, from there an
        ideal gas in a fixed volume.

    References: Charge types: ASHRAE Handbook Refrigeration, chapter on refrigerant-control devices (from memory). Fixed
        volume of gas: ideal gas law.

    Examples
    --------
    >>> from thermo_kit.fleet import part_of
    >>> round(bulb_pressure(part_of("older_van", "expansion_valve"), refrigerant="R-134a", bulb_temperature=273.15))
    292803
    """
    fluid = Refrigerant(refrigerant)
    if spec.charge == "gas charge":
        limit = min(spec.charge_limit_temperature, fluid.critical_temperature - _LIQUID_MARGIN)
        if bulb_temperature > limit:
            return fluid.dew_pressure(limit) * bulb_temperature / limit
    # A bulb hotter than critical holds no liquid either; its gas follows the same law.
    hottest = fluid.critical_temperature - _LIQUID_MARGIN
    inside = max(min(bulb_temperature, hottest), fluid.lowest_temperature)
    pressure = fluid.dew_pressure(inside) * (bulb_temperature / hottest if bulb_temperature > hottest else 1.0)
    if spec.charge == "cross charge":
        meet = fluid.dew_pressure(CROSS_TEMPERATURE)
        return meet + CROSS_SHARE * (pressure - meet)
    return pressure


@dataclass(frozen=True, kw_only=True)
class ForceBalance:
    """Three forces on the diaphragm of a valve, SI.

    spec: the valve; inlet_pressure: behind the valve [Pa]; felt_pressure: the one below the diaphragm [Pa];
    bulb_temperature [K]; bulb_pressure [Pa]; evaporating_temperature: dew temperature at the evaporator outlet [K];
    superheat: at the bulb [K]; static_superheat: at which the pin leaves its seat [K], None where more than 30 K would
    be needed or the bulb is empty; bulb_force, evaporator_force: of the pressures [N]; spring_force: at this lift [N];
    surplus: what seat or stop holds [N]; lift: of the pin [m]; opening_share: lift by full lift; state: "closed",
    "partly open" or "fully open"; force_closure: what is left over where nothing holds the pin, as a share of the
    bulb's force
    """

    spec: ExpansionValveSpec
    inlet_pressure: float
    felt_pressure: float
    bulb_temperature: float
    bulb_pressure: float
    evaporating_temperature: float
    superheat: float
    static_superheat: float | None
    bulb_force: float
    evaporator_force: float
    spring_force: float
    surplus: float
    lift: float
    opening_share: float
    state: str
    force_closure: float


def lift_of(spec, *, above, below):
    """Return the lift [m] at which the spring takes up the difference of two pressures [Pa]."""
    free = (above - below) * spec.diaphragm_area - spec.spring_preload
    return min(max(free / spec.spring_rate, 0.0), spec.full_lift)


def force_balance(
    spec,
    *,
    refrigerant,
    outlet_pressure,
    bulb_temperature,
    pressure_drop=0.0,
    fault=None,
    atmosphere=STANDARD_ATMOSPHERE,
):
    """Return where the pin rests and which forces hold it there.

    Parameters
    ----------
    spec : ExpansionValveSpec. The valve.
    refrigerant : str. The system's refrigerant.
    outlet_pressure : float, [Pa]. Absolute, at the evaporator outlet where the bulb sits.
    bulb_temperature : float, [K]. Of the bulb, 213.15 to 353.15.
    pressure_drop : float, [Pa]. From the valve's outlet to the bulb, 0 to 200000.
    fault : ValveFault, optional. A lost charge or a stuck pin.
    atmosphere : float, [Pa]. Air pressure, which a burst bulb takes on, 50000 to 110000.

    Returns: ForceBalance. Forces, lift and static superheat. Raises OutOfRangeError if a value is out of range.

    References: Statics. Equilibrium of bulb, evaporator and spring: ASHRAE Handbook Refrigeration, chapter on
        refrigerant-control devices (from memory); static, opening and operating superheat as the trade uses them.

    Examples
    --------
    >>> from thermo_kit.fleet import part_of
    >>> valve = part_of("older_van", "expansion_valve")
    >>> force_balance(valve, refrigerant="R-134a", outlet_pressure=292803, bulb_temperature=280.15).state
    'partly open'
    """
    fluid, fault = Refrigerant(refrigerant), fault or ValveFault()
    with Checks() as checks:
        _check_low_side(checks, fluid, outlet_pressure, pressure_drop)
        checks.within("bulb temperature", bulb_temperature, 213.15, 353.15, kind="temperature")
        checks.within("air pressure", atmosphere, 50e3, 110e3, kind="pressure")
    charged = bulb_pressure(spec, refrigerant=refrigerant, bulb_temperature=bulb_temperature)
    above = atmosphere if fault.bulb_lost else charged
    inlet = outlet_pressure + pressure_drop
    below = inlet if spec.equalisation == "internal" else outlet_pressure
    lift = lift_of(spec, above=above, below=below)
    if fault.stuck_at is not None:
        lift = fault.stuck_at * spec.full_lift
    area = spec.diaphragm_area
    spring = spec.spring_preload + spec.spring_rate * lift
    surplus = above * area - below * area - spring
    held = fault.stuck_at is not None or lift <= 0.0 or lift >= spec.full_lift
    boiling = fluid.dew_temperature(outlet_pressure)
    opens_from = None if fault.bulb_lost else superheat_for(spec, fluid, outlet_pressure, pressure_drop)
    state = "closed" if lift <= 0.0 else "fully open" if lift >= spec.full_lift else "partly open"
    return ForceBalance(
        spec=spec,
        inlet_pressure=inlet,
        felt_pressure=below,
        bulb_temperature=bulb_temperature,
        bulb_pressure=above,
        evaporating_temperature=boiling,
        superheat=bulb_temperature - boiling,
        static_superheat=opens_from,
        bulb_force=above * area,
        evaporator_force=below * area,
        spring_force=spring,
        surplus=surplus,
        lift=lift,
        opening_share=lift / spec.full_lift,
        state=state,
        force_closure=0.0 if held else abs(surplus) / (above * area),
    )


def static_superheat(spec, *, refrigerant, outlet_pressure, pressure_drop=0.0):
    """Return the superheat at which the pin has just left its seat.

    Parameters
    ----------
    spec : ExpansionValveSpec. The valve.
    refrigerant : str. The system's refrigerant.
    outlet_pressure : float, [Pa]. Absolute, at the evaporator outlet.
    pressure_drop : float, [Pa]. From the valve's outlet to the bulb.

    Returns: float, [K]. Superheat at the bulb. Raises OutOfRangeError if a value is out of range; NoSolutionError if
        the bulb cannot build up so much pressure: the maximum operating pressure is passed.

    Notes: Definition of static and operating superheat.

    Examples
    --------
    >>> from thermo_kit.fleet import part_of
    >>> valve = part_of("older_van", "expansion_valve")
    >>> round(static_superheat(valve, refrigerant="R-134a", outlet_pressure=292803), 2)
    4.0
    """
    fluid = Refrigerant(refrigerant)
    with Checks() as checks:
        _check_low_side(checks, fluid, outlet_pressure, pressure_drop)
    found = superheat_for(spec, fluid, outlet_pressure, pressure_drop)
    if found is None:
        advice = "it lies above the maximum operating pressure of the gas charge, or the spring is too strong"
        raise NoSolutionError.about("static superheat", "does not exist", "at this low-side pressure", advice)
    return found


def maximum_operating_pressure(spec, *, refrigerant):
    """Return the low-side pressure above which a gas charge can no longer open the valve.

    Parameters
    ----------
    spec : ExpansionValveSpec. The valve.
    refrigerant : str. The system's refrigerant.

    Returns: float or None, [Pa]. Absolute, below the diaphragm; None for charges that have no such limit.

    Notes: Definition: bulb pressure when its last drop has evaporated, minus the spring. The small rise of the gas
        above it is left to `force_balance`. Turning the spring in lowers it.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from thermo_kit.fleet import part_of
    >>> valve = replace(part_of("older_van", "expansion_valve"), charge="gas charge")
    >>> round(maximum_operating_pressure(valve, refrigerant="R-134a") / 1e5, 2)
    4.43
    """
    if spec.charge != "gas charge":
        return None
    dry = bulb_pressure(spec, refrigerant=refrigerant, bulb_temperature=spec.charge_limit_temperature)
    return dry - spec.preload_pressure


def superheat_for(spec, fluid, outlet_pressure, pressure_drop, opening_share=0.0):
    """Return the superheat [K] at which the pin lifts by a share of its way; None where the bulb cannot do it.

    fluid: Refrigerant; outlet_pressure [Pa], pressure_drop [Pa], opening_share [-].
    """
    below = outlet_pressure + (pressure_drop if spec.equalisation == "internal" else 0.0)
    wanted = below + (spec.spring_preload + opening_share * spec.full_lift * spec.spring_rate) / spec.diaphragm_area
    boiling = fluid.dew_temperature(outlet_pressure)

    def short_of(superheat):
        return bulb_pressure(spec, refrigerant=fluid.name, bulb_temperature=boiling + superheat) - wanted

    if short_of(_HIGHEST_SUPERHEAT) < 0.0 or short_of(-_HIGHEST_SUPERHEAT) > 0.0:
        return None
    return root(short_of, -_HIGHEST_SUPERHEAT, _HIGHEST_SUPERHEAT, what="superheat", settled=1e-3)


def _check_low_side(checks, fluid, outlet_pressure, pressure_drop):
    low, high = fluid.lowest_pressure, 0.7 * fluid.critical_pressure
    checks.within("pressure at the evaporator outlet", outlet_pressure, low, high, kind="pressure")
    checks.within("pressure drop of the evaporator", pressure_drop, 0.0, 200e3, kind="pressure_difference")
