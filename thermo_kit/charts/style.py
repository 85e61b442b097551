"""One style for all charts: fonts, sizes, colours by meaning, line patterns and hatches.

A colour never stands alone: whatever it tells is also told by a line pattern, a hatch or a word.
"""

FONT_FAMILY = "'DejaVu Sans', Verdana, 'Segoe UI', Arial, sans-serif"
SIZE = (860, 560)
SMALL_TEXT = 12.0
TEXT = 13.0
LARGE_TEXT = 14.0

PLATE = "#ffffff"
HALO = "paint-order: stroke; stroke: #ffffff; stroke-width: 3px; stroke-linejoin: round; "
"""A light rim below each text, so that it reads where it crosses a line; far cheaper than a box."""
INK = "#1b1f24"
SOFT_INK = "#4a5159"
GRID = "#dfe3e7"

LIQUID = "#0072b2"
TWO_PHASE = "#56b4e9"
VAPOUR = "#b8860b"
DOME = "#1b1f24"
HIGH_SIDE = "#c44e00"
LOW_SIDE = "#0072b2"
CYCLE = "#a3195b"
WARM_COOLANT = "#c44e00"
COLD_COOLANT = "#00735c"
AIR = "#6b4c9a"
MARK = "#1b1f24"
WARNING = "#b00020"
CAUTION = "#e69f00"
GOOD = "#00735c"

ISOTHERM = "#b3420a"
ISENTROPE = "#00735c"
ISOCHORE = "#6b4c9a"
QUALITY = "#3b7ea1"

DASHES = {
    "isotherm": (0, (7, 2)),
    "isentrope": (0, (7, 2, 1.5, 2)),
    "isochore": (0, (1.5, 2)),
    "quality": (0, (3, 2)),
    "high side": "solid",
    "low side": (0, (6, 2.5)),
    "sea": (0, (1, 1.5)),
}
"""Line pattern by meaning, as matplotlib reads it."""

HATCHES = {"liquid": "///", "two-phase": "...", "vapour": "", "supercritical": "xx"}
"""Hatch by phase."""

SERIES = (
    ("#0072b2", "solid", "o"),
    ("#c44e00", (0, (6, 2)), "s"),
    ("#00735c", (0, (1.5, 1.5)), "^"),
    ("#a3195b", (0, (8, 2, 1.5, 2)), "D"),
    ("#6b4c9a", (0, (3, 1.5)), "v"),
)
"""Colour, line pattern and marker of the first, second … series of a chart."""

RC = {
    "svg.fonttype": "none",
    "svg.hashsalt": "thermo_kit",
    "font.family": ["DejaVu Sans"],
    "font.size": TEXT,
    "axes.edgecolor": SOFT_INK,
    "axes.labelcolor": INK,
    "axes.linewidth": 0.8,
    "axes.labelsize": TEXT,
    "axes.unicode_minus": True,
    "text.color": INK,
    "xtick.color": SOFT_INK,
    "ytick.color": SOFT_INK,
    "xtick.labelcolor": INK,
    "ytick.labelcolor": INK,
    "xtick.labelsize": TEXT - 1,
    "ytick.labelsize": TEXT - 1,
    "xtick.direction": "out",
    "ytick.direction": "out",
    "grid.color": GRID,
    "grid.linewidth": 0.7,
    "hatch.linewidth": 0.6,
    "path.simplify": True,
    "path.simplify_threshold": 0.1,
    "pdf.fonttype": 42,
    "pdf.compression": 6,
}
"""Settings under which every chart is drawn."""


def series_style(index):
    """Return colour, line pattern and marker of a series."""
    return SERIES[index % len(SERIES)]


def dress(axes, *, grid="both"):
    """Give axes the house look: light grid below the data, no top and right edge."""
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    axes.set_axisbelow(True)
    if grid != "none":
        axes.grid(True, axis=grid)
