"""What a job is made of: sections and their passes, patches, visits, the weather told. Frozen values."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, TypeVar

from bot.trade.units import Q

Found = TypeVar("Found")
State = TypeVar("State")
WETTING = ("strip", "brighten")
WHOLE = ("protect", "prewet")
RINSES = ("rinse", "final rinse")


def once(state: object, name: tuple[Any, ...], work_out: Callable[[], Found]) -> Found:
    """What follows from this very (frozen) state, worked out once; a changed one is another object, without it."""
    known = vars(state).setdefault("_worked_out", {})
    if name not in known:
        known[name] = work_out()
    found: Found = known[name]
    return found


def changed(state: State, **values: Any) -> State:
    """The (frozen) state with other values, and without what was worked out from the old ones.

    As `dataclasses.replace`, which looks at each of a job's thirty fields: most of what a fold would cost.
    """
    fields = vars(state).copy()
    fields.pop("_worked_out", None)
    if not values.keys() <= fields.keys():
        raise TypeError(f"{type(state).__name__} has no {values.keys() - fields.keys()}")
    fields.update(values)
    new = object.__new__(type(state))
    vars(new).update(fields)
    return new


@dataclass(frozen=True)
class Pass:
    """One coat of stripper or brightener on one section, from the first edge wetted until it is rinsed.

    `started` is t0 (None where only the end was told), `covered` t1; `share` the part of the section
    that this pass wets; `rewets` are (when, with what), `checks` (when, result), `extended` minutes.
    """

    step: str
    number: int
    product: str
    started: datetime | None
    covered: datetime | None = None
    share: float = 1.0
    strength: Mapping[str, Any] | None = None
    rewets: tuple[tuple[datetime, str], ...] = ()
    checks: tuple[tuple[datetime, str], ...] = ()
    extended: float = 0.0
    rinsing: datetime | None = None
    rinsed: datetime | None = None
    people: tuple[int, ...] = ()

    @property
    def wet(self) -> bool:
        """True while product stands on the wood."""
        return self.rinsed is None

    def known_as(self, section: str) -> str:
        """The name of this very pass on a section: another coat there has another."""
        return f"{section}:{self.step}:{self.number}"


@dataclass(frozen=True)
class Section:
    """A part of the deck, with its area (ft2, None until measured) and all that was done to it."""

    name: str
    surface: str = ""
    area: Q | None = None
    passes: tuple[Pass, ...] = ()
    done: Mapping[str, datetime] = field(default_factory=dict)
    begun: Mapping[str, datetime] = field(default_factory=dict)
    ph: tuple[tuple[datetime, float], ...] = ()
    moisture: tuple[tuple[datetime, tuple[float, ...]], ...] = ()
    spoken: datetime | None = None
    people: tuple[int, ...] = ()

    def last(self, step: str = "") -> Pass | None:
        """The newest pass (of a step), wet or rinsed."""
        if not step:
            return self.passes[-1] if self.passes else None
        return once(self, ("last", step), lambda: next((p for p in reversed(self.passes) if p.step == step), None))

    @property
    def bleached(self) -> bool:
        """Whether bleach was told on it and it was not rinsed since."""
        rinsed = [self.done[step] for step in RINSES if step in self.done]
        return "bleach" in self.done and self.done["bleach"] >= max(rinsed, default=self.done["bleach"])

    @property
    def wet(self) -> Pass | None:
        """The pass that stands wet now, if any: never but the newest, for a new one ends the one before."""
        return self.passes[-1] if self.passes and self.passes[-1].wet else None


@dataclass(frozen=True)
class Patch:
    """A test patch that was judged."""

    at: datetime
    product: str
    sections: tuple[str, ...]
    strength: Mapping[str, Any] | None = None
    minutes: float | None = None
    result: str | None = None


@dataclass(frozen=True)
class Visit:
    """One stay of one person on site; an end that nobody told is None."""

    person: int
    arrived: datetime | None
    left: datetime | None = None


@dataclass(frozen=True)
class Weather:
    """What was last told, each kept until told anew; temperatures and wind as quantities."""

    at: datetime | None = None
    air_temp: Q | None = None
    surface_temp: Q | None = None
    surface_at: datetime | None = None
    humidity: float | None = None
    wind: Q | None = None
    sun: bool | None = None
    rain: bool | None = None
    rained_at: datetime | None = None
    source: str = ""
    foreseen: frozenset[str] = frozenset()  # of these, what a forecast said and nobody on site
