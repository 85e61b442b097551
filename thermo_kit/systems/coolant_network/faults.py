"""What goes wrong in a coolant network: each fault turns a healthy specification into a faulty one."""

from dataclasses import dataclass, replace

from thermo_kit.errors import InputError, Problem, UnknownNameError
from thermo_kit.units.checks import Checks


@dataclass(frozen=True)
class FaultKind:
    """A kind of fault: what it strikes, what its amount means, its usual amount and range, one sentence."""

    strikes: str
    amount_is: str
    usual: float
    low: float
    high: float
    meaning: str


NETWORK_FAULTS = {
    "pump dead": FaultKind("pump", "", 1.0, 1.0, 1.0, "The pump stands still and resists like a narrow place."),
    "pump reversed": FaultKind("pump", "", 1.0, 1.0, 1.0, "The pump was fitted the wrong way round and pushes back."),
    "pump air-locked": FaultKind(
        "pump", "share of the lift lost to air", 1.0, 0.0, 1.0, "Air in the impeller takes its grip on the coolant."
    ),
    "valve stuck": FaultKind(
        "valve", "travel from its position to the one named", 0.5, 0.0, 1.0, "The valve stays between two positions."
    ),
    "hose kinked": FaultKind(
        "branch", "share of the area squeezed shut", 0.9, 0.0, 0.98, "A hose is bent flat and narrows the way."
    ),
    "radiator blocked": FaultKind(
        "radiator", "share of the face blocked", 0.7, 0.0, 0.98, "Leaves, mud or bent fins keep the air out."
    ),
    "wrong mixture": FaultKind(
        "coolant", "share of glycol by mass", 0.0, 0.0, 0.60, "The loop was filled with too much or too little glycol."
    ),
}
"""Every fault by its name."""


@dataclass(frozen=True, kw_only=True)
class NetworkFault:
    """One fault.

    Parameters
    ----------
    kind : str
        A key of `NETWORK_FAULTS`.
    part : str
        Name of the branch (pump, hose, radiator) or valve; empty for the mixture.
    amount : float, [-]
        How bad, as the kind says; None takes its usual amount.
    towards : str
        With "valve stuck": the position it was on its way to.

    Raises
    ------
    UnknownNameError
        If the kind is not known.
    OutOfRangeError
        If the amount is outside its range.

    Examples
    --------
    >>> NetworkFault(kind="hose kinked", part="hose 2").amount
    0.9
    """

    kind: str
    part: str = ""
    amount: float | None = None
    towards: str = ""

    def __post_init__(self):
        if self.kind not in NETWORK_FAULTS:
            known = ", ".join(NETWORK_FAULTS)
            raise UnknownNameError(Problem("fault", repr(self.kind), "is not known", f"use one of {known}"))
        facts = NETWORK_FAULTS[self.kind]
        if self.amount is None:
            object.__setattr__(self, "amount", facts.usual)
        checks = Checks()
        checks.within(f"amount of {self.kind!r}", self.amount, facts.low, facts.high, kind="ratio")
        checks.raise_if_any()

    def __str__(self):
        text = f"{self.kind} ({self.part})" if self.part else self.kind
        if self.kind in ("pump dead", "pump reversed"):
            return text
        return f"{text}, {100 * self.amount:.0f} %" + (f" towards {self.towards}" if self.towards else "")


def apply_faults(spec, faults):
    """Return the network with faults in it; the given one stays as it is.

    Parameters
    ----------
    spec : NetworkSpec
        The network.
    faults : iterable of NetworkFault
        What is wrong with it; the order does not matter for different parts.

    Returns
    -------
    NetworkSpec
        The faulty network, which says its faults in `faults`.

    Raises
    ------
    InputError
        If a fault names a part that is not there or is of another kind.

    Notes
    -----
    Words only: each fault changes one part's specification, whose model names its source. A hose is squeezed
    shut by at most 98 %. In a faulty network a pump may stand in a dead end.

    Examples
    --------
    >>> from thermo_kit.systems.coolant_network.layouts import load_layout
    >>> spec = apply_faults(load_layout("one_loop"), [NetworkFault(kind="pump dead", part="pump")])
    >>> spec.branch("pump").pump.condition, spec.faults
    ('dead', ('pump dead (pump)',))
    """
    for fault in faults:
        spec = replace(_APPLY[NETWORK_FAULTS[fault.kind].strikes](spec, fault), faults=(*spec.faults, str(fault)))
    return spec


def parts_struck_by(spec, kind):
    """Return the names of the parts a kind of fault can strike, for a choice list.

    Parameters
    ----------
    spec : NetworkSpec
        The network.
    kind : str
        A key of `NETWORK_FAULTS`.

    Returns
    -------
    tuple of str
        Names; a single empty name for the mixture.

    Raises
    ------
    UnknownNameError
        If the kind is not known.

    Notes
    -----
    Words only.
    """
    if kind not in NETWORK_FAULTS:
        known = ", ".join(NETWORK_FAULTS)
        raise UnknownNameError(Problem("fault", repr(kind), "is not known", f"use one of {known}"))
    strikes = NETWORK_FAULTS[kind].strikes
    if strikes == "coolant":
        return ("",)
    if strikes == "valve":
        return tuple(link.name for link in spec.valves)
    return tuple(branch.name for branch in spec.branches if strikes == "branch" or getattr(branch, strikes))


def _strike_branch(spec, fault, change):
    if fault.part not in parts_struck_by(spec, fault.kind):
        known = ", ".join(parts_struck_by(spec, fault.kind)) or "none here"
        raise InputError(Problem(f"part of fault {fault.kind!r}", repr(fault.part), "is not one it can strike", known))
    branches = tuple(change(branch) if branch.name == fault.part else branch for branch in spec.branches)
    return replace(spec, branches=branches)


def _pump(spec, fault):
    condition = fault.kind.removeprefix("pump ")
    air = fault.amount if condition == "air-locked" else 1.0
    return _strike_branch(
        spec, fault, lambda branch: replace(branch, pump=replace(branch.pump, condition=condition, air_share=air))
    )


def _hose(spec, fault):
    def squeeze(branch):
        return replace(branch, passage=replace(branch.passage, open_share=1.0 - fault.amount))

    return _strike_branch(spec, fault, squeeze)


def _radiator(spec, fault):
    def block(branch):
        return replace(branch, radiator=replace(branch.radiator, blockage=fault.amount))

    return _strike_branch(spec, fault, block)


def _valve(spec, fault):
    if fault.part not in parts_struck_by(spec, fault.kind):
        known = ", ".join(parts_struck_by(spec, fault.kind)) or "none here"
        raise InputError(Problem(f"part of fault {fault.kind!r}", repr(fault.part), "is no valve", known))

    def stick(link):
        names = [entry.name for entry in link.valve.positions]
        towards = fault.towards or next((name for name in names if name != link.valve.position), names[0])
        if towards not in names:
            raise InputError(Problem("towards", repr(towards), f"is no position of {link.name!r}", ", ".join(names)))
        return replace(link, valve=replace(link.valve, stuck_towards=towards, travel=fault.amount))

    return replace(spec, valves=tuple(stick(link) if link.name == fault.part else link for link in spec.valves))


def _mixture(spec, fault):
    return replace(spec, mass_fraction=fault.amount)


_APPLY = {"pump": _pump, "branch": _hose, "radiator": _radiator, "valve": _valve, "coolant": _mixture}
