"""Coolant loops: a whole layout at once, the operating point of pump and loop, an hour with one fault."""

import functools
from dataclasses import replace

from thermo_kit.charts.coolant import operating_picture, part_text, run_picture
from thermo_kit.charts.coolant_layout import layout_picture, stands_still
from thermo_kit.errors import InputError
from thermo_kit.panels.frame import shows
from thermo_kit.panels.rows import rows_of, texts_of
from thermo_kit.panels.settings import choice, degrees, number, panel
from thermo_kit.substances import COOLANT_KINDS, Coolant
from thermo_kit.systems.coolant_network import faults as network_faults
from thermo_kit.systems.coolant_network import load_layout, simulate, solve_coolant_network
from thermo_kit.systems.operating_curves import operating_curves
from thermo_kit.units import celsius, format_both
from thermo_kit.units.look import percent

LAYOUTS = (
    ("one shared loop", "one_loop"),
    ("two separate loops", "two_loops"),
    ("four-port valve between two loops", "join_or_part"),
    ("loop with a three-port valve to the cabin", "warm_cabin"),
)
POSITIONS = (
    ("as the layout has it", ""),
    ("apart", "apart"),
    ("joined", "joined"),
    ("to the cabin", "cabin"),
    ("to the radiator", "radiator"),
)
FAULTS = {
    "drive pump dead": ("drive pump dead", "pump dead", "drive"),
    "battery pump dead": ("battery pump dead", "pump dead", "battery"),
    "drive pump reversed": ("drive pump fitted back to front", "pump reversed", "drive"),
    "battery pump reversed": ("battery pump fitted back to front", "pump reversed", "battery"),
    "drive pump air-locked": ("air in the drive pump", "pump air-locked", "drive"),
    "battery pump air-locked": ("air in the battery pump", "pump air-locked", "battery"),
    "valve stuck": ("valve stuck between two positions", "valve stuck", ""),
    "hose kinked": ("return hose of the drive kinked", "hose kinked", "drive"),
    "battery hose kinked": ("return hose of the battery kinked", "hose kinked", "battery"),
    "radiator blocked": ("radiator blocked", "radiator blocked", ""),
    "wrong mixture": ("wrong mixture", "wrong mixture", ""),
}
"""What the learner may choose: in the words of the bench, the kind of fault, the loop it strikes."""

INVENTED = "Layout, parts and heats are invented."


def facts_of(fault):
    """Return the facts of the kind of fault chosen; None where there is none."""
    return None if fault == "none" else network_faults.NETWORK_FAULTS[FAULTS[fault][1]]


def struck_by(spec, fault):
    """Name the parts of a layout that a fault strikes, first the one it is about; the mixture has no name."""
    _, kind, loop = FAULTS[fault]
    there = network_faults.parts_struck_by(spec, kind)
    if not loop:
        return there
    if loop == "battery" and not any(body.role == "battery" for body in spec.bodies):
        return ()
    own = {"pump": (f"{loop} pump", "pump"), "branch": (f"{loop} return", "return hose")}[facts_of(fault).strikes]
    return tuple(name for name in own if name in there)


def faults_of(spec, fault, amount):
    """Return the faults the learner chose; amount [-]."""
    facts = facts_of(fault)
    if facts is None:
        return ()
    if facts.amount_is and not 0.0 <= amount <= facts.high:
        told = f"must lie from 0 to {percent(facts.high)}"
        raise InputError.about("how bad", percent(amount), told, f"it is the {facts.amount_is}")
    struck = struck_by(spec, fault)
    if not struck:
        told = "strikes a part this layout does not have"
        raise InputError.about("fault", repr(FAULTS[fault][0]), told, "choose another fault or another layout")
    return (
        network_faults.NetworkFault(kind=FAULTS[fault][1], part=struck[0], amount=amount if facts.amount_is else None),
    )


def network_of(layout, position, **fields):
    """Return a layout with its valve in a position, unless that is empty."""
    spec = replace(load_layout(layout), **fields)
    return network_faults.with_valves_at(spec, position) if position else spec


def position_fits(settings, position):
    """Say whether the layout has a valve with this position."""
    valves = load_layout(settings.layout).valves
    return not position or any(position == entry.name for link in valves for entry in link.valve.positions)


def fault_fits(settings, fault):
    """Say whether the layout has the part that this fault strikes."""
    return fault == "none" or bool(struck_by(load_layout(settings.layout), fault))


def _layout_choice(default):
    return choice("Layout", default, LAYOUTS)


_POSITION = choice("Valve position", "", POSITIONS, fits=position_fits)


def _fault_choice(default):
    options = (("none", "none"), *((row[0], value) for value, row in FAULTS.items()))
    return choice("Fault", default, options, fits=fault_fits)


def _share(label, default, low, high, **more):
    return number(label, default, "percent", low, high, **{"step": 0.05, **more})


@panel("A coolant layout, all flows at once")
class LayoutPanel:
    """A coolant layout with all its flows."""

    layout: str = _layout_choice("join_or_part")
    position: str = _POSITION
    fault: str = _fault_choice("none")
    amount: float = _share(
        "How bad", 0.0, 0.0, 1.0, step=0.02,
        needed=lambda settings: settings.fault != "none" and facts_of(settings.fault).amount_is,
        help="Counts for air (lift lost), valve (travel), hose (area shut), radiator (face blocked), mixture "
        "(glycol by mass).",
    )  # fmt: skip
    drive_speed: float = _share(
        "Speed of the drive pump", 1.0, 0.1, 1.2, help="Share of full speed; a single pump follows this one."
    )
    battery_speed: float = _share("Speed of the battery pump", 1.0, 0.1, 1.2)
    drive_heat: float = number("Heat of motor and inverter", 1800.0, "power", 0.0, 8000.0, step=(100.0, 500))
    battery_heat: float = number("Heat of the battery", 700.0, "power", 0.0, 8000.0, step=(100.0, 500))
    ambient_temperature: float = degrees("Air temperature", 25, -30, 50, step=(1.0, 2), decimals=0)
    vehicle_speed: float = number("Driving speed", 0.0, "driving_speed", 0.0, 120 / 3.6)
    chiller: bool = choice("Chiller", True, (("running", True), ("off", False)))

    def describe(self, look):
        """Solve the network and tell what each part does."""
        spec = network_of(
            self.layout, self.position, ambient_temperature=self.ambient_temperature, vehicle_speed=self.vehicle_speed
        )
        faults = faults_of(spec, self.fault, self.amount)
        spec = network_faults.with_pump_speeds(spec, self.drive_speed, self.battery_speed)
        spec = network_faults.with_heats(spec, battery=self.battery_heat, drive=self.drive_heat)
        if not self.chiller:
            spec = network_faults.with_parts_off(spec, "chiller")
        result = solve_coolant_network(network_faults.apply_faults(spec, faults))
        rows = ()
        for body in result.bodies:
            rows += rows_of("each body of LayoutPanel", look, body)
        for name, pump in result.pumps:
            way = result.way(name)
            told = look.text(abs(way.volume_flow), "volume_flow") + (" backwards" if way.volume_flow < 0 else "")
            told = "no flow" if stands_still(way) else told
            rows += rows_of("each pump of LayoutPanel", look, pump, name=name, flow=told)
        for branch in result.spec.branches:
            for part in ("radiator", "chiller"):
                if getattr(branch, part):
                    rows += rows_of(f"each {part} of LayoutPanel", look, result.way(branch.name), branch)
        rows += rows_of("LayoutPanel", look, result)
        return shows(layout_picture(result, look), rows, (*result.notes, INVENTED, *texts_of("coolant loop", look)))

    def follow(self, changed):
        """Let the valve and the fault fit a newly chosen layout, and the degree a newly chosen fault."""
        if changed == "layout":
            air = {"warm_cabin": celsius(-5)}.get(self.layout, self.ambient_temperature)
            return {"position": "", "fault": "none", "amount": 0.0, "ambient_temperature": air}
        facts = facts_of(self.fault)
        return {"amount": facts.usual if facts else 0.0} if changed == "fault" else {}


def _coldest(settings):
    """Return the lowest temperature at which this coolant is surely liquid, in whole tenths."""
    if settings.coolant == "water":
        return celsius(1)
    return Coolant(settings.coolant, mass_fraction=settings.mass_fraction).freezing_point + 0.5


LOOPS = (
    ("drive loop of two", ("two_loops", "drive pump", "drive return")),
    ("battery loop of two", ("two_loops", "battery pump", "battery return")),
    ("one shared loop", ("one_loop", "pump", "return hose")),
)
"""Layout, branch of the pump, return hose."""


@panel("Where pump and loop agree")
class OperatingPointPanel:
    """Pump curve and loop curve."""

    loop: tuple = choice("Loop", LOOPS[0][1], LOOPS)
    speed_share: float = _share("Pump speed", 1.0, 0.1, 1.2, help="Share of full speed.")
    squeezed: float = _share("Return hose squeezed", 0.0, 0.0, 0.98, step=0.02, help="Share of its area that is shut.")
    air_share: float = _share("Air in the pump", 0.0, 0.0, 1.0, help="Share of the lift lost to air.")
    coolant: str = choice("Coolant", "ethylene glycol", sorted(COOLANT_KINDS))
    mass_fraction: float = _share("Glycol by mass", 0.5, 0.0, 0.6, step=0.01, help="Water ignores it.")
    temperature: float = degrees("Coolant temperature", 25, _coldest, 95, step=(1.0, 2))

    def describe(self, look):
        """Draw both curves and tell the point."""
        layout, pump, hose = self.loop
        glycol = 0.0 if self.coolant == "water" else self.mass_fraction
        spec = network_faults.with_pump_speeds(
            replace(load_layout(layout), coolant=self.coolant, mass_fraction=glycol), self.speed_share
        )
        wanted = (("pump air-locked", pump, self.air_share), ("hose kinked", hose, self.squeezed))
        faults = [
            network_faults.NetworkFault(kind=kind, part=part, amount=amount) for kind, part, amount in wanted if amount
        ]
        curves = operating_curves(network_faults.apply_faults(spec, faults), pump, temperature=self.temperature)
        picture, point = operating_picture(curves, look), curves.point
        rows = (
            *rows_of("OperatingPointPanel" if point else "OperatingPointPanel without flow", look, point),
            *((f"Lost in {name}", look.text(value, "pressure_difference")) for name, value in curves.shares),
            *rows_of("coolant of OperatingPointPanel", look, curves),
        )
        return shows(picture, rows, texts_of("OperatingPointPanel", look, invented=INVENTED))

    def follow(self, changed):
        """Keep the coolant above its freezing point when its kind or strength change."""
        if changed in ("coolant", "mass_fraction"):
            return {"temperature": max(self.temperature, _coldest(self))}
        return {}


HOUR = 3600.0
FAULT_TIME = 600.0
SCENES = (
    ("delivery round, one hour", "drive"),
    ("fast charge, one hour", "fast charge"),
    ("hot soak after a hard drive, one hour", "hot soak"),
)
AIRS = tuple((format_both(celsius(degree), "temperature"), celsius(degree)) for degree in (10, 25, 35, 40))


@functools.lru_cache(maxsize=24)
def run_of(layout, position, scene, air, fault, after_run):
    """Return a run and when its fault strikes; each is computed once, since a moment is all that the slider moves."""
    spec = network_of(layout, position, ambient_temperature=air)
    facts = facts_of(fault)
    faults = faults_of(spec, fault, facts.usual if facts else 0.0)
    if scene == "hot soak":
        scenario = simulate.hot_soak(duration=HOUR, ambient_temperature=air, after_run=after_run)
    else:
        scenario = {"drive": simulate.drive, "fast charge": simulate.fast_charge}[scene](
            duration=HOUR, ambient_temperature=air
        )
    # Parked, everything is off anyway: a fault is there from the start and shows in the after-run.
    strikes = 0.0 if scene == "hot soak" else FAULT_TIME
    run = simulate.simulate_network(spec, scenario, faults=faults, fault_time=strikes)
    return run, strikes if faults else None


@panel("An hour with one fault")
class ScenarioPanel:
    """Temperatures over an hour, with one fault."""

    scene: str = choice("Scene", "drive", SCENES)
    layout: str = _layout_choice("two_loops")
    position: str = _POSITION
    fault: str = _fault_choice("drive pump dead")
    ambient_temperature: float = choice("Air temperature", celsius(35), AIRS)
    after_run: float = choice(
        "Pumps run on when parked", 0.0, (("not at all", 0.0), ("5 min", 300.0), ("15 min", 900.0)),
        help="Counts in a hot soak only.",
    )  # fmt: skip
    moment: float = number("Moment", 1800.0, "duration", 0.0, HOUR, step=30.0)

    def describe(self, look):
        """Run the hour and tell which limits are passed."""
        run, strikes = run_of(
            self.layout, self.position, self.scene, self.ambient_temperature, self.fault, self.after_run
        )
        rows = ()
        for body in run.spec.bodies:
            hottest = part_text(max(run.body_temperature[body.name]), look)
            rows += rows_of("each body of ScenarioPanel", look, body, hottest=hottest)
        for event in run.events:
            when = look.text(event.time, "duration")
            if strikes and event.time >= strikes:
                when += f", {look.text(event.time - strikes, 'duration')} after the fault"
            rows += rows_of(f"{event.kind} of ScenarioPanel", look, event, when=when)
        if not run.events:
            rows += (("Limits passed", "none"),)
        notes = (*texts_of("ScenarioPanel", look, invented=INVENTED), *texts_of("coolant loop", look))
        return shows(run_picture(run, look, cursor=self.moment, fault_time=strikes), rows, notes)

    def follow(self, changed):
        """Let valve and fault fit a newly chosen layout."""
        return {"position": "", "fault": "none"} if changed == "layout" else {}
