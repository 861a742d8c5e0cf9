"""Finds sizes: "12x16", "14'3 x 11'6", "twelve foot six by ten foot", "22 ft por 36 in de alto"."""

from __future__ import annotations

from bot.understand.marks import Mark, Token, overlaps, spelled_at
from bot.understand.quantities import is_unit
from bot.understand.units import UNITS

BY = ("x", "by", "por", "*", "×", "times")
FEET_SIGNS, INCH_SIGNS = ("'", "’", "′", "´", "`"), ('"', "”", "″", "“")
LONG = ("long", "length", "largo", "wide", "width", "ancho", "high", "tall", "height", "alto", "altura", "deep", "run")
HALVES = (("y", "medio"), ("y", "media"))
COUNTABLE = {"treads", "tread", "risers", "steps", "stairs", "balusters", "spindles", "posts", "escalones",
    "peldanos", "gradas",
             "barrotes", "postes", "escalon"}  # fmt: skip
STEPPED = {"treads", "tread", "risers", "steps", "escalones", "peldanos", "gradas"}  # what a flight of stairs has
LENGTHS = ("ft", "in", "m", "cm", "mm", "ft2", "m2")
AXIS = {
    "long": "length", "length": "length", "largo": "length", "run": "length", "wide": "width", "width": "width",
    "ancho": "width", "deep": "width",
    "larga": "length", "ancha": "width", "alta": "height", "lengthwise": "length", "high": "height", "tall": "height",
    "height": "height", "alto": "height", "altura": "height",
}  # fmt: skip


def find(tokens: list[Token], taken: list[bool]) -> list[Mark]:
    """Marks of kind `dim`: value is a list of (axis or None, value, unit or None)."""
    marks: list[Mark] = []
    at = 0
    while at < len(tokens):
        near = bool(marks) and at - marks[-1].end <= 2
        start = at - 1 if not taken[at - 1] else at
        mark = _size(tokens, at, near, _led_by(tokens, at, start)) if tokens[at].kind == "num" and not taken[at] else None
        if mark and not overlaps(taken, mark.start, mark.end):
            marks.append(mark)
            taken[mark.start : mark.end] = [True] * (mark.end - mark.start)
            at = mark.end
        else:
            at += 1
    return marks


def _size(tokens: list[Token], at: int, near: bool, start: int) -> Mark | None:
    """Two or three lengths joined by a word like "by", or one length with its axis named."""
    sides = [_length(tokens, at)]
    if start < at:
        sides, near = [_named_before(tokens, start, sides[0])], near or _named_ahead(tokens, sides[0][3])
    end = sides[0][3]
    while end < len(tokens) - 1 and tokens[end].word in BY and tokens[end + 1].kind == "num":
        if tokens[end].word == "por" and tokens[end + 1].word == "100":
            break
        if tokens[end].word == "por" and is_unit(spelled_at(tokens, end + 1)):
            break
        sides.append(_length(tokens, end + 1))
        end = sides[-1][3]
    if UNITS.get(spelled_at(tokens, end), "ft") not in LENGTHS and len(spelled_at(tokens, end)) > 1:
        return None  # "4 x 10 lb"
    named = any(side[0] for side in sides)
    ahead = end + (1 if spelled_at(tokens, end) in ("and", "y", ",") else 0)
    near = near or (ahead < len(tokens) and tokens[ahead].kind == "num" and bool(_length(tokens, ahead)[0]))
    if len(sides) < 2 and not (named and (sides[0][2] or near)):
        return None
    units = [side[2] for side in sides]
    if len(sides) > 1 and not all(u in ("ft", "in", "m", "cm", "mm", None) for u in units):
        return None
    shared = next((u for u in reversed(units) if u), None)
    filled = [(axis, value, unit or shared) for axis, value, unit, _ in sides]
    return Mark("dim", filled, start, end)


NAMED = {word: axis for word, axis in AXIS.items() if word not in ("long", "wide", "high", "tall", "deep", "run")}


Side = tuple[str | None, float, str | None, int]


def _named_before(tokens: list[Token], start: int, side: Side) -> Side:
    """The length with the axis told before it; an axis behind it then belongs to the next length."""
    axis, value, unit, end = side
    if axis and end < len(tokens) and tokens[end].kind == "num" and spelled_at(tokens, end - 2) not in ("de", "in"):
        axis, end = None, end - 1
    return axis or NAMED[spelled_at(tokens, start)], value, unit, end


def _named_ahead(tokens: list[Token], end: int) -> bool:
    """Whether another length with its axis before it follows ("length 12 width 10")."""
    skip = 1 if spelled_at(tokens, end) in ("and", "y", ",") else 0
    behind = end + skip + 1
    led = spelled_at(tokens, end + skip) in NAMED or spelled_at(tokens, end - 1) in NAMED
    return led and any(t.kind == "num" for t in tokens[behind - 1 : behind + 1])


def _led_by(tokens: list[Token], at: int, start: int) -> int:
    """Where the axis told before a length stands ("length 41 ft", "ancho de 4 pies"); the length itself if none."""
    if start == at:
        return at
    if spelled_at(tokens, start) in ("of", "de", "is", "es", ":"):
        start -= 1
    return start if start >= 0 and spelled_at(tokens, start) in NAMED else at


def _length(tokens: list[Token], at: int) -> tuple[str | None, float, str | None, int]:
    """(axis, value, unit, index behind) of the length that begins at a number."""
    value, unit, end = tokens[at].value or 0.0, None, at + 1
    word = spelled_at(tokens, end)
    if word in FEET_SIGNS or (UNITS.get(word) == "ft"):
        unit, end = "ft", end + 1
        joined, *behind = (spelled_at(tokens, end + n) for n in range(3))
        half = joined in ("y", "and") and (behind[0] in ("medio", "media") or behind == ["a", "half"])
        value, end = (value + 0.5, end + (2 if joined == "y" else 3)) if half else _inches(tokens, value, end)
    elif word == "-" and _dashed(tokens, end):
        value, unit, end = value + (tokens[end + 1].value or 0) / 12, "ft", end + 2
    elif word in INCH_SIGNS or (UNITS.get(word) in ("in", "m", "cm", "mm") and not _within(tokens, end)):
        unit, end = ("in" if word in INCH_SIGNS else UNITS[word]), end + 1
        if (spelled_at(tokens, end), spelled_at(tokens, end + 1)) in HALVES:
            value, end = value + 0.5, end + 2  # "cuatro metros y medio por tres"
    axis, end = _axis(tokens, end)
    return axis, value, unit, end


def _dashed(tokens: list[Token], at: int) -> bool:
    """ "12-6 by 16": feet and inches with a dash, before or behind a "by"."""
    inches = tokens[at + 1] if at + 1 < len(tokens) else None
    if inches is None or inches.kind != "num" or not (tokens[at].glued and inches.glued) or (inches.value or 0) >= 12:
        return False
    return spelled_at(tokens, at + 2) in BY or spelled_at(tokens, at - 2) in BY


def _within(tokens: list[Token], at: int) -> bool:
    """Whether "in" says how long it took ("12x16 in 10 min"), not inches."""
    return tokens[at].word == "in" and UNITS.get(spelled_at(tokens, at + 2)) in ("min", "h", "s")


def _inches(tokens: list[Token], feet: float, end: int) -> tuple[float, int]:
    """Adds the inches that follow feet ("14'3", "12 ft 6", "12 foot 6 inches")."""
    skip = 1 if spelled_at(tokens, end) in ("and", "y", "con") else 0
    if end + skip >= len(tokens) or tokens[end + skip].kind != "num":
        return feet, end
    inches, after = tokens[end + skip].value or 0.0, spelled_at(tokens, end + skip + 1)
    told = after in INCH_SIGNS or UNITS.get(after) == "in"
    bare = not is_unit(after) and (not skip) and after not in ("%", *FEET_SIGNS)
    if inches < 12 and (told or bare):
        return feet + inches / 12, end + skip + (2 if told else 1)
    return feet, end


def _axis(tokens: list[Token], end: int) -> tuple[str | None, int]:
    """The axis named behind a length: "wide", "de largo", "in length"."""
    skip = 1 if spelled_at(tokens, end) in ("de", "in") and spelled_at(tokens, end + 1) in AXIS else 0
    word = spelled_at(tokens, end + skip)
    return (AXIS[word], end + skip + 1) if word in AXIS else (None, end)
