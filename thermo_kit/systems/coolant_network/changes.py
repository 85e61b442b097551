"""What a workshop sets on a network: pump speeds, heats, valve positions, chillers on or off."""

from dataclasses import replace

from thermo_kit.errors import InputError

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


def with_chillers_off(spec, names=None):
    """Return the network with its chillers, or those on the branches named, switched off."""

    def change(branch):
        off = branch.chiller and branch.chiller.running and (names is None or branch.name in names)
        return replace(branch, chiller=replace(branch.chiller, running=False)) if off else branch

    return each_branch(spec, change)


def with_valves_at(spec, position):
    """Return the network with its valves in a position."""
    if not spec.valves:
        raise InputError.about(
            "valve position", repr(position), "cannot be set: this layout has no valve", "choose another"
        )

    def turned(link):
        names = [entry.name for entry in link.valve.positions]
        if position not in names:
            known = "use one of " + ", ".join(names)
            raise InputError.about(f"position of the {link.name}", repr(position), "does not exist", known)
        return replace(link, valve=replace(link.valve, position=position))

    return replace(spec, valves=tuple(turned(link) for link in spec.valves))
