"""Rules of law as a table that follows the country chosen for the workbook."""

from thermo_kit.panels.bare import ToldBox, words
from thermo_kit.panels.tables import table
from thermo_kit.panels.view import COUNTRIES, the_view
from thermo_kit.service.rules import ASK, law


def _read(fact):
    return "from memory" if fact.seen == "memory" else fact.as_of


class LawTable(ToldBox):
    """The rules on some subjects in the country chosen at the top of the page, drawn anew when another is chosen."""

    def __init__(self, title, *subjects, view=None):
        self._title, self._subjects, self._view = title, subjects, view or the_view()
        self._html = words()
        super().__init__((self._html,))
        self._show()
        self._view.observe(self._show, "country")

    def _show(self, _change=None):
        country = self._view.country
        rows = [
            (fact.region, fact.fact, fact.source, fact.in_force, _read(fact), fact.doubt)
            for subject in self._subjects
            for fact in law(region=country or None, subject=subject)
        ]
        place = COUNTRIES[country] if country else "all regions that we have read"
        heads = ("region", "in our words", "text", "in force", "read", "in doubt")
        self.table = table(f"{self._title}: {place}. {ASK}", heads, rows)
        self._html.value = self.table._repr_html_()

    def __repr__(self):
        return repr(self.table)
