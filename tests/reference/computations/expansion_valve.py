"""What the expansion valve says, in the quantities that rows print."""

from dataclasses import replace

from thermo_kit.components import expansion_valve as valves
from thermo_kit.components.electronic_valve import ElectronicValveSpec, solve_electronic_valve
from thermo_kit.components.expansion_valve import AccumulatorBleed, EvaporatorDuty
from thermo_kit.components.orifice import OrificeSpec, short_tube_flow
from thermo_kit.fleet import part_of
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.stream import stream_at

VALVE = part_of("older_van", "expansion_valve")
DUTY = EvaporatorDuty(refrigerant="R-134a", condensing_temperature=323.15)


def _valve(**changes):
    return replace(VALVE, **changes)


def static(refrigerant, boiling, spring_pressure, **changes):
    """Static superheat of a valve whose spring is given as a pressure on its diaphragm."""
    valve = _valve(**changes)
    valve = replace(valve, spring_preload=spring_pressure * valve.diaphragm_area)
    low = Refrigerant(refrigerant).dew_pressure(boiling)
    return valves.static_superheat(valve, refrigerant=refrigerant, outlet_pressure=low)


def area(lift, port_diameter, pin_angle):
    return valves.port_area(_valve(port_diameter=port_diameter, pin_angle=pin_angle), lift)


def gas_pressure_ratio(limit, hot):
    gas = _valve(charge="gas charge", charge_limit_temperature=limit)
    hot, at = (valves.bulb_pressure(gas, refrigerant="R-134a", bulb_temperature=T) for T in (hot, limit))
    return hot / at


def _settled(**changes):
    return valves.solve_valve(VALVE, replace(DUTY, **changes))


def closure(name, feeding="", **changes):
    result = _fed(feeding, replace(DUTY, **changes))
    return result.balance.force_closure if name == "force" else getattr(result, f"{name}_closure")


def dry_effectiveness(**changes):
    """Share of the way to the air's temperature that the dry stretch of the evaporator brings."""
    result = _settled(**changes)
    return result.superheat / (result.duty.air_temperature - result.evaporating_temperature)


def dry_transfer_units(**changes):
    """Transfer units of that stretch, from the flow and the states at both of its ends."""
    result = _settled(**changes)
    fluid, p = Refrigerant(result.duty.refrigerant), result.evaporating_pressure
    gained = fluid.at(p=p, T=result.outlet_temperature).h - fluid.at(p=p, x=1.0).h
    capacity = result.mass_flow * gained / result.superheat
    return (1.0 - result.boiling_share) * result.duty.conductance * result.duty.dry_share / capacity


def effectiveness_against_library(**changes):
    """The dry stretch against `ht`'s effectiveness at one constant temperature, as a difference."""
    from ht import effectiveness_from_NTU

    return dry_effectiveness(**changes) - effectiveness_from_NTU(dry_transfer_units(**changes), Cr=0.0)


def balance_force(diaphragm, pressure):
    """Force on the diaphragm from below."""
    valve = _valve(diaphragm_diameter=diaphragm)
    bulb = Refrigerant("R-134a").dew_temperature(pressure)
    return valves.force_balance(
        valve, refrigerant="R-134a", outlet_pressure=pressure, bulb_temperature=bulb
    ).evaporator_force


def short_tube(bore, length, condensing, subcooling):
    """Choked flow of R-134a through a short tube, behind it saturated at 2 °C."""
    fluid = Refrigerant("R-134a")
    return _through(OrificeSpec(diameter=bore, length=length), condensing, subcooling, fluid.dew_pressure(275.15))


def choking_ends(condensing, subcooling):
    """Flow at 70 % of the saturation pressure of the entering liquid, as a share of that at 30 %."""
    tube = OrificeSpec(diameter=0.00135, length=0.0127)
    edge = Refrigerant("R-134a").bubble_pressure(condensing - subcooling)
    far, near = (_through(tube, condensing, subcooling, share * edge) for share in (0.3, 0.7))
    return near / far


def wet_inlet_share(bore, length, condensing, quality):
    """Choked flow with some vapour at the inlet, as a share of the saturated liquid's."""
    fluid, tube = Refrigerant("R-134a"), OrificeSpec(diameter=bore, length=length)
    pressure = fluid.bubble_pressure(condensing)
    behind = fluid.dew_pressure(275.15)
    wet, liquid = (
        short_tube_flow(tube, stream_at("R-134a", p=pressure, x=x), outlet_pressure=behind) for x in (quality, 0.0)
    )
    return wet / liquid


def _through(tube, condensing, subcooling, outlet_pressure):
    pressure = Refrigerant("R-134a").bubble_pressure(condensing)
    liquid = stream_at("R-134a", p=pressure, T=condensing - subcooling)
    return short_tube_flow(tube, liquid, outlet_pressure=outlet_pressure)


def _fed(feeding, duty):
    if feeding == "orifice":
        return valves.solve_orifice_feed(OrificeSpec(diameter=0.0017, length=0.038), AccumulatorBleed(), duty)
    return (
        solve_electronic_valve(ElectronicValveSpec(), duty)
        if feeding == "electronic"
        else valves.solve_valve(VALVE, duty)
    )


def capacity_change(feeding, low, high):
    """Cooling at the higher condensing temperature minus that at the lower."""
    cool, warm = (_fed(feeding, replace(DUTY, condensing_temperature=t)).cooling_capacity for t in (low, high))
    return warm - cool
