"""Who may come in: the owner by a one-time code, crew by single-use codes that expire, nobody else."""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from bot.outcome import CREW, OWNER, Person
from bot.store import Row, Store, moment, text
from bot.wire import Incoming

GOOD_FOR = {OWNER: timedelta(hours=24), CREW: timedelta(days=7)}
CHOSEN, HEARD = "chosen", "heard"  # how a person's language is known; before that it is the phone's or the house's
TRIES, TRIES_IN = 5, timedelta(hours=1)


def _hash(code: str) -> str:
    return hashlib.sha256(code.encode()).hexdigest()


def invite(store: Store, role: str, now: datetime) -> dict[str, Any]:
    """A new single-use code (192 bits; only its hash is kept) and when it expires."""
    code = secrets.token_urlsafe(24)
    expires = now + GOOD_FOR[role]
    with_turn = store.db.conn.in_transaction
    row = {"hash": _hash(code), "role": role, "made": text(now), "expires": text(expires)}
    if with_turn:
        store.add("invites", row)
    else:
        with store.turn():
            store.add("invites", row)
    return {"code": code, "role": role, "expires": expires}


def find(store: Store, incoming: Incoming) -> Row | None:
    """The row of the person who speaks, unless removed."""
    return store.row(
        "select * from people where source = ? and external = ? and removed is null",
        incoming.source,
        incoming.person,
    )


def person(row: Row) -> Person:
    """A row as the person that handlers know; who stopped the bot has no chat to be written to."""
    quiet = (row["quiet_from"], row["quiet_to"]) if row["quiet_from"] is not None else None
    return Person(
        row["id"],
        row["name"],
        row["role"],
        row["language"] or "en",
        row["units"] or "us",
        row["pings"] or "milestones",
        quiet,
        "" if row["blocked"] else row["chat"] or "",
    )


def spoke(store: Store, who: Person, language: str) -> Person:
    """Who clearly wrote a language is answered and reminded in it from now on, unless they chose one."""
    if not language or store.kept(f"tongue:{who.id}") == CHOSEN:
        return who
    if store.kept(f"tongue:{who.id}") is None:
        store.keep(f"tongue:{who.id}", HEARD)
    if language == who.language:
        return who
    store.change("people", who.id, language=language)
    return replace(who, language=language)


def chose(store: Store, number: int) -> None:
    """A person said which language they want: no message of theirs changes it."""
    store.keep(f"tongue:{number}", CHOSEN)


def unheard(store: Store, who: Person) -> bool:
    """Whether this person never chose a language nor clearly wrote one."""
    return store.kept(f"tongue:{who.id}") is None


def everyone(store: Store) -> tuple[Person, ...]:
    """All who belong, in the order they joined."""
    return tuple(person(r) for r in store.rows("select * from people where removed is null order by id"))


def join(
    store: Store, incoming: Incoming, code: str, now: datetime, language: str, units: str
) -> tuple[str, Row | None]:
    """Lets a person in by a code: ("joined", row), or why not as ("owned" | "no", None)."""
    if not _may_try(store, incoming, now):
        return "no", None
    found = store.row("select * from invites where hash = ?", _hash(code))
    expires = moment(found["expires"]) if found else None
    if found is None or found["used"] or expires is None or expires < now:
        _note_try(store, incoming, now)
        return "no", None
    if found["role"] == OWNER and store.row("select 1 from people where role = 'owner' and removed is null"):
        return "owned", None
    row = admit(store, incoming, found["role"], now, language, units)
    store.change("invites", found["hash"], used=text(now), person=row["id"])
    return "joined", row


def admit(store: Store, incoming: Incoming, role: str, now: datetime, language: str, units: str) -> Row:
    """Makes (or brings back) the person who speaks, with this role."""
    old = store.row(
        "select * from people where source = ? and external = ?", incoming.source, incoming.person
    )
    told = incoming.language[:2]
    values = {
        "name": fresh_name(store, incoming.name or "Someone", old["id"] if old else None),
        "role": role,
        "chat": incoming.chat if incoming.private else "",
        "removed": None,
        "joined": text(now),
        "language": told if told in ("en", "es") else language,
        "units": units,
    }
    if old:
        store.change("people", old["id"], **values)
        number = old["id"]
    else:
        number = store.add(
            "people",
            {"source": incoming.source, "external": incoming.person, "pings": "milestones", **values},
        )
    row = store.row("select * from people where id = ?", number)
    assert row is not None
    return row


def fresh_name(store: Store, wanted: str, own: int | None) -> str:
    """The name a person goes by here: short, one line, and nobody else's."""
    name = " ".join(wanted.split())[:40] or "Someone"
    taken = {
        r["name"].casefold() for r in store.rows("select name from people where id is not ? and removed is null", own)
    }
    number = 2
    fresh = name
    while fresh.casefold() in taken:
        fresh, number = f"{name} {number}", number + 1
    return fresh


def _may_try(store: Store, incoming: Incoming, now: datetime) -> bool:
    tries = store.kept(f"tries:{incoming.source}:{incoming.person}", [])
    recent = [t for t in tries if (moment(t) or now) > now - TRIES_IN]
    return len(recent) < TRIES


def _note_try(store: Store, incoming: Incoming, now: datetime) -> None:
    key = f"tries:{incoming.source}:{incoming.person}"
    recent = [t for t in store.kept(key, []) if (moment(t) or now) > now - TRIES_IN]
    store.keep(key, [*recent, text(now)])
