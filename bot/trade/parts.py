"""A crew, its sections, and the parts that these are cut into so that every edge keeps its clock."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from bot.errors import Nonsense
from bot.trade import dwell
from bot.trade.dwell import PACE, Window
from bot.trade.units import Q, measure, positive

# Stripping: floors first, so that what drips from rails and walls falls on wood that is done or wet.
STRIP_ORDER = ("floor", "stairs", "rail", "posts", "wall", "skirt", "lattice")
# Brightening: from the bottom up, so that no acid runs down dry wood and streaks it.
BRIGHTEN_ORDER = ("lattice", "skirt", "stairs", "floor", "posts", "rail", "wall")
# The last rinse: from the top down, so that nothing runs onto wood already rinsed.
FINAL_ORDER = ("wall", "rail", "posts", "floor", "stairs", "skirt", "lattice")


@dataclass(frozen=True)
class Section:
    """A section to be done: its name, area, and kind (one of STRIP_ORDER)."""

    name: str
    area: Q
    kind: str = "floor"


@dataclass(frozen=True)
class Part:
    """A section, or the piece of one that this crew can hold inside the dwell window.

    `go` of `goes`: brightening may take a part in several goes, where the acid's window is the narrower.
    """

    name: str
    section: str
    area: Q
    kind: str
    go: int = 1
    goes: int = 1


@dataclass(frozen=True)
class Crew:
    """Paces in ft2/min of spreading and rinsing, and how many people there are."""

    spread: Q
    rinse: Q
    size: int = 1

    def __post_init__(self) -> None:
        positive(self.spread, PACE, "spread"), positive(self.rinse, PACE, "rinse")
        if self.size < 1:
            raise Nonsense("not_positive", what="crew", value=self.size)

    def spreading(self, area: Q) -> int:
        """Whole minutes, rounded up."""
        return _minutes(area, self.spread)

    def rinsing(self, area: Q) -> int:
        """Whole minutes, rounded up."""
        return _minutes(area, self.rinse)


@dataclass(frozen=True)
class Timed:
    """A part in whole minutes: spreading, rinsing, and when after t0 its rinse may first and last begin."""

    part: Part
    spread: int
    rinse: int
    clock: tuple[int, int]


def _minutes(area: Q, pace: Q) -> int:
    return max(1, math.ceil(positive(area, "square_foot", "area") / measure(pace, PACE) - 1e-9))


def rinse_clock(crew: Crew, window: Window, area: Q) -> tuple[int, int]:
    """(first, last) whole minute after t0 at which a rinse of this area may begin.

    First: the last edge ready. Last: the first edge not overdone, and the last not by the rinse's end.
    """
    return _clock(crew, window, measure(area, "square_foot"))


def _clock(crew: Crew, window: Window, feet: float) -> tuple[int, int]:
    covered, rinsing = feet / measure(crew.spread, PACE), feet / measure(crew.rinse, PACE)
    last = min(window.high, covered + window.high - rinsing)
    return math.ceil(covered + window.low - 1e-9), math.floor(last + 1e-9)


def goes(area: Q, crew: Crew, window: Window) -> int:
    """How many equal goes keep this area's edges inside the window, in whole minutes."""
    limit = dwell.clock_section(crew.spread, crew.rinse, window)
    if measure(limit, "square_foot") <= 0:
        raise Nonsense("window_too_narrow", least=window.least, most=window.most)
    n = len(dwell.sections_to_cut(area, limit))
    feet = measure(area, "square_foot")
    slower = min(measure(crew.spread, PACE), measure(crew.rinse, PACE))
    while (clock := _clock(crew, window, feet / n))[0] > clock[1]:
        # Whole minutes cost a little of the window; below a minute's work a smaller part gains nothing.
        if feet / n <= slower:
            raise Nonsense("window_too_narrow", least=window.least, most=window.most)
        n += 1
    return n


def cut(section: Section, crew: Crew, window: Window, taken: Sequence[str] = ()) -> tuple[Part, ...]:
    """The section in as few equal parts as keep their clocks, named B1, B2 (or "rail 1", "rail 2")."""
    positive(section.area, "square_foot", "area")
    whole = Part(section.name, section.name, section.area, section.kind)
    n = goes(section.area, crew, window)
    if n == 1:
        return (whole,)
    stem = section.name if len(section.name) == 1 else f"{section.name} "
    if any(f"{stem}{i + 1}" in taken for i in range(n)):
        stem = f"{section.name} part "
    return tuple(replace(whole, name=f"{stem}{i + 1}", area=section.area / n) for i in range(n))


def pieces(part: Part, crew: Crew, window: Window) -> tuple[Timed, ...]:
    """The part as one or more goes of the same name, each inside the window."""
    n = goes(part.area, crew, window)
    return tuple(timed(replace(part, area=part.area / n, go=i + 1, goes=n), crew, window) for i in range(n))


def in_order(parts: Iterable[Timed], order: Sequence[str]) -> list[Timed]:
    """The parts sorted by kind; within a kind as they were told."""
    return sorted(parts, key=lambda one: order.index(one.part.kind))


def timed(part: Part, crew: Crew, window: Window) -> Timed:
    """The part with its whole minutes for this crew and window."""
    clock = rinse_clock(crew, window, part.area)
    return Timed(part, crew.spreading(part.area), crew.rinsing(part.area), clock)
