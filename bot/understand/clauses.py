"""A clause: its tokens, its marks, the keys that rules look for, its moods."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import pairwise

from bot.understand.lexicon import Lexicon
from bot.understand.marks import Mark, Token

IDLE = {"again", "more", "now", "have", "left", "give", "gives", "wait", "apply", "show", "paid", "because", "grant",
    "going", "good_word", "did_it", "amend_word", "set_word", "over", "client_word",
    "last_bare"}


@dataclass
class Clause:
    """One clause: its tokens, marks, the keys of its marks, its moods and how it is joined to the one before."""

    start: int
    end: int
    marks: list[Mark]
    sentence: int = 0
    joined: str = ""
    moods: set[str] = field(default_factory=set)
    keys: set[str] = field(default_factory=set)
    used: set[int] = field(default_factory=set)

    def seal(self) -> None:
        """Gathers the keys that rules look for."""
        self._floja()
        self._reads()
        self._taken_back()
        self.keys = {key for mark in self.marks for key in mark.keys}
        self.keys |= {f"@{mark.kind}" for mark in self.marks}
        read = [float(m.value if m.kind == "num" else m.value[0]) for m in self.marks if m.kind in ("num", "pct")]
        if len(read) > 1 and all(5 <= v <= 60 for v in read):
            self.keys |= {"@readings", "@three"} if len(read) > 2 else {"@readings"}
        if any(one.kind == "num" and two.kind == "dur" and two.start - one.end == 1 for one, two in pairwise(self.marks)):
            self.keys.add("@span")  # "20 to 35 minutes"
        if len(read) == 1 and 60 < read[0] <= 180 and "@num" in self.keys:
            self.keys.add("@hot")  # no moisture of wood that a meter shows: a surface in F
        if any(m.kind == "pct" and m.value[0] > 40 for m in self.marks):
            self.keys.add("@high")  # no moisture of wood: a share of the work, or of the phone
        days = [m.value.day or 0 for m in self.marks if m.kind in ("day", "date") and m.value.on is None]
        self.keys |= {"@gone" if day < 0 else "@ahead" for day in days if day}  # a weekday may be either
        if any((m.kind == "word" and "mood" not in m.attrs and m.value not in IDLE) or m.kind == "sec" for m in self.marks):
            self.keys.add("@trade")
        if self.marks:
            first = self.marks[0]
            self.keys.add(f"@opens:{first.value if first.kind == 'word' else first.kind}")
        tells = next((m.start for m in self.marks if "tells" in m.keys), None)
        told = next((m.start for m in self.marks if "client_word" in m.keys), None)
        if tells is not None and told is not None and tells <= told:
            self.keys.add("@tells_first")
        goods = [m.start for m in self.marks if "product" in m.keys]
        verbs = [m.start for m in self.marks if "apply:did" in m.keys]
        if goods and verbs and goods[0] < verbs[0]:
            self.keys.add("@goods_first")
        if any(m.form in ("did", "ing", "e", "o", "do") and "predicate" in m.keys and m.keys.isdisjoint((
            "amend_word", "amend_weak")) for m in self.marks):
            self.keys.add("@verb")


    def _reads(self) -> None:
        """ "salio 16%" and "dio 14" read a meter: no result of the stripper."""
        values = {m.start for m in self.marks if m.kind in ("num", "pct")}
        lasting = {m.start for m in self.marks if m.kind in ("dur", "num")}
        lost = [m for m in self.marks if m.attrs.get("result") == "partly" and m.end in lasting]
        self.marks = [_without(m, "result") if m in lost else m for m in self.marks]
        values |= {m.start - 1 for m in self.marks if m.kind == "pct"}
        self.marks = [
            m if "gives" not in m.keys or "result" not in m.keys else _without(m, "result" if m.end in values else "gives")
            for m in self.marks
        ]

    def _taken_back(self) -> None:
        """ "no eran 5 galones eran 4": what stands behind a denial that puts right is taken back."""
        words = [m for m in self.marks if mends(m)]
        for at, word in enumerate(words):
            if "denies" in word.keys:
                stop = words[at + 1].start if at + 1 < len(words) else 10**6
                self.marks = [m for m in self.marks if m.kind == "word" or not word.end <= m.start < stop]

    def _floja(self) -> None:
        """ "floja" is weak of a batch and loose of a section: the other meaning is taken off the mark."""
        if not any("result" in m.keys and "strength" in m.keys for m in self.marks):
            return
        batch = any(not m.keys.isdisjoint(("product", "mixing", "give:do", "howmuch")) for m in self.marks)
        lost = "result" if batch or not any(m.kind == "sec" for m in self.marks) else "strength"
        self.marks = [_without(m, lost) if {"result", "strength"} <= m.keys else m for m in self.marks]


def _without(mark: Mark, lost: str) -> Mark:
    keys = frozenset(k for k in mark.keys if not k.startswith(lost))
    return replace(mark, keys=keys, attrs={k: v for k, v in mark.attrs.items() if k != lost})


def mends(mark: Mark) -> bool:
    return not mark.keys.isdisjoint(("amend_word", "amend_weak", "denies"))


def class_of(mark: Mark) -> str:
    if mark.kind in ("num", "vol", "mass", "dur", "len"):
        return "amount"
    if mark.kind == "word":
        return "step" if "step" in mark.attrs else next((k for k in ("product", "strength", "result") if k in mark.attrs),
            mark.value)
    return mark.kind


def strangers(clause: Clause, tokens: list[Token], lexicon: Lexicon) -> int:
    """How many words of the clause are neither known nor mere filling."""
    inside = {i for m in clause.marks for i in range(m.start, m.end)}
    return sum(
        1 for i in range(clause.start, clause.end)
        if i not in inside and tokens[i].kind == "word" and tokens[i].word not in lexicon.fillers and not _name(tokens, i)
    )  # fmt: skip


def _name(tokens: list[Token], at: int) -> bool:
    """ "and Luis has started B": somebody's name, capital in the midst of a sentence before what they did."""
    if not at or at + 1 >= len(tokens) or not (tokens[at].raw[0].isupper() and tokens[at].raw[1:].islower()):
        return False
    return tokens[at - 1].kind == "word" and tokens[at + 1].word in DID


DID = {"has", "is", "just", "already", "ya", "started", "finished", "rinsed", "covered", "misted", "empezo", "enjuago",
    "acabo", "termino"}  # fmt: skip


def is_predicate(mark: Mark) -> bool:
    """Whether a mark can make a statement: a verb, a step, a result or another word that rules ask for."""
    return mark.kind == "word" and "predicate" in mark.keys


def helps(mark: Mark) -> bool:
    """Whether a mark only helps the verb behind it ("is done rinsing")."""
    return not mark.keys.isdisjoint(("done", "have", "give", "just_did", "begin"))
