"""Cuts a message into tokens: lower case, no accents, glued numbers and units parted, spans kept."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from bot.understand.marks import Token

FRACTIONS = {"½": 1 / 2, "¼": 1 / 4, "¾": 3 / 4, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 1 / 8, "⅜": 3 / 8, "⅝": 5 / 8, "⅞": 7 / 8}
UNI = "".join(FRACTIONS)
PIECES = re.compile(
    rf"""
    (?P<clock>\d{{1,2}}(?:\s?:\s?|;)\d{{2}}(?!\d))
  | (?P<mixed>\d{{1,3}}(?:\s+|-)[1-9]/(?:2|3|4|8|16)(?![\d/]))
  | (?P<ratio>(?<![\d/])\d{{1,2}}/\d{{1,2}}(?![\d/]))
  | (?P<uni>\d*\s?[{UNI}])
  | (?P<thousand>\d{{1,3}},\d{{3}}(?![\d,]))
  | (?P<cents>(?<![\d,])\d+,\d\d(?=\s?(?:€|\$|euros?\b|d[oó]lares\b|pesos\b|usd\b))|(?<=por\ )\d+,\d\d(?!\d|,\d))
  | (?P<comma>(?<![\d,])(?:\d{{1,2}},\d|\d,\d\d|\d{{2}},[257][05])(?!\d|,\d))
  | (?P<num>\d+\.\d+(?!\d|\.\d)|(?<![\w.])\.\d+|\d+)
  | (?P<with>[wW]/(?=[^o]))
  | (?P<place>(?<![^\W_])(?![xX]|[mM]2\b|[hH]2[oO])[A-Za-z]\d{{1,2}}(?![^\W_]))
  | (?P<behind>(?<=[a-z][a-z])[A-H]\d(?![^\W_]))
  | (?P<stuck>(?<![^\W_])[A-HJ-NP-WYZ]\d(?=[a-z]{{4}})(?!gal|min|lbs|feet|pies|hrs|hour))
  | (?P<square>(?:m|ft|pies)[2²](?!\w))
  | (?P<lead>(?:[^\W\d_]{{3,}}|(?<![^\W_])[a-z]{{2}})(?=[A-H]\d(?![^\W_])))
  | (?P<word>[^\W\d_]+(?:['’´`][^\W\d_]+)*)
  | (?P<sign>\n|[^\s])
    """,
    re.VERBOSE,
)
OWNING = {"today", "yesterday", "tomorrow", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"}
ASKING = {"what", "where", "when", "why", "who", "how"}  # "what'd we do": did
TAILS = {"s": "is", "m": "am", "re": "are", "ve": "have", "ll": "will", "d": "would"}


@lru_cache(maxsize=20000)
def plain(word: str) -> str:
    """Lower case without accents: "Sección" is "seccion"."""
    if word.isascii():
        return word.lower()
    parts = unicodedata.normalize("NFD", word.lower())
    return "".join(c for c in parts if not unicodedata.combining(c))


def cut(text: str) -> list[Token]:
    """The tokens of a message in order; never raises."""
    tokens: list[Token] = []
    text = text.replace("º", "°")
    for match in PIECES.finditer(text):
        kind, raw, start, end = match.lastgroup or "sign", match.group(), match.start(), match.end()
        glued = bool(tokens) and tokens[-1].end == start
        if kind in ("word", "square", "lead"):
            tokens += _word(raw, start, end, glued)
        elif kind == "with":
            tokens.append(Token(raw, "with", start, end))
        elif kind == "sign":
            if raw != "." or not _abbreviated(text, tokens, end):
                tokens.append(Token(raw, plain(raw), start, end, "sign", glued=glued))
        elif kind in ("place", "stuck", "behind"):
            tokens.append(Token(raw, raw.upper(), start, end, "place", glued=glued))
        elif kind == "clock":
            tokens.append(Token(raw, raw.replace(" ", "").replace(";", ":"), start, end, "clock", glued=glued))
        else:
            tokens.append(_number(kind, raw, start, end, glued))
    return tokens


ANEW = re.compile(r"(?:how|what|when|who|where|is|are|can|could|did|do|does|should|start\w*|now|then|i|we|need|ok|cuanto|que|"
    r"cuando|ya|ahora|empez\w+|dame)\b")
SHORT = {"fl", "oz", "sq", "ft", "gal", "gals", "min", "mins", "hr", "hrs", "lb", "lbs", "qt", "qts", "pt", "deg", "temp",
    "approx", "sec", "secs", "in", "pulg", "cm", "hum", "avg", "sect"}  # fmt: skip


def _abbreviated(text: str, tokens: list[Token], end: int) -> bool:
    """Whether a full stop only shortens a word ("12 fl. oz. of gel"): the sentence goes on behind it."""
    last = tokens[-1] if tokens else None
    if last is None or last.word not in SHORT or last.end != end - 1:
        return False
    ahead = text[end:].lstrip(" ")
    if ANEW.match(ahead):
        return False  # "let go in 12 min. how much for A"
    return bool(ahead) and (ahead[0].islower() or ahead[0] in ",;:)" or (ahead[0].isdigit() and last.word in ("approx",
        "temp", "sec", "sect", "hum", "avg")))


def _number(kind: str, raw: str, start: int, end: int, glued: bool) -> Token:
    if kind == "uni":
        whole = raw[:-1].strip()
        value = (int(whole) if whole else 0) + FRACTIONS[raw[-1]]
    elif kind == "mixed":
        whole, part = re.split(r"\s+|-", raw, maxsplit=1)
        value = int(whole) + _ratio(part)
    elif kind == "ratio":
        value = _ratio(raw)
    elif kind == "thousand":
        value = float(raw.replace(",", ""))
    else:
        value = float(raw.replace(",", "."))
    return Token(raw, raw, start, end, "num", value, glued)


def _ratio(raw: str) -> float:
    above, below = raw.split("/")
    return int(above) / int(below) if int(below) else 0.0


def _word(raw: str, start: int, end: int, glued: bool) -> list[Token]:
    """One word, or two where an apostrophe joins them ("it's"; "don't" stays one)."""
    raw = raw.replace("²", "2")
    head, *tail = re.split("['’´`]", raw)
    if not tail:
        return [Token(raw, plain(raw), start, end, glued=glued)]
    joined = plain(head + "".join(tail))
    if plain(head) in OWNING and plain(tail[0]) == "s":
        return [Token(raw, plain(head), start, end, glued=glued)]  # "yesterday's log": the day, and nothing is asked
    if plain(tail[0]) in TAILS and len(tail) == 1:
        middle = start + len(head)
        first = Token(head, plain(head), start, middle, glued=glued)
        second = "did" if plain(head) in ASKING and plain(tail[0]) == "d" else TAILS[plain(tail[0])]
        return [first, Token(raw[len(head):], second, middle, end, glued=True)]
    return [Token(raw, joined, start, end, glued=glued)]
