"""Pictures of the internal heat exchanger: what is drawn is what was solved, told in words as well."""

import functools
import itertools
import xml.etree.ElementTree as ElementTree
from dataclasses import replace

import pytest

from tests.charts.told import LOOKS, SVG, tells, texts
from tests.components.exchanger_cases import bus_exchanger, gas_streams, streams, van_exchanger
from thermo_kit.charts import Look, style
from thermo_kit.charts import internal_heat_exchanger as chart
from thermo_kit.components.internal_heat_exchanger import solve_exchanger
from thermo_kit.substances.lines import property_lines
from thermo_kit.systems import CycleSpec, ExchangeJob, compare_exchange, effect_of_effectiveness
from thermo_kit.units import celsius

VAN = CycleSpec(
    refrigerant="R-1234yf", evaporating_temperature=celsius(2), condensing_temperature=celsius(52),
    superheat=5.0, subcooling=5.0, isentropic_efficiency=0.65,
)  # fmt: skip
SERIES = chart.LengthSeries(
    refrigerant="R-1234yf", lengths=(0.1, 0.5, 1.0, 2.0), frictionless=(0.01, 0.03, 0.05, 0.08),
    cooling=(0.0, 0.02, 0.03, 0.01), cop=(0.0, 0.01, 0.02, 0.005),
    discharge_temperature=tuple(celsius(T) for T in (70, 75, 80, 90)), chosen=1.0, best=1.0,
    discharge_limit=celsius(85),
)  # fmt: skip
JOB = ExchangeJob(evaporating_temperature=celsius(2), condensing_temperature=celsius(52), effectiveness=0.5)


@functools.cache
def compared(limit=120.0):
    return tuple(compare_exchange(replace(JOB, discharge_limit=celsius(limit))))


def draw_diagram(effect, look):
    return chart.exchange_diagram(property_lines(effect.without.refrigerant, look.system), effect, look)


def curves_told(limit, look=LOOKS[0], rows=None):
    return chart.exchange_curves(rows or compared(limit), 0.5, celsius(limit), look)


def test_diagram_brackets_tell_the_same_heat_twice_or_are_not_there():
    heat = "{heat:specific_enthalpy}"
    said = f"{heat}; {{with_exchanger.discharge_temperature:temperature}}"
    seen = f"liquid gives {heat}; vapour takes {heat}; without exchanger"
    tells(draw_diagram, effect_of_effectiveness(VAN, 0.4), seen, said)
    tells(draw_diagram, effect_of_effectiveness(VAN, 0.0), said="without heat exchanged", unseen="gives")


def test_diagram_calls_a_supercritical_stream_a_gas():
    gas = {"gas_cooler_pressure": 100e5, "gas_cooler_outlet_temperature": celsius(42)}
    spec = CycleSpec(refrigerant="R-744", evaporating_temperature=celsius(2), superheat=5.0, **gas)
    tells(draw_diagram, effect_of_effectiveness(spec, 0.4), "cooled gas gives", "The cooled gas gives")


def test_profile_tells_every_temperature_and_the_effectiveness():
    ends = ("liquid_inlet", "liquid_outlet", "vapour_inlet", "vapour_outlet")
    all_ends = "; ".join(f"{{{name}.T:temperature}}" for name in ends)
    seen = f"{all_ends}; {{effectiveness:.2f}}; vapour inside, liquid in the gap"
    draw = functools.partial(chart.exchanger_profile, span=2.5)
    tells(draw, solve_exchanger(van_exchanger(), *streams()), seen, f"{all_ends}; {{spec.length:length.0/1}}")


def test_profile_swaps_the_streams_names_the_gas_and_grows_where_no_span_is_named():
    gas = solve_exchanger(bus_exchanger(), *gas_streams(outlet=42.0))
    tells(chart.exchanger_profile, gas, "cooled gas inside, vapour in the gap", "Cooled gas flows one way")
    long = solve_exchanger(van_exchanger(4.0), *streams())
    assert "5,000" in texts(chart.exchanger_profile(long, Look()).still)


@pytest.mark.parametrize("look", LOOKS)
def test_curves_name_every_refrigerant_in_each_chart_and_tell_its_numbers(look):
    picture = curves_told(120.0, look)
    for row in compared():
        assert texts(picture.moving).count(row.curve.refrigerant) == 3
        assert look.text(row.chosen.discharge_temperature, "temperature") in picture.sentence
    assert "<pattern" in picture.moving and f"limit {look.text(celsius(120), 'temperature', 0)}" in picture.moving
    assert "R-152a passes the limit" in picture.sentence


def test_names_beside_the_curves_keep_apart():
    tree = ElementTree.fromstring(curves_told(120.0).moving)
    places = {}
    for text in tree.iter(SVG + "text"):
        if text.text.startswith("R-"):
            places.setdefault(round(float(text.get("x")), 1), []).append(float(text.get("y")))
    assert len(places) == 3
    assert all(b - a > 12 for heights in places.values() for a, b in itertools.pairwise(sorted(heights)))


def test_each_refrigerant_has_its_own_pattern_and_marker():
    assert len({style.series_style(i)[1:] for i in range(5)}) == 5


def test_a_curve_that_ends_early_and_a_limit_that_none_or_one_always_passes_are_said():
    cut = tuple(replace(row, chosen=None) if row.curve.refrigerant == "R-744" else row for row in compared())
    assert "R-744: so much heat cannot flow" in curves_told(120.0, rows=cut).sentence
    assert "None passes the limit" in curves_told(170.0).sentence
    assert "R-152a passes the limit 85.0 °C even without one." in curves_told(85.0).sentence


def test_length_chart_tells_gain_friction_and_verdict():
    said = "+3.0 %; +5.0 %; friction takes 2.0 points; below the limit; More than {best:length.0/1} brings no more"
    tells(chart.exchange_length, SERIES, "|cooling|; |cooling,|; |no friction|; |COP|", said)
    rising = {"cooling": (0.0, 0.02, 0.03, 0.04), "best": 2.0}
    tells(chart.exchange_length, replace(SERIES, **rising), said="still grows at the end")
    tells(chart.exchange_length, replace(SERIES, best=None), said="No length pays.")
    hot, calm = (chart.exchange_length(replace(SERIES, chosen=length), Look()) for length in (2.0, 1.0))
    assert "above the limit" in hot.sentence and hot.still is calm.still
    hair = chart.exchange_length(replace(SERIES, discharge_limit=celsius(79.98)), Look())
    assert "Hot gas 80.0 °C, at the limit 80.0 °C." in hair.sentence
