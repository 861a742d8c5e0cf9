"""What was begun, by the words between the beginning and the place: other work, or goods that are no product here."""

from __future__ import annotations

from bot.understand.clauses import Clause
from bot.understand.lexicon import Lexicon
from bot.understand.marks import Mark, Token
from bot.understand.section_words import NOUNS
from bot.understand.slots import Scene
from bot.understand.tidy import plain

ANY_WORK = {"working", "doing", "going", "trabajar", "trabajando", "chambear", "chambeando", "darle", "jalar", "jalando",
    "entrarle", "meterle"}  # fmt: skip
ONTO = {"on", "onto", "over", "in", "en", "a", "al", "sobre", "to"}
WITH = {"with", "con"}
UNTOLD = {"how_topic", "spoiled"}  # words known for other things: they name no product


def other_work(clause: Clause, scene: Scene) -> bool:
    """ "started prepping B", "empezamos a preparar la B": what was begun is told, and is no step known here."""
    behind = [_meant(scene.tokens[i]) for i in _behind(clause)]
    told = behind[1:2] if behind[:1] == ["a"] else behind[:1]
    verb = ("ar", "er", "ir", "arle", "erle") if behind[:1] == ["a"] else ("ing", "ando", "iendo")
    return bool(told) and told[0].endswith(verb) and told[0] not in ANY_WORK


def _meant(token: Token) -> str:
    """The word; where a slip was mended that lost its first letter, as it was written: "zorking" is not "working"."""
    written = plain(token.raw)
    return token.word if written[:1] == token.word[:1] else written


def strange_goods(clause: Clause, scene: Scene, lexicon: Lexicon) -> str | None:
    """ "started mystery juice on B", "B covered with vinegar": what with, where a word of it is unknown, else None."""
    words = [scene.tokens[i].word for i in range(clause.end)]
    behind = _behind(clause)
    end = next((n for n, i in enumerate(behind) if words[i] in ONTO), 0)
    put = next((i for i in range(clause.start, clause.end - 1) if words[i] in WITH), None)
    after = [] if put is None else [i for i in range(put + 1, clause.end) if words[i] not in lexicon.fillers][:1]
    at = {i: m for m in clause.marks for i in range(m.start, m.end)}
    if put is not None and any(word in NOUNS for word in words[put + 1 : put + 4]):
        after = []  # "brightened C1 with the front rail"
    told = [i for i in behind[:end] if words[i] not in lexicon.fillers]
    for span in (told, after):
        if any(len(words[i]) > 2 and scene.tokens[i].kind == "word" and _strange(at.get(i)) for i in span):
            return " ".join(words[i] for i in span)
    return None


def _strange(mark: Mark | None) -> bool:
    return mark is None or (mark.kind == "word" and mark.value in UNTOLD)


def _behind(clause: Clause) -> list[int]:
    """The places of the words behind the beginning, sections apart."""
    begun = next((m.end for m in clause.marks if "begin" in m.keys), clause.end)
    places = {i for m in clause.marks if m.kind == "sec" for i in range(m.start, m.end)}
    return [i for i in range(begun, clause.end) if i not in places]
