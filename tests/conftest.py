"""The whole bot in one line: `crew.says("Ana", "started B")` gives what went out, on a clock that stands still."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, settings

from bot import app
from bot.ledger import House
from bot.people import chose
from bot.store import Store
from bot.transports.rehearsal import Day, Happening, Person, Rehearsal

settings.register_profile("ours", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("ours")

ZONE = ZoneInfo("America/New_York")
PEOPLE = (
    Person("Dana", "owner", "en", "us"),
    Person("Ana", "crew", "en", "us"),
    Person("Luis", "crew", "es", "us"),
    Person("Stranger", "nobody", "en", "us"),
)


class Crew:
    """An invented shop: Dana owns it, Ana reads English, Luis Spanish, whatever they write where that is `settled`.

    It is 9:00 on 10 June 2026.
    """

    def __init__(self, folder: Path, people: tuple[Person, ...] = PEOPLE, settled: bool = True) -> None:
        self.clock = app.SetClock(datetime(2026, 6, 10, 9, 0, tzinfo=ZONE))
        self.folder = folder
        day = Day(ZONE, self.clock.now(), people, ())
        self.played = Rehearsal(day, self._open, self.clock)
        self.played._admit()
        if settled:
            with self.store.turn():
                for row in self.store.rows("select id from people"):
                    chose(self.store, row["id"])

    def _open(self) -> Any:
        store = Store(self.folder / "rinsebell.db", self.clock.now())
        store.recover()
        return app.desk(store, House(ZONE), self.clock)

    @property
    def store(self) -> Store:
        return self.played.desk.store

    def at(self, clock: str, day: str = "") -> list[dict[str, Any]]:
        """Lets time run to this minute; gives what rang meanwhile."""
        on = datetime.fromisoformat(day).date() if day else self.clock.now().astimezone(ZONE).date()
        hours, minutes = map(int, clock.split(":"))
        moment = datetime(on.year, on.month, on.day, hours, minutes, tzinfo=ZONE)
        return list(self.played._run_to(moment))

    def later(self, minutes: float) -> list[dict[str, Any]]:
        """Lets so many minutes pass."""
        return list(self.played._run_to(self.clock.now() + timedelta(minutes=minutes)))

    def says(self, who: str, text: str) -> list[dict[str, Any]]:
        """A message; gives what went out at once."""
        return self._do(Happening("said", None, who, text))

    def presses(self, who: str, label: str) -> list[dict[str, Any]]:
        """A button, by its words, under the newest message that has it."""
        return self._do(Happening("pressed", None, who, label))

    def edits(self, who: str, text: str) -> list[dict[str, Any]]:
        """Changes that person's last message."""
        return self._do(Happening("edited", None, who, text))

    def _do(self, one: Happening) -> list[dict[str, Any]]:
        return [x for x in self.played._happen(one) if "to" in x]

    def restart(self) -> None:
        """Stops the bot and starts it on the same data."""
        self.store.close()
        self.played.desk = self._open()

    def timeline(self) -> list[dict[str, Any]]:
        """The timeline as it stands."""
        return self.played.timeline()

    def standing(self) -> list[dict[str, Any]]:
        """What of the timeline counts, without what the bot wrote for itself."""
        hidden = ("rang", "warned", "undo", "amend", "used", "refused", "joined")
        return [r for r in self.timeline() if not r["state"] and r["kind"] not in hidden]


@pytest.fixture
def crew(tmp_path: Path) -> Iterator[Crew]:
    """A shop without a job."""
    made = Crew(tmp_path)
    yield made
    made.store.close()


@pytest.fixture
def heron(crew: Crew) -> Crew:
    """The shop with the job Heron Point: A 192 ft2, B 120 ft2, stairs."""
    for text in ("new job Heron Point", "A 12x16 ft", "B 10x12 ft", "stairs 5 steps 4 ft wide"):
        crew.says("Dana", text)
    return crew


def reply(out: list[dict[str, Any]], to: str = "Ana") -> dict[str, Any]:
    """The one reply to a person."""
    found = [x for x in out if x["to"] == to and x["kind"] == "reply"]
    assert len(found) == 1, [x["text"] for x in found]
    return found[0]
