"""The client's notice: what to keep off and until when, which way is shut, pets and plants, what comes next."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from bot import stages
from bot.acts import Act
from bot.job import Job
from bot.outcome import Entry, Line, Outcome, Turn, handles, line, say
from bot.place import where

LANGUAGES = ("en", "es")


@handles("client")
def client(act: Act, job: Job, turn: Turn) -> Outcome:
    """Ready to forward, in the client's language; what is promised is on the timeline."""
    if not job.sections:
        return Outcome(replies=(say(line("no_sections_short")),))
    names = where(act, job, turn) if act.sections else tuple(job.sections)
    if isinstance(names, Outcome):
        return names
    told = str(act.get("language") or job.site.get("client_language") or turn.who.language)
    language = told if told in LANGUAGES else turn.who.language
    found = tuple(s for s in stages.every(job, turn.shop) if s.section.name in names)
    until = _until(found, turn)
    lines: list[Line | None] = [
        line("client_head", job=job.name, day=turn.now.date()),
        *_keep_off(found, until),
        _shut(found),
        line("client_pets"),
        line("client_plants") if any(s.name in ("wet", "to_strip", "to_brighten") for s in found) else None,
        *_next(found),
    ]
    promised = {"language": language, **({"not_before": until[0], "expected": until[1]} if until else {})}
    entry = Entry("client", {k: str(v) for k, v in promised.items()}, names)
    return Outcome((entry,), (say(*lines, language=language, about={"sections": names}),))


def _until(found: Iterable[stages.Stage], turn: Turn) -> tuple[date, date] | None:
    """(not before, expected by): of the section that holds the others up; None where no day can be said yet."""
    days = []
    for one in found:
        if one.name == "coated" or one.name == "ready":
            continue
        f = one.forecast
        if f is None or f.ready_low is None or f.ready_high is None:
            return None
        days.append((f.ready_low.astimezone(turn.zone).date(), f.ready_high.astimezone(turn.zone).date()))
    if not days or max(high for _, high in days) < turn.now.date():
        return None
    return max(max(low for low, _ in days), turn.now.date()), max(high for _, high in days)


def _keep_off(found: tuple[stages.Stage, ...], until: tuple[date, date] | None) -> list[Line]:
    """What stands wet now, then what is not to be walked on and until when: always until we say so."""
    wet = tuple(s.section.name for s in found if s.name == "wet")
    names = tuple(s.section.name for s in found)
    lines = [line("client_wet", sections=wet)] if wet else []
    if until is None:
        return [*lines, line("client_keep_off", sections=names)]
    first, last = until
    key = "client_keep_off_day" if first == last else "client_keep_off_days"
    return [*lines, line(key, sections=names, first=first, last=last)]


def _shut(found: tuple[stages.Stage, ...]) -> Line:
    """The ways that are shut: stairs by name, and the doors that open onto the deck."""
    stairs = tuple(s.section.name for s in found if s.section.surface == "stairs")
    return line("client_stairs", sections=stairs) if stairs else line("client_doors")


def _next(found: tuple[stages.Stage, ...]) -> list[Line]:
    """What happens next, from where the slowest section stands."""
    order = ("to_strip", "wet", "to_brighten", "drying", "ready", "coated")
    slowest = min((s.name for s in found), key=order.index)
    shown = "drying" if slowest == "drying" else "ready" if slowest == "ready" else slowest
    return [line(f"client_next_{shown}"), line("client_ask")]
