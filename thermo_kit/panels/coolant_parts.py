"""What the coolant panels share: layouts, valve positions and faults in the words of the bench."""

import functools
from dataclasses import replace

from thermo_kit.errors import InputError, Problem
from thermo_kit.panels.controls import ChoiceControl
from thermo_kit.systems.coolant_network import NETWORK_FAULTS, NetworkFault, load_layout

LAYOUTS = (
    ("one shared loop", "one_loop"),
    ("two separate loops", "two_loops"),
    ("loops that a four-port valve joins or parts", "join_or_part"),
    ("loop with a three-port valve to the cabin", "warm_cabin"),
)
POSITIONS = (
    ("as the layout has it", ""),
    ("apart", "apart"),
    ("joined", "joined"),
    ("to the cabin", "cabin"),
    ("to the radiator", "radiator"),
)
FAULTS = (
    ("none", "none"),
    ("drive pump dead", "drive pump dead"),
    ("battery pump dead", "battery pump dead"),
    ("drive pump fitted back to front", "drive pump reversed"),
    ("battery pump fitted back to front", "battery pump reversed"),
    ("air in the drive pump", "drive pump air-locked"),
    ("air in the battery pump", "battery pump air-locked"),
    ("valve stuck between two positions", "valve stuck"),
    ("return hose of the drive kinked", "hose kinked"),
    ("return hose of the battery kinked", "battery hose kinked"),
    ("radiator blocked", "radiator blocked"),
    ("wrong mixture", "wrong mixture"),
)
AMOUNT_HELP = (
    "Counts for air (lift lost), valve (travel), hose (area shut), radiator (face blocked), mixture (glycol by mass)."
)
CAUTION = (
    "High voltage at battery, inverter, motor and electric heaters; coolant is poisonous, and hot coolant stands under "
    "pressure. Coolant type and conductivity as the vehicle maker says."
)
INVENTED = "Layout, parts and heats are invented."
_layout = functools.lru_cache(load_layout)  # a layout never changes, and reading its file takes longer than solving it


def network_of(layout, position="", fault="none", amount=0.0, **fields):
    """Return a layout with its valve in a position, and the fault the learner chose; amount [-]."""
    spec = replace(_layout(layout), **fields)
    if position:
        spec = replace(spec, valves=tuple(_turned(link, position) for link in spec.valves))
        if not spec.valves:
            raise InputError(
                Problem("valve position", repr(position), "cannot be set: this layout has no valve", "choose another")
            )
    return spec, _faults(spec, fault, amount)


def _turned(link, position):
    names = [entry.name for entry in link.valve.positions]
    if position not in names:
        raise InputError(
            Problem(f"position of the {link.name}", repr(position), "does not exist", "use one of " + ", ".join(names))
        )
    return replace(link, valve=replace(link.valve, position=position))


def position_fits(settings, position):
    """Say whether the layout has a valve with this position."""
    valves = _layout(settings.layout).valves
    return not position or any(position == entry.name for link in valves for entry in link.valve.positions)


def fault_fits(settings, fault):
    """Say whether the layout has the part that this fault strikes."""
    return fault == "none" or bool(
        _parts(_layout(settings.layout), fault, NETWORK_FAULTS[kind_of_fault(fault)].strikes)
    )


POSITION_CONTROL = ChoiceControl("position", "Valve position", POSITIONS, fits=position_fits)
FAULT_CONTROL = ChoiceControl("fault", "Fault", FAULTS, fits=fault_fits)


def kind_of_fault(fault):
    """Return the kind of a fault in the model's words."""
    return next(kind for kind in NETWORK_FAULTS if fault.endswith(kind))


def usual_amount(fault):
    """Return how bad a fault usually is; → [-]."""
    return 0.0 if fault == "none" else NETWORK_FAULTS[kind_of_fault(fault)].usual


def has_amount(settings):
    """Say whether the fault can be more or less bad."""
    if settings.fault == "none":
        return False
    facts = NETWORK_FAULTS[kind_of_fault(settings.fault)]
    return facts.low < facts.high


def _faults(spec, fault, amount):
    if fault == "none":
        return ()
    kind = kind_of_fault(fault)
    facts = NETWORK_FAULTS[kind]
    if facts.low < facts.high:
        if not facts.low <= amount <= facts.high:
            told = f"must lie from {100 * facts.low:.0f} to {100 * facts.high:.0f} %"
            raise InputError(Problem("how bad", f"{100 * amount:.0f} %", told, f"it is the {facts.amount_is}"))
    else:
        amount = facts.usual
    names = _parts(spec, fault, facts.strikes)
    if not names:
        raise InputError(
            Problem("fault", repr(dict((v, t) for t, v in FAULTS)[fault]), "strikes a part this layout does not have",
                    "choose another fault or another layout")
        )  # fmt: skip
    return (NetworkFault(kind=kind, part=names[0], amount=amount),)


def _parts(spec, fault, strikes):
    """Name the parts of a layout that a fault can strike; the mixture is one part without a name."""
    if strikes == "coolant":
        return [""]
    if strikes == "valve":
        return [link.name for link in spec.valves]
    if strikes == "radiator":
        return [branch.name for branch in spec.branches if branch.radiator]
    loop = "battery" if fault.startswith("battery") else "drive"
    wanted = (f"{loop} pump", "pump") if strikes == "pump" else (f"{loop} return", "return hose")
    has_battery = any(body.role == "battery" for body in spec.bodies)
    there = [branch.name for branch in spec.branches]
    return [name for name in wanted if name in there and (loop == "drive" or has_battery)]


def pump_speeds(spec, drive, battery):
    """Return the network with its pumps at other speeds; a single pump follows the drive's; drive [-], battery [-]."""
    return replace(
        spec,
        branches=tuple(
            replace(branch, pump=replace(branch.pump, speed_share=battery if "battery" in branch.name else drive))
            if branch.pump
            else branch
            for branch in spec.branches
        ),
    )


def heats(spec, *, battery, drive):
    """Return the network with other heats: of the drive, 28 % in the inverter and 72 % in the motor (invented).

    battery [W], drive [W].
    """
    new = {"battery": battery, "inverter": 0.28 * drive, "motor": 0.72 * drive}
    return replace(spec, bodies=tuple(replace(body, heat=new.get(body.role, body.heat)) for body in spec.bodies))
