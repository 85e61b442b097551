"""Logs of readings: every line is used or named, nothing is dropped in silence."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.systems.sample_log import ALTITUDE, FAN_OFF, FAN_ON, SAMPLE, cycle_at, sample_text
from thermo_kit.errors import (
    FileAccessError,
    InputError,
    OutOfRangeError,
    ReadingsError,
    ThermoKitError,
    UnknownNameError,
)
from thermo_kit.systems import cycle_from_readings, read_log
from thermo_kit.systems.reading_log import split_heading
from thermo_kit.systems.readings_states import MEASURED
from thermo_kit.units import barg, celsius

HEADER = (
    "time [s],suction_pressure [bar(g)],discharge_pressure [bar(g)],suction_temperature [°C],"
    "discharge_temperature [°C],liquid_temperature [°C]"
)
GOOD = "2.0,12.5,9.0,72.0,43.0"


def log_of(*lines, header=HEADER, end="\n", **others):
    return read_log("\n".join((header, *lines)) + end, **({"refrigerant": "R-134a"} | others))


def test_a_plain_log_is_read_into_si():
    log = log_of(f"0,{GOOD}", f"10,{GOOD}", altitude=500)
    assert log.times == (0.0, 10.0)
    assert [row.line for row in log.rows] == [2, 3]
    readings = log.rows[0].readings
    assert readings.suction_pressure == pytest.approx(barg(2.0, 500))
    assert readings.discharge_temperature == pytest.approx(celsius(72))
    assert readings.evaporator_outlet_temperature is None
    assert readings.altitude == 500
    assert log.skipped == log.notes == ()


SAME = {
    "psi, °F, minutes": (
        "time (min),suction_pressure_psig,Discharge Pressure [psi(g)],SUCTION-TEMPERATURE (°F),"
        'discharge temperature degF,"liquid_temperature, F"',
        "0.5,29.0075,181.297,48.2,161.6,109.4",
    ),
    "absolute kPa and kelvin": (
        "time_s,suction_pressure [kPa(a)],discharge_pressure_kPa abs,suction_temperature [K],discharge_temperature [K],"
        "liquid_temperature [K]",
        "30,301.325,1351.325,282.15,345.15,316.15",
    ),
    "semicolon and decimal comma": (
        "time_s;suction_pressure bar(g);discharge_pressure barg;suction_temperature °C;discharge_temperature C;"
        "liquid_temperature celsius",
        "30;2,0;12,5;9,0;72,0;43,0",
    ),
    "tab": (HEADER.replace(",", "\t"), f"30,{GOOD}".replace(",", "\t")),
    "tab and decimal comma": (HEADER.replace(",", "\t"), f"30,{GOOD}".replace(",", "\t").replace(".", ",")),
    "other order and a foreign column": (
        "liquid_temperature [°C],cabin air [°C],discharge_temperature [°C],suction_temperature [°C],"
        "discharge_pressure [MPa(g)],suction_pressure [mbar(g)],time [s]",
        "43,27,72,9,1.25,2000,30",
    ),
}


@pytest.mark.parametrize("name", SAME)
def test_the_same_moment_in_many_forms(name):
    header, line = SAME[name]
    log = log_of(line, header=header)
    (row,) = log.rows
    told = [getattr(row.readings, field) for field in MEASURED[:-1]]
    assert [row.time, *told] == pytest.approx([30, *map(barg, (2.0, 12.5)), *map(celsius, (9, 72, 43))], rel=1e-5)
    assert log.notes == (("Column 'cabin air [°C]' is not used.",) if "foreign" in name else ())


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_encodings_and_byte_order_marks(encoding, tmp_path):
    text = f"# refrigerant: R-134a\r\n{HEADER}\r\n0,{GOOD}\r\n"
    path = tmp_path / "log.csv"
    path.write_bytes(text.encode(encoding))
    for log in (read_log(path), read_log(str(path)), read_log(path.read_bytes())):
        assert len(log.rows) == 1
        assert log.refrigerant == "R-134a"
        assert bool(log.notes) == (encoding == "cp1252")


def test_comment_lines_set_refrigerant_and_altitude_and_arguments_override_them():
    text = f"# refrigerant: r1234yf\n#altitude: 1600 ft\n{HEADER}\n# fan off here\n0,{GOOD}\n"
    log = read_log(text)
    assert (log.refrigerant, round(log.altitude)) == ("R-1234yf", 488)
    other = read_log(text, refrigerant="R-134a", altitude=0)
    assert (other.refrigerant, other.altitude) == ("R-134a", 0)


def test_mass_flow_and_evaporator_outlet_are_read_and_may_be_empty():
    header = HEADER + ",evaporator_outlet_temperature [°C],mass_flow [g/s]"
    full, empty = log_of(f"0,{GOOD},6,25", f"10,{GOOD},,", header=header).rows
    assert full.readings.mass_flow == pytest.approx(0.025)
    assert full.readings.evaporator_outlet_temperature == pytest.approx(celsius(6))
    assert empty.readings.mass_flow is empty.readings.evaporator_outlet_temperature is None


BAD_LINES = {
    "10,abc,12.5,9,72,43": "suction_pressure 'abc' is not a number",
    "10,2.0,12.5,9,72": "has 5 of 6 cells",
    "10,2.0,12.5,9,72,43,99": "has 7 of 6 cells",
    "10,2.0,12.5,,72,43": "suction_temperature is empty",
    "10,2.0,12.5,nan,72,43": "suction_temperature 'nan' is not a number",
    "10,2.0,12.5,1_0,72,43": "suction_temperature '1_0' is not a number",
    "10,2.0,12.5,9,720,43": "discharge temperature 720.0 °C is above",
    "10,12.5,2.0,9,72,43": "are the hoses swapped",
    "10,-1.5,12.5,9,72,43": "suction pressure −0.49 bar abs is below",
    "10,6.0,6.1,20,25,22": "not running or not pumping",
    "10,2.0,12.5,9,9,43": "colder than a loss-free compressor",
    "-5,2.0,12.5,9,72,43": "time -5 s goes back behind 0 s of the line before: did the clock restart?",
    "0,2.0,12.5,9,72,43": "time 0 s repeats 0 s",
    "ten,2.0,12.5,9,72,43": "time 'ten' is not a number",
    "1e308,2.0,12.5,9,72,43": "time '1e308' is beyond all that can be measured",
    f"11,2.0,12.5,9,72,43{'0' * 140_000}": "cannot be parted into cells",
}


@pytest.mark.parametrize("line", BAD_LINES)
def test_a_bad_line_is_named_and_the_good_ones_are_kept(line):
    log = log_of(f"0,{GOOD}", line, f"20,{GOOD}")
    assert log.times == (0.0, 20.0)
    (skipped,) = log.skipped
    assert skipped.line == 3 and BAD_LINES[line] in str(skipped.reason)
    # What contradicts only itself keeps its place in time.
    assert skipped.time == (10.0 if line.startswith("10,6.0") else skipped.time)


def test_after_a_restart_of_the_clock_lines_wait_until_it_has_caught_up():
    assert log_of(*(f"{time},{GOOD}" for time in (0, 10, 5, 7, 20))).times == (0.0, 10.0, 20.0)


def test_a_half_written_last_line():
    log = log_of(f"0,{GOOD}", "10,2.0,12.5", end="")
    assert str(log.skipped[0].reason) == "is half-written: it has 3 of 6 cells"
    assert log.times == (0.0,)
    whole = log_of(f"0,{GOOD}", f"10,{GOOD}", end="")
    assert len(whole.rows) == 2
    assert whole.notes == ("The last line has no line end: its last number may be cut short.",)


@given(
    st.lists(
        st.one_of(
            st.just("good"),
            st.sampled_from([line.partition(",")[2] for line in BAD_LINES if line.startswith("10,")]),
            st.text(st.characters(blacklist_categories=("Cs", "Cc", "Zl", "Zp")), max_size=30),
        ),
        max_size=12,
    )
)
def test_every_line_is_used_named_or_blank(cells):
    lines = [f"{10 * i + 10},{GOOD if cell == 'good' else cell}" for i, cell in enumerate(cells)]
    log = log_of(f"0,{GOOD}", *lines)
    seen = sorted([row.line for row in log.rows] + [skipped.line for skipped in log.skipped])
    assert seen == list(range(2, 3 + len(lines)))
    assert all(str(skipped.reason) for skipped in log.skipped)


@given(st.text(max_size=200))
def test_any_text_is_a_log_or_a_reason(text):
    try:
        read_log(text + "\n", refrigerant="R-134a")
    except ThermoKitError as reason:
        assert str(reason)


@given(st.binary(max_size=200))
def test_any_bytes_are_a_log_or_a_reason(data):
    with pytest.raises(ThermoKitError):
        read_log(data, refrigerant="R-134a")


NO_LOG = dict.fromkeys(
    ("", "\n", "   \n\n", "# only a comment\n", ",,,\n", "\ufeff\n"), "log is empty: it needs one"
) | {
    f"{HEADER}\n": "has a header but no readings",
    "a,b\n1,2\n": "has none of the expected columns: the first line must name them",
    f"{'a' * 140_000}\n1,2\n": "cannot be parted into cells",
    f"# altitude: high\n{HEADER}\n0,{GOOD}\n": "altitude of the log 'high'",
    f"# altitude: 9 km\n{HEADER}\n0,{GOOD}\n": "altitude of the log 9,000 m",
}


@pytest.mark.parametrize("text", NO_LOG, ids=lambda text: text[:40])
def test_what_is_no_log_is_refused(text):
    with pytest.raises(InputError) as caught:
        read_log(text, refrigerant="R-134a")
    assert NO_LOG[text] in str(caught.value)


def test_missing_doubled_and_unclear_columns_are_told_at_once():
    header = (
        "time,suction_pressure [bar],discharge_pressure [°C],suction_temperature [°C],suction temperature (K),"
        "discharge_temperature [furlong]"
    )
    with pytest.raises(ReadingsError) as caught:
        log_of("1,2,3,4,5,6", header=header)
    for words in (
        "column 'time' has no unit: write it like time [s]",
        "column 'suction_pressure' does not say whether its bar are gauge or absolute: write suction_pressure [bar(g)]",
        "column 'discharge_pressure' has the unit '°C', which is not understood",
        "column 'suction_temperature' stands twice",
        "column 'discharge_temperature' has the unit 'furlong'",
        "column 'liquid_temperature' is missing: add it with its unit, as liquid_temperature [°C]",
    ):
        assert words in str(caught.value), str(caught.value)


def test_no_usable_line_is_an_error_with_the_first_reasons():
    with pytest.raises(ReadingsError, match="log has 8 lines of readings and none can be used") as caught:
        log_of(*["0,1,2"] * 8)
    assert str(caught.value).count("has 3 of 6 cells") == 5 and "line 2 has 3 of 6 cells" in str(caught.value)


@pytest.mark.parametrize(
    ("error", "words", "given"),
    [
        (ReadingsError, 'add the line "# refrigerant: R-134a"', {"refrigerant": None}),
        (UnknownNameError, "'R-22'", {"refrigerant": "R-22"}),
        (OutOfRangeError, "altitude of the log", {"altitude": "high"}),
        (OutOfRangeError, "altitude of the log", {"altitude": 1e5}),
    ],
)
def test_a_refrigerant_or_an_altitude_that_cannot_be(error, words, given):
    with pytest.raises(error, match=words):
        log_of(f"0,{GOOD}", **given)


def test_files_that_cannot_be_read(tmp_path):
    for name in ("nowhere.csv", "", "a\x00b.csv"):
        with pytest.raises(FileAccessError, match=f"{name if name.isprintable() else ''}.*cannot be read"):
            read_log(tmp_path / name)
    huge = tmp_path / "huge.csv"
    with huge.open("wb") as file:
        file.truncate(20_000_001)
    with pytest.raises(ReadingsError, match="larger than 20 MB"):
        read_log(huge)


@pytest.mark.parametrize(
    ("heading", "name", "unit"),
    [
        ("time_s", "time", "s"), ("Time [min]", "time", "min"), ("timestamp", None, ""), ("times", None, ""),
        ("Suction Pressure (bar(g))", "suction_pressure", "bar(g)"), ("suction_pressure", "suction_pressure", ""),
        ("LIQUID-TEMPERATURE °F", "liquid_temperature", "°F"), ("suction_pressure2 [bar]", None, ""), ("", None, ""),
    ],
)  # fmt: skip
def test_headings(heading, name, unit):
    assert split_heading(heading) == (name, unit)


def test_the_sample_log_says_it_is_invented_and_is_what_its_maker_makes():
    assert SAMPLE.read_text(encoding="utf-8").startswith("# INVENTED DATA")
    made, log = read_log(sample_text()), read_log(SAMPLE)
    assert (len(log.rows), log.skipped, log.notes) == (61, (), ())
    assert (log.refrigerant, log.altitude) == ("R-1234yf", ALTITUDE)
    for new, old in zip(made.rows, log.rows, strict=True):
        assert new.readings.discharge_pressure == pytest.approx(old.readings.discharge_pressure, abs=1.1e3)
        assert new.readings.discharge_temperature == pytest.approx(old.readings.discharge_temperature, abs=0.15)


def test_the_sample_log_shows_the_pull_down_and_the_fan():
    log = read_log(SAMPLE)
    cycles = {row.time: cycle_from_readings(row.readings) for row in log.rows}
    assert cycles[FAN_OFF].evaporating_temperature < cycles[0.0].evaporating_temperature - 8
    assert cycles[FAN_ON].condensing_temperature > cycles[FAN_OFF].condensing_temperature + 10
    assert cycles[FAN_ON].coefficient_of_performance < 0.7 * cycles[FAN_OFF].coefficient_of_performance
    assert cycles[600.0].condensing_temperature < cycles[FAN_OFF].condensing_temperature
    for time, cycle in cycles.items():
        truth = cycle_at(time)
        for name in ("superheat", "coefficient_of_performance"):
            assert abs(getattr(cycle, name) - getattr(truth, name)) < 2 * cycle.uncertainty[name]
