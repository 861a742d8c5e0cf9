"""What a crew message means: acts, as values.

An act is a name and its slots; a slot holds the plain JSON value of the language contract in
DEVELOPERS.md (`{"value": 4, "unit": "gal"}`, `["B"]`, `"2026-06-10T09:50"`), so that an act can be
printed, kept in a row, put behind a button and read back without loss.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from bot.trade.units import Q

RESERVED = ("act", "assumed", "missing")
EVERY = "*"
# Who did what is told, in the slot `by`: names of the crew, or one of these.
ME, ALL, SOMEBODY = "me", "*", "?"
VISITS = ("arrive", "leave")
CREDITED = (*VISITS, "start", "finish", "rewet", "check", "patch", "mixed", "moisture", "ph", "extend")
# Acts that speak of a moment: asked about later, they keep the one at which they were said.
MOMENTS = frozenset(
    ("start", "finish", "rewet", "check", "patch", "hold", "resume", "arrive", "leave")
    + ("moisture", "ph", "conditions", "mixed", "note", "incident", "flow")
)


@dataclass(frozen=True)
class Act:
    """One thing that a message says: `name`, `slots` as JSON values, what a rule `assumed`, what is `missing`."""

    name: str
    slots: Mapping[str, Any] = field(default_factory=dict)
    assumed: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()

    def get(self, slot: str, default: Any = None) -> Any:
        """The JSON value of a slot, or the default where the message did not give it."""
        return self.slots.get(slot, default)

    @property
    def sections(self) -> tuple[str, ...]:
        """The sections named, in the order of the message; ("*",) is the whole job."""
        return tuple(self.slots.get("sections") or ())

    def quantity(self, slot: str) -> Q | None:
        """The slot as a pint quantity, or None where absent."""
        value = self.slots.get(slot)
        if value is None:
            return None
        from bot.trade.units import quantity

        return quantity(value)

    def at(self, zone: Any) -> datetime | None:
        """The time told (local), or stamped (whole, with its offset); None where none was told (or only a day)."""
        value = self.slots.get("at")
        if not value or "T" not in value:
            return None
        moment = datetime.fromisoformat(value)
        return moment if moment.tzinfo else moment.replace(tzinfo=zone)

    def stamped(self, said_at: datetime) -> Act:
        """The act as of when it was said, to the fraction: cut to the minute, it might lie before what came first."""
        return self.having(at=self.get("at") or said_at.isoformat(timespec="milliseconds"))

    def having(self, **slots: Any) -> Act:
        """The same act with these slots put in; they are no longer missing, None takes a slot out."""
        merged = {k: v for k, v in {**self.slots, **slots}.items() if v is not None}
        return replace(
            self,
            slots=merged,
            missing=tuple(m for m in self.missing if not any(part in merged for part in m.split("|"))),
            assumed=tuple(a for a in self.assumed if a not in slots),
        )

    def to_json(self) -> dict[str, Any]:
        """The act as one flat JSON object."""
        flat: dict[str, Any] = {"act": self.name, **self.slots}
        for name in ("assumed", "missing"):
            if getattr(self, name):
                flat[name] = list(getattr(self, name))
        return flat

    @staticmethod
    def from_json(flat: Mapping[str, Any]) -> Act:
        """Reads back what `to_json` wrote."""
        slots = {k: v for k, v in flat.items() if k not in RESERVED and v is not None}
        return Act(flat["act"], slots, tuple(flat.get("assumed") or ()), tuple(flat.get("missing") or ()))
