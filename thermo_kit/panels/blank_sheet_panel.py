"""The learner saves a blank diagram as a PDF, to print and to draw on by hand."""

import base64
from dataclasses import dataclass

import ipywidgets as widgets

from thermo_kit.panels.controls import ChoiceControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.substances import REFRIGERANT_NAMES
from thermo_kit.substances.lines import property_lines
from thermo_kit.units import UnitSystem


@dataclass(frozen=True, kw_only=True)
class BlankSheetSettings:
    """Whose diagram [name]."""

    refrigerant: str = "R-134a"


def describe(settings, look):
    """Return what the panel shows."""
    paper = "A4" if look.system is UnitSystem.SI else "US letter"
    pressure = "as a gauge reads" if look.gauge else "absolute"
    return Description(
        sentence=f"A blank pressure–enthalpy diagram of {settings.refrigerant}, ready to print on {paper}.",
        rows=(("Paper", f"{paper}, landscape"), ("Pressures", pressure)),
    )


class BlankSheetPanel(Panel):
    """A link that saves the blank sheet."""

    title = "A blank diagram to draw on"
    Settings = BlankSheetSettings
    controls = (ChoiceControl("refrigerant", "Refrigerant", REFRIGERANT_NAMES),)
    describe = staticmethod(describe)

    def __init__(self, **settings):
        self.link = widgets.HTML()
        super().__init__(**settings)
        self.children = (*self.children, self.link)

    def _draw(self, description):
        super()._draw(description)
        from thermo_kit.charts.blank_sheet import sheet_bytes

        name = self.settings.refrigerant
        data = base64.b64encode(sheet_bytes(property_lines(name, self._look.system), self._look)).decode()
        self.link.value = (
            f'<a class="tk-link" download="blank_diagram_{name}.pdf" href="data:application/pdf;base64,{data}">'
            f"Save the blank sheet of {name} (PDF)</a>"
        )
