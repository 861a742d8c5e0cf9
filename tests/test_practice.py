"""The first-day practice: the real words on the real clocks, run fast, and nothing of it counts."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from bot import practice
from tests.botapi.people import Person
from tests.botapi.running import until
from tests.botapi.shop import Shop, ask
from tests.conftest import Crew, reply

pytest_plugins = ["tests.botapi.fixtures"]

WORDS = {
    "Ana": ("practice", "started A", "A covered", "Misted", "Lets go", "A rinsed"),
    "Luis": ("práctica", "empecé la A", "A cubierta", "Rociada", "Suelta", "A enjuagada"),
}
REAL = "select kind from entries where job > 0 or job is null"


def text(out: list[dict[str, Any]]) -> str:
    """All that was said."""
    return "\n".join(x["text"] for x in out)


@pytest.mark.parametrize("who", WORDS)
def test_a_whole_practice_in_under_five_minutes(crew: Crew, who: str) -> None:
    """Each step is told, each clock rings (label window of the book: 12 to 30 practice minutes, 5 s each)."""
    begin, start, cover, misted, loose, rinsed = WORDS[who]
    began = crew.clock.now()
    before = crew.store.rows(REAL)
    assert "1 " in reply(crew.says(who, begin), who)["text"]
    crew.later(0.1)
    assert "2 " in text(crew.says(who, start))
    crew.later(0.2)
    assert "3 " in text(crew.says(who, cover))
    rang = crew.later(1.0)
    kinds = [x["about"]["reminder"] for x in rang if x["kind"] in ("reminder", "late")]
    assert {"check", "mist"} <= set(kinds) and all(x["to"] == who for x in rang)
    assert "4 " in text(crew.presses(who, misted))
    assert "5 " in text(crew.presses(who, loose))
    over = text(crew.says(who, rinsed))
    assert "5 " not in over and len(over.splitlines()) <= 8
    assert (crew.clock.now() - began).total_seconds() < 300
    assert crew.store.rows(REAL) == before, "nothing real was written"
    assert crew.later(30) == [], "nothing of it rings afterwards"


def test_it_runs_twelve_times_as_fast(crew: Crew) -> None:
    """A ring a practice hour ahead comes after five real minutes."""
    crew.says("Ana", "practice")
    session = crew.played.desk.ledger.practices.of(2, crew.clock.now())
    assert session is not None and practice.SPEED == 12
    hour = session.fast(crew.clock.now()).replace(hour=10)
    assert (session.real(hour) - crew.clock.now()).total_seconds() == pytest.approx(300)


def test_the_owner_hears_nothing_and_no_job_knows_of_it(crew: Crew) -> None:
    crew.says("Dana", "pings all")
    crew.says("Ana", "practice")
    out = crew.says("Ana", "started A") + crew.later(9)
    assert {x["to"] for x in out} == {"Ana"}, "late, unanswered: and yet nobody is called"
    assert "No job" in reply(crew.says("Dana", "status"), "Dana")["text"]
    assert crew.store.rows("select * from jobs") == []


def test_what_is_real_is_not_played(heron: Crew) -> None:
    """Stock, batches, jobs and the weather belong to the real job: refused in words, and written nowhere."""
    heron.says("Ana", "practice")
    before = heron.store.rows(REAL)
    for said in ("bought 5 lb oxalic for 30", "mixed 4 gal brightener", "new job Trial Row", "heading home"):
        assert "stop practice" in text(heron.says("Ana", said)), said
    assert heron.store.rows(REAL) == before


def test_undo_in_practice_never_reaches_a_real_word(heron: Crew) -> None:
    heron.says("Ana", "A moisture 16")
    heron.says("Ana", "practice")
    heron.says("Ana", "undo")
    assert [r["kind"] for r in heron.standing() if r["kind"] == "moisture"] == ["moisture"]
    heron.says("Ana", "started A")
    assert "Undone" in text(heron.says("Ana", "undo"))
    heron.says("Ana", "stop practice")
    assert "Nothing of yours" not in text(heron.says("Ana", "undo"))
    assert not [r for r in heron.standing() if r["kind"] == "moisture"]


def test_an_injury_is_never_played(heron: Crew) -> None:
    """First aid, the owner, the real job; and the practice is over."""
    heron.says("Ana", "practice")
    out = heron.says("Ana", "stripper in my eye")
    assert {x["to"] for x in out if x["loud"]} >= {"Ana", "Dana"}
    (told,) = heron.store.rows("select job from entries where kind = 'incident'")
    assert told["job"] == 1
    heron.says("Ana", "started B")
    assert heron.store.rows("select job from entries where kind = 'start'") == [{"job": 1}]


def test_left_alone_it_ends_and_the_next_word_is_real(heron: Crew) -> None:
    heron.says("Ana", "practice")
    heron.later(11)
    heron.says("Ana", "started B")
    assert heron.store.rows("select job from entries where kind = 'start'") == [{"job": 1}]


def test_not_while_wood_stands_wet(heron: Crew) -> None:
    heron.says("Ana", "started B")
    assert "B stands wet" in reply(heron.says("Ana", "practice"))["text"]
    assert heron.store.rows("select 1 from entries where job < 0") == []


def test_a_real_ring_ends_it(heron: Crew) -> None:
    """Somebody starts her on real work meanwhile: once it has rung for her, the next word is real."""
    heron.says("Ana", "started B")
    heron.says("Dana", "undo Ana's last")
    heron.says("Ana", "practice")
    heron.says("Dana", "started B")
    with heron.store.turn():
        heron.store.add("outbox", {"person": 2, "job": 1, "kind": "reminder", "text": "Mist B now.", "state": "sent",
                                   "chat": "chat:Ana", "made": "2026-06-10T13:00:30.000+00:00"})  # fmt: skip
    heron.later(1)
    assert "PRACTICE" not in text(heron.says("Ana", "status"))


def test_a_button_of_a_practice_that_is_over(crew: Crew) -> None:
    crew.says("Ana", "practice")
    crew.says("Ana", "started A")
    crew.says("Ana", "stop practice")
    assert "over" in reply(crew.presses("Ana", "Covered"))["text"]


def test_it_stands_over_a_restart(crew: Crew) -> None:
    crew.says("Ana", "practice")
    crew.says("Ana", "started A")
    crew.restart()
    assert [x for x in crew.later(1.2) if x["kind"] == "reminder"]
    assert "PRACTICE" in text(crew.says("Ana", "A rinsed"))


def test_chatter_in_practice_says_the_step_again(crew: Crew) -> None:
    crew.says("Ana", "practice")
    said = reply(crew.says("Ana", "lol what a day"))["text"]
    assert "Nothing written down" in said and "started A" in said


def test_a_new_hand_is_told_of_it(crew: Crew) -> None:
    told = text(crew.says("Dana", "invite crew"))
    code = told.split("/start ")[1].split()[0]
    welcome = next(x for x in crew.says("Stranger", f"/start {code}") if x["to"] == "Stranger")
    assert "practice" in welcome["text"] and welcome["buttons"] == ["Practice"]
    assert "PRACTICE" in text(crew.presses("Stranger", "Practice"))


def test_it_can_be_played_again(crew: Crew) -> None:
    for _ in range(2):
        assert "started A" in reply(crew.says("Ana", "practice"))["text"]
        crew.says("Ana", "started A")
        assert "over" in text(crew.says("Ana", "A rinsed"))


def test_the_reading_views_do_not_count_it(crew: Crew) -> None:
    crew.says("Ana", "practice")
    crew.says("Ana", "started A")
    crew.later(1)
    crew.says("Ana", "A rinsed")
    assert crew.store.rows("select * from dwell_by_section") == []
    assert {r["job"] for r in crew.store.rows("select job from timeline where kind = 'start'")} == {"practice"}


async def test_on_the_phone(shop: Shop, dana: Person, ana: Person) -> None:
    """Over real HTTP, its buttons and its rings, the clock skipping a minute and a half."""
    async with shop.running():
        await shop.admit(dana, ana)
        assert "started A" in await ask(ana, "/practice")
        await ask(ana, "started A")
        ana.presses("Covered")
        await until(lambda: shop.rows("select 1 from entries where kind = 'finish'"))
        shop.clock.skipped = timedelta(seconds=75)
        await ask(ana, "status")
        await until(lambda: any("Mist A" in t or "Check A" in t for t in ana.texts()))
        ana.says("A rinsed")
        await until(lambda: any("Practice is over" in t for t in ana.texts()))
        quiet_owner = [t for t in dana.texts() if "A" in t and "PRACTICE" in t]
    assert not quiet_owner and shop.rows("select count(*) as n from jobs") == [{"n": 0}]
