"""What is told against what stands on the wood: acid onto caustic, a time before what came since. Asked, never guessed."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

from bot.acts import Act
from bot.job import Job
from bot.outcome import Button, Outcome, Turn, ask
from bot.parts import RINSES, Section
from bot.place import missing, stamped

MINUTE = timedelta(minutes=1)


def apart(asked: Outcome, names: tuple[str, ...], go: Callable[[tuple[str, ...]], Outcome]) -> Outcome:
    """What is clear goes on, its clocks run; only the rest of these sections is asked about."""
    rest = tuple(n for n in names if n not in asked.replies[0].about["sections"])
    return (go(rest) if rest else Outcome()).plus(*asked.replies)


def other_standing(act: Act, job: Job, turn: Turn, step: str, names: tuple[str, ...]) -> Outcome | None:
    """Caustic onto acid, or acid onto caustic: what stands is rinsed off first."""
    other = [n for n in names if (p := job.sections[n].wet) and p.step != step and not p.rinsing]
    if not other or act.get("sure"):
        return None
    told = stamped(act, turn).having(sections=other)
    rinsed = Button("rinsed", Act("finish", {"step": "rinse", "sections": other}), {"sections": tuple(other)})
    product = job.sections[other[0]].passes[-1].product
    sure = Button("on_it_all_the_same", told.having(sure=True))
    return ask("other_standing", told, (rinsed, sure), sections=tuple(other), product=product)


def before_rinse(act: Act, job: Job, turn: Turn, names: tuple[str, ...]) -> Outcome | None:
    """A coat told of before the last rinse would be off again by that rinse, and nothing would ring for it."""
    at = begun(act, job, turn, names)
    done = tuple(n for n in names if (rinsed := _rinsed(job.sections[n])) and rinsed > at)
    if not done:
        return None
    asked = missing(act.having(at=None, sections=list(done)), "at")
    return ask("before_rinse", asked, sections=done, at=at, rinsed=_rinsed(job.sections[done[0]]))


def begun(act: Act, job: Job, turn: Turn, names: tuple[str, ...]) -> datetime:
    """When a coat told of went on: a minute is all of it, and what was rinsed in that minute was rinsed before."""
    at = turn.when(act)
    rinsed = [r for n in names if (r := _rinsed(job.sections[n])) and at < r < at + MINUTE]
    return max(rinsed, default=at).astimezone(turn.zone)


def _rinsed(section: Section) -> datetime | None:
    return max((p.rinsed for p in section.passes if p.rinsed), default=None)


def backwards(act: Act, job: Job, turn: Turn, step: str, names: tuple[str, ...]) -> Outcome | None:
    """An end told of before its beginning, or a rinse of before the last edge was covered."""
    at = turn.when(act)
    for name in names:
        one = job.sections[name].wet
        for key, since in (("before_start", one and one.started), ("before_cover", one and one.covered)):
            if since and at < since and (key == "before_start" or step in RINSES):
                told = missing(act.having(at=None, sections=list(names)), "at")
                return ask(key, told, section=name, at=at, started=since)
    return None


def startable(job: Job, step: str) -> tuple[str, ...]:
    """Where a step can begin, when nobody said where: the only place left, never a guess among several."""
    if step in RINSES:
        return tuple(s.name for s, p in job.wet() if not p.rinsing)
    if step == "strip":
        return tuple(s.name for s in job.sections.values() if not s.passes)
    if step == "brighten":
        return tuple(
            s.name for s in job.sections.values() if s.last("strip") and not s.wet and not s.last("brighten")
        )
    return tuple(job.sections)


def as_pass(act: Act, job: Job) -> Act:
    """A second coat of nobody said what, on wood under stripper or rinsed of it alone, is another pass of stripper."""
    names = job.named(act.sections)
    if act.get("step") != "coat" or "step" not in act.assumed or not names or not all(_under_strip(job, n) for n in names):
        return act
    told = {**act.slots, "step": "strip", **({"put": True} if act.name == "finish" else {})}
    return Act(act.name, told, tuple(a for a in act.assumed if a != "step"), act.missing)


def _under_strip(job: Job, name: str) -> bool:
    """Whether stripper was the last on this section, and nothing was told since that comes after it."""
    last = job.sections[name].last() if name in job.sections else None
    if last is None or last.step != "strip":
        return False
    section = job.sections[name]
    later = [at for step in ("coat", "final rinse", "brighten") if (at := section.done.get(step))]
    later += [section.begun["coat"]] if "coat" in section.begun else []
    read = [at for at, _ in section.moisture]
    return last.rinsed is None or all(at < last.rinsed for at in (*later, *read))
