"""Every reminder that ought to stand, derived from the job; nothing cancels one, so nobody forgets to.

Rule 4  one that rang is not rung again for the same due time; a due time that moved later rings anew.
Rule 5  a reminder that no word about its section answered within the grace goes to the owner.
Rule 6  a hold stops no clock; no mist is asked for once rinsing began.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from bot import readiness, windows
from bot.job import Job
from bot.parts import Pass, Section, once
from bot.shop import Shop
from bot.trade import drying
from bot.trade.units import measure

LEAD = timedelta(minutes=2)  # "rinse now" comes this long before the latest rinse
LATE = timedelta(minutes=1)
STILL = timedelta(minutes=15)  # over the time that a rinse takes
# minutes after the latest rinse at which it is said again: wood is being eaten, so it does not stop for hours
LATE_AGAIN = (0, 5, 10, 15, 20, 25, *range(40, 241, 15))
GRACE = timedelta(minutes=5)
MERGE = timedelta(minutes=1)
PATCH_LOOKS = (5, 10)  # minutes; common practice, no source: a patch shows in 5 to 10
FLUSH = timedelta(minutes=15)
READING_HOUR = time(9, 0)


@dataclass(frozen=True, slots=True)
class Reminder:
    """What ought to ring: `kind` as on the wire, for whom, and the `key` under which it is known."""

    kind: str
    due: datetime
    key: str
    sections: tuple[str, ...] = ()
    to: str = "crew"
    people: tuple[int, ...] = ()
    cause: str = ""


def due(job: Job, shop: Shop, zone: ZoneInfo) -> tuple[Reminder, ...]:
    """Every reminder that ought to stand for this job, soonest first."""
    known: dict[str, Any] = once(job, ("due",), dict)
    if known.get("shop") is not shop or known["zone"] != zone:
        known.update(shop=shop, zone=zone, due=_due(job, shop, zone))
    found: tuple[Reminder, ...] = known["due"]
    return found


def _due(job: Job, shop: Shop, zone: ZoneInfo) -> tuple[Reminder, ...]:
    if job.closed:
        evening = (r for r in _daily(job, shop, zone) if r.kind == "evening")
        return tuple(r for r in (*evening, *_incidents(job)) if not _has_rung(job, r))
    wanted: list[Reminder] = [*_daily(job, shop, zone)]
    for section, one in job.wet():
        wanted += _wet(job, shop, section, one)
    wanted += _patches(job)
    wanted += _incidents(job)
    wanted += _readings(job, shop, zone)
    standing = [r for r in wanted if not _has_rung(job, r)]
    standing += _unanswered(job, wanted)
    return tuple(sorted(standing, key=lambda r: (r.due, r.key)))


def alarms(job: Job) -> frozenset[str]:
    """What the owner must hear of before it falls silent: every incident, and wet wood whose time to rinse has rung."""
    hurt = {f"incident:{told['at'].isoformat()}" for told in job.incidents}
    wet = {p.known_as(s.name) for s, p in job.wet() if not p.rinsing}
    return frozenset(hurt | {name for name in wet if f"rinse:{name}" in job.rang})


def _has_rung(job: Job, reminder: Reminder) -> bool:
    rang = job.rang.get(reminder.key)
    return rang is not None and reminder.due <= rang + MERGE


def _wet(job: Job, shop: Shop, section: Section, one: Pass) -> Iterator[Reminder]:
    w = windows.window(job, shop, section, one)
    stem = one.known_as(section.name)
    who = one.people
    if w is not None and one.rinsing:  # "rinsing" stops the clock, not the care: it is asked after once
        area = measure(section.area, "square_foot") * one.share if section.area is not None else 0.0
        at = windows.up(one.rinsing + STILL + timedelta(minutes=area / shop.pace("rinse")))
        yield Reminder("rinse", at, f"rinsing:{stem}", (section.name,), people=who, cause="rinsing")
    if w is None or one.rinsing:
        return

    def ring(kind: str, at: datetime, tail: str = "") -> Reminder:
        return Reminder(kind, at, f"{kind}:{stem}{tail}", (section.name,), people=who)

    if w.mist_due and w.mist_due < w.rinse_by:
        yield ring("mist", w.mist_due, f":{len(one.rewets)}")
    spoken = section.spoken or w.check_at
    if not any(at >= w.check_at for at, _ in one.checks) and spoken <= w.check_at < w.rinse_by:
        yield ring("check", w.check_at)
    now = max(min(w.rinse_from, w.rinse_by), w.rinse_by - LEAD)
    if spoken <= w.rinse_from < now - MERGE:  # "may" and "now" in one breath is one too many
        yield ring("rinse open", w.rinse_from)
    yield ring("rinse", now)
    for n, minutes in enumerate(LATE_AGAIN):
        yield ring("rinse late", w.rinse_by + LATE + timedelta(minutes=minutes), f":{n}")


def _patches(job: Job) -> Iterator[Reminder]:
    begun: dict[tuple[str, ...], datetime | None] = {
        (s.name,): s.begun.get("patch") for s in job.sections.values()
    }
    begun[()] = job.begun.get("patch")
    for names, at in begun.items():
        if at is None or any(
            p.at >= at and (not names or not p.sections or set(names) & set(p.sections)) for p in job.patches
        ):
            continue
        for minutes in PATCH_LOOKS:
            stem = f"patch:{'+'.join(names)}:{at.isoformat()}:{minutes}"
            yield Reminder("check", at + timedelta(minutes=minutes), stem, names, cause="patch")


def _incidents(job: Job) -> Iterator[Reminder]:
    for told in job.incidents:
        if told.get("kind") in ("eye", "skin"):
            yield Reminder("incident", told["told"] + FLUSH, f"incident:{told['at'].isoformat()}", to="all")


def _readings(job: Job, shop: Shop, zone: ZoneInfo) -> Iterator[Reminder]:
    """A moisture reading each morning from the day after the last rinse until the target is read, and one later on
    the day of a reading whose forecast has a use for it."""
    wood = [s for s in job.sections.values() if _drying(s, shop)]
    if not wood or job.wet():
        return
    newest = max(
        max([s.done.get("final rinse") or s.done["rinse"], *(at for at, _ in s.moisture)]) for s in wood
    ).astimezone(zone)
    for section in wood:
        found = readiness.next_reading(job, shop, section, zone) if section.moisture else None
        at = (
            windows.up(found) if found else None
        )  # a whole minute: what is kept and what is derived must be the same
        if at is not None and at.date() == newest.date():
            yield Reminder(
                "reading", at.astimezone(UTC), f"reading:{section.name}:{at:%Y-%m-%dT%H:%M}", (section.name,)
            )
    tomorrow = newest.date() + timedelta(days=1)
    morning = datetime.combine(tomorrow, READING_HOUR, tzinfo=zone).astimezone(UTC)
    yield Reminder("reading", morning, f"reading:{tomorrow}", tuple(s.name for s in wood))


def _daily(job: Job, shop: Shop, zone: ZoneInfo) -> Iterator[Reminder]:
    """The owner's two messages: the evening of a day with work told by then, the morning after it while work is left."""
    if not job.active or (job.opened is None and not job.sections):
        return
    day = job.active[-1].astimezone(zone).date()
    midnight = datetime.combine(day, time(), tzinfo=zone).astimezone(UTC)
    first = job.active[bisect_left(job.active, midnight)]
    if (hour := shop.hour("evening")) is not None:
        at = datetime.combine(day, hour, tzinfo=zone).astimezone(UTC)
        if first <= at:
            yield Reminder("evening", at, f"evening:{day}", to="owner")
    left = [s for s in job.sections.values() if "coat" not in s.done]
    if left and (hour := shop.hour("morning")) is not None:
        tomorrow = day + timedelta(days=1)
        at = datetime.combine(tomorrow, hour, tzinfo=zone).astimezone(UTC)
        yield Reminder("morning", at, f"morning:{tomorrow}", to="owner")


def _drying(section: Section, shop: Shop) -> bool:
    brightened = section.last("brighten")
    rinsed = "final rinse" in section.done or (brightened is not None and brightened.rinsed is not None)
    oil = shop.product("oil")
    target = oil.target if oil and oil.target else drying.TARGET
    dry = bool(section.moisture) and max(section.moisture[-1][1]) <= target
    return (
        rinsed
        and not dry
        and "coat" not in section.done
        and ("final rinse" in section.done or "rinse" in section.done)
    )


def _unanswered(job: Job, wanted: Iterable[Reminder]) -> Iterator[Reminder]:
    for r in wanted:
        rung = job.rang_at.get(r.key)
        if (
            rung is None
            or r.to != "crew"
            or r.kind not in ("mist", "check", "rinse", "rinse late")
            or not r.sections
        ):
            continue
        if r.kind == "rinse late" and not r.key.endswith(":0"):
            continue
        if all(_answered(job, name, rung) for name in r.sections):
            continue
        late = replace(r, key=f"unanswered:{r.key}", due=rung + GRACE, to="owner", cause="unanswered")
        if not _has_rung(job, late) and (r.kind == "rinse late" or not _owner_knows(job, r.sections)):
            yield late


def _owner_knows(job: Job, names: Iterable[str]) -> bool:
    """The owner was told of these sections since a word about them was last said: once is enough, until it is late."""
    told = [(key, at) for key, at in job.rang_at.items() if key.startswith("unanswered:")]
    return all(any(f":{n}:" in key and not _answered(job, n, at) for key, at in told) for n in names)


def _answered(job: Job, name: str, rung: datetime) -> bool:
    spoken = job.sections[name].spoken if name in job.sections else None
    return spoken is not None and spoken > rung


@dataclass(frozen=True)
class Ring:
    """Reminders of one kind that go out as one message."""

    kind: str
    due: datetime
    sections: tuple[str, ...] = ()
    keys: tuple[str, ...] = ()
    to: str = "crew"
    people: tuple[int, ...] = ()
    cause: str = ""
    last: datetime | None = field(default=None, compare=False)


def merged(reminders: Iterable[Reminder]) -> tuple[Ring, ...]:
    """Reminders of one kind for the same people, as one where they fall due within a minute or repeat themselves."""
    rings: list[Ring] = []
    for r in sorted(reminders, key=lambda r: r.due):
        twin = next(
            (
                i
                for i, x in enumerate(rings)
                if (x.kind, x.to, x.people, x.cause) == (r.kind, r.to, r.people, r.cause)
                and (r.due - x.due <= MERGE or r.sections == x.sections)
            ),
            None,
        )
        if twin is None:
            rings.append(Ring(r.kind, r.due, r.sections, (r.key,), r.to, r.people, r.cause, r.due))
        else:
            x = rings[twin]
            sections = tuple(dict.fromkeys(x.sections + r.sections))
            rings[twin] = replace(x, sections=sections, keys=(*x.keys, r.key), last=r.due)
    return tuple(rings)


def ringing(standing: Iterable[Reminder], now: datetime) -> tuple[Ring, ...]:
    """What is to ring now, with what of the same kind falls due within the minute; "may rinse" never early."""
    now = now.astimezone(UTC)  # in the hour that comes twice a sum of local time falls back into the first of the two
    until = now + MERGE
    near = [r for r in standing if r.due <= until]
    over = [r for r in near if r.due <= now]
    kinds = {(r.kind, r.to, r.people, r.cause) for r in over}
    soon = [
        r
        for r in near
        if r.due > now and r.kind != "rinse open" and (r.kind, r.to, r.people, r.cause) in kinds
    ]
    return merged(over + soon)
