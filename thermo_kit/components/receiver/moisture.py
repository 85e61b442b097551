"""The water balance of the desiccant: how long the beads can take up what comes in."""

import math
from dataclasses import dataclass

from thermo_kit.units.checks import Checks


@dataclass(frozen=True, kw_only=True)
class MoistureSpec:
    """A bag of beads and the water that reaches it.

    Parameters
    ----------
    desiccant_mass : float, [kg]
        Dry beads, 0.001 to 1.
    capacity_share : float, [-]
        Water that the beads hold by their own mass, 0.02 to 0.25; 0.15 is common practice, no source.
    water_at_start : float, [kg]
        Left in the system after evacuation, 0 to 0.2.
    ingress_per_year : float, [kg]
        Through hoses and seals, 0 to 0.1.
    open_hours : float, [h]
        How long the vessel lay open to the air, 0 to 100.
    uptake_per_hour : float, [kg]
        How fast dry beads begin to take water from humid air, 0 to 0.1; 0.003 is our own guess.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    """

    desiccant_mass: float
    capacity_share: float = 0.15
    water_at_start: float = 0.0
    ingress_per_year: float = 0.001
    open_hours: float = 0.0
    uptake_per_hour: float = 0.003

    def __post_init__(self):
        checks = Checks()
        checks.within("desiccant mass", self.desiccant_mass, 0.001, 1.0, kind="mass", advice="40 g is 0.04 kg")
        checks.within("water capacity", self.capacity_share, 0.02, 0.25, kind="ratio", advice="15 % is 0.15")
        checks.within("water at the start", self.water_at_start, 0.0, 0.2, kind="mass", advice="2 g is 0.002 kg")
        checks.within(
            "water coming in each year", self.ingress_per_year, 0.0, 0.1, kind="mass", advice="1 g is 0.001 kg"
        )
        checks.within("hours open", self.open_hours, 0.0, 100.0, kind="ratio")
        checks.within("uptake of dry beads in an hour", self.uptake_per_hour, 0.0, 0.1, kind="mass")
        checks.raise_if_any()


@dataclass(frozen=True, kw_only=True, slots=True)
class MoistureResult:
    """Where the water is.

    spec: what was asked; capacity [kg]: what the beads can hold; from_air [kg]: taken up while the vessel lay open;
    held_at_start [kg]; room_left [kg]; loading_share [-]: of the capacity; free_at_start [kg]: water the beads cannot
    hold; years_left [years]: until the beads are full, None if never; notes
    """

    spec: MoistureSpec
    capacity: float
    from_air: float
    held_at_start: float
    room_left: float
    loading_share: float
    free_at_start: float
    years_left: float | None
    notes: tuple[str, ...]


def moisture_balance(spec):
    """Return how full of water the desiccant is, and how many years it lasts.

    Parameters
    ----------
    spec : MoistureSpec
        Beads and water.

    Returns
    -------
    MoistureResult
        Masses [kg] and years.

    Notes
    -----
    A balance with figures of common practice, no source: beads hold about 15 % of their mass while the refrigerant
    stays dry enough; in open air the uptake fades as they fill.

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
        room_left=room,
        loading_share=held / capacity,
        free_at_start=water - held,
        years_left=_years_left(room, spec.ingress_per_year),
        notes=tuple(notes),
    )


def water_after(result, years):
    """Return the water in the beads and the free water after some years.

    Parameters
    ----------
    result : MoistureResult
        The balance at the start.
    years : float, [years]
        From the start.

    Returns
    -------
    tuple of float, [kg]
        In the beads, and free.

    Notes
    -----
    A balance.
    """
    water = result.held_at_start + result.free_at_start + result.spec.ingress_per_year * years
    return min(water, result.capacity), max(water - result.capacity, 0.0)


def _years_left(room, ingress_per_year):
    if room <= 0.0:
        return 0.0
    return room / ingress_per_year if ingress_per_year else None
