"""What a solved coolant network is told as: temperature bands, what stands still, what is over its limit."""

import math

BANDS = (
    ("icy", 273.15, "#5b3f8c", (0, (0.8, 1.6))),
    ("cold", 293.15, "#0072b2", (0, (1.0, 4.0))),
    ("mild", 313.15, "#00735c", None),
    ("warm", 333.15, "#8f6a00", (0, (10.0, 4.0))),
    ("hot", 353.15, "#c44e00", (0, (4.0, 3.0))),
    ("very hot", math.inf, "#b00020", "solid"),
)
"""Word, upper end [K], colour and pattern of the light stripe in the line, by coolant temperature."""
NO_STEADY = 423.15
LEAST_FLOW = 0.005
"""Flow [kg/s], about a third of a litre a minute, below which a way is drawn as standing still."""


def band_of(temperature):
    """Return the band a coolant temperature falls into; temperature [K].

    Examples
    --------
    >>> band_of(300.0)[0]
    'mild'
    """
    return next(band for band in BANDS if temperature < band[1])


def layout_sentence(result, look):
    """Say what a solved network does."""
    spec = result.spec
    told = [
        f"{spec.title or spec.name}{''.join(f', {link.name} {where_it_stands(link.valve)}' for link in spec.valves)}"
    ]
    if spec.faults:
        told.append("Fault: " + "; ".join(spec.faults))
    told.append("Flow through " + ", ".join(_pump_words(result, name, look) for name, _ in result.pumps))
    told.append("Temperatures: " + ", ".join(_body_words(body, look) for body in result.bodies))
    still = [branch.name for branch in spec.branches if stands_still(result.way(branch.name))]
    if still:
        told.append("No flow in " + ", ".join(still))
    over = [body.name for body in result.bodies if is_over(body)]
    told.append("Over the limit: " + ", ".join(over) if over else "Nothing is over its limit")
    return ". ".join(part for part in told if part) + "."


def _pump_words(result, name, look):
    way = result.way(name)
    if stands_still(way):
        return f"{name}: none"
    backwards = " backwards" if way.mass_flow < 0 else ""
    return f"{name}: {look.text(abs(way.volume_flow), 'volume_flow')}{backwards}"


def _body_words(body, look):
    if body.temperature is None:
        return f"{body.name} finds no steady temperature"
    return f"{body.name} {look.text(body.temperature, 'temperature')}"


def stands_still(way):
    """Return whether so little flows that a way is drawn as standing still."""
    return abs(way.mass_flow) < LEAST_FLOW


def is_over(body):
    """Return whether a part is over its limit, or finds no steady temperature."""
    return body.temperature is None or body.temperature > body.temperature_limit


def where_it_stands(valve):
    """Say where a valve stands."""
    if valve.stuck_towards:
        return f"stuck {100 * valve.travel:.0f} % of the way from {valve.position} to {valve.stuck_towards}"
    return valve.position
