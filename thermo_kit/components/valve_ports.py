"""Multi-way coolant valves as a port map: which ports each position joins, and what happens stuck between two."""

from dataclasses import dataclass

from thermo_kit.components.pipe import narrowing_loss
from thermo_kit.units import Part, Several, Spec, Word, quantity, several, word

SMALLEST_OPENING = 0.02


class ValvePosition(Spec):
    """One named position: the pairs of ports that are joined in it."""

    name: str = word("name of the valve position")
    joins: tuple[tuple[str, str], ...] = several(Several(Word("port"), 2, 2), 1, 50)


@dataclass(frozen=True)
class OpenPath:
    """A way through the valve: from port to port, opening (share of full area), loss_coefficient on full bore."""

    start: str
    end: str
    opening: float
    loss_coefficient: float


class PortValveSpec(Spec):
    """A valve with named ports and named positions.

    One that has stuck on its way names the other position in `stuck_towards`, and by `travel` how far it went.

    Examples
    --------
    >>> joined = ValvePosition(name="joined", joins=(("a", "d"), ("c", "b")))
    >>> apart = ValvePosition(name="apart", joins=(("a", "b"), ("c", "d")))
    >>> valve = PortValveSpec(ports=("a", "b", "c", "d"), positions=(joined, apart), position="apart")
    >>> [(path.start, path.end) for path in open_paths(valve)]
    [('a', 'b'), ('c', 'd')]
    """

    ports: tuple[str, ...] = several(Word("valve port"), 2, 20)
    positions: tuple[ValvePosition, ...] = several(Part(ValvePosition, "valve position"), 1, 50)
    position: str = word("valve position")
    stuck_towards: str = word("position the valve has stuck towards", "")
    travel: float = quantity("ratio", 0.0, 1.0, "travel of the valve", 0.0)
    bore: float = quantity("length", 0.001, 0.1, "bore of the valve", 0.016)
    loss_coefficient: float = quantity("ratio", 0.0, 1000.0, "loss coefficient of the valve", 1.5)

    def fit(self, checks):
        names = [entry.name for entry in self.positions]
        for what, found in (("valve ports", list(self.ports)), ("valve positions", names)):
            if len(set(found)) < len(found):
                checks.add(what, repr(found), "must be different names", "rename the doubled one")
        for entry in self.positions:
            for port in sorted({port for pair in entry.joins for port in pair} - set(self.ports)):
                known = ", ".join(self.ports)
                checks.add(f"port {port!r} in position {entry.name!r}", "is unknown", "", f"use one of {known}")
            if any(one == other for one, other in entry.joins):
                checks.add(f"position {entry.name!r}", "joins a port with itself", "", "name two different ports")
        checks.one_of("valve position", self.position, names)
        if self.stuck_towards:
            checks.one_of("position the valve has stuck towards", self.stuck_towards, names)


def open_paths(spec):
    """Return every way through a valve as it stands.

    Notes: Between two positions each way opens in proportion to the travel. That is a model of our own; a real rotor's
        ports overlap by its drawing.

    References: Borda-Carnot loss of the narrowed way, as in `thermo_kit.components.pipe.narrowing_loss`.

    Examples
    --------
    >>> heat = ValvePosition(name="heat", joins=(("in", "core"),))
    >>> bypass = ValvePosition(name="bypass", joins=(("in", "back"),))
    >>> valve = PortValveSpec(ports=("in", "core", "back"), positions=(heat, bypass), position="heat",
    ...                       stuck_towards="bypass", travel=0.25)
    >>> [(path.end, path.opening) for path in open_paths(valve)]
    [('core', 0.75), ('back', 0.25)]
    """
    openings = {}
    by_name = {entry.name: entry for entry in spec.positions}
    weights = [(spec.position, 1.0)]
    if spec.stuck_towards:
        weights = [(spec.position, 1.0 - spec.travel), (spec.stuck_towards, spec.travel)]
    for name, weight in weights:
        for pair in by_name[name].joins:
            key = pair if pair in openings or pair[::-1] not in openings else pair[::-1]
            openings[key] = openings.get(key, 0.0) + weight
    return tuple(
        OpenPath(start, end, opening, spec.loss_coefficient + narrowing_loss(opening))
        for (start, end), opening in openings.items()
        if opening >= SMALLEST_OPENING
    )
