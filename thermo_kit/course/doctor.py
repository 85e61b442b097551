"""What is missing on this machine for the workbook to run, in plain words."""

import json
import os
import sys
import tempfile
import tomllib
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path

from thermo_kit.errors import ThermoKitError

PACKAGE = "thermo-kit"
# The browser part that belongs to ipywidgets 8; the one of ipywidgets 7 was version 3.
OLDEST_WIDGET_EXTENSION = 5


@dataclass(frozen=True)
class Finding:
    """One thing that was looked at. `advice` says what to do when it is not fine."""

    what: str
    is_fine: bool
    told: str
    advice: str = ""


def examine(workbook_folder=None):
    """Look at everything the workbook needs."""
    return (
        check_python(),
        check_versions(),
        check_kernel(),
        check_widgets(),
        check_property_engine(),
        *check_folders(workbook_folder),
    )


def check_python(version=sys.version_info):
    """Is this Python new enough?"""
    told = f"Python {version[0]}.{version[1]}"
    return Finding("Python", tuple(version[:2]) >= (3, 11), told, "install Python 3.11 or newer")


def check_versions(requirements=None, installed=metadata.version):
    """Is every package there, and new enough?"""
    from packaging.requirements import Requirement

    what = "packages"
    again = "run the install command of the README again"
    if requirements is None:
        try:
            requirements = _requirements()
        except metadata.PackageNotFoundError:
            return Finding(what, False, f"{PACKAGE} itself is not installed", again)
    wrong, seen = [], 0
    for text in requirements:
        need = Requirement(text)
        if need.marker and not need.marker.evaluate({"extra": ""}):
            continue
        seen += 1
        try:
            version = installed(need.name)
        except metadata.PackageNotFoundError:
            wrong.append(f"{need.name} is missing")
            continue
        if not need.specifier.contains(version, prereleases=True):
            wrong.append(f"{need.name} is {version}, needed is {need.specifier}")
    if wrong:
        return Finding(what, False, "; ".join(wrong), again)
    return Finding(what, True, f"all {seen} are there and new enough")


def _requirements():
    # A workbook brought up to date may ask for more than was asked when it was installed.
    project = Path(__file__).resolve().parents[2] / "pyproject.toml"
    if project.is_file():
        return tomllib.loads(project.read_text(encoding="utf-8"))["project"]["dependencies"]
    return metadata.requires(PACKAGE) or []


def check_kernel():
    """Is there a kernel `python3`, and does it use this Python?"""
    what, advice = "kernel python3", f"run: {sys.executable} -m ipykernel install --sys-prefix --name python3"
    try:
        from jupyter_client.kernelspec import KernelSpecManager

        starts = KernelSpecManager().get_kernel_spec("python3").argv[0]
    except Exception:
        return Finding(what, False, "JupyterLab finds no kernel of that name", advice)
    same = starts in ("python", "python3") or Path(starts).absolute() == Path(sys.executable).absolute()
    if not same:
        return Finding(what, False, f"it starts another Python, {starts}", advice)
    return Finding(what, True, "it is there and starts this Python")


def check_widgets():
    """Is the browser part of the panels installed where JupyterLab looks?"""
    what, advice = "panels in JupyterLab", "run: python -m pip install --force-reinstall jupyterlab_widgets"
    try:
        from jupyter_core.paths import jupyter_path
    except ImportError:
        return Finding(what, False, "JupyterLab is not installed", "run the install command of the README again")
    for folder in jupyter_path("labextensions"):
        file = Path(folder) / "@jupyter-widgets" / "jupyterlab-manager" / "package.json"
        if file.is_file():
            try:
                version = json.loads(file.read_text(encoding="utf-8"))["version"]
                generation = int(version.split(".")[0])
            except (ValueError, KeyError, TypeError, AttributeError, OSError):
                return Finding(what, False, f"the widget extension in {file.parent} is damaged", advice)
            if generation < OLDEST_WIDGET_EXTENSION:
                told = f"the widget extension is version {version}, which does not fit ipywidgets 8: panels stay blank"
                return Finding(what, False, told, advice)
            return Finding(what, True, f"the widget extension is there, version {version}")
    return Finding(what, False, "the widget extension is missing, so that panels stay blank", advice)


def check_property_engine():
    """Do the refrigerant properties load, and give a sensible number?"""
    what = "refrigerant properties"
    try:
        from thermo_kit.substances import Refrigerant

        Refrigerant("R-134a")
    except Exception as error:
        told = f"CoolProp does not load ({type(error).__name__}: {error})"
        return Finding(what, False, told, "run: python -m pip install --force-reinstall CoolProp")
    return Finding(what, True, "CoolProp loads")


def check_folders(workbook_folder=None):
    """Is the workbook there, and may the learner's record and sheets be written?"""
    from thermo_kit.course.sheet import sheet_path
    from thermo_kit.course.workbook import find_workbook
    from thermo_kit.places import own_folder

    try:
        book = find_workbook(workbook_folder)
    except ThermoKitError as error:
        return (Finding("workbook", False, f"{error}"),)
    findings = [Finding("workbook", True, f"it is in {book.root}")]
    sheets = sheet_path("00_any", handed_out=False, folder=book.exercises).parent
    findings += [_check_write("your record", own_folder()), _check_write("your answer sheets", sheets)]
    return tuple(findings)


def _check_write(name, folder):
    there = folder
    try:
        while not there.exists():
            there = there.parent
        if not there.is_dir():
            raise NotADirectoryError(20, "a file stands where a folder is needed")
        if not os.access(there, os.W_OK):
            raise PermissionError(13, "no permission")
        with tempfile.TemporaryFile(dir=there):
            pass
    except OSError as error:
        advice = "copy the workbook to a folder of your own, or set THERMO_KIT_RECORDS to one"
        return Finding(name, False, f"{there} cannot be written ({error.strerror})", advice)
    return Finding(name, True, f"{folder} can be written")


def finding_lines(findings):
    """The findings as plain lines."""
    lines = []
    for finding in findings:
        lines.append(f"{'fine ' if finding.is_fine else 'WRONG'}  {finding.what}: {finding.told}")
        if not finding.is_fine and finding.advice:
            lines.append(f"       what to do: {finding.advice}")
    wrong = sum(not finding.is_fine for finding in findings)
    lines.append("Everything is in place." if not wrong else f"{wrong} of {len(findings)} things need care.")
    return lines
