"""Parts a message into clauses, each with what was found in it and its mood."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import pairwise

from bot.understand.lexicon import Lexicon
from bot.understand.marks import Mark, Token

HARD = {".", "!", "?", ";", "\n", "…", "¡", "¿"}
SOFT = {",", "and", "y", "n", "&", "then", "but", "pero", "also", "tambien", "luego", "so", "e", "entonces", "-",
    "–", "—",
        "plus", "ademas", "asi", ":", "aparte", "(", ")", "btw", "while", "mientras", "/", "+"}  # fmt: skip
LISTED = ("num", "pct")
VALUES = {"temp", "pct", "speed", "dim", "rate", "area"}


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
        if any(m.kind == "pct" and m.value[0] > 40 for m in self.marks):
            self.keys.add("@high")  # no moisture of wood: a share of the work, or of the phone
        if any((m.kind == "word" and "mood" not in m.attrs and m.value not in IDLE) or m.kind == "sec" for m in self.marks):
            self.keys.add("@trade")
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
        self.marks = [_without(m, "result") if m.attrs.get("result") == "partly" and m.end in lasting else m for m in self.marks]
        values |= {m.start - 1 for m in self.marks if m.kind == "pct"}
        self.marks = [
            m if "gives" not in m.keys or "result" not in m.keys else _without(m, "result" if m.end in values else "gives")
            for m in self.marks
        ]

    def _taken_back(self) -> None:
        """ "no eran 5 galones eran 4": what stands behind a denial that puts right is taken back."""
        words = [m for m in self.marks if _mends(m)]
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


IDLE = {"again", "more", "now", "have", "left", "give", "gives", "wait", "apply", "show", "paid", "because", "grant",
    "going", "good_word", "did_it", "amend_word", "set_word", "over", "client_word"}


def class_of(mark: Mark) -> str:
    if mark.kind in ("num", "vol", "mass", "dur", "len"):
        return "amount"
    if mark.kind == "word":
        return "step" if "step" in mark.attrs else next((k for k in ("product", "strength", "result") if k in mark.attrs),
            mark.value)
    return mark.kind


def part(tokens: list[Token], marks: list[Mark], lexicon: Lexicon) -> list[Clause]:
    """The clauses of a message in order."""
    inside = {i for m in marks for i in range(m.start, m.end)}
    numbers = {m.end: m for m in marks if m.kind in LISTED}
    begins = {m.start: m for m in marks if m.kind in LISTED}
    cutters = {m.start for m in marks if "cuts" in m.keys} | _lines(marks)
    clauses: list[Clause] = []
    start = sentence = 0
    joined = ""
    for i in [*range(len(tokens)), None]:
        word = tokens[i].word if i is not None else ""
        hard = word in HARD
        if i in cutters and i is not None and i > start:
            clauses.append(Clause(start, i, [m for m in marks if start <= m.start < i], sentence, joined))
            start, joined = i, "cut"
            continue
        if i is not None and (i in inside or not (hard or word in SOFT)):
            continue
        if i in numbers and i is not None and i + 1 in begins and (not hard or word == ";"):
            continue  # a list of readings is one
        end = len(tokens) if i is None else i
        if end > start:
            clauses.append(Clause(start, end, [m for m in marks if start <= m.start < end], sentence, joined))
            joined = word
        elif hard or not joined:
            joined = word
        sentence += hard
        start = end + 1
    return _split(_glued(clauses, tokens, lexicon))


def _lines(marks: list[Mark]) -> set[int]:
    """Where the lines of a log begin that has a clock in front of each: "9:00 start A 9:20 A covered"."""
    if not marks or marks[0].kind != "time" or marks[0].start:
        return set()
    return {m.start for m, after in pairwise(marks) if m.kind == "time" and m.start and after.kind != "time"}


def strangers(clause: Clause, tokens: list[Token], lexicon: Lexicon) -> int:
    """How many words of the clause are neither known nor mere filling."""
    inside = {i for m in clause.marks for i in range(m.start, m.end)}
    return sum(
        1 for i in range(clause.start, clause.end)
        if i not in inside and tokens[i].kind == "word" and tokens[i].word not in lexicon.fillers
    )  # fmt: skip


def is_predicate(mark: Mark) -> bool:
    """Whether a mark can make a statement: a verb, a step, a result or another word that rules ask for."""
    return mark.kind == "word" and "predicate" in mark.keys


def _says(clause: Clause) -> bool:
    if any("mood=asked" in m.keys and m.start == clause.start for m in clause.marks):
        return True
    if any(is_predicate(m) or m.kind in VALUES for m in clause.marks):
        return True
    kinds = {m.kind for m in clause.marks}
    more = kinds & {"num", "dur"} and any("more" in m.keys for m in clause.marks)
    if more or (kinds & {"len", "count"} and "sec" in kinds):
        return True
    weather = any("conditions_word" in m.keys for m in clause.marks)
    return weather and any(m.kind in ("num", "pct", "temp") for m in clause.marks)


def _glued(clauses: list[Clause], tokens: list[Token], lexicon: Lexicon) -> list[Clause]:
    """Puts a piece that says nothing by itself where it belongs: to its neighbour, or on its own."""
    out: list[Clause] = []
    for clause in clauses:
        last = out[-1] if out else None
        if last is not None and _takes_back(last, clause, tokens):
            out[-1] = _sum(last, clause)
        elif last is None or last.sentence != clause.sentence or clause.joined == "cut" or (_says(clause) and _says(
            last)) or (_says(last) and _heads(clause, tokens)) or (_timed(last) and _timed(clause) and _own_line(clause)):
            out.append(clause)
        elif _says(clause):
            out.append(clause) if _apart(last, clause, strangers(last, tokens, lexicon), tokens) else out.__setitem__(-1, _sum(last, clause))
        else:
            _follow(out, last, clause, strangers(clause, tokens, lexicon))
    return out


LINKS = {"la", "el", "las", "los", "the", "section", "sections", "sec", "on", "en", "y", "and", "de", "del", "a", "al", "ok", "ya",
    "so", "now", "also", "then", "seccion", "secciones", "both", "for", "to", "with", "con", "in", "at", "n"}  # fmt: skip
WRONG = {"no", "not", "wasnt", "isnt"}


def _takes_back(last: Clause, clause: Clause, tokens: list[Token]) -> bool:
    """ "me equivoque, era la B", "no era la F, era la G": one correction; what is taken back loses its marks."""
    if not all(_mends(m) or m.kind != "word" for m in last.marks) or not any(_mends(m) for m in last.marks):
        return False
    if not any(_mends(m) and m.start - clause.start < 3 for m in clause.marks):
        return False
    first = next(m for m in last.marks if _mends(m))
    if any(m.kind != "word" for m in last.marks):
        if tokens[first.start].word not in WRONG:
            return False
        last.marks = [m for m in last.marks if m.kind == "word"]
    return True


def _mends(mark: Mark) -> bool:
    return not mark.keys.isdisjoint(("amend_word", "amend_weak", "denies"))


def _heads(clause: Clause, tokens: list[Token]) -> bool:
    """Whether a piece is a section alone with a dash or a colon behind: "B - stripped"."""
    alone = len(clause.marks) == 1 and clause.marks[0].kind == "sec" and clause.end - clause.start <= 2
    return alone and clause.end < len(tokens) and tokens[clause.end].word in ("-", "–", "—", ":")


def _apart(last: Clause, clause: Clause, strange: int, tokens: list[Token]) -> bool:
    """Whether a piece that says nothing known speaks of a section of its own ("B falta, C floja")."""
    placed = any(m.kind == "sec" for m in last.marks)
    denied = any(m.attrs.get("mood") == "not" and "shared" not in m.keys and "amend_weak" not in m.keys for m in last.marks)
    told = any(m.kind == "sec" for m in clause.marks)
    inside = {i for m in last.marks for i in range(m.start, m.end) if "mood" not in m.attrs}
    more = [t for i, t in enumerate(tokens[last.start : last.end], last.start) if i not in inside and t.kind == "word"]
    return placed and (strange > 0 or (told and (denied or any(t.word not in LINKS for t in more))))


def _timed(clause: Clause) -> bool:
    """Whether a piece begins with a clock: a line of a log."""
    return bool(clause.marks) and clause.marks[0].kind == "time" and clause.marks[0].start == clause.start


def _own_line(clause: Clause) -> bool:
    """Whether a piece with a clock in front is a line of its own: the clock alone, or a product with it."""
    return len(clause.marks) == 1 or any("product" in m.keys for m in clause.marks)


def _sum(last: Clause, clause: Clause) -> Clause:
    return Clause(last.start, clause.end, last.marks + clause.marks, last.sentence, last.joined)


def _follow(out: list[Clause], last: Clause, clause: Clause, strange: int) -> None:
    """A piece with no verb behind a statement: "and G at 9:48" repeats it, "medium" completes it."""
    kinds = {class_of(m) for m in clause.marks if m.kind != "word"} | {m.kind for m in clause.marks if "product" in m.keys}
    before = {class_of(m) for m in last.marks if m.kind != "word"}
    if not clause.marks and strange and _says(last):
        return  # words of no account: "tremendo tapon en la carretera"
    moody = any(m.attrs.get("mood") not in (None, "asked", "please") and "shared" not in m.keys for m in clause.marks)
    section = "sec" in kinds
    if any(m.kind == "sec" for c in out if c.sentence == clause.sentence for m in c.marks):
        before = before | {"sec"}
    repeated = kinds & before & {"amount", "time", "pct", "day", "date"}
    goods_before = any("product" in m.keys or "with" in m.keys for m in last.marks)
    goods = any("product" in m.keys for m in clause.marks) and goods_before
    elsewhere = section and strange and "sec" not in before and _says(last)
    named = section and "sec" in before and not repeated and any(m.attrs.get("mood") == "asked" for m in clause.marks)
    if elsewhere or named or (moody and (section or strange)):
        out.append(clause)
    elif (_says(last) or (goods_before and section)) and (repeated or (section and goods)) and ((
        section and "sec" in before) or goods):
        own = {k for m in clause.marks for k in ("product", "strength", "result") if k in m.keys} | {"paid"}
        own |= {"strength", "with", "product"} if goods else set()
        verbs = [m for m in last.marks if m.kind == "word" and m.keys.isdisjoint(own) and m.attrs.get("mood") != "asked"]
        out.append(Clause(clause.start, clause.end, verbs + _in_unit_of(last, clause.marks), clause.sentence, clause.joined))
    elif _says(last) and section and "sec" in before and (strange or any("product" in m.keys for m in clause.marks)):
        out.append(clause)
    else:
        out[-1] = _sum(last, clause)


def _in_unit_of(last: Clause, marks: list[Mark]) -> list[Mark]:
    """ "3 gallons of stripper and 2 of brightener": the bare number of the second has the unit of the first."""
    amounts = [m for m in last.marks if m.kind in ("vol", "mass")]
    bare = [m for m in marks if m.kind == "num"]
    if len(amounts) != 1 or len(bare) != 1 or any(m.kind in ("vol", "mass", "sec") for m in marks):
        return marks
    told = amounts[0]
    return [replace(m, kind=told.kind, value=(m.value, told.value[1])) if m.kind == "num" else m for m in marks]


def helps(mark: Mark) -> bool:
    """Whether a mark only helps the verb behind it ("is done rinsing")."""
    return not mark.keys.isdisjoint(("done", "have", "give", "just_did", "begin"))


def _split(clauses: list[Clause]) -> list[Clause]:
    """Parts "B rinsed starting C": two statements, each with its own section, and no comma."""
    out: list[Clause] = []
    for clause in clauses:
        rest = clause
        while (at := _seam(rest)) is not None:
            out.append(Clause(rest.start, at, [m for m in rest.marks if m.start < at], rest.sentence, rest.joined))
            rest = Clause(at, rest.end, [m for m in rest.marks if m.start >= at], rest.sentence, "~")
        out.append(rest)
    return out


def _object(mark: Mark) -> bool:
    """Whether a mark is what something is done to: a section, plants, windows."""
    return mark.kind == "sec" or not mark.keys.isdisjoint(("plants", "window"))


def _seam(clause: Clause) -> int | None:
    """Where the second statement of a clause begins, if it holds two with a section each."""
    section = verb = None
    marks = clause.marks
    for i, mark in enumerate(marks):
        firm = is_predicate(mark) and (mark.form in ("did", "ing", "e") or "result" in mark.keys)
        last = marks[i - 1] if i else None
        if firm and last is not None and "step" in mark.keys and mark.start - last.end <= 1 and helps(last):
            continue  # "ya esta enjuagada" is one statement
        if section is not None and verb is not None and (firm or mark.kind == "sec"):
            ahead = marks[i:]
            if any(_object(m) for m in ahead) and any(is_predicate(m) and (m.form in ("did", "ing", "e") or
                "result" in m.keys) for m in ahead):
                return mark.start
        section = mark if _object(mark) else section
        verb = mark if firm else verb
    return None


