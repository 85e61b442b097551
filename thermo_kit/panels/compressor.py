"""What a compressor pumps and draws, how well it works, what its mounts let through and how it is insulated."""

from dataclasses import replace

from thermo_kit.charts.compressor import insulation_picture, map_picture, mount_picture, power_picture
from thermo_kit.components.compressor import CompressorConditions, efficiency_map, rpm, solve_compressor
from thermo_kit.components.insulation import InsulationSpec, judge_insulation
from thermo_kit.components.mount import MountSpec, solve_mount, transmissibility
from thermo_kit.fleet import part_of, title_of, vehicles_with
from thermo_kit.panels.frame import shows
from thermo_kit.panels.rows import rows_of, texts_of
from thermo_kit.panels.settings import choice, filled, number, panel
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.stream import stream_at
from thermo_kit.units import Look, UnitSystem, barg, celsius, format_both

REFRIGERANTS = ("R-1234yf", "R-134a", "R-152a", "R-290")
MAP_SUPERHEAT = 8.0
_SPEEDS = tuple(rpm(n) for n in (*range(20, 3000, 40), *range(3000, 9001, 150)))
_SLOW, _FAST = rpm(900), rpm(8000)
_TURNS = {"kind": "rotational_speed", "step": rpm(100), "us_step": 100}
METAL_PATHS = (
    ("none: the compressor floats", 0.0),
    ("a stiff pipe clip, 1 kN/mm", 1e6),
    ("a bracket that touches, 5 kN/mm", 5e6),
)


def _machine():
    def named(vehicle):
        size = part_of(vehicle, "compressor").displacement
        shown = Look().text(size, "displacement", 0), Look(system=UnitSystem.US).text(size, "displacement")
        return "{}, {} ({})".format(title_of(vehicle)[0], *shown)

    return choice("Compressor", "parcel_van", ((named(one), one) for one in vehicles_with("compressor")))


def _speed():
    return number("Speed", rpm(4000), low=rpm(800), high=rpm(8600), help="Of the shaft.", **_TURNS)


def _refrigerant():
    return choice("Refrigerant", "R-1234yf", REFRIGERANTS)


def _run(machine, refrigerant, suction_pressure, superheat, discharge_pressure, speed, voltage):
    """Solve a compressor for a superheat at its suction port; return the gas that comes, too."""
    dew = Refrigerant(refrigerant).dew_temperature(suction_pressure)
    suction = stream_at(refrigerant, p=suction_pressure, T=dew + superheat)
    conditions = CompressorConditions(discharge_pressure=discharge_pressure, speed=speed, supply_voltage=voltage)
    return suction, solve_compressor(part_of(machine, "compressor"), suction, conditions)


def _allowed(settings):
    """Return the speed, moved to where the machine may run."""
    spec = part_of(settings.machine, "compressor")
    return min(max(settings.speed, spec.lowest_speed), spec.highest_speed)


@panel("What the compressor pumps and draws")
class CompressorPanel:
    """Flow, power, currents and hot gas at one operating point."""

    speed: float = _speed()
    suction_pressure: float = number(
        "Suction pressure", barg(2.4), "gauge_pressure", barg(0.3), barg(5.0), step=0.05e5, us_step=1
    )
    discharge_pressure: float = number(
        "Discharge pressure", barg(13.0), "gauge_pressure", barg(3.5), barg(26), step=0.25e5, us_step=5
    )
    superheat: float = number("Superheat at the inlet", 10.0, "temperature_difference", 1.0, 30.0, step=0.5, us_step=1)
    voltage: float = number(
        "Battery voltage", 400.0, "voltage", 200.0, 850.0, step=10.0, us_step=10, help="Direct voltage at the inverter."
    )
    machine: str = _machine()
    refrigerant: str = _refrigerant()

    def describe(self, look):
        """Run the machine."""
        _, result = _run(
            self.machine, self.refrigerant, self.suction_pressure, self.superheat, self.discharge_pressure,
            self.speed, self.voltage,
        )  # fmt: skip
        return shows(power_picture(result, look), rows_of("CompressorPanel", look, result), result.notes)

    def follow(self, changed):
        """Give a machine newly chosen the battery it is wound for, and a speed it may run at."""
        if changed != "machine":
            return {}
        return {"voltage": part_of(self.machine, "compressor").usual_voltage, "speed": _allowed(self)}


@panel("The map of a compressor")
class CompressorMapPanel:
    """Efficiency over speed and pressure ratio, and over- or under-compression of one pocket."""

    speed: float = _speed()
    pressure_ratio: float = number(
        "Pressure ratio", 4.0, "ratio", 1.2, 7.0, step=0.1, us_step=0.1,
        help="Absolute discharge pressure by absolute suction pressure.",
    )  # fmt: skip
    evaporating_temperature: float = choice(
        "Boils at", celsius(5), ((format_both(celsius(t), "temperature"), celsius(t)) for t in (-10, -5, 0, 5, 10))
    )
    machine: str = _machine()
    refrigerant: str = _refrigerant()

    def describe(self, look):
        """Show the operating point on the map."""
        pressure = Refrigerant(self.refrigerant).dew_pressure(self.evaporating_temperature)
        spec = part_of(self.machine, "compressor")
        voltage = spec.usual_voltage
        suction, result = _run(
            self.machine, self.refrigerant, pressure, MAP_SUPERHEAT, self.pressure_ratio * pressure, self.speed, voltage
        )
        picture = map_picture(efficiency_map(spec, suction, supply_voltage=voltage), result, look)
        notes = (*texts_of("CompressorMapPanel", look, superheat=MAP_SUPERHEAT, voltage=voltage), *result.notes)
        return shows(picture, rows_of("CompressorMapPanel", look, result, lost=max(result.mismatch_loss, 0.0)), notes)

    def follow(self, changed):
        """Keep the speed where a machine newly chosen may run."""
        return {"speed": _allowed(self)} if changed == "machine" else {}


@panel("What the mounts let through")
class MountPanel:
    """What rubber mounts let through at each speed."""

    speed: float = number("Speed", rpm(3000), low=rpm(200), high=rpm(9000), **_TURNS)
    stiffness: float = number(
        "Stiffness of one of four mounts", 40e3, "stiffness", 5e3, 500e3, step=5e3, us_step=20, decimals=0
    )
    damping_ratio: float = number(
        "Damping", 0.1, "percent", 0.01, 0.6, step=0.01, us_step=1, decimals=0,
        help="By critical damping; rubber has about 5 to 15 % (common practice, no source).",
    )  # fmt: skip
    mass: float = number("Mass of the compressor", 6.5, "mass", 3.0, 15.0, step=0.1, us_step=5)
    metal_path: float = choice("Metal path beside the rubber", 0.0, METAL_PATHS)

    def describe(self, look):
        """Show the curve."""
        spec = filled(MountSpec, self, metal_path_stiffness=self.metal_path)  # fmt: skip
        result, slow, fast = (solve_mount(spec, speed=n) for n in (self.speed, _SLOW, _FAST))
        named = tuple((one.speed, one.transmissibility) for one in (slow, fast))
        alone = _curve(replace(spec, metal_path_stiffness=0.0)) if self.metal_path else None
        picture = mount_picture(result, _SPEEDS, _curve(spec), alone, look, named=named)
        return shows(picture, rows_of("MountPanel", look, result, slow=slow, fast=fast), result.notes)


def _curve(spec):
    own = spec.natural_speed
    return tuple(transmissibility(speed_ratio=n / own, damping_ratio=max(spec.damping_ratio, 1e-3)) for n in _SPEEDS)


@panel("Insulation of the whole system")
class InsulationPanel:
    """Insulation of compressor and other parts against the least value."""

    compressor: float = number(
        "Compressor to the body", 5e6, "resistance", 50e3, 10e6, step=50e3, us_step=50, help="2 MΩ is 2,000 kΩ."
    )
    others: float = number("All other parts to the body", 2e6, "resistance", 50e3, 5e6, step=50e3, us_step=50)
    voltage: float = number("Highest working voltage", 400.0, "voltage", 60.0, 1000.0, step=10.0, us_step=10)
    circuit: str = choice(
        "Circuit", "alternating or both",
        (("alternating, or both joined", "alternating or both"), "direct only"),
    )  # fmt: skip

    def describe(self, look):
        """Judge the whole."""
        result = judge_insulation(filled(InsulationSpec, self))
        verdict = "reaches the least value" if result.passes else "too little: out of service"
        leaking = result.leak_current * 1e3
        rows = rows_of("InsulationPanel", look, result, verdict=verdict, leaking=leaking)
        return shows(insulation_picture(result, look), rows, texts_of("InsulationPanel", look))
