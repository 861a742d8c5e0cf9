"""The job itself: opened, switched to, closed; the facts of its site."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot import comparing
from bot.acts import Act
from bot.job import Job
from bot.offering import offered, row, take
from bot.outcome import OWNER, Button, Entry, Line, Outcome, Say, Turn, ask, handles, line, say
from bot.place import missing
from bot.trade import cautions
from bot.trade.units import quantity

FACTS = (
    "year_built",
    "deck_built",
    "treated",
    "species",
    "finish",
    "place",
    "latitude",
    "longitude",
    "lead_checked",
    "lead_found",
    "facing",
    "wall_height",
    "wall_distance",
    "client",
)
ENDED = (cautions.LEAD_ENDED, cautions.CCA_ENDED)


@handles("job", needs_job=False)
def job_(act: Act, job: Job, turn: Turn) -> Outcome:
    """Opens a job, goes to another, or closes one."""
    action = act.get("action", "open")
    name = " ".join(str(act.get("name") or "").split())[:80]
    if action == "close":
        return _close(act, job, turn, name)
    if action == "reopen":
        return _reopen(act, job, turn, name)
    if not name:
        return ask("job_name", missing(act, "name"))
    twin = next((number for number, known in turn.jobs() if known.lower() == name.lower()), None)
    taken = not turn.private and twin != job.id and any(number == job.id for number, _ in turn.jobs())
    if taken and turn.who.role != OWNER:
        return Outcome(replies=(say(line("owner_only")),))  # a group goes to another job by the owner's word
    if twin is not None and (action == "switch" or twin == job.id):
        return Outcome((), (say(line("job_switched", name=name)),), (("switch", {"job": twin}),))
    if twin is not None and not act.get("sure"):
        go = Button("job_go", act.having(action="switch"), {"name": name})
        return ask("job_twin", act, (go, Button("job_another", act.having(sure=True))), name=name)
    if action == "switch":
        buttons = tuple(
            Button("plain", act.having(name=known), {"label": known}) for _, known in turn.jobs()[-4:]
        )
        return ask("job_unknown", act, buttons, name=name)
    entry = Entry("job", {"action": "open", "name": name})
    offers = offered(turn) if turn.who.role == OWNER and turn.private else ()
    said = say(line("job_opened", name=name), line("job_next"), *(row(x, turn.shop) for x in offers), about={},
               buttons=tuple(take(x) for x in offers)[:3])  # fmt: skip
    return Outcome((entry,), (said,), (("open", {"name": name}),))


def _reopen(act: Act, job: Job, turn: Turn, name: str) -> Outcome:
    """Work goes on in a closed job: the one named or at hand, else the one closed last."""
    past = turn.past() if turn.past else ()
    shut = [j for j in past if j.closed and (not name or j.name.lower() == name.lower())]
    wanted = act.get("number") or (job.id if job.closed and not name else 0)
    found = next((j for j in past if j.id == wanted), None) or max(shut, key=lambda j: j.closed or turn.now, default=None)
    if found is None:
        return ask("job_unclosed", act)
    if not found.closed:
        return Outcome((), (say(line("job_switched", name=found.name)),), (("switch", {"job": found.id}),))
    ping = say(line("ping_reopened", job=found.name, who=turn.who.name), to="owner", kind="ping", level="milestones")
    said = say(line("job_reopened", name=found.name))
    return Outcome((Entry("job", {"action": "reopen"}),), (said, ping), (("reopen", {"job": found.id}),))


def _close(act: Act, job: Job, turn: Turn, name: str) -> Outcome:
    number = (
        next((n for n, known in turn.jobs() if known.lower() == name.lower()), None) if name else job.id or None
    )
    if number is None or (name and number != job.id):
        return ask("job_close_which", act) if number is None else ask("job_switch_first", act, name=name)
    if job.closed:
        again = Button("reopen", act.having(action="reopen"), {"name": job.name})
        return ask("job_closed_already", act, (again,), name=job.name)
    wet = tuple(s.name for s, _ in job.wet())
    if set(job.standing()) - set(act.get("over") or ()):
        yes = Button("close_anyway", act.having(over=list(job.standing())))
        return ask("job_wet", act, (yes,), sections=wet)
    entry = Entry("job", {"action": "close", "over": list(job.standing())})
    over = line("closed_wet", sections=wet) if wet else None
    spent = sum((1 for _ in job.batches), 0)
    differ = comparing.compared(job.told((entry,), turn), turn)
    own = comparing.told(differ) if turn.who.role == OWNER and turn.private else ()
    return Outcome(
        (entry,),
        (
            say(line("job_closed", name=job.name, sections=len(job.sections), batches=spent), over, *own),
            say(
                line("ping_closed", job=job.name, who=turn.who.name),
                over,
                *comparing.told(differ),
                to="owner",
                kind="ping",
                level="trouble" if wet else "milestones",
                loud=bool(wet),
            ),
        ),
        (("close", {"job": number}),),
    )


@handles("rename")
def rename(act: Act, job: Job, turn: Turn) -> Outcome:
    """Gives the job its right name."""
    name = " ".join(str(act.get("name") or act.get("text") or "").split())[:80]
    if not name:
        return ask("job_name", missing(act, "name"))
    entry = Entry("job", {"action": "rename", "name": name})
    return Outcome(
        (entry,),
        (say(line("job_renamed", old=job.name, name=name)),),
        (("rename", {"job": job.id, "name": name}),),
    )


@handles("survey")
def survey(act: Act, job: Job, turn: Turn) -> Outcome:
    """Facts of the site; what they forbid is said at once."""
    doubt = _doubt(act, job)
    if doubt is not None:
        slot, asked = doubt
        rest = act.having(**{slot: None})
        return (survey(rest, job, turn) if any(k in rest.slots for k in FACTS) else Outcome()).plus(*asked.replies)
    told: dict[str, Any] = {k: act.get(k) for k in FACTS if act.get(k) is not None}
    if not told:
        return ask("survey_what", act)
    year = told.get("year_built")
    if year is not None and not 1600 <= int(year) <= turn.now.year:
        return ask("year_odd", missing(act, "year_built"), year=str(year))
    if not (abs(told.get("latitude", 0)) <= 90 and abs(told.get("longitude", 0)) <= 180):
        return ask("place_odd", act)
    entry = Entry("survey", told)
    site = {**job.site, **told}
    lines: list[Line | None] = [line("survey_noted", what=tuple(_fact(k, v) for k, v in told.items()))]
    built = site.get("year_built")
    if site.get("lead_found"):
        lines.append(line("lead_found_first"))
    elif built is not None and int(built) < cautions.LEAD_ENDED and not site.get("lead_checked"):
        lines.append(line("lead_first"))
    deck = site.get("deck_built", built)
    if site.get("treated") and (deck is None or int(deck) < cautions.CCA_ENDED):
        lines.append(line("cca_first" if deck is not None else "cca_ask"))
    return Outcome((entry,), (say(*lines), *_lead_told(told, job, turn)))


def _lead_told(told: Mapping[str, Any], job: Job, turn: Turn) -> tuple[Say, ...]:
    """The owner hears what was told of lead: that it is there, or that somebody lifted the refusal to strip."""
    key = "ping_lead_found" if told.get("lead_found") else "ping_lead_checked" if told.get("lead_checked") else ""
    ping = line(key, job=job.name, who=turn.who.name)
    return (say(ping, to="owner", kind="ping", level="trouble", loud=bool(told.get("lead_found"))),) if key else ()


def _doubt(act: Act, job: Job) -> tuple[str, Outcome] | None:
    """A slot that might lift a refusal by a slip, and the question in its place."""
    site, sure = job.site, act.get("sure")
    lead = (_told("lead_none", lead_checked=True, lead_found=False), _told("lead_some", lead_found=True))
    if act.get("lead_said") and not act.get("lead_found"):
        return "lead_said", ask("lead_which", act, lead)
    if act.get("lead_checked") and site.get("lead_found") and act.get("lead_found") is None:
        return "lead_checked", ask("lead_two", act, lead)
    if act.get("treated") is False and site.get("treated") and not sure:
        return "treated", ask("treated_two", act, (_told("treated_yes", treated=True), _told("treated_no", treated=False)))
    year, known = act.get("year_built"), site.get("year_built")
    if sure or year is None or known is None or not any(known < end <= year for end in ENDED):
        return None
    of = (_told("year_of_deck", deck_built=year), _told("year_of_house", year_built=year))
    return "year_built", ask("year_two", act, of, year=str(year), known=str(known))


def _told(key: str, **facts: Any) -> Button:
    """A button that tells facts of the site, asked about already."""
    return Button(key, Act("survey", {**facts, "sure": True}), {k: str(v) for k, v in facts.items()})


def _fact(name: str, value: Any) -> Line:
    if isinstance(value, bool):
        return line(f"fact_{name}_{'yes' if value else 'no'}")
    if isinstance(value, dict):
        return line(f"fact_{name}", value=quantity(value))
    return line(
        f"fact_{name}", value=str(value) if name in ("year_built", "deck_built", "latitude", "longitude") else value
    )
