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
METAL_PATHS = (
    ("none: the compressor floats", 0.0),
    ("a stiff pipe clip, 1 kN/mm", 1e6),
    ("a bracket that touches, 5 kN/mm", 5e6),
)


def _speed(default, low, high, help=""):
    return number("Speed", rpm(default), "rotational_speed", rpm(low), rpm(high), step=rpm(100), help=help)


def _named(vehicle):
    size = part_of(vehicle, "compressor").displacement
    shown = Look().text(size, "displacement", 0), Look(system=UnitSystem.US).text(size, "displacement")
    return "{}, {} ({})".format(title_of(vehicle)[0], *shown)


class _Machine:
    """A compressor of the depot and what it pumps."""

    machine: str = choice("Compressor", "parcel_van", [(_named(one), one) for one in vehicles_with("compressor")])
    refrigerant: str = choice("Refrigerant", "R-1234yf", REFRIGERANTS)

    @property
    def spec(self):
        """The compressor itself."""
        return part_of(self.machine, "compressor")

    @property
    def allowed(self):
        """The speed, moved to where the machine may run."""
        return min(max(self.speed, self.spec.lowest_speed), self.spec.highest_speed)

    def run(self, suction_pressure, superheat, discharge_pressure, voltage):
        """Solve it for a superheat at its suction port; return the gas that comes, too."""
        dew = Refrigerant(self.refrigerant).dew_temperature(suction_pressure)
        suction = stream_at(self.refrigerant, p=suction_pressure, T=dew + superheat)
        conditions = filled(CompressorConditions, self, discharge_pressure=discharge_pressure, supply_voltage=voltage)
        return suction, solve_compressor(self.spec, suction, conditions)


@panel("What the compressor pumps and draws")
class CompressorPanel(_Machine):
    """Flow, power, currents and hot gas at one operating point."""

    speed: float = _speed(4000, 800, 8600, help="Of the shaft.")
    suction_pressure: float = number(
        "Suction pressure", barg(2.4), "gauge_pressure", barg(0.3), barg(5.0), step=(0.05e5, 1)
    )
    discharge_pressure: float = number(
        "Discharge pressure", barg(13.0), "gauge_pressure", barg(3.5), barg(26), step=(0.25e5, 5)
    )
    superheat: float = number("Superheat at the inlet", 10.0, "temperature_difference", 1.0, 30.0)
    voltage: float = number(
        "Battery voltage", 400.0, "voltage", 200.0, 850.0, step=10.0, help="Direct voltage at the inverter."
    )

    def describe(self, look):
        """Run the machine."""
        _, result = self.run(self.suction_pressure, self.superheat, self.discharge_pressure, self.voltage)
        return shows(power_picture(result, look), rows_of("CompressorPanel", look, result), result.notes)

    def follow(self, changed):
        """Give a machine newly chosen the battery it is wound for, and a speed it may run at."""
        if changed != "machine":
            return {}
        return {"voltage": self.spec.usual_voltage, "speed": self.allowed}


@panel("The map of a compressor")
class CompressorMapPanel(_Machine):
    """Efficiency over speed and pressure ratio, and over- or under-compression of one pocket."""

    speed: float = _speed(4000, 800, 8600, help="Of the shaft.")
    pressure_ratio: float = number(
        "Pressure ratio", 4.0, "ratio", 1.2, 7.0, step=0.1,
        help="Absolute discharge pressure by absolute suction pressure.",
    )  # fmt: skip
    evaporating_temperature: float = choice(
        "Boils at", celsius(5), ((format_both(celsius(t), "temperature"), celsius(t)) for t in (-10, -5, 0, 5, 10))
    )

    def describe(self, look):
        """Show the operating point on the map."""
        pressure = Refrigerant(self.refrigerant).dew_pressure(self.evaporating_temperature)
        voltage = self.spec.usual_voltage
        suction, result = self.run(pressure, MAP_SUPERHEAT, self.pressure_ratio * pressure, voltage)
        picture = map_picture(efficiency_map(self.spec, suction, supply_voltage=voltage), result, look)
        notes = (*texts_of("CompressorMapPanel", look, superheat=MAP_SUPERHEAT, voltage=voltage), *result.notes)
        return shows(picture, rows_of("CompressorMapPanel", look, result, lost=max(result.mismatch_loss, 0.0)), notes)

    def follow(self, changed):
        """Keep the speed where a machine newly chosen may run."""
        return {"speed": self.allowed} if changed == "machine" else {}


@panel("What the mounts let through")
class MountPanel:
    """What rubber mounts let through at each speed."""

    speed: float = _speed(3000, 200, 9000)
    stiffness: float = number(
        "Stiffness of one of four mounts", 40e3, "stiffness", 5e3, 500e3, step=(5e3, 20), decimals=0
    )
    damping_ratio: float = number(
        "Damping", 0.1, "percent", 0.01, 0.6,
        help="By critical damping; rubber has about 5 to 15 % (common practice, no source).",
    )  # fmt: skip
    mass: float = number("Mass of the compressor", 6.5, "mass", 3.0, 15.0, step=(0.1, 5))
    metal_path: float = choice("Metal path beside the rubber", 0.0, METAL_PATHS)

    def describe(self, look):
        """Show the curve."""
        spec = filled(MountSpec, self, metal_path_stiffness=self.metal_path)
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
        "Compressor to the body", 5e6, "resistance", 50e3, 10e6, step=50e3, help="2 MΩ is 2,000 kΩ."
    )
    others: float = number("All other parts to the body", 2e6, "resistance", 50e3, 5e6, step=50e3)
    voltage: float = number("Highest working voltage", 400.0, "voltage", 60.0, 1000.0, step=10.0)
    circuit: str = choice(
        "Circuit", "alternating or both", (("alternating, or both joined", "alternating or both"), "direct only")
    )

    def describe(self, look):
        """Judge the whole."""
        result = judge_insulation(filled(InsulationSpec, self))
        verdict = "reaches the least value" if result.passes else "too little: out of service"
        leaking = result.leak_current * 1e3
        rows = rows_of("InsulationPanel", look, result, verdict=verdict, leaking=leaking)
        return shows(insulation_picture(result, look), rows, texts_of("InsulationPanel", look))
