"""Reasons are settled on a page, by a CSV file or one by one; what does not fit changes nothing."""

import asyncio
import csv
import functools
import re
import threading
from http.client import HTTPConnection
from urllib.parse import urlencode

import pytest

from tests.browser.fixtures import SWITCHES, find_chromium, missing
from tests.course.sample_class import rows_of
from tests.course.sample_workbook import EXERCISE
from thermo_kit.course.report import SEPARATORS
from thermo_kit.course.review import _words
from thermo_kit.course.review_page import ReviewDesk
from thermo_kit.errors import CourseError

HOSTILE = '</blockquote><script>alert(1)</script>\n=1+1 "A09"'


@pytest.fixture
def review(room):
    room.hand_in("A01", d="No idea.")
    room.hand_in("A02", d="no  IDEA")
    room.hand_in("A03", d=HOSTILE)
    return room.review("I")


def totals(room):
    standings = room.mark().standings
    return {s.learner: (s.points, s.is_provisional) for s in standings if s.verdicts}


def test_like_answers_are_one_group_and_get_the_same(review, room):
    first, second = review.groups()
    assert [len(group.members) for group in (first, second)] == [1, 2] and first.given == HOSTILE
    assert review.asked(first) == "Why does the time grow with the volume?"
    assert review.looked_for(first)[0].startswith("d. There is more water")
    assert _words('"P > q."') == _words("p  >  Q") != _words("p < q") and _words("?") != _words("…")
    review.decide_group(second.key, 0.5, "Say more.")
    assert [group.is_open for group in review.groups()] == [True, False]
    assert totals(room) == {"A01": (4.5, False), "A02": (4.5, False), "A03": (4, True)}
    for points in (-0.5, 1.5, float("nan")):
        with pytest.raises(CourseError, match="where question d gives 0 to 1"):
            review.decide_group(first.key, points)


@pytest.fixture
def desk(review):
    desk, ready, loop = ReviewDesk(review), threading.Event(), asyncio.new_event_loop()
    task = loop.create_task(desk.serve(lambda address: (setattr(desk, "address", address), ready.set())))
    thread = threading.Thread(target=loop.run_forever, daemon=True)
    thread.start()
    assert ready.wait(10)
    yield desk
    loop.call_soon_threadsafe(task.cancel)
    loop.call_soon_threadsafe(loop.stop)
    thread.join(10)
    loop.close()


def ask(desk, path="/", cookie=None, form=None, **headers):
    connection = HTTPConnection(desk.host, timeout=10)
    cookie = f"review={desk.cookie}" if cookie is None else cookie
    headers = {"Cookie": cookie, "Content-Type": "application/x-www-form-urlencoded"} | headers
    connection.request("POST" if form else "GET", path, urlencode(form) if form else None, headers)
    answer = connection.getresponse()
    text = answer.read().decode()
    connection.close()
    return answer, text


def test_the_page_shows_escapes_and_decides(desk, room):
    answer, text = ask(desk)
    assert answer.status == 200 and "&lt;script&gt;alert(1)" in text and "<script>alert" not in text
    assert not re.search(r"A0[1-4](?!9)", text.replace("A09", "")) and "http" not in text.replace(desk.host, "")
    policy = answer.headers["Content-Security-Policy"]
    assert policy.startswith("default-src 'none'") and re.search(r"nonce-([\w-]+)", policy)[1] in text
    first, second = desk.review.groups()
    answer, _ = ask(desk, form={"key": first.key, "points": "1.0", "why": "Good."})
    assert (answer.status, answer.headers["Location"]) == (303, f"/?at={second.key}")
    _, text = ask(desk, form={"key": second.key, "points": "7"})
    assert 'role="alert"' in text and "are 7 where question d gives 0 to 1" in text
    answer, _ = ask(desk, form={"key": second.key, "points": "0"})
    assert answer.headers["Location"] == "/?at=end" and "Nothing is left to settle" in ask(desk, "/?at=end")[1]
    assert totals(room) == {"A01": (4, False), "A02": (4, False), "A03": (5, False)}
    assert "Settled: 1 of 1 points" in ask(desk, f"/?at={first.key}")[1]


def test_the_address_admits_one_browser_and_nobody_else(desk):
    ticket = desk.address.split(desk.host)[1]
    assert ask(desk, "/?ticket=" + "x" * 43, cookie="")[0].status == 403
    answer, _ = ask(desk, ticket, cookie="")
    assert answer.status == 302 and "HttpOnly" in answer.headers["Set-Cookie"]
    assert "SameSite=Strict" in answer.headers["Set-Cookie"]
    form = {"key": desk.review.groups()[0].key, "points": "1"}
    for refused in (
        ask(desk, ticket, cookie=""),
        ask(desk, cookie="review=x"),
        ask(desk, Host="evil.example"),
        ask(desk, form=form, Origin="http://evil.example"),
    ):
        assert refused[0].status == 403 and "question" not in refused[1]
    assert all(group.is_open for group in desk.review.groups())


@pytest.mark.browser
def test_keys_alone_settle_everything(desk, room):
    from playwright.sync_api import sync_playwright

    if not find_chromium():
        missing("Chromium is not installed")
    with sync_playwright() as started:
        chromium = started.chromium.launch(executable_path=find_chromium(), args=list(SWITCHES))
        page = chromium.new_page()
        page.goto(desk.address)
        with page.expect_navigation():
            page.keyboard.press("1")
        for key in ("w", "N", "o", " ", "0", "Enter"):
            page.keyboard.press(key)
        with page.expect_navigation():
            page.keyboard.press("h")
        assert page.inner_text("h1") == "Nothing is left to settle"
        chromium.close()
    assert totals(room) == {"A01": (4.5, False), "A02": (4.5, False), "A03": (5, False)}
    assert [group.verdict.history[-1].why for group in desk.review.groups()] == ["", "No 0"]


@pytest.fixture
def settle(room, run):
    return functools.partial(run, "review", room.folder, "--by", "I")


@pytest.mark.parametrize(("separator", "half"), [("comma", "0.5"), ("semicolon", "0,5"), ("tab", "0.5")])
def test_a_spreadsheet_goes_round(review, room, tmp_path, settle, separator, half):
    path, sign = tmp_path / "reasons.csv", SEPARATORS[separator]
    settle("--export", path, "--separator", separator)
    hostile, plain = rows = rows_of(path, sign)
    assert hostile["answer"].startswith("</block") and plain["learners"] == "2" and plain["points"] == ""

    def fill_in(*points):
        with path.open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, rows[0], delimiter=sign)
            writer.writeheader()
            writer.writerows(
                row | dict(zip(("points", "why"), end, strict=True)) for row, end in zip(rows, points, strict=True)
            )

    fill_in(("1", ""), ("one", ""))
    told = (
        "reasons.csv, line 3: the points 'one' are no number: write one such as 0.5\nthermo-kit: nothing was imported"
    )
    assert told in settle("--import", path, code=1)
    assert totals(room)["A03"] == (4, True)
    fill_in(("", ""), (half, "'=so"))
    for count in (2, 0):
        assert f"{count} decisions were new" in settle("--import", path)
    assert totals(room) == {"A01": (4.5, False), "A02": (4.5, False), "A03": (4, True)}
    again = room.review("I")
    assert again.groups()[1].last.why == "=so"
    again.write_table(path, separator)
    assert half in path.read_text() and "'=so" in path.read_text()
    assert again.read_table(path) == 0


def test_any_mark_can_be_overridden_and_taken_back(review, settle):
    for question, more, code, told in (
        ("a", ["--points", "1,5", "--why", "Unit unclear."], 0, f"A03, {EXERCISE}: 3.5 of 5 provisional."),
        ("a", ["--points", "none"], 0, "A03, 01_water_tank: 4 of 5 provisional."),
        ("z", ["--points", "1"], 2, "question z of A03 has no mark"),
        ("a", ["--points", "3"], 1, "where question a gives 0 to 2"),
        ("a", [], 2, "takes --learner, --exercise, --question and --points"),
    ):
        assert told in settle("--learner", "A03", "--exercise", "1", "--question", question, *more, code=code)
