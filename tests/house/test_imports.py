"""Imports point down, libraries stay in their rooms, and the package loads lightly; each rule can fail."""

import subprocess
import sys

import pytest

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
COURSE_WIDGETS = {
    "thermo_kit.course.described",
    "thermo_kit.course.predict",
    "thermo_kit.course.quick",
    "thermo_kit.course.sheet_panel",
}
# Charts draw what they are given: numbers and names of things, never something that computes. The course reaches
# numbers only by running an answers notebook; its doctor only tries whether the property engine loads here.
MAY_IMPORT = {
    "charts": (
        "thermo_kit.errors",
        "thermo_kit.units",
        "thermo_kit.substances.lines",
        "thermo_kit.substances.names",
        "thermo_kit.systems.guard_table",
        "thermo_kit.charts",
    ),
    "course": (
        "thermo_kit.errors",
        "thermo_kit.places",
        "thermo_kit.units",
        "thermo_kit.panels.bare",
        "thermo_kit.panels.view",
        "thermo_kit.course",
    ),
}
EXCEPTIONS = {("thermo_kit.course.doctor", "thermo_kit.substances")}
HEAVY = (
    "numpy",
    "scipy",
    "CoolProp",
    "matplotlib",
    "ipywidgets",
    "pint",
    "papermill",
    "pydantic",
    "nbformat",
    "jinja2",
)


def _target_room(module):
    parts = module.split(".")
    if parts[0] != "thermo_kit":
        return None
    return parts[1] if len(parts) > 1 else ""


def upward_imports(sources):
    """Imports of a room that stands later in the list, and rooms that the list does not know."""
    found = []
    for source in sources:
        if source.room and source.room not in ROOMS:
            found.append(f"{source.name}: room {source.room} is not in the list")
            continue
        for entry in imports_of(source):
            target = _target_room(entry.module)
            if target == "" and entry.name in ROOMS:
                target = entry.name
            if not target or not source.room or entry.for_typing:
                continue
            if ROOMS.index(target) > ROOMS.index(source.room):
                found.append(f"{source.name} imports {entry.module}")
    return found


def strayed_libraries(sources):
    """Libraries imported outside their rooms."""
    found = []
    for source in sources:
        for entry in imports_of(source):
            library = entry.module.split(".")[0]
            allowed = HOMES.get(library)
            if allowed is None:
                continue
            widget_outside = library == "ipywidgets" and source.room == "course" and source.name not in COURSE_WIDGETS
            if source.room not in allowed or widget_outside:
                found.append(f"{source.name} imports {library}")
    return found


def strangers(sources):
    """What charts and course import beyond the little they may."""
    return [
        f"{source.name} imports {entry.module}"
        for source in sources
        if source.room in MAY_IMPORT
        for entry in imports_of(source)
        if entry.module.startswith("thermo_kit") and not entry.for_typing
        if (source.name, entry.module) not in EXCEPTIONS
        if not any(entry.module == name or entry.module.startswith(name + ".") for name in MAY_IMPORT[source.room])
    ]


def import_cycles(sources):
    """Modules that import each other at load time, round any number of corners."""
    names = {source.name for source in sources}
    graph = {
        source.name: {
            target
            for entry in imports_of(source)
            if not entry.for_typing and not entry.inside
            for target in (f"{entry.module}.{entry.name}", entry.module)
            if target in names and target != source.name
        }
        for source in sources
    }
    # A package's own door names its modules; they look back only at their siblings.
    doors = {source.name for source in sources if source.is_package}
    for name, targets in graph.items():
        graph[name] = {target for target in targets if not (target in doors and name.startswith(target + "."))}
    found, done = [], set()

    def visit(name, trail):
        if name in trail:
            found.append(" → ".join([*trail[trail.index(name) :], name]))
        elif name not in done:
            for target in sorted(graph[name]):
                visit(target, [*trail, name])
            done.add(name)

    for name in sorted(graph):
        visit(name, [])
    return found


def heavy_modules(code):
    """Heavy modules that a fresh interpreter holds after running the code."""
    program = f"import sys\n{code}\nprint(*[name for name in {HEAVY!r} if name in sys.modules])"
    run = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    return run.stdout.split()


RULES = {"upward": upward_imports, "libraries": strayed_libraries, "strangers": strangers, "cycles": import_cycles}


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
    ("upward", [module("attic.x", "")], []),
    ("upward", [], [module("panels.x", "from thermo_kit.systems import solve_cycle")]),
    ("libraries", [module("systems.x", "import CoolProp.CoolProp as cp")], []),
    ("libraries", [module("panels.x", "def f():\n    from matplotlib.figure import Figure")], []),
    ("libraries", [module("charts.x", "import ipywidgets")], []),
    ("libraries", [module("course.marking", "import ipywidgets")], []),
    ("libraries", [module("panels.x", "import importlib\nimportlib.import_module('papermill')")], []),
    ("libraries", [], [module("course.handout", "import papermill"), module("charts.x", "import matplotlib")]),
    ("strangers", [module("charts.x", "from thermo_kit.systems import solve_cycle")], []),
    ("strangers", [module("charts.x", "from thermo_kit.substances import Refrigerant")], []),
    ("strangers", [], [module("charts.x", "if TYPE_CHECKING:\n    from thermo_kit.systems import CycleResult")]),
    ("strangers", [module("course.marking", "def f():\n    from thermo_kit.systems import solve_cycle")], []),
    ("strangers", [module("course.quick", "from thermo_kit.panels.cycle import CyclePanel")], []),
    ("strangers", [module("course.marking", "from thermo_kit.laws import roots")], []),
    ("strangers", [], [module("course.quick", "import thermo_kit.units\nfrom thermo_kit.panels.view import the_view")]),
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


def test_importing_the_package_loads_nothing_heavy():
    assert heavy_modules("import thermo_kit") == []


def test_the_rooms_for_text_load_nothing_heavy():
    assert heavy_modules("import thermo_kit.errors, thermo_kit.units, thermo_kit.units.words, thermo_kit.cli") == []


def test_a_heavy_import_would_be_seen():
    assert heavy_modules("import numpy") == ["numpy"]
