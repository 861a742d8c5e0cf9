"""What is spoken of and not set about: drying that begins, product that was spilled, what the rain did, how long it takes."""

from __future__ import annotations

import re
from dataclasses import replace

from bot.understand.clauses import HAND_WORK, Clause
from bot.understand.marks import Token

STEPS = HAND_WORK | {"apply", "wetting", "weak", "give", "patch", "coating", "product", "plants", "window"}
AT_WORK = {"work", "do", "trabajar", "trabajarle", "darle", "dar", "hacer", "hacerle", "go", "jalar"}
INFINITIVE = re.compile(r"(?:ar|er|ir)(?:se|l[aeo]s?)?$")
LATER = {"before", "then", "luego", "despues"}
SPILLS = {"dripped", "drips", "dripping", "spilled", "spilt", "splashed", "splashing", "leaked", "leaking", "mistake",
    "accident", "cayo", "callo", "derramo", "goteo", "goteando", "salpico", "chorreo", "accidente", "error"}  # fmt: skip
VESSELS = {"bucket", "buckets", "can", "cans", "jug", "jugs", "sprayer", "drum", "goes"}
JUDGED = {"takes", "took", "sucks", "is", "was", "isnt", "wasnt", "makes", "lasts", "needs", "se", "tarda",
    "tardo", "toma", "cuesta"}  # fmt: skip
WEATHERS = {"rain", "storm", "sprinkler", "sprinklers", "lluvia", "tormenta", "aguacero"}
ARE = {"is", "are", "esta", "estan"}
STILL = {"still", "todavia", "aun", "sigue", "siguen"}


def undo_beginnings(tokens: list[Token], clause: Clause) -> None:
    """Takes the beginning out of a clause in which something else begins; leaves open what no hand does."""
    _begins_other(tokens, clause)
    if _spilled(tokens, clause) or _spoken_of(tokens, clause):
        clause.moods.add("maybe")


def _begins_other(tokens: list[Token], clause: Clause) -> None:
    """ "B is starting to dry", "empezo a llover en la B": what begins is no step; nor is what comes behind "then" begun."""
    work = {m.start for m in clause.marks if m.kind != "word" or not m.keys.isdisjoint(STEPS)}
    lost = []
    for mark in clause.marks:
        at = mark.end
        if "begin" in mark.keys and at + 1 < clause.end and tokens[at].word in ("to", "a") and at not in work:
            verb = tokens[at + 1].word
            infinitive = tokens[at].word == "to" or INFINITIVE.search(verb)
            if infinitive and at + 1 not in work and verb not in AT_WORK:
                lost.append(mark)
    ing = [m for m in clause.marks if m.form == "ing" and "step" in m.keys]
    if ing and all(m.form != "did" for m in clause.marks):
        lost += [
            m
            for m in clause.marks
            if m.kind == "sec" and m.start > ing[0].end and tokens[m.start - 1].word in LATER
        ]
        for mark in [m for m in clause.marks if m.kind == "sec" and len(m.value) > 1 and m.start + 2 < m.end]:
            if tokens[mark.start + 1].word in LATER:  # "rinsing B then C"
                clause.marks = [replace(m, value=m.value[:1]) if m is mark else m for m in clause.marks]
    if lost:
        clause.marks = [m for m in clause.marks if not any(m is x for x in lost)]
        clause.seal()


def _spilled(tokens: list[Token], clause: Clause) -> bool:
    """ "stripper dripped onto the rail", "stripper bucket on the stairs": it lies there, nobody put it on."""
    goods = [m for m in clause.marks if "product" in m.keys]
    if (
        not goods
        or "incident" in clause.keys
        or not clause.keys.isdisjoint(("mixing", "bought", "stock_word"))
    ):
        return False
    words = {t.word for t in tokens[clause.start : clause.end]}
    behind = {tokens[m.end].word for m in goods if m.end < clause.end}
    return "@sec" in clause.keys and bool(words & SPILLS or behind & VESSELS)


def _spoken_of(tokens: list[Token], clause: Clause) -> bool:
    """ "rinsing B takes forever", "rain misted B", "C is still wet with stripper": no hand does it now."""
    for mark in clause.marks:
        before = [t.word for t in tokens[max(clause.start, mark.start - 2) : mark.start]]
        after = [t.word for t in tokens[mark.end : min(mark.end + 4, clause.end)]]
        if "wetting:did" in mark.keys and {"product", "@sec"} <= clause.keys and before[-1:] and before[-1] in STILL | ARE:
            return True  # "B is flooded with stripper": how it stands
        if mark.keys.isdisjoint(("step", "mist", "cover:did")):
            continue
        if mark.form == "ing" and mark.start == clause.start and "done" not in clause.keys:
            place = next((m for m in clause.marks if m.kind == "sec" and m.start - mark.end <= 1), None)
            if place is not None and place.end < clause.end and tokens[place.end].word in JUDGED:
                return True
        if mark.form == "did" and not WEATHERS.isdisjoint(
            [*before[-1:], *(after if {"by", "por"} & set(after) else ())]
        ):
            return True
        if "cover:did" in mark.keys and before[-1:] and before[-1] in STILL:
            return True
    return False
