"""What is said of stock and money: short stock to the owner, and figures that only the owner may read."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from bot.costing import Price, Shortage, prices, shortage
from bot.job import Job
from bot.outcome import OWNER, Entry, Line, Outcome, Say, Turn, line, say

BEGINNING = datetime(2000, 1, 1, tzinfo=UTC)


def priced(turn: Turn) -> tuple[Price, ...]:
    """Every price told so far, oldest first."""
    if turn.recent is None:
        return ()
    return prices(turn.recent(None, BEGINNING, turn.now + timedelta(minutes=1)))


def jobs(turn: Turn) -> tuple[Job, ...]:
    """Every job there is."""
    return turn.past() if turn.past is not None else ()


def open_jobs(turn: Turn) -> tuple[Job, ...]:
    """The jobs that are not closed."""
    return turn.past(open_only=True) if turn.past is not None else ()


def shortage_lines(found: Shortage) -> tuple[Line, ...]:
    """What is short, for which jobs, and what to buy."""
    short = line("low_stock", product=found.product, left=found.left, need=found.need, jobs=found.jobs,
                 short=found.need - found.left)  # fmt: skip
    buy = line("low_buy", bags=found.bags, pack=found.pack) if found.bags else None
    return tuple(x for x in (short, buy) if x is not None)


def low(turn: Turn, job: Job, entries: Iterable[Entry]) -> tuple[Say, ...]:
    """The owner's ping for each product that runs short by these entries: once, as it happens."""
    written = tuple(entries)
    before = open_jobs(turn)
    shop = turn.shop.after({"kind": e.kind, "data": e.data} for e in written if e.shop)
    told = job.told(written, turn) if job.id else job
    after = tuple(told if j.id == job.id else j for j in before)
    said = []
    for name in shop.stock:
        found = shortage(shop, after, name)
        if found is None or shortage(turn.shop, before, name) is not None:
            continue
        figures = {"left": found.left, "need": found.need, "bags": found.bags}
        to = "private" if turn.who.role == OWNER else OWNER
        said.append(say(*shortage_lines(found), to=to, kind="ping", level="trouble", figures=figures))
    return tuple(said)


def confidential(turn: Turn, said: Say, entries: tuple[Entry, ...] = ()) -> Outcome:
    """Money and stock for the owner alone: in a group it goes to the owner's own chat."""
    if turn.who.role != OWNER:
        return Outcome(replies=(say(line("owner_only")),))
    if turn.private:
        return Outcome(entries, (said,))
    return Outcome(entries, (say(line("sent_private")), replace(said, to="private")))
