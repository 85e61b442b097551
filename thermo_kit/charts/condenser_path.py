"""The refrigerant's way through a condenser as lines: vapour share, temperature and mass flux, pass by pass."""

from thermo_kit.charts import style
from thermo_kit.charts.strips import Axis, Column, Line, Mark, Strip, strips_picture

_SHARE = Axis("vapour share by mass", "percent", (-0.06, 1.08), tuple((k / 4, f"{25 * k}") for k in range(5)))
_TEMPERATURE, _FLUX = Axis("temperature", "temperature", count=5), Axis("mass flux", "mass_flux", count=4)
_DOTS, _DASHES, _SHORT = (0, (1.5, 2)), (0, (6, 2)), (0, (3, 1.5))
_LATER = (0.45, 0.6, 0.8, 0.3)


def path_picture(result, look):
    """Draw vapour share, temperatures and mass flux along the passes."""
    spec, passes, count = result.spec, result.passes, len(result.passes)
    way = [(point.pass_number - 1 + point.position, point) for point in result.path]
    xs, out = tuple(x for x, _ in way), [(x, point.air_temperature) for x, point in way if point.position > 0.0]
    air, steps = result.air.temperature, [(one.number - 1 + k, one.mass_flux) for one in passes for k in (0, 1)]
    share = (
        Line("", xs, tuple(_share(point) for _, point in way), style.VAPOUR),
        *(Mark(one.number, _share(one), _percent(one), style.VAPOUR) for one in passes),
    )
    temperature = (
        Line("refrigerant", xs, tuple(point.temperature for _, point in way), style.HIGH_SIDE, beside=_LATER),
        Line(f"air in, {look.text(air, 'temperature')}", (0.0, *xs[1:]), (air,) * len(xs), style.AIR, _DOTS, 1.6,
             beside=(0.03, 0.3, 0.6)),
        Line("air out", *zip(*out, strict=True), style.AIR, _DASHES, 1.8, beside=_LATER),
    )  # fmt: skip
    flux = (
        Line("", *zip(*steps, strict=True), style.LIQUID),
        *(Mark(one.number - 0.5, one.mass_flux, _bare(one.mass_flux, look), style.LIQUID, marker="") for one in passes),
        Mark(0.0, 0.0, "", marker=""),
        Mark(0.0, 1.12 * max(one.mass_flux for one in passes), "", marker=""),
    )
    if result.last_vapour is not None:
        here = result.last_vapour.pass_number - 1 + result.last_vapour.position
        share += (Mark(here, None, "last vapour", dashes=_SHORT),)
        temperature += (Mark(here, None, "", dashes=_SHORT),)
    ends = tuple(Mark(float(k), None, "", style.SOFT_INK, dashes=(0, (2, 2))) for k in range(count + 1))
    words = "pass {}: {} tubes" if count < 7 else "{}: {}"
    ticks = tuple((k - 0.5, words.format(k, tubes)) for k, tubes in enumerate(spec.tubes, start=1))
    receiver = [[], [], []]
    if spec.receiver_after is not None:
        receiver = [[Mark(float(spec.receiver_after), None, name, style.INK, dashes="solid")]
                    for name in ("receiver", "", "")]  # fmt: skip
    strips = tuple(
        Strip(axis, things, still=(*ends, *mark))
        for axis, things, mark in zip((_SHARE, _TEMPERATURE, _FLUX), (share, temperature, flux), receiver, strict=True)
    )
    x = Axis("the way of the refrigerant", ends=(0.0, float(count)), ticks=ticks, bare=True)
    return strips_picture(Column(x, strips), look, sentence=path_sentence(result, look), size=(860, 620))


def path_sentence(result, look):
    """Say what the strips show, with their numbers."""
    first, last = result.passes[0], result.passes[-1]
    return (
        f"Vapour share by mass at the end of each pass: {', '.join(map(_percent, result.passes))}. "
        f"The gas comes in at {look.text(result.inlet_temperature, 'temperature')}, begins to condense at "
        f"{look.text(result.condensing_temperature, 'temperature')} and leaves at "
        f"{look.text(result.outlet_temperature, 'temperature')}; the air comes at "
        f"{look.text(result.air.temperature, 'temperature')}. Mass flux: {look.text(first.mass_flux, 'mass_flux')} "
        f"in the first pass, {look.text(last.mass_flux, 'mass_flux')} in the last."
    )


def _share(point):
    """Return the vapour share of a place on the way or of the end of a pass."""
    return point.quality if point.quality is not None else 1.0 if point.phase == "vapour" else 0.0


def _percent(one):
    return f"{100 * one.quality:.0f} %" if one.phase == "two-phase" else "100 %" if one.phase == "vapour" else "0 %"


def _bare(flux, look):
    return f"{look.number(flux, 'mass_flux'):,.{0 if look.number(1e3, 'mass_flux') > 500 else 1}f}"
