"""Parts of one, told before a unit or behind a number: halves, quarters, decimals, dozens."""

from __future__ import annotations

from collections.abc import Callable

from bot.understand.marks import Token, spelled_at
from bot.understand.number_words import ONE, PARTS, SHARES, SOUNDS_LIKE, TENS, UNITS

ANDS = ("and", "n", "&")
FULL_STOPS = ("point", "punto")


def part(tokens: list[Token], at: int, is_unit: Callable[[str], bool]) -> tuple[float, int]:
    """ "half a gallon", "medio galon", "a third of a cup", "half a dozen": a part before a unit; none is (0, 0)."""
    used = 1
    while spelled_at(tokens, at + used) in ("of", "de", *ONE) and used < 3:
        used += 1
    after = spelled_at(tokens, at + used)
    if after in ("dozen", "docena") and PARTS[tokens[at].word] == 0.5:
        return 6, used + 1
    return (PARTS[tokens[at].word], used) if is_unit(after) and after not in ("c", "f") else (0, 0)


def behind(
    tokens: list[Token], at: int, value: float, used: int, is_unit: Callable[[str], bool]
) -> tuple[float, int]:
    """The number with what follows it: "and a half", "y tres cuartos", "point two five", "quarters of a gallon"."""
    end = at + used
    first = spelled_at(tokens, end)
    if first in ("dozen", "docenas") and value < 12 and value == int(value):
        return value * 12, used + 1
    if first in (*FULL_STOPS, "coma"):
        digits, more = decimals(tokens, end + 1, first, is_unit)
        return (float(f"{int(value)}.{digits}"), used + 1 + more) if digits and value == int(value) else (value, used)
    if first in SHARES and (shared := _shares(tokens, end, value, is_unit)):
        return shared[0], used + shared[1]
    if value != int(value):
        return value, used
    added, more = _added(tokens, end, tokens[at].kind == "word", is_unit)
    return value + added, used + more


def decimals(tokens: list[Token], at: int, sign: str, is_unit: Callable[[str], bool]) -> tuple[str, int]:
    """The digits told behind "point"; behind "coma", which parts lists too, one digit or what a unit follows."""
    digits, end = "", at
    while end < len(tokens) and len(digits) < 3:
        token = tokens[end]
        if token.kind == "num" and not digits and token.raw.isdigit() and len(token.raw) < 3:
            return token.raw, 1
        if token.kind != "word" or token.word not in UNITS:
            break
        digits, end = digits + str(UNITS[token.word]), end + 1
    if not digits and sign == "point" and (heard := SOUNDS_LIKE.get(spelled_at(tokens, at))):
        return str(heard), 1  # "seven point too"
    if not digits and spelled_at(tokens, at) in TENS:
        skip = 1 if spelled_at(tokens, at + 1) in ("y", "-") else 0
        low = UNITS.get(spelled_at(tokens, at + 1 + skip), 0)
        digits, end = str(TENS[tokens[at].word] + low), at + (2 + skip if low else 1)
    if len(digits) > 1 and sign == "coma" and not is_unit(spelled_at(tokens, end)):
        return ("", 0) if tokens[at].word in TENS else (digits[0], 1)
    return digits, end - at


def _shares(tokens: list[Token], end: int, value: float, is_unit: Callable[[str], bool]) -> tuple[float, int] | None:
    """ "3 quarters of a gallon", "tres cuartos de galon": the value and the words used; a unit must follow.

    Behind a number, "cuartos" alone may be quarts, and a "quarter" alone may be a coin.
    """
    skip = 1
    if spelled_at(tokens, end + skip) in ("of", "de"):
        skip += 1
        skip += 1 if spelled_at(tokens, end + skip) in (*ONE, "the", "la", "el") else 0
    below = SHARES[tokens[end].word]
    fits = is_unit(spelled_at(tokens, end + skip)) and value < below and value == int(value)
    return (value / below, skip) if fits else None


def _added(tokens: list[Token], end: int, spoken: bool, is_unit: Callable[[str], bool]) -> tuple[float, int]:
    """What "and a half", "y medio", "y tres cuartos", "and 1/2" behind a whole number add; nothing is (0, 0)."""
    first, second, third = (spelled_at(tokens, end + n) for n in range(3))
    ahead = tokens[end + 1] if end + 1 < len(tokens) else None
    if spoken and end < len(tokens) and tokens[end].kind == "num" and "/" in tokens[end].raw:  # two 1/2
        return tokens[end].value or 0, 1
    if first not in (*ANDS, "y", "&") or ahead is None:
        return 0, 0
    if ahead.kind == "num" and "/" in ahead.raw and (ahead.value or 0) < 1:
        return ahead.value or 0, 2
    one = second in ("a", "one", "un", "una") or ahead.raw == "1"
    name = third if one else second
    follows = spelled_at(tokens, end + (3 if one else 2))
    firm = name in ("half", "quarter") if first != "y" else name in ("medio", "media", "cuarto")
    bare = one or first == "y"
    if name in PARTS and ((firm and bare) or is_unit(follows)) and not (name == "cuarto" and is_unit(follows) and one):
        return PARTS[name], 3 if one else 2
    count = ahead.value if ahead.kind == "num" else UNITS.get(second)
    if third in SHARES and count and count < SHARES[third] and (third.endswith("s") or is_unit(spelled_at(tokens, end + 3))):
        return count / SHARES[third], 3
    return 0, 0
