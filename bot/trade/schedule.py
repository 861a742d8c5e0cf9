"""The day plan: what is stripped, rinsed and brightened when, by a crew that can do so many things at once.

Order and phases are common practice, no source. Times are whole minutes, durations rounded up. The clocks
of `dwell` hold for every part: no rinse begins before the last edge is ready nor reaches any edge too late.
"""

import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

from bot.errors import Nonsense
from bot.trade import dwell
from bot.trade.dwell import Window, after, elapsed
from bot.trade.parts import (
    BRIGHTEN_ORDER,
    FINAL_ORDER,
    STRIP_ORDER,
    Crew,
    Part,
    Section,
    Timed,
    cut,
    in_order,
    pieces,
    timed,
)
from bot.trade.sun import Interval, LatestStart, latest_start
from bot.trade.units import Q


@dataclass(frozen=True)
class Step:
    """One action on one part: `strip`, `rinse`, `brighten` or `final rinse`.

    A strip carries its rinse clock; a rinse says what it `washes` off, "stripper" or "brightener". A part
    brightened in several goes says which `go` of how many `goes` this is.
    """

    action: str
    part: str
    section: str
    area: Q
    start: datetime
    end: datetime
    in_sun: bool = False
    washes: str = ""
    go: int = 1
    goes: int = 1
    rinse_from: datetime | None = None
    rinse_by: datetime | None = None


@dataclass(frozen=True)
class DayPlan:
    """The day, step by step in order of start.

    `in_flight`: the most parts wet with stripper at once. `largest`: what the paces could hold in one
    section (`dwell.largest_section`); `part_limit`: what the clocks let a part be; `cut`: section -> parts.
    `not_today`: parts that daylight does not leave time for, to the very last rinse. `latest`: the last
    start for the same work before sun or dark, None if it does not fit any more.
    """

    steps: tuple[Step, ...]
    parts: tuple[Part, ...]
    not_today: tuple[Part, ...]
    in_flight: int
    largest: Q
    part_limit: Q
    ends: datetime
    latest: LatestStart | None
    cut: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class _Slot:
    """A part's minutes from the start of the plan: spreading, the rinse clock, rinsing."""

    part: Part
    spread: tuple[int, int]
    clock: tuple[int, int]
    rinse: tuple[int, int]


@dataclass(frozen=True)
class _Acid:
    """What is to be brightened: in goes, and whole; `least` dwell in whole minutes."""

    goes: tuple[Timed, ...]
    whole: tuple[Timed, ...]
    least: int


@dataclass(frozen=True)
class _Turn:
    """An action on a part, in minutes from the start of the plan."""

    action: str
    part: Part
    begin: int
    end: int


def _free(span: tuple[int, int], busy: Sequence[tuple[int, int]]) -> bool:
    return all(span[1] <= start or end <= span[0] for start, end in busy)


def _strip(parts: Sequence[Timed], several: bool) -> list[_Slot]:
    """Each part spread as early as a rinse inside its clock can be promised.

    One person does one thing at a time; `several` spread and rinse at once, one sprayer and one hose.
    """
    spreads: list[tuple[int, int]] = []
    rinses: list[tuple[int, int]] = []
    slots: list[_Slot] = []
    for one in parts:
        t0 = spreads[-1][1] if spreads else 0
        while True:
            spread = (t0, t0 + one.spread)
            clock = (t0 + one.clock[0], t0 + one.clock[1])
            busy = [span for span in rinses if span[1] > t0] + ([] if several else [spread])
            starts = (r for r in range(clock[0], clock[1] + 1) if _free((r, r + one.rinse), busy))
            begin = next(starts, None)
            if begin is not None and (several or _free(spread, busy[:-1])):
                break
            t0 += 1
        spreads.append(spread)
        rinses.append((begin, begin + one.rinse))
        slots.append(_Slot(one.part, spread, clock, rinses[-1]))
    return slots


def _brighten(acid: _Acid, begin: int) -> list[_Turn]:
    """Brightening from the bottom up, then the last rinse from the top down.

    Where the acid may not stay on for so long, it goes in rounds, each rinsed inside its dwell, and one
    last rinse from the top down closes the day, for a later round runs down over an earlier one.
    """
    turns: list[_Turn] = []
    waiting, now, rounds = in_order(acid.goes, BRIGHTEN_ORDER), begin, 0
    while waiting:
        n = 1
        while n < len(waiting) and _round(waiting[: n + 1], acid.least, 0)[1]:
            n += 1
        turns += _round(waiting[:n], acid.least, now)[0]
        now, waiting, rounds = turns[-1].end, waiting[n:], rounds + 1
    if rounds < 2:
        return turns
    turns = [replace(turn, action="rinse") if turn.action == "final rinse" else turn for turn in turns]
    for one in in_order(acid.whole, FINAL_ORDER):
        turns.append(_Turn("final rinse", one.part, turns[-1].end, turns[-1].end + one.rinse))
    return turns


def _round(batch: Sequence[Timed], least: int, begin: int) -> tuple[list[_Turn], bool]:
    """One round of brightening and its rinse, and whether all of its edges keep the acid's dwell."""
    turns, now, wet = [], begin, {}
    for one in batch:
        turns.append(_Turn("brighten", one.part, now, now + one.spread))
        wet[one.part.name, one.part.go], now = now, turns[-1].end
    # One go can begin its rinse as soon as its own last edge is ready, which is before whole minutes end.
    now = begin + batch[0].clock[0] if len(batch) == 1 else now + least
    kept = True
    for one in in_order(batch, FINAL_ORDER):
        turns.append(_Turn("final rinse", one.part, now, now + one.rinse))
        kept = kept and now - wet[one.part.name, one.part.go] <= one.clock[1]
        now = turns[-1].end
    return turns, kept


def _steps(strip: Sequence[Timed], acid: _Acid, several: bool, start: datetime) -> list[Step]:
    """Every step of these parts, in order of start."""

    def at(minute: int) -> datetime:
        return (first + timedelta(minutes=minute)).astimezone(start.tzinfo)

    first = after(start, Q(0, "minute")).astimezone(UTC)
    steps: list[Step] = []
    slots = _strip(strip, several)
    for s in slots:
        clock = (at(s.clock[0]), at(s.clock[1]))
        told = (s.part.name, s.part.section, s.part.area)
        spread, rinse = (at(s.spread[0]), at(s.spread[1])), (at(s.rinse[0]), at(s.rinse[1]))
        steps.append(Step("strip", *told, *spread, rinse_from=clock[0], rinse_by=clock[1]))
        steps.append(Step("rinse", *told, *rinse, washes="stripper"))
    for t in _brighten(acid, max((s.rinse[1] for s in slots), default=0)):
        washes = "brightener" if t.action != "brighten" else ""
        told = (t.part.name, t.part.section, t.part.area)
        steps.append(
            Step(t.action, *told, at(t.begin), at(t.end), washes=washes, go=t.part.go, goes=t.part.goes)
        )
    return sorted(steps, key=lambda step: (step.start, step.end))


def _in_flight(steps: Sequence[Step]) -> int:
    """The most parts that wear stripper at one time."""
    rinsed = {step.part: step.end for step in steps if step.washes == "stripper"}
    wet = [(step.start, rinsed[step.part]) for step in steps if step.action == "strip"]
    return max((sum(a <= begin < b for a, b in wet) for begin, _ in wet), default=0)


def _most(whole: int, fits: Callable[[int], bool]) -> int:
    """The largest number of parts that fits, found by halving; 0 if not even one does."""
    if whole and fits(whole):
        return whole
    good, bad = 0, whole
    while bad - good > 1:
        middle = (good + bad) // 2
        good, bad = (middle, bad) if fits(middle) else (good, middle)
    return good


def _parts(sections: Sequence[Section], crew: Crew, window: Window) -> list[Timed]:
    """All sections, cut to the dwell window, in the order of stripping."""
    for section in sections:
        if section.kind not in STRIP_ORDER:
            raise Nonsense("kind_unknown", section=section.name, kind=section.kind)
    names = [section.name for section in sections]
    if not names or len(set(names)) < len(names):
        raise Nonsense("sections", names=names)
    parts = (part for s in sections for part in cut(s, crew, window, names))
    return in_order((timed(part, crew, window) for part in parts), STRIP_ORDER)


def day_plan(
    sections: Sequence[Section],
    crew: Crew,
    window: Window,
    acid: Window,
    start: datetime,
    light_ends: datetime,
    in_sun: Sequence[Interval] = (),
    light_begins: datetime | None = None,
    stripped: Sequence[Section] = (),
    brightens: Crew | None = None,
) -> DayPlan:
    """The plan from `start`: as many parts, in order, as are stripped, brightened and rinsed by `light_ends`.

    `stripped` are sections that want the brightener only: they are brightened with the others, all of it at
    the paces of `brightens`, where acid is spread at another pace than stripper.
    `window` is the stripper's dwell, `acid` the brightener's; `in_sun` are the deck's times of direct sun.
    The latest start is sought from `light_begins`, so it may lie before `start`: the crew should be earlier.
    """
    strip = _parts(sections, crew, window) if sections or not stripped else []
    sour = brightens or crew
    bare = _parts(stripped, sour, acid) if stripped else []
    goes = [pieces(one.part, sour, acid) for one in (*bare, *strip)]

    def day(n: int) -> list[Step]:
        told = (*bare, *strip[:n])
        batch = _Acid(tuple(go for one in goes[: len(told)] for go in one), told, math.ceil(acid.low))
        return _steps(strip[:n], batch, crew.size > 1, start)

    def fits(n: int) -> bool:
        return max(step.end for step in day(n)) <= light_ends

    dark = bare if bare and not fits(0) else []
    if dark:
        bare, goes = [], goes[len(dark) :]
    n = _most(len(strip), fits)
    done, left = [one.part for one in strip[:n]], [one.part for one in (*dark, *strip[n:])]
    steps = [replace(s, in_sun=any(a < s.end and s.start < b for a, b in in_sun)) for s in day(n)]
    ends = max((step.end for step in steps), default=start)
    took = elapsed(start, ends)
    return DayPlan(
        steps=tuple(steps),
        parts=tuple(done),
        not_today=tuple(left),
        in_flight=_in_flight(steps),
        largest=dwell.largest_section(crew.spread, crew.rinse, window, alone=crew.size == 1),
        part_limit=dwell.clock_section(crew.spread, crew.rinse, window),
        ends=ends,
        latest=latest_start(took, light_begins or start, light_ends, in_sun) if steps else None,
        cut=Counter(part.section for part in done + left),
    )
