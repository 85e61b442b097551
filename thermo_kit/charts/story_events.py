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
    """Return what happens, in order of time.

    Parameters
    ----------
    result : FreezeResult
        What `simulate_chiller_freeze` returned.

    Returns
    -------
    tuple of StoryEvent
        Only what happens.
    """
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


def draw_events(axes, events, *, top):
    """Draw each event as a line through all strips, with its number and words above.

    Parameters
    ----------
    axes : sequence of matplotlib.axes.Axes
        Strips over the same time, the uppermost first.
    events : sequence of StoryEvent
        In order of time.
    top : float, [px]
        Height of the uppermost row of words.
    """
    upper = axes[0]
    left, right = upper.transData.transform([(t, 0.0) for t in upper.get_xlim()])[:, 0]
    free = [left - 40.0] * EVENT_ROWS
    for event in events:
        colour = style.WARNING if event.harm else style.GOOD
        dashes = "solid" if event.harm else (0, (5, 2))
        for strip in axes:
            add_line(strip, [event.time] * 2, strip.get_ylim(), color=colour, linewidth=1.3, linestyle=dashes)
        x = upper.transData.transform((event.time, 0.0))[0]
        words = f"{event.words} {event.time:.1f} s"
        width = _LETTER * len(words)
        start = min(x + 4.0, right + 150.0 - width)
        row = next((k for k in range(EVENT_ROWS) if free[k] < start), EVENT_ROWS - 1)
        free[row] = start + width + 8.0
        y = top - _ROW * (EVENT_ROWS - 1 - row)
        bottom = upper.transData.transform((0.0, upper.get_ylim()[1]))[1]
        add_line(upper, [x, x], [bottom, y - 5.0], pixels=True, color=colour, linewidth=1.0, linestyle=dashes,
                 clip_on=False)  # fmt: skip
        add_line(upper, [x], [y], pixels=True, color=colour, marker="v" if event.harm else "s", markersize=6, ls="none",
                 clip_on=False)  # fmt: skip
        add_text(upper, words, start + 4.0, y, ha="left", fontsize=style.SMALL_TEXT + 1, color=colour,
                 fontweight="bold" if event.harm else "normal")  # fmt: skip
