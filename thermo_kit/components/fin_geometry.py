"""Areas and pitches that follow from the measures of a louvered fin strip and its flat tube."""

import functools
from dataclasses import dataclass

# What the two papers' test cores covered, as recalled: outside it a note is given, not an error.
_TESTED = {
    "fin_pitch": (0.51e-3, 3.33e-3),
    "fin_height": (2.84e-3, 25e-3),
    "louver_pitch": (0.7e-3, 3e-3),
    "fin_depth": (15.6e-3, 57.4e-3),
    "louver_length": (2.13e-3, 18.5e-3),
    "tube_pitch": (7.51e-3, 25e-3),
    "fin_thickness": (0.0254e-3, 0.16e-3),
    "louver_angle": (8.4, 35.0),
}


@dataclass(frozen=True, slots=True)
class FinGeometry:
    """Areas that follow from a fin strip, per metre of one tube with its share of fins.

    fin_pitch, tube_pitch, hydraulic_diameter [m]; total_area, fin_area [m²/m]; free_flow_area [m²/m];
    contraction: free-flow area divided by face area; notes: measures outside the tested cores
    """

    fin_pitch: float
    tube_pitch: float
    hydraulic_diameter: float
    total_area: float
    fin_area: float
    free_flow_area: float
    contraction: float
    notes: tuple[str, ...]


@functools.lru_cache(maxsize=256)
def fin_geometry(fins):
    """Return the areas of a fin strip with its tube.

    Notes
    -----
    The fold is taken as rectangular. One strip of fins belongs to each tube; the noses of the tube are left out.

    References
    ----------
    Kays & London, Compact Heat Exchangers, hydraulic diameter 4 x free-flow area x depth / total area.

    Examples
    --------
    >>> from thermo_kit.components.louvered_fins import FinSpec
    >>> round(fin_geometry(FinSpec()).fin_pitch * 1000, 2)
    1.27
    """
    pitch = 1.0 / fins.fin_density
    open_share = 1.0 - fins.fin_thickness / pitch
    fin_area = 2.0 * fins.fin_height * fins.fin_depth / pitch
    total_area = fin_area + 2.0 * fins.tube_depth * open_share
    free_flow = fins.fin_height * open_share
    tube_pitch = fins.fin_height + fins.tube_height
    measures = {name: getattr(fins, name, None) for name in _TESTED} | {"fin_pitch": pitch, "tube_pitch": tube_pitch}
    outside = [name.replace("_", " ") for name, (low, high) in _TESTED.items() if not low <= measures[name] <= high]
    notes = (f"outside the cores the fin correlations were tested on: {', '.join(outside)}",) if outside else ()
    return FinGeometry(
        pitch, tube_pitch, 4.0 * free_flow * fins.fin_depth / total_area, total_area, fin_area, free_flow,
        free_flow / tube_pitch, notes,
    )  # fmt: skip
