"""Reads the package's source without running it."""

import ast
from dataclasses import dataclass
from importlib.util import resolve_name
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
            package = source.name if source.is_package else source.name.rpartition(".")[0]
            base = resolve_name("." * child.level + (child.module or ""), package)
            found.extend(Import(base, alias.name, for_typing, inside) for alias in child.names)
        elif isinstance(child, ast.Call) and ast.unparse(child.func).rpartition(".")[2] == "import_module":
            literals = (part.value for part in child.args[:1] if isinstance(part, ast.Constant))
            found.extend(Import(name.lstrip("."), "", for_typing, inside) for name in literals)
        typed = for_typing or (isinstance(child, ast.If) and "TYPE_CHECKING" in ast.dump(child.test))
        deeper = inside or isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
        _walk(source, child, found, for_typing=typed, inside=deeper)
