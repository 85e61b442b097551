"""Whole vehicles of the depot under the changes of published studies, and the short tube."""

import functools
from dataclasses import replace

from thermo_kit.components import OrificeSpec, short_tube_flow
from thermo_kit.fleet import fault
from thermo_kit.fleet import vehicle as spec_of
from thermo_kit.service.leak import plateau_share
from thermo_kit.substances import Refrigerant, stream_at
from thermo_kit.systems import Conditions, solve_vehicle


def short_tube(diameter, length, pressure, subcooling, downstream):
    """Flow of R-134a → [kg/s]."""
    fluid = Refrigerant("R-134a")
    liquid = stream_at("R-134a", p=pressure, T=fluid.bubble_temperature(pressure) - subcooling)
    tube = OrificeSpec(diameter=diameter, length=length)
    return short_tube_flow(tube, liquid, outlet_pressure=fluid.dew_pressure(downstream))


@functools.cache
def _solved(vehicle, share=1.0, refrigerant=None, name=None, severity=0.0):
    spec = spec_of(vehicle)
    spec = replace(spec, charge=share * spec.charge, refrigerant=refrigerant or spec.refrigerant)
    return solve_vehicle(spec, Conditions(), fault(name, severity) if name else ())


def charge_capacity(vehicle, share):
    """Capacity relative to the label charge."""
    return _solved(vehicle, share).cooling_capacity / _solved(vehicle).cooling_capacity


def charge_cop(vehicle, share):
    """COP relative to the label charge."""
    return _solved(vehicle, share).coefficient_of_performance / _solved(vehicle).coefficient_of_performance


def plateau_begins(vehicle):
    """Least charge at which cooling is within 1 % of that at the label, as a share of the label."""
    return plateau_share(vehicle, fade=0.01)


def other_refrigerant(vehicle, what, share=1.0):
    """R-1234yf relative to R-134a in the same parts: "capacity" or "cop" as a ratio, "discharge" as a difference."""
    new, old = _solved(vehicle, share, "R-1234yf"), _solved(vehicle, 1.0, "R-134a")
    if what == "capacity":
        return new.cooling_capacity / old.cooling_capacity
    if what == "cop":
        return new.coefficient_of_performance / old.coefficient_of_performance
    return new.discharge_temperature - old.discharge_temperature
