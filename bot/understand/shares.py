"""A share told of the whole: a denial within the words of a look, a section left out of a whole."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise

from bot.understand.clauses import Clause
from bot.understand.marks import Mark, Token

DENIALS = {"not", "no", "isnt", "arent", "wasnt", "werent", "aint", "nothing", "none", "nada", "wont", "nowt",
    "nuttin", "ni"}  # fmt: skip
OTHERS = {"rest", "others", "other", "some", "otras", "otros", "otra", "resto", "demas", "ones"}
HELD_WORDS = DENIALS | OTHERS | {"all", "fully", "the", "is", "of", "it", "everywhere", "half", "lo", "la", "el", "las",
    "los", "todo", "toda", "todos", "todas", "del", "todavia", "but", "pero", "completely", "quite", "that", "thing", "a",
    "one", "bit", "entirely", "totally", "parejo", "everything"}  # fmt: skip
ARTICLES = {"the", "our", "la", "el", "las", "los", "my", "de", "del"}
WHOLE = {"all", "deck", "lot", "both", "every", "everything", "whole", "entire", "everythings", "todo", "toda", "todos",
    "todas", "ambas", "ambos", "entero", "entera", "completo", "completa"}  # fmt: skip
LEAVING_OUT = (
    ("but", "for"), ("but",), ("skipping",), ("skip",), ("bar",), ("save",), ("leaving",), ("outside", "of"),
    ("short", "of"), ("w", "/", "o"), ("without",), ("pero",), ("quitando",), ("fuera", "de"), ("sin",), ("just", "not"),
    ("only", "not"),
)  # fmt: skip
LEAVES = {words[0] for words in LEAVING_OUT}
LEFT = {"left", "remaining", "remains", "missing", "falta", "faltan", "queda", "quedan", "pendiente", "pendientes"}
WAITS = {"waiting", "later", "rato", "tomorrow", "mañana", "manana", "last"}
TO_DO = {("to", "go"), ("to", "do")}
SENTENCE = {".", "!", "?", ";", "\n", "…"}


def worked(mark: Mark) -> bool:
    """Whether a mark tells of a step, of covering or of misting, and not of how the finish lets go."""
    return "result" not in mark.keys and (
        "step" in mark.attrs or not mark.keys.isdisjoint(("cover:did", "mist:did"))
    )


def _plain_denial(tokens: list[Token], mark: Mark) -> bool:
    """Whether the words of a look say of no letting go: "not all", "the rest isnt", "nada"."""
    words = {t.word for t in tokens[mark.start : mark.end]}
    return "result" in mark.keys and bool(words & DENIALS) and words <= HELD_WORDS


SHARES = {"some", "only", "spots", "in", "places", "patches", "patchy", "spotty", "few", "mostly", "partly", "partially",
    "partial", "most", "halfway", "there", "medias", "partes", "pedazos", "por", "en", "unas", "algunas", "casi", "mitad",
    "solo", "nomas", "about", "that"}  # fmt: skip


def partial(tokens: list[Token], clause: Clause) -> None:
    """ "only some of B rinsed", "la B enjuagada en partes": how much was rinsed, no look at the finish."""
    looks = [m for m in clause.marks if "result" in m.keys]
    done = [m for m in clause.marks if worked(m) and m.form == "did"]
    if len(looks) != 1 or not done or looks[0].attrs.get("result") != "partly":
        return
    between = range(min(looks[0].end, done[0].end), max(looks[0].start, done[0].start))
    if _plain_share(tokens, looks[0]) and all(tokens[i].kind != "sign" for i in between):
        clause.marks = [m for m in clause.marks if m is not looks[0]]
        clause.seal()
        clause.moods.add("maybe")


def _plain_share(tokens: list[Token], mark: Mark) -> bool:
    words = {t.word for t in tokens[mark.start : mark.end]}
    return mark.attrs.get("result") == "partly" and words <= SHARES | HELD_WORDS - DENIALS


def _denial(mark: Mark) -> Mark:
    return replace(
        mark, value="no", form="word", keys=frozenset(("no", "mood", "mood=not")), attrs={"mood": "not"}
    )


def denied(tokens: list[Token], clause: Clause) -> None:
    """ "not all of B is covered", "las otras no estan enjuagadas": no look at the finish, a step that is denied."""
    steps = [m for m in clause.marks if worked(m) or "apply:did" in m.keys]
    for mark in clause.marks:
        behind = next((m for m in steps if m.start >= mark.end), None)
        if behind is None or not _plain_denial(tokens, mark):
            continue
        between = [t.word for t in tokens[mark.end : behind.start]]
        if "," in between or any(
            "result" in m.keys for m in clause.marks if mark.end <= m.start < behind.start
        ):
            continue
        clause.marks = [_denial(m) if m is mark else m for m in clause.marks]
        clause.seal()
        clause.moods.add("not")
        return


def end_to_end(tokens: list[Token], clause: Clause) -> None:
    """ "rinsed B edge to edge": how far it was rinsed; nothing was covered."""
    manner = [m for m in clause.marks if "cover:did" in m.keys and "to" in {t.word for t in tokens[m.start : m.end]}]
    if manner and any("step" in m.attrs and worked(m) for m in clause.marks):
        clause.marks = [m for m in clause.marks if m not in manner]
        clause.seal()


BESIDE_SHARE = {"but", "pero", "just", "only", "solo", "nomas", "well", "bueno", "though", "still", "it", "is"}


def denied_behind(tokens: list[Token], clauses: list[Clause]) -> None:
    """ "rinsed B but not all", "la B enjuagada, no toda": what was told before is not so of all of it."""
    for at, clause in enumerate(clauses):
        last = clause.marks[-1] if clause.marks else None
        plain = last is not None and (_plain_denial(tokens, last) or _plain_share(tokens, last))
        if last is None or not plain or not _ends(tokens, clause, last):
            continue
        if OTHERS & {t.word for t in tokens[last.start : last.end]}:
            continue  # "A rinsed, the rest isnt": A is
        own = any(worked(m) for m in clause.marks)
        if not own and any(t.word not in BESIDE_SHARE for t in tokens[clause.start : last.start]):
            continue
        told = clause if own or not at else clauses[at - 1]
        if any(worked(m) for m in told.marks) and all(
            "result" not in m.keys for m in told.marks if m is not last
        ):
            clause.marks = clause.marks[:-1]
            clause.seal()
            told.moods.add("maybe")


def _ends(tokens: list[Token], clause: Clause, mark: Mark) -> bool:
    return all(t.word in ("of", "it", "them", "yet", "todavia", "aun") for t in tokens[mark.end : clause.end])


def left_out(tokens: list[Token], marks: list[Mark]) -> list[Mark]:
    """Marks what leaves a section out of a whole told before it: "all rinsed but B", "todo enjuagado pero la B no"."""
    places = {m.start: m for m in marks if m.kind == "sec"}
    for at in range(1, len(tokens)):
        if tokens[at].word not in LEAVES:
            continue
        size = next((len(w) for w in LEAVING_OUT if tuple(t.word for t in tokens[at : at + len(w)]) == w), 0)
        if not size:
            continue
        start = at + size
        while start < len(tokens) and tokens[start].word in ARTICLES and start not in places:
            start += 1
        end = places[start].end if start in places else start + 1
        if _leaves(tokens, at, start, places) and _stops(tokens, end, marks):
            kept = [m for m in marks if m.end <= at or m.start >= at + size]
            out = Mark("word", "except", at, at + size, "word", frozenset(("except", "except:word")))
            return sorted([*kept, out], key=lambda m: m.start)
    return marks


EDGES = {"edge", "edges", "corner", "corners", "end", "ends", "boards", "strip", "orilla", "orillas", "esquina", "esquinas"}


def _leaves(tokens: list[Token], at: int, start: int, places: dict[int, Mark]) -> bool:
    """Whether a section, one of them, or the edges are what is left out of the whole told before."""
    if start >= len(tokens):
        return False
    if start in places:
        told = {n for m in places.values() if m.end <= at for n in m.value}
        whole = _whole_before(tokens, at, places.values()) or _all_of(tokens, at, places.values())
        return whole or set(places[start].value) <= told
    if tokens[start].word in ("one", "una", "uno"):
        return not WHOLE.isdisjoint(t.word for t in tokens[:at])
    return tokens[start].word in EDGES and any(p < at for p in places)


def _all_of(tokens: list[Token], at: int, places: Iterable[Mark]) -> bool:
    """ "all of B but the stairs is rinsed", "toda la A pero la B": all of the section named right before."""
    last = next((m for m in places if m.end == at), None)
    return last is not None and not WHOLE.isdisjoint(t.word for t in tokens[max(0, last.start - 3) : last.start])


IS = {"is", "are", "was", "were", "esta", "estan", "got", "been", "ya", "quedo"}


def _stops(tokens: list[Token], at: int, marks: list[Mark]) -> bool:
    """Whether nothing is told of what is left out, or only that it is not."""
    if at >= len(tokens) or tokens[at].kind == "sign" or tokens[at].word in ("no", "not"):
        return True
    while at < len(tokens) and tokens[at].word in IS:
        at += 1
    return any(m.start == at and worked(m) for m in marks)  # "whole deck but B rinsed"


def _whole_before(tokens: list[Token], at: int, places: Iterable[Mark]) -> bool:
    """Whether the sentence speaks of all there is before a place in it, and of no section by its name."""
    start = max((i + 1 for i in range(at) if tokens[i].word in SENTENCE), default=0)
    named = any(start <= m.start < at and not {"*", "+"} & set(m.value) for m in places)
    whole = not WHOLE.isdisjoint(t.word for t in tokens[start:at]) or any(
        start <= m.start < at for m in places
    )
    return whole and not named


def whole_left(tokens: list[Token], clauses: list[Clause]) -> None:
    """ "everything rinsed, B isnt", "all rinsed just B to go": a whole of which a section is still to do is not done."""
    places = [m for c in clauses for m in c.marks if m.kind == "sec"]
    for clause in clauses:
        verb = next((m for m in clause.marks if worked(m)), None)
        if verb is not None:
            _all_but_one(tokens, clauses, clause)
        if verb is None or not _whole_before(tokens, _object_end(tokens, verb, places), places):
            continue
        later = [c for c in clauses if c.start >= clause.start and c.sentence <= clause.sentence + 1]
        for other in later:
            behind = any(m.kind == "sec" and m.start >= verb.end and m.value != ["*"] for m in other.marks)
            if behind and _still_to_do(tokens, other, max(other.start, verb.end)):
                clause.moods.add("maybe")


def without(clause: Clause, names: set[str]) -> None:
    """Takes sections out of the lists that a clause names."""
    kept = [(m, [n for n in m.value if n not in names] if m.kind == "sec" else []) for m in clause.marks]
    clause.marks = [replace(m, value=left) if left else m for m, left in kept if left or m.kind != "sec"]


def _all_but_one(tokens: list[Token], clauses: list[Clause], told: Clause) -> None:
    """ "rinsed A B C D, not C": of those in the list, not the one that is denied behind it."""
    names = {n for m in told.marks if m.kind == "sec" for n in m.value}
    for other in clauses:
        denied = {n for m in other.marks if m.kind == "sec" for n in m.value}
        if other.start > told.start and other.sentence == told.sentence and denied < names and _still_to_do(
            tokens, other, other.start) and not any(worked(m) for m in other.marks):
            without(told, denied)


def excepted(clauses: list[Clause]) -> None:
    """ "A-D rinsed but not C": what is left out stands in a clause of its own."""
    for at, clause in enumerate(clauses):
        left = next((m for m in clause.marks if "except" in m.keys), None)
        if left is None:
            continue
        names = {n for m in clause.marks if m.kind == "sec" and m.start >= left.end for n in m.value}
        for told in clauses[:at]:
            if told.sentence == clause.sentence and names < {n for m in told.marks if m.kind == "sec" for n in m.value}:
                without(told, names)


MISSED = LEFT | {"missed", "miss", "forgot", "skipped", "falto", "faltaron", "brinque", "salte"}


def piece_left(tokens: list[Token], clauses: list[Clause], pieces: set[str]) -> None:
    """ "B rinsed, missed a spot", "la B enjuagada pero falta la orilla": not the whole of it."""
    owns = [c for c in clauses if any(worked(m) or "result" in m.keys or m.kind == "sec" for m in c.marks)]
    for told, after in pairwise([*owns, None]):
        verb = next((m for m in reversed(told.marks) if worked(m)), None) if told is not None else None
        if told is None or verb is None:
            continue
        stop = after.start if after is not None else len(tokens)
        words = {t.word for t in tokens[max(verb.end, told.end - 1) : stop]}
        if words & pieces and words & MISSED:
            told.moods.add("maybe")


def _object_end(tokens: list[Token], verb: Mark, places: list[Mark]) -> int:
    """Behind a verb, and behind the "everything" or "the deck" that it is said of; "all of B" is B."""
    at = next((m.end for m in places if m.start == verb.end and m.value == ["*"]), verb.end)
    while at < len(tokens) and tokens[at].word in WHOLE | ARTICLES | {"of", "it", "them"}:
        at += 1
    return verb.end if any(m.start == at and m.value != ["*"] for m in places) else at


def _still_to_do(tokens: list[Token], clause: Clause, start: int) -> bool:
    told = [t.word for t in tokens[start : clause.end]]
    words = set(told)
    looks = any("result" in m.keys or "incident" in m.keys for m in clause.marks)
    wanting = "it" in words and not words.isdisjoint(("needs", "need"))
    denied = "not" in clause.moods and "problem" not in words
    later = not any(worked(m) or not m.keys.isdisjoint(("product", "apply", "begin", "mixing")) for m in clause.marks)
    wanting = wanting or (later and (not words.isdisjoint(WAITS) or told[-1:] in (["still"], ["todavia"], ["aun"])))
    return not looks and (wanting or bool(words & LEFT) or not TO_DO.isdisjoint(pairwise(told)) or denied)
