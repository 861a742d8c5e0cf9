"""Attempts to lose a message, to act twice, to read or undo what is another's, and to silence a clock; each one failed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from bot.wire import Incoming
from tests.conftest import Crew

OPENED = {"joined": True}  # the bot was put into the group


def raw(crew: Crew, who: str, kind: str, text: str = "", **more: Any) -> list[dict[str, Any]]:
    """An update of any kind; gives what went out."""
    crew.played.desk.receive(replace(crew.played._incoming(kind, who, text), **more))
    crew.played.desk.work()
    return list(crew.played._deliver())


def in_group(crew: Crew, who: str, text: str, kind: str = "text", **more: Any) -> list[dict[str, Any]]:
    return raw(crew, who, kind, text, private=False, chat="-7", **more)


def button(crew: Crew, label: str, chat: str) -> str:
    """The newest button of these words in a chat."""
    row = crew.store.row(
        "select id from buttons where label = ? and chat = ? order by outbox desc limit 1", label, chat
    )
    assert row is not None
    return str(row["id"])


def words(out: list[dict[str, Any]], to: str) -> str:
    return "\n".join(x["text"] for x in out if x["to"] == to)


def second_job(crew: Crew, *sections: str) -> None:
    for text in ("new job Trial Row", *sections):
        crew.says("Dana", text)


# ---- a message lost


WORK = ("start stripping section B now", "start brightener on section A", "Start: the stairs, luis")


@pytest.mark.parametrize("text", WORK)
def test_work_that_begins_with_the_word_start_is_no_code(heron: Crew, text: str) -> None:
    """It was taken for an invitation's code, answered "you are in already", and its words were wiped out."""
    out = heron.says("Ana", text)
    assert "already" not in words(out, "Ana")
    row = heron.store.row("select payload from inbox order by id desc limit 1")
    assert row is not None and text in row["payload"]


def test_a_picture_too_large_breaks_nothing_and_an_injury_told_with_it_is_answered(heron: Crew) -> None:
    """Telegram's own refusal of a file is "size"."""
    out = raw(heron, "Ana", "photo", "acid in the eye, help", data={"problem": "size"})
    assert "15 minutes" in words(out, "Ana") and "INCIDENT" in words(out, "Dana")
    assert not heron.store.rows("select 1 from inbox where state = 'failed'")


def test_first_aid_is_said_whatever_breaks(heron: Crew) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("on purpose")

    heron.played.desk.handlers["incident"] = broken  # type: ignore[index]
    out = heron.says("Ana", "eye burning help")
    assert "15 minutes" in words(out, "Ana")
    assert [x["loud"] for x in out if x["to"] == "Dana"] == [True]


def test_a_strangers_cries_do_not_go_before_the_crews(heron: Crew) -> None:
    desk = heron.played.desk
    for n in range(5):
        desk.receive(replace(heron.played._incoming("text", "Stranger", "eye burning help"), key=f"flood-{n}"))
    desk.receive(heron.played._incoming("text", "Ana", "eye burning help"))
    first = heron.store.next_in()
    assert first is not None and first["person"] == "Ana"


# ---- the wrong job


def test_an_edit_is_said_anew_in_the_job_it_was_said_in(heron: Crew) -> None:
    heron.says("Ana", "started B")
    second_job(heron, "A 10x10 ft", "B 10x10 ft")
    edited = heron.played.last["Ana"]
    heron.says("Ana", "switch to Trial Row")
    raw(heron, "Ana", "edit", "started A", message=edited)
    started = [(r["job"], r["sections"]) for r in heron.standing() if r["kind"] == "start"]
    assert started == [("Heron Point", ["A"])]


def test_a_button_confirmed_late_acts_in_the_job_of_its_message(heron: Crew) -> None:
    heron.says("Ana", "started B")
    second_job(heron, "B 10x10 ft")
    covered = button(heron, "Covered", "chat:Ana")
    heron.clock.move(heron.clock.now().replace(hour=11))
    heron.says("Ana", "switch to Trial Row")
    raw(heron, "Ana", "press", press=covered)
    heron.presses("Ana", "Covered, now")
    assert [r["job"] for r in heron.standing() if r["kind"] == "finish"] == ["Heron Point"]


def test_work_told_by_a_button_of_a_job_closed_meanwhile_is_asked_about(heron: Crew) -> None:
    """In a closed job nothing rings: product begun there would stand unheard."""
    second_job(heron, "B 10x10 ft")
    heron.says("Ana", "started B")
    heron.says("Dana", "close job Trial Row")
    out = heron.presses("Ana", "Trial Row")
    assert [x["buttons"] for x in out if x["to"] == "Ana"] == [["Reopen Trial Row", "Heron Point"]]
    assert "start" not in [r["kind"] for r in heron.standing()]
    heron.presses("Ana", "Heron Point")
    assert [x for x in heron.later(31) if x["to"] == "Ana" and x["about"].get("reminder") == "rinse"]


def test_an_opening_taken_back_closes_no_job_in_which_others_went_on(crew: Crew) -> None:
    crew.says("Ana", "started B")  # opens a job by the way
    for text in ("C 10x10 ft", "empece la C"):
        crew.says("Luis", text)
    crew.says("Ana", "undo")
    crew.says("Luis", "C enjuagada")
    assert [r["sections"] for r in crew.standing() if r["kind"] == "finish"] == [["C"]]
    assert not crew.store.rows("select 1 from reminders where kind like 'rinse%'")


# ---- what is another's


def test_nobodys_undo_button_in_a_group_is_everybodys(heron: Crew) -> None:
    in_group(heron, "Dana", "", "member", data=OPENED)
    in_group(heron, "Ana", "started B")
    in_group(heron, "Luis", "", "press", press=button(heron, "Undo", "-7"))
    assert "start" in [r["kind"] for r in heron.standing()]
    in_group(heron, "Dana", "remove Luis")
    in_group(heron, "Ana", "", "press", press=button(heron, "Undo", "-7"))
    assert heron.store.row("select 1 from people where name = 'Luis' and removed is not null"), "nobody was let in again"


def test_what_the_client_pays_is_read_by_the_owner_in_private_alone(heron: Crew) -> None:
    heron.says("Dana", "charged 2417 for the job")
    in_group(heron, "Dana", "", "member", data=OPENED)
    asked = ("timeline", "what happened today", "what did Dana do")
    heard = "".join(words(heron.says("Ana", t), "Ana") for t in asked)
    heard += "".join(words(in_group(heron, who, t), "-7") for t in asked for who in ("Ana", "Dana"))
    assert "Heron Point" in heard and "2417" not in heard
    assert "2417" in words(heron.says("Dana", "timeline"), "Dana")


def test_a_name_that_differs_by_its_capitals_alone_is_taken(heron: Crew) -> None:
    """"remove luis" takes out the one who is meant."""
    from bot import people

    code = people.invite(heron.store, "crew", heron.clock.now())["code"]
    twin = Incoming("telegram", "k", "text", "9", "9", heron.clock.now(), name="luis", text=f"/start {code}")
    heron.played.desk.receive(twin)
    heron.played.desk.work()
    names = [p.name.casefold() for p in people.everyone(heron.store)]
    assert len(names) == 4 and len(set(names)) == 4


# ---- quiet hours


@pytest.mark.parametrize(("hours", "said", "till"), [("22 to 24", "22:30", "00:00"), ("0 to 24", "12:00", "00:00"),
                                                    ("21 to 7", "21:30", "07:00")])  # fmt: skip
def test_quiet_hours_that_end_at_midnight_are_quiet(heron: Crew, hours: str, said: str, till: str) -> None:
    heron.says("Dana", "pings all")
    heron.says("Dana", f"quiet hours {hours}")
    heron.at(said)
    assert not [x for x in heron.says("Ana", "here") if x["to"] == "Dana"]
    held = [x for x in heron.at(till, "2026-06-11") if x["to"] == "Dana" and "Ana" in x["text"]]
    assert held and held[0]["at"][11:16] == till


# ---- a bell that reaches nobody, a picture that cannot be drawn


def test_a_bell_whose_people_stopped_the_bot_reaches_whoever_is_left(heron: Crew) -> None:
    heron.says("Ana", "started B")
    for who in ("Ana", "Dana"):
        raw(heron, who, "blocked", data={"status": "kicked"})
    assert {x["to"] for x in heron.later(31) if x["about"].get("reminder") == "rinse"} == {"Luis"}


@pytest.mark.parametrize("sign", ["$\\frac{$", "$a_b^{c$ and $", "\\", "%s {who} {0}"])
def test_a_picture_is_drawn_whatever_signs_a_name_has(heron: Crew, sign: str) -> None:
    """The drawing library reads $...$ as a formula and refuses a wrong one."""
    from bot.making import Making
    from bot.wire import Outgoing

    desk = heron.played.desk
    for who, text in (("Dana", f"new job {sign}"), ("Dana", "C 10x12 ft"), ("Ana", f"switch to {sign}"),
                      ("Ana", "started C"), ("Ana", f"note: {sign}"), ("Ana", "C moisture 22 23 21")):  # fmt: skip
        heron.says(who, text)
    heron.later(30)
    job = heron.store.row("select max(id) as id from jobs")
    assert job is not None
    making = Making(heron.store, desk.shelf, desk.speech, desk.house.zone, heron.folder / "files", heron.clock.now)
    wishes = ({"make": "picture", "job": job["id"], "day": "2026-06-10"}, {"make": "drying", "job": job["id"]})
    made = making.made(Outgoing(1, "chat:Dana", "Here.", files=wishes))
    assert made.text == "Here."
    assert [Path(f["path"]).read_bytes()[:4] for f in made.files] == [b"\x89PNG"] * len(made.files) and made.files


def test_a_picture_of_very_many_sections_is_no_huge_one(heron: Crew) -> None:
    """It would fill the memory of a small machine, again at each start. Limit: Bot API, sendPhoto."""
    import struct

    from bot import charts

    body = charts.png(charts.paper(200.0, 20.0))
    width, height = struct.unpack(">II", body[16:24])  # PNG specification, IHDR
    assert width + height <= 10_000


# ---- an injury whose job is not known yet


def test_an_injury_is_asked_after_even_where_nobody_says_which_job(heron: Crew) -> None:
    second_job(heron, "B 10x10 ft")
    out = heron.says("Luis", "ojo ardiendo ayuda")
    assert "15 minutos" in words(out, "Luis")
    heron.restart()
    asked = [x for x in heron.later(16) if x["about"].get("incident")]
    assert {x["to"] for x in asked} == {"Dana", "Ana", "Luis"}
    assert not [x for x in heron.at("23:00") if x["about"].get("incident")]


def test_an_injury_moves_to_its_job_and_is_one(heron: Crew) -> None:
    second_job(heron, "B 10x10 ft")
    heron.says("Luis", "ojo ardiendo ayuda")
    heron.presses("Luis", "Heron Point")
    (one,) = [r for r in heron.standing() if r["kind"] == "incident"]
    assert one["job"] == "Heron Point" and one["data"]["text"] == "ojo ardiendo ayuda"
    rung = [x for x in heron.later(16) if x["to"] == "Ana" and x["about"].get("incident")]
    assert len(rung) == 1


def test_an_injury_told_by_mistake_can_be_taken_back_before_its_job_is_known(heron: Crew) -> None:
    second_job(heron, "B 10x10 ft")
    heron.says("Ana", "eye burning help")
    heron.says("Ana", "undo"), heron.presses("Ana", "Yes, take it back")
    assert "incident" not in [r["kind"] for r in heron.standing()]
    assert not [x for x in heron.later(16) if x["about"].get("incident")]


def test_a_cry_in_a_group_that_is_not_open_is_answered_and_tells_nothing_of_the_shop(heron: Crew) -> None:
    out = in_group(heron, "Ana", "eye burning help")
    assert "15 minutes" in words(out, "-7") and "Heron" not in words(out, "-7")
    assert "INCIDENT" in words(out, "Dana") and [r["kind"] for r in heron.standing()].count("incident") == 1
    assert in_group(heron, "Stranger", "eye burning help") == [] == in_group(heron, "Ana", "started B")


def test_a_strangers_flood_does_not_fill_the_disk(heron: Crew) -> None:
    for n in range(120):
        raw(heron, "Stranger", "text", f"{n}")
    assert len(heron.store.rows("select 1 from inbox where person = 'Stranger'")) < 60
    heron.says("Ana", "started B")
    assert heron.store.rows("select 1 from inbox where person = 'Ana'")


@pytest.mark.parametrize("kind", ["text", "member"])
def test_nor_does_a_strangers_group_and_the_crews_words_there_are_kept(heron: Crew, kind: str) -> None:
    in_group(heron, "Ana", "eye burning help")
    for n in range(120):
        in_group(heron, "Stranger", "spam", kind, key=f"{kind}{n}")
    assert len(heron.store.rows("select 1 from inbox where person = 'Stranger'")) < 60
    assert heron.store.rows("select 1 from inbox where person = 'Ana' and chat = '-7'")


def test_yesterdays_close_anyway_silences_no_clock_of_today(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.says("Ana", "close job")
    close = button(heron, "Close anyway", "chat:Ana")
    heron.says("Ana", "B rinsed")
    heron.at("09:00", "2026-06-11")
    heron.says("Ana", "started A")
    out = raw(heron, "Ana", "press", press=close)
    assert "Closed" not in words(out, "Ana") and [x["buttons"] for x in out if x["to"] == "Ana"]
    assert [x for x in heron.later(31) if x["to"] == "Ana" and x["about"].get("reminder") == "rinse"]
