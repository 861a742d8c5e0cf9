"""When the deck can be coated, and how much finish that takes."""

from __future__ import annotations

from typing import Any

from bot.acts import Act
from bot.errors import Nonsense
from bot.job import Job, Section
from bot.outcome import Entry, Line, Outcome, Turn, ask, handles, line, say
from bot.place import missing, where
from bot.trade import drying, mixing, rounding
from bot.trade.book import OVERAGE
from bot.trade.units import Q


def forecast(job: Job, turn: Turn, section: Section) -> drying.Forecast:
    """The drying of one section towards the finish's target, from what was told."""
    oil = turn.shop.products["oil"]
    rinsed = section.done.get("final rinse") or section.done.get("rinse")
    return drying.forecast(
        section.moisture,
        job.weather.air_temp,
        job.weather.humidity,
        oil.target or drying.TARGET,
        job.weather.rained_at,
        rinsed,
    )


@handles("dry")
def dry(act: Act, job: Job, turn: Turn) -> Outcome:
    """When it can be coated: the day, how sure, and what would make it surer."""
    asked = act.having(sections=["*"]) if not act.sections else act
    names = where(asked, job, turn, tuple(job.sections))
    if isinstance(names, Outcome):
        return names
    found = {n: forecast(job, turn, job.sections[n]) for n in names}
    lines = [
        line(
            f"dry_{f.state}",
            section=n,
            at=f.ready_at,
            low=f.ready_low,
            high=f.ready_high,
            emc=f.emc,
            target=f.target,
        )
        for n, f in found.items()
    ]
    whole = drying.whole_job(found)
    figures: dict[str, Any] = {}
    if whole is not None:
        emc = None if whole.emc is None else {"value": whole.emc, "unit": "%"}
        figures = {
            "emc": emc,
            "ready_at": whole.ready_at,
            "ready_low": whole.ready_low,
            "ready_high": whole.ready_high,
        }
    hint = line("dry_tell_weather") if job.weather.air_temp is None or job.weather.humidity is None else None
    return Outcome(
        replies=(say(*lines, hint, line("dry_label"), figures=figures, about={"sections": names}),)
    )


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
