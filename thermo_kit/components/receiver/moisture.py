"""The water balance of the desiccant: how long the beads can take up what comes in."""

import math
from dataclasses import dataclass

from thermo_kit.units import Spec, quantity


class MoistureSpec(Spec):
    """A bag of beads and the water that reaches it: left after evacuation, through hoses and seals, from the open air.

    The capacity is the share of their own mass that beads hold: 0.15 is common practice, no source. The uptake is how
    fast dry beads begin to take water from humid air: 0.003 kg an hour is our own guess.
    """

    desiccant_mass: float = quantity("mass", 0.001, 1.0, "desiccant mass", advice="40 g is 0.04 kg")
    capacity_share: float = quantity("ratio", 0.02, 0.25, "water capacity", 0.15, advice="15 % is 0.15")
    water_at_start: float = quantity("mass", 0.0, 0.2, "water at the start", 0.0, advice="2 g is 0.002 kg")
    ingress_per_year: float = quantity("mass", 0.0, 0.1, "water coming in each year", 0.001, advice="1 g is 0.001 kg")
    open_hours: float = quantity("ratio", 0.0, 100.0, "hours open", 0.0)
    uptake_per_hour: float = quantity("mass", 0.0, 0.1, "uptake of dry beads in an hour", 0.003)


@dataclass(frozen=True, kw_only=True, slots=True)
class MoistureResult:
    """Where the water is.

    spec: what was asked; capacity [kg]: what the beads can hold; from_air [kg]: taken up while the vessel lay open;
    held_at_start [kg]; loading_share [-]: of the capacity; free_at_start [kg]: water the beads cannot
    hold; years_left [years]: until the beads are full, None if never; notes
    """

    spec: MoistureSpec
    capacity: float
    from_air: float
    held_at_start: float
    loading_share: float
    free_at_start: float
    years_left: float | None
    notes: tuple[str, ...]


def moisture_balance(spec):
    """Return how full of water the desiccant is, and how many years it lasts.

    Parameters
    ----------
    spec : MoistureSpec. Beads and water.

    Returns: MoistureResult. Masses [kg] and years.

    Notes: A balance with figures of common practice, no source: beads hold about 15 % of their mass while the
        refrigerant stays dry enough; in open air the uptake fades as they fill.

    Examples
    --------
    >>> moisture_balance(MoistureSpec(desiccant_mass=0.04, ingress_per_year=0.0005)).years_left
    12.0
    """
    capacity = spec.desiccant_mass * spec.capacity_share
    from_air = capacity * -math.expm1(-spec.uptake_per_hour * spec.open_hours / capacity)
    water = from_air + spec.water_at_start
    held = min(water, capacity)
    room = capacity - held
    notes = ["Capacity and uptake are common practice, no source: change the bag whenever the system was opened."]
    if water > capacity:
        notes.append("The beads are full: free water can freeze in the valve and makes acid with oil and refrigerant.")
    return MoistureResult(
        spec=spec,
        capacity=capacity,
        from_air=from_air,
        held_at_start=held,
        loading_share=held / capacity,
        free_at_start=water - held,
        years_left=_years_left(room, spec.ingress_per_year),
        notes=tuple(notes),
    )


def water_after(result, years):
    """Return the water in the beads and the free water after some years.

    Parameters
    ----------
    result : MoistureResult. The balance at the start.
    years : float, [years]. From the start.

    Returns: tuple of float, [kg]. In the beads, and free.

    Notes: A balance.
    """
    water = result.held_at_start + result.free_at_start + result.spec.ingress_per_year * years
    return min(water, result.capacity), max(water - result.capacity, 0.0)


def _years_left(room, ingress_per_year):
    if room <= 0.0:
        return 0.0
    return room / ingress_per_year if ingress_per_year else None
