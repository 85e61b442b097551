"""A picture on its own, without controls: for exercises and worked examples."""

from dataclasses import dataclass

from thermo_kit.charts.picture import Picture


@dataclass(frozen=True)
class StillPicture:
    """A chart shown as the result of a cell; its text equivalent is the chart's sentence."""

    picture: Picture

    def __repr__(self):
        return f"Picture: {self.picture.sentence}"

    def _repr_html_(self):
        return f'<div style="max-width:{self.picture.width}px">{self.picture.whole()}</div>'


def show_picture(picture):
    """Show a chart as the result of a cell."""
    return StillPicture(picture)
