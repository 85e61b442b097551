"""Widgets with one layout and one style among them all: each of these is a message and a moment in the browser."""

import functools

import ipywidgets as widgets


@functools.cache
def _shared(kind):
    return kind(description_width="initial") if "description_width" in kind.class_trait_names() else kind()


def forget_shared():
    """Share new ones from here on: a page opened beside a busy kernel learns of the old ones too late to show them."""
    _shared.cache_clear()


def bare(kind, *arguments, css="", **traits):
    """Make a widget that needs no layout and no style of its own; css: its names in the style sheet."""
    traits.setdefault("layout", _shared(widgets.Layout))
    if "style" in kind.class_trait_names():
        traits.setdefault("style", _shared(kind.class_traits()["style"].klass))
    return kind(*arguments, _dom_classes=css.split(), **traits)


class ToldBox(widgets.VBox):
    """A box that is told by its `repr` where no widget can be shown."""

    def _repr_mimebundle_(self, **kwargs):
        return {**super()._repr_mimebundle_(**kwargs), "text/plain": repr(self)}


def words(html=""):
    """Make a place for words in HTML."""
    return bare(widgets.HTML, html)
