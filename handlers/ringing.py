"""What a reminder says when it rings, to whom, and that it rang."""

from __future__ import annotations

from bot import clocks, daily, windows
from bot.acts import Act
from bot.clocks import Ring
from bot.job import Job
from bot.outcome import Button, Entry, Line, Outcome, Say, Turn, handles, line, say
from bot.telling import rinse_line

LOUD = (
    "mist",
    "check",
    "rinse",
    "rinse late",
    "rinse open",
    "incident",
)  # what needs hands, and nothing else


@handles("ring", needs_job=False)
def ring(act: Act, job: Job, turn: Turn) -> Outcome:
    """Every reminder in `turn.due`: said to those it is for, and noted so that a restart knows."""
    entries = [
        Entry(
            "rang",
            {
                "keys": list(r.keys),
                "due": (r.last or r.due).isoformat(),
                "reminder": r.kind,
                **({"cause": r.cause} if r.cause else {}),
            },
            r.sections,
        )
        for r in turn.due
    ]
    said = [_said(r, job, turn) for r in turn.due]
    return Outcome(tuple(entries), tuple(s for s in said if s is not None))


def _said(r: Ring, job: Job, turn: Turn) -> Say | None:
    if r.kind in daily.STALE:
        return daily.ping(r.kind, r.due, job, turn)
    return _owner(r, job, turn) if r.to == "owner" else _crew(r, job, turn)


def _crew(r: Ring, job: Job, turn: Turn) -> Say:
    late = turn.now - r.due > clocks.MERGE
    key = "ring_patch" if r.cause == "patch" else f"ring_{r.kind}".replace(" ", "_")
    if r.cause == "rinsing":
        key = "ring_still_rinsing"
    elif r.kind == "check" and _brightening(r, job):
        key = "ring_check_bright"
    lines: list[Line | None] = [
        line("in_job", name=job.name) if len(turn.jobs()) > 1 and job.id > 0 else None,  # another may have a B as well
        line("rang_late", at=r.due) if late else None,
        line(key, sections=r.sections, job=job.name, at=r.due),
    ]
    lines += [x for name in r.sections if (x := _limit(r, job, turn, name))]
    if r.kind == "incident":
        lines.append(line("ring_incident_more", emergency=turn.shop.emergency))
    to: str | tuple[int, ...] = "all" if r.to == "all" else r.people or _hands(r, job)
    if r.kind == "rinse late":
        to = tuple(dict.fromkeys((*r.people, *job.on_site)))
    about = {
        "reminder": r.kind,
        "sections": r.sections,
        **({"incident": True} if r.kind == "incident" else {}),
    }
    return say(*lines, to=to, kind="reminder", loud=r.kind in LOUD, about=about, buttons=_buttons(r, job))


def _brightening(r: Ring, job: Job) -> bool:
    """Whether what stands on these sections is brightener: it is looked at for colour, not for what lets go."""
    wet = [s.wet for n in r.sections if (s := job.sections.get(n))]
    return bool(wet) and all(p is not None and p.step == "brighten" for p in wet)


def _hands(r: Ring, job: Job) -> tuple[int, ...]:
    """Who has to do with these sections, else who is on site."""
    told = tuple(p for n in r.sections if (s := job.sections.get(n)) for p in s.people)
    return tuple(dict.fromkeys(told)) or tuple(job.on_site)


def _limit(r: Ring, job: Job, turn: Turn, name: str) -> Line | None:
    """What a ring needs beside its own word: until when, so that the next thing is known."""
    section = job.sections.get(name)
    w = windows.window(job, turn.shop, section, section.wet) if section and section.wet else None
    if w is None or r.cause in ("patch", "rinsing") or r.kind in ("rinse late", "reading"):
        return None
    return rinse_line(job.sections[name], w)


def _buttons(r: Ring, job: Job) -> tuple[Button, ...]:
    names = list(r.sections)
    rinsing = Button("rinsing_label", Act("start", {"step": "rinse", "sections": names}))
    rinsed = Button("rinsed", Act("finish", {"step": "rinse", "sections": names}))
    judged = tuple(
        Button(f"check_{k}", Act("check", {"sections": names, "result": k}))
        for k in ("loose", "partly", "stuck")
    )
    if r.cause == "patch":
        kept = {"sections": names} if names else {}
        return tuple(
            Button(f"patch_{k}", Act("patch", {**kept, "result": k})) for k in ("loose", "partly", "stuck")
        )
    if r.kind == "mist":
        return (Button("misted", Act("rewet", {"sections": names})), rinsing)
    if r.kind == "check":
        return (rinsing,) if _brightening(r, job) else judged
    if r.cause == "rinsing":
        return (rinsed,)
    if r.kind in ("rinse open", "rinse", "rinse late"):
        return (rinsing, rinsed, *(() if r.kind == "rinse late" else (_more(names),)))
    return ()


def _more(names: list[str]) -> Button:
    return Button("more_minutes", Act("extend", {"sections": names, "minutes": 5}), {"minutes": 5})


def _owner(r: Ring, job: Job, turn: Turn) -> Say | None:
    owners = {p.id for p in turn.people if p.role == "owner"}
    if r.cause == "unanswered" and set(r.people) <= owners:
        return None  # the owner is who was rung
    names = tuple(p.name for p in turn.people if p.id in r.people)
    lines = [
        line(
            "ping_unanswered", job=job.name, sections=r.sections, reminder=r.kind.replace(" ", "_"), who=names
        )
    ]
    lines += [x for name in r.sections if (x := _limit(r, job, turn, name))]
    return say(
        *lines,
        to="owner",
        kind="ping",
        level="trouble",
        loud=True,
        about={"unanswered": r.kind, "sections": r.sections},
    )
