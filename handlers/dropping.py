"""A section taken out of the job: told by mistake, or twice; what was done there is asked about first."""

from __future__ import annotations

from bot.acts import Act
from bot.job import Job
from bot.outcome import OWNER, Button, Entry, Outcome, Turn, ask, handles, line, say
from bot.parts import Section
from bot.place import where


@handles("drop")
def drop(act: Act, job: Job, turn: Turn) -> Outcome:
    """The sections told are no part of the job any more; the owner's word only, an entry like any other."""
    if turn.who.role != OWNER:
        return Outcome(replies=(say(line("owner_only")),))
    if not act.sections or "*" in act.sections:
        return ask("drop_which", act.having(sections=None))
    names = where(act, job, turn)
    if isinstance(names, Outcome):
        return names
    worked = tuple(n for n in names if _worked(job.sections[n]))
    wet = tuple(n for n in names if job.sections[n].wet)
    if set(job.standing(names)) - set(act.get("over") or ()) or (worked and not act.get("sure")):
        yes = Button("drop_yes", act.having(sure=True, over=list(job.standing(names))))
        return ask("drop_wet" if wet else "drop_sure", act, (yes,), sections=wet or worked)
    entry = Entry("drop", {}, names)
    after = job.told([entry], turn)
    total = line("dropped_total", area=after.area()) if after.area().magnitude else None
    return Outcome((entry,), (say(line("dropped", sections=names), total),))


def _worked(section: Section) -> bool:
    return bool(section.passes or section.done or section.begun or section.moisture or section.ph)
