"""An evaporator fed through a fixed orifice, with an accumulator behind it that sets how wet it leaves."""

import math
from dataclasses import dataclass, replace

from thermo_kit.components.expansion_valve.forces import orifice_flow as hole_flow
from thermo_kit.components.expansion_valve.solve import Draw, FedEvaporator, inlet_of, settle, settled_to
from thermo_kit.components.orifice import short_tube_flow
from thermo_kit.errors import NoSolutionError
from thermo_kit.laws.constants import GRAVITY
from thermo_kit.laws.roots import root
from thermo_kit.substances import Refrigerant, Stream
from thermo_kit.units import Spec, quantity

_SHARP_EDGE = math.pi / (math.pi + 2.0)
_LEAST_DRIVE = 0.5
DEEPEST_SUBCOOLING = 14.0
"""Subcooling beyond which a condenser takes no more liquid, and the accumulator runs empty [K]: our own choice."""


class AccumulatorBleed(Spec):
    """The small hole near the bottom of an accumulator, through which oil, and liquid with it, goes back.

    The suction is what the vapour loses on its way up the pipe, down to the hole; it pulls the liquid in, besides the
    liquid's own depth.

    Notes: Geometry. Sizes of the order of vehicles, common practice, no source. The oil in the liquid is left out.
    """

    hole_diameter: float = quantity("length", 0.0003, 0.002, "oil bleed hole", 0.001)
    liquid_depth: float = quantity("length", 0.0, 0.3, "liquid above the hole", 0.04)
    suction: float = quantity("pressure_difference", 0.0, 20e3, "suction at the hole", 1500.0)


@dataclass(frozen=True, kw_only=True)
class OrificeFeedResult(FedEvaporator):
    """An evaporator fed by a fixed orifice, at rest, SI.

    subcooling: of the liquid in front of the orifice [K], 0 where vapour comes along;
    inlet_quality: vapour share in front of it
    """

    subcooling: float
    inlet_quality: float


def solve_orifice_feed(orifice, bleed, duty, *, holds_liquid=True):
    """Return the readings that a fixed orifice, its evaporator, accumulator and compressor settle to.

    Parameters
    ----------
    orifice : OrificeSpec. The orifice.
    bleed : AccumulatorBleed. The hole in the accumulator's pipe.
    duty : EvaporatorDuty. Condensing temperature, air, evaporator, compressor. Its subcooling and vapour share count
        only where the accumulator is empty.
    holds_liquid : bool. Whether the accumulator has liquid in it; an undercharged system has none.

    Returns: OrificeFeedResult. Low side, what leaves the evaporator, subcooling, flow, cooling, closures. Raises
        NoSolutionError if more than half vapour would arrive at the orifice, if an empty accumulator would fill, or if
        mass or heat does not close.

    Notes: At rest the accumulator's level stands still. So what enters is as wet as what leaves: vapour through the
        pipe, and what the hole lets by. That fixes the vapour share at the evaporator outlet, whatever the day. Nothing
        holds a superheat. The liquid in front of the orifice cools or warms until the flow fits: liquid moves between
        accumulator and condenser, until that is as deep as it gets; then the accumulator runs empty. The evaporator is
        the lumped one of `solve_valve`, wet over all of its length here; it therefore gives more than behind a valve.
        On a bench with both the valve gave a little more, usually (Alkan & Hosoz 2010).

    References: Orifice: see `thermo_kit.components.orifice.short_tube_flow`. Hole: single-orifice form, Bernoulli, with
        the contraction of a sharp edge, pi / (pi + 2) (Kirchhoff). Balances of mass and heat.

    Examples
    --------
    >>> from thermo_kit.components.expansion_valve import EvaporatorDuty
    >>> from thermo_kit.components.orifice import OrificeSpec
    >>> duty = EvaporatorDuty(refrigerant="R-134a", condensing_temperature=323.15)
    >>> orifice = OrificeSpec(diameter=0.0015, length=0.038)
    >>> solve_orifice_feed(orifice, AccumulatorBleed(), duty).superheat
    0.0
    """
    found = _stored(orifice, bleed, duty) if holds_liquid else None
    if found is not None:
        return found
    deepest = replace(duty, subcooling=DEEPEST_SUBCOOLING, inlet_quality=0.0) if holds_liquid else duty
    inlet = inlet_of(deepest)
    entering = Stream(refrigerant=duty.refrigerant, pressure=inlet.pressure, enthalpy=inlet.enthalpy)
    draw = settle(deepest, inlet, _passing(orifice, duty, entering))
    if draw.quality_is_wet and not holds_liquid:
        advice = "let it hold liquid, or feed more vapour to the orifice"
        raise NoSolutionError.about("accumulator", "does not stay empty", "since liquid leaves the evaporator", advice)
    return _told(orifice, duty, entering, draw)


def _passing(orifice, duty, entering):
    """Return the flow of the orifice as `settle` asks for it."""

    def flow(outlet_pressure, _temperature, _volume):
        return short_tube_flow(orifice, entering, outlet_pressure=outlet_pressure + duty.pressure_drop)

    return flow


def _stored(orifice, bleed, duty):
    """Return the state at which the accumulator's level stands still; None where it would run empty."""
    fluid = Refrigerant(duty.refrigerant)
    condensing = duty.liquid_pressure
    hot, vapour = (fluid.at(p=condensing, x=x) for x in (0.0, 1.0))
    cold = fluid.at(p=condensing, T=duty.condensing_temperature - DEEPEST_SUBCOOLING)
    wettest = hot.h + 0.4999 * (vapour.h - hot.h)

    def at(boiling):
        """Return what evaporator and compressor agree on, the outlet as wet as the hole asks, and what enters."""
        low, high = fluid.at(T=boiling, x=0.0), fluid.at(T=boiling, x=1.0)
        seeping = _bleed_flow(bleed, low.rho)
        drawn = (duty.suction_flow - seeping / low.rho) * high.rho  # the rest of the room is for vapour
        mass_flow = seeping + drawn
        quality = drawn / mass_flow
        outlet = low.h + quality * (high.h - low.h)
        heat = duty.conductance * (duty.air_temperature - boiling)
        draw = Draw(high.p, boiling, boiling, quality, mass_flow, 1.0, outlet, 0.0, 0.0, heat)
        return draw, Stream(refrigerant=fluid.name, pressure=condensing, enthalpy=outlet - heat / mass_flow)

    def surplus(boiling):
        draw, entering = at(boiling)
        held = entering.at(enthalpy=min(max(entering.enthalpy, cold.h), wettest))
        return _passing(orifice, duty, held)(draw.evaporating_pressure, 0.0, 0.0) - draw.mass_flow

    coldest = fluid.dew_temperature(duty.lowest_pressure)
    warmest = min(duty.air_temperature - _LEAST_DRIVE, fluid.dew_temperature(condensing - duty.pressure_drop) - 0.5)
    advice = "take another orifice, let the compressor draw more or less, or change the air"
    if coldest >= warmest or surplus(coldest) < 0.0:
        return None
    boiling = root(surplus, coldest, warmest, what="low side of a fixed orifice", settled=1e-9, advice=advice)
    draw, entering = at(boiling)
    if entering.enthalpy < cold.h:
        return None
    if entering.enthalpy > wettest:
        raise NoSolutionError.about("liquid in front of the orifice", "would be more than half vapour", "", advice)
    return _told(orifice, duty, entering, draw)


def _bleed_flow(bleed, liquid_density):
    area = 0.25 * math.pi * bleed.hole_diameter**2
    push = bleed.suction + liquid_density * GRAVITY * bleed.liquid_depth
    return hole_flow(area=area, density=liquid_density, pressure_drop=push, coefficient=_SHARP_EDGE)


def _told(orifice, duty, entering, draw):
    fluid = Refrigerant(duty.refrigerant)
    liquid, vapour = (fluid.at(p=entering.pressure, x=x) for x in (0.0, 1.0))
    quality = max((entering.enthalpy - liquid.h) / (vapour.h - liquid.h), 0.0)
    found = settled_to(draw, duty, entering.enthalpy, _passing(orifice, duty, entering))
    if found["verdict"] == "flooding":
        found["verdict"] = "wet by design"
    subcooling = 0.0 if quality > 0.0 else liquid.T - entering.state.T
    return OrificeFeedResult(**found, subcooling=subcooling, inlet_quality=quality)
