"""One way to say a word of the lexicon, its spellings and the keys that rules look for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

PARTICLES = ("on", "off", "down", "up", "out", "away", "over", "in", "wet", "damp", "moist")
STATES = ("is", "are", "was", "all", "now", "gone", "going", "goes", "went", "half", "starting", "jumped",
    "moving", "we", "i", "im")  # fmt: skip
LETS_GO = ("off", "up", "go", "loose", "away")
HOW = ("right", "clean", "all", "straight", "easy", "just", "nicely", "plumb")
VERBAL = ("do", "did", "ing", "e", "o")
CONTRACTED = {
    "im": "i am", "were": "we are", "its": "it is", "thats": "that is", "whats": "what is", "hows": "how is",
    "theres": "there is", "wheres": "where is", "weve": "we have", "ive": "i have", "hes": "he is", "whos": "who is",
    "whens": "when is", "suns": "sun is", "rains": "rain is", "youre": "you are", "theyre": "they are",
    "ill": "i will", "well": "we will",
}  # fmt: skip
BOTH_WAYS = {**CONTRACTED, **{full: short for short, full in CONTRACTED.items()}}
DENIED = {  # at the head of a phrase, one denial stands for another; "aint" is written isnt before it is looked up
    "isnt": ("is not", "arent", "are not", "wasnt", "was not"), "didnt": ("did not", "isnt", "never"),
    "hasnt": ("has not", "havent", "have not", "isnt"), "wont": ("will not", "wouldnt", "dont wanna", "doesnt want to"),
    "doesnt": ("does not", "dont", "do not"),
}  # fmt: skip
FIRST = {form.split()[0] for form in BOTH_WAYS}


class Phrase(NamedTuple):
    """One way to say a word of the lexicon; `gap`: its last word may stand a few words later ("hosed B down")."""

    words: tuple[str, ...]
    name: str
    form: str
    language: str
    keys: frozenset[str]
    attrs: dict[str, str]
    gap: bool


def keys(name: str, form: str, attrs: dict[str, str]) -> frozenset[str]:
    """What rules may ask of a word: its name, its attributes, each with and without the form."""
    told = "did" if form == "e" else form
    found = {name, f"{name}:{told}", f"{name}:{form}"}
    for k, v in attrs.items():
        found |= {k, f"{k}={v}", f"{k}:{told}", f"{k}={v}:{told}", f"{k}={v}:{form}", f"{k}:{form}"}
    if form in VERBAL or "result" in attrs or "predicate" in attrs:
        found.add("predicate")
    return frozenset(found)


def parts(last: str, form: str, first: str = "") -> bool:
    """Whether a two-word verb may be parted by its object; "is down" is none."""
    return last in PARTICLES and form in ("do", "did", "ing") and first not in STATES


def spellings(text: str, language: str, result: bool = False) -> Iterable[tuple[str, ...]]:
    """The words of a phrase; of English ones also as they are spoken: contractions, "comin off", "aint budging"."""
    words = tuple(text.split())
    if language == "es":
        return (words,)
    ways = dict.fromkeys(_english(text, words))
    if not result:
        return ways
    return dict.fromkeys((*ways, *(spoken for way in ways for spoken in _stressed(way))))


def _stressed(words: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """ "came right off", "let clean go": how well it lets go stands before the last word."""
    if len(words) == 2 and words[1] in LETS_GO:
        yield from ((words[0], how, words[1]) for how in HOW)


def _english(text: str, words: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    yield words
    yield from _spoken(words)
    for denial in DENIED.get(words[0], ()) if len(words) > 1 else ():
        denied = (*denial.split(), *words[1:])
        yield denied
        yield from _spoken(denied)
    if len(words) < 2 or FIRST.isdisjoint(words):
        return
    padded = f" {text} "
    for one, other in BOTH_WAYS.items():
        if f" {one} " in padded and text != one:
            yield tuple(padded.replace(f" {one} ", f" {other} ").split())


def _spoken(words: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """The same words with the g dropped."""
    if any(w.endswith("ing") and len(w) > 4 for w in words):
        yield tuple(w[:-1] if w.endswith("ing") and len(w) > 4 else w for w in words)
