"""The clocks as they ring: when, to whom, once, after a restart, and to the owner where nobody answers."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot import clocks, windows
from bot.job import Job
from bot.parts import Pass, Section
from bot.shop import Shop
from bot.trade.units import Q
from tests.conftest import Crew

ZONE = ZoneInfo("America/New_York")
T0 = datetime(2026, 6, 10, 13, 50, tzinfo=UTC)


def rings(out: list[dict[str, Any]], to: str = "") -> list[tuple[str, str]]:
    return [
        (x["at"][11:16], x["about"]["reminder"])
        for x in out
        if x["kind"] in ("reminder", "late") and (not to or x["to"] == to)
    ]


def test_the_order_of_the_rings(heron: Crew) -> None:
    # common practice: dwell 10 to 30, mist each 12, 15 ft2 a minute; by hand from 9:50
    heron.at("09:50")
    heron.says("Ana", "started B")
    assert rings(heron.at("10:22"), "Ana") == [
        ("10:00", "check"),
        ("10:02", "mist"),
        ("10:08", "rinse open"),
        ("10:18", "rinse"),
        ("10:21", "rinse late"),
    ]


def test_nothing_rings_for_a_rinsed_section(heron: Crew) -> None:
    heron.at("09:50")
    heron.says("Ana", "started B")
    heron.at("10:09")
    heron.says("Ana", "B rinsed")
    assert rings(heron.at("14:00")) == []


def test_rings_go_to_who_works_there(heron: Crew) -> None:
    heron.at("09:50")
    heron.says("Ana", "started B")
    heron.says("Luis", "empece las escaleras")
    out = heron.at("10:01")
    assert {x["to"] for x in out if "B" in x["about"].get("sections", ())} == {"Ana"}
    assert {x["to"] for x in out if "stairs" in x["about"].get("sections", ())} == {"Luis"}


def test_one_reminder_carries_several_sections(heron: Crew) -> None:
    heron.at("09:50")
    heron.says("Ana", "started A and B")
    checks = [x for x in heron.at("10:01") if x["about"].get("reminder") == "check"]
    assert [x["about"]["sections"] for x in checks] == [["A", "B"]]


def test_the_owner_hears_of_silence_once(heron: Crew) -> None:
    heron.at("09:50")
    heron.says("Ana", "started B")
    pings = [x for x in heron.at("10:15") if x["kind"] == "ping" and x["to"] == "Dana"]
    assert len(pings) == 1 and pings[0]["at"][11:16] == "10:05"


def test_any_word_about_the_section_answers(heron: Crew) -> None:
    heron.at("09:50")
    heron.says("Ana", "started B")
    heron.at("10:02")
    heron.says("Ana", "B is still stuck")
    assert not [x for x in heron.at("10:06") if x["kind"] == "ping"]


def test_a_restart_forgets_no_reminder_and_marks_what_is_late(heron: Crew) -> None:
    heron.at("09:50")
    heron.says("Ana", "started B")
    heron.clock.move(heron.clock.now() + timedelta(minutes=40))  # nobody at home meanwhile
    heron.restart()
    out = heron.later(0)
    late = [x for x in out if x["to"] == "Ana"]
    assert {x["about"]["reminder"] for x in late} >= {"mist", "check", "rinse"} and all(
        x["kind"] == "late" for x in late
    )
    kinds = [x["about"]["reminder"] for x in late]
    assert len(kinds) == len(set(kinds))  # what repeats itself came as one
    assert rings(heron.later(0)) == []  # and each of them once


def window(minutes: float, area: float, pace: float, covered: float | None = None) -> windows.Window:
    wet = Pass("strip", 1, "stripper", T0, None if covered is None else T0 + timedelta(minutes=covered))
    section = Section("B", "floor", Q(area, "foot**2"), (wet,))
    shop = Shop(paces={"strip": pace})
    found = windows.window(Job(sections={"B": section}), shop, section, wet)
    assert found is not None
    return found


@given(area=st.floats(1, 2000), pace=st.floats(1, 100), covered=st.none() | st.floats(0, 240))
def test_never_a_last_edge_early_nor_a_first_edge_late(
    area: float, pace: float, covered: float | None
) -> None:
    w = window(0, area, pace, covered)
    last = T0 + timedelta(minutes=area / pace if covered is None else covered)
    assert w.rinse_from >= last + timedelta(minutes=10) - timedelta(seconds=0.001)
    assert w.rinse_by <= T0 + timedelta(minutes=30)
    assert w.too_large == (w.rinse_from > w.rinse_by)


@given(minutes=st.integers(0, 600), restart=st.integers(0, 600))
def test_what_rang_never_rings_again(minutes: int, restart: int) -> None:
    wet = Pass("strip", 1, "stripper", T0, T0 + timedelta(minutes=8), people=(1,))
    job = Job(1, "x", T0, sections={"B": Section("B", "floor", Q(120, "foot**2"), (wet,), spoken=T0)})
    shop = Shop()
    seen: list[str] = []
    for moment in sorted({minutes, restart, 700}):
        now = T0 + timedelta(minutes=moment)
        for ring in clocks.ringing(clocks.due(job, shop, ZONE), now):
            seen += ring.keys
            fact = {
                "kind": "rang",
                "at": now,
                "told": now,
                "person": None,
                "sections": ring.sections,
                "data": {"keys": list(ring.keys), "due": (ring.last or ring.due).isoformat()},
            }
            job = job.after([fact])
    assert len(seen) == len(set(seen))


@pytest.mark.parametrize(
    "text",
    ["A is drying out", "its drying in the corner already", "se me esta secando la A", "la A esta seca de una orilla"],
)
def test_product_that_dries_is_misted_at_once_not_only_looked_up(heron: Crew, text: str) -> None:
    heron.says("Ana", "started A")
    heron.later(6)
    out = [m for m in heron.says("Ana", text) if m["to"] == "Ana"]
    assert out[0]["text"].startswith("Mist A now") and "Misted" in out[0]["buttons"]
