"""The door: strangers get one line and then silence; who has a code comes in."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from bot import people
from bot.acts import Act
from bot.amounts import Reader
from bot.ledger import Hand
from bot.store import text
from bot.wire import Incoming

if TYPE_CHECKING:
    from bot.desk import Desk


KEPT = 50  # rows of a stranger's chat: the platform never gives older ones again, and a flood must not fill the disk
FORGET = (
    "delete from inbox where chat = ? and state != 'new' and person not in (select external from people)"
    " and id not in (select id from inbox where chat = ? order by id desc limit ?)"
    " and not exists (select 1 from chats where chat = inbox.chat and state = 'open')"
)


class Door:
    """Who may come in."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk

    def forget(self, incoming: Incoming) -> None:
        """Of a stranger's chat, and of a group that is not open, only the newest rows are kept."""
        self.desk.store.db.execute(FORGET, [incoming.chat, incoming.chat, KEPT])

    def stranger(self, incoming: Incoming, now: datetime) -> list[Act]:
        key = f"stranger:{incoming.source}:{incoming.person}"
        if not incoming.private or incoming.kind not in ("text", "press") or self.desk.store.kept(key):
            return []
        self.desk.store.keep(key, text(now))
        self.desk.post.plain(incoming, "stranger", self.reader(incoming, now), now)
        return []

    def reader(self, incoming: Incoming, now: datetime) -> Reader:
        told = incoming.language[:2]
        return Reader(told if told in ("en", "es") else self.desk.house.language, self.desk.house.units, now)

    def join(self, row: int, incoming: Incoming, code: str, now: datetime) -> list[Act]:
        if people.find(self.desk.store, incoming) is None and incoming.private:
            verdict, joined = people.join(
                self.desk.store, incoming, code, now, self.desk.house.language, self.desk.house.units
            )
            if joined is None:
                if verdict == "owned":
                    self.desk.post.plain(incoming, "owned", self.reader(incoming, now), now)
                    return []
                return self.stranger(incoming, now)
            hand = Hand(row, incoming, people.person(joined), now, now, "")
            hand.job = self.desk.choosing.job_of(joined, incoming)
            self.desk.ledger.entry(hand, None, "joined", {"role": joined["role"], "name": joined["name"]}, ())
            self.desk.acts(hand, (Act("welcome", {}),))
        elif incoming.private:
            self.desk.post.plain(incoming, "already_in", self.reader(incoming, now), now)
        return []
