"""Glycol in the workshop: how strong it is, what it protects from in the cold, how to top it up."""

import functools
from dataclasses import dataclass

from thermo_kit.errors import InputError, NoSolutionError, ReadingsError, UnknownNameError
from thermo_kit.substances import Coolant
from thermo_kit.units import Amount, Said
from thermo_kit.units.checks import Checks
from thermo_kit.units.look import percent

GLYCOLS = ("ethylene glycol", "propylene glycol")
STRONGEST = 0.60
SIXTY_FAHRENHEIT = 288.7056
ROOM = 293.15
ICE_DENSITY = 917.0
# Half widths [K], [-], [-] of what instruments may be off: common practice, no source.
_SCALE_ACCURACY, _INDEX_ACCURACY, _GRAVITY_ACCURACY = 1.0, 0.0005, 0.002
# Refractive index of sodium light and density [kg/m³] at 20 °C.
_PURE = {"water": (1.3330, 998.2), "ethylene glycol": (1.4318, 1113.0), "propylene glycol": (1.4324, 1036.0)}


@dataclass(frozen=True, slots=True)
class MixtureReading:
    """What an instrument says of a mixture.

    kind: glycol; mass_fraction and volume_fraction: share of glycol [-]; freezing_point [K]; warmest_freezing_point and
    coldest_freezing_point: the band that the instrument's accuracy leaves [K]; notes: what to keep in mind.
    """

    kind: str
    mass_fraction: float
    volume_fraction: float
    freezing_point: float
    warmest_freezing_point: float
    coldest_freezing_point: float
    notes: tuple[str, ...]


def refractive_index(kind, mass_fraction):
    """Return the refractive index of a glycol mixture at 20 °C, in sodium light.

    Parameters
    ----------
    kind : str. "ethylene glycol" or "propylene glycol".
    mass_fraction : float, [kg/kg]. Share of glycol by mass, 0 to 0.60.

    Returns: float, [-]. Refractive index against air. Raises UnknownNameError if it is no glycol; OutOfRangeError if
        the concentration is outside the data.

    Notes: Mixing rule with the mixture's true density; about ±0.001, which is 1 % glycol by mass.

    References: Lorentz-Lorenz mixing rule; indices of the pure liquids from the CRC Handbook of Chemistry and Physics,
        Physical Constants of Organic Compounds (as carried by the `chemicals` library); water 1.3330, CRC Handbook,
        Concentrative Properties of Aqueous Solutions.

    Examples
    --------
    >>> round(refractive_index("ethylene glycol", 0.0), 3)
    1.333
    """
    check_glycol(kind)
    density = Coolant(kind, mass_fraction=mass_fraction).density(ROOM)
    refraction = density * sum(
        share * _refraction(*_PURE[name]) for name, share in ((kind, mass_fraction), ("water", 1.0 - mass_fraction))
    )
    return ((1.0 + 2.0 * refraction) / (1.0 - refraction)) ** 0.5


def _refraction(index, density):
    return (index**2 - 1.0) / (index**2 + 2.0) / density


def read_refractometer(kind, *, scale_freezing_point=None, index=None, scale_kind=None):
    """Return what a refractometer says of a coolant.

    Parameters
    ----------
    kind : str. Glycol that is in the loop.
    scale_freezing_point : float, [K]
        Reading on the freezing-point scale of a temperature-compensated instrument, 222 to 273.15; or give `index`.
    index : float, [-]. Reading of refractive index at 20 °C, 1.333 to about 1.40.
    scale_kind : str. Glycol for which the scale was read; `kind` where left out.

    Returns: MixtureReading. Strength and freezing point with its band. Raises InputError if not exactly one reading is
        given; OutOfRangeError if a reading is no number or far from any coolant; UnknownNameError if it is no glycol;
        ReadingsError if no mixture in the data gives this reading.

    Notes: A reading on the other glycol's scale is converted by way of the refractive index. Mixed glycols cannot be
        read on either scale. Taken as accurate to 1 K on the scale, 0.0005 in the index (common practice, no source).

    References: ASTM D3321 for the method and its warning of the wrong scale; `refractive_index` for the conversion.

    Examples
    --------
    >>> reading = read_refractometer("ethylene glycol", scale_freezing_point=253.15)
    >>> 0.36 < reading.mass_fraction < 0.38
    True
    """
    check_glycol(kind)
    scale_kind = scale_kind or kind
    check_glycol(scale_kind)
    if (scale_freezing_point is None) == (index is None):
        raise InputError.about("refractometer reading", "is needed once", "", "give scale_freezing_point or index")
    checks = Checks()
    if index is not None:
        checks.within("refractive index", index, 1.0, 2.0, kind="ratio", advice="water has 1.333")
    else:
        checks.within("reading on the scale", scale_freezing_point, 173.15, 303.15, kind="temperature")
    checks.raise_if_any()

    def by_index(value):
        return _solve(kind, lambda share: refractive_index(kind, share), value, "refractive index")

    def by_scale(value):
        share = _solve(
            scale_kind, lambda w: Coolant(scale_kind, mass_fraction=w).freezing_point, value, "reading on the scale",
            "temperature",
        )  # fmt: skip
        return share if scale_kind == kind else by_index(refractive_index(scale_kind, share))

    if index is not None:
        return _reading(kind, by_index, index, _INDEX_ACCURACY, [])
    notes = []
    if scale_kind != kind:
        notes.append(f"read on the scale for {scale_kind}: the scale's figure is not this coolant's freezing point")
    return _reading(kind, by_scale, scale_freezing_point, _SCALE_ACCURACY, notes)


def read_hydrometer(kind, *, specific_gravity, temperature=SIXTY_FAHRENHEIT):
    """Return what a hydrometer says of a coolant.

    Parameters
    ----------
    kind : str. Glycol that is in the loop.
    specific_gravity : float, [-]. Density of the sample divided by that of water at 60 °F (15.6 °C), 0.95 to 1.15.
    temperature : float, [K]. Temperature of the sample, 273.15 to 353.15.

    Returns: MixtureReading. Strength and freezing point with its band. Raises OutOfRangeError if an argument is outside
        its range; UnknownNameError if it is no glycol; ReadingsError if no mixture in the data has this density.

    Notes: Taken as accurate to 0.002 (common practice, no source). Propylene glycol is hardly denser than water, so its
        band is wide: use a refractometer there. Published tables of it differ by as much as 5 % glycol at the same
        density.

    References: Densities of `thermo_kit.substances.Coolant` (Melinder 2010).

    Examples
    --------
    >>> reading = read_hydrometer("propylene glycol", specific_gravity=1.024)
    >>> 0.26 < reading.volume_fraction < 0.33
    True
    """
    check_glycol(kind)
    with Checks() as checks:
        checks.within("specific gravity", specific_gravity, 0.95, 1.15, kind="ratio", advice="water is 1.000")
        checks.within("sample temperature", temperature, 273.15, 353.15, kind="temperature")
    water = Coolant("water").density(SIXTY_FAHRENHEIT)

    def strength(value):
        return _solve(
            kind, lambda w: Coolant(kind, mass_fraction=w).density(temperature) / water, value, "specific gravity"
        )

    notes = ["let the sample come to the temperature you enter; a bubble on the float reads too strong"]
    return _reading(kind, strength, specific_gravity, _GRAVITY_ACCURACY, notes)


def check_glycol(kind):
    """Refuse what is no glycol."""
    if kind not in GLYCOLS:
        raise UnknownNameError.about("glycol", repr(kind), "is not known", "use one of " + ", ".join(GLYCOLS))


def _solve(kind, quantity, value, name, shown_as="ratio"):
    """Return the share by mass at which a monotone quantity has a value."""
    from scipy.optimize import brentq

    ends = quantity(0.0), quantity(STRONGEST)
    low, high = min(ends), max(ends)
    if not low <= value <= high:
        given, *edges = (Amount(round(one, 4), shown_as) for one in (value, low, high))
        advice = "check the kind of glycol, the scale, the unit and the sample's temperature"
        limit = Said(f"is outside {{}} to {{}}, what 0 to 60 % {kind} can show", *edges)
        raise ReadingsError.about(name, given, limit, advice)
    if value in ends:
        return 0.0 if value == ends[0] else STRONGEST
    return brentq(lambda share: quantity(share) - value, 0.0, STRONGEST, xtol=1e-10)


def _reading(kind, strength, centre, spread, notes):
    share = strength(centre)
    notes = list(notes)
    edges = []
    for value in (centre - spread, centre + spread):
        try:
            edges.append(strength(value))
        except ReadingsError:
            edges.append(0.0 if share < 0.5 * STRONGEST else STRONGEST)
            notes.append("the band reaches the end of the data, 0 or 60 % by mass")
    mixture = Coolant(kind, mass_fraction=share)
    points = [Coolant(kind, mass_fraction=edge).freezing_point for edge in edges]
    notes.append("inhibitors and dirt shift every reading; never mix kinds of glycol")
    return MixtureReading(
        kind,
        share,
        mixture.volume_fraction,
        mixture.freezing_point,
        max(points),
        min(points),
        tuple(dict.fromkeys(notes)),
    )


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
    sentence: Said


def top_up(kind, *, system_volume, volume_fraction, target_volume_fraction, missing_volume=0.0, filler_fraction=1.0):
    """Return how much to drain and to add to bring a loop to a target strength.

    Parameters
    ----------
    kind : str. Glycol in the loop and in the filler: never mix kinds.
    system_volume : float, [m³]. Volume of the full loop, above 0 to 1.
    volume_fraction : float, [m³/m³]. Share of glycol by volume now, 0 to 1.
    target_volume_fraction : float, [m³/m³]
        Share wanted, 0 to the strongest of the data, 0.60 by mass (0.573 ethylene, 0.591 propylene glycol).
    missing_volume : float, [m³]. How much the loop is short of full, 0 to system_volume.
    filler_fraction : float, [m³/m³]. Share of glycol in the concentrate at hand, 0.3 to 1.

    Returns: TopUp. Volumes to drain and to add. Raises OutOfRangeError if an argument is outside its range;
        NoSolutionError if the filler is not stronger than the target.

    Notes: Volumes are added up as if they did not shrink on mixing (they do, by up to about 1 %). Drain first, then
        fill, run the pump, bleed, and measure again. Coolant is poisonous: catch it, and dispose of it by local rules.

    References: Arithmetic: balance of glycol volume before and after.

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
            limit = f"which is not above the {percent(target_volume_fraction)} wanted"
            advice = "take a stronger concentrate"
            raise NoSolutionError.about("filler", f"holds {percent(filler_fraction)} glycol", limit, advice)
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
    kind : str. "water", "ethylene glycol" or "propylene glycol".
    mass_fraction : float, [kg/kg]. Share of glycol by mass, 0 to 0.60.
    temperature : float, [K]. Coldest temperature it meets, down to the freezing point of the 60 % mixture.

    Returns: ColdState. Condition, ice share, growth in volume. Raises OutOfRangeError if concentration or temperature
        are outside the data.

    Notes: Freeze protection means: no ice, the pump can run. Burst protection means: slush that still gives way, so
        that nothing breaks while it stands. No general standard fixes a burst temperature; product sheets give their
        own test. Growth is counted for slush that is free to move: where ice plugs both ends of a channel, as in a
        chiller plate, a little growth can burst it. Rely on the freezing point there.

    References: Lever rule on the liquidus; ice 917 kg/m³; densities of `thermo_kit.substances.Coolant` (Melinder 2010).

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
        above = Amount(temperature - freezing, "temperature_difference")
        sentence = Said("Liquid: {} above its freezing point.", above)
    else:
        before = 1.0 / coolant.density(max(freezing, 273.15) if kind == "water" else freezing)
        after = ice / ICE_DENSITY
        if ice < 1.0:
            rest = Coolant(kind, mass_fraction=min(coolant.mass_fraction / (1.0 - ice), STRONGEST))
            after += (1.0 - ice) / rest.density(max(temperature, rest.freezing_point))
        growth = after / before - 1.0
        condition = "slush" if ice < 1.0 else "solid"
        harm = (
            "It may spare hoses while it stands, but must not be pumped, and can burst a plugged channel."
            if condition == "slush"
            else "It bursts what holds it."
        )
        told = f"{condition.capitalize()}: {percent(ice)} ice by mass, volume up by {percent(growth, 1)} since"
        sentence = Said(f"{told} {{}}. {harm}", Amount(freezing, "temperature"))
    return ColdState(condition, ice, growth, freezing, sentence)


@functools.cache
def freezing_curve(kind, count=31):
    """Return mixtures from pure water to the strongest of the data: shares by volume [-], freezing points [K].

    References: Melinder 2010, as in `thermo_kit.substances.Coolant`.

    Examples
    --------
    >>> _, points = freezing_curve("ethylene glycol")
    >>> points[0] > points[-1]
    True
    """
    check_glycol(kind)
    mixtures = [Coolant(kind, mass_fraction=STRONGEST * k / (count - 1)) for k in range(count)]
    return tuple(zip(*((one.volume_fraction, one.freezing_point) for one in mixtures), strict=True))
