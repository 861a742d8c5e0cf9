"""The slots of weather, of a section's size and of a shop's own figures: several slots told in one breath."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any

from bot.understand.clauses import Clause
from bot.understand.marks import Mark
from bot.understand.sizes import COUNTABLE
from bot.understand.slots import Scene, measure, number

NEAR = 5


def _near(marks: list[Mark], mark: Mark, key: str) -> int:
    """How many words lie between a mark and the nearest word of a kind; far is 99."""
    gaps = [max(m.start - mark.end, mark.start - m.end) for m in marks if key in m.keys]
    return min(gaps, default=99)


def conditions(clause: Clause, marks: list[Mark], scene: Scene) -> dict[str, Any]:
    """Temperatures, humidity, wind, sun and rain of a clause."""
    out: dict[str, Any] = {}
    metric = scene.metric or bool(METRIC.search(scene.text))
    heads = _heads(marks)
    for mark in marks:
        if mark.kind == "temp":
            value, unit = mark.value
            unit = unit if unit != "deg" else "C" if metric or value < 0 else "F"
            head = "" if _outside(scene, mark) else _head(heads, marks, mark, scene)
            slot = "surface_temp" if head == "surface_word" else "air_temp"
            out.setdefault(slot, measure((value, unit)))
        elif mark.kind == "speed":
            _blows(out, mark.value[0], mark.value[1])
        elif mark.kind == "pct" and _near(marks, mark, "moisture") > 6:
            if _head(heads, marks, mark, scene) != "surface_word":  # of the boards: their moisture, or a share done
                out.setdefault("humidity", number(mark.value[0]))
        elif mark.kind == "num":
            _bare(out, _head(heads, marks, mark, scene), mark, scene, metric)
    figures = {m.end for m in marks if m.kind in ("temp", "num")}
    for key in ("sun", "rain"):
        told = next((m.attrs[key] for m in marks if key in m.attrs and not _shade_air(m, figures)), None)
        if told:
            out[key] = told == "yes"
    return out


def _shade_air(mark: Mark, figures: set[int]) -> bool:
    """ "93 in the shade": where the air was measured, no word of the sky."""
    return "air_word" in mark.keys and mark.start in figures


METRIC = re.compile(r"\d\s?°?\s?C\b|km/h|kph|kmh|celsius|cent[ií]grad", re.ASCII)
OF_BOARDS = ("to", "left", "more", "rotten", "bad", "soft", "loose", "replaced", "podridas", "malas", "sueltas")
OUTSIDE = ("out", "outside", "afuera")
TEMPERATURES = ("surface_word", "temp_word", "air_word")
# What a bare number beside such a word can be; the shop's units decide the rest.
RANGES = {"humidity_word": (1, 100), "wind_word": (0, 60), "surface_word": (25, 200), "temp_word": (25, 130),
    "air_word": (25, 130)}  # fmt: skip
HEDGES = {"como", "bien", "muy", "casi", "unos", "about", "like", "around", "pretty", "real", "really", "very"}
BREAKS = {",", "and", "y", ";", "."}
VALUED = ("num", "temp", "pct", "speed")


def _heads(marks: list[Mark]) -> dict[int, str]:
    """The words of weather that a number may belong to, by where they stand."""
    heads = {i: next((k for k in RANGES if k in m.keys), "") for i, m in enumerate(marks)}
    surface = min((m.start for m in marks if "surface_word" in m.keys), default=10**6)
    hot = {i for i, m in enumerate(marks) if "heat_word" in m.keys and 0 < m.start - surface < NEAR}
    return {i: key for i, key in heads.items() if key and i not in hot}  # "boards are roasting, 102"


def _head(heads: dict[int, str], marks: list[Mark], mark: Mark, scene: Scene) -> str:
    """The word that a value belongs to: the nearest before it with no other value between, else the next behind.

    A word before that gave its value already is passed over ("82 air 110 boards"); a range keeps its word.
    """
    at = marks.index(mark)
    values = [i for i, m in enumerate(marks) if m.kind in VALUED and (m is mark or not _outside(scene, m))]
    last = max((i for i in values if i < at), default=-1)
    coming = min((i for i in values if i > at), default=len(marks))
    placed = {i for m in marks if m.kind == "sec" for i in range(m.start - 2, m.end)}  # "temp on the rail is 96"
    placed |= {i for i, t in enumerate(scene.tokens) if t.word in HEDGES}  # "las tablas estan bien calientes como a 96"
    before = [
        i for i in heads if last < i < at and sum(n not in placed for n in range(marks[i].end, mark.start)) < NEAR
    ]
    behind = [i for i in heads if at < i < coming and _goes_on(scene, mark.end, marks[i].start)]
    after = min((i for i in values if i > coming), default=len(marks))
    if len(behind) == 1 and coming < len(marks) and not any(coming < i < after for i in heads):
        owned = _goes_on(scene, marks[behind[0]].end, marks[coming].start)
        behind = [] if owned else behind  # "90 out boards 125": the boards have the second
    if before and behind and last >= 0 and not any(i < last for i in heads):
        fits = marks[last].kind == "num" or (marks[last].kind == "temp" and heads[before[-1]] in TEMPERATURES)
        before = [] if fits and _goes_on(scene, marks[last].end, marks[before[-1]].start) else before
    if not before and not behind and last >= 0 and mark.start - marks[last].end <= 1:
        before = [i for i in heads if i < last][-1:]  # blowing 10 to 15
    return heads[before[-1]] if before else heads[behind[0]] if behind else ""


def _outside(scene: Scene, mark: Mark) -> bool:
    """ "90 out": a temperature that needs no other word."""
    return mark.kind == "temp" and mark.end < len(scene.tokens) and scene.tokens[mark.end].word in OUTSIDE


def _goes_on(scene: Scene, start: int, end: int) -> bool:
    """Whether a word stands near behind a value, in the same breath."""
    return end - start < NEAR and not any(t.word in BREAKS for t in scene.tokens[start:end])


def _bare(out: dict[str, Any], key: str, mark: Mark, scene: Scene, metric: bool) -> None:
    """A number with no unit, told beside a word of weather."""
    if any(t.word in OF_BOARDS for t in scene.tokens[mark.end + 1 : mark.end + 2]):
        return  # "50 boards to go"
    low, high = RANGES.get(key, (1, 0))
    cold = metric and key in TEMPERATURES
    if not (-20 if cold else low) <= mark.value <= high:
        return
    words = [t.word for t in scene.tokens[max(0, mark.start - 3) : mark.start]]
    if key == "humidity_word":
        out.setdefault("humidity", number(mark.value))
    elif key == "wind_word" and mark.value > 25 and "aire" in words:
        out.setdefault("air_temp", measure((mark.value, "C" if metric else "F")))  # "el aire a 30": air, no gale
    elif key == "wind_word":
        _blows(out, mark.value, "km/h" if metric else "mph")
    elif key:
        slot = "surface_temp" if key == "surface_word" else "air_temp"
        out.setdefault(slot, measure((mark.value, "C" if metric else "F")))


def _blows(out: dict[str, Any], value: float, unit: str) -> None:
    """Wind: of several figures the highest, a gust counts."""
    if "wind" not in out or value > out["wind"]["value"]:
        out["wind"] = measure((value, unit))


def _counts(marks: list[Mark], mark: Mark, scene: Scene) -> bool:
    """Whether a number counts treads or posts ("9 treads"; of stairs, "9 of 4 ft")."""
    after = scene.tokens[mark.end].word if mark.end < len(scene.tokens) else ""
    if mark.kind == "num":
        return surface_of(marks) == "stairs" and after in ("de", "of", "at")
    return mark.kind == "count" and (after in COUNTABLE or "steps_counted" in mark.keys)


def surface_of(marks: list[Mark]) -> str:
    """ "stairs" where the section is a flight of stairs."""
    return next(("stairs" for m in marks if m.kind == "sec" for n in m.value if n.endswith("stairs")), "")


UPRIGHT = ("rail", "fence", "skirt", "lattice", "wall", "fascia", "trellis")  # a second figure is their height


def size(clause: Clause, marks: list[Mark], scene: Scene) -> dict[str, Any]:
    """Length, width, height, count and area of a section; a length told of counted stairs is their width."""
    out: dict[str, Any] = {}
    default = "m" if scene.metric else "ft"
    names = [n for m in marks if m.kind == "sec" for n in m.value]
    upright = bool(names) and all(n.endswith(UPRIGHT) for n in names)
    counted = any("steps_counted" in m.keys for m in marks)
    stepped = counted or (surface_of(marks) == "stairs" and any(_counts(marks, m, scene) for m in marks))
    for mark in marks:
        if mark.kind == "dim":
            free = ["length", "height", "width"] if upright else ["length", "width", "height"]
            for axis, value, unit in mark.value:
                slot = axis if axis and axis not in out else next((f for f in free if f not in out), None)
                if slot:
                    out[slot] = _metres(value, unit or default)
        elif mark.kind == "len":
            out.setdefault("width" if stepped else "length", _metres(*mark.value))
        elif mark.kind == "area":
            out["area"] = measure(mark.value)
        elif _counts(marks, mark, scene):
            out["count"] = number(mark.value)
            if "steps_counted" in mark.keys and not names:
                out["sections"] = ["stairs"]
    return out


def _metres(value: float, unit: str) -> dict[str, Any]:
    parts = {"cm": 100, "mm": 1000}.get(unit)
    return measure((value / parts, "m") if parts else (value, unit))


def dwell(clause: Clause, marks: list[Mark], scene: Scene) -> dict[str, Any]:
    """A shop's own figures: dwell window, mist interval, target; each takes the numbers next to its word."""
    out: dict[str, Any] = {}
    heads = [m for m in marks if not m.keys.isdisjoint(("dwell_word", "mist_every", "target_word"))]
    if "mist" in clause.keys and all("mist_every" not in m.keys for m in heads):
        heads = sorted([*heads, *(m for m in marks if "each_time" in m.keys)], key=lambda m: m.start)
    for i, head in enumerate(heads):
        stop = heads[i + 1].start if i + 1 < len(heads) else clause.end
        begin = head.end if i else clause.start
        spans = [_plain(m) for m in marks if m.kind in ("num", "dur", "pct") and begin <= m.start < stop]
        spans = spans or [_plain(m) for m in marks if m.kind in ("num", "dur", "pct")]
        if not head.keys.isdisjoint(("mist_every", "each_time")) and spans:
            out["mist_every"] = number(spans[-1])
        elif "target_word" in head.keys and spans:
            out["target"] = number(spans[0])
        elif "dwell_word" in head.keys and len(spans) >= 2 and spans[0] < spans[1]:
            out["dwell"] = {"least": number(spans[0]), "most": number(spans[1])}
    if "dwell" not in out and "@span" in clause.keys:  # "nuestro gel se deja de 20 a 35 minutos"
        for one, two in pairwise(m for m in marks if m.kind in ("num", "dur")):
            if one.kind == "num" and two.kind == "dur" and two.start - one.end == 1 and one.value < _plain(two):
                out.setdefault("dwell", {"least": number(one.value), "most": number(_plain(two))})
    return out


def _plain(mark: Mark) -> float:
    """The bare value of a number; a length of time in minutes."""
    if not isinstance(mark.value, tuple):
        return float(mark.value)
    value, unit = mark.value
    return float(value) * (60 if unit == "h" else 1)


GROUPS = {"conditions": conditions, "size": size, "dwell": dwell}
