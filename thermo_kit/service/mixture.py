"""Glycol in the workshop: how strong it is, by refractometer and hydrometer."""

from dataclasses import dataclass

from thermo_kit.errors import InputError, Problem, ReadingsError, UnknownNameError
from thermo_kit.substances import Coolant
from thermo_kit.units.checks import Checks

GLYCOLS = ("ethylene glycol", "propylene glycol")
STRONGEST = 0.60
SIXTY_FAHRENHEIT = 288.7056
ROOM = 293.15
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
    kind : str
        "ethylene glycol" or "propylene glycol".
    mass_fraction : float, [kg/kg]
        Share of glycol by mass, 0 to 0.60.

    Returns
    -------
    float, [-]
        Refractive index against air.

    Raises
    ------
    UnknownNameError
        If it is no glycol.
    OutOfRangeError
        If the concentration is outside the data.

    Notes
    -----
    Mixing rule with the mixture's true density; about ±0.001, which is 1 % glycol by mass.

    References
    ----------
    Lorentz-Lorenz mixing rule; indices of the pure liquids from the CRC Handbook of Chemistry and Physics,
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


def read_refractometer(kind, *, scale_freezing_point=None, index=None, scale_kind=None, accuracy=None):
    """Return what a refractometer says of a coolant.

    Parameters
    ----------
    kind : str
        Glycol that is in the loop.
    scale_freezing_point : float, [K]
        Reading on the freezing-point scale of a temperature-compensated instrument, 222 to 273.15; or give `index`.
    index : float, [-]
        Reading of refractive index at 20 °C, 1.333 to about 1.40.
    scale_kind : str
        Glycol for which the scale was read; `kind` where left out.
    accuracy : float, [K] or [-]
        Half width of what the instrument may be off: usual 1 K on the scale, 0.0005 in the index.

    Returns
    -------
    MixtureReading
        Strength and freezing point with its band.

    Raises
    ------
    InputError
        If not exactly one reading is given.
    OutOfRangeError
        If a reading is no number or far from any coolant.
    UnknownNameError
        If it is no glycol.
    ReadingsError
        If no mixture in the data gives this reading.

    Notes
    -----
    A reading on the other glycol's scale is converted by way of the refractive index. Mixed glycols cannot be
    read on either scale. The usual accuracies are common practice without source.

    References
    ----------
    ASTM D3321 for the method and its warning of the wrong scale; `refractive_index` for the conversion.

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
        raise InputError(Problem("refractometer reading", "is needed once", "", "give scale_freezing_point or index"))
    notes = []
    checks = Checks()
    if index is not None:
        checks.within("refractive index", index, 1.0, 2.0, kind="ratio", advice="water has 1.333")
    else:
        checks.within("reading on the scale", scale_freezing_point, 173.15, 303.15, kind="temperature")
    if accuracy is not None:
        checks.within("accuracy of the refractometer", accuracy, 0.0, 20.0, kind="ratio")
    checks.raise_if_any()
    if index is not None:
        spread = 0.0005 if accuracy is None else accuracy

        def strength(value):
            return _solve(kind, lambda share: refractive_index(kind, share), value, "refractive index")

        centre = index
    else:
        spread = 1.0 if accuracy is None else accuracy
        if scale_kind != kind:
            notes.append(f"read on the scale for {scale_kind}: the scale's figure is not this coolant's freezing point")

        def strength(value):
            share = _solve(scale_kind, lambda w: Coolant(scale_kind, mass_fraction=w).freezing_point, value, "scale")
            if scale_kind == kind:
                return share
            target = refractive_index(scale_kind, share)
            return _solve(kind, lambda w: refractive_index(kind, w), target, "refractive index")

        centre = scale_freezing_point
    return _reading(kind, strength, centre, spread, notes)


def read_hydrometer(
    kind, *, specific_gravity, temperature=SIXTY_FAHRENHEIT, reference_temperature=SIXTY_FAHRENHEIT, accuracy=0.002
):
    """Return what a hydrometer says of a coolant.

    Parameters
    ----------
    kind : str
        Glycol that is in the loop.
    specific_gravity : float, [-]
        Density of the sample divided by that of water at the reference temperature, 0.95 to 1.15.
    temperature : float, [K]
        Temperature of the sample, 273.15 to 353.15.
    reference_temperature : float, [K]
        Temperature of the water it is compared with, 273.15 to 303.15.
    accuracy : float, [-]
        Half width of what the instrument may be off, 0 to 0.02; 0.002 is common practice without source.

    Returns
    -------
    MixtureReading
        Strength and freezing point with its band.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    UnknownNameError
        If it is no glycol.
    ReadingsError
        If no mixture in the data has this density.

    Notes
    -----
    Propylene glycol is hardly denser than water, so its band is wide: use a refractometer there. Published tables
    of it differ by as much as 5 % glycol at the same density.

    References
    ----------
    Densities of `thermo_kit.substances.Coolant` (Melinder 2010).

    Examples
    --------
    >>> reading = read_hydrometer("propylene glycol", specific_gravity=1.024)
    >>> 0.26 < reading.volume_fraction < 0.33
    True
    """
    check_glycol(kind)
    checks = Checks()
    checks.within("specific gravity", specific_gravity, 0.95, 1.15, kind="ratio", advice="water is 1.000")
    checks.within("sample temperature", temperature, 273.15, 353.15, kind="temperature")
    checks.within("reference temperature", reference_temperature, 273.15, 303.15, kind="temperature")
    checks.within("accuracy of the hydrometer", accuracy, 0.0, 0.02, kind="ratio")
    checks.raise_if_any()
    water = Coolant("water").density(reference_temperature)

    def strength(value):
        return _solve(
            kind, lambda w: Coolant(kind, mass_fraction=w).density(temperature) / water, value, "specific gravity"
        )

    notes = ["let the sample come to the temperature you enter; a bubble on the float reads too strong"]
    return _reading(kind, strength, specific_gravity, accuracy, notes)


def check_glycol(kind):
    """Refuse what is no glycol.

    Notes
    -----
    Words only.
    """
    if kind not in GLYCOLS:
        raise UnknownNameError(Problem("glycol", repr(kind), "is not known", "use one of " + ", ".join(GLYCOLS)))


def _solve(kind, quantity, value, name):
    """Return the share by mass at which a monotone quantity has a value."""
    from scipy.optimize import brentq

    ends = quantity(0.0), quantity(STRONGEST)
    low, high = min(ends), max(ends)
    if not low <= value <= high:
        raise ReadingsError(
            Problem(
                name,
                f"{value:.4g}",
                f"is outside {low:.4g} to {high:.4g}, what 0 to 60 % {kind} can show",
                "check the kind of glycol, the scale, the unit and the sample's temperature",
            )
        )
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
