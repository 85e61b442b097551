"""Every drawn line is what it says, whole, and without jumps."""

import itertools

import numpy as np
import pytest

from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.substances.lines import property_lines, saturation_curve
from thermo_kit.units import UnitSystem, to_display

EVERY = list(itertools.product(REFRIGERANT_NAMES, UnitSystem))


def families(lines):
    return {"T": lines.isotherms, "s": lines.isentropes, "rho": lines.isochores, "x": lines.qualities}


@pytest.mark.parametrize(("name", "system"), EVERY)
def test_state_at_each_point_has_the_value_of_its_line(name, system):
    lines, refrigerant = property_lines(name, system), Refrigerant(name)
    for attribute, family in families(lines).items():
        assert len(family) >= 4
        for line in family:
            for i in range(0, len(line.h) - 1, 7):
                if attribute == "x" and line.p[i] > 0.99 * lines.critical_pressure:
                    continue
                # Recomputed from pressure and enthalpy, which is not how the line was made.
                state = refrigerant.at(p=line.p[i], h=line.h[i])
                found = getattr(state, attribute)
                # On the edge of the dome a line's first point lies between two computed points.
                assert found == pytest.approx(line.value, rel=2e-3), (attribute, line.value, i)


@pytest.mark.parametrize(("name", "system"), EVERY)
def test_lines_have_no_jump_and_no_bad_number(name, system):
    lines = property_lines(name, system)
    width = lines.highest_enthalpy - lines.lowest_enthalpy
    height = np.log(lines.highest_pressure / lines.lowest_pressure)
    for attribute, family in families(lines).items():
        for line in (*family, lines.dome):
            assert np.all(np.isfinite(line.h)) and np.all(line.p > 0)
            assert line.anchors and all(0 <= i < len(line.h) for i in line.anchors)
            steps = np.hypot(np.diff(line.h) / width, np.diff(np.log(line.p)) / height)
            if attribute == "T":  # an isotherm crosses the dome in one straight step
                steps = steps[np.abs(np.diff(line.p)) > 1e-9 * line.p[:-1]]
            assert steps.max() < 0.08, (attribute, line.value)


@pytest.mark.parametrize("name", REFRIGERANT_NAMES)
def test_isotherms_above_critical_run_from_top_to_bottom_without_turning(name):
    lines = property_lines(name)
    above = [line for line in lines.isotherms if line.value > lines.critical_temperature]
    assert above and (name != "R-744" or above[0].value < 318.15), "one lies close above the critical point"
    for line in above:
        assert line.p[0] == pytest.approx(lines.highest_pressure, rel=1e-6)
        assert line.p[-1] == pytest.approx(lines.lowest_pressure, rel=1e-6)
        assert np.all(np.diff(line.p) < 0) and np.all(np.diff(line.h) > 0)


@pytest.mark.parametrize(("name", "system"), EVERY)
def test_values_are_round_in_the_unit_system(name, system):
    lines = property_lines(name, system)
    for line in lines.isotherms:
        shown = to_display(line.value, "temperature", system)
        assert shown == pytest.approx(round(shown / 20) * 20, abs=1e-6)
    for line in lines.isentropes:
        shown = to_display(line.value, "specific_entropy", system) * 100
        assert shown == pytest.approx(round(shown), abs=1e-6)
    for line in lines.isochores:
        shown = to_display(line.value, "density", system)
        assert f"{shown:.0e}"[0] in "125" and shown == pytest.approx(float(f"{shown:.0e}"), rel=1e-9)


@pytest.mark.parametrize("name", REFRIGERANT_NAMES)
def test_dome_closes_at_the_critical_point(name):
    lines = property_lines(name)
    assert lines.bubble.h[-1] == lines.dew.h[-1] == lines.critical_enthalpy
    assert lines.dome.p.max() == lines.critical_pressure
    assert np.all(lines.bubble.h[:-1] < lines.dew.h[:-1])
    middle = len(lines.saturation_temperature) // 2
    expected = Refrigerant(name).dew_pressure(lines.saturation_temperature[middle])
    assert lines.dew.p[middle] == pytest.approx(expected)


def test_lines_are_kept_and_cannot_be_changed():
    lines = property_lines("R-134a")
    assert lines is property_lines("R-134a")
    with pytest.raises(ValueError, match="read-only"):
        lines.dome.h[0] = 0.0


@pytest.mark.parametrize("name", REFRIGERANT_NAMES)
def test_saturation_curve_rises_to_the_critical_point(name):
    curve = saturation_curve(name)
    assert np.all(np.diff(curve.T) > 0) and np.all(np.diff(curve.p) > 0)
    assert curve.p[-1] == Refrigerant(name).critical_pressure
    assert curve.p[40] == pytest.approx(Refrigerant(name).dew_pressure(curve.T[40]))
