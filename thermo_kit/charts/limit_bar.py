"""One concentration as a bar, with the published limits as lines across it."""

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers

SIZE = (620, 230)


def concentration_picture(result, look):
    """Draw a leaked charge against the limits."""
    limits = [("limit for people", result.limit_for_people)]
    if result.lower_flammability_limit is not None:
        limits.append(("lower flammability limit", result.lower_flammability_limit))
    above = [name for name, value in limits if result.concentration >= value]
    verdict = (
        "above the " + " and the ".join(above) if above else "below " + ("both limits" if limits[1:] else "the limit")
    )
    sentence = (
        f"{result.spec.refrigerant}: {_grams(result.concentration)} in each cubic metre of air, {verdict}: "
        + ", ".join(f"{name} {_grams(value)}" for name, value in limits)
        + "."
    )
    return two_layers(
        _draw_scale,
        lambda axes: _draw_bar(axes, result.concentration, bool(above)),
        sentence=sentence,
        still=(tuple(limits), look.system),
        size=SIZE,
    )


def _grams(value):
    return f"{value * 1e3:,.1f} g"


def _draw_scale(figure, limits, system):
    axes = figure.add_axes((0.04, 0.26, 0.92, 0.34))
    axes.set(xscale="log", xlim=(1e-3, 3.0), ylim=(0, 1), yticks=[])
    axes.set_xticks([1e-3, 1e-2, 1e-1, 1.0], ["1", "10", "100", "1,000"])
    axes.set_xlabel("refrigerant in the air, grams in each cubic metre")
    for spine in ("left", "right", "top"):
        axes.spines[spine].set_visible(False)
    for height, (name, value) in zip((1.16, 1.58), sorted(limits, key=lambda row: -row[1]), strict=False):
        dashes = "solid" if "flammab" in name else (0, (5, 2))
        axes.plot([value, value], [0, height - 0.04], color=style.INK, linewidth=1.6, linestyle=dashes, clip_on=False)
        axes.text(
            value,
            height,
            f"{name}: {_grams(value)}",
            ha="center" if value < 0.3 else "right",
            va="bottom",
            fontsize=style.TEXT,
        )


def _draw_bar(axes, concentration, above):
    end = min(max(concentration, 1.05e-3), 3.0)
    colour = style.WARNING if above else style.GOOD
    axes.barh(
        0.4, end - 1e-3, left=1e-3, height=0.5, color=colour, alpha=0.55, hatch="///" if above else "", edgecolor=colour
    )
    word = "over a limit" if above else "below"
    axes.text(1.15e-3, 0.4, f"{_grams(concentration)}, {word}", va="center", fontsize=style.TEXT, color=style.INK,
              bbox={"facecolor": style.PLATE, "edgecolor": "none", "alpha": 0.85, "pad": 2})  # fmt: skip
