"""A job as it stands: the fold of its entries. One small function a fact; unknown kinds pass by."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

from bot.parts import RINSES, WETTING, Pass, Patch, Section, Visit, Weather, changed
from bot.trade import cautions
from bot.trade.book import STEP_PRODUCT
from bot.trade.units import Q, measure, quantity

if TYPE_CHECKING:
    from bot.outcome import Entry, Turn

LONGEST_STAY = timedelta(hours=16)


@dataclass(frozen=True)
class Job:
    """A deck from the survey to the hand-over, as far as it has been told."""

    id: int = 0
    name: str = ""
    opened: datetime | None = None
    closed: datetime | None = None
    client: str = ""
    charged: float | None = None
    sections: Mapping[str, Section] = field(default_factory=dict)
    site: Mapping[str, Any] = field(default_factory=dict)
    done: Mapping[str, datetime] = field(default_factory=dict)
    begun: Mapping[str, datetime] = field(default_factory=dict)
    patches: tuple[Patch, ...] = ()
    patching: tuple[Patch, ...] = ()
    weather: Weather = field(default_factory=Weather)
    batches: tuple[Mapping[str, Any], ...] = ()
    leftovers: Mapping[str, Q] = field(default_factory=dict)
    held: datetime | None = None
    held_for: str = ""
    flow: Q | None = None
    washer: Q | None = None
    well: Mapping[str, Any] = field(default_factory=dict)
    on_site: Mapping[int, datetime] = field(default_factory=dict)
    visits: tuple[Visit, ...] = ()
    rang: Mapping[str, datetime] = field(default_factory=dict)
    rang_at: Mapping[str, datetime] = field(default_factory=dict)
    incidents: tuple[Mapping[str, Any], ...] = ()
    warned: frozenset[str] = frozenset()
    last: datetime | None = None
    active: tuple[datetime, ...] = ()
    facts: int = 0

    def wet(self) -> tuple[tuple[Section, Pass], ...]:
        """Every section with product standing on it, with that pass."""
        return tuple((s, p) for s in self.sections.values() if (p := s.wet))

    def standing(self, names: Iterable[str] | None = None) -> tuple[str, ...]:
        """The wet passes (on these sections) by name, pass and all: what somebody is sure of is these and no later ones."""
        return tuple(p.known_as(s.name) for s, p in self.wet() if names is None or s.name in names)

    def area(self, names: Iterable[str] | None = None) -> Q:
        """The area of these sections (of all, where none are named), as far as they are measured."""
        chosen = self.sections if names is None else names
        measured = [s.area for n in chosen if (s := self.sections.get(n)) and s.area is not None]
        return Q(sum((measure(a, "square_foot") for a in measured), 0.0), "foot**2")

    def request(self, **asked: Any) -> cautions.Request:
        """What is asked, beside all that the site's facts say of its wood and its old coating."""
        return cautions.Request(
            treated=self.site.get("treated"),
            year_built=self.site.get("year_built"),
            deck_built=self.site.get("deck_built"),
            lead_checked=bool(self.site.get("lead_checked")),
            lead_found=bool(self.site.get("lead_found")),
            **asked,
        )

    def named(self, names: Iterable[str]) -> tuple[str, ...]:
        """Section names with "*" spelt out."""
        found: list[str] = []
        for name in names:
            found += self.sections if name == "*" else [name]
        return tuple(dict.fromkeys(found))

    def told(self, entries: Iterable[Entry], turn: Turn) -> Job:
        """The job as it will be once these entries are written: folded in the order of time, as what rings is."""
        facts = [
            {
                "kind": e.kind,
                "at": (e.at or turn.said_at).astimezone(UTC),
                "told": turn.now.astimezone(UTC),
                "person": turn.who.id,
                "sections": e.sections,
                "data": e.data,
            }
            for e in entries
            if not e.shop
        ]
        return turn.refold(self.id, facts) if turn.refold and self.id else self.after(facts)

    def after(self, facts: Iterable[Mapping[str, Any]]) -> Job:
        """The job after more facts: rows with kind, at (aware datetime), sections, data, person."""
        job, count, last, active = self, self.facts, self.last, self.active
        for fact in facts:
            step = FOLD.get(fact["kind"])
            if step:
                job = step(job, fact)
            count, last, active = count + 1, max(last or fact["at"], fact["at"]), _active(active, fact)
        return self if count == self.facts else changed(job, facts=count, last=last, active=active)


Fact = Mapping[str, Any]
APART = timedelta(minutes=15)


def _active(moments: tuple[datetime, ...], fact: Fact) -> tuple[datetime, ...]:
    """The moments at which somebody spoke, a quarter of an hour apart: what rang by itself is none."""
    at: datetime = fact["at"]
    if not fact.get("person") or (moments and at - moments[-1] < APART):
        return moments
    return (*moments, at)


def _put(job: Job, section: Section) -> Job:
    return changed(job, sections={**job.sections, section.name: section})


def _each(job: Job, fact: Fact, change: Any) -> Job:
    """The job with `change(section)` done to every section the fact names; who and when are noted."""
    for name in job.named(fact["sections"]):
        # Facts are folded by when they happened: a section may be measured only after its work began.
        old = job.sections.get(name) or Section(name)
        new = change(old)
        person = fact.get("person")
        people = new.people if person is None or person in new.people else (*new.people, person)
        job = _put(job, changed(new, spoken=max(filter(None, (old.spoken, fact["told"]))), people=people))
    return job


def _open(job: Job, fact: Fact) -> Job:
    """A job is closed over the wet wood that it was closed over knowingly; other wood, wet after all, keeps it open."""
    data = fact["data"]
    if data.get("action") == "close":
        unknown = set(job.standing()) - set(data.get("over", job.standing()))
        return job if unknown else changed(job, closed=fact["at"])
    if data.get("action") == "open" and job.opened is None:
        return changed(job, name=data.get("name", job.name), opened=fact["at"])
    return changed(job, name=data.get("name", job.name), closed=None if data.get("action") != "rename" else job.closed)


def _measure(job: Job, fact: Fact) -> Job:
    data = fact["data"]
    for name in fact["sections"]:
        old = job.sections.get(name, Section(name))
        area = quantity(data["area"]) if data.get("area") else old.area
        if area is not None and data.get("adds") and old.area is not None:
            area = old.area + area
        job = _put(job, changed(old, area=area, surface=data.get("surface") or old.surface))
    return job


def _drop(job: Job, fact: Fact) -> Job:
    """Without those sections; what is told of them later makes none of them again, only a size does."""
    return changed(job, sections={n: s for n, s in job.sections.items() if n not in fact["sections"]})


def _pass(fact: Fact, section: Section, started: datetime | None, covered: datetime | None) -> Pass:
    data = fact["data"]
    step = data["step"]
    number = sum(1 for p in section.passes if p.step == step) + 1
    return Pass(
        step,
        number,
        data.get("product") or STEP_PRODUCT[step],
        started,
        covered,
        share=float(data.get("share", 1.0)),
        strength=data.get("strength"),
        people=(fact["person"],) if fact.get("person") is not None else (),
    )


def _newest(section: Section, **changes: Any) -> Section:
    return changed(section, passes=(*section.passes[:-1], changed(section.passes[-1], **changes)))


def _start(job: Job, fact: Fact) -> Job:
    step, at = fact["data"]["step"], fact["at"]
    if not fact["sections"]:
        return changed(job, begun={**job.begun, step: at})

    def change(s: Section) -> Section:
        if step in WETTING:
            if s.wet and s.wet.step == step and s.wet.started is None:
                return _newest(s, started=at)
            return changed(_dried(s, at), passes=(*_dried(s, at).passes, _pass(fact, s, at, None)))
        if step in RINSES and s.wet:
            return _newest(s, rinsing=at)
        return changed(s, begun={**s.begun, step: at})

    return _each(job, fact, change)


def _dried(section: Section, at: datetime) -> Section:
    """A new pass on a section that still stands wet takes the old one's place on the clock."""
    return _newest(section, rinsed=at) if section.wet else section


def _finish(job: Job, fact: Fact) -> Job:
    step, at = fact["data"]["step"], fact["at"]
    if not fact["sections"]:
        return changed(job, done={**job.done, step: at})

    def change(s: Section) -> Section:
        done = {**s.done, step: at}
        if step in WETTING:
            wet = s.wet if s.wet and s.wet.step == step else None
            if wet:
                return changed(_newest(s, covered=at, rinsing=None), done=done)  # what is covered after is rinsed no more
            s = _dried(s, at)
            return changed(s, done=done, passes=(*s.passes, _pass(fact, s, None, at)))
        if step in RINSES and s.wet:
            s = _newest(s, rinsed=at, rinsing=s.wet.rinsing or at)
        return changed(s, done=done)

    return _each(job, fact, change)


def _note(job: Job, fact: Fact) -> Job:
    """A note moves nothing, save that bleach was put on: no acid may follow it unrinsed."""
    if not fact["data"].get("bleach"):
        return job
    return _each(job, fact, lambda s: changed(s, done={**s.done, "bleach": fact["at"]}))


def _rewet(job: Job, fact: Fact) -> Job:
    mark = (fact["at"], fact["data"].get("with", ""))
    return _each(job, fact, lambda s: _newest(s, rewets=(*s.wet.rewets, mark)) if s.wet else s)


def _check(job: Job, fact: Fact) -> Job:
    mark = (fact["at"], fact["data"].get("result", ""))
    return _each(job, fact, lambda s: _newest(s, checks=(*s.wet.checks, mark)) if s.wet else s)


def _extend(job: Job, fact: Fact) -> Job:
    more = float(fact["data"]["minutes"])
    return _each(job, fact, lambda s: _newest(s, extended=s.wet.extended + more) if s.wet else s)


def _ph(job: Job, fact: Fact) -> Job:
    mark = (fact["at"], float(fact["data"]["value"]))
    return _each(job, fact, lambda s: changed(s, ph=(*s.ph, mark)))


def _moisture(job: Job, fact: Fact) -> Job:
    mark = (fact["at"], tuple(float(x) for x in fact["data"]["readings"]))
    return _each(job, fact, lambda s: changed(s, moisture=tuple(sorted((*s.moisture, mark)))))


def _patch(job: Job, fact: Fact) -> Job:
    d = fact["data"]
    one = Patch(
        fact["at"],
        d.get("product", "stripper"),
        tuple(fact["sections"]),
        d.get("strength"),
        d.get("minutes"),
        d.get("result"),
    )
    if one.result is None:
        return changed(job, patching=(*job.patching, one))
    return changed(job, patches=(*job.patches, one), patching=())


def _conditions(job: Job, fact: Fact) -> Job:
    d, w, at = fact["data"], job.weather, fact["at"]
    if w.at and at < w.at:
        return job
    told: dict[str, Any] = {k: quantity(d[k]) for k in ("air_temp", "surface_temp", "wind") if k in d}
    told |= {k: d[k] for k in ("humidity", "sun", "rain") if k in d}
    foreseen = w.foreseen | told.keys() if d.get("source") == "forecast" else w.foreseen - told.keys()
    surface_at = at if "surface_temp" in d else w.surface_at
    rained_at = at if d.get("rain") or (d.get("rain") is False and w.rain) else w.rained_at
    return changed(
        job,
        weather=changed(
            w,
            at=at,
            surface_at=surface_at,
            rained_at=rained_at,
            source=d.get("source", ""),
            foreseen=foreseen,
            **told,
        ),
    )


def _survey(job: Job, fact: Fact) -> Job:
    told = {k: v for k, v in fact["data"].items() if k not in ("sections", "at")}
    return changed(job, site={**job.site, **told})


def _flow(job: Job, fact: Fact) -> Job:
    d = fact["data"]
    rate = quantity(d["rate"]) if "rate" in d else None
    if d.get("of") == "washer":
        return changed(job, washer=rate)
    return changed(job, flow=rate or job.flow, well={**job.well, **d.get("well", {})})


def _arrive(job: Job, fact: Fact) -> Job:
    """Said twice on one day it is one stay; an evening without a "left" leaves that stay open."""
    who, at = fact["data"].get("person", fact["person"]), fact["at"]
    open_ = next((v for v in reversed(job.visits) if v.person == who and v.left is None), None)
    again = open_ is not None and open_.arrived is not None and at - open_.arrived < LONGEST_STAY
    visits = job.visits if again else (*job.visits, Visit(who, at))
    return changed(job, on_site={**job.on_site, who: at}, visits=visits)


def _leave(job: Job, fact: Fact) -> Job:
    who, at = fact["data"].get("person", fact["person"]), fact["at"]
    on_site = {k: v for k, v in job.on_site.items() if k != who}
    mine = [v for v in job.visits if v.person == who and v.left is None and v.arrived is not None]
    if not mine or mine[-1].arrived is None or at - mine[-1].arrived >= LONGEST_STAY:
        return changed(job, on_site=on_site, visits=(*job.visits, Visit(who, None, at)))
    visits = tuple(changed(v, left=at) if v is mine[-1] else v for v in job.visits)
    return changed(job, on_site=on_site, visits=visits)


def _incident(fact: Fact) -> dict[str, Any]:
    """An incident: `at` is when it happened, `told` when it was told, from which the flushing is counted."""
    told = fact["data"].get("told")
    return {**fact["data"], "at": fact["at"], "told": datetime.fromisoformat(told) if told else fact["at"]}


def _rang(job: Job, fact: Fact) -> Job:
    due = datetime.fromisoformat(fact["data"]["due"])
    keys = fact["data"]["keys"]
    return changed(
        job,
        rang={**job.rang, **dict.fromkeys(keys, due)},
        rang_at={**job.rang_at, **dict.fromkeys(keys, fact["at"])},
    )


FOLD: Mapping[str, Any] = {
    "job": _open,
    "measure": _measure,
    "drop": _drop,
    "start": _start,
    "finish": _finish,
    "note": _note,
    "rewet": _rewet,
    "check": _check,
    "extend": _extend,
    "ph": _ph,
    "moisture": _moisture,
    "patch": _patch,
    "conditions": _conditions,
    "survey": _survey,
    "flow": _flow,
    "arrive": _arrive,
    "leave": _leave,
    "rang": _rang,
    "answered": lambda job, fact: _each(job, fact, lambda s: s),
    "hold": lambda job, fact: changed(job, held=fact["at"], held_for=fact["data"].get("cause", "")),
    "resume": lambda job, fact: changed(job, held=None),
    "mixed": lambda job, fact: changed(
        job, batches=(*job.batches, {**fact["data"], "at": fact["at"], "person": fact.get("person")})
    ),
    "leftover": lambda job, fact: changed(
        job, leftovers={**job.leftovers, fact["data"]["product"]: quantity(fact["data"]["volume"])}
    ),
    "charge": lambda job, fact: changed(job, charged=float(fact["data"]["amount"])),
    "incident": lambda job, fact: changed(
        job, incidents=(*job.incidents, _incident(fact))
    ),
    "warned": lambda job, fact: changed(job, warned=job.warned | set(fact["data"]["keys"])),
}
