"""What a handler is given (Turn) and what it gives back (Outcome): frozen values, no effects."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from bot.acts import Act

if TYPE_CHECKING:
    from bot.clocks import Ring
    from bot.job import Job
    from bot.shop import Shop

OWNER, CREW, NOBODY = "owner", "crew", "nobody"
LEVELS = ("trouble", "milestones", "all")


@dataclass(frozen=True)
class Person:
    """Who speaks; `units` is "us" or "metric", `pings` one of LEVELS, `quiet` two local hours or None."""

    id: int
    name: str
    role: str = CREW
    language: str = "en"
    units: str = "us"
    pings: str = "milestones"
    quiet: tuple[int, int] | None = None
    chat: str = ""


@dataclass(frozen=True)
class Turn:
    """All that a handler may know beside the job: one moment, one speaker, one shop."""

    now: datetime
    said_at: datetime
    zone: ZoneInfo
    who: Person
    shop: Shop
    text: str = ""
    people: tuple[Person, ...] = ()
    jobs: Callable[[], tuple[tuple[int, str], ...]] = tuple  # the open ones; asked for by the few who need them
    about: tuple[str, ...] = ()
    due: tuple[Ring, ...] = ()
    private: bool = True
    recent: Callable[..., list[dict[str, Any]]] | None = None
    past: Callable[..., tuple[Job, ...]] | None = None
    last_figures: Mapping[str, Any] | None = None
    refold: Callable[[int, list[dict[str, Any]]], Job] | None = None

    def when(self, act: Act) -> datetime:
        """The moment the act speaks of: the time told, else when it was said; aware, in the shop's zone."""
        return (act.at(self.zone) or self.said_at).astimezone(self.zone)


@dataclass(frozen=True)
class Entry:
    """One fact for the timeline: past, of a `kind` (the act's name), with plain JSON `data`; of another `job` if told."""

    kind: str
    data: Mapping[str, Any] = field(default_factory=dict)
    sections: tuple[str, ...] = ()
    at: datetime | None = None
    shop: bool = False
    job: int | None = None


@dataclass(frozen=True)
class Line:
    """One line of speech: a key of the phrases and the values it shows."""

    key: str
    values: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Button:
    """A likely next word: the phrase key of its label and the act it stands for."""

    key: str
    act: Act
    values: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Say:
    """A message out: lines, buttons, and the figures behind its words, unrounded, by name.

    `language` is set where the words are for somebody else than who gets them, such as the client.
    """

    lines: tuple[Line, ...]
    buttons: tuple[Button, ...] = ()
    to: str | tuple[int, ...] = "asker"
    kind: str = "reply"
    loud: bool = False
    level: str = ""
    about: Mapping[str, Any] = field(default_factory=dict)
    figures: Mapping[str, Any] = field(default_factory=dict)
    question: Act | None = None
    files: tuple[Mapping[str, Any], ...] = ()
    language: str = ""


@dataclass(frozen=True)
class Outcome:
    """What is to be written and said; `effects` are changes of people and jobs, applied by the desk."""

    entries: tuple[Entry, ...] = ()
    replies: tuple[Say, ...] = ()
    effects: tuple[tuple[str, Mapping[str, Any]], ...] = ()

    def plus(self, *replies: Say) -> Outcome:
        """The same outcome with more to say."""
        return replace(self, replies=self.replies + replies)


def line(key: str, **values: Any) -> Line:
    """A line of speech."""
    return Line(key, values)


def say(*lines: Line | None, **rest: Any) -> Say:
    """A message out of lines; a None among them is left out."""
    return Say(tuple(x for x in lines if x is not None), **rest)


def ask(key: str, act: Act, buttons: tuple[Button, ...] = (), **values: Any) -> Outcome:
    """One short question about an act; a short answer in words completes what it misses."""
    about = {"sections": act.sections} if act.sections else {}
    return Outcome(replies=(say(line(key, **values), buttons=buttons, question=act, about=about),))


Handler = Callable[[Act, "Job", Turn], Outcome]


def handles(*names: str, needs_job: bool = True) -> Callable[[Handler], Handler]:
    """Marks the function that takes these acts; handlers.table() collects the marked ones."""

    def mark(function: Handler) -> Handler:
        function.handles = names  # type: ignore[attr-defined]
        function.needs_job = needs_job  # type: ignore[attr-defined]
        return function

    return mark
