"""Glycol in the workshop: topping up, and what a mixture protects from in the cold."""

from dataclasses import dataclass

from thermo_kit.errors import NoSolutionError, Problem
from thermo_kit.service.mixture import STRONGEST, check_glycol
from thermo_kit.substances import Coolant
from thermo_kit.units import format_quantity
from thermo_kit.units.checks import Checks

ICE_DENSITY = 917.0


@dataclass(frozen=True, slots=True)
class TopUp:
    """How to reach a target strength.

    drain: volume to let out first [m³]; add_concentrate and add_water: volumes to fill in [m³]; volume_fraction:
    share of glycol reached [-]; freezing_point [K]; notes: what to keep in mind.
    """

    drain: float
    add_concentrate: float
    add_water: float
    volume_fraction: float
    freezing_point: float
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ColdState:
    """A mixture in the cold.

    condition: "liquid", "slush" or "solid"; ice_fraction: ice per mass of mixture [-]; growth_ratio: volume gained
    since the freezing point, per volume [-]; freezing_point [K]; sentence: in words.
    """

    condition: str
    ice_fraction: float
    growth_ratio: float
    freezing_point: float
    sentence: str


def top_up(kind, *, system_volume, volume_fraction, target_volume_fraction, missing_volume=0.0, filler_fraction=1.0):
    """Return how much to drain and to add to bring a loop to a target strength.

    Parameters
    ----------
    kind : str
        Glycol in the loop and in the filler: never mix kinds.
    system_volume : float, [m³]
        Volume of the full loop, above 0 to 1.
    volume_fraction : float, [m³/m³]
        Share of glycol by volume now, 0 to 1.
    target_volume_fraction : float, [m³/m³]
        Share wanted, 0 to the strongest of the data, 0.60 by mass (0.573 ethylene, 0.591 propylene glycol).
    missing_volume : float, [m³]
        How much the loop is short of full, 0 to system_volume.
    filler_fraction : float, [m³/m³]
        Share of glycol in the concentrate at hand, 0.3 to 1.

    Returns
    -------
    TopUp
        Volumes to drain and to add.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    NoSolutionError
        If the filler is not stronger than the target.

    Notes
    -----
    Volumes are added up as if they did not shrink on mixing (they do, by up to about 1 %). Drain first, then
    fill, run the pump, bleed, and measure again. Coolant is poisonous: catch it, and dispose of it by local rules.

    References
    ----------
    Arithmetic: balance of glycol volume before and after.

    Examples
    --------
    >>> plan = top_up("ethylene glycol", system_volume=8e-3, volume_fraction=0.30, target_volume_fraction=0.50)
    >>> round(plan.drain * 1e3, 3), round(plan.add_concentrate * 1e3, 3), plan.add_water
    (2.286, 2.286, 0.0)
    """
    check_glycol(kind)
    checks = Checks()
    checks.within("system volume", system_volume, 0.0, 1.0, kind="volume", exclusive=True, advice="give it in m³")
    checks.raise_if_any()
    checks.within("missing volume", missing_volume, 0.0, system_volume, kind="volume")
    strongest = Coolant(kind, mass_fraction=STRONGEST).volume_fraction
    for name, value, most in (("now", volume_fraction, 1.0), ("wanted", target_volume_fraction, strongest)):
        checks.within(f"glycol share by volume {name}", value, 0.0, most, kind="ratio", advice="30 % is 0.30")
    checks.within("glycol share of the filler", filler_fraction, 0.3, 1.0, kind="ratio", advice="100 % is 1.0")
    checks.raise_if_any()
    kept = system_volume - missing_volume
    glycol_wanted = target_volume_fraction * system_volume - volume_fraction * kept
    if missing_volume * filler_fraction < glycol_wanted:
        if filler_fraction <= target_volume_fraction:
            raise NoSolutionError(
                Problem(
                    "filler",
                    f"holds {100 * filler_fraction:.0f} % glycol",
                    f"which is not above the {100 * target_volume_fraction:.0f} % wanted",
                    "take a stronger concentrate",
                )
            )
        drain = (glycol_wanted - filler_fraction * missing_volume) / (filler_fraction - volume_fraction)
        concentrate, water = missing_volume + drain, 0.0
    elif glycol_wanted >= 0.0:
        drain = 0.0
        concentrate = glycol_wanted / filler_fraction
        water = missing_volume - concentrate
    else:
        drain = -glycol_wanted / volume_fraction
        concentrate, water = 0.0, missing_volume + drain
    glycol = volume_fraction * (kept - drain) + filler_fraction * concentrate
    reached = glycol / system_volume
    notes = (
        "measure again after the pump has run and the loop is bled",
        "use the coolant type that the vehicle maker names; high-voltage parts may ask for low conductivity",
    )
    freezing_point = Coolant(kind, volume_fraction=min(reached, strongest)).freezing_point
    return TopUp(drain, concentrate, water, reached, freezing_point, notes)


def cold_state(kind, *, mass_fraction, temperature):
    """Return whether a mixture is liquid, slush or solid in the cold, and how much it has grown.

    Parameters
    ----------
    kind : str
        "water", "ethylene glycol" or "propylene glycol".
    mass_fraction : float, [kg/kg]
        Share of glycol by mass, 0 to 0.60.
    temperature : float, [K]
        Coldest temperature it meets, down to the freezing point of the 60 % mixture.

    Returns
    -------
    ColdState
        Condition, ice share, growth in volume.

    Raises
    ------
    OutOfRangeError
        If concentration or temperature are outside the data.

    Notes
    -----
    Freeze protection means: no ice, the pump can run. Burst protection means: slush that still gives way, so
    that nothing breaks while it stands. No general standard fixes a burst temperature; product sheets give
    their own test. Growth is counted for slush that is free to move: where ice plugs both ends of a channel, as
    in a chiller plate, a little growth can burst it. Rely on the freezing point there.

    References
    ----------
    Lever rule on the liquidus; ice 917 kg/m³; densities of `thermo_kit.substances.Coolant` (Melinder 2010).

    Examples
    --------
    >>> state = cold_state("ethylene glycol", mass_fraction=0.30, temperature=255.15)
    >>> state.condition
    'slush'
    """
    coolant = Coolant(kind, mass_fraction=mass_fraction)
    ice = coolant.ice_fraction(temperature)
    freezing = coolant.freezing_point
    if ice == 0.0:
        condition, growth = "liquid", 0.0
        sentence = f"Liquid: {temperature - freezing:.1f} K above its freezing point."
    else:
        before = 1.0 / coolant.density(max(freezing, 273.15) if kind == "water" else freezing)
        after = ice / ICE_DENSITY
        if ice < 1.0:
            rest = Coolant(kind, mass_fraction=min(coolant.mass_fraction / (1.0 - ice), STRONGEST))
            after += (1.0 - ice) / rest.density(max(temperature, rest.freezing_point))
        growth = after / before - 1.0
        condition = "slush" if ice < 1.0 else "solid"
        sentence = (
            f"{condition.capitalize()}: {100 * ice:.0f} % ice by mass, volume up by {100 * growth:.1f} % since "
            f"{format_quantity(freezing, 'temperature')}. "
        )
        sentence += (
            "It may spare hoses while it stands, but must not be pumped, and can burst a plugged channel."
            if condition == "slush"
            else "It bursts what holds it."
        )
    return ColdState(condition, ice, growth, freezing, sentence)
