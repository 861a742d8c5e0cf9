"""Somebody is hurt or something is damaged: first aid first, the owner at once, and a timer."""

from __future__ import annotations

from bot.acts import Act
from bot.errors import Refused
from bot.job import Job
from bot.outcome import OWNER, Entry, Line, Outcome, Turn, handles, line, say


@handles("danger", needs_job=False)
def danger(act: Act, job: Job, turn: Turn) -> Outcome:
    """A lethal or wood-wrecking wish: the reason, no quantity; the owner hears of it."""
    raise Refused(str(act.get("reason")))


BODY = ("eye", "skin", "breathing", "swallowed")


@handles("incident")
def incident(act: Act, job: Job, turn: Turn) -> Outcome:
    """The first-aid line of the label's kind, loudly; never more than the label says."""
    kind = act.get("kind") or "other"
    emergency = turn.shop.emergency
    entry = Entry("incident", {"kind": kind, "text": turn.text[:1000]}, act.sections, turn.when(act))
    lines: list[Line | None] = [line(f"first_aid_{kind}", emergency=emergency)]
    if kind in BODY:
        lines.append(line("label_and_doctor"))
    if job.wet() and kind in (*BODY, "slip"):
        lines.append(line("wet_meanwhile", sections=tuple(s.name for s, _ in job.wet())))
    about = {"incident": True, "sections": act.sections}
    ping = say(
        line(
            "ping_incident",
            job=job.name,
            who=turn.who.name,
            kind=kind,
            text=turn.text[:300],
            at=turn.when(act),
        ),
        to=OWNER,
        kind="ping",
        level="trouble",
        loud=True,
        about=about,
    )
    return Outcome((entry,), (say(*lines, loud=True, about=about), ping))
