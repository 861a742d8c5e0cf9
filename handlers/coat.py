"""When the deck can be coated, and how much finish that takes."""

from __future__ import annotations

from collections.abc import Mapping

from bot import readiness, stages
from bot.acts import Act
from bot.errors import Nonsense
from bot.job import Job
from bot.outcome import Entry, Line, Outcome, Turn, ask, handles, line, say
from bot.place import missing, where
from bot.trade import drying, mixing, rounding
from bot.trade.book import OVERAGE
from bot.trade.units import Q

SAID = ("one_reading", "two_readings", "above_saturation", "rising", "too_slow", "too_fast")


@handles("dry")
def dry(act: Act, job: Job, turn: Turn) -> Outcome:
    """When it can be coated: by section and for the whole job, how sure, and what would make it surer."""
    asked = act.having(sections=["*"]) if not act.sections else act
    names = where(asked, job, turn, tuple(job.sections))
    if isinstance(names, Outcome):
        return names
    wet = tuple(n for n in names if job.sections[n].wet)
    coated = {s.section.name: s.since for s in stages.every(job, turn.shop) if s.name == "coated" and s.section.name in names}
    found = {
        n: readiness.of_section(job, turn.shop, job.sections[n])
        for n in names
        if n not in wet and n not in coated
    }
    on = tuple(line("dry_coated", section=n, at=at) for n, at in coated.items())
    if not found and not wet:
        return Outcome(replies=(say(*on, about={"sections": names}),))
    whole = drying.whole_job(found)
    groups = _groups(found, turn)
    lines: list[Line | None] = [
        *on,
        *(readiness.told(tuple(same), found[same[0]], turn.zone) for same in groups),
        *readiness.caveats(job, turn.shop, turn.now, names),
        _whole(whole, turn) if len(groups) > 1 and not wet else None,
        *_reasons(job, found, turn),
        readiness.dew_line(job, turn.now),
        line("dry_tell_weather") if job.weather.air_temp is None or job.weather.humidity is None else None,
        line("dry_label"),
    ]
    return Outcome(replies=(say(*lines, figures=readiness.figures(whole, job), about={"sections": names}),))


def _groups(found: Mapping[str, drying.Forecast], turn: Turn) -> list[list[str]]:
    """Sections that read the same, together."""
    same: dict[str, list[str]] = {}
    for name, one in found.items():
        same.setdefault(repr(readiness.told((), one, turn.zone)), []).append(name)
    return list(same.values())


def _whole(whole: drying.Forecast | None, turn: Turn) -> Line | None:
    """The day for all of it: that of the section which is last."""
    if whole is None or whole.ready_at is None:
        return None
    return line("dry_whole", at=readiness.workable(whole.ready_at, turn.zone))


def _reasons(job: Job, found: Mapping[str, drying.Forecast], turn: Turn) -> list[Line | None]:
    """What the forecast rests on, where that needs saying, and the reading that would tell most."""
    bases = dict.fromkeys(f.basis for f in found.values() if f.basis in SAID)
    next_ = [
        at
        for n in found
        if (at := readiness.next_reading(job, turn.shop, job.sections[n], turn.zone)) and at > turn.now
    ]
    air = next(
        (f.emc for f in found.values() if f.emc is not None and f.state in ("forecast", "practice")), None
    )
    rained = job.weather.rained_at
    washed = [at for n in found if (at := readiness.washed(job.sections[n]))]
    return [
        *(line(f"dry_basis_{basis}") for basis in bases),
        line("dry_rain", at=rained) if rained and all(rained > at for at in washed) else None,
        line("dry_air", emc=air) if air is not None else None,
        line("dry_next", at=readiness.workable(min(next_), turn.zone)) if next_ else None,
    ]


@handles("coat")
def coat(act: Act, job: Job, turn: Turn) -> Outcome:
    """Finish for the sections told, at the coverage told, else the shop's, else common practice."""
    name = act.get("product") or "oil"
    product = turn.shop.product(name)
    if product is None:
        return ask(
            "no_such_product", missing(act.having(product=None), "product"), product=name, products=("oil",)
        )
    asked = act.having(sections=["*"]) if not act.sections else act
    names = where(asked, job, turn, tuple(job.sections))
    if isinstance(names, Outcome):
        return names
    unmeasured = tuple(n for n in names if job.sections[n].area is None)
    if unmeasured:
        return ask("measure_first", act, sections=unmeasured)
    coverage = _coverage(act, product.coverage)
    area = job.area(names)
    try:
        volume = mixing.volume_for(area, coverage, overage=OVERAGE)
    except Nonsense:
        return ask("coverage_odd", missing(act.having(coverage=None), "coverage"), coverage=coverage)
    shown = rounding.to_cup(volume, turn.who.units, "up").value
    lines: list[Line | None] = [
        line("coat_quantity", volume=shown, product=name, sections=names),
        line("mix_for_area", area=area, coverage=coverage, over=OVERAGE * 100),
        None if act.get("coverage") or "coverage" in product.own else line("practice"),
        readiness.dew_line(job, turn.now),
        line("coat_rags"),
    ]
    return Outcome(
        (Entry("coat", {"product": name, "coats": 1}, names),),
        (say(*lines, figures={"volume": volume, "area": area}, about={"sections": names}),),
    )


def _coverage(act: Act, usual: float) -> Q:
    told = act.get("coverage")
    if told is None:
        return Q(usual, "foot**2/gallon")
    if isinstance(told, int | float):
        return Q(float(told), "foot**2/gallon")
    found = act.quantity("coverage")
    assert found is not None
    return found
