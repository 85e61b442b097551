"""Multi-way coolant valves as a port map: which ports each position joins, and what happens stuck between two."""

from dataclasses import dataclass

from thermo_kit.components.pipe import narrowing_loss
from thermo_kit.errors import InputError
from thermo_kit.units.checks import Checks

SMALLEST_OPENING = 0.02


@dataclass(frozen=True)
class ValvePosition:
    """One named position: the pairs of ports that are joined in it."""

    name: str
    joins: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class OpenPath:
    """A way through the valve: from port to port, opening (share of full area), loss_coefficient on full bore."""

    start: str
    end: str
    opening: float
    loss_coefficient: float


@dataclass(frozen=True, kw_only=True)
class ValveSpec:
    """A valve with named ports and named positions.

    Parameters
    ----------
    ports : tuple of str
        Names of the ports, two or more.
    positions : tuple of ValvePosition
        What each position joins, one or more.
    position : str
        Where the valve stands.
    stuck_towards : str
        Second position, if the valve has stuck on its way to it; empty otherwise.
    travel : float, [-]
        How far it went on that way, 0 to 1.
    bore : float, [m]
        Diameter of a full open way, 0.001 to 0.1.
    loss_coefficient : float, [-]
        Loss coefficient of a full open way, 0 to 1000.

    Raises
    ------
    InputError
        If ports, positions or numbers do not fit together; every slip is named.

    Examples
    --------
    >>> joined = ValvePosition("joined", (("a", "d"), ("c", "b")))
    >>> apart = ValvePosition("apart", (("a", "b"), ("c", "d")))
    >>> valve = ValveSpec(ports=("a", "b", "c", "d"), positions=(joined, apart), position="apart")
    >>> [(path.start, path.end) for path in open_paths(valve)]
    [('a', 'b'), ('c', 'd')]
    """

    ports: tuple[str, ...]
    positions: tuple[ValvePosition, ...]
    position: str
    stuck_towards: str = ""
    travel: float = 0.0
    bore: float = 0.016
    loss_coefficient: float = 1.5

    def __post_init__(self):
        checks = Checks()
        names = [entry.name for entry in self.positions]
        if len(self.ports) < 2 or len(set(self.ports)) < len(self.ports):
            checks.add(
                "valve ports", repr(self.ports), "must be two or more different names", "rename the doubled port"
            )
        if not names or len(set(names)) < len(names):
            checks.add("valve positions", repr(names), "must be one or more different names", "rename the doubled one")
        for entry in self.positions:
            used = [port for pair in entry.joins for port in pair]
            for port in used:
                if port not in self.ports:
                    known = ", ".join(self.ports)
                    checks.add(f"port {port!r} in position {entry.name!r}", "is unknown", "", f"use one of {known}")
            if any(pair[0] == pair[1] for pair in entry.joins):
                checks.add(f"position {entry.name!r}", "joins a port with itself", "", "name two different ports")
        checks.one_of("valve position", self.position, names)
        if self.stuck_towards:
            checks.one_of("position the valve has stuck towards", self.stuck_towards, names)
        checks.within("travel of the valve", self.travel, 0.0, 1.0, kind="ratio")
        checks.within("bore of the valve", self.bore, 0.001, 0.1, kind="length")
        checks.within("loss coefficient of the valve", self.loss_coefficient, 0.0, 1000.0, kind="ratio")
        checks.raise_if_any(InputError)


def open_paths(spec):
    """Return every way through a valve as it stands.

    Notes
    -----
    Between two positions each way opens in proportion to the travel. That is a model of our own; a real
    rotor's ports overlap by its drawing.

    References
    ----------
    Borda-Carnot loss of the narrowed way, as in `thermo_kit.components.pipe.narrowing_loss`.

    Examples
    --------
    >>> heat = ValvePosition("heat", (("in", "core"),))
    >>> bypass = ValvePosition("bypass", (("in", "back"),))
    >>> valve = ValveSpec(ports=("in", "core", "back"), positions=(heat, bypass), position="heat",
    ...                   stuck_towards="bypass", travel=0.25)
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
