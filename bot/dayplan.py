"""What is still to do on a job and how a day of it goes: quantities, daylight, and the schedule by the minute."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any

from bot import windows
from bot.job import Job
from bot.outcome import CREW, Turn
from bot.parts import Section
from bot.trade import cautions, cost, dwell, mixing, parts, rounding, schedule, sun
from bot.trade.book import OVERAGE, Product
from bot.trade.units import Q, quantity

BEGINS, ENDS = time(8, 0), time(18, 0)  # a working day, where nothing else is told: common practice
KINDS = {"posts": "rail", "lattice": "skirt"}
COMPASS = ("north", "northeast", "east", "southeast", "south", "southwest", "west", "northwest")
FACING: Mapping[str, int] = {
    **{name: 45 * i for i, name in enumerate(COMPASS)},
    **{name: 45 * i for i, name in enumerate(("n", "ne", "e", "se", "s", "sw", "w", "nw"))},
    **{"norte": 0, "noreste": 45, "este": 90, "sureste": 135, "sur": 180, "suroeste": 225, "oeste": 270},
}


@dataclass(frozen=True)
class Light:
    """The daylight of a day and the deck's hours of direct sun; `known` False: no place, a working day instead."""

    begins: datetime
    ends: datetime
    in_sun: tuple[sun.Interval, ...] = ()
    known: bool = True


@dataclass(frozen=True)
class Need:
    """One product for what is still to do: `volume` to mix, `powder` in it, whole `bags` to buy, their `cost`."""

    product: Product
    volume: Q
    powder: Q | None = None
    bags: int | None = None
    pack: Q | None = None
    cost: float | None = None


@dataclass(frozen=True)
class Work:
    """Sections to `strip` and to `bright`en, by whom, and the dwell of `product` and of the acid."""

    strip: tuple[Section, ...]
    bright: tuple[Section, ...]
    crew: parts.Crew
    brightens: parts.Crew
    product: Product
    window: dwell.Window
    basis: str
    acid: dwell.Window

    @property
    def largest(self) -> Q:
        """The most ft2 in one section: (most - least) / |1/a - 1/q|, and never over a x most."""
        return dwell.largest_section(self.crew.spread, self.crew.rinse, self.window)


def work(job: Job, turn: Turn, measured: Iterable[Section]) -> Work:
    """What is left to do of these sections, at this crew's pace and in today's dwell windows."""
    measured, shop = tuple(measured), turn.shop
    product = _tried(job, turn) or shop.products["stripper"]
    least, most, basis = windows.dwell_window(job, shop, product)
    sour = windows.dwell_window(job, shop, shop.products["brightener"])
    told = (windows.pace(job, shop), windows.pace(job, shop, "brighten"), shop.pace("rinse"))
    spread, sprayed, rinse = (Q(x, "foot**2/minute") for x in told)
    return Work(
        strip=tuple(s for s in measured if s.last("strip") is None and "strip" not in s.done),
        bright=tuple(s for s in measured if s.last("brighten") is None and "brighten" not in s.done),
        crew=parts.Crew(spread, rinse, size=people(job, turn)),
        brightens=parts.Crew(sprayed, rinse, size=people(job, turn)),
        product=product,
        window=_window(least, most),
        basis=basis,
        acid=_window(sour[0], sour[1]),
    )


def _tried(job: Job, turn: Turn) -> Product | None:
    """The product of the newest patch that let go."""
    loose = next((p for p in reversed(job.patches) if p.result == "loose"), None)
    found = turn.shop.product(loose.product) if loose else None
    return found if found and found.treats == "strip" and found.most else None


def _window(least: float, most: float) -> dwell.Window:
    return dwell.Window(Q(least, "minute"), Q(most, "minute"))


def people(job: Job, turn: Turn) -> int:
    """How many work: those on site, else all of the crew, never none."""
    return max(1, len(job.on_site) or sum(p.role == CREW for p in turn.people))


def check(job: Job, todo: Work) -> None:
    """Refused, with its reason, where this wood or this coating may not be touched."""
    if todo.strip:
        cautions.check(job.request(onto_wood=(todo.product.kind,), step="strip"))
    cautions.check(job.request(onto_wood=("acid",), step="brighten"))


def area(sections: Iterable[Section]) -> Q:
    """Their area in ft2; those without a size count nothing."""
    return Q(float(sum(s.area.to("foot**2").magnitude for s in sections if s.area is not None)), "foot**2")


def needs(job: Job, turn: Turn, todo: Work) -> dict[str, Need]:
    """What is to be mixed: the stripper of one pass, and the brightener of all that is left, as one batch."""
    found: dict[str, Need] = {}
    if todo.strip:
        strength = next((p.strength for p in reversed(job.patches) if p.result == "loose"), None)
        found["stripper"] = _need(turn, todo.product, area(todo.strip), strength)
    if todo.bright:
        found["brightener"] = _need(turn, turn.shop.products["brightener"], area(todo.bright), None)
    return found


def _need(turn: Turn, product: Product, over: Q, strength: Mapping[str, Any] | None) -> Need:
    volume = mixing.volume_for(over, Q(product.coverage, "foot**2/gallon"), overage=OVERAGE)
    if product.form == "liquid":
        return Need(product, volume)
    powder = mixing.batch(volume, product.ratio(strength)).powder
    lot = turn.shop.stock.get(product.name)
    if lot is None or lot.pack is None or not lot.pack.is_compatible_with("gram"):
        return Need(product, volume, powder)
    bags = cost.bags(powder, lot.pack, lot.amount)
    return Need(product, volume, powder, bags, lot.pack, None if lot.cost is None else bags * lot.cost)


def light(job: Job, turn: Turn, day: date) -> Light:
    """Sunrise to sunset and the deck's sun at the site's place; a plain working day where no place is known."""
    lat, lon = job.site.get("latitude"), job.site.get("longitude")
    if lat is None or lon is None:
        begins, ends = (datetime.combine(day, at, tzinfo=turn.zone) for at in (BEGINS, ENDS))
        return Light(begins, ends, known=False)
    found = sun.day(float(lat), float(lon), day, turn.zone)
    midnight = datetime.combine(day, time(0), tzinfo=turn.zone)
    polar = found.rise is None and not found.up_all_day
    ends = midnight if polar else found.set or midnight + timedelta(days=1)
    height, out = (
        quantity(told) if (told := job.site.get(k)) else None for k in ("wall_height", "wall_distance")
    )
    shone = sun.direct_sun_intervals(
        float(lat), float(lon), day, turn.zone, facing(job.site.get("facing")), height, out
    )
    return Light(found.rise or midnight, ends, shone)


def facing(told: Any) -> float | None:
    """Degrees from north of a number or a compass word; None where it is neither."""
    if isinstance(told, int | float):
        return float(told) % 360
    word = str(told or "").lower().replace("-", "").replace(" ", "")
    return float(FACING[word]) if word in FACING else None


def day_plan(
    job: Job, turn: Turn, todo: Work, day: date, begin: datetime | None
) -> tuple[schedule.DayPlan, Light]:
    """The schedule of a day from `begin` (8:00 where not told), and never from before now."""
    start = begin or datetime.combine(day, BEGINS, tzinfo=turn.zone)
    if day == turn.now.date():
        start = max(start, rounding.to_minute(turn.now, "up")[0])
    lit = light(job, turn, day)
    bare = [_told(s) for s in todo.bright if s not in todo.strip]
    strip = [_told(s) for s in todo.strip]
    made = schedule.day_plan(
        strip,
        todo.crew,
        todo.window,
        todo.acid,
        start,
        lit.ends,
        lit.in_sun,
        lit.begins,
        bare,
        todo.brightens,
    )
    return made, lit


def _told(section: Section) -> parts.Section:
    assert section.area is not None
    kind = KINDS.get(section.surface, section.surface)
    return parts.Section(section.name, section.area, kind if kind in parts.STRIP_ORDER else "floor")
