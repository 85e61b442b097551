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
_STATED_REASON = re.compile(
    "definition|balance|words only|data|arithmetic|geometry|invented|common practice", re.IGNORECASE
)
# A name that ends like this is a plain ratio.
_RATIOS = ("_closure", "_share", "_ratio", "_fraction", "_efficiency", "_quality")
# A section of one paragraph may stand behind its name and a colon.
_SECTION = re.compile(r"^(\w[\w ]*)\n-{3,}\s*$|^(Returns|Yields|Notes|References): ", re.MULTILINE)
_PARAMETERS = re.compile(r"^(\*{0,2}\w+(?:, \*{0,2}\w+)*) : ", re.MULTILINE)


def sections(text):
    """Split a numpy-style docstring into {section: body}; the part before the first is ""."""
    before, *rest = _SECTION.split(inspect.cleandoc(text or ""))
    bodies = zip(rest[::3], rest[1::3], rest[2::3], strict=True)
    return {"": before} | {under or behind: body.strip("\n") for under, behind, body in bodies}


def documented(text):
    """Return {parameter: what is said of it} of a docstring's Parameters section."""
    _, *rest = _PARAMETERS.split(sections(text).get("Parameters", ""))
    return {
        name.lstrip("*"): said for names, said in zip(rest[::2], rest[1::2], strict=True) for name in names.split(", ")
    }


def parameters(node):
    """Return the names of a function's parameters, without self and cls."""
    names = [one.arg for one in ast.iter_child_nodes(node.args) if isinstance(one, ast.arg) and one.arg[0] != "_"]
    return names[1:] if names[:1] in (["self"], ["cls"]) else names


def _name_of(node):
    if isinstance(node, ast.Call):
        node = node.func
    return getattr(node, "attr", getattr(node, "id", ""))


def _decorated(node, *names):
    return any(_name_of(item) in names for item in node.decorator_list)


def _gives_something(node):
    return any(isinstance(child, ast.Return) and child.value is not None for child in ast.walk(node))


def _unit_missing(text):
    return "float" in text and "[" not in text


def _other_parameters(node, text, where, public):
    """Complain if a function's parameters are not those of the docstring; one that is not public may tell of none."""
    wanted, found = parameters(node), list(documented(text))
    if wanted != found and (public or found):
        yield f"{where}: parameters are {wanted}, documented are {found}"


def complaints_about_function(node, where, room, public):
    """Return what is missing in a function's or method's docstring."""
    text = ast.get_docstring(node)
    if not text:
        return [f"{where}: no docstring"]
    complaints, parts = [*_other_parameters(node, text, where, public)], sections(text)
    if not public:
        return complaints
    for name, said in documented(text).items():
        complaints += [f"{where}: {name} is a number without a unit"] if _unit_missing(said) else []
    if _gives_something(node) and not _decorated(node, "property", "cached_property", "setter"):
        if "Returns" not in parts and "Yields" not in parts:
            complaints.append(f"{where}: no Returns section")
        elif _unit_missing(parts.get("Returns", "")):
            complaints.append(f"{where}: returns a number without a unit")
    reason = _STATED_REASON.search(parts.get("Notes", "") + parts[""])
    if room in PHYSICS_ROOMS and "References" not in parts and not reason:
        complaints.append(f"{where}: no References, nor a stated reason such as 'definition' in Notes")
    return complaints


def complaints_about_class(node, where, room, public):
    """Return what is missing in a class and its methods."""
    text, complaints = ast.get_docstring(node) or "", []
    if public and room in PHYSICS_ROOMS and _decorated(node, "dataclass"):
        complaints += _numbers_without_unit(node, text, where)
    for child in (child for child in node.body if isinstance(child, ast.FunctionDef)):
        if child.name in ("__init__", "__new__") and parameters(child):
            complaints += _other_parameters(child, text, where, public)
        elif not child.name.startswith("_") and (ast.get_docstring(child) or not node.bases):
            inherited = "References" in sections(text)
            # A method of a class that names its source, or that only tidies its own fields, needs none of its own.
            needs_none = inherited or _decorated(node, "dataclass") or "Spec" in map(_name_of, node.bases)
            own_public = public and not (inherited and _one_line_says_all(child))
            complaints += complaints_about_function(
                child, f"{where}.{child.name}", "" if needs_none else room, own_public
            )
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
    look, found = {ast.FunctionDef: complaints_about_function, ast.ClassDef: complaints_about_class}, []
    for node in source.tree.body:
        if type(node) in look and not node.name.startswith("_"):
            public = offered is None or node.name in offered
            found += look[type(node)](node, f"{source.name}.{node.name}", source.room, public)
    return found
