"""What goes on from the word before: "and B just now", "y en la B tambien". Asked about with a button, never taken."""

from __future__ import annotations

import json
from datetime import timedelta
from typing import TYPE_CHECKING

from bot.acts import Act
from bot.ledger import Hand
from bot.outcome import Button, Say, line, say
from bot.store import text
from bot.understand.corrections import goes_on

if TYPE_CHECKING:
    from bot.desk import Desk

SOON = timedelta(minutes=15)
KEPT = ("step", "product", "with")


def likewise(desk: Desk, hand: Hand, names: tuple[str, ...]) -> Say | None:
    """The question whether these sections had what the person told last; None where nothing goes on from it."""
    if not names or not hand.job or not goes_on(hand.text):
        return None
    row = desk.store.row(
        "select * from (select * from entries where job = ? order by id desc limit 40)"
        " where person = ? and undone is null and told > ? and kind in ('start', 'finish', 'rewet') limit 1",
        hand.job,
        hand.who.id,
        text(hand.now - SOON),
    )
    if row is None or set(json.loads(row["sections"])) & set(names):
        return None
    data = json.loads(row["data"])
    act = Act(row["kind"], {**{k: data[k] for k in KEPT if data.get(k)}, "sections": list(names)})
    return say(line("meant_this"), buttons=(Button(*desk.label(act)),))
