"""Minutes spent on measurements, one bar after the other."""

from thermo_kit.charts import style
from thermo_kit.charts.picture import one_layer

SIZE = (680, 130)
_LEAST = 30.0


def minutes_picture(taken, sentence):
    """Draw the minutes of each measurement in a row; taken: (title, minutes)."""
    return one_layer(_draw, tuple(taken), sentence=sentence, size=SIZE)


def _draw(figure, taken):
    axes = figure.add_axes((0.03, 0.38, 0.94, 0.42))
    whole = sum(minutes for _, minutes in taken)
    axes.set(xlim=(0, max(whole, _LEAST)), ylim=(0, 1), yticks=[])
    axes.set_xlabel("minutes of work")
    for spine in ("left", "right", "top"):
        axes.spines[spine].set_visible(False)
    start = 0.0
    for number, (_, minutes) in enumerate(taken, start=1):
        axes.barh(
            0.5, minutes, left=start, height=0.8, color=style.PLATE, edgecolor=style.INK, hatch="//" * (number % 2)
        )
        axes.text(start + minutes / 2, 0.5, str(number), ha="center", va="center", fontsize=style.TEXT)
        start += minutes
