"""Practice for a new hand: five steps on a job that does not count."""

from __future__ import annotations

from bot import windows
from bot.acts import Act
from bot.job import Job
from bot.outcome import Entry, Outcome, Turn, handles, line, say
from bot.parts import Pass, Section

DECK = {"value": 40, "unit": "ft2"}  # small, so that it is soon covered
NAME = "A"


@handles("practice", needs_job=False)
def practice(act: Act, job: Job, turn: Turn) -> Outcome:
    """Begins a practice, says its next step, or ends it: when it was played through, or on a word."""
    if job.id < 0:
        return _stop() if act.get("stop") else _next(act, job, turn)
    if act.get("stop"):
        return Outcome(replies=(say(line("practice_none")),))
    if not turn.private:
        return Outcome(replies=(say(line("private_only")),))
    if job.wet():
        return Outcome(replies=(say(line("practice_wet", sections=tuple(s.name for s, _ in job.wet()))),))
    made = (Entry("measure", {"area": DECK, "surface": "floor"}, (NAME,)),
            Entry("warned", {"keys": ["preparation", "site"]}))  # fmt: skip
    opened = Entry("job", {"action": "open", "name": "practice_name"})
    return Outcome((opened, *made), (say(line("practice_open")),), (("practice", {}),))


def _stop() -> Outcome:
    return Outcome((Entry("job", {"action": "close"}),), (say(line("practice_stopped")),), (("practice", {"over": True}),))


def _next(act: Act, job: Job, turn: Turn) -> Outcome:
    """The one step that comes next, by what was done; after the last, the end."""
    lead = line("chatter") if act.get("chatter") else None
    section = job.sections.get(NAME)
    last = section.last("strip") if section else None
    if section is None or last is None:
        return Outcome(replies=(say(lead, line("practice_start")),))
    if not last.wet:
        done = (say(lead, line("practice_done")),)
        return Outcome((Entry("job", {"action": "close"}),), done, (("practice", {"over": True}),))
    return Outcome(replies=(say(lead, line(_step(job, turn, section, last))),))


def _step(job: Job, turn: Turn, section: Section, last: Pass) -> str:
    window = windows.window(job, turn.shop, section, last)
    if window is not None and turn.now > window.rinse_by:
        return "practice_late"
    if last.covered is None:
        return "practice_cover"
    if last.rewets and last.checks:
        return "practice_rinse"
    if not last.rewets and not last.checks:
        return "practice_wait"
    return "practice_check" if last.rewets else "practice_mist"
