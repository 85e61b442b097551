"""The learner weighs the forces in an expansion valve, follows it from seat to stop, and spoils it."""

from dataclasses import replace

from thermo_kit.charts import expansion_valve as charts
from thermo_kit.charts.expansion_valve import outlet_text
from thermo_kit.components import electronic_valve
from thermo_kit.components import expansion_valve as valves
from thermo_kit.components.expansion_valve import EvaporatorDuty, ValveFault
from thermo_kit.components.expansion_valve.curves import HIGHEST_BOILING, HIGHEST_SUPERHEAT, LOWEST_BOILING
from thermo_kit.components.orifice import OrificeSpec
from thermo_kit.fleet import part_of
from thermo_kit.panels.frame import Description, shows
from thermo_kit.panels.rows import rows_of, texts_of
from thermo_kit.panels.settings import choice, degrees, filled, number, panel
from thermo_kit.units import barg, celsius, tell

CROSS_CHARGE = "The cross charge is an approximation of our own; makers keep theirs to themselves."


VALVE = part_of("older_van", "expansion_valve")
_REFRIGERANT = choice("Refrigerant", "R-134a", valves.VALVE_REFRIGERANTS)
_PRELOAD = number(
    "Spring preload", 14.1, "force", 2.0, 60.0, step=(0.5, 0.1), decimals=1,
    help="Force of the spring while the pin rests on its seat: set by a screw, in a block valve in the factory.",
)  # fmt: skip
_EQUALISATION = choice(
    "Equalisation", "external", valves.EQUALISATIONS, help="Where the pressure below the diaphragm comes from."
)
_DROP = number("Pressure drop of the evaporator", 20e3, "pressure_difference", 0.0, 100e3, step=(1e3, 0.2))
_CONDENSING = degrees("Condensing temperature", 50, 25, 75)


def _draws(low, high):
    return number("Compressor draws", 0.0025, "volume_flow", low, high, step=(0.0000166667 * 3, 1))


def _charge(default):
    return choice("Charge of the bulb", default, valves.CHARGES)


@panel("Three forces on a diaphragm")
class ValveForcePanel:
    """Three forces on a diaphragm."""

    line_temperature: float = degrees("Line temperature at the bulb", 4.0, -35, 50, step=(0.2, 0.5))
    low_pressure: float = number(
        "Low side at the evaporator outlet", barg(1.8), "gauge_pressure", barg(-0.3), barg(6), step=(0.05e5, 0.5)
    )
    spring_preload: float = _PRELOAD
    pressure_drop: float = _DROP
    equalisation: str = _EQUALISATION
    charge: str = _charge("same refrigerant")
    bulb: str = choice("The bulb", "charged", (("has its charge", "charged"), ("has lost its charge", "lost")))
    refrigerant: str = _REFRIGERANT

    def describe(self, look):
        """Weigh bulb against evaporator and spring."""
        lost = self.bulb == "lost"
        balance = valves.force_balance(
            filled(VALVE, self),
            refrigerant=self.refrigerant,
            outlet_pressure=self.low_pressure,
            bulb_temperature=self.line_temperature,
            pressure_drop=self.pressure_drop,
            fault=ValveFault(bulb_lost=lost),
        )
        picture = charts.force_picture(balance, look, bulb_lost=lost)
        notes = ["The pressure of the liquid on the pin itself is left out: little in a valve of this size."]
        if self.charge == "cross charge":
            notes.append(CROSS_CHARGE)
        if lost:
            notes.append("A lost charge leaves air pressure above the diaphragm. The valve stays shut.")
        return shows(picture, rows_of("ValveForcePanel", look, balance), tuple(notes))


@panel("From the seat to the stop")
class ValveOpeningPanel:
    """Flow over superheat, and what the bulb's charge does when the evaporator is warm."""

    superheat: float = number("Superheat", 6.0, "temperature_difference", 0.0, HIGHEST_SUPERHEAT, step=(0.2, 0.5))
    evaporating_temperature: float = number(
        "Evaporating temperature", celsius(0), "temperature", LOWEST_BOILING, HIGHEST_BOILING
    )
    spring_preload: float = _PRELOAD
    charge: str = _charge("gas charge")
    equalisation: str = _EQUALISATION
    pressure_drop: float = _DROP
    condensing_temperature: float = _CONDENSING
    refrigerant: str = _REFRIGERANT

    def describe(self, look):
        """Follow the valve from its seat to its stop."""
        place = {"evaporating_temperature": self.evaporating_temperature, "superheat": self.superheat}
        curves = valves.opening_curves(filled(VALVE, self), filled(EvaporatorDuty, self), **place)
        static, full = curves.static_superheat, curves.full_superheat
        opening = None if static is None or full is None else full - static
        notes = ("The flow formula scatters by about a tenth (common practice, no source).", CROSS_CHARGE)
        return shows(
            charts.opening_picture(curves, look), rows_of("ValveOpeningPanel", look, curves, opening=opening), notes
        )


@panel("Starved or flooding?")
class ValveFaultPanel:
    """Starved or flooding: a fault, and what it does to the readings."""

    fault: str = choice("Fault", "none", valves.FAULTS)
    size: float = number(
        "Size of the fault", 0.3, "percent", 0.0, 1.0,
        help="Pin: where it sticks. Bulb: air it feels. Flash gas: of 30 % vapour. Shut-off: leak of a 1 mm hole.",
    )  # fmt: skip
    air_temperature: float = degrees("Air over the evaporator", 25, 5, 50)
    suction_flow: float = _draws(0.0008, 0.005)
    spring_preload: float = _PRELOAD
    condensing_temperature: float = _CONDENSING
    refrigerant: str = _REFRIGERANT

    def describe(self, look):
        """Spoil the valve and read what gauge and clamp show."""
        duty = filled(EvaporatorDuty, self)
        case = valves.fault_case(filled(VALVE, self), duty, fault=self.fault, size=self.size)
        picture, own, sound = charts.readings_picture(case, look), case.faulty, case.sound
        rows = rows_of(
            "ValveFaultPanel", look, own, own=own, sound=sound, meaning=tell(case.meaning, look),
            leaves=outlet_text(own, look), usual=outlet_text(sound, look),
        )  # fmt: skip
        return shows(picture, rows, own.notes)


CAUSES = (
    "nothing",
    "little air over the evaporator",
    "what it feels reads too warm",
    "stuck or blocked",
    "too little refrigerant",
)
ORIFICE = OrificeSpec(diameter=0.0017, length=0.038)
_WARM_AT_MOST = 10.0  # K, error of a sensor of an electronic valve
_FLASH_AT_MOST = 0.3
_OPENS = (
    "bulb feels the line outside\nscrew, if any: last of all",
    "bulb in its own body\nfactory set, do not turn",
    "stepper, by two sensors\nset in software",
    "nothing opens: a fixed tube\naccumulator behind it",
)


@panel("Four ways to feed one evaporator")
class FeedingPanel:
    """Strap bulb, block valve, electronic valve and fixed orifice on the same evaporator and compressor."""

    cause: str = choice("What is wrong", "nothing", CAUSES)
    size: float = number(
        "How much", 0.5, "percent", 0.0, 1.0,
        help="Of the worst: 80 % of the air gone, bulb half in the open or sensor far off, nearly shut, 30 % vapour.",
    )  # fmt: skip
    air_temperature: float = degrees("Air over the evaporator", 25, 15, 45)
    suction_flow: float = _draws(0.0012, 0.0035)
    condensing_temperature: float = degrees("Condensing temperature", 50, 40, 65)
    refrigerant: str = choice("Refrigerant", "R-134a", ("R-134a", "R-1234yf"))

    def describe(self, look):
        """Feed the same evaporator in four ways."""
        found = _four_feedings(self)
        strap, block, electronic, orifice = found

        target = f"target {look.number(electronic.target_superheat, 'temperature_difference'):.1f}, "
        scan = look.say(target + "shown {shown_superheat:temperature_difference}, {commanded_steps} steps", electronic)
        gauge = "{evaporating_pressure:pressure}, line {outlet_temperature:temperature}"
        names = ("strap bulb", "block valve", "electronic valve", "fixed orifice")
        good = (*(one.verdict == "in balance" for one in found[:3]), orifice.verdict == "wet by design")
        lanes = tuple(
            charts.Lane(
                name, opens, one.boiling_share, one.quality_is_wet, outlet_text(one, look),
                look.say(gauge, one), scan if one is electronic else "", fine,
            )
            for name, opens, one, fine in zip(names, _OPENS, found, good, strict=True)
        )  # fmt: skip
        sentence = " ".join(f"{lane.name.capitalize()}: low side {lane.gauge}, {lane.outlet}." for lane in lanes)
        sentence += f" Scan tool: {scan}; {electronic_valve.LIMITS[electronic.limit]}."
        front = [_front(one, look) for one in (*(valve.duty for valve in found[:3]), orifice)]
        rows = rows_of(
            "FeedingPanel", look, strap=strap, block=block, scan=electronic, tube=orifice,
            leaves=[lane.outlet for lane in lanes], front=front,
        )  # fmt: skip
        notes = [*texts_of("FeedingPanel", look)]
        if self.cause == "what it feels reads too warm":
            notes.append("The bulb of a block valve cannot come loose, and an orifice feels nothing: both stay sound.")
        return Description(
            (charts.feedings_picture(lanes, sentence=sentence),), sentence, rows, tuple(notes), ("", *names)
        )


def _front(there, look):
    if there.inlet_quality > 0.0:
        return f"{there.inlet_quality * 100:.0f} % vapour"
    return f"{look.text(there.subcooling, 'temperature_difference')} subcooled"


def _four_feedings(asked):
    """Return the results of strap bulb, block, electronic valve and orifice with one thing wrong."""
    wrong, size = asked.cause, asked.size
    duty = filled(EvaporatorDuty, asked)
    fault, own, orifice = ValveFault(), electronic_valve.ElectronicValveFault(), ORIFICE
    electronic = electronic_valve.ElectronicValveSpec()
    if wrong == CAUSES[1]:
        duty = replace(duty, conductance=duty.conductance * (1.0 - 0.8 * size))
    elif wrong == CAUSES[2]:
        fault = ValveFault(bulb_loose_share=0.5 * size)
        own = electronic_valve.ElectronicValveFault(temperature_error=_WARM_AT_MOST * size)
    elif wrong == CAUSES[3]:
        fault = ValveFault(stuck_at=1.0 - 0.9 * size)
        own = electronic_valve.ElectronicValveFault(stuck_at=round(electronic.full_steps * (1.0 - 0.9 * size)))
        orifice = replace(ORIFICE, open_share=1.0 - 0.75 * size)
    short = wrong == CAUSES[4] and size > 0.0
    if short:
        duty = replace(duty, subcooling=0.0, inlet_quality=_FLASH_AT_MOST * size)
    block = replace(VALVE, body="block", charge="cross charge")
    in_body = ValveFault() if wrong == CAUSES[2] else fault
    return (
        valves.solve_valve(VALVE, duty, fault=fault),
        valves.solve_valve(block, duty, fault=in_body),
        electronic_valve.solve_electronic_valve(electronic, duty, fault=own),
        valves.solve_orifice_feed(orifice, valves.AccumulatorBleed(), duty, holds_liquid=not short),
    )
