"""Finds sections: letters, letter and digit, named parts of a deck, lists, ranges and "everything"."""

from __future__ import annotations

from bot.understand.marks import Mark, Token, overlaps
from bot.understand.quantities import is_unit

NAMED = {
    "stairs": "stairs stares stair steps step staircase escaleras escalera gradas grada escalones escalon peldanos "
        "stairway staires stairwell",
    "rail": "rail rails railing railings handrail handrails baranda barandas barandal barandales barandilla "
        "pasamanos spindles balusters baluster banister bannister railling",
    "skirt": "skirt skirting skirts faldon falda faldones faldilla",
    "deck": "deck decks", "landing": "landing descanso descansillo rellano", "porch": "porch porche", "bench": "bench benches banca bancas banco",
    "pergola": "pergola", "gate": "gate porton", "fascia": "fascia", "dock": "dock muelle", "ramp": "ramp rampa",
    "balcony": "balcony balcon", "walkway": "walkway pasillo", "lattice": "lattice celosia", "posts": "posts postes",
        "wall": "wall pared muro", "gazebo": "gazebo kiosco glorieta palapa", "fence": "fence cerca cerco barda valla",
        "terrace": "terrace terraza", "platform": "platform plataforma tarima", "planter": "planter jardinera",
        "trellis": "trellis", "arbor": "arbor", "bridge": "bridge puente",
}  # fmt: skip
NOUNS = {word: name for name, words in NAMED.items() for word in words.split()}
BARE = set(NAMED) - {"deck", "wall", "terrace", "bridge", "planter"}  # named parts that stand as a section alone; a bare "deck" does not
SIDES = {
    "front": "front frente frontal delantera delantero enfrente adelante", "back": "back rear trasera trasero atras",
    "lower": "lower bottom abajo inferior downstairs baja bajo", "upper": "upper top arriba superior upstairs alta "
        "alto",
    "left": "left izquierda izquierdo", "right": "right derecha derecho", "side": "side lado lateral", "north": "north norte",
    "south": "south sur", "east": "east este", "west": "west oeste", "main": "main principal", "privacy": "privacy",
        "pool": "pool alberca piscina",
}  # fmt: skip
SIDE = {word: name for name, words in SIDES.items() for word in words.split()}
SECTION = {"section", "sec", "sect", "seccion", "sections", "secciones", "secs", "zona", "secion", "tramo", "area",
    "part", "parte"}
SPOKEN = {
    "a": "A", "ay": "A", "eh": "A", "hey": "A", "b": "B", "be": "B", "bee": "B", "c": "C", "see": "C", "sea": "C",
        "ce": "C",
    "cee": "C", "d": "D", "dee": "D", "de": "D", "e": "E", "ee": "E", "f": "F", "ef": "F", "eff": "F", "efe": "F",
        "g": "G",
    "gee": "G", "ge": "G", "h": "H", "aitch": "H", "hache": "H", "che": "H", "jay": "J", "jota": "J", "ell": "L",
        "ele": "L", "em": "M", "eme": "M", "ene": "N", "enn": "N", "pee": "P", "pe": "P", "erre": "R", "ar": "R",
        "ese": "S", "ess": "S", "tee": "T", "te": "T", "kay": "K", "ka": "K", "j": "J", "k": "K",
}  # fmt: skip
NEVER = set("OYX")  # words, not sections
SELDOM = set("INU")  # and, you, que: sections only where one is named
LOWER = set("bcdefgh")
PLACES = {
    "on", "in", "for", "of", "and", "y", "la", "las", "los", "el", "del", "en", "the", "rinsed", "to", "from",
        "into", "with", "n",
    "&", "pa", "para", "thru", "through", "then", "over", "onto", "at", "e", "or", "o", "is", "hows",
}  # fmt: skip
JOIN = {"and", "y", "&", "n", ",", "e", "plus", "/", "+", "as", "well", "then", "und", "tambien", "con", "or", "o",
    "ni"}
THROUGH = {"-", "–", "thru", "through", "to", "a", "hasta", "al"}
ARTICLES = {"the", "la", "las", "el", "los", "both", "ambas", "de", "del", "all", "toda", "todas", "also", "section"} | SECTION
WHOLE = {
    "everything", "todo", "todas", "todos", "everythings", "toditito", "todito",
}  # fmt: skip
BOTH = {"both", "ambas", "ambos"}  # the sections named before
WHOLE_PHRASES = (
    "all of it", "all of them", "the whole thing", "whole thing", "whole deck", "entire deck", "whole lot", "the lot",
    "all sections", "all the sections", "every section", "all section", "todas las secciones", "toda la terraza",
    "todo el deck", "el deck entero", "deck completo", "every last bit", "the whole job", "all areas", "las dos no",
)  # fmt: skip
PHRASES = tuple(tuple(p.split()) for p in WHOLE_PHRASES)


def find(tokens: list[Token], taken: list[bool], known: tuple[str, ...] = (), busy: frozenset[str] = frozenset()) -> list[
    Mark]:
    """Marks of kind `sec`, each a list of names; lists and ranges are one mark."""
    singles = _singles(tokens, taken, known, busy)
    marks = _lists(tokens, singles)
    for mark in marks:
        taken[mark.start : mark.end] = [True] * (mark.end - mark.start)
    return marks


def _word(tokens: list[Token], at: int) -> str:
    return tokens[at].word if 0 <= at < len(tokens) else ""


def _singles(tokens: list[Token], taken: list[bool], known: tuple[str, ...], busy: frozenset[str]) -> list[Mark]:
    out: list[Mark] = []
    at = 0
    shouting = sum(t.raw.isupper() for t in tokens) > len(tokens) * 0.7 and len(tokens) > 3
    while at < len(tokens):
        found = None if taken[at] else _one(tokens, at, known, shouting, out, busy)
        if found and not overlaps(taken, found.start, found.end):
            out.append(found)
            at = found.end
        else:
            at += 1
    return out


def _one(
    tokens: list[Token], at: int, known: tuple[str, ...], shouting: bool, before: list[Mark], busy: frozenset[str]
) -> Mark | None:
    """The section that begins at this token, or None."""
    token, word = tokens[at], tokens[at].word
    for name in known:
        parts = name.lower().split()
        if [t.word for t in tokens[at : at + len(parts)]] == parts and len(name) > 2:
            return Mark("sec", [name], at, at + len(parts))
    for phrase in PHRASES:
        if tuple(t.word for t in tokens[at : at + len(phrase)]) == phrase:
            return Mark("sec", ["*"], at, at + len(phrase))
    if word in BOTH and not _heads_list(tokens, at):
        return Mark("sec", ["+"], at, at + 1)
    if word in ("las", "los") and _word(tokens, at + 1) in ("dos", "tres", "2") and not _heads_list(tokens, at + 1):
        return None
    if word in WHOLE and not (word in LOOSE_WHOLE and not _whole(tokens, at)) and not (word in ("todo", "todos",
        "todas") and _word(tokens, at + 1) in NOUNS):
        return Mark("sec", ["*"], at, at + 1)
    if token.kind == "place":
        return Mark("sec", [token.word], at, at + 1) if token.raw[0].isupper() or before or _led(tokens, at) else None
    if word in SECTION:
        return _after_section(tokens, at)
    if token.kind == "word" and (word in NOUNS or word in SIDE):
        return _named(tokens, at, busy)
    if token.kind == "word" and len(word) == 1 and _letter(tokens, at, shouting, before):
        return _with_digit(tokens, at, word.upper())
    if word in AFTER_LA and at and tokens[at - 1].word in ("la", "y"):
        return _spoken_after_la(tokens, at)
    return None


NAMES_ONE = {"la", "seccion", "sec", "section", "on", "in", "para", "en", "of", "de", "rinsed", "started", "covered",
    "sections", "secciones"}
AFTER_LA = ("ese", "ele", "eme", "ene", "pe", "erre", "te", "ka", "be", "bee", "ce", "dee", "cee", "efe", "see",
    "sea", "de", "ge", "hache", "che", "ef", "jota")


LOOSE_WHOLE = ("todo", "todos", "todas")


def _whole(tokens: list[Token], at: int) -> bool:
    """ "todo" stands for the whole job only where a verb's object or subject can stand."""
    after = _word(tokens, at + 1)
    return after in ("", ".", "!", "?", ",", "ya", "esta", "quedo", "listo", "enjuagado", "de", "d", "otra", "con",
        "y", "cubierto", "mojado", "lo", "hace", "a", "rociado", "en")


def _heads_list(tokens: list[Token], at: int) -> bool:
    """ "both A and B": the list follows."""
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    return after is not None and (after.kind == "place" or after.raw in "ABCDEFGHJK" or after.word in ("of", "the",
        "section", "sections", "coats", "las", "la"))


def _led(tokens: list[Token], at: int) -> bool:
    return at == 0 or tokens[at - 1].word in PLACES or tokens[at - 1].word in SECTION


def _with_digit(tokens: list[Token], at: int, letter: str) -> Mark:
    return Mark("sec", [letter], at, at + 1)


def _spoken_digit(tokens: list[Token], at: int) -> str:
    """The digit spoken behind a spoken letter ("section bee two"), or nothing."""
    token = tokens[at] if at < len(tokens) else None
    if token is None or token.kind != "num" or not token.spoken or token.value not in range(1, 10):
        return ""
    after = _word(tokens, at + 1)
    return "" if is_unit(after) or after in ("by", "x", "por", "more", "mas", "point", "punto", "%", "and", "y") or (
        at + 1 < len(tokens) and tokens[at + 1].kind == "num") else str(int(token.value))


def _spoken_after_la(tokens: list[Token], at: int) -> Mark | None:
    """ "medi la ce": a letter spoken in Spanish, its article before it."""
    word, after = tokens[at].word, _word(tokens, at + 1)
    if word == "de" or (tokens[at - 1].word == "y" and word in ("be", "see", "sea")):
        return None
    if word in ("see", "sea", "be") and after and after.isalpha() and word != "be":
        return None
    digit = _spoken_digit(tokens, at + 1)
    return Mark("sec", [SPOKEN[word] + digit], at, at + 1 + len(digit))


def _after_section(tokens: list[Token], at: int) -> Mark | None:
    """ "section bee", "sec B 2": whatever letter follows the word, however spelled."""
    word, token = _word(tokens, at + 1), tokens[at + 1] if at + 1 < len(tokens) else None
    if token is None:
        return None
    if token.kind == "place":
        return Mark("sec", [token.word], at, at + 2)
    if token.kind != "word":
        return None
    if len(word) == 1 and word.isalpha() and (word not in "oyxnuq" or token.raw.isupper()):
        loose = tokens[at].word in ("area", "part", "parte", "zona") and not token.raw.isupper()
        digit = _spoken_digit(tokens, at + 2)
        return None if loose else Mark("sec", [word.upper() + digit], at, at + 2 + len(digit))
    if word in SPOKEN and tokens[at].word not in ("area", "part", "parte"):
        digit = _spoken_digit(tokens, at + 2)
        return Mark("sec", [SPOKEN[word] + digit], at, at + 2 + len(digit))
    return None


def _letter(tokens: list[Token], at: int, shouting: bool, before: list[Mark]) -> bool:
    """Whether a single letter is a section here, not an article, a slang word or a unit."""
    token, word = tokens[at], tokens[at].word
    upper = token.raw.isupper() and not shouting
    last, after = _word(tokens, at - 1) if at else "", _word(tokens, at + 1)
    if word.upper() in NEVER or not word.isascii() or not word.isalpha():
        return False
    if token.glued and at and tokens[at - 1].kind in ("num", "word"):
        return upper and tokens[at - 1].kind == "word"
    joined = bool(before) and ((before[-1].end == at and upper) or (before[-1].end == at - 1 and (last in JOIN or
        last in THROUGH)))
    begins = not last.isalnum() and (at + 1 < len(tokens) and (tokens[at + 1].kind in ("sign", "num") or after.endswith(
        ENDINGS) or after in NOT_A_NOUN))
    if word == "i" and last not in ("la", "seccion", "section", "sec", "de", "en"):
        return False
    if word.upper() in SELDOM and not (upper and (joined or begins or last in NAMES_ONE)):
        return False
    if last in ("la", "seccion", "sec", "section"):
        return word != "a" or _letter_a(tokens, at, upper, joined, last, after)
    if word == "a":
        return _letter_a(tokens, at, upper, joined, last, after)
    if word == "e" and not upper:
        return joined or last in ("la", "en", "on")
    if upper:
        return True
    if word not in LOWER:
        return False
    if word == "d" and last not in ("la", "on", "sec", "in") and not joined and at:
        return False
    return joined or at == 0 or last in PLACES or last in (",", ".", ";", ":") or _ends(tokens, at)


def _ends(tokens: list[Token], at: int) -> bool:
    return at == len(tokens) - 1 or tokens[at + 1].kind == "sign" or tokens[at + 1].word in ("n", "and", "y", "now",
        "again")


ENDINGS = ("ed", "ada", "ado", "ida", "ido", "ierta")  # "A enjuagada", "A rinsed"
NOT_A_NOUN = {
    "and", "y", "n", "is", "are", "was", "to", "thru", "through", "done", "floor", "still", "again", "at", "now",
        "por", "then", "has",
    "esta", "ya", "en", "con", "about", "since", "o", "or", "got", "pls", "please", "porfa", "hace",
        "over", "all", "too",
    "just", "moisture", "ph", "rinsed", "covered", "misted", "stripped", "wet", "needs", "hasta", "tambien", "lista",
        "listo", "quedo",
    "looks", "read", "reads", "reading", "came", "for", "in", "on", "with", "w", "from", "first", "real",
        "today", "yesterday", "but",
    "pero", "no", "not", "only", "dio", "salio", "sigue", "yet", "ready", "did", "will", "the", "when", "off", "que",
        "before", "after",
}  # fmt: skip


def _letter_a(tokens: list[Token], at: int, upper: bool, joined: bool, last: str, after: str) -> bool:
    """ "A" is an article and a Spanish preposition too: it must look like a section."""
    end = at == len(tokens) - 1 or tokens[at + 1].kind in ("sign", "num", "place")
    next_letter = len(after) == 1 and after.isalpha() and tokens[at + 1].raw.isupper()
    if joined and (upper or end):
        return True
    if upper and at:
        return after not in ("la", "las", "lot", "few", "bit", "couple") or end
    if upper:
        return (end and after not in ("'",)) or after in NOT_A_NOUN or next_letter or after.endswith(ENDINGS)
    if last == "la":
        return end or after in NOT_A_NOUN or next_letter
    if last in ("on", "in", "for") and after not in ("y",):
        return at == len(tokens) - 1 or tokens[at + 1].word in (",", ".", "and", "&", "n", "?", "!")
    return False


def _named(tokens: list[Token], at: int, busy: frozenset[str]) -> Mark | None:
    """ "front rail", "deck de abajo", "stairs"."""
    word, after = tokens[at].word, _word(tokens, at + 1)
    if word in SIDE and word not in NOUNS and after in NOUNS:
        return Mark("sec", [f"{SIDE[word]} {NOUNS[after]}"], at, at + 2)
    if word not in NOUNS:
        return None
    name, behind = NOUNS[word], at + 1
    if name == "rail" and word in ("spindles", "balusters", "baluster") and _word(tokens, at - 1) in ("rail",
        "railing"):
        return None
    while _word(tokens, behind) in ("de", "del", "el", "la", "lado") and behind < at + 4:
        behind += 1
    if _word(tokens, behind) in SIDE and SIDE[_word(tokens, behind)] != "side" and (behind > at + 1 or _spanish_side(
        tokens, behind)):
        if not (_word(tokens, behind) in ("alto", "bajo") and behind > at + 1):
            return Mark("sec", [f"{SIDE[_word(tokens, behind)]} {name}"], at, behind + 1)
    if name not in BARE:
        return None
    if word in ("step", "steps", "stair") and (at and tokens[at - 1].kind == "num"):
        return None
    if word in ("bench", "banco", "part", "posts", "gate", "step", "balcon", "lattice") and not _led(tokens, at):
        return None
    end = at + 1
    if name == "rail" and after in ("spindles", "balusters", "posts"):
        end += 1
    return Mark("sec", [name], at, end)


def _spanish_side(tokens: list[Token], at: int) -> bool:
    return tokens[at].word not in ("front", "back", "top", "right", "left", "side", "main", "pool", "este", "alto")


def _lists(tokens: list[Token], singles: list[Mark]) -> list[Mark]:
    """Joins neighbours: "A, B and the stairs" is one mark; "A-C" and "de la A a la C" are filled."""
    out: list[Mark] = []
    for mark in singles:
        last = out[-1] if out else None
        between = [t.word for t in tokens[last.end : mark.start]] if last else []
        if between[:1] and between[0] in ("y", "and", "&", "n") and len(between) > 1:
            between = [between[0], *(w for w in between[1:] if w not in ("en", "on", "in", "para", "for", "pa", "de",
                "of"))]
        if last is None or len(between) > 4 or not _links(between) or ("," in between and "a" in between):
            out.append(mark)
            continue
        core = [w for w in between if w not in ARTICLES]
        names = list(last.value)
        if len(core) == 1 and core[0] in THROUGH and _range(names[-1], mark.value[0]):
            names = names[:-1] + _range(names[-1], mark.value[0])
        elif core and all(w in THROUGH for w in core) and core != ["-"]:
            out.append(mark)
            continue
        else:
            names += [n for n in mark.value if n not in names]
        linked = last.attrs.get("linked") or any(w in ("and", "y", "n", "&", "e") for w in between)
        comma = between[:1] == [","] and not any(w in ("and", "y", "n", "&") for w in between)
        attrs = {"linked": "yes"} if linked else {}
        if comma:
            attrs |= {"comma": str(mark.start), "before": str(last.end)}
        out[-1] = Mark("sec", names, last.start, mark.end, attrs=attrs)
    return out


def parted(mark: Mark) -> tuple[Mark, Mark]:
    """A list cut at its last comma, where its last name begins another statement."""
    at, end = int(mark.attrs["comma"]), int(mark.attrs["before"])
    return Mark("sec", mark.value[:-1], mark.start, end), Mark("sec", mark.value[-1:], at, mark.end)


def _links(between: list[str]) -> bool:
    return all(w in JOIN or w in ARTICLES or w in THROUGH for w in between)


def _range(first: str, last: str) -> list[str]:
    """The letters from first to last; empty where they are no range."""
    if len(first) != 1 or len(last) != 1 or not "A" <= first < last <= "Z":
        return []
    return [chr(n) for n in range(ord(first), ord(last) + 1)]
