"""The owner's relief: wood about which they were told to call somebody has been answered for."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import timedelta

from bot.ledger import Hand
from bot.outcome import OWNER, Entry, Say, line, say
from bot.store import Store, text

ANSWERS = ("start", "finish", "rewet", "check", "extend", "answered")
WITHIN = timedelta(hours=3)


def news(store: Store, hand: Hand, entries: Iterable[Entry]) -> tuple[Say, ...]:
    """The ping for the first answer after "call them", before it is written; nothing else."""
    told = [e for e in entries if e.kind in ANSWERS and e.sections]
    if not told or not hand.job or hand.job < 0:
        return ()
    row = store.row(
        "select id, sections from entries where job = ? and at >= ? and kind = 'rang' and undone is null"
        " and json_extract(data, '$.cause') = 'unanswered' order by at desc, id desc limit 1",
        hand.job, text(hand.now - WITHIN),
    )  # fmt: skip
    if row is None:
        return ()
    waited = set(json.loads(row["sections"] or "[]"))
    names = tuple(dict.fromkeys(n for e in told for n in e.sections if n in waited))
    marks = ",".join("?" * len(ANSWERS))
    since = store.rows(
        f"select sections from entries where job = ? and id > ? and person is not null and kind in ({marks})",
        hand.job, row["id"], *ANSWERS,
    )  # fmt: skip
    if not names or any(waited & set(json.loads(r["sections"] or "[]")) for r in since):
        return ()
    what = line("ping_answered", who=hand.who.name, sections=names, text=hand.text[:100])
    return (say(what, to=OWNER, kind="ping", level="trouble", about={"sections": names}),)
