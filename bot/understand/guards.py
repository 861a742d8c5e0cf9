"""What no reading may get past: signs and forms of numbers that the grammar would read as something smaller.

A quantity that is doubtful is taken out and asked for; a finished step with a coming time is asked about.
"""

from __future__ import annotations

import re

from bot.acts import Act

LONG = re.compile(r"\d{13,}")
DOUBTFUL = re.compile(r"(?:^|[\s(,:])-\d|\d[eE][+-]?\d|\b(?:nan|inf|infinity)\b", re.IGNORECASE)
COMING = re.compile(
    r"\b(?:in|en)\s+(?:about\s+|like\s+|unos\s+)?\d+\s*(?:m|min|mins|minutes?|minutos?|h|hrs?|hours?|horas?)\b",
    re.I,
)
PH = re.compile(r"\bp\.?\s?h\b", re.IGNORECASE)
METER = re.compile(r"moist|humed|meter|medidor|%", re.IGNORECASE)
AMOUNTS = (
    "volume",
    "mass",
    "readings",
    "value",
    "area",
    "length",
    "width",
    "height",
    "count",
    "minutes",
    "cost",
    "rate",
)
DONE = ("finish", "rewet", "mixed")


def shortened(text: str) -> str:
    """The text without numbers that nobody means."""
    return LONG.sub("9e9", text)


def guarded(text: str, acts: tuple[Act, ...]) -> tuple[Act, ...]:
    """The acts without what only looks like a quantity or a past moment."""
    return tuple(_past(text, _sure(text, _ph(text, act))) for act in acts)


def _ph(text: str, act: Act) -> Act:
    """A pH beyond the scale is still a pH, and no moisture."""
    if act.name != "moisture" or not PH.search(text) or METER.search(text):
        return act
    readings = act.get("readings") or [None]
    return Act(
        "ph",
        {k: v for k, v in {"sections": act.get("sections"), "value": readings[0]}.items() if v is not None},
    )


def _sure(text: str, act: Act) -> Act:
    if act.name == "conditions":
        return _below_nothing(text, act)
    if act.name in ("survey", "note") or not DOUBTFUL.search(text):
        return act
    lost = tuple(slot for slot in AMOUNTS if slot in act.slots)
    if not lost:
        return act
    slots = {k: v for k, v in act.slots.items() if k not in lost}
    if act.name in ("mix", "mixed"):  # not to be sized by anything else: what was meant is asked
        slots["doubtful"] = True
    return Act(act.name, slots, act.assumed, tuple(dict.fromkeys((*act.missing, *lost))))


def _below_nothing(text: str, act: Act) -> Act:
    """Frost keeps its sign."""
    for slot in ("air_temp", "surface_temp"):
        told = act.get(slot)
        if told and re.search(rf"(?:^|[\s(,:])-\s?{told['value']:g}\b", text):
            act = act.having(**{slot: {**told, "value": -told["value"]}})
    return act


def _past(text: str, act: Act) -> Act:
    if act.name not in DONE or act.get("at") or not COMING.search(text):
        return act
    return Act(act.name, act.slots, act.assumed, tuple(dict.fromkeys((*act.missing, "at"))))
