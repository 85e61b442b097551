"""Scope after a failure, its range, price lists, the sheet."""

import re
from importlib.resources import files

import numpy as np
import pytest

from thermo_kit.errors import FileAccessError, InputError, UnknownNameError
from thermo_kit.service import RepairSpec, estimate_repair, estimate_sheet, range_so_far
from thermo_kit.service.estimate import FLUSH, INSPECT, REPLACE, SCOPES

BURNT = "compressor burnt, debris in the system"
LIST = (files("thermo_kit.fleet") / "prices" / "depot.toml").read_text(encoding="utf-8")


def of(failure=BURNT, **given):
    return estimate_repair(RepairSpec(failure=failure, draws=2000, **given))


@pytest.mark.parametrize("failure", SCOPES)
def test_every_scope_has_a_range_and_its_drivers(failure):
    assert {step["action"] for step in SCOPES[failure]} <= {REPLACE, FLUSH, INSPECT}
    sheet = of(failure)
    assert 0.0 < sheet.low < sheet.likely < sheet.high
    assert sum(share for _, share in sheet.drivers) == pytest.approx(1.0)
    assert sum(sheet.parts.values()) == pytest.approx(np.array(sheet.totals))
    assert np.mean(np.array(sheet.totals) < sheet.low) == pytest.approx(0.1, abs=0.01)


def test_debris_changes_what_cannot_be_flushed():
    actions = {line.item: line.action for line in of(has_exchanger=True).lines}
    for part in ("compressor", "condenser", "dryer", "valve", "chiller", "seals"):
        assert actions[part] == REPLACE
    for part in ("internal_heat_exchanger", "evaporator", "lines"):
        assert actions[part] == FLUSH
    clean = {line.item: line.action for line in of("compressor burnt, no debris found").lines}
    assert clean["condenser"] == INSPECT


def test_a_burnt_compressor_with_debris_lies_where_practice_says():
    """Common practice: 8,000 to 12,000 dollars in all."""
    sheet = estimate_repair(RepairSpec(failure=BURNT))
    assert 8000 < sheet.likely < 12000
    assert np.mean([8000 <= total <= 12000 for total in sheet.totals]) > 0.75


def test_the_vehicle_decides_what_is_on_the_list():
    belt = of(electric=False, has_chiller=False)
    items = {line.item for line in belt.lines}
    assert items.isdisjoint({"chiller", "high_voltage_shut_down", "scan_and_adapt"})
    assert belt.likely < of().likely
    assert {line.price_key for line in of(accumulator=True, electronic_valve=True).lines} > {
        "accumulator", "electronic_valve"}  # fmt: skip


def test_a_part_that_is_only_checked_widens_the_range():
    never, often = (of("compressor burnt, no debris found", further_share=share) for share in (0.0, 0.6))
    assert often.high - often.low > never.high - never.low
    assert never.likely < often.likely


def test_the_range_narrows_to_one_figure():
    sheet = of()
    widths = [(now := range_so_far(sheet, n, case=7)).high - now.low for n in range(len(sheet.parts) + 1)]
    assert widths[-1] == 0.0 and widths[0] > max(widths[1:])
    assert now.likely == pytest.approx(sheet.totals[7])
    for settled, case, told in ((-1, 0, "lines"), (99, 0, "lines"), (1.5, 0, "lines"), (0, 10**9, "case")):
        with pytest.raises(InputError, match=f"{told}.* is not a whole number from 0 to"):
            range_so_far(sheet, settled, case=case)


@pytest.mark.parametrize(
    "old, new, told",
    [
        ('currency = "USD"', "", "currency.* is missing"),
        ("tax = 0.08", "tax = 19", "tax.*share from 0 to 1"),
        ("cost = [1700.0,", "cost = [-1700.0,", "part.electric_compressor.cost.*none below zero"),
        ("cost = [280.0, 420.0, 800.0]", "cost = [800.0, 420.0, 280.0]", "part.condenser.cost.*rising order"),
        ("cost = [280.0, 420.0, 800.0]", "cost = 420.0", "part.condenser.cost.*three numbers"),
        ("cost = [280.0, 420.0, 800.0]", "cost = [280.0, nan, 800.0]", "part.condenser.cost.*is no range"),
        ("cost = [280.0, 420.0, 800.0]", "cost = [280.0, 420.0, inf]", "part.condenser.cost.*above 10,000,000"),
        (
            "condenser = { cost = [280.0, 420.0, 800.0], hours = [1.5, 2.5, 4.0] }",
            "condenser = 3",
            "part.condenser.hours.*three numbers",
        ),
        ("[work]", "work = 3\n[jobs]", "work.flush.cost"),
        ("hourly_rate = [", "hourly_rate = ", "cannot be read"),
        ("[work]", "[jobs]", "work.flush.cost"),
    ],
)
def test_a_broken_price_list_names_the_row(tmp_path, old, new, told):
    assert old in LIST
    path = tmp_path / "mine.toml"
    path.write_text(LIST.replace(old, new), encoding="utf-8")
    with pytest.raises(InputError, match=told) as caught:
        estimate_repair(RepairSpec(failure=BURNT), prices=path)
    assert "mine.toml" in str(caught.value)


def test_a_list_that_is_not_there(tmp_path):
    with pytest.raises(UnknownNameError, match="price list"):
        estimate_repair(RepairSpec(failure=BURNT), prices="moon")
    for name in ("none.toml", "no\x00ne.toml"):
        with pytest.raises(FileAccessError, match="price list.*cannot be read"):
            estimate_repair(RepairSpec(failure=BURNT), prices=tmp_path / name)
    with pytest.raises(InputError, match="seed.*whole number"):
        estimate_repair(RepairSpec(failure=BURNT), seed=-1)
    free = tmp_path / "free.toml"
    free.write_text(re.sub(r"\[\d.*?\]", "[0, 0, 0]", LIST), encoding="utf-8")
    with pytest.raises(InputError, match="free.toml leaves no range"):
        estimate_repair(RepairSpec(failure=BURNT), prices=free)


def test_the_sheet_is_safe_text_and_carries_range_and_precautions():
    evil = '<script>alert(1)</script><img src="http://x" onerror=y>'
    sheet = of()
    page = estimate_sheet(sheet, vehicle=evil, day=evil, workshop=evil, words=evil).page
    names = set(re.findall(r"<\s*(\w+)", page))
    assert names.isdisjoint({"script", "img", "link", "iframe", "a"}) and "table" in names
    assert not re.search(r"<[^>]*\s(src|href|on\w+)\s*=", page)
    for words in ("High voltage", "never let out", "no offer", f"{round(sheet.high, -1):,.0f}", "Only checked"):
        assert (words in page) == (words != "Only checked")
    belt = estimate_sheet(of("compressor burnt, no debris found", electric=False), vehicle="van").page
    assert "Only checked" in belt and "High voltage" not in belt
