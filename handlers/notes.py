"""Things to be written down, and pictures."""

from __future__ import annotations

from bot.acts import Act
from bot.job import Job
from bot.outcome import Entry, Outcome, Turn, ask, handles, line, say
from bot.place import missing


@handles("note")
def note(act: Act, job: Job, turn: Turn) -> Outcome:
    """Written down as it was said."""
    text = str(act.get("text") or "").strip()
    if not text:
        return ask("note_what", missing(act, "text"))
    known = tuple(s for s in job.named(act.sections) if s in job.sections)
    entry = Entry("note", {"text": text}, known, turn.when(act))
    return Outcome(
        (entry,),
        (
            say(
                line(
                    "noted",
                    text=text[:200],
                    for_sections=line("for_sections", sections=known) if known else None,
                )
            ),
        ),
    )


@handles("photo")
def photo(act: Act, job: Job, turn: Turn) -> Outcome:
    """A picture onto the timeline, with its section and pass where they are known."""
    if act.get("problem"):
        return Outcome(replies=(say(line(f"photo_{act.get('problem')}")),))
    known = tuple(s for s in job.named(act.sections) if s in job.sections)
    passes = {s: p.number for s in known if (p := job.sections[s].last())}
    data = {"files": list(act.get("files") or ()), "text": act.get("text") or "", "passes": passes}
    return Outcome(
        (Entry("photo", data, known, turn.when(act)),),
        () if act.get("more") else (say(line("photo_noted", sections=known)),),
    )
