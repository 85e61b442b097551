"""Every public name says what it takes, in which unit, what it gives, and where its physics is published."""

import pytest

from tests.house.docstrings import complaints, doors, sections
from tests.house.source import Source, package_sources


def test_docstrings_are_complete():
    sources = package_sources()
    offered = doors(sources)
    found = [text for source in sources for text in complaints(source, offered.get(source.name, set()))]
    assert not found, "\n".join(found)


def test_the_doors_offer_what_the_rest_relies_on():
    offered = doors(package_sources())
    assert "solve_cycle" in offered["thermo_kit.systems.cycle"]
    assert "Refrigerant" in offered["thermo_kit.substances.refrigerant"]
    assert offered["thermo_kit.units.text"] == set()
    assert sum(len(names) for names in offered.values() if names) > 60


GOOD = '''
def pressure(T, *, name):
    """Say what boils.

    Parameters
    ----------
    T : float, [K]. Temperature.
    name : str. Which one.

    Returns: float, [Pa]. Pressure.

    References: A book, table 1.
    """
    return 1.0
'''
RECORD = '''
@dataclass
class Spec:
    """What is asked.

    area: of the plate [m²]; mass_flow: of the coolant; open_share: how far open; name: in words
    """

    area: float
    mass_flow: float
    open_share: float
    name: str
'''
# what is broken, by text replaced in a good module, and the complaint
TWINS = [
    (GOOD, "name : str. Which one.", "", "parameters are"),
    (GOOD, "T : float", "p : float", "parameters are"),
    (GOOD, "T : float, [K]", "T : float", "T is a number without a unit"),
    (GOOD, "float, [Pa]", "float", "returns a number without a unit"),
    (GOOD, "Returns: float, [Pa]. Pressure.", "", "no Returns section"),
    (GOOD, "References: A book, table 1.", "", "no References"),
    (GOOD, '    """Say what boils.', '    x = """Say what boils.', "no docstring"),
    (RECORD, "[m²]", "", "field area is a number without a unit"),
]


def found_in(text, offered=None):
    return complaints(Source("thermo_kit.systems.sample", text), offered)


@pytest.mark.parametrize("good, old, new, complaint", TWINS)
def test_the_rule_can_fail(good, old, new, complaint):
    assert old in good and found_in(good) == []
    assert any(complaint in text for text in found_in(good.replace(old, new)))


def test_what_a_room_keeps_to_itself_needs_less():
    own = GOOD.replace("T : float, [K]", "T : float").replace("float, [Pa]", "float")
    assert found_in(own, set()) == []
    assert found_in(own.replace("T : float", "p : float"), set())


CLASS = '''
class Fluid:
    """A fluid.

    References: A book, table 1.
    """

    def density(self, T):
        """Return the density; T [K] → [kg/m³]."""
        return 1.0
'''


def test_a_method_needs_its_units_where_the_class_names_the_source():
    assert found_in(CLASS) == []
    assert found_in(CLASS.replace("T [K] → ", "")) and found_in(CLASS.replace(" → [kg/m³]", ""))
    assert found_in(CLASS.replace("References: A book, table 1.", ""))


def test_a_stated_reason_stands_for_a_source():
    assert found_in(GOOD.replace("References: A book, table 1.", "Notes: By definition.")) == []


def test_sections_are_found():
    parts = sections("One line.\n\nParameters\n----------\nT : float\n\nNotes\n-----\nNone.")
    assert list(parts) == ["", "Parameters", "Notes"]
    assert sections("Only a line.") == {"": "Only a line."}
