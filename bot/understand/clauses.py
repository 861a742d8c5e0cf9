"""Parts a message into clauses, each with what was found in it and its mood."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from bot.understand.lexicon import Lexicon
from bot.understand.marks import Mark, Token

HARD = {".", "!", "?", ";", "\n", "…", "¡", "¿"}
SOFT = {",", "and", "y", "n", "&", "then", "but", "pero", "also", "tambien", "luego", "so", "e", "entonces", "-",
    "–", "—",
        "plus", "ademas", "asi", ":", "aparte", "(", ")", "btw", "while", "mientras", "/", "+"}  # fmt: skip
LISTED = ("num", "pct")
VALUES = {"temp", "pct", "speed", "dim", "rate", "area"}
CORRECTIONS = (
    "no wait", "no sorry", "sorry no", "wait no", "i mean", "i meant", "no perdon", "perdon", "digo", "no digo",
        "mejor dicho",
    "quise decir", "scratch that", "make that", "correction", "actually", "oops", "no make that", "no make it",
        "not", "wait", "sorry", "no", "nah", "or rather", "er no",
    "make it", "mas bien", "me equivoque", "no no", "quiero decir", "i meant to say", "uh no", "nope", "rather",
        "oh wait", "perdon no",
)  # fmt: skip
FIXES = tuple(sorted((tuple(c.split()) for c in CORRECTIONS), key=len, reverse=True))
WEAK = {("not",), ("no",), ("wait",), ("sorry",), ("actually",), ("nah",), ("rather",), ("nope",), ("make", "it")}
FAREWELL = {"vemos", "hasta", "you", "u", "ya", "til", "till", "cya"}  # see you tomorrow
ACCENTED = {"qué", "quién", "cuál", "cuáles", "dónde", "cómo", "cuánto", "cuánta", "cuántos", "cuántas", "cuándo",
    "quiénes"}
TAGS = {("o", "no"), ("o", "ya"), ("o", "todavia"), ("or", "not"), ("or", "no"), ("or", "what"), ("o", "que"), ("or",
    "nah")}
ADVICE = {("o", "ya"), ("o", "que"), ("or", "what"), ("or", "nah")}
TAG = {"verdad", "right", "yeah", "cierto"}  # "B is rinsed right"


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
        self.keys = {key for mark in self.marks for key in mark.keys}
        self.keys |= {f"@{mark.kind}" for mark in self.marks}
        read = [float(m.value if m.kind == "num" else m.value[0]) for m in self.marks if m.kind in ("num", "pct")]
        if len(read) > 1 and all(5 <= v <= 60 for v in read):
            self.keys.add("@readings")
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


def corrected(tokens: list[Token], marks: list[Mark]) -> list[Mark]:
    """Puts right what the crew took back: of "3 no 4 gal" the 3, of "B no sorry C" the B."""
    out = list(marks)
    for at in range(1, len(tokens)):
        words = next((f for f in FIXES if tuple(t.word for t in tokens[at : at + len(f)]) == f), None)
        if words is None:
            continue
        end = at + len(words)
        while end < len(tokens) and end - at < 6 and tokens[end].word in (",", "-", "its", "it", "is", "was", "es",
            "la", "era", "en", "the", "on", "that", "to", "."):
            end += 1
        after = next((m for m in out if m.start == end), None)
        before = _taken_back(out, after, at, words in WEAK) if after else None
        if before is not None and after is not None:
            kept = _kept(tokens, before, after, words)
            out = [m for m in out if m is not after and not (at <= m.start < end)]
            out[out.index(before)] = replace(kept, start=before.start, end=before.end)
            for token in tokens[at : after.end]:
                token.kind, token.word = ("sign", "~")
    return out


IDLE = {"again", "more", "now", "have", "left", "give", "gives", "wait", "apply", "show", "paid", "because", "grant",
    "going", "good_word", "did_it", "amend_word", "set_word", "over", "client_word"}
SHOULD_BE = {"era", "eran", "fue", "fueron", "was", "meant", "is", "be", "says", "son", "es"}


def _kept(tokens: list[Token], before: Mark, after: Mark, words: tuple[str, ...]) -> Mark:
    """Which of two stands: the later one, save in "it was G not F"; a bare number takes the unit of the first."""
    near = {t.word for t in tokens[max(0, before.start - 3) : before.start]}
    if words == ("not",) or (words == ("no",) and near & SHOULD_BE):
        return before
    if after.kind == "num" and before.kind in ("vol", "mass", "dur", "len"):
        return replace(after, kind=before.kind, value=(after.value, before.value[1]))
    return after


def _class(mark: Mark) -> str:
    if mark.kind in ("num", "vol", "mass", "dur", "len"):
        return "amount"
    if mark.kind == "word":
        return "step" if "step" in mark.attrs else next((k for k in ("product", "strength", "result") if k in mark.attrs),
            mark.value)
    return mark.kind


def _taken_back(marks: list[Mark], after: Mark, at: int, weak: bool) -> Mark | None:
    """The mark before a correction that the one behind it puts right; a weak word must stand right between."""
    earlier = [m for m in marks if m.end <= at and _class(m) == _class(after)]
    if not earlier:
        return None
    gap = at - earlier[-1].end
    return earlier[-1] if gap <= (1 if weak else 4) else None


def part(tokens: list[Token], marks: list[Mark], lexicon: Lexicon) -> list[Clause]:
    """The clauses of a message in order."""
    inside = {i for m in marks for i in range(m.start, m.end)}
    numbers = {m.end: m for m in marks if m.kind in LISTED}
    begins = {m.start: m for m in marks if m.kind in LISTED}
    cutters = {m.start for m in marks if "cuts" in m.keys}
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
    if (kinds & {"len", "count"} and "sec" in kinds) or (kinds & {"num", "dur"} and any("more" in m.keys for m in clause.marks)):
        return True
    weather = any("conditions_word" in m.keys for m in clause.marks)
    return weather and any(m.kind in ("num", "pct", "temp") for m in clause.marks)


def _glued(clauses: list[Clause], tokens: list[Token], lexicon: Lexicon) -> list[Clause]:
    """Puts a piece that says nothing by itself where it belongs: to its neighbour, or on its own."""
    out: list[Clause] = []
    for clause in clauses:
        last = out[-1] if out else None
        if last is None or last.sentence != clause.sentence or clause.joined == "cut" or (_says(clause) and _says(
            last)):
            out.append(clause)
        elif _says(clause):
            apart = strangers(last, tokens, lexicon) > 0 and any(m.kind == "sec" for m in last.marks)
            out.append(clause) if apart else out.__setitem__(-1, _sum(last, clause))
        else:
            _follow(out, last, clause, strangers(clause, tokens, lexicon))
    return out


def _sum(last: Clause, clause: Clause) -> Clause:
    return Clause(last.start, clause.end, last.marks + clause.marks, last.sentence, last.joined)


def _follow(out: list[Clause], last: Clause, clause: Clause, strange: int) -> None:
    """A piece with no verb behind a statement: "and G at 9:48" repeats it, "medium" completes it."""
    kinds = {_class(m) for m in clause.marks if m.kind != "word"} | {m.kind for m in clause.marks if "product" in m.keys}
    before = {_class(m) for m in last.marks if m.kind != "word"}
    if not clause.marks and strange and _says(last):
        return  # words of no account: "tremendo tapon en la carretera"
    moody = any(m.attrs.get("mood") not in (None, "asked", "please") and "shared" not in m.keys for m in clause.marks)
    section = "sec" in kinds
    if any(m.kind == "sec" for c in out if c.sentence == clause.sentence for m in c.marks):
        before = before | {"sec"}
    repeated = kinds & before & {"amount", "time", "pct"}
    goods = any("product" in m.keys for m in clause.marks) and any("product" in m.keys for m in last.marks)
    if moody and (section or strange):
        out.append(clause)
    elif _says(last) and repeated and ((section and "sec" in before) or goods):
        own = {k for m in clause.marks for k in ("product", "strength", "result") if k in m.keys} | {"paid"}
        verbs = [m for m in last.marks if m.kind == "word" and m.keys.isdisjoint(own) and m.attrs.get("mood") != "asked"]
        out.append(Clause(clause.start, clause.end, verbs + clause.marks, clause.sentence, clause.joined))
    elif _says(last) and section and "sec" in before and (strange or any("product" in m.keys for m in clause.marks)):
        out.append(clause)
    else:
        out[-1] = _sum(last, clause)


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


def _seam(clause: Clause) -> int | None:
    """Where the second statement of a clause begins, if it holds two with a section each."""
    section = verb = None
    marks = clause.marks
    for i, mark in enumerate(marks):
        firm = is_predicate(mark) and (mark.form in ("did", "ing", "e") or "result" in mark.keys)
        last = marks[i - 1] if i else None
        if firm and last is not None and "step" in mark.keys and not last.keys.isdisjoint(("done", "have", "give",
            "just_did", "begin")):
            if mark.start - last.end <= 1:
                continue  # "ya esta enjuagada" is one statement
        if section is not None and verb is not None and (firm or mark.kind == "sec"):
            ahead = marks[i:]
            if any(m.kind == "sec" for m in ahead) and any(is_predicate(m) and (m.form in ("did", "ing", "e") or
                "result" in m.keys) for m in ahead):
                return mark.start
        section = mark if mark.kind == "sec" else section
        verb = mark if firm else verb
    return None


def moods(tokens: list[Token], clauses: list[Clause], lexicon: Lexicon) -> None:
    """Sets each clause's moods: asked, not, if, will, said (hearsay); a leading "if" governs its sentence."""
    governed: set[int] = set()
    asking: set[int] = set()
    for clause in clauses:
        clause.seal()
        keys = clause.keys
        clause.moods |= {name for name in ("not", "if", "will", "said", "price", "maybe", "other") if f"mood={name}" in keys}
        if "instrument" in keys:
            clause.moods.discard("said")
        ahead = [m for m in clause.marks if m.kind in ("day", "date") and (m.value.day or 0) > 0 and m.value.on is None]
        if any(m.start == 0 or tokens[m.start - 1].word not in FAREWELL for m in ahead):
            clause.moods.add("will")
        tells = [m.start for m in clause.marks if "tells" in m.keys]
        if tells and all(m.start > tells[0] for m in clause.marks if "mood" in m.keys):
            clause.moods -= {"not", "if", "will", "said", "maybe", "other"}  # what the client is to be told
        _leave_out(clause)
        if any(m.form == "fut" for m in clause.marks):
            clause.moods.add("will")
        if any(m.form == "sub" for m in clause.marks):
            clause.moods.add("if")
        if any(t.raw.lower() in ACCENTED for t in tokens[clause.start : clause.start + 3]):
            clause.moods.add("asked")
            clause.keys.add("asked")
            asking.add(clause.sentence)
        if any("mood=if" in m.keys and tokens[m.start].raw.lower() == "cuándo" for m in clause.marks):
            clause.moods = clause.moods - {"if"} | {"asked"}
            clause.keys.add("when_word")
        wills = [m for m in clause.marks if "mood=will" in m.keys]
        if wills and all("goes" in m.keys and m.end < len(tokens) and tokens[m.end].kind == "num" for m in wills):
            clause.moods.discard("will")  # "va a 8 oz por galon"
        if "now" in keys and "if" not in clause.moods and all("goes" in m.keys for m in wills):
            clause.moods.discard("will")
        if _opens_question(tokens, clause, lexicon) or clause.sentence in asking:
            clause.moods.add("asked")
            asking.add(clause.sentence)
        cut = [m for m in clause.marks if "cuts" in m.keys]
        if cut and clause.joined == "cut":
            continue
        if "if" in clause.moods and "asked" not in clause.moods:
            governed.add(clause.sentence)
        if clause.sentence in governed and "if" not in clause.moods:
            clause.moods.add("if")
    _question_marks(tokens, clauses, asking)
    words = [mark for clause in clauses for mark in clause.marks if mark.kind == "word"]
    everywhere = {f"~{key}" for mark in words for key in (mark.value, *mark.attrs)}
    for clause in clauses:
        clause.keys |= everywhere


def _leave_out(clause: Clause) -> None:
    """Takes out the sections behind "except"; a whole with something left out is not firm."""
    left = next((m for m in clause.marks if "except" in m.keys), None)
    if left is None:
        return
    behind = [m for m in clause.marks if m.kind == "sec" and m.start >= left.end]
    clause.marks = [m for m in clause.marks if m not in behind]
    kept = [n for m in clause.marks if m.kind == "sec" for n in m.value]
    if not behind or not kept or "*" in kept:
        clause.moods.add("maybe")
    clause.seal()


def _question_marks(tokens: list[Token], clauses: list[Clause], asking: set[int]) -> None:
    """ "?" asks its whole sentence, unless one clause of it opens the question itself."""
    for clause in clauses:
        closing = next((t.word for t in tokens[clause.end :] if t.kind == "sign"), "")
        last = next((c for c in reversed(clauses) if c.sentence == clause.sentence), clause)
        ends = tokens[last.end].word if last.end < len(tokens) else ""
        opened = any("asked" in c.moods for c in clauses if c.sentence == clause.sentence)
        if ends == "?" and not (opened and clause.sentence in asking) and closing:
            clause.moods.add("asked")
        if "asked" in clause.moods:
            if "if" in clause.moods and any(t.word == "cuando" for t in tokens[clause.start : clause.end]):
                clause.keys.add("when_word")
            clause.moods.discard("if")


def _opens_question(tokens: list[Token], clause: Clause, lexicon: Lexicon) -> bool:
    """Whether the clause begins like a question, polite requests aside."""
    polite = {i for m in clause.marks if "mood=please" in m.keys for i in range(m.start, m.end)}
    for mark in clause.marks:
        if mark.kind == "word" and ("mood=asked" in mark.keys):
            if "anywhere" in mark.keys:
                return True
            lead = [t for i, t in enumerate(tokens[clause.start : mark.start], clause.start) if t.kind in ("word",
                "place") and i not in polite]
            marked = any(m.kind != "word" and m.end <= mark.start for m in clause.marks)
            if not marked and all(t.word in lexicon.greetings for t in lead):
                return True
    tail = tokens[clause.end - 2 : clause.end]
    if tuple(t.word for t in tail) in ADVICE:
        clause.keys.add("decides")
    return tuple(t.word for t in tail) in TAGS or (len(tail) == 2 and tail[1].word in TAG and (tail[0].word == ","
        or tail[1].word in ("verdad", "cierto")))
