"""Specifications: kind, range, words and advice of a number stand once, on its field.

From there come the check of every specification made, its documentation, the way it is read from a file, the limits
of a panel's control, and the ranges from which the tests draw.
"""

import typing
from dataclasses import MISSING, dataclass, field, fields, replace

from thermo_kit.errors import InputError, Problem
from thermo_kit.units.checks import Checks
from thermo_kit.units.kinds import kind_of, sign_of
from thermo_kit.units.messages import Amount
from thermo_kit.units.text import parse_quantity


class Asked:
    """What a field asks for; `words` name it in messages.

    Each kind has `check(checks, value)`, which notes what is wrong with a value, and `line()`, its documentation.
    """

    def tidy(self, value):
        """Return the value as it is kept."""
        return value

    def read(self, value, _where):
        """Turn what a file says into the value."""
        return value


@dataclass(frozen=True)
class Quantity(Asked):
    """A number: its kind, its range [SI unit of the kind], its name in words, and what to do where it is refused."""

    kind: str
    low: float
    high: float
    words: str
    advice: str = ""
    exclusive: bool = False

    def check(self, checks, value):
        if type(value) is float and self.low <= value <= self.high and not self.exclusive:
            return
        checks.within(
            self.words, value, self.low, self.high, kind=self.kind, advice=self.advice, exclusive=self.exclusive
        )

    def read(self, value, where):
        return parse_quantity(value, sign_of(self.kind), argument=where) if isinstance(value, str) else value

    def line(self):
        unit = kind_of(self.kind).base or "-"
        return f"[{unit}] {self.words}, {Amount(self.low, self.kind)} to {Amount(self.high, self.kind)}"


@dataclass(frozen=True)
class Count(Asked):
    """A whole number."""

    low: int
    high: int
    words: str
    advice: str = ""

    def check(self, checks, value):
        checks.whole(self.words, value, self.low, self.high, advice=self.advice)

    def line(self):
        return f"{self.words}, {self.low} to {self.high}"


@dataclass(frozen=True)
class Name(Asked):
    """One of a few names; `known` may turn other spellings into the kept one, and raises where it knows none."""

    names: tuple
    words: str
    known: object = None

    def tidy(self, value):
        return self.known(value) if self.known else value

    def check(self, checks, value):
        if not self.known:
            checks.one_of(self.words, value, self.names)

    def line(self):
        return f"{self.words}, one of {', '.join(map(repr, self.names))}"


@dataclass(frozen=True)
class Word(Asked):
    """A name or a text of one to so many characters; none too where `least` is 0."""

    words: str
    longest: int = 60
    least: int = 1

    def check(self, checks, value):
        if not isinstance(value, str) or not self.least <= len(value) <= self.longest:
            limit = f"is not a text of {self.least} to {self.longest} characters"
            checks.add(self.words, repr(value)[:60], limit, "write it in quotation marks")

    def line(self):
        return f"{self.words}, a text of at most {self.longest} characters"


@dataclass(frozen=True)
class Part(Asked):
    """Another specification inside this one."""

    kind: type
    words: str

    def check(self, checks, value):
        if not isinstance(value, self.kind):
            name = self.kind.__name__
            checks.add(self.words, repr(value)[:60], f"is not a {name}", f"describe it with {name}(...)")

    def read(self, value, where):
        return from_table(self.kind, value, where)

    def line(self):
        return f"{self.kind.__name__}: {self.words}"


@dataclass(frozen=True)
class Several(Asked):
    """A list of things of one kind, kept as a tuple."""

    each: Asked
    least: int
    most: int
    advice: str = ""

    @property
    def words(self):
        """Named as each of them is."""
        return self.each.words

    def tidy(self, value):
        return tuple(self.each.tidy(one) for one in value) if isinstance(value, list | tuple) else value

    def check(self, checks, value):
        if not isinstance(value, tuple) or not self.least <= len(value) <= self.most:
            limit = f"is not a list of {self.least} to {self.most}"
            checks.add(self.words, repr(value)[:60], limit, self.advice)
            return
        for number, one in enumerate(value, start=1):
            own = Checks()
            self.each.check(own, one)
            for problem in own.problems:
                checks.problems.append(replace(problem, argument=f"{problem.argument} {number}"))

    def read(self, value, where):
        return tuple(self.each.read(one, f"{where}, {i}") for i, one in enumerate(value, 1))

    def line(self):
        return f"{self.least} to {self.most} of: {self.each.line()}"


@dataclass(frozen=True)
class Flag(Asked):
    """Yes or no."""

    words: str

    def check(self, checks, value):
        if not isinstance(value, bool):
            checks.add(self.words, repr(value)[:60], "is neither yes nor no", "give True or False")

    def line(self):
        return f"{self.words}, True or False"


def quantity(kind, low, high, words, default=MISSING, *, advice="", exclusive=False):
    """Declare a number of a specification; with the default None it may be left out."""
    return asked(Quantity(kind, low, high, words, advice, exclusive), default)


def count(low, high, words, default=MISSING, *, advice=""):
    """Declare a whole number."""
    return asked(Count(low, high, words, advice), default)


def one_of(names, words, default=MISSING, *, known=None):
    """Declare one of a few names."""
    return asked(Name(tuple(names), words, known), default)


def word(words, default=MISSING, *, longest=60):
    """Declare a text; with the default "" it may be empty."""
    return asked(Word(words, longest, 0 if default == "" else 1), default)


def part(kind, words, default=MISSING):
    """Declare a specification inside a specification."""
    return asked(Part(kind, words), default)


def several(each, least, most, default=MISSING, *, advice=""):
    """Declare a list; `each` is a `Quantity`, `Count`, `Name`, `Word`, `Part` or `Several`."""
    return asked(Several(each, least, most, advice), default)


def flag(words, default=MISSING):
    """Declare a yes or no."""
    return asked(Flag(words), default)


def asked(what, default=MISSING):
    """Declare a field that asks for `what`."""
    given = {} if default is MISSING else {"default": default}
    return field(**given, metadata={"asked": what})


@typing.dataclass_transform(
    frozen_default=True, kw_only_default=True, field_specifiers=(quantity, count, one_of, word, part)
)
class Spec:
    """A frozen specification, keyword-only; a subclass is a dataclass by itself and checks its fields when made.

    All that is wrong is told at once, as one `OutOfRangeError`.

    Examples
    --------
    >>> class Pane(Spec):
    ...     "A pane of glass."
    ...     width: float = quantity("length", 0.1, 3.0, "width of the pane")
    >>> Pane(width=40.0)
    Traceback (most recent call last):
    thermo_kit.errors.OutOfRangeError: width of the pane 40,000.0 mm is above 3,000.0 mm: check the number and its unit
    """

    _asked: typing.ClassVar = ()

    def __init_subclass__(cls, **options):
        super().__init_subclass__(**options)
        dataclass(frozen=True, kw_only=True)(cls)
        cls._asked = tuple((one.name, one.metadata["asked"]) for one in fields(cls) if "asked" in one.metadata)
        lines = (f"    {name}: {what.line()}" for name, what in cls._asked)
        cls.__doc__ = "\n".join([(cls.__doc__ or "").rstrip(), "", *lines])

    def __post_init__(self):
        checks = Checks()
        for name, what in self._asked:
            value = getattr(self, name)
            if value is None and self.__dataclass_fields__[name].default is None:
                continue
            tidy = what.tidy(value)
            if tidy is not value:
                object.__setattr__(self, name, tidy)
            what.check(checks, tidy)
        if not checks.problems:
            self.fit(checks)
        checks.raise_if_any()

    def fit(self, checks):
        """Note what does not fit together; a specification with such rules overrides this."""


def asked_of(spec):
    """Return {field: what it asks for} of a specification class; → ranges in SI."""
    return dict(spec._asked)


def from_table(spec, table, where):
    """Make a specification of a class from what a file says, by field: SI numbers, or texts with a unit.

    An unknown, missing or refused field is an `InputError` with the file (`where`), the field and the likely slip.
    """
    if not isinstance(table, dict):
        raise InputError.about(where, repr(table)[:60], "is not a table", "give its fields by name")
    wanted = asked_of(spec)
    unknown = sorted(set(table) - set(wanted))
    needed = {one.name for one in fields(spec) if one.default is MISSING and one.default_factory is MISSING}
    missing = sorted(needed - set(table))
    if unknown or missing:
        problems = [Problem(where, name, "is not known", "it knows " + ", ".join(wanted)) for name in unknown]
        problems += [Problem(where, name, "is missing", wanted[name].line()) for name in missing]
        raise InputError(*problems)
    try:
        return spec(**{name: wanted[name].read(value, f"{where}, {name}") for name, value in table.items()})
    except InputError as error:
        problems = (replace(one, argument=f"{where}: {one.argument}") for one in error.problems)
        raise InputError(*problems) from None
