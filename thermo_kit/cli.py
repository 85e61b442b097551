"""The command `thermo-kit`: each subcommand calls one function."""

import argparse
import json
import os
import sys
from dataclasses import asdict
from pathlib import Path

DONE, FOUND_PROBLEMS, WRONG_USE = 0, 1, 2
FIRST_LESSON, PRACTICE = "00_start_here.ipynb", "practice.ipynb"


def main(arguments=None):
    """Run one command."""
    from thermo_kit.errors import FileAccessError, FileRefusedError, ThermoKitError, UnknownNameError

    if hasattr(sys.stdout, "reconfigure"):
        # A console or file whose encoding lacks a sign such as ✓ shows its number, not the end of the report.
        sys.stdout.reconfigure(errors="backslashreplace")
    chosen = _parser().parse_args(arguments)
    try:
        return chosen.run(chosen)
    except FileRefusedError as error:
        return _complain(error.problems, FOUND_PROBLEMS)
    except (UnknownNameError, FileAccessError) as error:
        return _complain(error.problems, WRONG_USE)
    except ThermoKitError as error:
        return _complain(error.problems, FOUND_PROBLEMS)
    except BrokenPipeError:
        # The reader of our output went away; Python must not complain a second time at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except KeyboardInterrupt:
        print("\nStopped. What was written so far is whole.", file=sys.stderr)
        return FOUND_PROBLEMS


def _complain(problems, code):
    for problem in problems:
        print(f"thermo-kit: {problem}", file=sys.stderr)
    return code


def _parser():
    parser = argparse.ArgumentParser(
        prog="thermo-kit",
        description="Training workbook for people who service vehicle air-conditioning and EV thermal systems.",
        epilog="Each command explains itself: thermo-kit mark --help",
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="command")

    command = _command(commands, "open", run_open, "open the workbook in JupyterLab", "thermo-kit open")
    command.add_argument("--no-browser", action="store_true", help="start the server, print its address only")
    command.add_argument("options", nargs="*", metavar="-- OPTION", help="options for JupyterLab itself, after --")

    command = _command(
        commands,
        "handout",
        run_handout,
        "make one notebook for each learner, with individual numbers",
        "thermo-kit handout class_a.csv --exercise 02 --to ../class_a",
    )
    command.add_argument("roster", metavar="ROSTER.csv", type=Path, help="CSV with a header and a column `learner`")
    command.add_argument("--exercise", required=True, metavar="NN", help="number of the exercise, such as 02")
    told = "the class's folder, outside the workbook; made if missing"
    command.add_argument("--to", required=True, metavar="FOLDER", type=Path, help=told)
    _answers_option(command)
    _json_option(command)

    command = _command(
        commands, "mark", run_mark, "mark all answer sheets of a class", "thermo-kit mark ../class_a --exercise 02"
    )
    command.add_argument("folder", metavar="FOLDER", type=Path, help="the folder that handout filled")
    command.add_argument("--exercise", metavar="NN", help="only this exercise")
    command.add_argument("--again", action="store_true", help="note every mark anew, also where nothing changed")
    command.add_argument(
        "--separator",
        choices=("comma", "semicolon", "tab"),
        default="comma",
        help="of the CSV files; with a semicolon numbers have a decimal comma",
    )
    _answers_option(command)
    _json_option(command)

    told = "ten minutes of what is due today; with NN a self-study notebook with fresh numbers"
    command = _command(commands, "practice", run_practice, told, "thermo-kit practice 02 --to my_practice --open")
    command.add_argument("exercise", nargs="?", metavar="NN", help="number of an exercise, such as 02")
    command.add_argument("--to", metavar="FOLDER", type=Path, default=Path("practice"), help="default: practice")
    command.add_argument("--open", action="store_true", help="open it in JupyterLab")
    command.add_argument("--today", action="store_true", help="only say what is due today")
    command.add_argument("--export", metavar="FILE", type=Path, help="write your record as a CSV file")
    command.add_argument("--forget", action="store_true", help="delete your record from this computer")
    command.add_argument("--yes", action="store_true", help="delete without asking")
    _json_option(command)

    command = _command(commands, "doctor", run_doctor, "say what is missing on this machine", "thermo-kit doctor")
    _json_option(command)
    return parser


def _command(commands, name, run, told, example):
    command = commands.add_parser(
        name, help=told, description=told[0].upper() + told[1:] + ".", epilog=f"Example: {example}"
    )
    command.set_defaults(run=run)
    command.add_argument("--workbook", metavar="FOLDER", type=Path, help="folder that holds lessons and exercises")
    return command


def _answers_option(command):
    command.add_argument(
        "--answers", metavar="FOLDER", type=Path, help="your own folder of answers notebooks; a class remembers it"
    )


def _json_option(command):
    command.add_argument("--json", action="store_true", help="print JSON for a program to read")


def run_open(chosen):
    """Start JupyterLab with the first lesson; this process becomes JupyterLab."""
    from thermo_kit.course.workbook import find_workbook

    book = find_workbook(chosen.workbook)
    return _open_lesson(book, FIRST_LESSON, *(["--no-browser"] if chosen.no_browser else []), *chosen.options)


def _open_lesson(book, name, *options):
    first = book.lessons / name
    if not first.is_file():
        print(f"thermo-kit: {first} is missing: get a fresh copy of the workbook", file=sys.stderr)
        return FOUND_PROBLEMS
    return _start_lab(book.root, first, *options)


def _start_lab(root, notebook, *options):
    from thermo_kit.panels.server import options_for

    words = [sys.executable, "-m", "jupyterlab", f"--ServerApp.root_dir={root}", *options_for(root, notebook), *options]
    os.chdir(root)
    sys.stdout.flush()
    os.execv(sys.executable, words)


def run_handout(chosen):
    """Hand out an exercise and say what was written."""
    from thermo_kit.course.handout import hand_out
    from thermo_kit.course.workbook import find_workbook

    book = find_workbook(chosen.workbook, answers=chosen.answers)
    done = hand_out(chosen.roster, exercise=chosen.exercise, folder=chosen.to, workbook=book)
    if chosen.json:
        _print_json(asdict(done))
        return DONE
    print(f"{done.exercise}: {len(done.written)} notebooks written to {done.folder / 'for_learners'}.")
    if done.kept:
        print(f"{len(done.kept)} learners had theirs already; nothing of it was changed: {', '.join(done.kept)}.")
    if done.draws:
        print(f"{done.usable:,} of {done.draws:,} drawn cases could be worked ({done.usable / done.draws:.0%}).")
    print(f"Keep {done.folder / 'instructor'} to yourself: it holds the class secret and the list of cases.")
    return DONE


def run_mark(chosen):
    """Mark a class, print the table, write the CSV."""
    from thermo_kit.course.classroom import Classroom
    from thermo_kit.course.marking import mark_class
    from thermo_kit.course.report import as_data, report_lines, write_csv_files
    from thermo_kit.course.workbook import find_workbook

    room = Classroom(chosen.folder)
    book = find_workbook(chosen.workbook, answers=chosen.answers)
    marking = mark_class(chosen.folder, workbook=book, exercise=chosen.exercise, again=chosen.again)
    try:
        if not chosen.json:
            print("\n".join(report_lines(marking, room.folder)), flush=True)
    finally:
        # Also when the reader of the report went away.
        files, problems = write_csv_files(marking, room.instructor, chosen.separator)
    if chosen.json:
        _print_json({**as_data(marking, room.folder), "files": files})
    else:
        for file in files:
            print(f"Written: {file}")
    if problems:
        return _complain(problems, FOUND_PROBLEMS)
    return FOUND_PROBLEMS if marking.not_marked or marking.not_recognised else DONE


def run_practice(chosen):
    """Open the page of practice, say what is due, hand the record over, or write a notebook of an exercise."""
    from thermo_kit.course.handout import write_practice
    from thermo_kit.course.record import Record
    from thermo_kit.course.workbook import find_workbook

    if chosen.export:
        print(f"{Record().export(chosen.export):,} entries written to {chosen.export}.")
        return DONE
    if chosen.forget:
        if not chosen.yes:
            print(f"Delete your record {Record().path} for good? Type yes: ", end="", flush=True)
        # Read so that the end of the input is a no.
        sure = chosen.yes or sys.stdin.readline().strip() == "yes"
        print(f"Deleted: {', '.join(Record().forget()) or 'there is no record'}." if sure else "Nothing was deleted.")
        return DONE
    book = find_workbook(chosen.workbook)
    if chosen.today:
        return _say_today(Record(), book, chosen.json)
    if not chosen.exercise:
        return _open_lesson(book, PRACTICE)
    notebook = write_practice(chosen.exercise, folder=chosen.to, workbook=book)
    print(notebook)
    if chosen.open:
        os.environ["THERMO_KIT_WORKBOOK"] = str(book.root)
        return _start_lab(notebook.parent, notebook)
    return DONE


def _say_today(record, book, as_json):
    from thermo_kit.practice.bank import load
    from thermo_kit.practice.schedule import known, plan

    today, notes = plan(record, load(book), known(record)), record.told()
    if as_json:
        _print_json({**asdict(today), "notes": notes})
    else:
        print("\n".join([*notes, today.told, f"Today: {len(today.names)} questions, {today.minutes:.0f} minutes."]))
    return DONE


def run_doctor(chosen):
    """Print what is fine and what is missing."""
    from thermo_kit.course.doctor import examine, finding_lines

    findings = examine(chosen.workbook)
    if chosen.json:
        _print_json([asdict(finding) for finding in findings])
    else:
        print("\n".join(finding_lines(findings)))
    return DONE if all(finding.is_fine for finding in findings) else FOUND_PROBLEMS


def _print_json(data):
    # Escaped, so that no console's encoding can spoil what a program reads.
    print(json.dumps(data, indent=1, default=str))


if __name__ == "__main__":
    sys.exit(main())
