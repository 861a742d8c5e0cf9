"""An invented day at Heron Point as timeline rows, by hand: what the pictures, the record and the board are held to."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

ZONE = ZoneInfo("America/New_York")
PEOPLE = {1: "Dana", 2: "Ana", 3: "Luis"}


def at(clock: str, day: str = "2026-06-10") -> datetime:
    """A local moment, aware."""
    hours, minutes = map(int, clock.split(":"))
    on = datetime.fromisoformat(day)
    return on.replace(hour=hours, minute=minutes, tzinfo=ZONE)


def q(value: float, unit: str) -> dict[str, Any]:
    """A quantity as an act tells it."""
    return {"value": value, "unit": unit}


class Facts:
    """Rows as the shelf hands them to a job, and the same as the file holds them."""

    def __init__(self) -> None:
        self.rows: list[dict[str, Any]] = []

    def add(self, clock: str, kind_: str, *sections: str, day: str = "2026-06-10", person: int | None = 2,
            told: datetime | None = None, undone: int | None = None, **data: Any) -> None:  # fmt: skip
        """One fact, told when it happened unless `told` says otherwise."""
        moment = at(clock, day)
        self.rows.append({"id": len(self.rows) + 1, "job": 1, "kind": kind_, "at": moment.astimezone(UTC),
                          "told": (told or moment).astimezone(UTC), "person": person, "sections": sections, "data": data,
                          "inbox": None, "undone": undone, "words": f"{kind_} {' '.join(sections)}".strip(),
                          "zone": ZONE.key, "who": PEOPLE.get(person or 0)})  # fmt: skip

    def standing(self) -> list[dict[str, Any]]:
        """What was not taken back, in the order of when it happened."""
        return sorted((r for r in self.rows if r["undone"] is None), key=lambda r: (r["at"], r["id"]))

    def kept(self) -> list[dict[str, Any]]:
        """The rows as text, as the file holds them."""
        return [{**r, "at": r["at"].isoformat(), "told": r["told"].isoformat(), "sections": json.dumps(list(r["sections"])),
                 "data": json.dumps(r["data"])} for r in self.rows]  # fmt: skip


def heron_point() -> Facts:
    """Two floors, stairs and a rail: one second pass, one rinse over its time, one skin incident."""
    f = Facts()
    f.add("7:02", "job", action="open", name="Heron Point", person=1)
    for name, surface, area in (("A", "floor", 192), ("B", "floor", 120), ("stairs", "stairs", 61), ("rail", "rail", 83)):
        f.add("7:03", "measure", name, surface=surface, area=q(area, "ft2"), person=1)
    f.add("7:10", "survey", year_built=1991, treated=False, species="cedar", person=1)
    f.add("7:15", "arrive")
    f.add("7:20", "conditions", surface_temp=q(78, "F"), humidity=55, wind=q(5, "mph"), sun=True)
    f.add("8:10", "patch", "A", result="loose", minutes=9, product="stripper")
    f.add("8:31", "mixed", product="brightener", volume=q(4, "gal"), taken=q(16, "oz"), kind="acid",
          strength={"mass": q(4, "oz"), "per": q(1, "gal")})  # fmt: skip
    f.add("9:50", "warned", keys=["preparation"])
    f.add("9:50", "start", "A", step="strip", product="stripper")
    f.add("10:02", "finish", "A", step="strip")
    f.add("10:04", "rewet", "A", **{"with": "water"})
    f.add("10:10", "check", "A", result="loose")
    f.add("10:12", "start", "A", step="rinse")
    f.add("10:19", "finish", "A", step="rinse")
    f.add("10:22", "start", "B", step="strip", product="stripper", person=3)
    f.add("10:31", "finish", "B", step="strip", person=3)
    due = at("10:43").isoformat()
    f.add("10:43", "rang", "B", person=None, reminder="rinse late", due=due, keys=["rinse late:B:strip:1:0"])
    f.add("10:47", "start", "B", step="rinse", person=3)
    f.add("10:53", "finish", "B", step="rinse", person=3)
    f.add("10:58", "start", "stairs", "rail", step="strip", product="stripper")
    f.add("11:09", "finish", "stairs", "rail", step="strip")
    f.add("11:24", "finish", "stairs", step="rinse")
    f.add("11:20", "start", "rail", step="rinse")
    f.add("11:30", "finish", "rail", step="rinse")
    f.add("11:32", "incident", kind="skin", text="burn on Luis' hand", person=3)
    f.add("12:01", "start", "rail", step="strip", product="stripper", share=0.33)
    f.add("12:05", "finish", "rail", step="strip")
    f.add("12:23", "start", "rail", step="rinse")
    f.add("12:29", "finish", "rail", step="rinse")
    for name, start in (("A", 0), ("B", 6), ("stairs", 12), ("rail", 18)):
        f.add(f"13:{10 + start}", "start", name, step="brighten", product="brightener")
        f.add(f"13:{14 + start}", "finish", name, step="brighten")
        f.add(f"13:{24 + start}", "start", name, step="final rinse")
        f.add(f"13:{29 + start}", "finish", name, step="final rinse")
    f.add("14:00", "ph", "A", value=7.5)
    f.add("14:05", "conditions", air_temp=q(75, "F"), humidity=50)
    f.add("14:30", "note", text="dog in the yard <script>alert(1)</script>")
    f.add("14:40", "moisture", "B", readings=[99], undone=90)
    f.add("15:02", "leave")
    return f
