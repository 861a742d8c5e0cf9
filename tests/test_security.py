"""Nobody in: strangers, guessed and used codes, forged buttons, words that would be code, rights, and no secrets shown."""

from __future__ import annotations

import logging
import re
import sqlite3
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from bot import people, redact, saving
from bot.wire import Incoming
from tests.conftest import Crew

TOKEN = "123456789:AAEhBOweik6ad9r_QXMENQjcrGbqCr4K-bc"  # invented; the form of a real one


def stranger(crew: Crew, text: str, name: str = "Stranger", **more: Any) -> list[str]:
    """What a person who is nobody here gets to read."""
    crew.played.desk.receive(replace(crew.played._incoming("text", name, text), **more))
    crew.played.desk.work()
    return [x["text"] for x in crew.played._deliver() if x["to"] == name]


def code(crew: Crew, role: str = "crew") -> str:
    return str(people.invite(crew.store, role, crew.clock.now())["code"])


PROBES = (
    "status",
    "timeline",
    "started B",
    "who is on site?",
    "eye burning help",
    "/start",
    "/start abc",
    "undo",
    "invite crew",
)


def test_a_stranger_gets_one_neutral_line_and_then_silence(heron: Crew) -> None:
    heard = [line for text in PROBES for line in stranger(heron, text)]
    assert len(heard) == 1
    assert not [
        w
        for w in ("Heron", "Dana", "Ana", "Luis", "owner", "code", "invite")
        if w.lower() in heard[0].lower()
    ]
    assert {r["who"] for r in heron.timeline()} == {"Dana"}


def test_a_wrong_code_reads_like_no_code(heron: Crew) -> None:
    """Nothing tells that a code was near, used, expired or never there."""
    used = code(heron)
    assert stranger(heron, f"/start {used}", "First")
    gone = code(heron)
    heron.clock.at += timedelta(days=8)
    near = code(heron)
    other = near[:-1] + ("a" if near[-1] != "a" else "b")
    tried = (used, gone, other, near.swapcase(), "x" * 32, near + " x")
    answers = [stranger(heron, f"/start {one}", f"Nobody {n}") for n, one in enumerate(tried)]
    plain = stranger(heron, "hello", "Nobody else")
    assert all(a == plain for a in answers)


def test_a_code_is_long_single_and_kept_only_as_a_hash(heron: Crew) -> None:
    made = {code(heron) for _ in range(50)}
    assert len(made) == 50 and min(map(len, made)) * 6 >= 128  # six bits a letter (RFC 4648, base64url)
    kept = heron.store.rows("select * from invites")
    assert not any(c in str(kept) for c in made)
    taken = made.pop()
    assert stranger(heron, f"/start {taken}", "One") != stranger(heron, f"/start {taken}", "Two")
    assert [p.name for p in people.everyone(heron.store)].count("One") == 1
    assert "Two" not in [p.name for p in people.everyone(heron.store)]


def test_guessing_is_cut_off_even_when_it_would_hit(heron: Crew) -> None:
    for n in range(people.TRIES):
        stranger(heron, f"/start {'guess' * 5}{n}", "Guesser")
    right = code(heron)
    stranger(heron, f"/start {right}", "Guesser")
    assert "Guesser" not in [p.name for p in people.everyone(heron.store)]
    heron.clock.at += people.TRIES_IN + timedelta(seconds=1)
    stranger(heron, f"/start {right}", "Guesser")
    assert "Guesser" in [p.name for p in people.everyone(heron.store)]


def test_two_who_claim_the_shop_make_one_owner(tmp_path: Any) -> None:
    crew = Crew(tmp_path, ())
    codes = [code(crew, "owner") for _ in range(2)]
    first, second = (
        stranger(crew, f"/start {c}", name) for c, name in zip(codes, ("Dana", "Mallory"), strict=True)
    )
    assert [(p.name, p.role) for p in people.everyone(crew.store)] == [("Dana", "owner")]
    assert first and first != second
    crew.store.close()


def test_a_code_in_a_group_lets_nobody_in(heron: Crew) -> None:
    """It could be read there by everybody, and a member of the group is not yet one of the crew."""
    right = code(heron)
    assert stranger(heron, f"/start {right}", "Stranger", private=False, chat="-7") == []
    assert "Stranger" not in [p.name for p in people.everyone(heron.store)]
    assert stranger(heron, f"/start {right}"), "it was not used up by that"


def press(crew: Crew, who: str, name: str) -> list[dict[str, Any]]:
    crew.played.desk.receive(replace(crew.played._incoming("press", who, ""), press=name))
    crew.played.desk.work()
    return list(crew.played._deliver())


def test_a_button_of_another_chat_or_of_no_message_does_nothing(heron: Crew) -> None:
    heron.says("Ana", "started B")
    before = heron.standing()
    names = [r["id"] for r in heron.store.rows("select id from buttons where chat = 'chat:Ana'")]
    assert names
    forged = [*names, "zzz.0", "1.0'", "' or 1=1 --", "", "9" * 64, "\x00", "1.99"]
    for name in forged:
        assert not [x for x in press(heron, "Luis", name) if x["to"] == "Ana"]
        assert press(heron, "Stranger", name)[1:] == []
    assert heron.standing() == before


def test_a_button_works_once(heron: Crew) -> None:
    heron.says("Ana", "started B")
    (covered,) = heron.store.rows("select id from buttons where label = 'Covered'")
    press(heron, "Ana", covered["id"]), press(heron, "Ana", covered["id"])
    assert [r["kind"] for r in heron.standing()].count("finish") == 1


NASTY = (
    "note: '); drop table entries; --",
    "note: {who} {0} {job.__class__} %s %(x)s",
    "note: <b>bold</b> [a](http://example.org) *x* _y_",
    "note: ../../etc/passwd \x00 \x1b[31m",
    "note: line one\nERROR root forged line",
    "note: " + TOKEN,
    "new job ../../x'; drop table jobs",
    "note: \u202egnp.exe",
    "note: \ud83d",
)


@pytest.mark.parametrize("text", NASTY, ids=range(len(NASTY)))
def test_what_people_type_is_only_ever_words(
    heron: Crew, text: str, caplog: pytest.LogCaptureFixture
) -> None:
    redact.install(TOKEN)
    caplog.set_level(logging.DEBUG)
    assert heron.says("Ana", text)
    assert heron.says("Ana", "status")
    for table in ("entries", "jobs", "people"):
        assert heron.store.row(f"select count(*) as n from {table}")["n"]
    assert not any(
        "\n" in r.getMessage() or TOKEN in r.getMessage() for r in caplog.records if r.name.startswith("bot")
    )
    assert {p.name for p in heron.folder.iterdir()} <= {
        "rinsebell.db",
        "rinsebell.db-wal",
        "rinsebell.db-shm",
    }


def test_signs_that_turn_the_direction_of_text_reach_nobody(heron: Crew) -> None:
    """They make the owner's alarm, which quotes what was typed, read as something else."""
    told = heron.says("Ana", "eye burning \u202egnihton\u202c \u2067x") + heron.says("Ana", "note: \u202dgate")
    assert "gnihton" in str(told) and not [c for c in "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069" if c in str(
        [x["text"] for x in told])]  # fmt: skip


def test_a_name_is_only_a_name(heron: Crew) -> None:
    right = code(heron)
    stranger(heron, f"/start {right}", name="'; drop table people; --\n{who}" + "x" * 200)
    (name,) = [p.name for p in people.everyone(heron.store) if "drop" in p.name]
    assert "\n" not in name and len(name) <= 40


def test_a_failing_message_shows_no_secret(heron: Crew, caplog: pytest.LogCaptureFixture) -> None:
    redact.install(TOKEN)

    def broken(*_: object) -> None:
        raise ValueError(f"https://api.example.org/bot{TOKEN}/getMe")

    heron.played.desk.handlers["status"] = broken  # type: ignore[assignment]
    heron.says("Ana", "status")
    assert TOKEN not in caplog.text


def test_only_their_own_language_and_job_names_reach_the_crew_of_another_chat(heron: Crew) -> None:
    """A button's act may name another job or person only as far as the speaker may."""
    out = heron.says("Ana", "remove Luis") + heron.says("Ana", "invite crew") + heron.says("Ana", "pings all")
    assert all(x["to"] == "Ana" for x in out)
    assert {"Luis", "Ana", "Dana"} <= {p.name for p in people.everyone(heron.store)}
    assert not heron.store.rows("select 1 from invites")


def test_a_flood_of_a_stranger_is_kept_no_longer_than_it_is_needed(heron: Crew) -> None:
    """Their words are nobody's business, and must not fill the disk."""
    for n in range(20):
        stranger(heron, f"{n} " + "spam " * 200)
    kept = heron.store.rows("select length(payload) as n from inbox where person = 'Stranger'")
    assert len(kept) == 20 and max(r["n"] for r in kept) < 600


def test_the_same_message_under_a_forged_source_is_another_person(heron: Crew) -> None:
    twin = Incoming(
        "telegram", "k", "text", "chat:Ana", "Ana", heron.clock.now(), name="Ana", text="started B"
    )
    heron.played.desk.receive(twin)
    heron.played.desk.work()
    assert "start" not in [r["kind"] for r in heron.standing()]


def test_reading_the_file_with_any_tool_needs_nothing_of_ours(heron: Crew) -> None:
    heron.says("Ana", "started B")
    with sqlite3.connect(f"file:{heron.store.path}?mode=ro", uri=True) as reader:
        assert reader.execute("select kind from timeline where kind = 'start'").fetchall() == [("start",)]
    reader.close()


# ---- secrets at rest


def tables_with(crew: Crew, word: str) -> set[str]:
    """The tables that hold a word; and no copy of the file has its bytes."""
    copy = crew.store.backup(crew.folder / "copy.db").read_bytes()
    names = [r["name"] for r in crew.store.rows("select name from sqlite_master where type = 'table'")]
    found = {n for n in names if any(word in str(r) for r in crew.store.rows(f"select * from {n}"))}
    assert found or word.encode() not in copy
    return found


def test_a_fault_that_names_the_token_keeps_it_out_of_the_file(heron: Crew) -> None:
    def broken(*_: object) -> None:
        raise ValueError("https://api.example.org/bot123456789:AAabcdefghijklmnopqrstuvwxyz0123456/getMe")

    heron.played.desk.handlers["status"] = broken  # type: ignore[assignment]
    heron.says("Ana", "status")
    fault = heron.store.row("select fault from inbox order by id desc limit 1")
    assert fault is not None and "<token>/getMe" in fault["fault"]
    assert tables_with(heron, "AAabcdefghijklmnopqrstuvwxyz0123456") == set()


@pytest.mark.parametrize("used", [True, False])
def test_a_code_sent_to_the_owner_is_nowhere_in_the_file(heron: Crew, used: bool) -> None:
    """Only its hash is kept; an unused one would open the door for a week to whoever reads a backup."""
    found = re.search(r"/start ([\w-]{20,})", "".join(x["text"] for x in heron.says("Dana", "invite crew")))
    assert found
    if used:
        assert "You're in" in stranger(heron, f"/start {found[1]}")[0]
    assert tables_with(heron, found[1]) == set()


def test_a_button_of_before_a_restore_does_not_do_what_a_later_one_says(heron: Crew) -> None:
    """Outbox numbers are given anew after a restore: "Covered" of B covered A."""
    kept = heron.store.backup(heron.folder / "kept.db")
    heron.says("Ana", "started B")
    old = heron.store.row("select id, outbox from buttons where label = 'Covered'")
    heron.store.close()
    saving.put_in(kept, heron.store.path, heron.clock.now())
    heron.played.desk = heron._open()
    heron.later(1)
    heron.says("Ana", "started A")
    new = heron.store.row("select id, outbox from buttons where label = 'Covered'")
    assert old is not None and new is not None and old["outbox"] == new["outbox"]
    heron.played.desk.receive(replace(heron.played._incoming("press", "Ana", ""), press=old["id"]))
    heron.played.desk.work()
    assert "finish" not in [r["kind"] for r in heron.standing()]
