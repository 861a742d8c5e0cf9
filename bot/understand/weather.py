"""The slots of weather, of a section's size and of a shop's own figures: several slots told in one breath."""

from __future__ import annotations

from typing import Any

from bot.understand.clauses import Clause
from bot.understand.marks import Mark
from bot.understand.slots import Scene, measure, number

NEAR = 4
COUNTABLE = {"treads", "tread", "risers", "steps", "stairs", "balusters", "spindles", "posts", "escalones", "peldanos", "gradas",
             "barrotes", "postes"}  # fmt: skip


def _near(marks: list[Mark], mark: Mark, key: str) -> int:
    """How many words lie between a mark and the nearest word of a kind; far is 99."""
    gaps = [max(m.start - mark.end, mark.start - m.end) for m in marks if key in m.keys]
    return min(gaps, default=99)


def conditions(clause: Clause, marks: list[Mark], scene: Scene) -> dict[str, Any]:
    """Temperatures, humidity, wind, sun and rain of a clause."""
    out: dict[str, Any] = {}
    for mark in marks:
        if mark.kind == "temp":
            _temperature(out, marks, mark, scene)
        elif mark.kind == "speed":
            out["wind"] = measure(mark.value)
        elif mark.kind == "pct" and _near(marks, mark, "moisture") > 6:
            out.setdefault("humidity", number(mark.value[0]))
        elif mark.kind == "num":
            _bare(out, marks, mark, scene)
    for key in ("sun", "rain"):
        told = next((m.attrs[key] for m in marks if key in m.attrs), None)
        if told:
            out[key] = told == "yes"
    return out


def _temperature(out: dict[str, Any], marks: list[Mark], mark: Mark, scene: Scene) -> None:
    value, unit = mark.value
    unit = unit if unit != "deg" else "C" if scene.metric or value < 0 else "F"
    surface, air = _near(marks, mark, "surface_word"), _near(marks, mark, "air_word")
    slot = "surface_temp" if surface < 99 and surface <= air else "air_temp"
    if slot == "surface_temp" and slot in out:
        slot = "air_temp"
    out.setdefault(slot, measure((value, unit)))


def _bare(out: dict[str, Any], marks: list[Mark], mark: Mark, scene: Scene) -> None:
    """A number with no unit belongs to the nearest word of weather; before it rather than behind."""
    best, gap = "", NEAR
    for key in ("humidity_word", "wind_word", "surface_word", "temp_word", "air_word"):
        for m in marks:
            if key not in m.keys:
                continue
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
        elif mark.kind == "area":
            out["area"] = measure(mark.value)
        elif mark.kind == "num" and mark.end < len(scene.tokens) and scene.tokens[mark.end].word in COUNTABLE:
            out["count"] = number(mark.value)
    return out


def _metres(value: float, unit: str) -> dict[str, Any]:
    return measure((value / 100, "m") if unit == "cm" else (value, unit))


def dwell(clause: Clause, marks: list[Mark], scene: Scene) -> dict[str, Any]:
    """A shop's own figures: dwell window, mist interval, target, coverage."""
    out: dict[str, Any] = {}
    spans = [m for m in marks if m.kind in ("num", "dur")]
    least, most = (float(m.value[0] if isinstance(m.value, tuple) else m.value) for m in (*spans[:2], *spans[:2])[:2]) if spans else (0, 0)
    keys = clause.keys
    if "dwell_word" in keys and len(spans) == 2 and least < most:
        out["dwell"] = {"least": number(least), "most": number(most)}
    elif "mist_every" in keys and spans:
        out["mist_every"] = number(least)
    elif "target_word" in keys:
        told = next((m for m in marks if m.kind in ("pct", "num")), None)
        if told:
            out["target"] = number(told.value[0] if isinstance(told.value, tuple) else told.value)
    return out


GROUPS = {"conditions": conditions, "size": size, "dwell": dwell}
