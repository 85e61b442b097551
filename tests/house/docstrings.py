"""What a docstring must say, checked on the source.

Everything without a leading underscore has a docstring, and a Parameters section that matches its signature where
it has one. What a room offers through its door (its `__init__`), and all of a room that is one file, is public: in
the rooms of physics the Parameters section is required, every number has its unit, what comes back is said, and the
source is named. A method of a class that names its source may say all that in one line, "…; T [K] → [Pa]", where the
class says once what its methods share. Elsewhere one line that says why is enough.
"""

import ast
import inspect
import re

from thermo_kit.units.words import WORDS

PHYSICS_ROOMS = ("substances", "laws", "components", "systems", "service", "fleet")
# Words that stand in for a published source where there is none to name.
STATED_REASONS = (
    "definition",
    "balance",
    "words only",
    "data",
    "arithmetic",
    "geometry",
    "invented",
    "common practice",
)
# A name that ends like this is a plain ratio.
_RATIOS = ("_closure", "_share", "_ratio", "_fraction", "_efficiency", "_quality")
# A section of one paragraph may stand behind its name and a colon.
_SECTION = re.compile(r"^(\w[\w ]*)\n-{3,}\s*$|^(Returns|Yields|Notes|References): ", re.MULTILINE)


def sections(text):
    """Split a numpy-style docstring into {section: body}; the part before the first is ""."""
    text = inspect.cleandoc(text or "")
    marks = list(_SECTION.finditer(text))
    ends = [*(mark.start() for mark in marks[1:]), len(text)] if marks else []
    parts = {"": text[: marks[0].start()] if marks else text}
    for mark, end in zip(marks, ends, strict=True):
        parts[mark[1] or mark[2]] = text[mark.end() : end].strip("\n")
    return parts


def documented(body):
    """Return {parameter: what stands after its colon} of a Parameters section."""
    found = {}
    for line in body.splitlines():
        match = re.match(r"^(\*{0,2}\w+(?:, \*{0,2}\w+)*) : (.+)$", line)
        if match:
            for name in match[1].split(", "):
                found[name.lstrip("*")] = match[2]
    return found


def parameters(node):
    """Return {parameter: annotation as text} of a function, without self and cls."""
    spec = node.args
    every = [*spec.posonlyargs, *spec.args, *([spec.vararg] if spec.vararg else []), *spec.kwonlyargs]
    every += [spec.kwarg] if spec.kwarg else []
    static = any(_name_of(item) == "staticmethod" for item in node.decorator_list)
    names = {arg.arg: ast.unparse(arg.annotation) if arg.annotation else "" for arg in every if arg.arg[0] != "_"}
    first = next(iter(names), "")
    if first in ("self", "cls") and not static:
        names.pop(first)
    return names


def _name_of(node):
    if isinstance(node, ast.Call):
        node = node.func
    return getattr(node, "attr", getattr(node, "id", ""))


def _own_nodes(node):
    """Walk a function's body without stepping into functions defined inside it."""
    for child in ast.iter_child_nodes(node):
        if not isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda | ast.ClassDef):
            yield child
            yield from _own_nodes(child)


def _gives_something(node):
    return any(isinstance(child, ast.Return) and child.value is not None for child in _own_nodes(node))


def _unit_missing(text):
    return "float" in text and "[" not in text


def complaints_about_function(node, where, room, public):
    """Return what is missing in a function's or method's docstring."""
    text = ast.get_docstring(node)
    if not text:
        return [f"{where}: no docstring"]
    parts = sections(text)
    wanted, found = parameters(node), documented(parts.get("Parameters", ""))
    complaints = []
    if list(wanted) != list(found) and (public or found):
        complaints.append(f"{where}: parameters are {list(wanted)}, documented are {list(found)}")
    if not public:
        return complaints
    for name, described in found.items():
        body = parts["Parameters"]
        block = body[body.find(f"{name} : ") :].split("\n")
        told = described + " ".join(line for line in block[1:] if line.startswith(" "))
        if _unit_missing(described) and "[" not in told:
            complaints.append(f"{where}: {name} is a number without a unit")
    is_attribute = any(_name_of(item) in ("property", "cached_property", "setter") for item in node.decorator_list)
    if _gives_something(node) and not is_attribute:
        if "Returns" not in parts and "Yields" not in parts:
            complaints.append(f"{where}: no Returns section")
        elif _unit_missing(parts.get("Returns", "")):
            complaints.append(f"{where}: returns a number without a unit")
    if room in PHYSICS_ROOMS and "References" not in parts:
        reason = parts.get("Notes", "") + parts[""]
        if not any(word in reason.lower() for word in STATED_REASONS):
            complaints.append(f"{where}: no References, nor a stated reason such as 'definition' in Notes")
    return complaints


def _is_dataclass(node):
    return any(_name_of(item) == "dataclass" for item in node.decorator_list)


def complaints_about_class(node, where, room, public):
    """Return what is missing in a class and its methods."""
    text = ast.get_docstring(node)
    if not text:
        return [f"{where}: no docstring"]
    complaints = []
    methods = [child for child in node.body if isinstance(child, ast.FunctionDef)]
    makers = [child for child in methods if child.name in ("__init__", "__new__") and parameters(child)]
    if makers:
        wanted, found = list(parameters(makers[0])), list(documented(sections(text).get("Parameters", "")))
        if wanted != found and (public or found):
            complaints.append(f"{where}: parameters are {wanted}, documented are {found}")
    if public and _is_dataclass(node) and room in PHYSICS_ROOMS:
        complaints += _numbers_without_unit(node, text, where)
    for child in methods:
        if not child.name.startswith("_") and (ast.get_docstring(child) or not node.bases):
            inherited = "References" in sections(text)
            # A method of a class that names its source, or that only tidies its own fields, needs none of its own.
            own_room = "" if inherited or _is_dataclass(node) or "Spec" in map(_name_of, node.bases) else room
            own_public = public and not (inherited and _one_line_says_all(child))
            complaints += complaints_about_function(child, f"{where}.{child.name}", own_room, own_public)
    return complaints


def _one_line_says_all(node):
    """Tell whether the first line names each parameter with its unit, and one of what comes back."""
    line = (ast.get_docstring(node) or "").partition("\n")[0]
    told = all(re.search(rf"\b{name} \[", line) for name in parameters(node))
    return told and line.count("[") > len(parameters(node))


def _numbers_without_unit(node, text, where):
    for field in node.body:
        kind = ast.unparse(field.annotation) if isinstance(field, ast.AnnAssign) else ""
        if "float" not in kind or "dict" in kind:
            continue
        name = field.target.id
        if name in WORDS or name.endswith(_RATIOS):
            continue
        if not re.search(rf"\b{re.escape(name)}\b[^;\n]*(?:\n[^;\n]*)?\[", text):
            yield f"{where}: field {name} is a number without a unit in the docstring"


def doors(sources):
    """Return {module: names it offers through its room's door}; only rooms of physics have one to be documented."""
    offered = {}
    for source in sources:
        if source.room not in PHYSICS_ROOMS:
            offered[source.name] = set()
        elif source.is_package:
            for module, name in _door_names(source):
                offered.setdefault(module, set()).add(name)
    return offered


def _door_names(source):
    for node in source.tree.body:
        if isinstance(node, ast.ImportFrom) and node.module:
            yield from ((node.module, alias.name) for alias in node.names)
        elif isinstance(node, ast.Assign) and ast.unparse(node.value).startswith("doors.door"):
            for home in node.value.keywords:
                yield from ((f"{source.name}.{home.arg}", name) for name in home.value.value.split())


def complaints(source, offered=None):
    """Return what is missing in one module; `offered` are its public names, None means all."""
    tree = source.tree
    found = [] if ast.get_docstring(tree) else [f"{source.name}: no module docstring"]
    for node in tree.body:
        name = getattr(node, "name", "_")
        if name.startswith("_"):
            continue
        where, public = f"{source.name}.{name}", offered is None or name in offered
        if isinstance(node, ast.FunctionDef):
            found += complaints_about_function(node, where, source.room, public)
        elif isinstance(node, ast.ClassDef):
            found += complaints_about_class(node, where, source.room, public)
    return found
