"""The owner's board: one pinned message an open job, changed in place, a few times a minute at most.

The outbox is its only memory: the first row of kind "board" is the message, later ones are its edits. An
edit that still waits takes the newest text, so a busy hour costs the platform no more than a quiet one.
"""

from __future__ import annotations

import logging
from collections.abc import Iterable
from datetime import datetime, timedelta, tzinfo

from bot import clocks, daily, people, stages, windows
from bot.amounts import Reader
from bot.job import Job
from bot.outcome import OWNER, Line, Person, Say, line, say
from bot.shelf import Shelf
from bot.shop import Shop
from bot.speech import Speech
from bot.store import Row, Store, moment, text

log = logging.getLogger(__name__)

APART = timedelta(seconds=20)
LAST = -1  # behind every answer and reminder of the chat
MOST = 12  # sections on a screen; more are told by what is left to do with them
GONE = ("never", "blocked", "dropped")


def board(job: Job, shop: Shop, people_: Iterable[Person], now: datetime) -> Say:
    """What the owner sees at a glance: each section, what is due next, who is there, stock, when it ends."""
    found = stages.every(job, shop)
    here = tuple(p.name for p in people_ if p.id in job.on_site)
    if job.closed:
        return say(line("board_head", job=job.name), line("board_closed", at=job.closed))
    wet = [s for s in found if s.name == "wet"]
    dry = [s for s in found if s.name != "wet"]
    ends = stages.finish(job, shop, found, now)
    return say(
        line("board_head", job=job.name),
        line("on_hold") if job.held else None,
        *(_wet(job, shop, s) for s in wet),
        *([_dry(s) for s in dry] if len(found) <= MOST else daily.left(tuple(dry))),
        line("no_sections_short") if not found else None,
        _next(job, shop, now.tzinfo),
        line("on_site", names=here) if here else None,
        *(daily.need(n) for n in stages.needs(job, shop)),
        line("board_ends", at=ends) if ends and (here or wet) else None,
    )


def _wet(job: Job, shop: Shop, stage: stages.Stage) -> Line:
    section, one = stage.section, stage.section.wet
    assert one is not None
    if one.rinsing:
        return line("board_rinsing", section=section.name, at=one.rinsing)
    w = windows.window(job, shop, section, one)
    if w is None:
        return line("board_wet_no_clock", section=section.name, at=stage.since, product=one.product)
    key = "stand_edges" if w.too_large else "board_wet"
    return line(key, section=section.name, at=stage.since, product=one.product, number=one.number,
                rinse_from=w.rinse_from, rinse_by=w.rinse_by)  # fmt: skip


def _dry(stage: stages.Stage) -> Line:
    name = stage.section.name
    if stage.name == "drying":
        return daily.drying(stage)
    if stage.name == "to_strip":
        size = None if stage.section.area is None else line("stand_size", area=stage.section.area)
        return line("stand_new", section=name, size=size)
    return line(f"board_{stage.name}", section=name, at=stage.since)


def _next(job: Job, shop: Shop, zone: tzinfo | None) -> Line | None:
    """The next thing that rings on the crew's side."""
    due = clocks.due(job, shop, zone)  # type: ignore[arg-type]  # the desk's moments are in the shop's zone
    first = next((r for r in due if r.to == "crew" and r.kind != "rinse open"), None)
    if first is None:
        return None
    return line("board_next", what=f"word_{first.kind}".replace(" ", "_"), sections=first.sections, at=first.due)


class Boards:
    """Keeps the owners' boards as their jobs are."""

    def __init__(self, store: Store, shelf: Shelf, speech: Speech) -> None:
        self.store, self.shelf, self.speech = store, shelf, speech

    def refresh(self, jobs: Iterable[int], now: datetime) -> None:
        """Writes what changed; a fault here costs the board alone, never the turn that it follows."""
        shop = self.shelf.shop()
        if shop.settings.get("board") is False:
            return
        everyone = people.everyone(self.store)
        for number in (n for n in jobs if n > 0):  # a practice is nobody's job
            for owner in (p for p in everyone if p.role == OWNER and p.chat):
                try:
                    told = board(self.shelf.job(number), shop, everyone, now)
                    spoken = self.speech.say(told, Reader.of(owner, now)).text
                except Exception:
                    log.exception("the board of job %s", number)
                    continue
                self._put(number, owner, spoken, now)

    def anew(self, job: int, owner: Person, now: datetime) -> None:
        """A new message at the end of the chat takes the old one's place."""
        self.store.db.execute("update outbox set kind = 'old board' where kind = 'board' and job = ? and person = ?",
                              [job, owner.id])  # fmt: skip
        self.refresh([job], now)

    def _put(self, job: int, owner: Person, spoken: str, now: datetime) -> None:
        rows = self.store.rows(
            "select id, text, state, made, due, edits from outbox where kind = 'board' and job = ? and person = ?"
            " order by id desc limit 1", job, owner.id,
        )  # fmt: skip
        last = rows[0] if rows else None
        if last is not None and last["text"] == spoken:
            return
        if last is not None and last["state"] == "new":
            self.store.change("outbox", last["id"], text=spoken)
            return
        if last is None or last["state"] in GONE:
            if self.shelf.job(job).closed is None:
                self._row(job, owner, spoken, now, None, None)
            return
        first = last["edits"] or last["id"]
        due = max(now, (moment(last["due"] or last["made"]) or now) + APART)
        self._row(job, owner, spoken, now, due, first)

    def _row(
        self, job: int, owner: Person, spoken: str, now: datetime, due: datetime | None, edits: int | None
    ) -> None:
        source = self.store.row("select source from people where id = ?", owner.id) or {"source": ""}
        row: Row = {
            "source": source["source"], "chat": owner.chat, "person": owner.id, "job": job, "kind": "board", "loud": 0,
            "urgent": LAST, "text": spoken, "about": "{}", "figures": "{}", "files": "[]", "made": text(now),
            "due": text(due), "state": "new", "tries": 0, "edits": edits,
        }  # fmt: skip
        self.store.add("outbox", row)
