"""Execute and normalise the notebooks, so that doing it twice changes no byte.

python .ci/refresh_notebooks.py                     all of lessons, exercises, answers
python .ci/refresh_notebooks.py lessons/02_x.ipynb  these only
python .ci/refresh_notebooks.py --check             change nothing; exit 1 if something would change
"""

import argparse
import os
import re
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import nbformat
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError

ROOT = Path(__file__).resolve().parents[1]
FOLDERS = ("lessons", "exercises", "answers")
METADATA = {
    "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}
# A cell that a slip of the hand can neither change nor delete; whoever shows the code may.
KEPT = {"deletable": False, "editable": False}
WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"
PICTURES = ("image/png", "image/jpeg")
KEEP_PICTURE = "keep_picture"
SECONDS_A_CELL = 300
# JupyterLab shows the first line of a collapsed cell.
TOLD_TOO_EARLY = re.compile(r"\b(reveal|quick_question|exit_check|quick)\(.*\S")


class NotRefreshed(Exception):
    """A notebook that fails, or whose results cannot be stored."""


def main(arguments=None):
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("notebooks", nargs="*", type=Path)
    parser.add_argument("--check", action="store_true", help="change nothing; exit 1 if something would change")
    parser.add_argument("--jobs", type=int, default=2, help="kernels at the same time")
    chosen = parser.parse_args(arguments)
    paths = chosen.notebooks or [p for folder in FOLDERS for p in sorted((ROOT / folder).glob("*.ipynb"))]
    failed = changed = 0
    with ProcessPoolExecutor(max_workers=max(1, min(chosen.jobs, len(paths) or 1))) as pool:
        for path, (new, problem) in zip(paths, pool.map(refreshed, paths), strict=True):
            if problem:
                failed += 1
                print(f"FAILED   {path}\n{problem}", file=sys.stderr)
            elif new == path.read_text(encoding="utf-8"):
                print(f"same     {path}")
            else:
                changed += 1
                print(f"{'differs ' if chosen.check else 'written '} {path}")
                if not chosen.check:
                    write(path, new)
    return 1 if failed or (chosen.check and changed) else 0


def write(path, text):
    part = path.with_name(f".{path.name}.part")
    part.write_text(text, encoding="utf-8", newline="\n")
    os.replace(part, path)


def refreshed(path):
    """Return (new text, "") or ("", what went wrong)."""
    try:
        notebook = nbformat.read(path, as_version=4)
        refuse_answers_in_sight(notebook)
        # Ids first: nbclient refuses a notebook in which two cells share one.
        set_ids(notebook, path.stem)
        with tempfile.TemporaryDirectory() as records:
            execute(notebook, path.parent, records)
        normalise(notebook, path.parent.name)
        text = nbformat.writes(notebook).rstrip("\n") + "\n"
        refuse_paths(text)
        nbformat.validate(nbformat.reads(text, as_version=4))
    except CellExecutionError as error:
        return "", str(error)
    except Exception as error:
        return "", f"{type(error).__name__}: {error}"
    return text, ""


def execute(notebook, folder, records):
    environment = {**os.environ, "THERMO_KIT_RECORDS": records}
    notebook.metadata = nbformat.from_dict(METADATA)
    for cell in notebook.cells:
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
    NotebookClient(
        notebook,
        kernel_name="python3",
        timeout=SECONDS_A_CELL,
        store_widget_state=False,
        record_timing=False,
        coalesce_streams=True,
        resources={"metadata": {"path": str(folder.resolve())}},
    ).execute(env=environment)


def set_ids(notebook, stem):
    notebook.nbformat, notebook.nbformat_minor = 4, 5
    for number, cell in enumerate(notebook.cells):
        cell.id = f"{stem[:56]}-{number:03d}"


def normalise(notebook, folder):
    # By this mark the page extension knows a page of the workbook.
    notebook.metadata = nbformat.from_dict({**METADATA, "thermo_kit": {"page": folder}})
    for cell in notebook.cells:
        tags = cell.metadata.get("tags", [])
        cell.metadata = nbformat.from_dict({**KEPT, **({"tags": sorted(tags)} if tags else {})})
        cell.source = cell.source.strip("\n")
        if cell.cell_type != "code":
            continue
        cell.metadata["jupyter"] = {"source_hidden": True}
        for output in cell.outputs:
            tidy(output, keep_picture=KEEP_PICTURE in tags)


def tidy(output, keep_picture):
    if "metadata" in output:
        output.metadata = nbformat.from_dict({})
    for mime in (WIDGET_VIEW, *(() if keep_picture else PICTURES)):
        output.get("data", {}).pop(mime, None)


def refuse_answers_in_sight(notebook):
    for number, cell in enumerate(notebook.cells):
        first = cell.source.strip().split("\n", 1)[0]
        if cell.cell_type == "code" and TOLD_TOO_EARLY.search(first):
            raise NotRefreshed(
                f"cell {number} starts with {first[:60]!r}: the first line of a collapsed cell stays in sight, "
                "so break the line after the opening bracket"
            )


def refuse_paths(text):
    for place in {str(ROOT), str(Path.home()), tempfile.gettempdir(), sys.prefix}:
        if len(place) > 3 and place + "/" in text:
            raise NotRefreshed(f"a stored result or text names a path of this machine ({place}): remove it")


if __name__ == "__main__":
    sys.exit(main())
