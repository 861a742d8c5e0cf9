"""Jobs and the shop as they stand, folded once and then only moved on; and rows turned into facts."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from bot.job import Job
from bot.shop import Shop
from bot.store import Row, Store, moment

MOST_JOBS = 256


def fact(row: Row) -> dict[str, Any]:
    """A timeline row as the fold takes it: times in UTC (so that sums hold across a change of the clocks)."""
    return {
        "id": row["id"],
        "kind": row["kind"],
        "at": moment(row["at"]),
        "told": moment(row["told"]),
        "person": row["person"],
        "sections": tuple(json.loads(row["sections"] or "[]")),
        "data": json.loads(row["data"] or "{}"),
        "inbox": row["inbox"],
    }


class Shelf:
    """What the desk has at hand. A fact told out of order, or undone, makes its job fold anew."""

    def __init__(self, store: Store, zone: ZoneInfo, shop: Callable[[], Shop]) -> None:
        self.store, self.zone, self.fresh = store, zone, shop
        self._jobs: dict[int, tuple[int, Job]] = {}
        self._shop: tuple[int, Shop] | None = None

    def forget(self, job: int | None = None) -> None:
        """Drops what is at hand of a job (and the shop), after an undo or a rolled back turn."""
        self._shop = None
        if job is None:
            self._jobs.clear()
        else:
            self._jobs.pop(job, None)

    def job(self, number: int) -> Job:
        """The job as its timeline has it."""
        seen, job = self._jobs.get(number, (0, Job(id=number)))
        facts = [fact(r) for r in self.store.facts(number, seen)]
        if facts and job.last and min(f["at"] for f in facts) < job.last:
            facts = [fact(r) for r in self.store.facts(number)]
            job = Job(id=number)
        if facts:
            job = job.after(facts)
            seen = max(seen, *(f["id"] for f in facts))
        self._jobs.pop(number, None)
        self._jobs[number] = (seen, job)
        while len(self._jobs) > MOST_JOBS:
            self._jobs.pop(next(iter(self._jobs)))
        return job

    def shop(self) -> Shop:
        """The shop as its timeline has it."""
        seen, shop = self._shop or (0, self.fresh())
        facts = [fact(r) for r in self.store.facts(None, seen)]
        if facts:
            shop = shop.after(facts)
            seen = max(f["id"] for f in facts)
        self._shop = (seen, shop)
        return shop

    def local(self, kept: str) -> datetime:
        """A kept moment in the shop's zone."""
        at = moment(kept)
        assert at is not None
        return at.astimezone(self.zone)
