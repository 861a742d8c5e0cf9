"""A clause: its tokens, its marks, the keys that rules look for, its moods."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import pairwise

from bot.understand.lexicon import Lexicon
from bot.understand.marks import Mark, Token

IDLE = {"again", "more", "now", "have", "left", "give", "gives", "wait", "apply", "show", "paid", "because", "grant",
    "going", "good_word", "did_it", "amend_word", "set_word", "over", "client_word",
    "last_bare"}
HAND_WORK = {"step", "mist", "cover", "covering"}  # the keys of work done on the wood
FIGURES = {"num", "pct", "vol", "mass", "dim", "len", "dur", "temp", "cover", "ratio", "area"}


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
    of_thing: bool = False  # a word of it was of a thing in somebody's hand

    def seal(self) -> None:
        """Gathers the keys that rules look for."""
        self._floja()
        self._reads()
        self._taken_back()
        self._not_but()
        self._all_of_it()
        self.keys = {key for mark in self.marks for key in mark.keys}
        self.keys |= {f"@{mark.kind}" for mark in self.marks}
        self.keys |= {"@part" for m in self.marks if m.kind == "sec" and m.value != ["*"]}  # not the whole of the deck
        self._by_size()
        if any(one.kind == "num" and two.kind == "dur" and two.start - one.end == 1 for one, two in pairwise(self.marks)):
            self.keys.add("@span")  # "20 to 35 minutes"
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

    def _by_size(self) -> None:
        """What the bare figures may be, by how many and how large they are."""
        read = [float(m.value if m.kind == "num" else m.value[0]) for m in self.marks if m.kind in ("num", "pct")]
        if len(read) > 1 and all(5 <= v <= 60 for v in read):
            self.keys |= {"@readings", "@three"} if len(read) > 2 else {"@readings"}
        if len(read) == 1 and 60 < read[0] <= 180 and "@num" in self.keys:
            self.keys.add("@hot")  # no moisture of wood that a meter shows: a surface in F
        if len(read) == 1 and 4 <= read[0] <= 10:
            self.keys.add("@low")  # as likely a pH as a moisture

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

    def _all_of_it(self) -> None:
        """ "se pelo todo": all of the finish that is spoken of, not the whole deck."""
        lost = [b for a, b in pairwise(self.marks) if b.kind == "sec" and b.value == ["*"] and "result" in a.keys
            and b.start == a.end and b.end - b.start == 1]  # fmt: skip
        self.marks = [m for m in self.marks if m not in lost]

    def _taken_back(self) -> None:
        """ "no eran 5 galones eran 4": what stands behind a denial that puts right is taken back."""
        words = [m for m in self.marks if mends(m)]
        for at, word in enumerate(words):
            if "denies" in word.keys:
                stop = words[at + 1].start if at + 1 < len(words) else 10**6
                self.marks = [m for m in self.marks if m.kind == "word" or not word.end <= m.start < stop]

    def _not_but(self) -> None:
        """ "14 percent, not 16", "de 12, no de 15": only the figure behind the denial is denied, and it is taken out."""
        for word in self.marks:
            if word.attrs.get("mood") != "not" or "amend_weak" not in word.keys:
                continue
            behind = [m for m in self.marks if m.start >= word.end]
            before = {m.kind for m in self.marks if m.end <= word.start}
            near = len(behind) == 1 and behind[0].start - word.end <= 1 and behind[0].kind in FIGURES
            if near and (behind[0].kind in before or (behind[0].kind == "num" and before & FIGURES)):
                self.marks = [m for m in self.marks if m is not word and m is not behind[0]]
                return

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
        if i not in inside and tokens[i].kind == "word" and tokens[i].word not in lexicon.fillers
        and not (tokens[i].name or _name(tokens, i))
    )  # fmt: skip


def _name(tokens: list[Token], at: int) -> bool:
    """ "and Luis has started B": somebody's name, capital in the midst of a sentence before what they did."""
    if at + 1 >= len(tokens) or not (tokens[at].raw[0].isupper() and tokens[at].raw[1:].islower()):
        return False
    if not at:  # any word has a capital there: only where who began is told ("Miguel started B")
        return tokens[1].word in BEGUN
    return tokens[at - 1].kind == "word" and tokens[at + 1].word in DID


BEGUN = {"started", "began", "empezo", "arranco", "comenzo"}
DID = {"has", "is", "just", "already", "ya", "started", "finished", "rinsed", "covered", "misted", "empezo", "enjuago",
    "acabo", "termino"}  # fmt: skip


def is_predicate(mark: Mark) -> bool:
    """Whether a mark can make a statement: a verb, a step, a result or another word that rules ask for."""
    return mark.kind == "word" and "predicate" in mark.keys


def helps(mark: Mark) -> bool:
    """Whether a mark only helps the verb behind it ("is done rinsing")."""
    return not mark.keys.isdisjoint(("done", "have", "give", "just_did", "begin"))
