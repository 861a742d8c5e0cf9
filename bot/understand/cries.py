"""Cries of injury by their words: the patterns of cries.toml over a message whose spelling is mended.

It needs no grammar, no lexicon and no store, so that it works when all else fails to parse.
"""

from __future__ import annotations

import re
import tomllib
import unicodedata
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from bot.understand.late import Late

BETWEEN = r"(?:\w+ ){0,3}?"  # what a "~" of a pattern lets stand between
SHORTEST = 5  # letters from which a slip is mended
LONGEST = 60  # letters up to which a word may be several with their blanks left out
PARTS = 7  # words that one without blanks may be
SHORT = 60  # letters up to which a message may be one crying word and who, please and now
REACH = 3  # words between what is spilled and the "on", and between the "on" and the part of the body
INSIDE = ("eye", "swallowed", "breathing")  # what is inside goes before what is outside
APOSTROPHES = str.maketrans("", "", "'’‘`´ʼ′")
SIGNS = str.maketrans({"🆘": " sos "})
WORD = re.compile(r"[a-z0-9]+")
ENDS = re.compile(r"[.,;:!?\n]+")
IN_STOCK = re.compile(r"\bon hand\s*\?|(?<=^gel )on hand\W*$")
UNSEEN = ("Mn", "Me", "Cf")  # accents, enclosing marks, and what is there but has no width


@dataclass(frozen=True)
class Rule:
    """What one kind of injury sounds like, and what only sounds like it, as patterns."""

    kind: str
    cry: str
    unless: str
    words: frozenset[str]
    stems: tuple[str, ...]


def cleared(text: str) -> str:
    """Lower case in plain letters: no accents, nothing unseen between letters, no letters of other shapes."""
    if not text.isascii():
        wide = unicodedata.normalize("NFKD", text.translate(APOSTROPHES).translate(SIGNS))
        text = "".join(c for c in wide if c.isascii() or unicodedata.category(c) not in UNSEEN)
    return text.lower().translate(APOSTROPHES)


def plain(text: str) -> str:
    """Lower case, no accents, no signs, single spaces."""
    return " ".join(WORD.findall(cleared(text)))


def near(word: str, other: str) -> bool:
    """At most one slip apart: a letter more, less, wrong, or two swapped; short words must be exact."""
    if word == other:
        return True
    if len(other) < SHORTEST or abs(len(word) - len(other)) > 1 or word[0] != other[0]:
        return False
    start = next((i for i, (a, b) in enumerate(zip(word, other, strict=False)) if a != b), min(len(word), len(other)))
    one, two = word[start:], other[start:]
    return one[1:] == two or one == two[1:] or one[1:] == two[1:] or (one[:2] == two[1::-1] and one[2:] == two[2:])


TABLE: dict[str, Any] = tomllib.loads(Path(__file__).with_name("cries.toml").read_text(encoding="utf-8"))
GROUPS: dict[str, str] = TABLE["groups"]


def _full(pattern: str) -> str:
    """A pattern of the table with its groups and gaps written out."""
    while "{" in (filled := re.sub(r"\{([a-z]+)\}", lambda m: f"(?:{GROUPS[m[1]]})", pattern)) and filled != pattern:
        pattern = filled
    return filled.replace("~", BETWEEN)


def _rule(kept: dict[str, Any]) -> Rule:
    """A rule with the words and the beginnings of words that stand in it."""
    full = "|".join(map(_full, kept["any"]))
    words = frozenset(re.findall(r"[a-z]+|\d{3}", re.sub(r"\\.", " ", full)))
    stems = tuple(STEM.findall("|".join(kept["any"]).replace(r"\b", "")))
    return Rule(kept["kind"], full, kept.get("unless", ""), words, stems)


STEM = re.compile(r"(?<![a-z\\])([a-z]{3,}?)(?=\\w|\[|\(\?:[a-z]|\+|\{\d|[a-z]\?)")
RULES = tuple(map(_rule, TABLE["rules"]))
SAID = frozenset().union(*(rule.words for rule in RULES))
COMMON = frozenset(TABLE["common"]["words"].split())


def _filled(kept: dict[str, str]) -> tuple[tuple[str, re.Pattern[str]], ...]:
    """One crying word, and who, please and now before and behind."""
    said = {kind: _full(f"(?:{{filler}} )*(?:{words})(?: {{filler}})*") for kind, words in kept.items()}
    return tuple((kind, re.compile(pattern)) for kind, pattern in said.items())


ALONE, FIRM = _filled(TABLE["alone"]), _filled(TABLE["firm"])
CALLED = re.compile(rf"^(?:(?:{GROUPS['lead']}) )+|(?: (?:{GROUPS['trail']}))+$")
MENDED = " ".join(TABLE["mended"].values()).split()
LONG: dict[str, list[str]] = {w[0]: [x for x in MENDED if x[0] == w[0]] for w in MENDED}
EVERYDAY = frozenset(" ".join(TABLE["everyday"].values()).split())
PLACED: dict[str, str] = {w: kind for kind, words in TABLE["placed"].items() for w in words.split()}
COMPOSED = {name: frozenset(words.split()) for name, words in TABLE["composed"].items()}
HARSH = COMPOSED["harsh"] | frozenset(f"{GROUPS['chem']}|{GROUPS['quim']}".split("|"))
ONTO = COMPOSED["into"] | COMPOSED["toward"]
GLUED = frozenset(TABLE["glued"]["small"].split())
CRYING = frozenset(TABLE["glued"]["crying"].split()) | PLACED.keys()
KNOWN = frozenset(MENDED) | EVERYDAY | SAID | CRYING
CRIED = (frozenset(MENDED) | SAID) - EVERYDAY
# how the ear spells Spanish: kayo, zangrando, bomito, ojoz, me alde
EAR = tuple((re.compile(form), as_said) for form, as_said in (
    ("^k", "c"), ("^z", "s"), ("^b", "v"), ("^v", "b"), ("^h", ""), ("k(?=[aou])", "c"), ("k(?=[ei])", "qu"), ("k", "c"),
    ("z$", "s"), ("z", "c"), ("s", "z"), ("y", "ll"), ("l(?=[bcdfgjkmnprstvz])", "r"),
))  # fmt: skip
# a part of a building, a tool, a measure or a coat that has the name of a part of the body
THING = re.compile(rf"\b(?:{'|'.join(map(_full, TABLE['things']['any']))})\b")
NAMED = frozenset(TABLE["things"]["words"].split()) | PLACED.keys()
TALK = Late(rf"\b(?:{'|'.join(map(_full, TABLE['talk']['any']))})(?!\w)")
# what follows is another matter: no pattern reaches across
BARS = frozenset(("then", "so", "luego", "despues", "entonces", "ahi"))
BAR = re.compile(r"\b(?:and then|then|so (?:i|we|he|she|they)|(?:y )?(?:luego|despues|entonces)|y de ahi)\b")
# what cries in no telling word: stretched or cut words, and a cry of common ones
STRETCHED = re.compile(
    r"electrocut|anaphyla|ayuda|auxili|socorr|hee+lp|oww|ow ow|ouu|all over (me|us|him|her)|is down|ca(n|nno)t see|"
    r"on (the )?(ground|floor)"
)


@cache
def _whole(pattern: str) -> re.Pattern[str]:
    """A pattern over whole words; made when first looked for, for all of them take a tenth of a second at a start."""
    return re.compile(rf"\b(?:{pattern})\b")


@lru_cache(maxsize=20000)
def _mended(word: str) -> str:
    """A word of the cries for a slip of it; any other word as it is."""
    if len(word) < SHORTEST - 1 or word in KNOWN:
        return word
    if heard := next((w for form, as_said in EAR if (w := form.sub(as_said, word)) != word and w in CRIED), ""):
        return heard
    return next((w for w in LONG.get(word[0], ()) if near(word, w)), word)


@lru_cache(maxsize=20000)
def _parted(word: str) -> str:
    """Words of the cries for one that is several without their blanks, or one of them stretched; any other as it is."""
    if len(word) < SHORTEST or len(word) > LONGEST or word in KNOWN:
        return word
    held = re.sub(r"(.)\1{2,}", r"\1", word)
    if held != word and held in CRYING and held not in ("help", "ayuda"):  # one bare word is the menu's
        return held
    if _mended(word) != word:
        return word
    best: list[tuple[str, ...] | None] = [(), *[None] * len(word)]
    for end in range(1, len(word) + 1):
        for start in range(max(0, end - 13), end - 1 if end > 1 else end):
            before, piece = best[start], word[start:end]
            if before is None or len(before) >= PARTS or (end == 1 and piece != "i") or not _joins(piece, end == len(word)):
                continue
            found, held_best = (*before, piece), best[end]
            if held_best is None or len(found) < len(held_best):
                best[end] = found
    whole = best[-1]
    return " ".join(map(_mended, whole)) if whole and any(_mended(w) in CRYING for w in whole) else word


def _joins(piece: str, last: bool) -> bool:
    """Whether a piece of a word may be a word of a cry; the last one may have a slip."""
    return piece in CRYING or piece in GLUED or (last and len(piece) > SHORTEST and _mended(piece) in CRYING)


def told(text: str) -> list[str]:
    """The pieces of a message between its signs, in plain words: blanks put back, what only sounds like a body taken out."""
    pieces = [" ".join(map(_parted, WORD.findall(p))) for p in ENDS.split(_stocked(cleared(text)))]
    return [_taken_out(p) for p in pieces if p]


def _stocked(text: str) -> str:
    """ "stripper on hand?" asks for the stock: the sign tells it from a cry."""
    return IN_STOCK.sub("in stock ", text) if "hand" in text else text


def _taken_out(piece: str) -> str:
    words = set(piece.split())
    if not BARS.isdisjoint(words):
        piece = BAR.sub("|", piece)
    piece = piece if NAMED.isdisjoint(words) else " ".join(THING.sub("whatnot ", piece).split())
    return TALK.sub("whatnot", piece)


# ---- what may come, what should not, what is over or made up: nobody is hurt now.
SUPPOSED = re.compile(
    r"\b(if|in case|por si|what if|que pasa si|si (te|le|les|se|alguien|un|una|me|nos|hay|ven|sienten|ves)|almost|"
    r"nearly|casi|por poco|careful|cuidado|watch out|(can|could|will|would|might|may|does it|do they|"
    r"does) (\w+ )?(burn|hurt|cause|make|irritate|damage|sting|kill|harm|get)|(dont|do not|never|wont|doesnt|didnt|"
    r"not) (\w+ )?(get|let|breathe|swallow|drink|touch|slip|fall|cut|step|inhale|spill|splash|burn|hurt|faint|"
    r"pass out)|so (it|you|they|he) (doesnt|dont|wont)|(pa|para) que no|que no (se|te|les|le)|no (se|te) (vaya|"
    r"vayan|vayas|caiga|caigan|metan|acerquen)|no dejen|no dejes|supposed to|training|remember|wear|usen|ponganse|"
    r"make sure|asegur\w+|evita\w*|avoid|prevent|keep|joking|jk|lol jk|es broma|(last|next) (year|summer|week|"
    r"month)|el ano pasado|la semana pasada|hace (un|dos) anos?|years ago|yesterday they said|feelings)\b"
)
NONE_BEFORE = re.compile(
    r"\b((nobody|noone|no one|nadie|didnt|never|nunca|tampoco|without|hasnt|havent|wasnt|arent|ningun|ninguno|ninguna|none)"
    r"( \w+){0,3}|no|not|sin|isnt|ni) ?$"
)


def cried(pieces: list[str]) -> str | None:
    """The kind of the first rule that cries, in any piece of a message or in the whole."""
    whole = " ".join(" ".join(map(_mended, piece.split())) for piece in pieces)
    said = [" ".join(map(_mended, p.split())) for piece in pieces for p in piece.split("|") if p.strip()]
    said = said if len(said) == 1 else [*said, whole]
    apt = [(p, rules) for p in said if (rules := _apt(p)) and not SUPPOSED.search(p)]
    apt += [(core, rules) for p, rules in apt if (core := CALLED.sub("", p)) != p]
    by_rule = (rule.kind for n, rule in enumerate(RULES) for p, rules in apt if n in rules and _cries(rule, p))
    by_parts = (kind for p in said if (kind := composed(p)) and not SUPPOSED.search(p))
    alone = (kind for p in said if len(p) <= SHORT for kind in _alone(p, ALONE if p == whole else FIRM))
    ruled, parts = next(by_rule, None), next(by_parts, None)
    if parts in INSIDE and ruled in ("skin", "other"):
        return parts
    return ruled or parts or next(alone, None)


@lru_cache(maxsize=20000)
def _rules_of(word: str) -> frozenset[int]:
    """Which rules a word may make cry: no rule is tried on words that none of its patterns holds."""
    if word in COMMON:
        return frozenset()
    return frozenset(n for n, rule in enumerate(RULES) if word in rule.words or word.startswith(rule.stems))


def _apt(piece: str) -> frozenset[int]:
    """The rules worth trying on a piece: most messages of a day's work have none."""
    if STRETCHED.search(piece):
        return frozenset(range(len(RULES)))
    return frozenset().union(*map(_rules_of, piece.split()))


def _cries(rule: Rule, piece: str) -> bool:
    """Whether a rule's cry stands in a piece of plain words, neither denied nor silenced."""
    found = _whole(rule.cry).search(piece)
    if not found or NONE_BEFORE.search(piece[: found.start()]):
        return False
    return not (rule.unless and _whole(rule.unless).search(piece))


def _alone(piece: str, kept: tuple[tuple[str, re.Pattern[str]], ...]) -> list[str]:
    return [kind for kind, pattern in kept if pattern.fullmatch(piece)]


def composed(piece: str) -> str | None:
    """A chemical in, on or over a part of the body, in either order, with or without articles: the part tells the kind."""
    words = piece.split()
    if PLACED.keys().isdisjoint(words):
        return "skin" if _on_somebody(words) else None
    hit = {w for i, w in enumerate(words) if w in PLACED and (_landed(words, i) or _covered(words, i))}
    breathed = frozenset() if COMPOSED["airborne"].isdisjoint(words) else COMPOSED["airways"]
    kinds = {"breathing" if w in breathed else PLACED[w] for w in hit}
    return next((kind for kind in (*INSIDE, "skin") if kind in kinds), None)


def _on_somebody(words: list[str]) -> bool:
    """ "acid all over luis", "acido en luis": somebody all told, and nothing of theirs (luis side)."""
    for at in range(2, len(words)):
        if words[at] in COMPOSED["somebody"] and words[at - 1] in COMPOSED["onto"]:
            last = at == len(words) - 1 or words[at + 1] in COMPOSED["after"]
            near_by = words[max(0, at - 3) : at - 1]
            if last and not HARSH.isdisjoint(near_by) and "is" not in near_by and _undenied(words[: at - 1]):
                return True
    return False


def _landed(words: list[str], part: int) -> bool:
    """ "acid in the left eye", "decapante en cara": whose and which, then the preposition, then what is spilled."""
    at, owned, named = part - 1, False, False
    while at > 0 and part - at <= REACH and words[at] not in ONTO:
        if words[at] not in COMPOSED["whose"]:
            if named or words[at] in COMPOSED["built"] or words[at] in HARSH or not words[at].isalpha():
                return False
            named = True  # a name, which is in no list
        owned |= named or words[at] in COMPOSED["owners"]
        at -= 1
    if at < 1 or words[at] not in ONTO or (words[at] in COMPOSED["toward"] and not owned):
        return False
    before, kind = words[max(0, at - REACH) : at], PLACED[words[part]]
    if kind == "skin" and not owned and not COMPOSED["working"].isdisjoint(words[:at]):
        return False  # "brush acid on the face": of a board
    return _spilled(before, kind) and _undenied(words[:at])


def _covered(words: list[str], part: int) -> bool:
    """ "face full of stripper", "mano con acido", "hand got acid on it": the part, what befell it, what is spilled."""
    behind = words[part + 1 : part + 2 + REACH]
    befell = next((i for i, w in enumerate(behind[:2]) if w in COMPOSED["befell"]), None)
    return befell is not None and not HARSH.isdisjoint(behind[befell + 1 :]) and _undenied(words[:part])


def _spilled(before: list[str], kind: str) -> bool:
    """Whether something harsh stands there; in an eye anything is, in a mouth whatever got there."""
    before = before[len(before) - before[::-1].index("|") :] if "|" in before else before
    if kind == "eye":
        return bool(before) and COMPOSED["harmless"].isdisjoint(before)
    if not HARSH.isdisjoint(before):
        return True
    loose = not COMPOSED["loose"].isdisjoint(before)
    return loose and (kind != "skin" or not COMPOSED["spilling"].isdisjoint(before))


def _undenied(before: list[str]) -> bool:
    return not NONE_BEFORE.search(" ".join(before)) and COMPOSED["denied"].isdisjoint(before[-4:])
