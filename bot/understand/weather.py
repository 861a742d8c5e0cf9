"""The slots of weather, of a section's size and of a shop's own figures: several slots told in one breath."""

from __future__ import annotations

from typing import Any

from bot.understand.clauses import Clause
from bot.understand.marks import Mark
from bot.understand.sizes import COUNTABLE
from bot.understand.slots import Scene, measure, number

NEAR = 4


def _near(marks: list[Mark], mark: Mark, key: str) -> int:
    """How many words lie between a mark and the nearest word of a kind; far is 99."""
    gaps = [max(m.start - mark.end, mark.start - m.end) for m in marks if key in m.keys]
    return min(gaps, default=99)


def conditions(clause: Clause, marks: list[Mark], scene: Scene) -> dict[str, Any]:
    """Temperatures, humidity, wind, sun and rain of a clause."""
    out: dict[str, Any] = {}
    for mark in marks:
        beside = _beside(marks, mark, scene)
        if mark.kind == "temp":
            _temperature(out, beside, mark, scene)
        elif mark.kind == "speed":
            out["wind"] = measure(mark.value)
        elif mark.kind == "pct" and _near(marks, mark, "moisture") > 6:
            out.setdefault("humidity", number(mark.value[0]))
        elif mark.kind == "num":
            _bare(out, beside, mark, scene)
    for key in ("sun", "rain"):
        told = next((m.attrs[key] for m in marks if key in m.attrs), None)
        if told:
            out[key] = told == "yes"
    return out


def _beside(marks: list[Mark], mark: Mark, scene: Scene) -> list[Mark]:
    """The marks that stand in the same stretch between commas or ands."""
    breaks = [i for i, t in enumerate(scene.tokens) if t.word in (",", "and", "y", ";", ".")]
    low = max((i for i in breaks if i < mark.start), default=-1)
    high = min((i for i in breaks if i >= mark.end), default=len(scene.tokens))
    return [m for m in marks if low < m.start < high]


def _temperature(out: dict[str, Any], marks: list[Mark], mark: Mark, scene: Scene) -> None:
    value, unit = mark.value
    unit = unit if unit != "deg" else "C" if scene.metric or value < 0 else "F"
    surface, air = _near(marks, mark, "surface_word"), _near(marks, mark, "air_word")
    slot = "surface_temp" if surface < 99 and surface <= air else "air_temp"
    out.setdefault(slot, measure((value, unit)))


def _bare(out: dict[str, Any], marks: list[Mark], mark: Mark, scene: Scene) -> None:
    """A number with no unit belongs to the nearest word of weather; before it rather than behind."""
    best, gap = "", float(NEAR)
    for key in ("humidity_word", "wind_word", "surface_word", "temp_word", "air_word"):
        for m in marks:
            if key in m.keys:
                distance = mark.start - m.end if m.end <= mark.start else m.start - mark.end + 0.5
                if distance < gap:
                    best, gap = key, distance
    unit = "C" if scene.metric else "F"
    if best == "humidity_word" and 1 <= mark.value <= 100:
        out.setdefault("humidity", number(mark.value))
    elif best == "wind_word" and mark.value < 60:
        out.setdefault("wind", measure((mark.value, "km/h" if scene.metric else "mph")))
    elif best == "surface_word" and mark.value > 25:
        out.setdefault("surface_temp", measure((mark.value, unit)))
    elif best in ("temp_word", "air_word") and (mark.value > 25 or scene.metric):
        out.setdefault("air_temp", measure((mark.value, unit)))


def _counts(marks: list[Mark], mark: Mark, scene: Scene) -> bool:
    """Whether a number counts treads or posts ("9 treads"; of stairs, "9 of 4 ft")."""
    after = scene.tokens[mark.end].word if mark.end < len(scene.tokens) else ""
    if mark.kind == "num":
        return surface_of(marks) == "stairs" and after in ("de", "of", "at")
    return mark.kind == "count" and after in COUNTABLE


def surface_of(marks: list[Mark]) -> str:
    """ "stairs" where the section is a flight of stairs."""
    return next(("stairs" for m in marks if m.kind == "sec" for n in m.value if n.endswith("stairs")), "")


def size(clause: Clause, marks: list[Mark], scene: Scene) -> dict[str, Any]:
    """Length, width, height, count and area of a section."""
    out: dict[str, Any] = {}
    default = "m" if scene.metric else "ft"
    for mark in marks:
        if mark.kind == "dim":
            free = ["length", "width", "height"]
            for axis, value, unit in mark.value:
                slot = axis if axis and axis not in out else next((f for f in free if f not in out), None)
                if slot:
                    out[slot] = _metres(value, unit or default)
        elif mark.kind == "len":
            out.setdefault("length", _metres(*mark.value))
        elif mark.kind == "area":
            out["area"] = measure(mark.value)
        elif _counts(marks, mark, scene):
            out["count"] = number(mark.value)
    return out


def _metres(value: float, unit: str) -> dict[str, Any]:
    return measure((value / 100, "m") if unit == "cm" else (value, unit))


def dwell(clause: Clause, marks: list[Mark], scene: Scene) -> dict[str, Any]:
    """A shop's own figures: dwell window, mist interval, target; each takes the numbers next to its word."""
    out: dict[str, Any] = {}
    heads = [m for m in marks if not m.keys.isdisjoint(("dwell_word", "mist_every", "target_word"))]
    for i, head in enumerate(heads):
        stop = heads[i + 1].start if i + 1 < len(heads) else clause.end
        begin = head.end if i else clause.start
        spans = [_plain(m) for m in marks if m.kind in ("num", "dur", "pct") and begin <= m.start < stop]
        spans = spans or [_plain(m) for m in marks if m.kind in ("num", "dur", "pct")]
        if "mist_every" in head.keys and spans:
            out["mist_every"] = number(spans[-1])
        elif "target_word" in head.keys and spans:
            out["target"] = number(spans[0])
        elif "dwell_word" in head.keys and len(spans) >= 2 and spans[0] < spans[1]:
            out["dwell"] = {"least": number(spans[0]), "most": number(spans[1])}
    return out


def _plain(mark: Mark) -> float:
    """The bare value of a number; a length of time in minutes."""
    if not isinstance(mark.value, tuple):
        return float(mark.value)
    value, unit = mark.value
    return float(value) * (60 if unit == "h" else 1)


GROUPS = {"conditions": conditions, "size": size, "dwell": dwell}
