"""A message that broke something: kept as a note and told, so that the queue goes on."""

from __future__ import annotations

import logging
from datetime import datetime
from typing import TYPE_CHECKING

from bot import people, redact
from bot.ledger import Hand
from bot.outcome import OWNER, line, say
from bot.saving import trouble
from bot.store import Row
from bot.understand.alarm import alarm
from bot.wire import Incoming

if TYPE_CHECKING:
    from bot.desk import Desk

log = logging.getLogger(__name__)


class Aside:
    """Sets bad messages aside."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk

    def set(self, row: Row, now: datetime, fault: Exception) -> None:
        """One bad message must never stop the queue: it is kept and told, or else at least marked."""
        told = redact.clean(f"{type(fault).__name__}: {fault}")[:500]
        try:
            with self.desk.store.turn():
                self.failed(row["id"], self.desk.store.incoming(row), now, told)
        except Exception as second:
            self.desk.shelf.forget()
            if trouble(second):
                raise
            log.exception("message %s cannot even be told of", row["id"])
            with self.desk.store.turn():
                self.desk.store.handled(row["id"], now, state="failed", fault=told)

    def failed(self, row: int, incoming: Incoming, now: datetime, fault: str) -> None:
        self.desk.store.handled(row, now, state="failed", fault=fault)
        known = people.find(self.desk.store, incoming)
        if known is None:
            return
        hand = Hand(row, incoming, people.person(known), now, now, incoming.text)
        self.desk.ledger.entry(
            hand,
            None if hand.job is None else hand.job,
            "note",
            {"text": incoming.text[:4000], "failed": True},
            (),
        )
        kind = alarm(hand.text, self.desk.names()) if hand.text else None
        if kind:  # whatever broke, first aid is said
            aid = line(f"first_aid_{kind}", emergency=self.desk.house.emergency)
            self.desk.speak(hand, say(aid, loud=True, about={"incident": True}))
        self.desk.speak(hand, say(line("failed_kept"), loud=True))
        self.desk.speak(
            hand,
            say(
                line("failed_owner", who=hand.who.name, text=incoming.text[:200]),
                to=OWNER,
                kind="ping",
                level="trouble",
                loud=kind is not None,
                about={"incident": True} if kind else {},
            ),
        )
