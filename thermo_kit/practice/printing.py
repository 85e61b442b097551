"""Pages to print: one HTML text each, without outside references."""

import base64
from dataclasses import dataclass, field

from thermo_kit.course.described import escape
from thermo_kit.course.pages import templates


@dataclass(frozen=True)
class Page:
    """A page made from a template of the folder `pages`."""

    title: str
    template: str
    values: dict = field(default_factory=dict)

    @property
    def body(self):
        """What stands on the page, for a panel."""
        return _filled(self.template, title=self.title, **self.values)

    @property
    def whole(self):
        """The page as one file."""
        return _filled("page.html", title=self.title, body=self.body)

    def link(self, words, name):
        """A link that saves the page as a file."""
        carried = base64.b64encode(self.whole.encode()).decode()
        return f'<a class="tk-link" download="{name}.html" href="data:text/html;base64,{carried}">{escape(words)}</a>'


def _filled(template, **values):
    return templates("thermo_kit.practice", "pages").get_template(template).render(values)
