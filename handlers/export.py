"""The timeline as a file, for the owner's own tools."""

from __future__ import annotations

from bot.acts import Act
from bot.job import Job
from bot.lookup import job_named
from bot.outcome import Outcome, Turn, handles, line, say
from bot.stocktaking import confidential

FORMATS = ("csv", "json")


@handles("export", needs_job=False)
def export(act: Act, job: Job, turn: Turn) -> Outcome:
    """The job named, else the one talked of, else everything; made outside the turn and sent as a file."""
    made = str(act.get("format") or "csv")
    made = made if made in FORMATS else "csv"
    every = bool(act.get("all"))
    asked = None if every else job_named(act, turn) or (job if job.id else None)
    file = {"make": made, "job": asked.id if asked is not None else None}
    words = line("export_job", job=asked.name, format=made.upper()) if asked is not None else line(
        "export_all", format=made.upper())  # fmt: skip
    return confidential(turn, say(words, files=(file,)))
