"""Taking refrigerant out, weighing it, and putting the right amount back: recovery, label charge, hoses, oil."""

import math
from dataclasses import dataclass

from thermo_kit.errors import OutOfRangeError, ReadingsError, UnknownNameError
from thermo_kit.laws.constants import GAS_CONSTANT
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant, canonical_name
from thermo_kit.substances.blend import molar_mass
from thermo_kit.units import STANDARD_ATMOSPHERE, Amount, Said, Spec, one_of, quantity, within_ranges

OIL_SHARES = {
    # What a new part is given, or what a part holds when it is taken out: low, usual, high [m³].
    # Common practice, no source: the vehicle maker's figure always wins.
    "condenser": (20e-6, 30e-6, 40e-6),
    "evaporator": (30e-6, 50e-6, 75e-6),
    "accumulator": (30e-6, 60e-6, 90e-6),
    "receiver": (10e-6, 15e-6, 30e-6),
    "hose": (5e-6, 10e-6, 15e-6),
}


class RecoverySpec(Spec):
    """A charged circuit and a machine that draws its refrigerant off: as vapour, or as liquid while that lasts."""

    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", known=canonical_name)
    charge: float = quantity("mass", 0.01, 30.0, "refrigerant in the circuit", 0.6)
    volume: float = quantity("volume", 5e-4, 0.2, "volume of the circuit", 2.5e-3)
    temperature: float = quantity("temperature", 263.15, 328.15, "temperature of the circuit", 293.15)
    machine_speed: float = quantity("volume_flow", 1e-6, 0.02, "volume the machine draws", 8.0 / 60000.0)
    end_pressure: float = quantity("pressure", 1e3, 2e5, "pressure at which the machine stops", 3e4)
    warmth: float = quantity("conductance", 0.0, 100.0, "heat passage from the metal to the liquid", 15.0)
    oil: float = quantity("volume", 0.0, 5e-3, "oil in the circuit", 1.5e-4)
    oil_share: float = quantity("percent", 0.0, 0.6, "refrigerant dissolved in the oil at the end, by mass", 0.05)
    duration: float = quantity("duration", 10.0, 2e4, "longest time", 3600.0)
    liquid_flow: float = quantity("mass_flow", 0.0, 0.2, "liquid the machine takes", 0.0, advice="0: vapour only")
    out_of_reach: float = quantity("percent", 0.0, 1.0, "share of the charge that no liquid port reaches", 0.3)


@dataclass(frozen=True, kw_only=True)
class RecoveryResult:
    """How a circuit is emptied, SI.

    spec: what was asked; time [s]; pressure [Pa]; temperature: of the liquid, later of the vapour [K]; left,
    recovered: in the circuit and drawn off [kg]; in_oil: still dissolved at the end [kg]; as_liquid, as_vapour: still
    there at the end [kg]; drawn_liquid: taken as liquid [kg]; finished_after: when the machine stops [s], None where
    it does not within the time;
    comes_back_to: pressure after the circuit has warmed up and the oil has let go of what it held [Pa]; notes
    """

    spec: RecoverySpec
    time: tuple
    pressure: tuple
    temperature: tuple
    left: tuple
    recovered: tuple
    in_oil: float
    as_liquid: float
    as_vapour: float
    drawn_liquid: float
    finished_after: float | None
    comes_back_to: float
    notes: tuple


def recover(spec, points=200):
    """Draw off refrigerant: as vapour it boils and cools itself, as liquid it runs; the last of it stays in the oil.

    Parameters
    ----------
    spec : RecoverySpec. Circuit [m³], charge [kg], machine [m³/s], heat passage [W/K].
    points : int. Times told.

    Returns: RecoveryResult. Pressure [Pa], temperature [K] and masses [kg] over time [s]. Raises OutOfRangeError if the
        charge does not fit into the volume as liquid.

    Notes: One lump of liquid with its vapour in balance; steel and oil give heat only through `warmth`. Oil of 1,000
        kg/m³ holds its share to the end (common practice, no source), so a circuit comes back after the machine has
        stopped. A machine that takes liquid does so until only the share out of reach is left, in accumulator and
        evaporator, and then goes on with vapour; both the flow of liquid and that share are our own choice, no source.

    References: Balances of mass and energy of a boiling liquid; what is asked of machines: at least 95 % within 30
        minutes, SAE J2788 as printed in 40 CFR 82 subpart B, appendix C.

    Examples
    --------
    >>> result = recover(RecoverySpec(refrigerant="R-134a"))
    >>> result.recovered[-1] / 0.6 > 0.9
    True
    """
    fluid = Refrigerant(spec.refrigerant)
    held = min(spec.oil_share * spec.oil * 1000.0, 0.5 * spec.charge)
    free = spec.charge - held
    T = min(spec.temperature, fluid.critical_temperature - 2.0)
    most = fluid.saturation(T).liquid_density * spec.volume
    if free > 0.95 * most:
        limit = Said("is above {}, what the circuit holds as liquid", Amount(0.95 * most, "mass"))
        raise OutOfRangeError.about("charge", Amount(spec.charge, "mass"), limit, "check the volume of the circuit")
    step = spec.duration / 4000.0
    time, drawn, told, finished, as_liquid = 0.0, 0.0, [], None, 0.0
    every = max(int(4000 / points), 1)
    for number in range(4001):
        left = free - drawn
        if fluid.critical_temperature - 1.0 > T and left / spec.volume > fluid.saturation(T).vapour_density:
            point = fluid.saturation(T)
            liquid = (left - point.vapour_density * spec.volume) / (1.0 - point.vapour_density / point.liquid_density)
            p, rho = point.p, point.vapour_density
            latent = point.vapour_enthalpy - point.liquid_enthalpy
            # Heat for one kelvin: of the liquid, and to boil what the denser vapour takes (Clapeyron, vapour as p/T).
            steeper = latent / (p * (1.0 / rho - 1.0 / point.liquid_density)) - 1.0
            capacity = max(liquid * point.liquid_specific_heat + (left - liquid) * latent * steeper / T, 1.0)
            rate = boiled = spec.machine_speed * rho
            running = min(spec.liquid_flow, (liquid - spec.out_of_reach * spec.charge) / step)
            if running > 0.0:
                # Vapour takes the room of the liquid that runs out: only that much boils.
                rate, boiled = running, running * rho / point.liquid_density
                as_liquid += running * step
            boiled /= 1.0 - rho / point.liquid_density
            T += step * (spec.warmth * (spec.temperature - T) - boiled * latent) / capacity
            T = max(T, fluid.lowest_temperature + 5.0, 203.15)
        else:
            liquid = 0.0
            T += (spec.temperature - T) * min(step * spec.warmth / max(left * 1000.0, 1.0), 1.0)
            rho = max(left / spec.volume, 1e-6)
            p = _pressure_of_vapour(fluid, rho, T)
            rate = spec.machine_speed * rho
        if number % every == 0 or (finished is None and p <= spec.end_pressure):
            told.append((time, p, T, left + held, drawn))
        if p <= spec.end_pressure:
            finished = time
            break
        drawn, time = min(drawn + rate * step, free), time + step
    times, pressures, temperatures, lefts, drawns = zip(*told, strict=True)
    rest = max(lefts[-1] - held, 0.0)
    back = _pressure_of_vapour(fluid, (rest + 0.8 * held) / spec.volume, spec.temperature)
    back = min(back, fluid.dew_pressure(min(spec.temperature, fluid.critical_temperature - 2.0)))
    notes = [Said("Wait: the oil still holds about {}; the pressure comes back to {}. Draw off again.",
                  Amount(held, "mass"), Amount(back, "pressure"))]  # fmt: skip
    if min(temperatures) < 268.15:
        cold = Amount(268.15, "temperature", 0)
        notes.append(Said("The liquid boiled itself below {}: moisture may freeze; warm it or go slower.", cold))
    if finished is not None and liquid > 0.0:
        notes.append("The machine stopped on a low pressure while cold liquid was still there: warm it, then go on.")
    if as_liquid:
        notes.append("Liquid brings oil along: let it settle in the machine, measure it, and put as much back.")
    if finished is None:
        notes.append("Not finished within the time: liquid is still boiling. Let the machine run on.")
    return RecoveryResult(
        spec=spec, time=times, pressure=pressures, temperature=temperatures, left=lefts, recovered=drawns, in_oil=held,
        as_liquid=liquid, as_vapour=rest - liquid, drawn_liquid=as_liquid, finished_after=finished, comes_back_to=back,
        notes=tuple(notes),
    )  # fmt: skip


WAIT = 300.0


@dataclass(frozen=True, kw_only=True)
class RecoveryVerdict:
    """What the log of a recovery says, SI.

    verdict: "empty", "draw off again", "wait"; recovered [kg]; lowest: pressure when the machine stopped [Pa];
    last: pressure at the end of the log [Pa]; waited: between both [s]; notes
    """

    verdict: str
    recovered: float
    lowest: float
    last: float
    waited: float
    notes: tuple


def judge_recovery(log, *, atmosphere=STANDARD_ATMOSPHERE):
    """Say whether a circuit is empty, by how its pressure comes back after the machine has stopped.

    Parameters
    ----------
    log : ServiceLog. Of `read_recovery_log`.
    atmosphere : float, [Pa]. Pressure of the air at the workshop.

    Returns: RecoveryVerdict. Verdict, mass recovered [kg], pressures [Pa]. Raises ReadingsError if the log holds no
        weights.

    Notes: Empty: five minutes after the lowest reading the circuit is still below the pressure of the air.

    References: Waiting five minutes and drawing again until the vacuum holds: 40 CFR 82 subpart B, appendix A (SAE
        J1989), 3.2.1, written for R-12 and read in its 2015 edition.

    Examples
    --------
    >>> from thermo_kit.service import read_recovery_log
    >>> text = "time [min], recovered [g], pressure [bar(g)]\\n0, 0, 4.7\\n4, 398, -0.7\\n10, 398, 0.2\\n"
    >>> judge_recovery(read_recovery_log(text)).verdict
    'draw off again'
    """
    within_ranges(("pressure of the air", atmosphere, 5e4, 1.1e5, "pressure"))
    if not log.masses:
        raise ReadingsError.about("log", "holds no weights", "", "read it with read_recovery_log")
    lowest = min(log.pressures)
    at = max(i for i, p in enumerate(log.pressures) if p == lowest)
    waited, last = log.times[-1] - log.times[at], log.pressures[-1]
    notes = []
    if last >= atmosphere:
        verdict = "draw off again"
        notes.append("The pressure came back above the air: oil or cold liquid still gives off gas.")
    elif waited < WAIT:
        verdict = "wait"
        notes.append("Not watched for five minutes after the machine stopped: nobody can say yet.")
    else:
        verdict = "empty"
    return RecoveryVerdict(
        verdict=verdict, recovered=log.masses[-1], lowest=lowest, last=last, waited=waited, notes=tuple(notes)
    )  # fmt: skip


def _pressure_of_vapour(fluid, density, T):
    """Return the pressure [Pa] of thin vapour by density [kg/m³]: ideal, scaled to meet saturation where it begins."""
    T = min(T, fluid.critical_temperature - 2.0)
    dew = fluid.at(T=T, x=1.0)
    share = min(density / dew.rho, 1.0)
    ideal = density * GAS_CONSTANT * T / molar_mass(fluid.name)
    compressibility = 1.0 + share * (dew.p / (dew.rho * GAS_CONSTANT * T / molar_mass(fluid.name)) - 1.0)
    return ideal * compressibility


class HoseHoldUp(Spec):
    """A service hose that stays behind full of refrigerant."""

    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", known=canonical_name)
    bore: float = quantity("length", 1e-3, 0.03, "bore of the hose", 4.8e-3)
    length: float = quantity("length", 0.05, 20.0, "length of the hose", 1.8)
    temperature: float = quantity("temperature", 263.15, 323.15, "temperature of the hose", 293.15)


def hose_holds(spec):
    """Return what a service hose holds.

    Parameters
    ----------
    spec : HoseHoldUp. Refrigerant, bore and length [m], temperature [K].

    Returns: tuple of float, [kg]. Filled with liquid; filled with saturated vapour.

    References: Geometry, and densities of saturated liquid and vapour.

    Examples
    --------
    >>> [round(1e3 * mass, 1) for mass in hose_holds(HoseHoldUp(refrigerant="R-134a"))]
    [39.9, 0.9]
    """
    volume = 0.25 * math.pi * spec.bore**2 * spec.length
    point = Refrigerant(spec.refrigerant).saturation(spec.temperature)
    return volume * point.liquid_density, volume * point.vapour_density


class ChargingSpec(Spec):
    """A charge put in by weight: what the label asks, what the scale says, what stays in the hose."""

    label_charge: float = quantity("mass", 0.05, 20.0, "charge on the label", 0.6)
    label_tolerance: float = quantity("mass", 0.0, 0.5, "tolerance on the label", 0.025)
    weighed: float = quantity("mass", 0.0, 20.0, "taken from the cylinder by the scale", 0.6)
    scale_accuracy: float = quantity("mass", 0.0, 0.5, "accuracy of the scale", 0.015)
    hose_hold_up: float = quantity("mass", 0.0, 0.5, "left in the hose", 0.0)
    left_before: float = quantity("mass", 0.0, 20.0, "still in the circuit before charging", 0.0)


@dataclass(frozen=True, kw_only=True)
class ChargingResult:
    """What is in the circuit after charging, SI.

    spec: what was asked; charge: most likely in the circuit [kg]; uncertainty: of it [kg]; missing: label less charge
    [kg]; verdict: "within the label", "cannot tell", "too little", "too much"; share: charge by label [-]; notes
    """

    spec: ChargingSpec
    charge: float
    uncertainty: float
    missing: float
    verdict: str
    share: float
    notes: tuple


def judge_charge(spec):
    """Judge a charge put in by weight against the label.

    Parameters
    ----------
    spec : ChargingSpec. Masses [kg].

    Returns: ChargingResult. Charge, uncertainty and what is missing [kg].

    Notes: Balance of mass: weighed, less what stays in the hose, plus what was still there.

    References: Scale of charging machines ±15 g: SAE J2788 as printed in 40 CFR 82 subpart B, appendix C, 9.1.

    Examples
    --------
    >>> judge_charge(ChargingSpec(hose_hold_up=0.035)).verdict
    'cannot tell'
    """
    charge = spec.weighed - spec.hose_hold_up + spec.left_before
    missing = spec.label_charge - charge
    notes = []
    if abs(missing) + spec.scale_accuracy <= spec.label_tolerance:
        verdict = "within the label"
    elif abs(missing) - spec.scale_accuracy > spec.label_tolerance:
        verdict = "too little" if missing > 0.0 else "too much"
    else:
        verdict = "cannot tell"
        notes.append("The scale is too coarse for this tolerance, or the charge lies at its edge.")
    if spec.hose_hold_up > spec.label_tolerance:
        notes.append("The hose holds more than the label allows to be wrong: empty it into the system, or count it.")
    return ChargingResult(
        spec=spec, charge=charge, uncertainty=spec.scale_accuracy, missing=missing, verdict=verdict,
        share=charge / spec.label_charge, notes=tuple(notes),
    )  # fmt: skip


def oil_balance(parts, *, recovered_oil=0.0, drained_from_old_compressor=None, shipped_in_new_compressor=0.0):
    """Return how much oil to add when parts were changed.

    Parameters
    ----------
    parts : iterable of str. Keys of `OIL_SHARES` that are new.
    recovered_oil : float, [m³]. That came out with the refrigerant.
    drained_from_old_compressor : float or None, [m³]. Measured; None where the compressor stays.
    shipped_in_new_compressor : float, [m³]. In the new one as it comes.

    Returns: tuple of float, [m³]. Low, usual and high amount to add; below zero: so much must be drained from the new
        compressor. Raises UnknownNameError if a part is not known.

    References: Common practice, no source, for the shares of the parts; the rest is a balance.

    Examples
    --------
    >>> [round(1e6 * volume) for volume in oil_balance(["condenser"], recovered_oil=10e-6)]
    [30, 40, 50]
    """
    parts = list(parts)
    unknown = [part for part in parts if part not in OIL_SHARES]
    if unknown:
        advice = f"one of {', '.join(OIL_SHARES)}"
        raise UnknownNameError.about("part", ", ".join(map(repr, unknown)), "is not known", advice)
    drained = 0.0 if drained_from_old_compressor is None else drained_from_old_compressor
    within_ranges(
        ("oil that came out", recovered_oil, 0.0, 0.01, "volume"),
        ("oil in the old compressor", drained, 0.0, 0.01, "volume"),
        ("oil in the new compressor", shipped_in_new_compressor, 0.0, 0.01, "volume"),
    )
    sums = [recovered_oil + sum(OIL_SHARES[part][i] for part in parts) for i in range(3)]
    if drained_from_old_compressor is not None:
        sums = [one + drained_from_old_compressor - shipped_in_new_compressor for one in sums]
    return tuple(sums)
