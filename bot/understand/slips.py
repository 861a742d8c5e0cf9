"""How a word may have become another: a slip of the thumb, a lost vowel, the ear's spelling."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from itertools import groupby
from math import log

from rapidfuzz import process
from rapidfuzz.distance import OSA

SOUNDS = (
    ("h", ""), ("v", "b"), ("ll", "y"), ("qu", "k"), ("q", "k"), ("ce", "se"), ("ci", "si"), ("cy", "sy"), ("z", "s"),
    ("c", "k"), ("gue", "ge"), ("gui", "gi"), ("x", "s"), ("w", "u"), ("np", "mp"), ("nb", "mb"), ("j", "g"),
)  # fmt: skip
KEYS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
VOWELS = frozenset("aeiou")
SWAPPED, DOUBLED, NO_VOWEL, HEARD, ONE_MORE, ONE_LESS, BESIDE, OTHER = 0.5, 0.4, 0.6, 0.4, 0.9, 1.0, 0.8, 1.3


def sound(word: str) -> str:
    """How a word sounds in Spanish, for slips of spelling: rosie and rocie are the same."""
    for letters, instead in SOUNDS:
        if letters in word:
            word = word.replace(letters, instead)
    return "".join(letter for letter, _ in groupby(word))


def bones(word: str) -> str:
    """A word without its vowels, but for a first one, each letter once: what is left where thumbs are in haste."""
    left = word[:1] + "".join(letter for letter in word[1:] if letter not in VOWELS)
    return "".join(letter for letter, _ in groupby(left))


def cost(typed: str, meant: str) -> float:
    """How unlikely it is that `meant` was typed so: about 1 a slip; each kind of slip has its price."""
    if sound(typed) == sound(meant):
        return HEARD
    if len(typed) < len(meant) and _lost(meant, typed) and bones(meant) == bones(typed):
        return NO_VOWEL * max(1, (len(meant) - len(typed)) / 2)
    slips = OSA.distance(typed, meant)
    begun = 0.0 if typed[0] == meant[0] or typed[:2] == meant[1::-1] else 0.5
    if slips != 1:
        return slips * ONE_MORE + begun
    if len(typed) == len(meant):
        if sorted(typed) == sorted(meant):
            return SWAPPED
        one, two = next((a, b) for a, b in zip(typed, meant, strict=True) if a != b)
        if {one, two} == {"l", "r"} and len(typed) > 5:
            return HEARD + begun  # "cubielta", "telmine": one sound in the Caribbean
        return (BESIDE if neighbours(one, two) else OTHER) + begun
    longer, shorter = (typed, meant) if len(typed) > len(meant) else (meant, typed)
    at = next((i for i, letter in enumerate(shorter) if letter != longer[i]), len(shorter))
    if longer[at] in (longer[at - 1 : at] or " "):
        return DOUBLED + begun
    if len(meant) > len(typed):
        return (NO_VOWEL if longer[at] in VOWELS else ONE_MORE) + begun
    return ONE_LESS + begun


def _lost(whole: str, part: str) -> bool:
    """Whether `part` is `whole` with letters left out, none moved."""
    letters = iter(whole)
    return all(letter in letters for letter in part)


def likely(word: str, other: str) -> bool:
    """A swap of two letters, or a wrong letter next to the right one on the keyboard: what short words need."""
    if sorted(word) == sorted(other):
        return True
    return all(a == b or neighbours(a, b) for a, b in zip(word, other, strict=True))


def neighbours(one: str, other: str) -> bool:
    """Whether two letters lie side by side on a keyboard."""
    for row, line in enumerate(KEYS):
        if one in line:
            at = line.index(one)
            near = {near for below in KEYS[max(0, row - 1) : row + 2] for near in below[max(0, at - 1) : at + 2]}
            return other in near
    return False


def same_start(word: str, other: str) -> bool:
    """The first letters agree, or the first two are swapped, or a long word lost or gained one in front."""
    if word[0] == other[0] or word[:2] == other[1::-1]:
        return True
    return len(word) > 7 and (word[1:4] == other[1:4] or word[:4] == other[1:5] or word[1:5] == other[:4])


class Frequent:
    """Frequent words: of two words that may have been meant, the one written oftener is the likelier."""

    LIMITS = ((3, 0.65, 12), (4, 0.9, 4), (5, 1.0, 2), (6, 1.2, 2), (10, 1.9, 2), (99, 2.8, 2))  # length, cost, count

    def __init__(self, often: Mapping[str, int]) -> None:
        self.often = often
        self.by_length: dict[int, list[str]] = defaultdict(list)
        self.others: dict[str, list[str]] = defaultdict(list)  # by sound, by what is left without vowels
        for word in sorted(often):
            self.by_length[len(word)].append(word)
            for key in {sound(word), bones(word)}:
                self.others[key].append(word)

    def closest(self, word: str) -> str | None:
        """The frequent word that was most likely meant; None where none is near enough."""
        limit, least = next((limit, least) for length, limit, least in self.LIMITS if len(word) <= length)
        reach = 1 if len(word) < 6 else 2 if len(word) < 11 else 3
        found = {*self.others.get(sound(word), ()), *self.others.get(bones(word), ())}
        for length in range(len(word) - reach, len(word) + reach + 1):
            near = process.extract(
                word, self.by_length.get(length, ()), scorer=OSA.distance, score_cutoff=reach, limit=12
            )
            found.update(other for other, _, _ in near)
        fits = [(c - 0.1 * log(self.often[w]), w) for w in found if self.often[w] >= least and (c := cost(word, w)) <= limit]
        return min(fits)[1] if fits else None
