"""Rubber mounts under a compressor: what they let through, and from which speed on they isolate."""

import math
from dataclasses import dataclass

from thermo_kit.laws.constants import GRAVITY
from thermo_kit.units import Checks, Spec, count, quantity

ISOLATING_FROM = math.sqrt(2.0)


class MountSpec(Spec):
    """A mass on equal rubber mounts, moving up and down only.

    Damping is by critical damping; a metal path is a bracket, pipe or cable clip that touches compressor and body
    beside the rubber; the unbalance is mass by distance that turns with the shaft.

    Notes: Real mounts also rock and turn; rubber stiffens with frequency.

    Raises: OutOfRangeError. If a ratio is outside its range.

    References: Rao, Mechanical Vibrations, chapter 9 (stiffness side by side, natural frequency).
    """

    mass: float = quantity("mass", 0.2, 200.0, "mass on the mounts", advice="in kilograms: 7 kg is 7")
    stiffness: float = quantity("stiffness", 100.0, 1e7, "stiffness of a mount", advice="40 N/mm is 40,000 N/m")
    count: int = count(1, 12, "number of mounts", 4, advice="count the rubbers that carry load")
    damping_ratio: float = quantity("ratio", 0.0, 1.0, "damping ratio", 0.1, advice="a share: 10 % is 0.1")
    metal_path_stiffness: float = quantity("stiffness", 0.0, 1e9, "stiffness of the metal path", 0.0)
    unbalance: float = quantity("unbalance", 0.0, 0.1, "unbalance", 3e-5, advice="30 g mm is 3e-5 kg m")

    @property
    def total_stiffness(self):
        """Of all mounts and the metal path beside them [N/m]."""
        return self.count * self.stiffness + self.metal_path_stiffness

    @property
    def natural_speed(self):
        """Speed at which it swings by itself, without damping [rad/s]."""
        return math.sqrt(self.total_stiffness / self.mass)


@dataclass(frozen=True, kw_only=True, slots=True)
class MountResult:
    """Mounts at one speed.

    spec, speed [rad/s]: what was asked; natural_frequency [Hz]; natural_speed [rad/s]; static_deflection [m]: what the
    mounts give under the weight; transmissibility [-]: force on the body
    by force of the machine; isolating_from [rad/s]: speed above which less than the whole force gets through;
    unbalance_force [N]; transmitted_force [N]: amplitudes; notes
    """

    spec: MountSpec
    speed: float
    natural_frequency: float
    natural_speed: float
    static_deflection: float
    transmissibility: float
    isolating_from: float
    unbalance_force: float
    transmitted_force: float
    notes: tuple[str, ...]


def transmissibility(*, speed_ratio, damping_ratio):
    """Return the share of a machine's force that its mounts pass on.

    Parameters
    ----------
    speed_ratio : float, [-]. Speed by natural speed, 0 to 1e6.
    damping_ratio : float, [-]. By critical damping, 0 to 10.

    Returns: float, [-]. 1 at standstill and at √2 whatever the damping; infinite at 1 without damping.

    References: Rao, Mechanical Vibrations, chapter 9; Inman, Engineering Vibration, chapter 2 (standard formula).

    Examples
    --------
    >>> round(transmissibility(speed_ratio=5.0, damping_ratio=0.05), 5)
    0.04657
    """
    with Checks() as checks:
        checks.within("speed ratio", speed_ratio, 0.0, 1e6, kind="ratio")
        checks.within("damping ratio", damping_ratio, 0.0, 10.0, kind="ratio", advice="5 % of critical damping is 0.05")
    r2, damped = speed_ratio**2, (2.0 * damping_ratio * speed_ratio) ** 2
    below = (1.0 - r2) ** 2 + damped
    return math.inf if below == 0.0 else math.sqrt((1.0 + damped) / below)


def solve_mount(spec, *, speed):
    """Return what rubber mounts let through at a speed.

    Parameters
    ----------
    spec : MountSpec. Mass, mounts, damping, metal path.
    speed : float, [rad/s]. Of the shaft, 0 to 2000.

    Returns: MountResult. All in SI. Raises OutOfRangeError if the speed is outside its range.

    Notes: One direction, viscous damping, rigid body and rigid floor. The force of an unbalance grows with the square
        of the speed; gas forces come on top and are left out.

    References: Rao, Mechanical Vibrations, chapter 9; Inman, Engineering Vibration, chapter 2.

    Examples
    --------
    >>> mount = solve_mount(MountSpec(mass=6.0, stiffness=30e3, damping_ratio=0.1), speed=837.8)
    >>> round(mount.natural_frequency, 1), round(mount.transmissibility, 3)
    (22.5, 0.045)
    """
    with Checks() as checks:
        advice = "speeds are rad/s: 6000 r/min is 628 rad/s"
        checks.within("speed", speed, 0.0, 2000.0, kind="rotational_speed", advice=advice)
    own = spec.natural_speed
    ratio = speed / own
    share = transmissibility(speed_ratio=ratio, damping_ratio=spec.damping_ratio)
    force = spec.unbalance * speed**2
    return MountResult(
        spec=spec,
        speed=speed,
        natural_frequency=own / (2.0 * math.pi),
        natural_speed=own,
        static_deflection=spec.mass * GRAVITY / spec.total_stiffness,
        transmissibility=share,
        isolating_from=ISOLATING_FROM * own,
        unbalance_force=force,
        transmitted_force=share * force if force else 0.0,
        notes=tuple(_notes(spec, ratio)),
    )


def _notes(spec, ratio):
    if 0.8 < ratio < ISOLATING_FROM:
        yield "Near resonance: the mounts make the vibration larger. A control passes such a speed quickly."
    if spec.metal_path_stiffness:
        yield "A metal path bridges the rubber."
    if spec.damping_ratio > 0.3:
        yield "Much damping: calm at resonance, but more gets through at high speed."
    yield "Up and down only; real mounts also rock and turn, and rubber stiffens with frequency."
