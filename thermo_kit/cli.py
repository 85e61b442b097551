"""The command `thermo-kit`: each subcommand calls one function."""

import argparse
import json
import os
import sys
import tomllib
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
    except ThermoKitError as error:
        is_wrong_use = isinstance(error, UnknownNameError | FileAccessError) and not isinstance(error, FileRefusedError)
        return _complain(error.problems, WRONG_USE if is_wrong_use else FOUND_PROBLEMS)
    except BrokenPipeError:
        # The reader of our output went away; Python must not complain a second time at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except OSError as error:
        advice = "check that you may open it and that the disk is not full"
        return _complain([f"{error.filename or 'the system'}: {error.strerror or error}: {advice}"], FOUND_PROBLEMS)
    except KeyboardInterrupt:
        print("\nStopped. What was written so far is whole.", file=sys.stderr)
        return FOUND_PROBLEMS


def _complain(problems, code):
    for problem in problems:
        print(f"thermo-kit: {problem}", file=sys.stderr)
    return code


def _parser():
    told = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
    parser = argparse.ArgumentParser(**told["program"])
    commands = parser.add_subparsers(dest="command", required=True, metavar="command")
    for name, facts in told["commands"].items():
        description, example = f"{facts['told'][0].upper()}{facts['told'][1:]}.", f"Example: {facts['example']}"
        command = commands.add_parser(name, help=facts["told"], description=description, epilog=example)
        command.set_defaults(run=globals()[f"run_{name.replace('-', '_')}"])
        for argument in [*(told["shared"][shared] for shared in [*facts["shared"], "workbook"]), *facts["arguments"]]:
            options = {**argument, "type": Path} if "is_path" in argument else dict(argument)
            options.pop("is_path", None)
            command.add_argument(options.pop("name"), **options)
    return parser


def _workbook(chosen):
    from thermo_kit.course.workbook import find_workbook

    return find_workbook(chosen.workbook, answers=getattr(chosen, "answers", None))


def _tell(chosen, data, lines):
    """Print lines for a person, or data() for a program; escaped, so that no console's encoding can spoil them."""
    print(json.dumps(data(), indent=1, default=str) if chosen.json else "\n".join(lines))


def run_open(chosen):
    """Start JupyterLab with the first lesson; this process becomes JupyterLab."""
    book = _workbook(chosen)
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
    """Hand out an exercise, or all, and say what was written."""
    from thermo_kit.course.handout import hand_out

    book, done = _workbook(chosen), []
    options = {"resits": chosen.resit, "closed": chosen.closed, "scheduler": chosen.scheduler}
    for exercise in book.exercise_names() if chosen.exercise == "all" else [chosen.exercise]:
        done.append(hand_out(chosen.roster, exercise=exercise, folder=chosen.to, workbook=book, **options))
        if not chosen.json:
            print("\n".join(_handed_out_lines(done[-1])))
    told = f"Keep {done[0].folder / 'instructor'} to yourself: it holds the class secret and the list of cases."
    data = [asdict(one) for one in done]
    _tell(chosen, lambda: data if chosen.exercise == "all" else data[0], [told])
    return FOUND_PROBLEMS if any(one.not_whole for one in done) else DONE


def _handed_out_lines(done):
    yield f"{done.exercise}: {len(done.written)} notebooks written to {done.folder / 'for_learners'}."
    if done.kept:
        yield f"{len(done.kept)} learners had theirs already; nothing of it was changed: {', '.join(done.kept)}."
    if done.draws:
        yield f"{done.usable:,} of {done.draws:,} drawn cases could be worked ({done.usable / done.draws * 100:.0f} %)."
    if done.not_whole:
        told = "the notebook that lies there is not the one handed out: look at it, move it away and hand out again"
        yield f"{', '.join(done.not_whole)}: {told}."


def run_mark(chosen):
    """Mark a class, print the table, write the CSV."""
    from thermo_kit.course.classroom import Classroom
    from thermo_kit.course.marking import mark_class
    from thermo_kit.course.report import as_data, report_lines, write_csv_files

    room = Classroom(chosen.folder)
    book = _workbook(chosen)
    options = {"again": chosen.again, "scheduler": chosen.scheduler}
    marking = mark_class(chosen.folder, workbook=book, exercise=chosen.exercise, **options)
    try:
        if not chosen.json:
            for line in report_lines(marking, room.folder):
                print(line)
            sys.stdout.flush()
    finally:
        # Also when the reader of the report went away.
        files, problems = write_csv_files(marking, room.instructor, chosen.separator)
    written = [f"Written: {file}" for file in files]
    _tell(chosen, lambda: {**as_data(marking, room.folder), "files": files}, written)
    found = problems or marking.not_marked or marking.not_recognised
    return _complain(problems, FOUND_PROBLEMS if found else DONE)


def run_term(chosen):
    """Print learners by exercises, and write the gradebook."""
    from thermo_kit.course.classroom import Classroom
    from thermo_kit.course.gradebook import term_data, term_lines, write_gradebook
    from thermo_kit.course.term import read_term

    term = read_term(chosen.folder)
    if not chosen.json:
        print("\n".join(term_lines(term)))
    written = write_gradebook(term, Classroom(chosen.folder).instructor, chosen.separator)
    told = f"\nWritten: {written}", f"The rules stand in {written.with_name('term.toml')}."
    _tell(chosen, lambda: {**term_data(term), "file": written}, told)
    return DONE


def run_backup(chosen):
    """Write a class into one zip that was read back."""
    from thermo_kit.course.backup import back_up

    done = back_up(chosen.folder, chosen.to)
    told = [
        f"{done.path}: {done.files:,} files of the class, with {done.marks:,} marks; read back and found whole.",
        "Keep it to yourself: it holds the class secret. To restore, unpack it into an empty folder.",
        *(f"Left out: {told}" for told in done.left_out),
    ]
    _tell(chosen, lambda: asdict(done), told)
    return FOUND_PROBLEMS if done.left_out else DONE


def run_review(chosen):
    """Settle reasons on a page or by a CSV file, or override one mark."""
    from thermo_kit.course.report import total
    from thermo_kit.course.review import Review, points_in

    override = (chosen.learner, chosen.question, chosen.points)
    if any(override) and not (all(override) and chosen.exercise):
        told = "to override a mark takes --learner, --exercise, --question and --points"
        return _complain([told], WRONG_USE)
    book = _workbook(chosen)
    decided_by = (chosen.by or os.environ.get("USER") or os.environ.get("USERNAME") or "instructor")[:100]
    review = Review(chosen.folder, workbook=book, decided_by=decided_by, exercise=chosen.exercise)
    if any(override):
        standing = review.override(chosen.learner, chosen.question, points_in(chosen.points), chosen.why)
        print(f"{standing.learner}, {standing.exercise}: {total(standing)}. The decision is in the mark book.")
    elif chosen.export:
        print(f"{chosen.export}: {review.write_table(chosen.export, chosen.separator)} different answers, a row each.")
        then = f"thermo-kit review {chosen.folder} --import {chosen.export}"
        print(f"Fill in `points`, and `why` if you like; then: {then}")
    elif chosen.filled_in:
        print(f"{review.read_table(chosen.filled_in)} decisions were new and are in the mark book now.")
    else:
        return _serve_review(review, chosen.no_browser)
    return DONE


def _serve_review(review, no_browser):
    import webbrowser

    from thermo_kit.course.review_page import serve_until_stopped

    def still_open():
        return sum(group.is_open for group in review.groups())

    def announce(address):
        print(f"Settle {still_open()} different answers at {address}\nCtrl-C ends.", flush=True)
        if not no_browser:
            webbrowser.open(address)

    serve_until_stopped(review, announce)
    print(f"Ended. {still_open()} different answers are still to be settled.")
    return DONE


def run_feedback(chosen):
    """Write the pages to give back, as PDF too where a browser can print."""
    from thermo_kit.course.feedback import find_browser, print_pages, write_feedback

    book = _workbook(chosen)
    pages, unmarked, problems = write_feedback(chosen.folder, workbook=book, exercise=chosen.exercise)
    made = f"{len(pages) - 2} pages for learners, _all_to_print.html and _class.html"
    print(f"{made} are in {pages[0].parent}.", flush=True)
    if unmarked:
        print(f"No mark and so no page: {', '.join(unmarked)}.")
    browser = None if chosen.no_pdf else find_browser()
    if browser:
        print("Printing them to PDF files, about a second each …", flush=True)
        print(f"{len(print_pages(pages, browser))} PDF files are beside them.")
    elif not chosen.no_pdf:
        print("No PDF files: Chromium is not on this computer. Print the pages from your own browser.")
    print("A page holds answers: give each learner only their own, and what begins with _ to nobody.")
    return _complain(problems, FOUND_PROBLEMS if problems else DONE)


def run_practice(chosen):
    """Open the page of practice, say what is due, hand the record over, or write a notebook of an exercise."""
    from thermo_kit.course.handout import write_practice
    from thermo_kit.course.record import Record

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
    book = _workbook(chosen)
    if chosen.today:
        return _say_today(chosen, Record(), book)
    if not chosen.exercise:
        return _open_lesson(book, PRACTICE)
    notebook = write_practice(chosen.exercise, folder=chosen.to, workbook=book)
    print(notebook)
    if chosen.open:
        os.environ["THERMO_KIT_WORKBOOK"] = str(book.root)
        return _start_lab(notebook.parent, notebook)
    return DONE


def _say_today(chosen, record, book):
    from thermo_kit.practice.bank import load
    from thermo_kit.practice.schedule import known, plan

    today, notes = plan(record, load(book), known(record)), record.told()
    told = [*notes, today.told, f"Today: {len(today.names)} questions, {today.minutes:.0f} minutes."]
    _tell(chosen, lambda: {**asdict(today), "notes": notes}, told)
    return DONE


def run_doctor(chosen):
    """Print what is fine and what is missing, on this machine or in an exercise."""
    from thermo_kit.course.doctor import examine, finding_lines

    if chosen.what:
        from thermo_kit.course.exercise_doctor import examine_exercise

        if len(chosen.what) != 2 or chosen.what[0] != "exercise":
            return _complain(["to look at an exercise, name it like this: thermo-kit doctor exercise 02"], WRONG_USE)
        book = _workbook(chosen)
        path = book.exercise(chosen.what[1])
        findings = examine_exercise(path, book.answer(path.stem))
    else:
        findings = examine(chosen.workbook)
    _tell(chosen, lambda: [asdict(finding) for finding in findings], finding_lines(findings))
    return DONE if all(finding.is_fine for finding in findings) else FOUND_PROBLEMS


def run_new_exercise(chosen):
    """Write a template pair and say what to do with it."""
    from thermo_kit.course.author import new_exercise

    for path in new_exercise(chosen.name, _workbook(chosen)):
        print(f"Written: {path}")
    print(f"Change both in JupyterLab, then: thermo-kit doctor exercise {chosen.name[:2]}")
    return DONE


if __name__ == "__main__":
    sys.exit(main())
