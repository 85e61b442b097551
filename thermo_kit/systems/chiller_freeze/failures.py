"""Which guard may fail alone, and which pair may not: every single and double failure of the protection."""

import dataclasses
import itertools
from dataclasses import dataclass

from thermo_kit.systems.chiller_freeze.simulate import Run
from thermo_kit.systems.chiller_freeze.spec import GuardSettings
from thermo_kit.systems.guard_table import GUARD_NAMES


@dataclass(frozen=True)
class FailureRow:
    """What happens when some guards have failed: outcome as in FreezeResult, the steps taken, and

    first_ice_time [s]; burst_time [s]; peak_ice [kg/kg]
    """

    failed: tuple
    outcome: str
    first_ice_time: float | None
    burst_time: float | None
    peak_ice: float
    guard_steps: tuple


def failure_table(spec, *, most=2):
    """Return what happens with every guard healthy, with each one failed, and with each pair failed.

    Parameters
    ----------
    spec : FreezeSpec
        The case; where it has no guards, those of `GuardSettings()` are set.
    most : int
        How many guards fail together at most, 0 to 4.

    Returns
    -------
    tuple of FailureRow
        No failure first, then single ones, then pairs, in the order of GUARD_NAMES.

    Raises
    ------
    NoSolutionError
        If the chiller freezes already with its pump running.

    Notes
    -----
    Each failure is total: a failed watch never reports, a failed valve stays open. See `simulate_chiller_freeze`.

    References
    ----------
    The sources of `simulate_chiller_freeze`; the protection itself is an invented one.
    """
    guards = spec.guards or GuardSettings()
    rows = []
    model = start = None
    for count in range(int(most) + 1):
        for failed in itertools.combinations(GUARD_NAMES, count):
            case = dataclasses.replace(spec, guards=dataclasses.replace(guards, failed=failed))
            run = Run(case, model, start)
            # The guards change nothing before the failure: one model and one start serve all.
            model, start = run.model, run.start_y
            result = run.to_result(61)
            rows.append(
                FailureRow(
                    failed, result.outcome, result.first_ice_time, result.burst_time, result.peak_ice,
                    result.guard_steps,
                )
            )  # fmt: skip
    return tuple(rows)
