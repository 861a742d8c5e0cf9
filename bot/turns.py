"""What a handler is given beside its job: one moment, one speaker, and what may be looked up."""

from __future__ import annotations

import json
from datetime import datetime
from typing import TYPE_CHECKING, Any

from bot import clocks
from bot.crediting import by
from bot.job import Job
from bot.ledger import Hand
from bot.lookup import names
from bot.outcome import OWNER, Turn
from bot.store import text

if TYPE_CHECKING:
    from bot.desk import Desk


class Turns:
    """Makes a turn out of the desk's things; handlers see values and four questions they may ask."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk

    def of(self, hand: Hand, due: tuple[clocks.Ring, ...] = ()) -> Turn:
        """All that a handler may know beside the job."""
        private = hand.incoming is None or hand.incoming.private
        return Turn(
            now=hand.now,
            said_at=hand.said_at,
            zone=self.desk.house.zone,
            who=hand.who,
            shop=self.desk.shelf.shop(),
            text=hand.text,
            people=self.desk.people(),
            jobs=self._open,
            about=hand.about,
            due=due,
            recent=self._recent if hand.who.role == OWNER and private else self._open_to_all,
            past=self._past,
            last_figures=self._last_figures(hand),
            private=private,
            refold=self.desk.shelf.told,
        )

    def _open(self) -> tuple[tuple[int, str], ...]:
        return tuple((number, name) for number, name, _ in self.desk.store.jobs(open_only=True))

    def _last_figures(self, hand: Hand) -> dict[str, Any] | None:
        """The figures of the newest message to this chat that had any, among the newest few hundred."""
        row = self.desk.store.row(
            "select figures from outbox where chat = ? and figures != '{}'"
            " and id > (select max(id) from outbox) - 500 order by id desc limit 1",
            hand.incoming.chat if hand.incoming else hand.who.chat,
        )
        return json.loads(row["figures"]) if row else None

    def _past(self, open_only: bool = False, named_in: str | None = None) -> tuple[Job, ...]:
        """The jobs in the order they were opened: all, the open ones, or those whose name stands in some words."""
        return tuple(
            self.desk.shelf.job(number)
            for number, name, _ in self.desk.store.jobs(open_only)
            if named_in is None or names(name, named_in)
        )

    def _open_to_all(self, job: int | None, since: datetime, until: datetime) -> list[dict[str, Any]]:
        """What everybody may read: what the client pays is for the owner's own chat."""
        return [r for r in self._recent(job, since, until) if r["kind"] != "charge"]

    def _recent(self, job: int | None, since: datetime, until: datetime) -> list[dict[str, Any]]:
        rows = self.desk.store.rows(
            "select e.*, p.name as who from entries e left join people p on p.id = e.person"
            " where e.job is ? and e.at >= ? and e.at < ? order by e.at, e.id",
            job,
            text(since),
            text(until),
        )
        return [
            {
                **r,
                "at": self.desk.shelf.local(r["at"]),
                "sections": tuple(json.loads(r["sections"] or "[]")),
                "data": (data := json.loads(r["data"] or "{}")),
                "teller": r["who"],
                "who": ", ".join(by(data, r["who"])),
            }
            for r in rows
        ]
