"""Cries of injury by their words: the patterns of cries.toml over a message whose slips are mended.

It needs no grammar, no lexicon and no store, so that it works when all else fails to parse.
"""

from __future__ import annotations

import re
import tomllib
import unicodedata
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path

BETWEEN = r"(?:\w+ ){0,3}?"  # what a "~" of a pattern lets stand between
SHORTEST = 5  # letters from which a slip is mended


@dataclass(frozen=True)
class Rule:
    """What one kind of injury sounds like, and what only sounds like it, as patterns."""

    kind: str
    cry: str
    unless: str


def plain(text: str) -> str:
    """Lower case, no accents, no signs, single spaces."""
    bare = "".join(c for c in unicodedata.normalize("NFD", text.lower()) if not unicodedata.combining(c))
    return " ".join(re.findall(r"[a-z0-9]+", bare.replace("'", "").replace("’", "")))


def near(word: str, other: str) -> bool:
    """At most one slip apart: a letter more, less, wrong, or two swapped; short words must be exact."""
    if word == other:
        return True
    if len(other) < SHORTEST or abs(len(word) - len(other)) > 1 or word[0] != other[0]:
        return False
    start = next((i for i, (a, b) in enumerate(zip(word, other, strict=False)) if a != b), min(len(word), len(other)))
    one, two = word[start:], other[start:]
    return one[1:] == two or one == two[1:] or one[1:] == two[1:] or (one[:2] == two[1::-1] and one[2:] == two[2:])


def _read() -> tuple[tuple[Rule, ...], dict[str, list[str]], frozenset[str], frozenset[str]]:
    """The rules; the words to mend to, by first letter; the words never mended; the words that may cry."""
    table = tomllib.loads(Path(__file__).with_name("cries.toml").read_text(encoding="utf-8"))
    groups = table["groups"]
    rules = []
    telling: set[str] = set()
    for rule in table["rules"]:
        full = [re.sub(r"\{([a-z]+)\}", lambda m: f"(?:{groups[m[1]]})", p.replace("~",
        BETWEEN)) for p in rule["any"]]
        telling |= {w for p in full for w in re.findall(r"[a-z]+|\d{3}", re.sub(r"\\.", " ", p))}
        rules.append(Rule(rule["kind"], "|".join(full), rule.get("unless", "")))
    words = " ".join(table["mended"].values()).split()
    long: dict[str, list[str]] = {}
    for word in words:
        long.setdefault(word[0], []).append(word)
    known = frozenset(words) | frozenset(table["everyday"]["words"].split())
    return tuple(rules), long, known, frozenset(telling) - frozenset(table["common"]["words"].split())


RULES, LONG, KNOWN, TELLING = _read()
# what cries in no telling word: stretched or cut words, and a cry of common ones
STRETCHED = re.compile(r"electrocut|anaphyla|ayuda|auxili|socorr|hee+lp|oww|ow ow|ouu|all over (me|us|him|her)")


@cache
def _whole(pattern: str) -> re.Pattern[str]:
    """A pattern over whole words; made when first looked for, for all of them take a tenth of a second at a start."""
    return re.compile(rf"\b(?:{pattern})\b")


@lru_cache(maxsize=20000)
def _mended(word: str) -> str:
    """A word of the cries for a slip of it; any other word as it is."""
    if len(word) < SHORTEST - 1 or word in KNOWN:
        return word
    return next((w for w in LONG.get(word[0], ()) if near(word, w)), word)


# What may come, what should not, what is over or made up: nobody is hurt now.
SUPPOSED = re.compile(
    r"\b(if|in case|por si|what if|que pasa si|si (te|le|les|se|alguien|un|una|me|nos|hay|ven|sienten|ves)|"
    r"almost|nearly|"
    r"casi|por poco|careful|cuidado|watch out|(can|could|will|would|might|may|does it|do they|does) (\w+ "
    r")?(burn|hurt|cause|"
    r"make|irritate|damage|sting|kill|harm|get)|(dont|do not|never|wont|doesnt|didnt|not) (\w+ )?(get|let|"
    r"breathe|swallow|drink|"
    r"touch|slip|fall|cut|step|inhale|spill|splash|burn|hurt|faint|pass out)|so (it|you|they|he) (doesnt|dont|wont)|"
    r"(pa|para) que no|que no (se|te|les|le)|no (se|te) (vaya|vayan|vayas|caiga|caigan|metan|acerquen)|no dejen|"
    r"no dejes|supposed to|"
    r"training|remember|wear|usen|ponganse|make sure|asegur\w+|evita\w*|avoid|prevent|keep|joking|jk|lol jk|es broma|"
    r"(last|next) (year|summer|week|month)|el ano pasado|la semana pasada|hace (un|dos) anos?|years ago|"
    r"yesterday they said|feelings)\b"
)
NONE_BEFORE = re.compile(
    r"\b((nobody|noone|no one|nadie|didnt|never|nunca|tampoco|without|hasnt|havent|wasnt|arent|ningun|ninguno|"
    r"ninguna|none)"
    r"( \w+){0,3}|no|not|sin|isnt|ni) ?$"
)


def cried(text: str) -> str | None:
    """The kind of the first rule that cries, in any piece of the text or in the whole."""
    pieces = [p for p in (plain(x) for x in re.split(r"[.,;:!?\n]+", text)) if p]
    if len(pieces) != 1:
        pieces.append(" ".join(pieces))
    said = [" ".join(map(_mended, piece.split())) for piece in pieces]
    said = [p for p in said if _may_cry(p) and not SUPPOSED.search(p)]
    return next((rule.kind for rule in RULES for piece in said if _cries(rule, piece)), None) if said else None


def _may_cry(piece: str) -> bool:
    """Whether a word of the rules stands in it: most messages of a day's work need no more reading."""
    return not TELLING.isdisjoint(piece.split()) or bool(STRETCHED.search(piece))


def _cries(rule: Rule, piece: str) -> bool:
    """Whether a rule's cry stands in a piece of plain words, neither denied nor silenced."""
    found = _whole(rule.cry).search(piece)
    if not found or NONE_BEFORE.search(piece[: found.start()]):
        return False
    return not (rule.unless and _whole(rule.unless).search(piece))
