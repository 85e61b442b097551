"""What stands where: headings of all notebooks, cards to keep, quantities and parts; to print and to search."""

import functools
import re
import tomllib
from collections import Counter
from dataclasses import dataclass
from importlib.resources import files

import ipywidgets as widgets

from thermo_kit.course.declared import declaring
from thermo_kit.course.described import OWN_WIDTH, DescribedBox, button, escape, paragraph, told_in_panel
from thermo_kit.course.workbook import find_workbook
from thermo_kit.practice.printing import Page
from thermo_kit.units.words import WORDS

MOST_SHOWN = 15
_CARD = re.compile(r"^## Card to keep\s+(.*?)(?=^\*\*Sources|\Z)", re.M | re.S)
_HEADING = re.compile(r"^#{1,3} (?:Idea \d+\. )?(.+)$", re.M)
# A heading that more notebooks share than this says nothing of where to look.
_MOST_ALIKE = 2


@dataclass(frozen=True)
class Entry:
    """One thing that can be looked up; link: from a lesson, or empty; below: what stands under a heading."""

    title: str
    place: str
    link: str
    text: str = ""
    below: str = ""


def cards():
    """Return the card to keep of every lesson: title, file, markdown."""
    found = []
    for path in sorted(find_workbook().lessons.glob("[0-9]*.ipynb")):
        prose = declaring(path).prose
        if told := _CARD.search("\n\n".join(prose)):
            found.append((_HEADING.search(prose[0])[1], path.name, told[1].strip()))
    return found


@functools.cache
def parts():
    """Return the list of parts."""
    return tomllib.loads((files("thermo_kit.practice") / "parts.toml").read_text(encoding="utf-8"))["part"]


def entries():
    """Return everything that can be looked up."""
    book, found = find_workbook(), []
    for folder, what in ((book.lessons, "Lesson"), (book.exercises, "Exercise")):
        for path in sorted(folder.glob("[0-9]*.ipynb")):
            place, link = f"{what} {path.stem[:2]}", f"../{folder.name}/{path.name}"
            for cell in declaring(path).prose:
                # Lesson 00 names every topic and treats none.
                below = "" if place == "Lesson 00" else cell
                found += [Entry(title.strip(), place, link, below=below) for title in _HEADING.findall(cell)]
    alike = Counter(entry.title for entry in found)
    found = [entry for entry in found if alike[entry.title] <= _MOST_ALIKE]
    for _title, link, markdown in cards():
        rows = [row.strip("| ").split(" | ") for row in markdown.splitlines() if row.startswith("|")][2:]
        found += [Entry(row[0], f"Card {link[:2]}", link, ": ".join(row[1:])) for row in rows]
    for word in WORDS.values():
        title = word.name.replace("_", " ")
        trade = "" if word.trade == title else f" ({word.trade})"
        found.append(Entry(title, "Glossary", "", f"{word.sign.replace('_', ' ')}: {word.meaning}{trade}"))
    lessons = {path.stem[:2]: path.name for path in book.lessons.glob("[0-9]*.ipynb")}
    for part in parts():
        found.append(Entry(part["name"], f"Lesson {part['lesson']}", lessons.get(part["lesson"], ""), part["does"]))
    return found


def search(words, among):
    """Return the entries that hold every word, those with it in the title first."""

    def holds(text):
        return all(word in text.casefold() for word in words.casefold().split())

    fitting = [entry for entry in among if words.strip() and holds(f"{entry.title} {entry.text} {entry.below}")]
    return sorted(fitting, key=lambda entry: not holds(entry.title))


class SearchBox(DescribedBox):
    """A text box that finds headings, cards, quantities and parts while one writes."""

    def __init__(self):
        self._entries = entries()
        told = {"description": "Search the workbook", "placeholder": "for example superheat"}
        self.words = widgets.Text(**told, style=OWN_WIDTH)
        self.found = widgets.HTML()
        self.words.observe(self._on_words, names="value")
        super().__init__("Search over lessons, exercises, cards, quantities and parts", (self.words, self.found))

    @told_in_panel
    def _on_words(self, change):
        fitting, rows = search(change.new, self._entries), ""
        for entry in fitting[:MOST_SHOWN]:
            place = escape(entry.place)
            if entry.link:
                place = f'<a class="tk-link" href="{escape(entry.link)}" target="_blank">{place}</a>'
            rows += f"<li><b>{escape(entry.title)}</b> {escape(entry.text)} ({place})</li>"
        more = f", the first {MOST_SHOWN} are shown: one more word finds fewer" if len(fitting) > MOST_SHOWN else ""
        told = f"{len(fitting)} found{more}."
        self.found.value = (paragraph(told, status=True) + f"<ul>{rows}</ul>") if change.new.strip() else ""


def card_deck():
    """Make the page of all cards to keep."""
    from nbconvert.filters import markdown2html

    made = [(title, markdown2html(markdown)) for title, _link, markdown in cards()]
    return Page("Cards to keep", "deck.html", {"cards": made})


def glossary_page():
    """Make the page of quantities and parts, with a drawing of some."""
    from thermo_kit.practice.pictures import draw

    pictures = [{**part, "svg": draw(part["name"], part["picture"])} for part in parts() if "picture" in part]
    words = sorted(WORDS.values(), key=lambda word: word.name)
    return Page("Words and parts", "glossary.html", {"words": words, "parts": parts(), "pictures": pictures})


def index_page():
    """Make the page that says what stands where."""
    places = {}
    for entry in entries():
        places.setdefault(entry.title, []).append(entry.place)
    listed = sorted(((title, sorted(set(at))) for title, at in places.items()), key=lambda one: one[0].casefold())
    return Page("Index of the workbook", "index.html", {"entries": listed})


PAGES = {"Cards to keep": card_deck, "Words and parts": glossary_page, "Index of the workbook": index_page}


class Printables(DescribedBox):
    """Offers what can be printed, one link at a time."""

    def __init__(self):
        self.choice = widgets.Dropdown(options=list(PAGES), description="To print", style=OWN_WIDTH)
        self.make = button("Make it", self.on_make)
        self.link = widgets.HTML()
        super().__init__("To print: " + ", ".join(PAGES), (self.choice, self.make, self.link))

    @told_in_panel
    def on_make(self, _button):
        """Make the chosen page and show the link that saves it."""
        name = self.choice.value
        self.link.value = PAGES[name]().link(f"Save: {name}", name.casefold().replace(" ", "_"))
