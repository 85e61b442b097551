"""Reads the package's source without running it."""

import ast
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "thermo_kit"


@dataclass(frozen=True)
class Source:
    """One module: its dotted name, its text, its tree."""

    name: str
    text: str
    is_package: bool = False

    @property
    def tree(self):
        return ast.parse(self.text)

    @property
    def room(self):
        """The second part of the dotted name; empty for the package itself."""
        parts = self.name.split(".")
        return parts[1] if len(parts) > 1 else ""


def package_sources():
    sources = []
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(ROOT).with_suffix("").parts
        is_package = parts[-1] == "__init__"
        name = ".".join(parts[:-1] if is_package else parts)
        sources.append(Source(name, path.read_text(encoding="utf-8"), is_package))
    assert len(sources) > 20, "the package was not found"
    return sources


@dataclass(frozen=True)
class Import:
    """One imported module, whether it is imported only to name a type, and whether it waits inside a function."""

    module: str
    name: str
    for_typing: bool
    inside: bool


def imports_of(source):
    """Return every import of a module, wherever it stands, with relative ones resolved."""
    found = []
    _walk(source, source.tree, found, for_typing=False, inside=False)
    return found


def _walk(source, node, found, *, for_typing, inside):
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.Import):
            found.extend(Import(alias.name, "", for_typing, inside) for alias in child.names)
        elif isinstance(child, ast.ImportFrom):
            base = _base(source, child)
            found.extend(Import(base, alias.name, for_typing, inside) for alias in child.names)
        elif (
            isinstance(child, ast.Call)
            and getattr(child.func, "attr", getattr(child.func, "id", "")) == "import_module"
        ):
            text = _literal(child.args[0]) if child.args else ""
            if text:
                found.append(Import(text, "", for_typing, inside))
        if isinstance(child, ast.If) and "TYPE_CHECKING" in ast.dump(child.test):
            _walk(source, child, found, for_typing=True, inside=inside)
        else:
            deeper = inside or isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
            _walk(source, child, found, for_typing=for_typing, inside=deeper)


def _literal(node):
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value.lstrip(".")
    return ""


def _base(source, node):
    if not node.level:
        return node.module or ""
    parts = source.name.split(".")
    keep = len(parts) - node.level + (1 if source.is_package else 0)
    return ".".join([*parts[:keep], *([node.module] if node.module else [])])
