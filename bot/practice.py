"""A new hand's practice job: the real words on the real clocks, run fast, and nothing of it counts.

A practice job has a negative number and no row among the jobs, so nothing that walks over the jobs (stock,
costs, boards, what was learned, which job is meant) ever meets it. Its moments are those of its own clock;
only what rings is turned back into the machine's time.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from bot.clocks import Reminder
from bot.store import Store, moment, text

SPEED = 12  # a practice minute lasts five seconds, so that an hour of wet wood is played in five minutes
QUIET_FOR = timedelta(minutes=10)  # so long without a word, and what is said next is meant for real
RUNG = ("mist", "check", "rinse open", "rinse", "rinse late")
# What is played; anything else said meanwhile is not written down anywhere, and that is said.
PLAYED = (
    "start", "finish", "rewet", "check", "extend", "undo", "mix", "status", "timeline", "why", "help", "practice",
    "danger",
)  # fmt: skip


@dataclass(frozen=True)
class Session:
    """One practice: the number of its job, whose it is, and the moment its clock began to run."""

    job: int
    person: int
    begun: datetime

    def fast(self, now: datetime) -> datetime:
        """The moment on the practice's clock."""
        begun = self.begun.astimezone(UTC)  # in UTC: an hour that comes twice is no hour too many
        return (begun + (now.astimezone(UTC) - begun) * SPEED).astimezone(now.tzinfo)

    def real(self, at: datetime) -> datetime:
        """When the practice's clock shows this moment."""
        begun = self.begun.astimezone(UTC)
        return begun + (at.astimezone(UTC) - begun) / SPEED

    def due(self, reminders: Iterable[Reminder]) -> tuple[Reminder, ...]:
        """Those of a job's reminders that ring in practice: the crew's clocks and nothing of the owner's."""
        return tuple(r for r in reminders if r.kind in RUNG and r.to == "crew")

    def standing(self, reminders: Iterable[Reminder]) -> tuple[Reminder, ...]:
        """The same, by the machine's time."""
        return tuple(replace(r, due=self.real(r.due)) for r in self.due(reminders))


class Practices:
    """Who practises now."""

    def __init__(self, store: Store) -> None:
        self.store = store

    def of(self, person: int, now: datetime) -> Session | None:
        """The practice of a person, unless it was left alone, or the real work has rung since."""
        kept = self.store.kept(f"practice:{person}")
        session = self.of_job(kept["job"]) if kept else None
        if session is None or now - (moment(kept["last"]) or now) > QUIET_FOR:
            return None
        rung = (  # looked for from the answer on that began it
            "select 1 from outbox where id > (select coalesce(min(id), 0) from outbox where inbox = ?)"
            " and kind in ('reminder', 'late') and person = ? and job > 0 and made > ?"
        )
        return None if self.store.row(rung, -session.job, person, text(session.begun)) else session

    def of_job(self, job: int) -> Session | None:
        """The practice that a job is, while it runs."""
        kept = self.store.kept(f"practice job:{job}")
        if not kept:
            return None
        begun = moment(kept["begun"])
        assert begun is not None
        return Session(job, int(kept["person"]), begun)

    def begin(self, person: int, row: int, now: datetime) -> Session:
        """A new practice, told from every other job by the number of the message that asked for it."""
        self.store.keep(f"practice job:{-row}", {"person": person, "begun": text(now)})
        self.store.keep(f"practice:{person}", {"job": -row, "last": text(now)})
        return Session(-row, person, now)

    def heard(self, session: Session, now: datetime) -> None:
        """It goes on: something was said in it."""
        self.store.keep(f"practice:{session.person}", {"job": session.job, "last": text(now)})

    def end(self, job: int, person: int) -> None:
        """It is over: nothing of it rings any more."""
        self.store.keep(f"practice job:{job}", None)
        self.store.keep(f"practice:{person}", None)
        self.store.stand(job, ())
