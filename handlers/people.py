"""People: who is on site, who may come in, and how each wants to be spoken to."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from bot import windows
from bot.acts import ALL, ME, SOMEBODY, Act
from bot.job import Job
from bot.lookup import folded
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
    """Somebody is on site: who speaks, or the crew members who are named."""
    return _visit(act, job, turn)


@handles("leave")
def leave(act: Act, job: Job, turn: Turn) -> Outcome:
    """Somebody goes; if wood still stands wet, that is said before they are out of reach."""
    return _visit(act, job, turn)


def _visit(act: Act, job: Job, turn: Turn) -> Outcome:
    """One entry for each who came or went; of a name that nobody here has, none, and who it was is asked."""
    persons, strange = _visitors(act, job, turn)
    if not persons:
        return _who_was_it(act, turn, strange)
    at, names = turn.when(act), tuple(p.name for p in persons)
    entries = tuple(
        Entry(act.name, {} if p.id == turn.who.id else {"by": [p.name], "person": p.id}, (), at) for p in persons
    )
    wet = _still_wet(job, turn) if act.name == "leave" else ()
    more = "s" if len(persons) > 1 else ""
    said: list[Line | None] = [line(f"{SAID[act.name]}{more}", name=names, job=job.name, at=at), *wet]
    if strange:
        said.append(line("visit_strange", names=strange))
    if ALL in (act.get("by") or ()) and act.name == "arrive":
        said.append(line("visit_others"))
    who: Line | tuple[str, ...] = names if persons == (turn.who,) else line("told_by", names=names, teller=turn.who.name)
    ping = say(
        line(f"ping_{SAID[act.name]}{more}", job=job.name, who=who, at=at),
        *wet,
        to=OWNER,
        kind="ping",
        level="trouble" if wet else "all",
    )
    return Outcome(entries, (say(*said, loud=bool(wet)), ping))


SAID = {"arrive": "arrived", "leave": "left"}


def _visitors(act: Act, job: Job, turn: Turn) -> tuple[tuple[Person, ...], tuple[str, ...]]:
    """(who came or went, the names that nobody of the shop has); all who are on site go with "we all"."""
    told = tuple(str(n) for n in act.get("by") or (ME,))
    known = {folded(p.name): p for p in turn.people} | {folded(ME): turn.who}
    found = [known[folded(n)] for n in told if folded(n) in known]
    if ALL in told and act.name == "leave":
        today = turn.now.astimezone(turn.zone).date()
        here = {k for k, at in job.on_site.items() if at.astimezone(turn.zone).date() == today}
        found += [p for p in turn.people if p.id in here]
    if ALL in told and not found:
        found = [turn.who]
    strange = tuple(n for n in told if n not in (ALL, SOMEBODY) and folded(n) not in known)
    return tuple(dict.fromkeys(found)), strange


def _who_was_it(act: Act, turn: Turn, strange: tuple[str, ...]) -> Outcome:
    """Nothing is put down to who speaks because of somebody whom nobody here knows."""
    told = act.having(at=act.get("at") or turn.when(act).isoformat(timespec="milliseconds"))
    crew = tuple(p for p in turn.people if p.id != turn.who.id)[:3]
    buttons = tuple(Button("plain", told.having(by=[p.name]), {"label": p.name}) for p in (*crew, turn.who))
    return ask("visit_who", told, buttons, names=strange) if strange else ask("visit_whom", told, buttons)


def _still_wet(job: Job, turn: Turn) -> tuple[Line, ...]:
    """What stands wet, and by when it must be rinsed."""
    found = []
    for section, one in job.wet():
        if w := windows.window(job, turn.shop, section, one):
            found.append(line("left_wet", section=section.name, product=one.product, rinse_by=w.rinse_by))
    return tuple(found)


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
