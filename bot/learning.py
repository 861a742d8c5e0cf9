"""What jobs really took: figures folded from what was told of them, and what several of them agree on.

A figure counts only where the job told all that it rests on; nothing is filled in. Figures that need the
whole job (coverage, passes, cost, hours) come from closed jobs alone: half a job would mislead. Coverage rests
on what was mixed less what was told as left over; a leftover that nobody tells makes it look lower than it is.

The spread stated is the least and the most of the jobs themselves. For n jobs that range misses the true
median with a chance of 2 / 2^n (order statistics): 1 in 32 for six jobs, one in two for two. So a figure of
one job is never offered, and one of fewer than FEW says so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from statistics import median

from bot.costing import Price, Use, hours, total, used, wetted
from bot.job import Job
from bot.parts import Section
from bot.trade.book import STEP_PRODUCT
from bot.trade.units import Q, measure, quantity

LAST = 8  # newest jobs taken: a crew changes
FEWEST = 2
FEW = 4
UNITS = {
    "coverage": "ft2/gal", "pace": "ft2/min", "rinse_pace": "ft2/min", "dwell": "min", "passes": "",
    "drying": "day", "cost": "per 100 ft2", "hours": "h per 100 ft2",
}  # fmt: skip
SANE = {
    "coverage": (5, 1000),
    "pace": (0.5, 300),
    "rinse_pace": (0.5, 300),
    "dwell": (1, 240),
    "drying": (0.1, 60),
}
NORTH = ("winter", "winter", "spring", "spring", "spring", "summer", "summer", "summer", "autumn", "autumn",
         "autumn", "winter")  # fmt: skip


@dataclass(frozen=True)
class Sample:
    """One figure of one job: where, on what and when it was found; an empty word is "not told" or "mixed"."""

    job: int
    at: datetime
    figure: str
    value: float
    product: str = ""
    surface: str = ""
    finish: str = ""
    season: str = ""


@dataclass(frozen=True)
class Learned:
    """What the newest jobs say: their median, their least and most, how many, and their ids."""

    figure: str
    product: str
    median: float
    low: float
    high: float
    jobs: tuple[int, ...]

    @property
    def few(self) -> bool:
        """True where so few jobs speak that the range may well miss the truth."""
        return len(self.jobs) < FEW


def season(job: Job) -> str:
    """The season of the first pass, by the months of its hemisphere (north where no place was told)."""
    at = begun(job)
    if at is None:
        return ""
    south = float(job.site.get("latitude") or 0) < 0
    return NORTH[(at.month - 1 + (6 if south else 0)) % 12]


def begun(job: Job) -> datetime | None:
    """When the first product went on, else when the job was opened."""
    starts = [p.started or p.covered for s in job.sections.values() for p in s.passes]
    return min((x for x in starts if x), default=job.opened)


def samples(job: Job, uses: Iterable[Use] = (), target: float = 15.0) -> tuple[Sample, ...]:
    """All that one job teaches; `uses` are its products with cost, `target` the moisture to coat at."""
    at = begun(job)
    if at is None:
        return ()
    tags = {"finish": str(job.site.get("finish") or ""), "season": season(job)}
    found = [*_passes(job), *_drying(job, target)]
    if job.closed is not None:
        found += [*_coverage(job), *_whole(job, tuple(uses))]
    return tuple(
        Sample(job.id, at, figure, value, product, surface, **tags)
        for figure, value, product, surface in found
        if SANE.get(figure, (0, 1e9))[0] <= value <= SANE.get(figure, (0, 1e9))[1]
    )


Figure = tuple[str, float, str, str]


def _minutes(span: timedelta) -> float:
    return span.total_seconds() / 60


def _passes(job: Job) -> Iterator[Figure]:
    """Pace of spreading stripper and of rinsing, and how long the first edge stood, pass by pass."""
    for s in job.sections.values():
        for p in s.passes:
            area = None if s.area is None else measure(s.area, "square_foot") * p.share
            if p.step == "strip" and p.started and p.covered and p.covered > p.started and area:
                yield "pace", area / _minutes(p.covered - p.started), p.product, s.surface
            if p.rinsing and p.rinsed and p.rinsed > p.rinsing and area:
                yield "rinse_pace", area / _minutes(p.rinsed - p.rinsing), p.product, s.surface
            if p.started and p.rinsed:
                yield "dwell", _minutes((p.rinsing or p.rinsed) - p.started), p.product, s.surface


def _drying(job: Job, target: float) -> Iterator[Figure]:
    """Days from the last rinse to the first reading at or under the target on every spot."""
    for s in job.sections.values():
        rinsed = last_rinse(s)
        dry = next(
            (at for at, spots in s.moisture if rinsed and at > rinsed and spots and max(spots) <= target),
            None,
        )
        if rinsed and dry:
            yield "drying", _minutes(dry - rinsed) / 1440, "", s.surface


def last_rinse(section: Section) -> datetime | None:
    """When water last went off a section."""
    return max((section.done[k] for k in ("rinse", "final rinse") if k in section.done), default=None)


def put_on(job: Job, product: str) -> float:
    """Gallons of a product that the job mixed, less what was told as left over."""
    batches = [quantity(b["volume"]) for b in job.batches if b["product"] == product]
    gallons = sum(batches, start=Q(0.0, "gallon"))
    return float((gallons - job.leftovers.get(product, Q(0.0, "gallon"))).to("gallon").magnitude)


def _coverage(job: Job) -> Iterator[Figure]:
    for product in dict.fromkeys(p.product for s in job.sections.values() for p in s.passes):
        area, gallons = wetted(job, product), put_on(job, product)
        if area is not None and gallons > 0:
            on = {s.surface for s in job.sections.values() if any(p.product == product for p in s.passes)}
            yield "coverage", float(area.magnitude) / gallons, product, on.pop() if len(on) == 1 else ""
    oil = STEP_PRODUCT["coat"]
    coated = [s.area for s in job.sections.values() if "coat" in s.done]
    if coated and all(a is not None for a in coated) and put_on(job, oil) > 0:
        area = sum((a for a in coated if a is not None), start=Q(0.0, "foot**2"))
        yield "coverage", float(area.to("foot**2").magnitude) / put_on(job, oil), oil, ""


def stripped(job: Job) -> tuple[Section, ...]:
    """The sections that were stripped."""
    return tuple(s for s in job.sections.values() if s.last("strip"))


def deck_area(job: Job) -> float | None:
    """Square feet stripped, each section once; None where one has no size."""
    areas = [s.area for s in stripped(job)]
    if not areas or any(a is None for a in areas):
        return None
    return sum(float(a.to("foot**2").magnitude) for a in areas if a is not None)


def at_end(job: Job) -> datetime:
    """When the job was closed, else the last that was told of it."""
    end = job.closed or job.last or job.opened
    assert end is not None
    return end


def _whole(job: Job, uses: tuple[Use, ...]) -> Iterator[Figure]:
    """Passes a section, and cost and hours for every 100 ft2 of deck."""
    done = stripped(job)
    if done:
        passes = [p for s in done for p in s.passes if p.step == "strip"]
        names = {p.product for p in passes}
        yield "passes", len(passes) / len(done), names.pop() if len(names) == 1 else "", ""
    area = deck_area(job)
    money, unpriced = total(uses)
    if area and uses and not unpriced:
        yield "cost", money / area * 100, "", ""
    spent = hours(job.visits, at_end(job))
    if area and spent.told and not spent.unknown and not spent.now:
        yield "hours", spent.told.total_seconds() / 3600 / area * 100, "", ""


def learned(found: Iterable[Sample], figure: str, product: str = "", surface: str = "", finish: str = "",
            season: str = "") -> Learned | None:  # fmt: skip
    """What the newest jobs agree on, each job one voice (its median); None from fewer than two jobs."""
    wanted = {"product": product, "surface": surface, "finish": finish, "season": season}
    fitting = [
        s for s in found if s.figure == figure and all(not v or getattr(s, k) == v for k, v in wanted.items())
    ]
    voices: dict[int, list[float]] = {}
    for s in sorted(fitting, key=lambda s: (s.at, s.job)):
        voices.setdefault(s.job, []).append(s.value)
    newest = list(voices.items())[-LAST:]
    if len(newest) < FEWEST:
        return None
    values = [median(v) for _, v in newest]
    return Learned(figure, product, median(values), min(values), max(values), tuple(j for j, _ in newest))


def of_jobs(jobs: Iterable[Job], told: Sequence[Price] = (), target: float = 15.0) -> tuple[Sample, ...]:
    """The samples of many jobs, priced by the prices told."""
    return tuple(s for j in jobs for s in samples(j, used(j, told), target))
