"""Finds typed quantities: volumes, weights, lengths, sizes, temperatures, rates, money, minutes."""

from __future__ import annotations

from bot.understand import packs
from bot.understand.marks import Mark, Token, overlaps, spelled_at
from bot.understand.number_words import PARTS, SHARES
from bot.understand.tidy import FRACTIONS
from bot.understand.units import KINDS, SMALLER, UNITS

PER = ("a", "per", "por", "an", "each", "el", "al", "la", "the", "/", "x", "every", "cada", "to")
SECONDS = {"s": 1, "min": 60, "h": 3600}


MORE = {"more", "mas", "extra", "additional", "full", "whole", "fresh"}


def is_unit(word: str) -> bool:
    """Whether a word is a unit when a number stands before it."""
    return word in UNITS


def find(tokens: list[Token], taken: list[bool]) -> list[Mark]:
    """All typed quantities; bare numbers are left for others."""
    marks: list[Mark] = []
    at = 0
    while at < len(tokens):
        mark = _at(tokens, at) if not taken[at] else None
        if mark and not overlaps(taken, mark.start, mark.end):
            marks.append(mark)
            taken[mark.start : mark.end] = [True] * (mark.end - mark.start)
            at = mark.end
        else:
            at += 1
    marks = _joined(marks, tokens)
    if any(m.kind == "vol" for m in marks):
        marks = [_with_seconds(m, tokens, taken) for m in marks]
    return packs.joined(marks, tokens, taken)


def _with_seconds(mark: Mark, tokens: list[Token], taken: list[bool]) -> Mark:
    """ "5 gallons in a minute ten": of a volume that flows, the bare number behind the minutes is seconds."""
    at = mark.end + (spelled_at(tokens, mark.end) in ("con", "and", "y", "with"))
    if mark.kind != "dur" or mark.value[1] != "min" or not _num(tokens, at) or taken[at]:
        return mark
    more = tokens[at].value or 0
    onward = at > mark.end and spelled_at(tokens, at + 1) in ("en", "to")
    ends = at + 1 == len(tokens) or tokens[at + 1].kind == "sign" or onward
    if not 10 <= more < 60 or not ends:
        return mark
    taken[mark.end : at + 1] = [True] * (at + 1 - mark.end)
    return Mark("dur", (mark.value[0] * 60 + more, "s"), mark.start, at + 1)


def _at(tokens: list[Token], at: int) -> Mark | None:
    token = tokens[at]
    if token.kind == "sign" and token.word in "$€£" and at + 1 < len(tokens) and tokens[at + 1].kind == "num":
        return Mark("money", tokens[at + 1].value, at, at + 2)
    if token.kind == "word" and token.word in UNITS and at and not _num(tokens, at - 1):
        unit, (more, used) = UNITS[token.word], _more(tokens, at + 1)  # "gallon and a half" with no number before it
        if used > 1 and (KINDS[unit] in ("vol", "mass") or unit in ("h", "min")):
            return Mark(KINDS[unit], (1 + more, unit), at, at + 1 + used)
    if token.word in STILL and (end := _still(tokens, at)):
        return Mark("speed", (0, "mph"), at, end)
    if token.kind == "clock" and at > 1 and spelled_at(tokens, at - 1) in ("in", "en") and _filled(tokens, at):
        minutes, seconds = token.word.split(":")
        return Mark("dur", (int(minutes) * 60 + int(seconds), "s"), at, at + 1)
    if token.kind != "num" or token.value is None:
        return None
    more = spelled_at(tokens, at + 1) in MORE and KINDS.get(UNITS.get(spelled_at(tokens, at + 2), "")) in ("vol", "mass")
    unit, end = _unit(tokens, at + 1 + more)  # "3 more gal"
    if not unit:
        return _signed_behind(tokens, at) or _bare_coverage(tokens, at)
    value = token.value
    if KINDS[unit] in ("vol", "mass", "dur", "len") and value == int(value):
        more, used = _more(tokens, end)
        value, end = value + more, end + used
    if KINDS[unit] == "vol" and end < len(tokens) and (filled := _packs(tokens, value, unit, at, end)):
        return filled
    return _compound(tokens, Mark(KINDS[unit], (value, unit), at, end))


def _filled(tokens: list[Token], at: int) -> bool:
    """Whether a volume stands just before ("5 gal in 1:15" is 75 seconds, no clock)."""
    return any(KINDS.get(UNITS.get(spelled_at(tokens, n), ""), "") == "vol" for n in range(max(0, at - 4), at - 1))


STILL = {"no", "sin", "cero", "zero", "nada"}
WINDS = {"wind", "winds", "breeze", "viento", "vientos", "brisa"}


def _still(tokens: list[Token], at: int) -> int:
    """The index behind "no wind", "sin viento", "no hay viento", "nada de viento"; 0 where it is not said."""
    end = at + 1
    while spelled_at(tokens, end) in ("hay", "de", "hace", "mucho", "much", "real") and end < at + 3:
        end += 1
    sole = not {"mucho", "much", "real"} & {spelled_at(tokens, n) for n in range(at, end)}
    return end + 1 if spelled_at(tokens, end) in WINDS and sole else 0


def _signed_behind(tokens: list[Token], at: int) -> Mark | None:
    """ "74$": the sign of the money behind its number."""
    signed = spelled_at(tokens, at + 1) in ("$", "€", "£") and not _num(tokens, at + 2)
    return Mark("money", tokens[at].value, at, at + 2) if signed else None


def _bare_coverage(tokens: list[Token], at: int) -> Mark | None:
    """ "150 a gallon": square feet, by the size of the number; a `price`, for nobody, where it may be money."""
    value, per, unit = tokens[at].value or 0, spelled_at(tokens, at + 1), UNITS.get(spelled_at(tokens, at + 2), "")
    if per in ("a", "per", "por", "/", "an", "el", "al", "each") and unit == "gal" and 40 <= value <= 600:
        if value < 100 and spelled_at(tokens, at - 1) in ("at", "a", "for", "por"):
            return Mark("price", value, at, at + 3)  # "2 gal of oil at 48 a gallon": money as likely as area
        return Mark("cover", (value, "ft2/gal"), at, at + 3)
    return None


def _num(tokens: list[Token], at: int) -> bool:
    return 0 <= at < len(tokens) and tokens[at].kind == "num"


def _unit(tokens: list[Token], at: int) -> tuple[str, int]:
    """The unit that begins here and the index behind it."""
    word, after = spelled_at(tokens, at), spelled_at(tokens, at + 1)
    if word == "-" and after in UNITS:  # 5-gal
        word, after, at = after, spelled_at(tokens, at + 2), at + 1
    if (word in ("fl", "fluid") and after in ("oz", "ounces", "ounce")) or word == "floz":
        return "floz", at + (1 if word == "floz" else 2)
    if (word in ("square", "sq") and UNITS.get(after) in ("ft", "m")) or after in ("cuadrados", "cuadrado"):
        unit = UNITS.get(after if word in ("square", "sq") else word)
        return ("m2" if unit == "m" else "ft2", at + 2) if unit in ("ft", "m") else ("", at)
    if word in ("miles", "millas", "mi", "mile") and after in ("an", "per", "por", "a", "/", "la"):
        return "mph", at + 3
    if word in ("km", "kilometros") and after in ("/", "por", "per", "an", "la"):
        return "km/h", at + 3
    if word == "%" or (word == "por" and after == "ciento"):
        return "pct", at + (1 if word == "%" else 2)
    if word in ("°", "º"):
        return (UNITS[after], at + 2) if UNITS.get(after) in ("F", "C") else ("deg", at + 1)
    if word == "'" or word in ("’", "′", "´"):
        return "ft", at + 1
    if word in ('"', "”", "″", "“"):
        return "in", at + 1
    return _plain_unit(tokens, at, word, after)


def _plain_unit(tokens: list[Token], at: int, word: str, after: str) -> tuple[str, int]:
    unit = UNITS.get(word, "")
    if word in ("millas", "miles") and any(spelled_at(tokens, n) in WINDS for n in range(max(0, at - 6), at)):
        return "mph", at + 1
    if (unit == "ft" and after in ("lineal", "lineales")) or (word == "linear" and UNITS.get(after) == "ft"):
        return "ft", at + 2
    if unit == "deg":
        return (UNITS[after], at + 2) if UNITS.get(after) in ("F", "C") else (unit, at + 1)
    if unit in ("F", "C") and len(word) == 1:
        return (unit, at + 1) if _is_degree(tokens, at, unit) else ("", at)
    if word == "in" and not _inch(tokens, at):
        return "", at
    if len(word) == 1 and tokens[at].raw in ("G", "M", "S", "H") and not tokens[at].glued:
        return "", at  # a section behind a number
    if word in ("s", "h", "g", "m", "l") and not (tokens[at].glued or tokens[at - 1].end + 1 == tokens[at].start):
        return "", at
    return unit, at + 1 if unit else at


def _is_degree(tokens: list[Token], at: int, unit: str) -> bool:
    """ "26 C" is warm weather; "14 C 15" is a reading and a section."""
    value, glued = tokens[at - 1].value or 0, tokens[at].glued
    low, high = (30, 170) if unit == "F" else (-5, 70)
    if not low <= value <= high:
        return False
    before, after = tokens[at - 2] if at > 1 else None, tokens[at + 1] if at + 1 < len(tokens) else None
    listed = before is not None and (before.kind == "num" or (len(before.word) == 1 and before.raw.isupper()))
    return glued or not (listed or (after is not None and after.kind == "num"))


def _inch(tokens: list[Token], at: int) -> bool:
    """ "36 in" is a length unless a place follows ("14 in the skirt")."""
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    if after is None or after.kind == "num" or tokens[at].glued:
        return True
    return after.kind == "sign" or after.word in (
        "high", "tall", "wide", "long", "deep", "by", "x", "de", "and", "y", "por", "alto", "apart",
    )  # fmt: skip


def _more(tokens: list[Token], at: int) -> tuple[float, int]:
    """What "and a half", "y medio", "1/2", "y tres cuartos" behind a unit add, and the words used; (0, 0) is nothing."""
    first, second, third = (spelled_at(tokens, at + n) for n in range(3))
    if at < len(tokens) and tokens[at].kind == "num" and _below_one(tokens[at]):
        return tokens[at].value or 0, 1
    if first not in ("and", "y", "n", "&"):
        return 0, 0
    if second == "a" and third in ("half", "quarter"):
        return PARTS[third], 3
    if first == "y" and second in ("medio", "media", "cuarto") and third not in ("hora", "galon", "balde"):
        return PARTS[second], 2
    ahead = tokens[at + 1] if at + 1 < len(tokens) else None
    if ahead is None or ahead.kind != "num" or ahead.value is None:
        return 0, 0
    if _below_one(ahead):
        return ahead.value, 2
    return (ahead.value / SHARES[third], 3) if third in SHARES and 0 < ahead.value < SHARES[third] else (0, 0)


def _below_one(token: Token) -> bool:
    return ("/" in token.raw or token.raw in FRACTIONS) and 0 < (token.value or 0) < 1


def _packs(tokens: list[Token], value: float, unit: str, at: int, end: int) -> Mark | None:
    """ "two 5 gal buckets" is ten gallons; "5 gal bucket" is five."""
    word = spelled_at(tokens, end)
    if unit == "bucket" and word in ("of", "de") and _num(tokens, end + 1):
        inner, stop = _unit(tokens, end + 2)
        if KINDS.get(inner) == "vol" and inner != "bucket":
            return Mark("vol", (value * (tokens[end + 1].value or 0), inner), at, stop, attrs={"packs": str(value)})
    if unit == "bucket" or UNITS.get(word) != "bucket":
        return None
    count = tokens[at - 1] if at and tokens[at - 1].kind == "num" else None
    start = at - 1 if count is not None else at
    times = count.value if count is not None and count.value else 1
    return Mark("vol", (value * times, unit), start, end + 1, attrs={"packs": str(times)})


EACH_OF = (("to", "the"), ("to", "each"), ("for", "each"), ("for", "every"), ("por", "cada"), ("to", "every"))


def _per_of(tokens: list[Token], at: int) -> str:
    """ "5 oz of oxalic per gallon": the volume told behind the product; nothing where none is."""
    for skip in range(1, 4):
        if at + skip > len(tokens) or tokens[at + skip - 1].kind != "word" or is_unit(tokens[at + skip - 1].word):
            return ""
        first, second, third = (spelled_at(tokens, at + skip + n) for n in range(3))
        unit = UNITS.get(third if (first, second) in EACH_OF else second if first in ("per", "por") else "", "")
        if KINDS.get(unit) == "vol" and unit != "bucket":
            return unit
    return ""


def _per_several(tokens: list[Token], at: int) -> tuple[tuple[float, str], int] | None:
    """ "por cada 4 litros", "per 4 liters", "for every 2 gal": the volume, and the index behind it."""
    words = [spelled_at(tokens, at), spelled_at(tokens, at + 1)]
    if words[1] not in ("cada", "every", "each") and words[0] != "per":
        return None
    at += 2 if words[1] in ("cada", "every", "each") else 1
    many = tokens[at] if at < len(tokens) else None
    unit = UNITS.get(spelled_at(tokens, at + 1), "")
    if many is None or many.kind != "num" or not many.value or KINDS.get(unit) != "vol":
        return None
    return (many.value, unit), at + 2


def _compound(tokens: list[Token], mark: Mark) -> Mark:
    """A rate or coverage where "per" and a second unit follow."""
    value, unit = mark.value
    per, second = spelled_at(tokens, mark.end), UNITS.get(spelled_at(tokens, mark.end + 1), "")
    end = mark.end + 2
    if per in ("to", "for", "al", "por", "in") and spelled_at(tokens, mark.end + 1) in ("the", "a", "each", "every",
        "cada", "el"):
        per, second, end = "per", UNITS.get(spelled_at(tokens, mark.end + 2), ""), mark.end + 3
    if per in ("por", "per") and spelled_at(tokens, mark.end + 1) in ("cada", "every", "each"):
        second, end = UNITS.get(spelled_at(tokens, mark.end + 2), ""), end + 1
    if mark.kind == "mass" and (behind := _per_of(tokens, mark.end)):
        return Mark("ratio", ((value, unit), (1, behind)), mark.start, mark.end)
    if mark.kind == "mass" and (several := _per_several(tokens, mark.end)):
        return Mark("ratio", ((value, unit), several[0]), mark.start, several[1])
    if per not in PER or not second:
        return mark
    if unit in ("gal", "L") and second == "min":
        return Mark("rate", (value, f"{unit}/min"), mark.start, end)
    if unit in ("ft2", "ft") and second == "gal":
        return Mark("cover", (value, "ft2/gal"), mark.start, end)
    if mark.kind == "mass" and KINDS[second] == "vol":
        return Mark("ratio", ((value, unit), (1, second)), mark.start, end)
    return mark


def _joined(marks: list[Mark], tokens: list[Token]) -> list[Mark]:
    """ "one minute and twenty seconds" is one duration; "12 ft 6 in" one length."""
    out: list[Mark] = []
    for mark in marks:
        last = out[-1] if out else None
        whole = _sum(last, mark, tokens) if last is not None else None
        if whole is not None:
            out[-1] = whole
        else:
            out.append(mark)
    return out


def _sum(last: Mark, mark: Mark, tokens: list[Token]) -> Mark | None:
    """Two marks of one length or duration as one; None where they are two."""
    between = [t.word for t in tokens[last.end : mark.start]]
    if last.kind == "money" and mark.kind == "price" and between in ([], ["and"], ["y"], ["con"]):
        whole = last.value[0] if isinstance(last.value, tuple) else last.value
        return Mark("money", whole + mark.value[0] / 100, last.start, mark.end)  # "36 dollars and 50 cents"
    if last.kind != mark.kind or between not in ([], ["and"], ["y"], ["con"], ["with"]):
        return None
    if last.kind not in ("dur", "len", "mass", "vol"):  # "4 oz/gal 6 oz/gal" are two
        return None
    (more, small), (value, unit) = mark.value, last.value
    parts = SMALLER.get((unit, small), 0)
    if more >= parts or last.attrs or mark.attrs:
        return None
    if mark.kind == "dur":
        return Mark("dur", (value * SECONDS[unit] + more * SECONDS[small], "s"), last.start, mark.end)
    return Mark(mark.kind, (value + more / parts, unit), last.start, mark.end)
