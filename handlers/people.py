"""People: who is on site, who may come in, and how each wants to be spoken to."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from bot import windows
from bot.acts import Act
from bot.job import Job
from bot.outcome import (
    CREW,
    LEVELS,
    OWNER,
    Button,
    Entry,
    Line,
    Outcome,
    Person,
    Turn,
    ask,
    handles,
    line,
    say,
)


@handles("welcome", needs_job=False)
def welcome(act: Act, job: Job, turn: Turn) -> Outcome:
    """The first words to somebody who has just come in."""
    role = turn.who.role
    key = "welcome_owner" if role == OWNER else "welcome_crew"
    ping = say(line("ping_joined", who=turn.who.name), to=OWNER, kind="ping", level="all")
    offer = None if role == OWNER else line("practice_offer")
    buttons = () if role == OWNER else (Button("practice_label", Act("practice")),)
    return Outcome(replies=(say(line(key, name=turn.who.name), line("welcome_how"), offer, buttons=buttons), ping))


@handles("arrive")
def arrive(act: Act, job: Job, turn: Turn) -> Outcome:
    """Somebody is on site."""
    entry = Entry("arrive", {}, (), turn.when(act))
    ping = say(
        line("ping_arrived", job=job.name, who=turn.who.name, at=turn.when(act)),
        to=OWNER,
        kind="ping",
        level="all",
    )
    return Outcome(
        (entry,), (say(line("arrived", name=turn.who.name, job=job.name, at=turn.when(act))), ping)
    )


@handles("leave")
def leave(act: Act, job: Job, turn: Turn) -> Outcome:
    """Somebody goes; if wood still stands wet, that is said before they are out of reach."""
    entry = Entry("leave", {}, (), turn.when(act))
    lines: list[Line | None] = [line("left", name=turn.who.name, job=job.name, at=turn.when(act))]
    for section, one in job.wet():
        w = windows.window(job, turn.shop, section, one)
        if w:
            lines.append(line("left_wet", section=section.name, product=one.product, rinse_by=w.rinse_by))
    wet = bool(job.wet())
    ping = say(
        line("ping_left", job=job.name, who=turn.who.name),
        *lines[1:],
        to=OWNER,
        kind="ping",
        level="trouble" if wet else "all",
    )
    return Outcome((entry,), (say(*lines, loud=wet), ping))


@handles("invite", needs_job=False)
def invite(act: Act, job: Job, turn: Turn) -> Outcome:
    """A single-use code for one new crew member, in private to the owner only."""
    if turn.who.role != OWNER:
        return Outcome(replies=(say(line("owner_only")),))
    if not turn.private:
        return Outcome(replies=(say(line("private_only")),))
    return Outcome(effects=(("invite", {"role": CREW}),))


@handles("remove", needs_job=False)
def remove(act: Act, job: Job, turn: Turn) -> Outcome:
    """Takes somebody out: their messages are nobody's from now on, what they did stays."""
    if turn.who.role != OWNER:
        return Outcome(replies=(say(line("owner_only")),))
    who = _named(act, turn)
    crew = tuple(p for p in turn.people if p.role == CREW)
    if who is None or who.role == OWNER:
        buttons = tuple(Button("plain", Act("remove", {"text": p.name}), {"label": p.name}) for p in crew[:4])
        return ask("remove_who", act, buttons) if crew else Outcome(replies=(say(line("no_crew")),))
    entry = Entry("removed", {"name": who.name, "person": who.id}, shop=True)
    return Outcome((entry,), (say(line("removed", name=who.name)),), (("remove", {"id": who.id}),))


def _named(act: Act, turn: Turn) -> Person | None:
    wanted = str(act.get("name") or act.get("text") or "").strip().lower()
    return next((p for p in turn.people if p.name.lower() == wanted), None)


@handles("people", needs_job=False)
def people(act: Act, job: Job, turn: Turn) -> Outcome:
    """Who belongs, and who is on this site."""
    here = tuple(p.name for p in turn.people if p.id in job.on_site)
    rows = tuple(line("person_row", name=p.name, role=p.role, language=p.language) for p in turn.people)
    return Outcome(replies=(say(*rows, line("on_site", names=here) if here else line("nobody_here")),))


@handles("language", needs_job=False)
def language(act: Act, job: Job, turn: Turn) -> Outcome:
    """The language the person is answered in."""
    return _prefer(turn, "language", act.get("value"), ("en", "es"), "language_set")


@handles("units", needs_job=False)
def units(act: Act, job: Job, turn: Turn) -> Outcome:
    """The units the person is answered in."""
    return _prefer(turn, "units", act.get("value"), ("us", "metric"), "units_set")


@handles("pings", needs_job=False)
def pings(act: Act, job: Job, turn: Turn) -> Outcome:
    """How much the owner wants to hear."""
    if turn.who.role != OWNER:
        return Outcome(replies=(say(line("owner_only")),))
    now = line("pings_now", value=turn.who.pings) if act.get("value") not in LEVELS else None
    return _prefer(turn, "pings", act.get("value"), LEVELS, "pings_set", now)


def _prefer(
    turn: Turn, what: str, value: Any, known: tuple[str, ...], key: str, now: Line | None = None
) -> Outcome:
    """The person's choice; with no value told the question, behind what holds now."""
    if value not in known:
        buttons = tuple(Button(f"{what}_{k}", Act(what, {"value": k})) for k in known)
        asked = ask(f"{what}_which", Act(what), buttons)
        first = asked.replies[0]
        return replace(asked, replies=(replace(first, lines=(now, *first.lines)),)) if now else asked
    return Outcome(
        replies=(say(line(key, value=value)),), effects=(("person", {"id": turn.who.id, what: value}),)
    )


def _quiet_now(who: Person) -> Line:
    """The quiet hours that hold now."""
    if who.quiet is None:
        return line("quiet_none")
    return line("quiet_now", start=who.quiet[0], end=who.quiet[1])


@handles("quiet", needs_job=False)
def quiet(act: Act, job: Job, turn: Turn) -> Outcome:
    """The hours in which pings wait; incidents never do."""
    start, end = act.get("from"), act.get("to")
    if act.get("off"):
        change: dict[str, Any] = {"quiet_from": None, "quiet_to": None}
        return Outcome(
            replies=(say(line("quiet_off")),), effects=(("person", {"id": turn.who.id, **change}),)
        )
    if start is None or end is None or not (0 <= start < 24 and 0 <= end <= 24):
        now = _quiet_now(turn.who)
        if start is not None and end is None and 0 <= start < 24:
            now = line("quiet_until_when", start=int(start))
        asked = ask("quiet_which", Act("quiet"))
        return replace(asked, replies=(replace(asked.replies[0], lines=(now, *asked.replies[0].lines)),))
    change = {"quiet_from": int(start), "quiet_to": int(end)}
    return Outcome(
        replies=(say(line("quiet_set", start=int(start), end=int(end))),),
        effects=(("person", {"id": turn.who.id, **change}),),
    )
