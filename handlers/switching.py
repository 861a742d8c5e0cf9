"""Which job is talked of: the list to choose from, and the word that gives a group to a job."""

from __future__ import annotations

from bot.acts import Act
from bot.job import Job
from bot.outcome import OWNER, Button, Outcome, Turn, handles, line, say


@handles("jobs", needs_job=False)
def jobs(act: Act, job: Job, turn: Turn) -> Outcome:
    """The jobs that are open, the one at hand marked, the others a button away."""
    open_ = turn.jobs()
    if not open_:
        return Outcome(replies=(say(line("no_job")),))
    rows = tuple(line("job_here" if number == job.id else "job_open", job=name) for number, name in open_)
    others = tuple(name for number, name in open_ if number != job.id)
    buttons = tuple(
        Button("plain", Act("job", {"action": "switch", "name": n}), {"label": n}) for n in others[-3:]
    )
    return Outcome(replies=(say(*rows, buttons=buttons),))


@handles("group", needs_job=False)
def group(act: Act, job: Job, turn: Turn) -> Outcome:
    """The word that opens a group, where there is none to open: the desk itself hears it in a closed one."""
    if turn.private:
        return Outcome(replies=(say(line("group_private")),))
    return Outcome(replies=(say(line("group_is_open" if turn.who.role == OWNER else "owner_only")),))
