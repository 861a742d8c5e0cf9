""" "A pH was 6 on monday, not 7": a fact of some time ago told again, with its kind, its place and its right value."""

from __future__ import annotations

import re
from typing import Any

from bot.acts import Act
from bot.understand import moments
from bot.understand.marks import Mark
from bot.understand.slots import Scene, measure, number

NUMBER = r"\d{1,3}(?:\.\d+)?"
WRONG = re.compile(
    r"\b(?:was wrong|were wrong|is wrong|wasn'?t right|correct|fix|corrige|corrija|corregir|estaba mal|estuvo mal|"
    r"est[aá] mal|should have been|should be|deb[ií]a ser)\b",
    re.IGNORECASE,
)
NOT = re.compile(
    rf"[,;]?\s*\b(?:and not|not|y no|no|instead of|en vez de)\s+(?:at\s+|a las\s+)?({NUMBER}(?:[:\s]+{NUMBER})*)"
    r"\W*(?:gal\w*)?\W*$",
    re.IGNORECASE,
)
VALUES = re.compile(rf"({NUMBER}(?:[\s,/]+(?:and\s+|y\s+)?{NUMBER})*)\s*%?\W*$")
CLOCK = re.compile(r"\b(\d{1,2})[:.](\d{2})\b")
KINDS = (
    ("ph", re.compile(r"\bph\b", re.IGNORECASE)),
    ("moisture", re.compile(r"\b(?:readings?|moisture|lecturas?|humedad)\b", re.IGNORECASE)),
    ("mixed", re.compile(r"\b(?:batch|mix|oil|mezcla|lote|tanda|aceite)\b", re.IGNORECASE)),
)
DAY_LAST = re.compile(
    r"\b(?:on|el)\s+\w+\s*$|\b\w*day\s*$|\b(?:ayer|lunes|martes|mi[eé]rcoles|jueves|viernes)\s*$", re.IGNORECASE
)
WHOSE = re.compile(
    r"\b([^\W\d_]+)['’]s\s+\w+|\b(?:lectura|mezcla|humedad|ph)\s+de\s+([A-ZÁÉÍÓÚÑ][^\W\d_]{2,})"
)


def told(marks: list[Mark], scene: Scene) -> Act | None:
    """The act `correct`, or None where the message puts no fact of before right."""
    text = scene.text.strip()
    oiled = re.match(r"no\b", text, re.IGNORECASE) if any(m.attrs.get("product") == "oil" for m in marks) else None
    wrong, before = WRONG.search(text) or oiled, NOT.search(text)
    if not (wrong or before) or text.endswith("?"):
        return None
    if wrong and "should be" in wrong[0].lower() and not any(m.kind in ("day", "date") for m in marks):
        return None  # "ph on A should be 7" is a wish
    kind = next((name for name, words in KINDS if words.search(text)), None)
    step = next((str(m.attrs["step"]) for m in marks if "step" in m.attrs), None)
    slots: dict[str, Any] | None = None
    if kind == "ph" or kind == "moisture":
        slots = _read(kind, NOT.sub("", text), before)
    elif kind == "mixed":
        slots = _amount(marks, before, text) if not oiled or any(m.kind == "sec" for m in marks) else None
    elif step and before and not before[0].strip().lower().startswith("no "):  # "at 9:30 no 9:40" mends itself
        kind, slots = "step", _clocked(text, before, step)
    if slots is None or not _placed(kind, marks, scene, bool(wrong), bool(before)):
        return None
    return Act("correct", {"kind": kind, **slots, **_where(marks, scene)})


def _placed(kind: str | None, marks: list[Mark], scene: Scene, wrong: bool, denied: bool) -> bool:
    """Whether it is of something before: a day, a word of wrong, a batch by its order, or two clocks."""
    dated = any(m.kind in ("day", "date") or "ordinal" in m.attrs for m in marks)
    return (
        kind == "step"
        or dated
        or wrong
        or (denied and kind == "mixed" and any(m.kind == "sec" for m in marks))
    )


def _read(kind: str, text: str, before: re.Match[str] | None) -> dict[str, Any] | None:
    body = DAY_LAST.sub("", text.strip())
    found = VALUES.search(body.strip())
    if found is None:
        return None
    values = [number(float(x)) for x in re.findall(NUMBER, found[1])]
    was = {"was": [number(float(x)) for x in re.findall(NUMBER, before[1])]} if before else {}
    if kind == "ph":
        return {"value": values[-1], **was} if 0 <= values[-1] <= 14 else None
    return {"readings": values, **was} if all(2 <= v <= 75 for v in values) else None


def _amount(marks: list[Mark], before: re.Match[str] | None, text: str) -> dict[str, Any] | None:
    volume = next((m for m in marks if m.kind == "vol"), None)
    if volume is None:
        return None
    was = {"was": [number(float(before[1]))]} if before and re.fullmatch(NUMBER, before[1]) else {}
    first = re.findall(NUMBER, text[: before.start()]) if before else []
    value = float(first[-1]) if first else volume.value[0]  # "3 gal, no 2" means the 3
    return {"volume": measure((value, volume.value[1])), **was}


def _clocked(text: str, before: re.Match[str], step: str) -> dict[str, Any] | None:
    clocks = [(int(h), int(m)) for h, m in CLOCK.findall(text)]
    if len(clocks) != 2 or any(h > 23 or m > 59 for h, m in clocks):
        return None
    return {
        "step": step,
        "clock": "{:02d}:{:02d}".format(*clocks[0]),
        "was_clock": "{:02d}:{:02d}".format(*clocks[1]),
    }


def _where(marks: list[Mark], scene: Scene) -> dict[str, Any]:
    """Section, day, order and person, as far as told."""
    names = [n for m in marks if m.kind == "sec" for n in m.value if n not in "*+"]
    day = next((m for m in marks if m.kind in ("day", "date")), None)
    order = next((int(m.attrs["ordinal"]) for m in marks if "ordinal" in m.attrs), None)
    whose = WHOSE.search(scene.text)
    return {
        **({"sections": list(dict.fromkeys(names))} if names else {}),
        **({"day": moments.past_day(day.value, scene.now.date()).isoformat()} if day else {}),
        **({"number": order} if order is not None else {}),
        **({"person": whose[1] or whose[2]} if whose else {}),
    }
