"""Imports point down, libraries stay in their rooms, and the package loads lightly; each rule can fail."""

import subprocess
import sys
from functools import partial
from graphlib import CycleError, TopologicalSorter

import pytest
from packaging.utils import canonicalize_name

from tests.house import tree
from tests.house.source import Source, imports_of, package_sources

# A room imports itself and rooms named before it.
ROOMS = (
    "errors", "places", "doors", "units", "substances", "laws", "components", "systems",
    "service", "fleet", "charts", "panels", "course", "practice", "cli",
)  # fmt: skip
# Library: the rooms that may import it.
HOMES = {
    "CoolProp": {"substances"},
    "matplotlib": {"charts"},
    "ipywidgets": {"panels", "course", "practice"},
    "papermill": {"course"},
    "fsrs": {"practice"},
}
# Course modules that draw widgets; the rest of the course works without a notebook.
COURSE_WIDGETS = {f"thermo_kit.course.{name}" for name in ("described", "predict", "quick", "sheet_panel")}
# Charts draw what they are given: numbers and names of things, never something that computes. The course reaches
# numbers only by running an answers notebook; its doctor only tries whether the property engine loads here.
MAY_IMPORT = {
    "charts": ("errors", "units", "substances.lines", "substances.names", "systems.guard_table", "charts"),
    "course": ("errors", "places", "units", "panels.bare", "panels.view", "course"),
}
EXCEPTIONS = {("thermo_kit.course.doctor", "thermo_kit.substances")}


def upward(source, entry):
    """Whether a room is imported that stands later in the list."""
    library, target, *_ = *entry.module.split("."), entry.name, ""
    if library != "thermo_kit" or entry.for_typing or not {source.room, target} <= set(ROOMS):
        return False
    return ROOMS.index(target) > ROOMS.index(source.room)


def strayed(source, entry):
    """Whether a library is imported outside its rooms."""
    library = entry.module.split(".")[0]
    widget_outside = library == "ipywidgets" and source.room == "course" and source.name not in COURSE_WIDGETS
    return source.room not in HOMES.get(library, {source.room}) or widget_outside


def strange(source, entry):
    """Whether charts or course import more than the little they may."""
    if source.room not in MAY_IMPORT or entry.for_typing or (source.name, entry.module) in EXCEPTIONS:
        return False
    allowed = (f"thermo_kit.{name}." for name in MAY_IMPORT[source.room])
    return entry.module.startswith("thermo_kit") and not f"{entry.module}.".startswith(tuple(allowed))


def imports_that(rule, sources):
    """All imports that break a rule for one."""
    pairs = ((source, entry) for source in sources for entry in imports_of(source))
    return [f"{source.name} imports {entry.module}" for source, entry in pairs if rule(source, entry)]


def unknown_rooms(sources):
    """Rooms that the list does not know."""
    return [source.name for source in sources if source.room not in ("", *ROOMS)]


def import_cycle(sources):
    """Modules that import each other at load time, round any number of corners."""
    # A package's own door names its modules; they look back only at their siblings.
    doors = tuple(source.name for source in sources if source.is_package)
    names = {source.name for source in sources}
    graph = {
        source.name: {
            target
            for entry in imports_of(source)
            if not entry.for_typing and not entry.inside
            for target in (f"{entry.module}.{entry.name}", entry.module)
            if target in names and not (target in doors and f"{source.name}.".startswith(f"{target}."))
        }
        for source in sources
    }
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        return error.args[1]
    return []


def heavy_modules(code):
    """Declared packages that a fresh interpreter holds after running the code."""
    program = f"{code}\nimport sys\nprint(*sys.modules)"
    run = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    return {canonicalize_name(name.split(".")[0]) for name in run.stdout.split()} & tree.declared()


RULES = {"rooms": unknown_rooms, "cycles": import_cycle}
RULES |= {rule.__name__: partial(imports_that, rule) for rule in (upward, strayed, strange)}


@pytest.mark.parametrize("rule", RULES)
def test_the_package_keeps_the_rule(rule):
    found = RULES[rule](package_sources())
    assert not found, "\n".join(found)


def module(name, text):
    return Source(f"thermo_kit.{name}", text)


# rule, modules that break it, modules that keep it
TWINS = [
    ("upward", [module("units.x", "from thermo_kit.substances import Refrigerant")], []),
    ("upward", [module("systems.x", "def f():\n    import thermo_kit.panels.view")], []),
    ("upward", [module("systems.x", "from thermo_kit import charts")], []),
    ("upward", [module("substances.x", "from ..systems.cycle import solve_cycle")], []),
    ("rooms", [module("attic.x", "")], []),
    ("upward", [], [module("panels.x", "from thermo_kit.systems import solve_cycle")]),
    ("strayed", [module("systems.x", "import CoolProp.CoolProp as cp")], []),
    ("strayed", [module("panels.x", "def f():\n    from matplotlib.figure import Figure")], []),
    ("strayed", [module("charts.x", "import ipywidgets")], []),
    ("strayed", [module("course.marking", "import ipywidgets")], []),
    ("strayed", [module("panels.x", "import importlib\nimportlib.import_module('papermill')")], []),
    ("strayed", [], [module("course.handout", "import papermill"), module("charts.x", "import matplotlib")]),
    ("strange", [module("charts.x", "from thermo_kit.systems import solve_cycle")], []),
    ("strange", [module("charts.x", "from thermo_kit.substances import Refrigerant")], []),
    ("strange", [], [module("charts.x", "if TYPE_CHECKING:\n    from thermo_kit.systems import CycleResult")]),
    ("strange", [module("course.marking", "def f():\n    from thermo_kit.systems import solve_cycle")], []),
    ("strange", [module("course.quick", "from thermo_kit.panels.cycle import CyclePanel")], []),
    ("strange", [module("course.marking", "from thermo_kit.laws import roots")], []),
    ("strange", [], [module("course.quick", "import thermo_kit.units\nfrom thermo_kit.panels.view import the_view")]),
    (
        "cycles",
        [module("a", "from thermo_kit import b"), module("b", "import thermo_kit.a")],
        [module("a", "def f():\n    from thermo_kit import b"), module("b", "import thermo_kit.a")],
    ),
]  # fmt: skip


@pytest.mark.parametrize("rule, bad, good", TWINS)
def test_the_rule_can_fail_and_can_pass(rule, bad, good):
    if bad:
        assert RULES[rule](bad)
    assert not RULES[rule](good)


@pytest.mark.parametrize(
    ("code", "loaded"),
    [
        ("import thermo_kit", set()),
        ("import thermo_kit.errors, thermo_kit.units, thermo_kit.units.words, thermo_kit.cli", set()),
        ("import numpy", {"numpy"}),
    ],
)
def test_the_package_and_the_rooms_for_text_load_nothing_heavy_and_a_heavy_import_is_seen(code, loaded):
    assert heavy_modules(code) == loaded
