"""Fills the slots of the owner's questions: which batch, which packs, whose entry, which figure."""

from __future__ import annotations

import re
from typing import Any

from bot.understand.clauses import Clause
from bot.understand.marks import Mark
from bot.understand.slots import Filler, Scene, measure, number

WHOSE = (
    re.compile(r"([^\W\d_]+)['’´`]s?\s+(?:very\s+)?(?:last|latest)\b", re.IGNORECASE),
    re.compile(r"\b(?:last|latest)\s+(?:\w+\s+)?(?:of|by|from)\s+([^\W\d_]+)", re.IGNORECASE),
    re.compile(r"[uú]ltim[oa]\s+(?:que\s+(?:puso|dijo|mand[oó]|escribi[oó])\s+|de\s+)([^\W\d_]+)", re.IGNORECASE),
)
NOBODY = ("that", "it", "let", "what", "mine", "me", "mi", "la", "el", "ayer", "hoy", "today", "yesterday", "all",
    "todo")


def entry(clause: Clause, marks: list[Mark], scene: Scene) -> int | None:
    """The number of a timeline entry."""
    whole = [m for m in marks if m.kind == "num" and m.value == int(m.value) and m.value >= 1]
    found = next((m.value for m in whole if not scene.tokens[m.start].spoken), None)  # "the wrong one" is no number
    return None if found is None else int(found)


def whose(clause: Clause, marks: list[Mark], scene: Scene) -> str | None:
    """The name of the person whose last entry is meant."""
    for pattern in WHOSE:
        found = pattern.search(scene.text)
        if found and found[1].lower() not in NOBODY:
            return found[1]
    return None


def ordinal(clause: Clause, marks: list[Mark], scene: Scene) -> int | None:
    """Which one of several: 1 for the first, -1 for the last."""
    told = next((m.attrs["ordinal"] for m in marks if "ordinal" in m.attrs), None)
    return None if told is None else int(told)


def packs(clause: Clause, marks: list[Mark], scene: Scene) -> list[dict[str, Any]] | None:
    """Pack sizes with their prices, each amount with the money or the number next to it."""
    line = [m for m in marks if m.kind in ("mass", "vol", "money", "num")]
    found: list[dict[str, Any]] = []
    at = 0
    while at + 1 < len(line):
        amount, price = line[at], line[at + 1]
        if amount.kind in ("money", "num"):
            amount, price = price, amount
        if amount.kind in ("mass", "vol") and price.kind in ("money", "num"):
            value = price.value[0] if isinstance(price.value, tuple) else price.value
            slot = "mass" if amount.kind == "mass" else "volume"
            found.append({slot: measure(amount.value), "cost": number(float(value))})
            at += 2
        else:
            at += 1
    return found or None


def amount(clause: Clause, marks: list[Mark], scene: Scene) -> float | int | None:
    """Money told with its sign or word, else the first bare number; "500" behind a word of money is no five o'clock."""
    mark = next((m for m in marks if m.kind == "money"), None) or next((m for m in marks if m.kind == "num"), None)
    if mark is not None:
        return number(float(mark.value[0] if isinstance(mark.value, tuple) else mark.value))
    bare = [scene.tokens[m.start] for m in marks if m.kind == "time" and m.end == m.start + 1]
    told = [t.value for t in bare if t.kind == "num" and t.value is not None]
    return number(told[0]) if len(told) == 1 else None


def hour(clause: Clause, marks: list[Mark], scene: Scene) -> float | str | None:
    """An hour of the day for every day: "19:30" where its half is sure, else the bare number (7.5 for 7:30)."""
    mark = next((m for m in marks if m.kind == "time" and m.value.hour is not None), None)
    if mark is None:
        bare = next((m.value for m in marks if m.kind == "num"), None)
        return number(float(bare)) if bare is not None and 0 <= bare <= 24 else None
    told = mark.value
    if told.half is None and 1 <= told.hour <= 12:
        return number(told.hour + told.minute / 60)
    on = told.hour % 12 + (12 if told.half == "pm" else 0) if told.half else told.hour
    return f"{on:02d}:{told.minute:02d}"


SPAN = re.compile(
    r"(\d{1,2})(?::00)?\s*([ap])?\.?(?:m\b)?\.?\s*(?:to|till|until|a|hasta|y|-|–)\s*(?:las\s+)?(\d{1,2})(?::00)?\s*([ap])?\.?(?:m\b)?",
    re.IGNORECASE,
)


def span_from(clause: Clause, marks: list[Mark], scene: Scene) -> int | None:
    """The whole hour at which a stretch of the night begins; a bare 5 to 11 with a bare morning behind it is pm."""
    hours = _span(scene.text)
    return hours and hours[0]


def span_to(clause: Clause, marks: list[Mark], scene: Scene) -> int | None:
    """The whole hour at which it ends."""
    hours = _span(scene.text)
    return hours and hours[1]


BOUND = r"\b(?:{})\s+(?:las?\s+)?(\d{{1,2}})(?::00)?\s*([ap])?\.?(?:m\b)?"
AFTER = re.compile(BOUND.format("after|past|despu[eé]s de|desde"), re.IGNORECASE)
BEFORE = re.compile(BOUND.format("before|antes de"), re.IGNORECASE)


def _bounds(text: str) -> tuple[int | None, int | None] | None:
    """ "not before 7 or after 9 pm": quiet from 21 to 7; a bare 5 to 11 behind "after" is of the evening."""
    last, first = AFTER.search(text), BEFORE.search(text)
    if last is None and first is None:
        return None
    start = None if last is None else _clock(int(last[1]), last[2])
    if start is not None and last is not None and last[2] is None and 5 <= start <= 11:
        start += 12
    end = None if first is None else _clock(int(first[1]), first[2])
    return start, end


def _span(text: str) -> tuple[int | None, int | None] | None:
    plain = re.sub(r"\bde la (?:noche|tarde)\b", "pm", re.sub(r"\bde la ma[nñ]ana\b", "am", text, flags=re.I), flags=re.I)
    if bounds := _bounds(plain):
        return bounds
    found = SPAN.search(plain)
    if found is None:
        return None
    start, end = _clock(int(found[1]), found[2]), _clock(int(found[3]), found[4])
    if found[2] is None and 5 <= start <= 11 and (found[4] or "a").lower() == "a" and 4 <= end <= 11:
        start += 12
    return (start, end) if start < 24 and end <= 24 else None


def _clock(hour: int, half: str | None) -> int:
    if half is None or not 1 <= hour <= 12:
        return hour
    return hour % 12 + (12 if half.lower() == "p" else 0)


def _attr(name: str) -> Filler:
    def fill(clause: Clause, marks: list[Mark], scene: Scene) -> Any:
        return next((m.attrs[name] for m in marks if name in m.attrs), None)

    return fill


def newcomer(clause: Clause, marks: list[Mark], scene: Scene) -> str | None:
    """The name of who is to come in: a capitalised word that the rules know nothing of, behind "add"."""
    lead = next((m for m in marks if "adding" in m.keys), None)
    behind = scene.tokens[lead.end : lead.end + 1] if lead else []
    known = any(m.start <= lead.end < m.end for m in marks) if lead else True
    return behind[0].raw if behind and not known and behind[0].raw[:1].isupper() and len(behind[0].raw) > 1 else None


def who_left(clause: Clause, marks: list[Mark], scene: Scene) -> str | None:
    """The name of who works here no more: the word before that."""
    told = next((m for m in marks if "works_no_more" in m.keys), None)
    return scene.tokens[told.start - 1].raw if told and told.start else None


HERE = re.compile(r"^\W*(?:is|where(?:'s| is)|est[aá]|d[oó]nde (?:est[aá]|anda))\s+([A-ZÁÉÍÓÚÑ][^\W\d_]+)", re.I)
NO_NAME = ("anyone", "anybody", "everybody", "everyone", "somebody", "the", "it", "that", "alguien", "todos", "la", "el")


def somebody(clause: Clause, marks: list[Mark], scene: Scene) -> str | None:
    """Whose whereabouts are asked: the name behind "is" or "where is"."""
    found = HERE.search(scene.text)
    return found[1] if found and found[1].lower() not in NO_NAME and found[1][:1].isupper() else None


def section_told(clause: Clause, marks: list[Mark], scene: Scene) -> list[str] | None:
    """The sections named, where the word section stands beside them."""
    names = [n for m in marks if m.kind == "sec" for n in m.value]
    return list(dict.fromkeys(names)) if names and re.search(r"\bsec(?:tion|ci[oó]n)", scene.text, re.I) else None


def put_on(clause: Clause, marks: list[Mark], scene: Scene) -> dict[str, Any] | None:
    """How much of the finish was put on; a volume beside another step is none of it."""
    finish = "coating" in clause.keys or "product=oil" in clause.keys
    mark = next((m for m in marks if m.kind == "vol"), None)
    return measure(mark.value) if finish and mark is not None else None


FILLERS: dict[str, Filler] = {
    "put_on": put_on, "section_told": section_told,
    "newcomer": newcomer, "who_left": who_left, "somebody": somebody,
    "entry": entry, "whose": whose, "ordinal": ordinal, "packs": packs, "amount": amount,
    "hour": hour, "span_from": span_from, "span_to": span_to,
    "figure": _attr("figure"), "as_is": _attr("as_is"), "season": _attr("season"), "format": _attr("format"),
}  # fmt: skip
