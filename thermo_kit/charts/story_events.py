"""The events of a freezing chiller in words, and how they are written above the strips."""

from dataclasses import dataclass

from thermo_kit.charts import style
from thermo_kit.charts.quick_artists import add_line, add_text

EVENT_ROWS = 5
_ROW = 15.0
_LETTER = 6.4


@dataclass(frozen=True)
class StoryEvent:
    """One moment: time [s], what happens in words, whether it is harm or protection."""

    time: float
    words: str
    harm: bool


def story_events(result):
    """Return what happens, in order of time."""
    found = (
        (result.wall_below_freezing_time, "plate below freezing", True),
        (result.first_ice_time, "first ice", True),
        (result.blocked_time, "channel blocked", True),
        (result.burst_time, "plates burst", True),
        (result.valve_closed_time, "shut-off valve closed", False),
        (result.compressor_stopped_time, "compressor stops", False),
    )
    events = [StoryEvent(float(time), words, harm) for time, words, harm in found if time is not None]
    return tuple(sorted(events, key=lambda event: event.time))


def event_rows(starts, ends):
    """Return a row for the words of each event, so that no stem of a later one runs through the words of an earlier.

    starts [px], ends [px].
    """
    rows = []
    for k in reversed(range(len(starts))):
        later = [row for row, start in zip(rows, starts[k + 1 :], strict=True) if start < ends[k]]
        rows.insert(0, min(max(later, default=-1) + 1, EVENT_ROWS - 1))
    return rows


def draw_events(axes, events, *, top):
    """Draw each event as a line through all strips, with its number and words above; top [px]."""
    upper = axes[0]
    right = upper.transData.transform((upper.get_xlim()[1], 0.0))[0]
    told = [f"{event.words} {event.time:.1f} s" for event in events]
    places = [upper.transData.transform((event.time, 0.0))[0] for event in events]
    starts = [min(x + 4.0, right + 150.0 - _LETTER * len(words)) for x, words in zip(places, told, strict=True)]
    rows = event_rows(starts, [start + _LETTER * len(words) + 8.0 for start, words in zip(starts, told, strict=True)])
    strips = [strip.transAxes.transform(((0.0, 0.0), (0.0, 1.0)))[:, 1] for strip in axes]
    ends = [y for strip in strips for y in (*strip, None)]
    for event, words, x, start, row in zip(events, told, places, starts, rows, strict=True):
        colour = style.WARNING if event.harm else style.GOOD
        y = top - _ROW * (EVENT_ROWS - 1 - row)
        heights = [*ends, strips[0][1], y - 5.0]
        add_line(axes[-1], [None if height is None else x for height in heights], heights, pixels=True, color=colour,
                 linewidth=1.3, linestyle="solid" if event.harm else (0, (5, 2)), clip_on=False)  # fmt: skip
        add_line(axes[-1], [x], [y], pixels=True, color=colour, marker="v" if event.harm else "s", markersize=6,
                 clip_on=False)  # fmt: skip
        add_text(axes[-1], words, start + 4.0, y, ha="left", fontsize=style.SMALL_TEXT + 1, color=colour,
                 fontweight="bold" if event.harm else "normal")  # fmt: skip
