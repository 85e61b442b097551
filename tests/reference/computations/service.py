"""What the service models say, in the quantities that rows print."""

from thermo_kit import service
from thermo_kit.service.purity import PURITY_NEEDED
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.blend import gas_viscosity
from thermo_kit.units import celsius

LITRE = 1e-3


def container_limit(refrigerant, temperature):
    """Absolute pressure with the air allowed."""
    return service.air_limits(refrigerant, (temperature,))[0][1]


def dalton(refrigerant, temperature):
    """Pressure that the air allowed adds."""
    return container_limit(refrigerant, temperature) - service.air_limits(refrigerant, (temperature,))[0][0]


def in_cylinder(quantity, **reading):
    """What gauge and thermometer say of a cylinder at rest."""
    return getattr(service.air_in_cylinder(service.CylinderReading(**reading)), quantity)


def _running(refrigerant, air):
    return service.air_in_system(service.RunningAir(refrigerant=refrigerant, air_mass=air))


def running_air(refrigerant, air):
    """Pressure that air adds in a litre of gas room at 50 °C."""
    return _running(refrigerant, air).air_pressure


def running_air_found(refrigerant, air):
    """Air that a gauge would find at the same temperature in the same room, over what was put in."""
    seen = _running(refrigerant, air)
    at, room = seen.spec.condensing_temperature, seen.spec.gas_room
    reading = {"refrigerant": refrigerant, "temperature": at, "pressure": seen.head_pressure, "vapour_volume": room}
    return in_cylinder("air_mass", **reading) / air


def blend(quantity, first, second, share, temperature):
    return getattr(service.blend_reading(first, second, share, temperature=temperature), quantity)


def azeotrope(first, second, temperature):
    """Share of the second where the pressure is highest."""
    return max(service.blend_curve(first, second, temperature, points=101), key=lambda row: row[1])[0]


def flatness(first, second, share, temperature):
    """Bubble pressure of one mixture over the highest of all at that temperature."""
    highest = max(p for _, p, _ in service.blend_curve(first, second, temperature))
    return blend("bubble_pressure", first, second, share, temperature) / highest


def _filled(refrigerant, mass, **ends):
    return service.fill_cylinder(service.CylinderSpec(refrigerant=refrigerant, volume=LITRE, mass=mass), **ends)


def filling_ratio(refrigerant):
    """Mass that the transport rule allows, by water capacity [kg/m³]."""
    return _filled(refrigerant, 0.3).allowed_by_rule / LITRE


def full_at_80(refrigerant):
    """Temperature at which 80 % of liquid at 25 °C fills the cylinder."""
    mass = 0.8 * Refrigerant(refrigerant).saturation(celsius(25)).liquid_density * LITRE
    return _filled(refrigerant, mass).full_temperature


def full_by(allowed, refrigerant):
    """Temperature at which a cylinder filled as a rule allows is full of liquid; the end of the data where never."""
    result = _filled(refrigerant, getattr(_filled(refrigerant, 0.3), allowed))
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


def rest_time(**cylinder):
    return service.rest_cylinder(service.RestSpec(**cylinder)).trusted_after


def purity_needed():
    return PURITY_NEEDED


def viscous_factor(first, second, temperature):
    """How much more of the second flows than of the first, by volume, where flow is laminar."""
    return gas_viscosity(first, temperature) / gas_viscosity(second, temperature)


leak_throughput, choked = service.throughput, service.hole_flow


def passage(gas, bore, length, **case):
    return service.passage_flow(service.PassageSpec(diameter=bore, length=length), gas, **case)


def passage_throughput(gas, **case):
    return service.throughput(passage(gas, **case), gas)


def doubled_pressure(low, high, **case):
    """Leak at the higher over that at the lower inner pressure."""
    return passage(inside=high, **case) / passage(inside=low, **case)


def bubble_time(rate, diameter, count):
    return count * service.bubbles(rate, diameter)


def least_found(method):
    return next(one.least for one in service.methods() if one.name == method)


def cooled_nitrogen(pressure, warm, cold):
    """Gauge pressure a tight circuit shows after cooling, over the air outside."""
    test = service.PressureTest(
        start_pressure=pressure, end_pressure=pressure, start_temperature=warm, end_temperature=cold, duration=3600.0
    )
    return service.judge_pressure_test(test).expected_pressure - 101325.0
