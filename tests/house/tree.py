"""Rules over the files of the tree: their size, what they must not name, what they need installed."""

import ast
import re
import subprocess
import sys
import tomllib

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.house.source import ROOT, imports_of

LONGEST = 400
LARGEST = (46_400, 28_000)
"""Lines of the whole package, and its lines of code."""
TEXT = {".py", ".md", ".toml", ".cfg", ".css", ".html", ".ipynb", ".csv", ".txt", ".json", ""}
# Module name where it differs from the name under which it is installed.
INSTALLED_AS = {"epanet": "owa-epanet", "IPython": "ipython", "PIL": "pillow", "yaml": "pyyaml"}
_LOCAL_PATH = re.compile(
    r"(?<![\w.:/])/(?!usr/bin/env\b)(?:home|root|tmp|usr|opt|var|work|Users)/\w+|\b[A-Z]:\\{1,2}(?:Users|Windows|Temp)|\bfile://"
)
# Hosts from which packages come: an install command names a package, never a host.
_HOSTS = [".".join(parts) for parts in (("pypi", "org"), ("pythonhosted", "org"), ("npmjs", "org"), ("debian", "org"))]


def tracked_files():
    """Return the files that belong to the tree: what git knows, or everything that is not hidden or built."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"], cwd=ROOT, capture_output=True, text=True
    )
    if listed.returncode == 0:
        paths = [ROOT / line for line in listed.stdout.splitlines()]
    else:
        paths = [path for path in ROOT.rglob("*") if not any(p.startswith(".") for p in path.relative_to(ROOT).parts)]
    files = [path for path in paths if path.is_file() and path.suffix in TEXT]
    assert len(files) > 50, "the tree was not found"
    return files


def code_lines(text):
    """Count the lines of a module that are no blank, comment or docstring."""
    told = set()
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Expr) and isinstance(getattr(node.value, "value", None), str):
            told.update(range(node.lineno, node.end_lineno + 1))
    lines = enumerate(text.splitlines(), start=1)
    return sum(number not in told and bool(line.strip()) and line.lstrip()[0] != "#" for number, line in lines)


def too_long(name, text):
    """Modules with more code than the limit, and texts with more lines."""
    lines = code_lines(text) if name.endswith(".py") else text.count("\n")
    if name.endswith((".py", ".md", ".css", ".html")) and lines > LONGEST:
        return [f"{name}: {lines} lines, more than {LONGEST}"]
    return []


def too_large(texts):
    """What a package of these modules exceeds: all its lines, or its lines of code."""
    counts = sum(text.count("\n") for text in texts), sum(code_lines(text) for text in texts)
    return [f"{count:,} lines, more than {most:,}" for count, most in zip(counts, LARGEST, strict=True) if count > most]


def names_a_machine(name, text):
    """Paths of one machine and hosts of package registries."""
    found = [f"{name}: path {path}" for path in sorted(set(_LOCAL_PATH.findall(text)))]
    found += [f"{name}: host {host}" for host in _HOSTS if re.search(rf"\b{re.escape(host)}\b", text)]
    return found


def needed_packages(sources):
    """Return {library: one module that imports it} of everything outside the standard library and the tree."""
    needed = {}
    for source in sources:
        for entry in imports_of(source):
            library = entry.module.split(".")[0]
            if library and library not in sys.stdlib_module_names and library not in ("thermo_kit", "tests"):
                needed.setdefault(library, source.name)
    return needed


def declared(*extras):
    """Return the names of packages that pyproject installs, with the given extras."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lines = [*project["dependencies"], *(line for one in extras for line in project["optional-dependencies"][one])]
    return {canonicalize_name(Requirement(line).name) for line in lines}


def undeclared(sources, names):
    """Libraries that are imported but not installed by name."""
    return [
        f"{module} imports {library}"
        for library, module in needed_packages(sources).items()
        if canonicalize_name(INSTALLED_AS.get(library, library)) not in names
    ]


def commands_that_test(text):
    """Return the one-line commands of a text that run the tests."""
    return [
        line.strip() for line in text.splitlines() if re.search(r"\bpython3? -m pytest\b", line) and "`" not in line
    ]
