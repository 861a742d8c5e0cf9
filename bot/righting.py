"""A fact of before told again with its right value: found by kind, place, day, order and what it was; else asked."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, datetime, time
from typing import TYPE_CHECKING, Any

from bot.acts import Act
from bot.ledger import Hand
from bot.lookup import folded
from bot.outcome import OWNER, Line, Person, Say, line, say
from bot.store import Row
from bot.trade.units import plain, quantity

if TYPE_CHECKING:
    from bot.desk import Desk

SHOWN = 6
VALUE = {"ph": "value", "moisture": "readings", "mixed": "volume"}


class _Loses(Exception):
    """A time that would leave wet wood without its clock: nothing is changed."""


class Righting:
    """Takes one entry back and writes it again as of its own moment, by who said it; both stay readable."""

    def __init__(self, desk: Desk) -> None:
        self.desk, self.store, self.ledger = desk, desk.store, desk.ledger

    def correct(self, hand: Hand, act: Act) -> list[Say]:
        """The correction done and told, or why it cannot be."""
        found = self._found(hand, act)
        if not found:
            return [say(line("correct_none"))]
        if len(found) > 1:
            rows = [
                line("correct_row", number=r["id"], what=x)
                for r in found[-SHOWN:]
                for x in self.desk.lines(hand, [r])
            ]
            return [say(line("correct_which"), *rows)]
        row = found[0]
        who = next((p for p in self.desk.people() if p.id == row["person"]), hand.who)
        if who.id != hand.who.id and hand.who.role != OWNER:
            return [say(line("owner_only"))]
        wet = self._wet(row["job"])
        try:
            with self.store.part():
                said = self._put(hand, act, row, who)
                if lost := wet - (now := self._wet(row["job"])):
                    raise _Loses(tuple(sorted(lost)))
        except _Loses as fault:
            self.ledger.forget()
            hand.wrote = False
            return [say(line("correct_loses", sections=fault.args[0]))]
        return [*said, *([say(line("still_wet", sections=tuple(sorted(now))))] if now - wet else [])]

    def _wet(self, job: int | None) -> set[str]:
        return {s.name for s, _ in self.desk.shelf.job(job).wet()} if job else set()

    def _found(self, hand: Hand, act: Act) -> list[Row]:
        """The entries that fit; of batches told by their order that one, of several in all others every one."""
        kind = str(act.get("kind"))
        kinds = ("start", "finish") if kind == "step" else (kind,)
        named = self.desk.naming.named(hand)
        job = named[0] if named else hand.job
        marks = ",".join("?" * len(kinds))
        rows = self.store.rows(
            f"select * from entries where job is ? and undone is null and kind in ({marks}) order by at, id",
            job,
            *kinds,
        )
        if act.get("number") is not None and kind == "mixed":
            rows = [r for r in rows if json.loads(r["data"]).get("step") != "coat"]
            place = int(act.get("number"))
            chosen = rows[place - 1 : place] if place > 0 else rows[-1:]
            return [r for r in chosen if self._fits(act.having(was=None), r)]
        return [r for r in rows if self._fits(act, r)]

    def _fits(self, act: Act, row: Row) -> bool:
        data, sections = json.loads(row["data"] or "{}"), json.loads(row["sections"] or "[]")
        if act.sections and not set(act.sections) & set(sections):
            return False
        local = datetime.fromisoformat(row["local"])
        if act.get("day") and local.date() != date.fromisoformat(str(act.get("day"))):
            return False
        if act.get("step") and not str(data.get("step", "")).endswith(str(act.get("step"))):
            return False
        if act.get("was_clock") and local.strftime("%H:%M") not in _halves(str(act.get("was_clock"))):
            return False
        person = next(
            (p for p in self.desk.people() if folded(p.name) == folded(str(act.get("person") or ""))), None
        )
        if person is not None and row["person"] != person.id:
            return False
        return _was(act, data)

    def _put(self, hand: Hand, act: Act, row: Row, who: Person) -> list[Say]:
        data, sections = json.loads(row["data"] or "{}"), tuple(json.loads(row["sections"] or "[]"))
        local = datetime.fromisoformat(row["local"])
        if act.get("clock"):
            local = datetime.combine(
                local.date(), time.fromisoformat(_near(str(act.get("clock")), local)), local.tzinfo
            )
            if local > hand.now:
                return [say(line("time_ahead", at=local))]
        else:
            slot = VALUE[row["kind"]]
            new = {**data, slot: act.get(slot)}
            if row["kind"] == "mixed" and data.get("taken"):
                share = float((quantity(act.get("volume")) / quantity(data["volume"])).to("").magnitude)
                new["taken"] = plain(quantity(data["taken"]) * share)
            data = new
        others = (
            tuple(n for n in sections if act.sections and n not in act.sections)
            if row["kind"] != "mixed"
            else ()
        )
        mine = tuple(n for n in sections if n not in others)
        taken = self.ledger.take_back_entry(hand, row, "amend")
        by = replace(hand, who=who)
        if others:  # told of several at once: the rest stands as it was
            self.ledger.entry(
                by,
                row["job"],
                row["kind"],
                json.loads(row["data"]),
                others,
                datetime.fromisoformat(row["local"]),
            )
        self.ledger.entry(by, row["job"], row["kind"], data, mine, local)
        if row["kind"] == "mixed":
            shelf = f"{data['product']} ready" if data.get("ready") else data["product"]
            off = data.get("taken") or data["volume"]
            self.ledger.entry(by, None, "used", {"product": shelf, "taken": off}, (), local)
        hand.wrote = True
        self.ledger.settle(row["job"])
        now = {
            **row,
            "data": json.dumps(data),
            "local": local.isoformat(),
            "at": local.isoformat(),
            "sections": json.dumps(mine),
        }
        told = line(
            "corrected", old=_one(self.desk.lines(hand, taken)), new=_one(self.desk.lines(hand, [now]))
        )
        if who.id == hand.who.id:
            return [say(told)]
        return [say(told), say(told, to=(who.id,), kind="ping", loud=True)]


def _one(lines: list[Any]) -> Any:
    return lines[0] if lines and isinstance(lines[0], Line) else str(lines[0]) if lines else ""


def _was(act: Act, data: dict[str, Any]) -> bool:
    """Whether it held what the correction says that it was."""
    told = act.get("was")
    if not told:
        return True
    value = data.get("readings") or (
        [data["value"]] if "value" in data else [data.get("volume", {}).get("value")]
    )
    return (
        bool(value)
        and len(value) == len(told)
        and all(x is not None and abs(float(x) - float(y)) < 1e-6 for x, y in zip(value, told, strict=True))
    )


def _halves(clock: str) -> tuple[str, str]:
    """ "8:15" may be of the morning or of the evening."""
    hour = int(clock[:2])
    return clock, f"{(hour + 12) % 24:02d}{clock[2:]}"


def _near(clock: str, local: datetime) -> str:
    """The half of the day that is nearer to what it was."""

    def far(told: str) -> int:
        return abs(int(told[:2]) * 60 + int(told[3:]) - local.hour * 60 - local.minute)

    return min(_halves(clock), key=far)
