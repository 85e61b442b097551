"""What a workshop sets on a network, and what goes wrong in it: a specification becomes another one."""

from dataclasses import dataclass, replace

from thermo_kit.errors import InputError, UnknownNameError
from thermo_kit.units import Spec, one_of, quantity, word

INVERTER_SHARE = 0.28
"""Share of the drive's heat that the inverter makes, the motor the rest (invented)."""


def each_branch(spec, change):
    """Return the network with each branch as `change` returns it."""
    return replace(spec, branches=tuple(change(branch) for branch in spec.branches))


def with_pump_speeds(spec, drive, battery=None):
    """Return the network with its pumps at other shares of full speed; all but the battery's follow the drive."""

    def change(branch):
        speed = battery if battery is not None and "battery" in branch.name else drive
        return replace(branch, pump=replace(branch.pump, speed_share=speed)) if branch.pump else branch

    return each_branch(spec, change)


def with_heats(spec, *, battery, drive):
    """Return the network with other heats of battery and drive [W]."""
    new = {"battery": battery, "inverter": INVERTER_SHARE * drive, "motor": (1.0 - INVERTER_SHARE) * drive}
    return replace(spec, bodies=tuple(replace(body, heat=new.get(body.role, body.heat)) for body in spec.bodies))


_OFF = {"pump": {"speed_share": 0.0}, "radiator": {"fan_speed_share": 0.0}, "chiller": {"running": False}}


def with_parts_off(spec, part, names=None):
    """Return the network with its pumps, radiator fans or chillers switched off, all or those on the branches named."""

    def change(branch):
        off = getattr(branch, part) and (names is None or branch.name in names)
        return replace(branch, **{part: replace(getattr(branch, part), **_OFF[part])}) if off else branch

    return each_branch(spec, change)


def with_valves_at(spec, position):
    """Return the network with its valves in a position."""
    if not spec.valves:
        advice = "choose another"
        raise InputError.about("valve position", repr(position), "cannot be set: this layout has no valve", advice)

    def turned(link):
        names = [entry.name for entry in link.valve.positions]
        if position not in names:
            known = "use one of " + ", ".join(names)
            raise InputError.about(f"position of the {link.name}", repr(position), "does not exist", known)
        return replace(link, valve=replace(link.valve, position=position))

    return replace(spec, valves=tuple(turned(link) for link in spec.valves))


@dataclass(frozen=True)
class FaultKind:
    """A kind of fault: what it strikes, what its amount means (nothing: it is there or not), its usual amount and the
    largest one."""

    strikes: str
    amount_is: str = ""
    usual: float = 1.0
    high: float = 1.0


NETWORK_FAULTS = {
    "pump dead": FaultKind("pump"),
    "pump reversed": FaultKind("pump"),
    "pump air-locked": FaultKind("pump", "share of the lift lost to air"),
    "valve stuck": FaultKind("valve", "travel from its position to the one named", 0.5),
    "hose kinked": FaultKind("branch", "share of the area squeezed shut", 0.9, 0.98),
    "radiator blocked": FaultKind("radiator", "share of the face blocked", 0.7, 0.98),
    "wrong mixture": FaultKind("coolant", "share of glycol by mass", 0.0, 0.60),
}
"""Every fault by its name."""


def _known(kind):
    if not isinstance(kind, str) or kind not in NETWORK_FAULTS:
        known = ", ".join(NETWORK_FAULTS)
        raise UnknownNameError.about("fault", repr(kind), "is not known", f"use one of {known}")
    return kind


class NetworkFault(Spec):
    """One fault: its kind, the part it strikes (a branch or a valve; none for the mixture), how bad it is.

    Without an amount it is as bad as usual. A stuck valve was on its way `towards` another position.

    Examples
    --------
    >>> NetworkFault(kind="hose kinked", part="hose 2").amount
    0.9
    """

    kind: str = one_of(NETWORK_FAULTS, "fault", known=_known)
    part: str = word("part of the fault", "")
    amount: float | None = quantity("ratio", 0.0, 1.0, "amount of the fault", None)
    towards: str = word("position the valve is stuck towards", "")

    def fit(self, checks):
        facts = NETWORK_FAULTS[self.kind]
        if self.amount is None:
            object.__setattr__(self, "amount", facts.usual)
        checks.within(f"amount of {self.kind!r}", self.amount, 0.0, facts.high, kind="ratio")

    def __str__(self):
        text = f"{self.kind} ({self.part})" if self.part else self.kind
        if not NETWORK_FAULTS[self.kind].amount_is:
            return text
        return f"{text}, {100 * self.amount:.0f} %" + (f" towards {self.towards}" if self.towards else "")


def apply_faults(spec, faults):
    """Return the network with faults in it; the given one stays as it is.

    Parameters
    ----------
    spec : NetworkSpec. The network.
    faults : iterable of NetworkFault. What is wrong with it; the order does not matter for different parts.

    Returns: NetworkSpec. The faulty network, which says its faults in `faults`. Raises InputError if a fault names a
        part that is not there or is of another kind.

    Notes: Words only: each fault changes one part's specification, whose model names its source. A hose is squeezed
        shut by at most 98 %. In a faulty network a pump may stand in a dead end.

    Examples
    --------
    >>> from thermo_kit.systems.coolant_network.spec import load_layout
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
    spec : NetworkSpec. The network.
    kind : str. A key of `NETWORK_FAULTS`.

    Returns: tuple of str. Names; a single empty name for the mixture. Raises UnknownNameError if the kind is not known.

    Notes: Words only.
    """
    strikes = NETWORK_FAULTS[_known(kind)].strikes
    if strikes == "coolant":
        return ("",)
    if strikes == "valve":
        return tuple(link.name for link in spec.valves)
    return tuple(branch.name for branch in spec.branches if strikes == "branch" or getattr(branch, strikes))


def _struck(spec, fault, entries, change):
    """Return the network with the one part changed that the fault names."""
    struck = parts_struck_by(spec, fault.kind)
    if fault.part not in struck:
        known = ", ".join(struck) or "none here"
        raise InputError.about(f"part of fault {fault.kind!r}", repr(fault.part), "is not one it can strike", known)
    parts = tuple(change(one) if one.name == fault.part else one for one in getattr(spec, entries))
    return replace(spec, **{entries: parts})


def _branch(field, **changes):
    """Return what changes a part of a branch; each change is a function of the fault."""

    def strike(spec, fault):
        values = {name: value(fault) for name, value in changes.items()}
        return _struck(
            spec,
            fault,
            "branches",
            lambda branch: replace(branch, **{field: replace(getattr(branch, field), **values)}),
        )

    return strike


def _valve(spec, fault):
    def stick(link):
        names = [entry.name for entry in link.valve.positions]
        towards = fault.towards or next((name for name in names if name != link.valve.position), names[0])
        if towards not in names:
            raise InputError.about("towards", repr(towards), f"is no position of {link.name!r}", ", ".join(names))
        return replace(link, valve=replace(link.valve, stuck_towards=towards, travel=fault.amount))

    return _struck(spec, fault, "valves", stick)


_APPLY = {
    "pump": _branch("pump", condition=lambda fault: fault.kind.removeprefix("pump "), air_share=lambda f: f.amount),
    "branch": _branch("passage", open_share=lambda fault: 1.0 - fault.amount),
    "radiator": _branch("radiator", blockage=lambda fault: fault.amount),
    "valve": _valve,
    "coolant": lambda spec, fault: replace(spec, mass_fraction=fault.amount),
}
