"""Pictures of the internal heat exchanger: what is drawn is what was solved, told in words as well."""

import dataclasses
import itertools
import xml.etree.ElementTree as ElementTree

import pytest

from tests.charts.told import SVG, texts
from tests.components.exchanger_cases import bus_exchanger, gas_streams, streams, van_exchanger
from thermo_kit.charts import Look
from thermo_kit.charts.internal_heat_exchanger import (
    LengthSeries,
    exchange_curves,
    exchange_diagram,
    exchange_length,
    exchanger_profile,
    length_text,
)
from thermo_kit.components.internal_heat_exchanger import solve_exchanger
from thermo_kit.substances.lines import property_lines
from thermo_kit.systems import CycleSpec, ExchangeJob, compare_exchange, effect_of_effectiveness
from thermo_kit.units import UnitSystem, celsius

LOOKS = [Look(), Look(UnitSystem.US, 1600.0), Look(gauge=False)]
VAN = CycleSpec(
    refrigerant="R-1234yf", evaporating_temperature=celsius(2), condensing_temperature=celsius(52),
    superheat=5.0, subcooling=5.0, isentropic_efficiency=0.65,
)  # fmt: skip
SERIES = LengthSeries(
    refrigerant="R-1234yf", lengths=(0.1, 0.5, 1.0, 2.0), frictionless=(0.01, 0.03, 0.05, 0.08),
    cooling=(0.0, 0.02, 0.03, 0.01), cop=(0.0, 0.01, 0.02, 0.005),
    discharge_temperature=tuple(celsius(T) for T in (70, 75, 80, 90)), chosen=1.0, best=1.0,
    discharge_limit=celsius(85),
)  # fmt: skip


def compared(limit=120.0, effectiveness=0.5):
    return compare_exchange(
        ExchangeJob(
            evaporating_temperature=celsius(2),
            condensing_temperature=celsius(52),
            effectiveness=effectiveness,
            discharge_limit=celsius(limit),
        )
    )


@pytest.mark.parametrize("look", LOOKS)
def test_diagram_brackets_tell_the_same_heat_twice(look):
    effect = effect_of_effectiveness(VAN, 0.4)
    picture = exchange_diagram(property_lines("R-1234yf", look.system), effect, look)
    heat = look.text(effect.heat, "specific_enthalpy")
    assert {f"liquid gives {heat}", f"vapour takes {heat}", "without exchanger"} <= set(texts(picture.moving))
    assert heat in picture.sentence
    assert look.text(effect.with_exchanger.discharge_temperature, "temperature") in picture.sentence


def test_diagram_without_heat_has_no_brackets():
    picture = exchange_diagram(property_lines("R-1234yf", UnitSystem.SI), effect_of_effectiveness(VAN, 0.0), Look())
    assert not [text for text in texts(picture.moving) if "gives" in text]
    assert "without heat exchanged" in picture.sentence


def test_diagram_calls_a_supercritical_stream_a_gas():
    spec = CycleSpec(
        refrigerant="R-744", evaporating_temperature=celsius(2), gas_cooler_pressure=100e5,
        gas_cooler_outlet_temperature=celsius(42), superheat=5.0,
    )  # fmt: skip
    picture = exchange_diagram(property_lines("R-744", UnitSystem.SI), effect_of_effectiveness(spec, 0.4), Look())
    assert any(text.startswith("cooled gas gives") for text in texts(picture.moving))
    assert "The cooled gas gives" in picture.sentence


@pytest.mark.parametrize("look", LOOKS)
def test_profile_tells_every_temperature_and_the_effectiveness(look):
    result = solve_exchanger(van_exchanger(), *streams())
    picture = exchanger_profile(result, look, span=2.5)
    words = " ".join(texts(picture.moving))
    for state in (result.liquid_inlet, result.liquid_outlet, result.vapour_inlet, result.vapour_outlet):
        T = state.T
        assert look.text(T, "temperature") in words and look.text(T, "temperature") in picture.sentence
    assert f"{result.effectiveness:.2f}" in words
    assert length_text(1.2, look) in picture.sentence and "vapour inside, liquid in the gap" in " ".join(
        texts(picture.still)
    )


def test_profile_swaps_the_streams_and_names_the_gas():
    picture = exchanger_profile(solve_exchanger(bus_exchanger(), *gas_streams(outlet=42.0)), Look())
    assert any("cooled gas inside, vapour in the gap" in text for text in texts(picture.still))
    assert "Cooled gas flows one way" in picture.sentence


def test_profile_grows_where_no_span_is_named():
    result = solve_exchanger(van_exchanger(4.0), *streams())
    assert "5,000" in texts(exchanger_profile(result, Look()).still)


@pytest.mark.parametrize("look", LOOKS)
def test_curves_name_every_refrigerant_in_each_chart_and_tell_its_numbers(look):
    rows = compared()
    picture = exchange_curves(rows, 0.5, celsius(120), look)
    for row in rows:
        assert texts(picture.moving).count(row.curve.refrigerant) == 3
        assert look.text(row.chosen.discharge_temperature, "temperature") in picture.sentence
    assert "<pattern" in picture.moving and f"limit {look.text(celsius(120), 'temperature', 0)}" in picture.moving
    assert "R-152a passes the limit" in picture.sentence


def test_names_beside_the_curves_keep_apart():
    tree = ElementTree.fromstring(exchange_curves(compared(), 0.5, celsius(120), Look()).moving)
    places = {}
    for text in tree.iter(SVG + "text"):
        if text.text.startswith("R-"):
            places.setdefault(round(float(text.get("x")), 1), []).append(float(text.get("y")))
    assert len(places) == 3
    for heights in places.values():
        heights.sort()
        assert min(b - a for a, b in itertools.pairwise(heights)) > 12


def test_each_refrigerant_has_its_own_pattern_and_marker():
    from thermo_kit.charts import style

    patterns = {(str(style.series_style(i)[1]), style.series_style(i)[2]) for i in range(5)}
    assert len(patterns) == 5


def test_a_curve_that_ends_early_is_said():
    rows = compared()
    cut = tuple(dataclasses.replace(row, chosen=None) if row.curve.refrigerant == "R-744" else row for row in rows)
    assert "R-744: so much heat cannot flow" in exchange_curves(cut, 0.9, celsius(120), Look()).sentence


def test_none_and_always_above_the_limit_are_said():
    assert "None passes the limit" in exchange_curves(compared(170.0), 0.5, celsius(170), Look()).sentence
    assert (
        "R-152a passes the limit 85.0 °C even without one."
        in exchange_curves(compared(85.0), 0.5, celsius(85), Look()).sentence
    )


@pytest.mark.parametrize("look", LOOKS)
def test_length_chart_tells_gain_friction_and_verdict(look):
    picture = exchange_length(SERIES, look)
    told = picture.sentence
    assert "+3.0 %" in told and "+5.0 %" in told and "friction takes 2.0 points" in told
    assert "below the limit" in told and f"More than {length_text(1.0, look)} brings no more" in told
    assert {"cooling", "cooling,", "no friction", "COP"} <= set(texts(picture.moving))
    hot = exchange_length(dataclasses.replace(SERIES, chosen=2.0), look)
    assert "above the limit" in hot.sentence and hot.still is picture.still
    rising = dataclasses.replace(SERIES, cooling=(0.0, 0.02, 0.03, 0.04), best=2.0)
    assert "still grows at the end" in exchange_length(rising, look).sentence
    assert "No length pays." in exchange_length(dataclasses.replace(SERIES, best=None), look).sentence


def test_hot_gas_that_shows_the_limit_is_at_it_not_above():
    hair = dataclasses.replace(SERIES, discharge_limit=celsius(79.98))
    assert "Hot gas 80.0 °C, at the limit 80.0 °C." in exchange_length(hair, Look()).sentence
