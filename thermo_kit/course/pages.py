"""Pages of HTML for a browser or a printer, without any outside reference; what learners wrote is escaped."""

import functools


@functools.cache
def templates(package, folder):
    """The templates in a folder of a package."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    loader = PackageLoader(package, folder)
    return Environment(loader=loader, autoescape=True, trim_blocks=True, lstrip_blocks=True, undefined=StrictUndefined)


def page(name, **facts):
    """The page that a template of `templates` makes of these facts."""
    return templates("thermo_kit.course", "templates").get_template(f"{name}.html").render(facts)
