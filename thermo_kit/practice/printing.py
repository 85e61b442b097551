"""Pages to print: one HTML text each, without outside references."""

import base64
import functools
from dataclasses import dataclass, field

from thermo_kit.course.described import escape


@dataclass(frozen=True)
class Page:
    """A page made from a template of the folder `pages`."""

    title: str
    template: str
    values: dict = field(default_factory=dict)

    @property
    def body(self):
        """What stands on the page, for a panel."""
        return _templates().get_template(self.template).render(title=self.title, **self.values)

    @property
    def whole(self):
        """The page as one file."""
        return _templates().get_template("page.html").render(title=self.title, body=self.body)

    def link(self, words, name):
        """A link that saves the page as a file."""
        carried = base64.b64encode(self.whole.encode()).decode()
        return f'<a class="tk-link" download="{name}.html" href="data:text/html;base64,{carried}">{escape(words)}</a>'


@functools.cache
def _templates():
    import jinja2

    loader = jinja2.PackageLoader("thermo_kit.practice", "pages")
    return jinja2.Environment(loader=loader, autoescape=True, trim_blocks=True, lstrip_blocks=True)
