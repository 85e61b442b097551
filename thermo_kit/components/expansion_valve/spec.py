"""What an expansion valve is, what stands in front of it, what it feeds, and what may be wrong with it."""

import math

from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant, canonical_name
from thermo_kit.units import STANDARD_ATMOSPHERE, Amount, Said, Spec, flag, one_of, quantity

CHARGES = ("same refrigerant", "cross charge", "gas charge")
EQUALISATIONS = ("internal", "external")
BODIES = ("strap bulb", "block")
VALVE_REFRIGERANTS = tuple(name for name in REFRIGERANT_NAMES if name != "R-744")
"""R-744 works above its critical point on a warm day: this valve wants liquid in front of it."""
_PUSHES = "a spring can only push the valve shut: give a positive number"
_SWAPPED = "were the two swapped?"


class ExpansionValveSpec(Spec):
    """A thermostatic expansion valve by its sizes.

    The preload is the spring's force while the pin rests on its seat, the full lift the pin's way up to its stop, the
    pin's angle half of its cone's. "same refrigerant" always has liquid left in the bulb; a gas charge is dry above
    its limit. The pressure below the diaphragm comes from the valve's outlet (internal) or from the bulb (external).
    A block valve lets the vapour come back through its own body: bulb and pressure passage lie in there, its spring is
    set in the factory, and nobody turns it in a workshop (common practice, no source). The forces are the same.

    Notes: Geometry. The pin is taken as balanced: the liquid pressure on it, a few newton, is left out.
    """

    diaphragm_diameter: float = quantity("length", 0.008, 0.06, "diaphragm diameter")
    spring_preload: float = quantity("force", 1.0, 400.0, "spring preload", advice=_PUSHES)
    spring_rate: float = quantity(
        "stiffness", 100.0, 200e3, "spring rate", advice=f"{_PUSHES}; 30 N/mm is 30,000 N/m"
    )  # fmt: skip
    full_lift: float = quantity("length", 1e-4, 5e-3, "full lift")
    port_diameter: float = quantity("length", 5e-4, 12e-3, "port diameter")
    pipe_diameter: float = quantity("length", 2e-3, 30e-3, "pipe diameter")
    pin_angle: float = quantity("angle", 0.1, 1.4, "half angle of the pin", math.radians(30))
    charge: str = one_of(CHARGES, "bulb charge", "same refrigerant")
    charge_limit_temperature: float = quantity(
        "temperature", 233.15, 333.15, "temperature at which the bulb is dry", 288.15
    )  # fmt: skip
    equalisation: str = one_of(EQUALISATIONS, "equalisation", "external")
    body: str = one_of(BODIES, "body of the valve", "strap bulb")

    def fit(self, checks):
        if self.body == "block" and self.equalisation != "external":
            checks.add(
                "equalisation of a block valve", self.equalisation, "does not exist",
                "its passage for the returning vapour is where it feels the pressure: external",
            )  # fmt: skip
        for other, limit, advice in (
            (self.pipe_diameter, "the pipe's bore of {}",
             f"a valve throttles only where its port is narrower than its pipe: {_SWAPPED}"),
            (self.diaphragm_diameter, "the diaphragm's {}", _SWAPPED),
        ):  # fmt: skip
            if self.port_diameter >= other:
                told = Said(f"is not less than {limit}", Amount(other, "length"))
                checks.add("port diameter", Amount(self.port_diameter, "length"), told, advice)

    @property
    def diaphragm_area(self):
        """Area on which the pressures push [m²]."""
        return 0.25 * math.pi * self.diaphragm_diameter**2

    @property
    def preload_pressure(self):
        """Spring preload spread over the diaphragm [Pa]."""
        return self.spring_preload / self.diaphragm_area


class ShutOffSpec(Spec):
    """An electric or solenoid shut-off valve in the liquid line, in front of the expansion valve.

    The leak is the diameter of a round hole that leaks as much as the shut seat; 0 is tight.

    Notes: Geometry. That it stands in front of the expansion valve is common practice, no source.
    """

    seat_diameter: float = quantity("length", 5e-4, 0.02, "seat of the shut-off valve", 0.005)
    leak_diameter: float = quantity("length", 0.0, 2e-3, "leak of the shut-off valve", 0.0)
    is_open: bool = flag("whether the shut-off valve is open", True)

    def fit(self, checks):
        if self.leak_diameter >= self.seat_diameter:
            told = Said("is not less than its seat of {}", Amount(self.seat_diameter, "length"))
            checks.add("leak of the shut-off valve", Amount(self.leak_diameter, "length"), told, _SWAPPED)

    @property
    def area(self):
        """Passage as it stands [m²]."""
        return 0.25 * math.pi * (self.seat_diameter if self.is_open else self.leak_diameter) ** 2


class EvaporatorDuty(Spec):
    """What the valve is fed with, what it feeds, and how hard the compressor draws.

    The liquid line stands at the bubble pressure of the condensing temperature. The air over the evaporator is one
    number; its conductance is told while all of it boils. The pressure drop counts from the valve's outlet to the
    bulb. The cut-out is the absolute low-side pressure at which the compressor is switched off; a loose bulb feels
    the ambient air, a burst one takes on the air pressure.

    Notes: Definition of the case; a lumped evaporator, see `solve_valve`.
    """

    refrigerant: str = one_of(VALVE_REFRIGERANTS, "refrigerant", known=canonical_name)
    condensing_temperature: float = quantity("temperature", 283.15, 385.0, "condensing temperature")
    subcooling: float = quantity("temperature_difference", 0.0, 40.0, "subcooling", 5.0)
    inlet_quality: float = quantity("ratio", 0.0, 0.5, "vapour share at the inlet", 0.0, advice="10 % is 0.1")
    air_temperature: float = quantity("temperature", 253.15, 333.15, "air over the evaporator", 298.15)
    conductance: float = quantity("conductance", 10.0, 2000.0, "conductance of the evaporator", 220.0)
    dry_share: float = quantity("ratio", 0.02, 1.0, "conductance of a dry stretch", 0.15, advice="15 % is 0.15")
    suction_flow: float = quantity("volume_flow", 2e-4, 0.05, "suction flow of the compressor", 0.0025)
    pressure_drop: float = quantity("pressure_difference", 0.0, 200e3, "pressure drop of the evaporator", 20e3)
    cut_out_pressure: float = quantity("pressure", 60e3, 400e3, "low-side cut-out", 120e3)
    ambient_temperature: float = quantity("temperature", 233.15, 353.15, "ambient air", 308.15)
    atmosphere: float = quantity("pressure", 50e3, 110e3, "air pressure", STANDARD_ATMOSPHERE)

    def fit(self, checks):
        if self.refrigerant not in VALVE_REFRIGERANTS:
            checks.add(
                "refrigerant", self.refrigerant, "is not one that this valve is made for",
                "it works above its critical point on a warm day, and this valve needs liquid before it: use one of "
                + ", ".join(VALVE_REFRIGERANTS),
            )  # fmt: skip
            return
        fluid = Refrigerant(self.refrigerant)
        checks.within(
            "condensing temperature", self.condensing_temperature, 283.15, fluid.critical_temperature - 2.0,
            kind="temperature",
            advice=f"near and above its critical point {fluid.name} has no liquid line, and this model needs liquid",
        )  # fmt: skip
        if self.inlet_quality > 0 and self.subcooling > 0:
            advice = "subcooled liquid carries no vapour: set one of the two to 0"
            checks.add("vapour share at the inlet", f"{self.inlet_quality:g}", "does not go with subcooling", advice)
        if not checks.problems and fluid.dew_temperature(self.lowest_pressure) > self.air_temperature - 2.0:
            advice = "nothing would boil: raise the air"
            told = f"is not warmer than {self.refrigerant} boils at the low-side cut-out"
            checks.add("air over the evaporator", Amount(self.air_temperature, "temperature"), told, advice)

    @property
    def lowest_pressure(self):
        """Pressure below which the low side does not fall [Pa]."""
        return max(self.cut_out_pressure, Refrigerant(self.refrigerant).lowest_pressure)

    @property
    def liquid_pressure(self):
        """Pressure in front of the valves [Pa]."""
        return Refrigerant(self.refrigerant).bubble_pressure(self.condensing_temperature)


class ValveFault(Spec):
    """What is wrong with a valve; all as it should be by default.

    A lost bulb has leaked out its charge and keeps the air's pressure. A stuck pin stands at a share of the full lift
    (None moves freely). A loose bulb feels the ambient air instead of the line by some share.

    Notes: Definition of the faults.
    """

    bulb_lost: bool = flag("whether the bulb has lost its charge", False)
    stuck_at: float | None = quantity("ratio", 0.0, 1.0, "place at which the pin sticks", None, advice="50 % is 0.5")
    bulb_loose_share: float = quantity("ratio", 0.0, 1.0, "share of the ambient air", 0.0, advice="30 % is 0.3")
