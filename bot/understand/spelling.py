"""Mends slips against the lexicon's own words; ordinary words are left alone."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import cached_property
from itertools import pairwise

from rapidfuzz import process
from rapidfuzz.distance import OSA

from bot.understand.marks import Token
from bot.understand.slang import SLANG
from bot.understand.slips import HEARD, ONE_MORE, OTHER, SWAPPED, Frequent, cost, likely, same_start, sound

LITTLE = {"sec", "gal", "min", "mix", "las", "los", "la", "el", "en", "de", "ya", "se", "le", "no", "the", "on",
    "in", "of", "up", "to", "is", "at",
          "por", "con", "del", "and", "for", "ph", "off",
    "not", "dry", "wet", "oil", "done", "una", "que", "all", "eso", "nos", "me", "ala", "enla", "dela", "al", "i", "we",
    "my", "mi", "es"}  # fmt: skip
SMALL = ("ago", "gal", "min", "and", "more", "the", "mins", "deg", "mph")


def _opened(tokens: list[Token]) -> list[Token]:
    """ "ala" is "a la" before a letter; "d" between words is "de"."""
    out: list[Token] = []
    for i, token in enumerate(tokens):
        after = tokens[i + 1] if i + 1 < len(tokens) else None
        if token.word in ("ala", "enla", "dela") and after is not None and len(after.raw) < 3:
            head = token.word[:-2]
            middle = token.start + len(head)
            out.append(replace(token, raw=head, word=head, end=middle))
            out.append(replace(token, raw="la", word="la", start=middle, glued=True))
        elif after is not None and (link := _linked(token, after)):
            out.append(replace(token, raw=token.raw[0], word=token.word[0], end=token.start + 1))
            out.append(replace(token, raw=link, word=link, start=token.start + 1, glued=True))
        elif token.word == "alas" and after is not None and after.kind in ("num", "clock"):
            out.append(replace(token, raw="a", word="a", end=token.start + 1))
            out.append(replace(token, raw="las", word="las", start=token.start + 1, glued=True))
        else:
            meant = _in_place(token, out[-1].word if out else "", after)
            out.append(replace(token, word=meant) if meant else token)
    return out


def _in_place(token: Token, before: str, after: Token | None) -> str | None:
    """What a short word means where it stands: "i la B" is "y la B", "story w B" is with; None: itself."""
    behind = after.word if after is not None else ""
    if token.word == "i" and before and behind in AFTER_Y:
        return "y"
    if token.word == "dies" and before in ("y", "las", "menos", "a"):
        return "diez"
    if token.raw == "w" and before and after is not None and after.kind in ("word", "place"):
        return "with"
    if token.raw == "cn" and behind in ("agua", "el", "la", "stripper", "decapante", "gel", "manguera", "aceite"):
        return "con"
    if token.raw == "k" and after is not None and _que(before, behind):
        return "que"
    if token.raw == "d" and len(before) > 2 and len(behind) > 2:
        return "de"
    return MADE.get(token.word) if before in STANDS else None


def _linked(token: Token, after: Token) -> str:
    """ "la By la E", "Band C": the joining word that is glued to a section's letter, or nothing."""
    if re.fullmatch("[B-H]y", token.raw) and after.word in ("la", "las", "el", "los"):
        return "y"
    listed = len(after.raw) == 1 and after.raw.isupper()
    return token.raw[1:] if listed and re.fullmatch("[A-HJ-N](and|y)", token.raw) else ""


AFTER_Y = {"ise", "hice", "la", "las", "el", "los", "le", "ya", "media", "cuarto", "medio", "en", "con", "se", "me", "no",
    "q", "que", "luego", "tambien", "despues", "ahorita"}  # "i" before these is the Spanish and


BEFORE_QUE = {"hay", "ay", "ai", "lo", "pa", "para", "por", "tengo", "tenemos", "tiene", "tienen", "creo", "dice", "dijo"}
AFTER_QUE = {"hora", "horas", "falta", "faltan", "onda", "tal", "paso", "pasa", "hay", "ay", "sigue", "hago", "hacemos",
    "tanto", "tanta", "cantidad", "seccion", "se", "ya", "no"}  # fmt: skip
NAMES_ONE = {"la", "las", "seccion", "y", "and", ",", "en"}


def _que(before: str, after: str) -> bool:
    """ "a k hora", "hay k enjuagar": the word, and no section K."""
    return before in BEFORE_QUE or (after in AFTER_QUE and before not in NAMES_ONE)


PARTICIPLE_BEHIND = {"esta", "ta", "todavia", "toavia", "sigue", "quedo", "toda", "aun"}
MADE = {"echo": "hecho", "echa": "hecha", "echos": "hechos", "echas": "hechas"}  # "ya esta echo el balde"
STANDS = {"esta", "estan", "ta", "quedo", "quedaron", "kedo"}

LAUGHS = {"haha", "hahaha", "jaja", "jajaja", "jeje", "lol", "lmao"}  # nobody laughs by a slip
AT_A_PLACE = {"in", "at", "en", "near", "from", "cerca", "de", "desde", "to", "outside"}


class Speller:
    """Knows the words of the lexicon and the ordinary words near them."""

    def __init__(
        self, words: Iterable[str], ordinary: Iterable[str], often: Mapping[str, int] | None = None,
        work: Iterable[str] = (),
    ) -> None:  # fmt: skip
        self.words = set(words)
        self.work = frozenset(work)  # what these say is written down as done: a slip of one must be near
        self.known = self.words | set(ordinary)
        told = self.known - LAUGHS
        self.often = {word: n for word, n in (often or {}).items() if word in told and len(word) > 2}
        self.seen: dict[str, str] = {}

    @cached_property
    def near(self) -> Frequent:
        """The words that crews write most; made when the first strange word is met."""
        return Frequent(self.often)

    @cached_property
    def by_start(self) -> dict[tuple[int, int, str], list[str]]:
        """The words by length and by their first letter, and by their second: where a slip leaves one in its place."""
        found: dict[tuple[int, int, str], list[str]] = defaultdict(list)
        for word in sorted(self.words):
            for place in (0, 1) if len(word) > 3 else ():
                found[len(word), place, word[place]].append(word)
        return found

    @cached_property
    def by_sound(self) -> dict[str, str]:
        """The words by how they sound; made when the first strange word is met."""
        return {sound(word): word for word in sorted(self.words, reverse=True) if len(word) > 3}

    def mend(self, word: str) -> str:
        """The word itself where known or unlike any; else the nearest word of the lexicon."""
        if word in SLANG:
            return SLANG[word]
        if word in self.known or len(word) < 3:
            return word
        if word not in self.seen:
            if len(self.seen) > 20000:
                self.seen.clear()
            meant = self._nearest(word)
            self.seen[word] = meant if meant not in self.work or self._sure(word, meant) else word
        return self.seen[word]

    def _sure(self, word: str, meant: str) -> bool:
        """ "hovered" is no "covered", "risking" no "rinsing": a verb of work is mended from one slip, a long one from two."""
        if sound(word + "s") == sound(meant):
            return True
        begun = word[0] == meant[0] or word[:2] == meant[1::-1] or sound(word) == sound(meant)
        return cost(word, meant) <= (2 * ONE_MORE if begun and len(word) > 11 else OTHER)

    def _nearest(self, word: str) -> str:
        for many in (r"(.)\1{2,}", r"(.)\1+"):  # sooo, cubieerta
            squeezed = re.sub(many, r"\1", word)
            if squeezed != word and squeezed in self.known:
                return squeezed
        if word.endswith("ah") and word[:-2] + "er" in self.known:
            return word[:-2] + "er"  # "anothah"
        often, same = self.near.closest(word), self.by_sound.get(sound(word))
        heard = same and len(word) > 3 and (len(word) > 5 or ("j" in same) == ("j" in word))  # "galo" is no jalo
        if same and heard and (not often or cost(word, often) > HEARD):
            return same  # "labamos" is lavamos, however seldom that is written
        if often:
            return often
        if len(word) == 3:
            return next((s for s in SMALL if s[0] == word[0] and OSA.distance(s, word) == 1), word)
        if same and abs(len(same) - len(word)) <= 2 and len(word) > 4:
            return same
        if len(word) > 5 and word[-1] in "aeo" and (whole := self.by_sound.get(sound(word + "s"))):
            return whole  # "empesamo": the s that the Caribbean swallows
        reach = 1 if len(word) < 7 else 2 if len(word) < 11 else 3
        return self._close(word, reach) or word

    def _close(self, word: str, reach: int) -> str | None:
        best: tuple[float, str] | None = None
        for length in range(len(word) - reach, len(word) + reach + 1):
            allowed = reach if length > 6 else 1
            starts = [self.by_start.get((length, 0, letter), ()) for letter in {word[0], word[1]}]
            if len(word) > 7:
                starts += [self.by_start.get((length, 1, letter), ()) for letter in {word[0], word[1]}]
            near = sorted({other for words in starts for other in words})
            found = process.extract(word, near, scorer=OSA.distance, score_cutoff=allowed, limit=6)
            for other, distance, _ in found:
                if not same_start(word, other):
                    continue
                if length == len(word) and (len(word) < 6 or distance > 1) and not likely(word, other):
                    continue
                swapped = sorted(word) == sorted(other)  # "stiars" is stairs, not stirs
                price = distance + (0.5 if other[0] != word[0] else 0) + (0 if swapped else 0.3 if length == len(word)
                    else 0.2 if length < len(word) else 0)
                if best is None or price < best[0]:
                    best = (price, other)
        return best[1] if best else None

    def apply(self, tokens: list[Token]) -> list[Token]:
        """The tokens with slips mended, glued words parted and parted words joined."""
        out: list[Token] = []
        for token in _opened(tokens):
            capital = token.kind == "word" and token.raw[1:] != token.raw[1:].lower() and not token.raw.isupper()
            if token.raw[-1:] in "áÁ" and out and out[-1].word in PARTICIPLE_BEHIND and token.word + "da" in self.words:
                token = replace(token, word=token.word + "da")  # "la B todavia pegá"
            if token.kind != "word" or (token.word in self.known and not capital):
                out.append(replace(token, word=SLANG[token.word]) if token.word in SLANG and not token.raw.isupper() else
                    token)
                continue
            if out and (whole := self._heard_apart(out[-1], token)):
                out[-1] = whole
                continue
            if led := self._led_by_letter(token, opens=not out or out[-1].kind == "sign") or self._ended_by_letter(token):
                out += led
                continue
            named = token.raw[0].isupper() and token.raw[1:].islower() and out and out[-1].kind == "word"
            place = named and out[-1].word in AT_A_PLACE  # "estamos en Dover"
            out += (None if place else self._part(token)) or [token if named else replace(token, word=self.mend(token.word))]
        return self._moved(self._joined(_opened(out)))

    def _part(self, token: Token) -> list[Token] | None:
        """Known words written as one ("secB", "Bstill", "allmaskd"); a single letter must be a capital."""
        word, raw = token.word, token.raw
        if len(word) != len(raw) or not 3 <= len(word) <= 20:
            return None
        mended = self.mend(word)
        if mended != word and cost(word, mended) <= (ONE_MORE if len(word) > 8 else SWAPPED) and raw[1:].islower():
            return None  # "mistde" is misted, "seciones" is secciones
        pieces = self._pieces(word, raw) or self._pieces(word, raw, deep=True)
        if pieces is None and mended == word:
            pieces = self._slipped(word)
        if pieces is None:
            return None
        out: list[Token] = []
        at = 0
        for typed, meant in pieces:
            start, end = token.start + at, token.start + at + len(typed)
            out.append(replace(token, raw=raw[at : at + len(typed)], word=meant, start=start, end=end, glued=bool(out)))
            at += len(typed)
        return out

    def _pieces(self, word: str, raw: str, deep: bool = False) -> list[tuple[str, str]] | None:
        """The two words, or `deep` the three, that a glued one is made of, as typed and as meant."""
        for at in range(1, len(word)):
            if not self._stands(word[:at], raw[:at]):
                continue
            if not deep and self._stands(word[at:], raw[at:]):
                return [(word[:at], word[:at]), (word[at:], word[at:])]
            rest = self._pieces(word[at:], raw[at:]) if deep else None
            if rest and any(len(typed) > 3 for typed, _ in [(word[:at], ""), *rest]):
                return [(word[:at], word[:at]), *rest]
        return None

    def _slipped(self, word: str) -> list[tuple[str, str]] | None:
        """A little word glued to a frequent one with a slip: "yalegue", "palnfor"."""
        for at in range(2, len(word) - 1):
            for little, other, first in ((word[:at], word[at:], True), (word[at:], word[:at], False)):
                if little in LITTLE and len(little) > 1 and len(other) > 3:
                    meant = self.near.closest(other)
                    if meant and meant in self.words:
                        return [(little, little), (other, meant)] if first else [(other, meant), (little, little)]
        return None

    def _led_by_letter(self, token: Token, opens: bool) -> list[Token] | None:
        """A section's letter glued to a word with a slip ("Xcubieerta"); a short one may be a name but where it opens."""
        raw = token.raw
        letter = raw[0].isupper() and raw[1:].islower() and raw[0] not in "IOYA"
        if len(raw) < (5 if opens else 6) or not letter or len(raw) != len(token.word):
            return None
        whole, rest = self.mend(token.word), self.mend(token.word[1:])
        if token.word in self.known or rest not in self.words or rest[0] == token.word[0] or (
                whole in self.words and whole != rest):
            return None
        first = replace(token, raw=raw[0], word=token.word[0], end=token.start + 1)
        return [first, replace(token, raw=raw[1:], word=rest, start=token.start + 1, glued=True)]

    def _ended_by_letter(self, token: Token) -> list[Token] | None:
        """A word with a slip glued to a section's letter ("rnsdB")."""
        raw = token.raw
        if len(raw) < 3 or len(raw) != len(token.word) or raw[-1] not in "ABCDEFGHJKLMNP" or not raw[:-1].islower():
            return None
        first = self.mend(token.word[:-1])
        if first not in self.words or (token.word in self.known and first != token.word[:-1]):
            return None  # "damE" is dame
        middle = token.end - 1
        last = replace(token, raw=raw[-1], word=token.word[-1], start=middle, glued=True)
        return [replace(token, raw=raw[:-1], word=first, end=middle), last]

    def _heard_apart(self, last: Token, token: Token) -> Token | None:
        """A word that dictation cut behind its first syllable ("de capante", "en juague")."""
        whole = last.word + token.word
        strange = token.word not in self.known and len(whole) > 9 and last.kind == "word"  # "abrí yantador"
        if not (strange or last.word in ("de", "des", "en", "a")) or token.glued or len(token.word) < 5:
            return None
        meant = whole if whole in self.words else self.by_sound.get(sound(whole))
        if meant is None or self.often.get(meant, 5) < 5:
            return None
        return replace(last, raw=f"{last.raw} {token.raw}", word=meant, end=token.end)

    def _stands(self, word: str, raw: str) -> bool:
        if len(word) == 1:
            return raw in "ABCDEFGHJKLMNPQRSTUVWXZ"
        return (word in self.words and len(word) > 3) or word in LITTLE

    def _joined(self, tokens: list[Token]) -> list[Token]:
        """A long word that dictation parted ("bright nor") put together again."""
        out: list[Token] = []
        for token in tokens:
            if out and token.kind == "word" == out[-1].kind and not token.glued:
                whole = out[-1].word + token.word
                strange = not (token.word in self.known and out[-1].word in self.known) or token.word in ("her",
                    "nor", "er", "ner")
                named = token.raw[0].isupper() and token.raw[1:].islower()  # "remove Luis": a name is nobody's ending
                if strange and not named and len(whole) > 7 and len(token.word) < 5 and (mended := self._whole(whole)):
                    out[-1] = replace(out[-1], raw=f"{out[-1].raw} {token.raw}", word=mended, end=token.end)
                    continue
            out.append(token)
        return out

    def _whole(self, whole: str) -> str | None:
        if whole in self.words:
            return whole
        near = self.mend(whole) if len(whole) > 8 else whole
        return near if near != whole and near in self.words and OSA.distance(near, whole) <= 2 else None

    def _moved(self, tokens: list[Token]) -> list[Token]:
        """Two strange words that are known with the space moved by one letter ("mor emin")."""
        for one, two in pairwise(tokens):
            if one.kind != "word" or two.kind != "word" or two.word in self.known or len(one.word) < 3 or len(two.word) < 3:
                continue
            pairs = ((one.word + two.word[0], two.word[1:]), (one.word[:-1], one.word[-1] + two.word))
            for left, right in pairs:
                if left in self.words and right in self.words:
                    one.word, two.word = left, right
                    break
        return tokens
