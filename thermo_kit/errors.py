"""Reasons why a calculation or a course task cannot go on, in words a technician can act on.

Every error carries a list of problems. A problem says which argument is wrong, what was given,
what is allowed, and what to do; the message shows all of them at once.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong, told in four short parts.

    argument: what it is called, in plain words
    given: what was received, with its unit
    limit: what is allowed, with its unit
    advice: what to do about it

    Each is text, or an amount or sentence of `thermo_kit.units` that the edge writes in the learner's units.
    """

    argument: object
    given: object = ""
    limit: object = ""
    advice: object = ""

    def told(self, write=str):
        """Return all of it as one sentence, each part written by `write`."""
        argument, given, limit, advice = (write(part) for part in (self.argument, self.given, self.limit, self.advice))
        text = " ".join(part for part in (argument, given, limit) if part)
        return f"{text}: {advice}" if advice else text

    def __str__(self):
        return self.told()


class ThermoKitError(Exception):
    """The base of every error this package raises on purpose.

    Parameters
    ----------
    problems : Problem or str. What is wrong, one after the other.
    """

    def __init__(self, *problems):
        self.problems = tuple(p if isinstance(p, Problem) else Problem(p) for p in problems)
        super().__init__("; ".join(str(p) for p in self.problems))

    @classmethod
    def about(cls, argument, given, limit="", advice=""):
        """Make the error of one problem."""
        return cls(Problem(argument, given, limit, advice))


class InputError(ThermoKitError, ValueError):
    """A value that was given cannot be used."""


class OutOfRangeError(InputError):
    """A number lies outside the range for which the model holds."""


class UnitError(InputError):
    """A text is not a number with a unit of the expected kind."""


class UnknownNameError(InputError):
    """A name (of a refrigerant, a coolant, a fault, an exercise) is not in the list."""


class ReadingsError(InputError):
    """Readings contradict each other or physics; nothing is computed from them."""


class NoSolutionError(ThermoKitError):
    """The equations have no answer at this operating point; the message names the limit that was hit."""


class CourseError(ThermoKitError):
    """Something in the course machinery cannot go on."""


class RosterError(CourseError):
    """The list of learners cannot be used as it is."""


class SheetError(CourseError):
    """An answer sheet is damaged, altered, or belongs elsewhere."""


class NotebookError(CourseError):
    """An exercise or answers notebook breaks the agreed form."""


class BlueprintError(CourseError):
    """The plan of an examination does not add up, or asks for what the bank does not hold."""


class FileAccessError(CourseError):
    """A file or folder cannot be read or written."""


class FileRefusedError(FileAccessError):
    """The system refuses a file that was rightly named: no permission, a full disk, a file in use."""
