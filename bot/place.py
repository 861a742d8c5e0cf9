"""Which sections an act is about: those named, those the talk is about, the only ones it can be; else a question."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import timedelta

from bot.acts import EVERY, Act
from bot.job import Job
from bot.outcome import Button, Outcome, Turn, ask
from bot.parts import RINSES

ALL = re.compile(r"\b(all|everything|both|every|todo|todos|todas|toda|ambas|ambos)\b", re.IGNORECASE)
BOTH = re.compile(r"\b(both|ambas|ambos|l[ao]s dos)\b", re.IGNORECASE)
THE_TWO = re.compile(  # no both ends, sides or coats of one
    r"\b(?:both|ambas|ambos|l[ao]s dos)(?=\s*(?:$|[.,!;]|of (?:em|them)\b|sections?\b|secciones\b|now\b|are\b|is\b|were\b|"
    r"done\b|rinsed\b|misted\b|covered\b|again\b|ya\b|at \d|a las\b))", re.IGNORECASE,
)  # fmt: skip
BOTH_OF = "+"  # what "both" is read as where it names no two
AHEAD = timedelta(minutes=2)


def where(
    act: Act, job: Job, turn: Turn, among: Iterable[str] = (), key: str = "which_section"
) -> tuple[str, ...] | Outcome:
    """The sections of an act, all of them known; or the one question that is needed.

    `among` are those that the act can sensibly be about: they decide where none was named.
    """
    fitting = tuple(among)
    if act.sections:
        return _named(act, job, turn, fitting)
    if len(fitting) == 2 and THE_TWO.search(turn.text):
        return fitting
    if len(fitting) > 1 and ALL.search(turn.text):
        return _all_or_one(act, turn, fitting, key)
    told = tuple(s for s in turn.about if s in fitting)
    if len(told) > 1 and act.get("step") in RINSES:  # "rinsing", after a bell about two: one hose is at one of them
        return _all_or_one(act, turn, told, key)
    found = told or (fitting if len(fitting) == 1 else ())
    if found and (len(found) > 1 or not BOTH.search(turn.text)):  # of "both" one is no answer
        return found
    choices = fitting or tuple(job.sections)
    if not choices:
        return ask("no_sections_yet", stamped(act, turn))
    buttons = tuple(section_button(act, turn, name) for name in choices[:4])
    return ask(key, missing(stamped(act, turn), "sections"), buttons, sections=choices)


def where_named(act: Act, job: Job, turn: Turn) -> tuple[str, ...] | Outcome:
    """The sections of an act that may belong to the whole job: those named, else none."""
    return where(act, job, turn) if act.sections else ()


def _all_or_one(act: Act, turn: Turn, fitting: tuple[str, ...], key: str) -> Outcome:
    """ "all rinsed" with several that may be meant: every one of them first, one by one beside it; never a guess."""
    told = missing(stamped(act, turn), "sections")
    every = Button("section_label", stamped(act, turn).having(sections=list(fitting)), {"section": fitting})
    return ask(
        key, told, (every, *(section_button(act, turn, name) for name in fitting[:2])), sections=fitting
    )


def _named(act: Act, job: Job, turn: Turn, fitting: tuple[str, ...]) -> tuple[str, ...] | Outcome:
    if act.sections == (EVERY,):
        every = fitting or tuple(job.sections)
        return every if every else ask("no_sections_yet", stamped(act, turn))
    if act.sections == (BOTH_OF,) and len(fitting) > 1:
        return fitting if len(fitting) == 2 else _all_or_one(act, turn, fitting, "which_section")
    told = tuple(_known_as(s, job) for s in act.sections)
    unknown = [s for s in told if s not in job.sections and s != EVERY]
    if not unknown:
        return job.named(told)
    choices = fitting or tuple(job.sections)
    if not choices:
        return ask("no_such_section_none", stamped(act, turn), section=unknown[0])
    rest = [s for s in told if s not in unknown]
    asked = stamped(act, turn) if rest else missing(stamped(act, turn).having(sections=None), "sections")
    buttons = tuple(section_button(act, turn, name, rest) for name in choices if name not in rest)[:4]
    return ask("no_such_section", asked, buttons, section=unknown[0], sections=choices)


def _known_as(name: str, job: Job) -> str:
    """ "rail" where the only rail is called "front rail", "stairs" where C is the only stairs; else as it is."""
    if name in job.sections or len(name) < 3:
        return name
    alike = [known for known in job.sections if name in known.split()]
    alike = alike or [s.name for s in job.sections.values() if s.surface == name]
    return alike[0] if len(alike) == 1 else name


def section_button(act: Act, turn: Turn, name: str, rest: Iterable[str] = ()) -> Button:
    """A button that says the act again of this section, as of the moment it was said."""
    return Button("section_label", stamped(act, turn).having(sections=[*rest, name]), {"section": name})


def stamped(act: Act, turn: Turn) -> Act:
    """The act with its moment, so that answering a question a minute later changes no clock."""
    return act.stamped(turn.said_at.astimezone(turn.zone))


def missing(act: Act, *slots: str) -> Act:
    """The act with these slots marked as missing, so that a short answer fills them."""
    return Act(act.name, act.slots, act.assumed, tuple(dict.fromkeys((*act.missing, *slots))))


def wrong_time(act: Act, job: Job, turn: Turn) -> Outcome | None:
    """The question for a time that cannot be: later than now, or before the day the job was opened."""
    at = turn.when(act)
    if "at" in act.missing:
        return ask("time_untold", act)
    if act.get("at") and "T" not in str(act.get("at")):  # a day alone is no moment for a clock
        return ask("time_untold", missing(act.having(at=None), "at"))
    if at > turn.now + AHEAD:
        return ask("time_ahead", missing(act.having(at=None), "at"), at=at)
    if job.opened and at.date() < job.opened.astimezone(turn.zone).date() and not act.get("sure"):
        yes = Button("yes_record", act.having(sure=True))
        return ask("time_before_job", act, (yes,), at=at, opened=job.opened)
    return None
