"""The pieces of HTML that panels are made of, with their roles for screen readers."""

import functools
import json
from html import escape
from importlib.resources import files


@functools.cache
def style_sheet():
    """Return the style element that panels carry; it touches panels and the boxes around them only."""
    return f"<style>{(files('thermo_kit.panels') / 'panel.css').read_text(encoding='utf-8')}</style>"


def told_look(units, comma):
    """Return a mark by which the page extension writes the words of a lesson as the panels write theirs."""
    return f'<span hidden data-look="{escape(json.dumps({"units": units, "comma": comma}))}"></span>'


def heading(text):
    """Return a panel's title."""
    return f'<div class="tk-title" role="heading" aria-level="3">{escape(text)}</div>'


def alert(text):
    """Return the line that says what is wrong; a screen reader says it at once."""
    if not text:
        return ""
    return f'<div class="tk-alert" role="alert"><b>⚠ Check this:</b> {escape(text)}</div>'


def spoken(text):
    """Return the sentence under a picture; a screen reader says it when the learner pauses."""
    return f'<div class="tk-sentence" role="status" aria-live="polite">{escape(text)}</div>'


def small_table(caption, rows, heads=()):
    """Return rows of a label and its values as a table."""
    if not rows:
        return ""
    top = "".join(f'<th scope="col">{escape(head)}</th>' if head else "<td></td>" for head in heads)
    lines = "".join(
        f'<tr><th scope="row">{escape(label)}</th>{"".join(f"<td>{escape(text)}</td>" for text in texts)}</tr>'
        for label, *texts in rows
    )
    top = f"<thead><tr>{top}</tr></thead>" if heads else ""
    return f'<table class="tk-table" aria-label="{escape(caption)}">{top}<tbody>{lines}</tbody></table>'


def note_list(notes):
    """Return validity notes and cautions as a list."""
    if not notes:
        return ""
    return '<ul class="tk-notes">' + "".join(f"<li>{escape(_sentence(note))}</li>" for note in notes) + "</ul>"


def _sentence(text):
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", ":", "?", "!")) else ".")


def still_layer(picture):
    """Return the still layer of a picture, hidden from screen readers."""
    return f'<div class="tk-layer" aria-hidden="true">{picture.still}</div>'


def moving_layer(picture):
    """Return the moving layer of a picture, which carries the alternative text of both."""
    return f'<div class="tk-layer" role="img" aria-label="{escape(picture.sentence)}">{picture.moving}</div>'
