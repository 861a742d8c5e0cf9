"""What is denied right after it was told: "not B", "B is still wet", "i didnt rinse B". Its clock goes on."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

from bot import windows
from bot.acts import Act
from bot.ledger import Hand
from bot.outcome import OWNER, Button, Line, Say, line, say
from bot.parts import RINSES
from bot.store import Row, moment
from bot.understand.corrections import denial

if TYPE_CHECKING:
    from bot.desk import Desk
    from bot.understand.reading import Reading

AT_ONCE = timedelta(minutes=10)
DRYING = timedelta(minutes=30)  # later on, "still wet" is said of water
LOOKED_BACK = timedelta(hours=4)
OF_WATER = re.compile(
    r"\b(?:from|por|con|with|de(?:l)?)\b.*\b(?:rins\w*|water|hos\w+|rain\w*|dew|enjuag\w*|agua|lluvia|manguera|rocio)\b",
    re.IGNORECASE,
)
WORK = ("start", "finish", "rewet", "extend")


class Denying:
    """Takes back what is denied of the sections named, or asks where it was told a while ago."""

    def __init__(self, desk: Desk) -> None:
        self.desk, self.store, self.ledger = desk, desk.store, desk.ledger

    def denied(self, hand: Hand, reading: Reading) -> list[Say] | None:
        """What is said of a denial; None where the message denies nothing that was written down."""
        if not denial(hand.text, 1) or any(a.name != "amend" for a in reading.acts):
            return None
        names = self.desk.arrivals.named(hand)
        how = denial(hand.text, len(names))
        row = self._row(hand, how, names) if how and hand.job else None
        if row is None:  # "not C" names what it is not: nothing is put there
            return [say(line("amend_what"))] if how == "bare" and names else None
        told = moment(row["told"]) or hand.now
        mine = row["person"] == hand.who.id or hand.who.role == OWNER
        if how == "wet" and (hand.now - told > DRYING or OF_WATER.search(hand.text)):
            return None  # "still wet from the rinse" tells of water
        if mine and (hand.now - told > AT_ONCE or not _rinse(row)):  # a rinse taken back is the safe side
            yes = Button("yes_undo", Act("undo", {"entry": row["id"], "sure": True}))
            return [say(line("undo_sure", what=self.desk.lines(hand, [row])), buttons=(yes,))]
        return self._taken_back(hand, row, names)

    def _row(self, hand: Hand, how: str, names: tuple[str, ...]) -> Row | None:
        """The newest work that is meant: one's own last word, or a rinse of these sections by anybody."""
        rows = self.store.rows(
            "select * from entries where job is ? and undone is null and inbox is not null and kind in"
            f" ({','.join('?' * len(WORK))}) order by id desc limit 50",
            hand.job,
            *WORK,
        )
        own = self.ledger.last_message(hand)
        since = hand.now - (AT_ONCE if how == "bare" else LOOKED_BACK)
        for row in rows:
            meant = row["inbox"] == own if how == "bare" or not names else True
            fits = _rinse(row) or (how == "bare" and names)
            here = set(names) <= set(json.loads(row["sections"] or "[]"))
            if meant and fits and here and (moment(row["told"]) or since) > since:
                return row
        return None

    def _taken_back(self, hand: Hand, row: Row, names: tuple[str, ...]) -> list[Say]:
        """Told of several at once: of the others it stands."""
        what = self.desk.lines(hand, self.ledger.take_back_entry(hand, row, "undo"))
        sections = tuple(json.loads(row["sections"] or "[]"))
        mine = names or sections
        person = next((p for p in self.desk.people() if p.id == row["person"]), hand.who)
        if others := tuple(n for n in sections if n not in mine):
            at = moment(row["at"])
            self.ledger.entry(
                replace(hand, who=person), row["job"], row["kind"], json.loads(row["data"]), others, at
            )
        hand.wrote = True
        self.ledger.settle(row["job"])
        said = [say(line("undone", what=what), *self._clocks(row["job"], mine), about={"sections": mine})]
        if person.id != hand.who.id:
            said.append(
                say(line("undone_yours", who=hand.who.name, what=what), to=(person.id,), kind="ping", loud=True)
            )
        return said

    def _clocks(self, number: int, names: tuple[str, ...]) -> list[Line]:
        job, shop = self.desk.shelf.job(number), self.desk.shelf.shop()
        wet = [(s, p) for s, p in job.wet() if s.name in names]
        found = [(s.name, windows.window(job, shop, s, p)) for s, p in wet]
        return [line("held_rinse", section=name, rinse_by=w.rinse_by) for name, w in found if w]


def _rinse(row: Row) -> bool:
    return row["kind"] == "finish" and json.loads(row["data"] or "{}").get("step") in RINSES
