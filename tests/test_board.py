"""The owner's board: one message an open job, changed in place, seldom, and only when its words change."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise
from typing import Any

import pytest
from conftest import Crew
from jobfacts import ZONE, Facts, at, heron_point, q

from bot import board, stages
from bot.job import Job
from bot.outcome import Person
from bot.shop import Shop
from bot.store import moment
from bot.wire import Delivery

PEOPLE = (Person(1, "Dana", "owner"), Person(2, "Ana"), Person(3, "Luis", language="es"))


def boards(crew: Crew) -> list[dict[str, Any]]:
    return crew.store.rows("select * from outbox where kind = 'board' order by id")


def newest(crew: Crew) -> str:
    return str(boards(crew)[-1]["text"])


def test_an_open_job_has_one_board_and_a_closed_one_keeps_it(heron):
    first = boards(heron)
    assert {b["edits"] for b in first} == {None, first[0]["id"]}
    heron.later(1)
    heron.says("Dana", "close job Heron Point")
    heron.later(1)
    assert "Closed" in newest(heron)
    assert len([b for b in boards(heron) if b["edits"] is None]) == 1


def test_only_owners_have_boards(heron):
    assert {b["chat"] for b in boards(heron)} == {"chat:Dana"}


def test_the_board_stays_out_of_the_stream(heron):
    out = heron.says("Ana", "started A") + heron.later(3)
    assert out and all(x["kind"] in ("reply", "ping", "reminder", "late") for x in out)


def test_it_says_what_stands_wet_what_is_next_and_who_is_there(heron):
    heron.says("Ana", "on site")
    heron.says("Ana", "started B")
    shown = newest(heron)
    # common practice, no source: 120 ft2 at 15 ft2 a minute is 8 min, then 10 of dwell; 30 from the first edge
    assert "B: WET since 9:00" in shown and "Rinse 9:18 to 9:30" in shown
    assert "Next: check B" in shown or "Next: mist B" in shown
    assert "On site: Ana" in shown
    assert "A: not begun, 192 ft2" in shown


def test_edits_are_seldom_and_the_waiting_one_takes_the_newest_words(heron):
    """No more than one edit in 20 s, whatever is said meanwhile."""
    heron.later(2)
    before = len(boards(heron))
    heron.says("Ana", "on site")
    heron.says("Ana", "started B")
    heron.says("Luis", "llegue")
    assert len(boards(heron)) - before <= 2
    assert "Luis" in newest(heron) and "WET" in newest(heron)
    dues = [moment(b["due"] or b["made"]) for b in boards(heron)]
    gaps = [b - a for a, b in pairwise(dues) if a and b]
    assert all(gap >= timedelta(seconds=20) for gap in gaps)


def test_a_busy_quarter_of_an_hour_costs_few_edits(heron):
    heron.later(2)
    before = len(boards(heron))
    for _ in range(30):
        heron.says("Ana", "misted A" if _ % 2 else "on site")
    assert len(boards(heron)) - before <= 2


def test_nothing_changed_is_no_edit(heron):
    heron.later(2)
    before = len(boards(heron))
    heron.says("Ana", "note: the dog is in the yard")
    heron.later(2)
    heron.says("Ana", "status")
    assert len(boards(heron)) == before


def test_a_restart_makes_no_second_board(heron):
    heron.later(1)
    heron.restart()
    heron.says("Ana", "started B")
    heron.later(1)
    assert len([b for b in boards(heron) if b["edits"] is None]) == 1
    assert "B: WET" in newest(heron)


def test_a_board_that_cannot_be_edited_is_made_anew(heron):
    heron.later(1)
    heron.says("Ana", "started B")
    row = boards(heron)[-1]
    heron.store.delivered(row["id"], Delivery("never", why="message to edit not found"), heron.clock.now())
    heron.says("Ana", "B covered")
    assert boards(heron)[-1]["edits"] is None


def test_it_waits_behind_answers_and_never_holds_one_up(heron):
    """What the chat gets first is the answer; the edit that waits its 20 s lets others pass."""
    heron.later(2)
    heron.says("Ana", "started B")
    heron.says("Ana", "B covered")
    assert all(b["urgent"] < 0 for b in boards(heron))
    out = heron.says("Dana", "status")
    assert any(x["to"] == "Dana" for x in out)


def test_pinned_once_and_edited_without_a_pin(heron):
    rows = heron.store.rows("select * from outbox where kind = 'board'")
    made = [heron.store._outgoing(r) for r in rows]
    assert [o.pin for o in made if not o.edits] == [True]
    assert not any(o.pin for o in made if o.edits)


def test_board_off_and_on_again(heron):
    assert "No boards" in heron.says("Dana", "board off")[0]["text"]
    before = len(boards(heron))
    heron.says("Ana", "started B")
    assert len(boards(heron)) == before
    heron.says("Dana", "board")
    assert len([b for b in boards(heron) if b["edits"] is None]) == 1
    assert "B: WET" in newest(heron)


def test_asked_for_it_comes_anew_and_the_old_one_is_let_go(heron):
    heron.later(1)
    heron.says("Dana", "board")
    rows = heron.store.rows("select kind, edits from outbox where kind like '%board' and edits is null order by id")
    assert [r["kind"] for r in rows] == ["old board", "board"]


def test_the_crew_has_no_board(heron):
    assert "owner" in heron.says("Ana", "board")[0]["text"].lower()


def test_a_board_that_breaks_costs_no_answer(heron, monkeypatch):
    def broken(*args: object) -> None:
        raise RuntimeError("no board today")

    monkeypatch.setattr(board, "board", broken)
    assert any(x["kind"] == "reply" for x in heron.says("Ana", "started B"))


def test_it_is_read_in_ten_seconds(heron):
    heron.says("Ana", "on site")
    for text in ("started B", "B covered"):
        heron.says("Ana", text)
    rows = newest(heron).splitlines()
    assert len(rows) <= 10 and max(map(len, rows)) <= 90


# ---- what stands behind it


def job_of(facts: Facts) -> Job:
    return Job(id=1).after(facts.standing())


def test_stages_follow_the_rows():
    facts = Facts()
    facts.add("7:02", "job", action="open", name="Trial Row")
    for name in "ABCDE":
        facts.add("7:03", "measure", name, area=q(100, "ft2"), surface="floor")
    facts.add("9:00", "start", "B", step="strip")
    for name in "CDE":
        facts.add("8:00", "start", name, step="strip")
        facts.add("8:20", "finish", name, step="rinse")
    for name in "DE":
        facts.add("8:30", "start", name, step="brighten")
        facts.add("8:45", "finish", name, step="final rinse")
    facts.add("9:00", "moisture", "E", readings=[14, 13], day="2026-06-13")
    found = {s.section.name: s.name for s in stages.every(job_of(facts), Shop())}
    assert found == {"A": "to_strip", "B": "wet", "C": "to_brighten", "D": "drying", "E": "ready"}
    facts.add("10:00", "finish", "E", step="coat", day="2026-06-13")
    assert stages.every(job_of(facts), Shop())[4].name == "coated"


def test_a_later_pass_makes_a_section_undone_again():
    facts = Facts()
    facts.add("7:03", "measure", "A", area=q(100, "ft2"), surface="floor")
    facts.add("8:00", "start", "A", step="strip")
    facts.add("8:20", "finish", "A", step="rinse")
    facts.add("8:30", "start", "A", step="brighten")
    facts.add("8:45", "finish", "A", step="final rinse")
    facts.add("8:00", "start", "A", step="strip", day="2026-06-11")
    facts.add("8:15", "finish", "A", step="rinse", day="2026-06-11")
    (found,) = stages.every(job_of(facts), Shop())
    assert (found.name, found.since) == ("to_brighten", at("8:15", "2026-06-11"))
    facts.add("9:00", "finish", "A", step="coat", day="2026-06-14")
    facts.add("8:00", "start", "A", step="strip", day="2026-06-20")
    facts.add("8:15", "finish", "A", step="rinse", day="2026-06-20")
    assert stages.every(job_of(facts), Shop())[0].name == "to_brighten"


def test_what_is_still_to_be_mixed():
    """By hand: 100 ft2 at the book's coverage with 10 % over, less what should be left of the batch."""
    facts = Facts()
    for name in "AB":
        facts.add("7:03", "measure", name, area=q(100, "ft2"), surface="floor")
    shop = Shop()
    coverage = shop.products["brightener"].coverage
    (strip, bright) = stages.needs(job_of(facts), shop)
    assert (strip.product, bright.product) == ("stripper", "brightener")
    assert bright.volume.to("gallon").magnitude == pytest.approx(200 / coverage * 1.1)
    facts.add("8:00", "mixed", product="brightener", volume=q(1, "gal"))
    facts.add("9:00", "start", "A", step="brighten", product="brightener")
    left_in_bucket = max(1 - 100 / coverage, 0)
    bright = stages.needs(job_of(facts), shop)[-1]
    assert bright.volume.to("gallon").magnitude == pytest.approx(100 / coverage * 1.1 - left_in_bucket)


def test_stock_that_is_short_is_said_and_uncounted_stock_is_not_guessed():
    facts = Facts()
    facts.add("7:03", "measure", "A", area=q(1000, "ft2"), surface="floor")
    told = [{"kind": "restock", "data": {"product": "brightener", "mass": q(8, "oz")}}]
    bright = stages.needs(job_of(facts), Shop().after(told))[-1]
    assert bright.makes is not None and bright.makes.to("gallon").magnitude == pytest.approx(2)  # 8 oz at 4 oz a gallon
    assert bright.short is not None and bright.short == bright.volume - bright.makes
    assert stages.needs(job_of(facts), Shop())[-1].makes is None
    empty = [{"kind": "restock", "data": {"product": "brightener", "mass": q(0, "oz"), "counted": True}}]
    nothing = stages.needs(job_of(facts), Shop().after(empty))[-1]
    assert nothing.short == nothing.volume


def test_no_end_is_promised_where_a_size_is_unknown():
    facts = Facts()
    facts.add("7:03", "measure", "A", area=q(100, "ft2"), surface="floor")
    job = job_of(facts)
    ends = stages.finish(job, Shop(), stages.every(job, Shop()), at("9:00"))
    assert ends is not None and at("9:30") < ends < at("13:00") and ends.minute % 15 == 0
    facts.add("7:04", "measure", "B", surface="floor")
    job = job_of(facts)
    assert stages.finish(job, Shop(), stages.every(job, Shop()), at("9:00")) is None


def test_a_done_job_promises_nothing_more():
    job = job_of(heron_point())
    assert stages.finish(job, Shop(), stages.every(job, Shop()), at("15:00")) is None
    shown = board.board(job, Shop(), PEOPLE, at("15:00").astimezone(ZONE))
    assert not any(x.key == "board_ends" for x in shown.lines)
