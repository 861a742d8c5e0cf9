"""What is told of another: who did it is kept in the entry beside who told it, and said in the place of who told it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from bot.acts import ALL, CREDITED, ME, MOMENTS, SOMEBODY, VISITS, Act
from bot.outcome import Line, Outcome, Say, Turn, line


def doers(act: Act, turn: Turn) -> tuple[str, ...]:
    """The names of those who did it, who speaks among them by name; empty where nobody else is told."""
    told = [turn.who.name if n == ME else str(n) for n in act.get("by") or () if n not in (ALL, SOMEBODY)]
    names = tuple(dict.fromkeys(told))
    return () if names == (turn.who.name,) else names


def credited(outcome: Outcome, act: Act, turn: Turn) -> Outcome:
    """The outcome of an act that another did, with their names in its entries and in what is said of it."""
    names = doers(act, turn) if act.name in CREDITED and act.name not in VISITS else ()
    if not names:
        return outcome
    entries = tuple(
        replace(e, data={**e.data, "by": list(names)}) if e.kind in MOMENTS and not e.shop else e for e in outcome.entries
    )
    who = line("told_by", names=names, teller=turn.who.name)
    replies = tuple(_of(r, turn.who.name, who) for r in outcome.replies)
    if outcome.entries:
        replies = _named(replies, line("done_by", names=names))
    return replace(outcome, entries=entries, replies=replies)


def _of(said: Say, teller: str, who: Line) -> Say:
    """A ping that names who told it names who did it."""
    lines = tuple(replace(x, values={**x.values, "who": who}) if x.values.get("who") == teller else x for x in said.lines)
    return replace(said, lines=lines) if said.kind == "ping" else said


def _named(replies: tuple[Say, ...], by: Line) -> tuple[Say, ...]:
    """The answer with whom it was put down to, so that a mistake is seen."""
    at = next((i for i, r in enumerate(replies) if r.to == "asker" and r.kind == "reply"), None)
    if at is None:
        return replies
    first = replies[at]
    return (*replies[:at], replace(first, lines=(*first.lines[:1], by, *first.lines[1:])), *replies[at + 1 :])


def by(data: Mapping[str, Any], teller: str | None) -> tuple[str, ...]:
    """Who did what an entry tells: those named in it, else who told it."""
    return tuple(data.get("by") or ((teller,) if teller else ()))
