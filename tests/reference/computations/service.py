"""What the service models say, in the quantities that rows print."""

from thermo_kit.service import (
    CylinderReading,
    CylinderSpec,
    PassageSpec,
    PressureTest,
    RestSpec,
    RunningAir,
    air_in_cylinder,
    air_in_system,
    air_limits,
    blend_curve,
    blend_reading,
    bubbles,
    fill_cylinder,
    hole_flow,
    judge_pressure_test,
    methods,
    passage_flow,
    rest_cylinder,
    throughput,
)
from thermo_kit.service.purity import PURITY_NEEDED
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.blend import gas_viscosity
from thermo_kit.units import celsius

LITRE = 1e-3


def dalton(refrigerant, temperature):
    """Pressure that the air allowed adds."""
    ((pure, most),) = air_limits(refrigerant, (temperature,))
    return most - pure


def container_limit(refrigerant, temperature):
    """Absolute pressure with the air allowed."""
    return air_limits(refrigerant, (temperature,))[0][1]


def air_share(refrigerant, temperature, pressure):
    reading = CylinderReading(refrigerant=refrigerant, temperature=temperature, pressure=pressure)
    return air_in_cylinder(reading).air_fraction


def _running(refrigerant, air):
    return air_in_system(RunningAir(refrigerant=refrigerant, air_mass=air))


def running_air(refrigerant, air):
    """Pressure that air adds in a litre of gas room at 50 °C."""
    return _running(refrigerant, air).air_pressure


def running_air_found(refrigerant, air):
    """Air that a gauge would find at the same temperature in the same room, over what was put in."""
    seen = _running(refrigerant, air)
    reading = CylinderReading(
        refrigerant=refrigerant, temperature=seen.spec.condensing_temperature, pressure=seen.head_pressure,
        vapour_volume=seen.spec.gas_room,
    )  # fmt: skip
    return air_in_cylinder(reading).air_mass / air


def blend_pressure(first, second, share, temperature):
    return blend_reading(first, second, share, temperature=temperature).bubble_pressure


def blend_shift(first, second, share, temperature):
    return blend_reading(first, second, share, temperature=temperature).shift


def blend_glide(first, second, share, temperature):
    return blend_reading(first, second, share, temperature=temperature).glide


def azeotrope(first, second, temperature):
    """Share of the second where the pressure is highest."""
    return max(blend_curve(first, second, temperature, points=101), key=lambda row: row[1])[0]


def _filled(refrigerant, mass, **ends):
    return fill_cylinder(CylinderSpec(refrigerant=refrigerant, volume=LITRE, mass=mass), **ends)


def filling_ratio(refrigerant):
    """Mass that the transport rule allows, by water capacity [kg/m³]."""
    return _filled(refrigerant, 0.3).allowed_by_rule / LITRE


def full_at_80(refrigerant):
    """Temperature at which 80 % of liquid at 25 °C fills the cylinder."""
    mass = 0.8 * Refrigerant(refrigerant).saturation(celsius(25)).liquid_density * LITRE
    return _filled(refrigerant, mass).full_temperature


def full_at_rule(refrigerant):
    """Temperature at which a cylinder filled by the transport rule is full of liquid."""
    return _filled(refrigerant, _filled(refrigerant, 0.3).allowed_by_rule).full_temperature


def full_by_machine(refrigerant):
    """The same of one filled to 80 % at 21 °C; the end of the data where it never is."""
    result = _filled(refrigerant, _filled(refrigerant, 0.3).allowed_by_volume)
    return result.full_temperature or result.temperatures[-1]


def warmed_when_full(refrigerant, full, warmed):
    """Pressure of a cylinder that is just full at one temperature and warmed to another."""
    mass = Refrigerant(refrigerant).saturation(full).liquid_density * LITRE
    return _filled(refrigerant, mass, coldest=full - 1.0, warmest=warmed).pressures[-1]


def fill_closure(refrigerant, mass):
    """Mass told by the liquid's share at the last temperature, over the mass filled in."""
    result = _filled(refrigerant, mass)
    point = Refrigerant(refrigerant).saturation(result.temperatures[-1])
    share = result.liquid_shares[-1]
    return (share * point.liquid_density + (1.0 - share) * point.vapour_density) * LITRE / mass


def rest_time(refrigerant, inside, around):
    return rest_cylinder(RestSpec(refrigerant=refrigerant, start_temperature=inside, surroundings=around)).trusted_after


def purity_needed():
    return PURITY_NEEDED


def flatness(first, second, share, temperature):
    """Bubble pressure of one mixture over the highest of all at that temperature."""
    highest = max(p for _, p, _ in blend_curve(first, second, temperature))
    return blend_pressure(first, second, share, temperature) / highest


def leak_throughput(loss, gas, temperature):
    return throughput(loss, gas, temperature)


def viscous_factor(first, second, temperature):
    """How much more of the second flows than of the first, by volume, where flow is laminar."""
    return gas_viscosity(first, temperature) / gas_viscosity(second, temperature)


def passage(gas, bore, length, inside, outside=101325.0, temperature=293.15, liquid=False):
    spec = PassageSpec(diameter=bore, length=length)
    return passage_flow(spec, gas, inside=inside, outside=outside, temperature=temperature, liquid=liquid)


def passage_throughput(gas, **case):
    return throughput(passage(gas, **case), gas, case.get("temperature", 293.15))


def doubled_pressure(gas, bore, length, low, high, outside):
    """Leak at the higher over that at the lower inner pressure."""
    case = {"gas": gas, "bore": bore, "length": length, "outside": outside}
    return passage(inside=high, **case) / passage(inside=low, **case)


def choked(gas, area, inside, temperature):
    return hole_flow(area, gas, inside=inside, temperature=temperature)


def bubble_time(rate, diameter, count):
    return count * bubbles(rate, diameter)


def least_found(method):
    return next(one.least for one in methods() if one.name == method)


def cooled_nitrogen(pressure, warm, cold):
    """Gauge pressure a tight circuit shows after cooling, over the air outside."""
    test = PressureTest(
        start_pressure=pressure, end_pressure=pressure, start_temperature=warm, end_temperature=cold, duration=3600.0
    )
    return judge_pressure_test(test).expected_pressure - 101325.0
