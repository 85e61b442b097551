"""Size of files, what no file may name, declared packages, style, and the one command that tests everything."""

import subprocess
import sys

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.house import tree
from tests.house.source import ROOT, Source, package_sources


def every_file(rule):
    found = []
    for path in tree.tracked_files():
        found += rule(str(path.relative_to(ROOT)), path.read_text(encoding="utf-8"))
    return found


@pytest.mark.parametrize("rule", ["too_long", "names_a_machine"])
def test_the_tree_keeps_the_rule(rule):
    found = every_file(getattr(tree, rule))
    assert not found, "\n".join(found)


def test_long_files_and_machines_would_be_seen():
    assert tree.too_long("a.py", "x\n" * 401) and tree.too_long("a.md", "x\n" * 401)
    assert not tree.too_long("a.py", '"""Words.\n\nMore."""\n# why\n\n' + "x\n" * 400)
    for told in (
        "open /ro" + "ot/file",
        "in /home" + "/ada",
        "C:" + "\\Users",
        "https://files.python" + "hosted.org/x",
    ):
        assert tree.names_a_machine("a.md", told)
    assert not tree.names_a_machine("a.md", "pip install thermo-kit, see lessons/00_start_here.ipynb, 3 l/h, and/or")


def test_the_package_stays_small():
    assert tree.too_large([source.text for source in package_sources()]) == []


def test_a_large_package_would_be_seen():
    assert tree.too_large(["# why\n" * 30_000, "x\n" * 17_000]) == ["47,000 lines, more than 46,400"]
    assert tree.too_large(["x\n" * 31_501]) == ["31,501 lines, more than 28,000"]


def test_what_is_imported_is_declared():
    assert tree.undeclared(package_sources(), tree.declared("cluster")) == []
    tests = [Source(f"tests.{path.stem}", path.read_text(encoding="utf-8")) for path in (ROOT / "tests").rglob("*.py")]
    assert len(tests) > 100 and tree.undeclared(tests, tree.declared("test")) == []


def test_an_undeclared_package_would_be_seen():
    sample = [Source("thermo_kit.a", "import os, numpy\nfrom somewhere.else_ import x")]
    assert tree.undeclared(sample, {"numpy"}) == ["thermo_kit.a imports somewhere"]
    assert tree.undeclared(sample, {"numpy", "somewhere"}) == []


def run_ruff(*arguments, text=None):
    return subprocess.run(
        [sys.executable, "-m", "ruff", *arguments], cwd=ROOT, input=text, capture_output=True, text=True
    )


def test_style():
    run = run_ruff("check", ".")
    assert run.returncode == 0, run.stdout
    run = run_ruff("format", "--check", "thermo_kit", "tests")
    assert run.returncode == 0, run.stdout


def test_bad_style_would_be_seen():
    told = run_ruff("check", "--stdin-filename", "thermo_kit/a.py", "-", text="class A:\n    x = undefined\n").stdout
    assert all(rule in told for rule in ("F821", "D100", "D101"))
    assert run_ruff("format", "--check", "--stdin-filename", "a.py", "-", text="x=1\n").returncode == 1


def test_the_readme_has_one_test_command_and_the_pipeline_runs_that_one():
    commands = tree.commands_that_test((ROOT / "README.md").read_text(encoding="utf-8"))
    assert len(commands) == 1, f"README names {len(commands)} test commands: {commands}"
    pipeline = subprocess.run(["bash", ".ci/run", "--show"], cwd=ROOT, capture_output=True, text=True, check=True)
    shown = pipeline.stdout.splitlines()
    assert shown[0] == commands[0] and [line.split(" -m ")[1] for line in shown[1:]] == ["pytest tests/benchmarks -n 0"]


def test_the_oldest_version_of_every_declared_package_is_known():
    run = subprocess.run([sys.executable, ".ci/oldest.py"], cwd=ROOT, capture_output=True, text=True, check=True)
    pinned = [Requirement(line) for line in run.stdout.splitlines()]
    assert {canonicalize_name(pin.name) for pin in pinned} == tree.declared("test")
    assert all(str(pin.specifier).startswith("==") for pin in pinned)


def test_two_commands_or_none_would_be_seen():
    assert tree.commands_that_test('python -m pip install -e ".[test]" && python -m pytest') != []
    assert tree.commands_that_test("run the tests with `python -m pytest`") == []
    assert len(tree.commands_that_test("python -m pytest\n\npython3 -m pytest -x")) == 2
