"""A coolant layout with flows and temperatures told by arrows, thickness, patterns and words; colour is a bonus."""

import math
from itertools import pairwise

from thermo_kit.charts import pen, style
from thermo_kit.charts.coolant_places import SIZE, between, longest, places_of
from thermo_kit.charts.picture import still_layer
from thermo_kit.units.look import Look, percent

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
        return f"stuck {percent(valve.travel)} of the way from {valve.position} to {valve.stuck_towards}"
    return valve.position


def layout_picture(result, look):
    """Draw a solved coolant network as it is laid out."""
    places = places_of(result.spec)
    still = still_layer(_draw_still, SIZE, places, look.system)
    return still.under(_draw_flows, result, places, look, sentence=layout_sentence(result, look))


def _write(axes, text, x, y, *, side="center", **look):
    pen.text(axes, text, x, SIZE[1] - y, ha=side, **look)


def _draw_still(figure, places, system):
    axes = pen.window(figure, (0, 0, *SIZE), x=(0, SIZE[0]), y=(SIZE[1], 0))
    for line in places.lines:
        x, y = zip(*line.points, strict=True)
        axes.plot(x, y, color=style.GRID, linewidth=1.2)
        if line.label:
            x, y, side = line.label
            _write(axes, line.name, x, y - 7, side=side, size=style.SMALL_TEXT + 0.5)
    for ring in places.rings:
        _draw_ring(axes, ring)
    _draw_key(axes, Look(system=system))


def _draw_ring(axes, ring):
    from matplotlib.patches import Circle

    axes.add_artist(Circle(ring.middle, ring.radius, facecolor="#f4f6f8", edgecolor=style.INK, linewidth=2.2))
    for port, node, edge in ring.ports:
        axes.plot(*zip(node, edge, strict=True), color=style.GRID, linewidth=1.2)
        x, y, side = _port_place(ring, edge)
        _write(axes, port, x, y, side=side, size=style.SMALL_TEXT + 0.5, bold=True)
    x, y, side = ring.label
    _write(axes, ring.name, x, y - 7, side=side, size=style.SMALL_TEXT + 1.5, bold=True)


def _draw_key(axes, look):
    y = SIZE[1] - 34
    axes.plot([16, SIZE[0] - 16], [y - 20, y - 20], color=style.GRID, linewidth=1)
    ends = [f"{look.number(upper, 'temperature'):.0f}" for _, upper, _, _ in BANDS[:-1]]
    spans = (f"below {ends[0]}", *(f"{low} to {high}" for low, high in pairwise(ends)), f"above {ends[-1]}")
    for k, ((word, upper, _, _), span) in enumerate(zip(BANDS, spans, strict=True)):
        x = 22 + 139 * k
        _pipe(axes, [(x, y), (x + 40, y)], 7.0, min(upper, NO_STEADY) - 1.0)
        axes.text(x + 46, y - 6, word, va="center", fontweight="bold")
        axes.text(x + 46, y + 7, f"{span} {look.sign('temperature')}", fontsize=style.SMALL_TEXT, va="center")
    y += 24
    pen.line(axes, [22, 62], [y, y], color=style.SOFT_INK, linewidth=2, linestyle=(0, (3, 3)))
    words = ("no flow", "thicker line: more flow", "arrow: direction", "ring with port names: valve", "○ reservoir")
    for x, text in zip((68, 161, 346, 490, 700), words, strict=True):
        axes.text(x, y, text, fontsize=style.SMALL_TEXT + 0.5, va="center")


def _pipe(axes, points, width, temperature, zorder=2.0):
    x, y = zip(*points, strict=True)
    _, _, colour, stripe = band_of(temperature)
    pen.line(axes, x, y, color=colour, linewidth=width, solid_joinstyle="round", zorder=zorder)
    if stripe:
        wide = max(0.22 * width, 1.1)
        pen.line(axes, x, y, color=style.PLATE, linewidth=wide, linestyle=stripe, zorder=zorder + 0.1)


def _standing(axes, points):
    x, y = zip(*points, strict=True)
    pen.line(axes, x, y, color=style.SOFT_INK, linewidth=2.0, linestyle=(0, (3, 3)), zorder=2)


def _unit(start, end):
    """Return the direction from start to end as a pair of length one."""
    length = math.dist(start, end)
    return (end[0] - start[0]) / length, (end[1] - start[1]) / length


def _arrow(start, end, place, width):
    """Return the corners of an arrow head at a place on the way from start to end."""
    (x, y), (ex, ey) = place, _unit(start, end)
    long, wide = 8.0 + 0.5 * width, 5.5 + 0.55 * width
    back_x, back_y = x - 0.6 * long * ex, y - 0.6 * long * ey
    sides = [(back_x - turn * wide * ey, back_y + turn * wide * ex) for turn in (1, -1)]
    return [(x + long * ex, y + long * ey), *sides]


def _draw_arrows(axes, arrows, zorder):
    for colour in dict.fromkeys(colour for colour, _ in arrows):
        heads = [corners for own, corners in arrows if own == colour]
        pen.area(axes, heads, facecolor=colour, edgecolor=style.PLATE, linewidth=1.3, zorder=zorder)


def _draw_flows(axes, result, places, look):
    most = max((LEAST_FLOW, *(abs(way.mass_flow) for way in result.ways)))
    arrows = [arrow for line in places.lines for arrow in _draw_branch(axes, result, line, most, look)]
    _draw_arrows(axes, arrows, 2.5)
    _draw_boxes(axes, result, places, look)
    links = {link.name: link for link in result.spec.valves}
    arrows = [arrow for ring in places.rings for arrow in _draw_valve(axes, result, links[ring.name], ring, most)]
    _draw_arrows(axes, arrows, 3.7)
    _draw_nodes(axes, result, places, look)


def _draw_nodes(axes, result, places, look):
    for is_tank, size, face in ((True, 18.0, style.PLATE), (False, 7.0, style.INK)):
        points = [point for _, point, tank, _ in places.nodes if tank == is_tank]
        if points:
            pen.point(axes, *zip(*points, strict=True), size=size, color=face, rim=style.INK, wide=1.6, zorder=3)
    flowing = [branch for branch in result.spec.branches if not stands_still(result.way(branch.name))]
    moving = {end for branch in flowing for end in (branch.start, branch.end)}
    for name, _, _, (x, y, side) in places.nodes:
        temperature = result.node(name).temperature
        if temperature is None:
            text, colour = ("no steady value" if name in moving else "stands still"), style.SOFT_INK
        else:
            text, colour = f"{look.text(temperature, 'temperature', 0)} {band_of(temperature)[0]}", style.INK
        _write(axes, text, x, y, side=side, size=style.SMALL_TEXT + 0.5, color=colour)


def _mean(way):
    """Return a way's mean temperature; where the loop finds no steady one it is drawn as the hottest."""
    known = [value for value in (way.inlet_temperature, way.outlet_temperature) if value is not None]
    return sum(known) / len(known) if known else NO_STEADY


def _width(way, most):
    return 3.0 + 6.0 * abs(way.mass_flow) / most


def _draw_branch(axes, result, line, most, look):
    """Draw the pipe of a branch and the words of a hose; return its arrow heads as (colour, corners)."""
    way = result.way(line.name)
    points = line.points if way.mass_flow >= 0 else line.points[::-1]
    arrows = []
    if stands_still(way):
        _standing(axes, points)
    else:
        temperature, width = _mean(way), _width(way, most)
        _pipe(axes, points, width, temperature)
        colour = band_of(temperature)[2]
        arrows = [
            (colour, _arrow(start, end, place, width))
            for start, end in pairwise(points)
            for place in _arrow_places(start, end, line.box)
        ]
    if line.label:
        x, y, side = line.label
        flow = "no flow" if stands_still(way) else look.text(abs(way.volume_flow), "volume_flow")
        squeezed = result.spec.branch(line.name).passage.open_share < 1.0
        _write(axes, f"{flow} KINKED" if squeezed else flow, x, y + 7, side=side, size=style.SMALL_TEXT + 0.5,
               bold=squeezed)  # fmt: skip
        if squeezed:
            _draw_kink(axes, line)
    return arrows


def _arrow_places(start, end, box):
    """Return where arrows go on a stretch: into the free ends beside a box, else into the middle."""
    length = math.dist(start, end)
    if box:
        along = sum((b - a) * (m - a) for a, b, m in zip(start, end, box, strict=False)) / length
        if 0 < along < length and math.dist(between(start, end, along / length), box[:2]) < 1.0:
            flat = abs(end[0] - start[0]) > abs(end[1] - start[1])
            half = (box[2] if flat else box[3]) / 2
            ends = ((0.0, along - half), (along + half, length))
            return [between(start, end, (a + b) / 2 / length) for a, b in ends if b - a > 12]
    return [between(start, end, 0.5)] if length > 30 else []


def _draw_kink(axes, line):
    """Draw two jaws that squeeze the hose, a quarter along its longest stretch."""
    start, end = longest(line.points)
    (x, y), (ex, ey) = between(start, end, 0.28), _unit(start, end)
    for turn in (1, -1):
        jaw = [(x - turn * far * ey + side * ex, y + turn * far * ex + side * ey)
               for far, side in ((13, -7), (3, 0), (13, 7))]  # fmt: skip
        pen.line(axes, *zip(*jaw, strict=True), color=style.WARNING, linewidth=3, zorder=4)


def _draw_boxes(axes, result, places, look):
    frames = {False: [], True: []}
    for line in places.lines:
        if not line.box:
            continue
        x, y, width, height = line.box
        second, third, alarm = _box_words(result, result.spec.branch(line.name), look)
        left, right, top, bottom = x - width / 2, x + width / 2, y - height / 2, y + height / 2
        frames[alarm].append(pen.corners(left, top, right, bottom))
        for words, rise, size, bold in ((line.title, -16, 1.5, True), (second, 1, 1.0, False), (third, 16, 0.0, alarm)):
            _write(axes, words, x, y + rise, size=style.SMALL_TEXT + size, bold=bold, zorder=4)
    for alarm, face, edge, width in ((False, "#f4f6f8", style.SOFT_INK, 1.1), (True, "#fdeef0", style.WARNING, 2.6)):
        if frames[alarm]:
            pen.area(axes, frames[alarm], facecolor=face, edgecolor=edge, linewidth=width, zorder=3)


def _box_words(result, branch, look):
    """Return second line, third line, and whether something is wrong, for a part's box."""
    way = result.way(branch.name)
    flow = "no flow" if stands_still(way) else look.text(abs(way.volume_flow), "volume_flow")
    kink = f"KINKED, {percent(branch.passage.open_share)} open" if branch.passage.open_share < 1.0 else ""
    if branch.pump:
        condition = branch.pump.condition
        lost = f" {percent(branch.pump.air_share)}" if condition == "air-locked" else ""
        healthy = f"speed {percent(branch.pump.speed_share)}"
        told = {"healthy": healthy, "reversed": "BACK TO FRONT"}.get(condition, condition.upper() + lost)
        return flow, kink or told, condition != "healthy" or bool(kink)
    if branch.radiator:
        blocked = branch.radiator.blockage
        way_word = "from" if way.radiator_heat < 0 else "to"
        where = f"{way_word} {'air' if branch.air == 'ambient' else 'cabin'}"
        told = kink or (f"{percent(blocked)} BLOCKED" if blocked else flow)
        return f"{look.text(abs(way.radiator_heat), 'power')} {where}", told, bool(blocked or kink)
    if branch.chiller:
        taken = f"{look.text(way.heat_to_chiller, 'power')} taken" if branch.chiller.running else "off"
        return taken, kink or flow, bool(kink)
    name = next(body.name for body in result.spec.bodies if body.branch == branch.name)
    body = next(part for part in result.bodies if part.name == name)
    limit = look.text(body.temperature_limit, "temperature", 0)
    if is_over(body):
        value = "no steady value" if body.temperature is None else look.text(body.temperature, "temperature")
        return value, f"OVER LIMIT {limit}", True
    return look.text(body.temperature, "temperature"), kink or f"limit {limit}", bool(kink)


def _draw_valve(axes, result, link, ring, most):
    """Draw the ways through a valve and its shut ports; return the arrow heads of the ways."""
    ports = {port: (node, edge) for port, node, edge in ring.ports}
    open_ports, arrows = set(), []
    for way in result.ways:
        if way.valve[:1] != (link.name,) or stands_still(way):
            continue
        _, start, end = way.valve
        if way.mass_flow < 0:
            start, end = end, start
        arrows.append(_draw_way(axes, ring, ports[start], ports[end], way, most))
        open_ports |= {start, end}
    for port, (node, edge) in ports.items():
        if port not in open_ports:
            _standing(axes, [node, edge])
            x, y, side = _port_place(ring, edge)
            _write(axes, "shut", x, y + 12, side=side, size=style.SMALL_TEXT + 0.5, bold=True, zorder=5)
    x, y, side = ring.label
    valve = link.valve
    stuck = f"STUCK, {percent(valve.travel)} to {valve.stuck_towards}"
    state = stuck if valve.stuck_towards else f"position: {valve.position}"
    _write(axes, state, x, y + 8, side=side)
    return arrows


def _port_place(ring, edge):
    """Return where the name of a port is written: x, y, side."""
    away = (1 if edge[0] > ring.middle[0] else -1, 1 if edge[1] > ring.middle[1] else -1)
    return edge[0] + 9 * away[0], edge[1] - 4 * away[1], "left" if away[0] > 0 else "right"


def _draw_way(axes, ring, start, end, way, most):
    """Draw an open way, bent through the ring, and return its arrow head."""
    (node_in, edge_in), (node_out, edge_out) = start, end
    pull = between(ring.middle, between(edge_in, edge_out, 0.5), 0.25)
    bend = [between(between(edge_in, pull, t / 8), between(pull, edge_out, t / 8), t / 8) for t in range(9)]
    width, temperature = _width(way, most), _mean(way)
    _pipe(axes, [node_in, *bend, node_out], width, temperature, zorder=3.5)
    return band_of(temperature)[2], _arrow(bend[3], bend[5], bend[4], 0.6 * width)
