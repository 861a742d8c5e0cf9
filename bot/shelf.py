"""Jobs and the shop as they stand, folded once and then only moved on; and rows turned into facts."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, datetime
from functools import lru_cache
from typing import Any, Generic, TypeVar
from zoneinfo import ZoneInfo

from bot.job import Job
from bot.shop import Shop
from bot.store import Row, Store, moment

MOST_JOBS = 512
MARK_EVERY = 50
MOST_MARKS = 16
Key = tuple[datetime, int]
FRESH = 1 << 62  # the number of a fact that is not written yet
START: Key = (datetime.min.replace(tzinfo=UTC), 0)


def fact(row: Row) -> dict[str, Any]:
    """A timeline row as the fold takes it: times in UTC (so that sums hold across a change of the clocks)."""
    return {
        "id": row["id"],
        "kind": row["kind"],
        "at": moment(row["at"]),
        "told": moment(row["told"]),
        "person": row["person"],
        "sections": _names(row["sections"] or "[]"),
        "data": json.loads(row["data"] or "{}"),
        "inbox": row["inbox"],
    }


@lru_cache(maxsize=1024)  # a shop's sections have few names
def _names(kept: str) -> tuple[str, ...]:
    return tuple(json.loads(kept))


Standing = TypeVar("Standing", Job, Shop)


class Trail(Generic[Standing]):
    """One thing that is folded from its timeline, with marks left on the way.

    A fact told out of order, or undone, goes back to the last mark before it and no further: the
    fold of a long job costs the same as that of a short one. The marks stand the further apart the older
    they are, for little comes so late, and each keeps a whole job alive.
    """

    def __init__(self, store: Store, number: int | None, fresh: Standing) -> None:
        self._store, self._number = store, number
        self._marks: list[tuple[Key, Standing]] = [(START, fresh)]
        self._since, self.seen = 0, 0
        self.last: Key = START
        self.standing: Standing = fresh

    def go_on(self) -> Standing:
        """What stands now, with whatever was written since."""
        rows: list[Row] = self._store.facts(self._number, self.seen)
        facts = [fact(r) for r in rows]
        if facts and key(facts[0]) < self.last:
            self._back(key(facts[0]))
            facts = [fact(r) for r in self._store.facts(self._number, since=self.last)]
        self.seen = max([self.seen, *(r["id"] for r in rows)])
        self._fold(facts)
        return self.standing

    def back(self, before: datetime) -> None:
        """Goes back to before this moment: something there was undone."""
        if (before, 0) <= self.last:
            self._back((before, 0))
            rows = self._store.facts(self._number, since=self.last)
            self._fold([fact(r) for r in rows if r["id"] <= self.seen])  # what is newer, go_on reads

    def told(self, facts: list[dict[str, Any]]) -> Standing:
        """What would stand with these facts as well, each in its place among those that were told before."""
        first = (min(f["at"] for f in facts), FRESH) if facts else self.last
        if first >= self.last:
            return self.standing.after(sorted(facts, key=_place))
        since, standing = next(m for m in reversed(self._marks) if m[0] < first)
        rows: list[Row] = self._store.facts(self._number, since=since)
        return standing.after(sorted([*(fact(r) for r in rows if r["id"] <= self.seen), *facts], key=_place))

    def _back(self, to: Key) -> None:
        while self._marks[-1][0] >= to and len(self._marks) > 1:
            self._marks.pop()
        self.last, self.standing = self._marks[-1]
        self._since = 0

    def _fold(self, facts: list[dict[str, Any]]) -> None:
        while facts:
            some, facts = facts[: MARK_EVERY - self._since], facts[MARK_EVERY - self._since :]
            self.standing = self.standing.after(some)
            self.last, self._since = key(some[-1]), self._since + len(some)
            if self._since >= MARK_EVERY:
                # a copy: what will be worked out from the standing one (its reminders) is not kept with the mark
                self._marks.append((self.last, replace(self.standing)))
                self._since = 0
            if len(self._marks) > MOST_MARKS:
                del self._marks[1 : MOST_MARKS // 2 : 2]


def _place(one: Mapping[str, Any]) -> Key:
    """Where a fact that may not be written yet comes: what is told last is the last of its moment."""
    return one["at"], one.get("id", FRESH)


def key(one: Mapping[str, Any]) -> Key:
    """A fact's place in the order of what is told."""
    return one["at"], one["id"]


class Shelf:
    """What the desk has at hand: jobs and the shop, each folded once and then only moved on."""

    def __init__(self, store: Store, zone: ZoneInfo, shop: Callable[[], Shop]) -> None:
        self.store, self.zone, self.fresh = store, zone, shop
        self._jobs: dict[int, Trail[Job]] = {}
        self._shop: Trail[Shop] | None = None

    def forget(self) -> None:
        """Drops all that is at hand: a turn was rolled back, and what it wrote is no more."""
        self._shop = None
        self._jobs.clear()

    def undone(self, job: int | None, since: datetime) -> None:
        """A fact of that moment (or later ones) no longer stands."""
        trail = self._shop if job is None else self._jobs.get(job)
        if trail is not None:
            trail.back(since)

    def job(self, number: int) -> Job:
        """The job as its timeline has it."""
        trail = self._jobs.pop(number, None) or Trail(self.store, number, Job(id=number))
        self._jobs[number] = trail  # the one used last goes last
        while len(self._jobs) > MOST_JOBS:
            self._jobs.pop(next(iter(self._jobs)))
        return trail.go_on()

    def told(self, number: int, facts: list[dict[str, Any]]) -> Job:
        """The job as it would be with these facts as well."""
        self.job(number)
        return self._jobs[number].told(facts)

    def shop(self) -> Shop:
        """The shop as its timeline has it."""
        self._shop = self._shop or Trail(self.store, None, self.fresh())
        return self._shop.go_on()

    def local(self, kept: str) -> datetime:
        """A kept moment in the shop's zone."""
        at = moment(kept)
        assert at is not None
        return at.astimezone(self.zone)
