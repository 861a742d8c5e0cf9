"""The names of the crew among the words: no slip of another word, and no stranger."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from bot.understand.marks import Token, word_at
from bot.understand.tidy import plain

BEHIND_S = {"here", "on", "in", "out", "back", "done", "gone", "leaving", "off", "headed", "also"}  # "Rays here"
EVERY = {"everybody", "everyone"}
BEHIND_NAME = {"is", "was", "has", "just", "already", "ya", "also", "finally", "got", "did", "put", "gave", "went", "left",
    "gone", "home", "se", "and", "y"}  # fmt: skip


# First names that are no other word: who is called so and is not of the crew is not who speaks either.
COMMON = frozenset((
    "adrian", "alberto", "alejandro", "alex", "alfredo", "alicia", "ana", "andrea", "andres", "antonio", "arturo",
    "beto", "bobby", "brian", "carla", "carlos", "carmen", "cesar", "chava", "chema", "chuy", "cindy", "daniel",
    "danny", "dave", "david", "diego", "eddie", "eduardo", "elena", "enrique", "ernesto", "esteban", "felipe",
    "fernando", "francisco", "gabriel", "gerardo", "gus", "gustavo", "hank", "hector", "hugo", "ignacio", "isabel",
    "ivan", "jaime", "javier", "jeff", "jenny", "jerry", "jesse", "jimmy", "joaquin", "joe", "joey", "john",
    "johnny", "jorge", "jose", "juan", "juana", "julia", "julio", "karen", "karla", "kevin", "kike", "lalo",
    "larry", "laura", "leo", "lety", "lucas", "lucia", "lucy", "luis", "lupe", "manny", "manuel", "marco", "marcos",
    "maria", "mariana", "mario", "marta", "martin", "matt", "miguel", "mike", "miriam", "moises", "monica", "nando",
    "nate", "nick", "nico", "norma", "omar", "oscar", "pablo", "paco", "pancho", "paola", "patricia", "paul",
    "paulo", "pedro", "pepe", "pete", "ramon", "raul", "rebecca", "ricardo", "rick", "ricky", "rita", "robert",
    "roberto", "rodrigo", "ruben", "sam", "samuel", "santiago", "sarah", "sergio", "silvia", "sofia", "steve",
    "susana", "teresa", "terry", "tito", "toby", "tom", "tomas", "tommy", "tono", "tony", "vicente", "victor",
    "walter", "wendy", "yolanda",
))  # fmt: skip


def named(tokens: list[Token], people: tuple[str, ...]) -> list[Token]:
    """The tokens, those that are somebody's name as such: they are no slip of another word and no stranger."""
    if not people:
        return tokens
    known = {*by_word(people), *COMMON}
    out: list[Token] = []
    for i, token in enumerate(tokens):
        owned = token.word[:-1] if token.word.endswith("s") and token.word not in known else ""
        every = token.word in EVERY and word_at(tokens, i + 1) in BEHIND_NAME
        if token.kind == "word" and (every or (token.word in known and not _ordinary(tokens, i))):
            out.append(replace(token, kind="name"))
        elif token.kind == "word" and owned in known and word_at(tokens, i + 1) in BEHIND_S:
            out += [replace(token, word=owned, kind="name"), replace(token, raw="s", word="is", start=token.end, glued=True)]
        else:
            out.append(token)
    return out


ORDINARY = {"will", "mark", "art", "bill", "rich", "chip", "may", "june", "grant", "rocio", "sol", "clara", "blanca", "luz",
    "rose", "sandy", "cliff", "drew", "rusty", "skip", "max", "cruz", "grace", "hope", "jack", "pat"}


def as_words(tokens: list[Token]) -> list[Token]:
    """Names as words among others again, once slips are mended: what is no word is read elsewhere."""
    return [replace(token, kind="word", name=True) if token.kind == "name" else token for token in tokens]


def _ordinary(tokens: list[Token], at: int) -> bool:
    """ "will rinse B": a name that is a word as well is one only with its capital, and in front of what was done."""
    if tokens[at].word not in ORDINARY:
        return False
    ahead = word_at(tokens, at + 1)
    return not tokens[at].raw[0].isupper() or not (ahead.endswith(("ed", "o")) or ahead in BEHIND_NAME)


def by_word(people: Iterable[str]) -> dict[str, str]:
    """Names by their first word, plain; one that two people share is nobody's."""
    names = tuple(people)
    words = [plain(name.split()[0]) for name in names if name.split()]
    return {word: name for word, name in zip(words, names, strict=False) if words.count(word) == 1}
