"""Finds everything typed or known in a message: the tokens and the marks on them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import pairwise

from bot.understand import numbers, quantities, sections, sizes, times
from bot.understand.anew import unlisted
from bot.understand.corrections import corrected
from bot.understand.crewnames import as_words, named
from bot.understand.lexicon import Lexicon
from bot.understand.marks import Mark, Token
from bot.understand.number_words import WORDS
from bot.understand.phrasebook import Phrase
from bot.understand.section_words import NOUNS
from bot.understand.tidy import cut
from bot.understand.underway import under_way
from bot.understand.units import KINDS, UNITS


def marked(
    text: str, lexicon: Lexicon, today: date, products: tuple[str, ...] = (), known: tuple[str, ...] = (),
    people: tuple[str, ...] = (),
) -> tuple[list[Token], list[Mark]]:
    """The tokens of a text and everything typed or known found in them."""
    tokens = _without_about(as_words(lexicon.speller.apply(named(_spoken_signs(cut(text)), people))))
    tokens = numbers.merge(_readings_apart(tokens), quantities.is_unit)
    taken = [False] * len(tokens)
    marks = sizes.find(tokens, taken)
    marks += quantities.find(tokens, taken)
    marks += times.find(tokens, taken, marks, today)
    marks += _own_products(tokens, taken, products)
    places = sections.find(tokens, list(taken), known)
    marks += _phrases(tokens, taken, lexicon, places)
    for place in places:
        if len(place.value) == 1 and taken[place.start] and place.end - place.start > 1:
            place.start = place.end - 1  # "borra la seccion" holds the word, the letter stands
        if not any(taken[place.start : place.end]):
            taken[place.start : place.end] = [True] * (place.end - place.start)
            marks.append(place)
    for i, token in enumerate(tokens):
        if token.kind == "num" and not taken[i]:
            warm = _warm(tokens, i)
            kind = "temp" if warm else _kind(tokens, i, taken, lexicon)
            steps = frozenset(("steps_counted",)) if kind == "count" and _of_steps(tokens, i) else frozenset()
            marks.append(Mark(kind, (token.value, "deg") if warm else token.value, i, i + 1, keys=steps))
    marks.sort(key=lambda m: m.start)
    marks = corrected(tokens, marks, lexicon.spanish)
    return tokens, under_way(tokens, unlisted(marks, tokens))


def _warm(tokens: list[Token], at: int) -> bool:
    """ "82 out", "79 and sunny": a number that can only be the air."""
    after = [t.word for t in tokens[at + 1 : at + 4]]
    value = tokens[at].value or 0
    if not 20 <= value <= 125:
        return False
    if _said_of_air(tokens, at, after):
        return True
    if not after:
        return False
    if after[:3] == ["in", "the", "shade"] or after[:3] == ["a", "la", "sombra"]:
        return True
    if after[0] in ("con", "with", "and", "y") and at + 3 < len(tokens) and tokens[at + 2].kind == "num" and tokens[
        at + 3].word == "%":
        return True  # "68 con 80% de humedad"
    if after[0] in ("out", "outside", "afuera"):
        return after[1:2] != ["of"]
    return len(after) > 1 and after[0] in ("and", "n", "y", "con") and after[1] in ("sunny", "cloudy", "overcast",
        "nublado", "soleado", "windy", "breezy", "humid", "clear", "calm", "still", "muggy", "hot", "sticky", "fresco",
        "despejado", "fresquito", "caliente", "bochorno", "hazy", "gray", "grey")


WEATHER = {"humidity", "humid", "wind", "breeze", "breezy", "windy", "mph", "kph", "boards", "sunny", "sun", "cloudy",
    "overcast", "humedad", "viento", "brisa", "tablas", "sol", "nublado", "soleado"}  # fmt: skip


SKY = {"wind", "breeze", "breezy", "windy", "sunny", "cloudy", "overcast", "humid", "viento", "brisa", "nublado", "soleado"}
METERS = {"moisture", "meter", "ph", "boards", "board", "surface", "medidor", "tablas", "tabla", "madera", "humedad",
    "humidity", "percent", "minutes", "min", "$"}  # fmt: skip


def _said_of_air(tokens: list[Token], at: int, after: list[str]) -> bool:
    """ "it's 71 with a breeze", "101 and the boards are at 130", "sunny, 75": the air, where more of the weather is told."""
    before = tuple(t.word for t in tokens[max(0, at - 2) : at])
    value, behind = tokens[at].value or 0, after[0] if after else ""
    alone = not before or tokens[at - 1].kind == "sign"
    if alone and 45 <= value <= 115 and behind in ("", ",", "."):
        return not SKY.isdisjoint(t.word for t in tokens) and METERS.isdisjoint(t.word for t in tokens)
    of_it = (before in OF_AIR or before[-1:] == ("its",)) and behind in ("with", "and", "con", "y", ",")
    boards = behind in ("and", "y") and value >= 60 and not {"boards", "tablas"}.isdisjoint(after)
    return (of_it or boards) and not WEATHER.isdisjoint(t.word for t in tokens[at + 1 :])


OF_AIR = (("it", "is"), ("estamos", "a"), ("andamos", "a"))


def _kind(tokens: list[Token], at: int, taken: list[bool], lexicon: Lexicon) -> str:
    """`num` for a number that stands alone, `count` where it counts things ("9 treads", "2 boards")."""
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    if after is not None and after.word == ")" and (at == 0 or tokens[at - 1].kind == "sign"):
        return "count"  # 1) 2) 3)
    if _of_steps(tokens, at):
        return "count"
    if after is None or after.kind != "word":
        return "num"
    if after.word in sizes.COUNTABLE:
        acidity = 0 < (tokens[at].value or 0) <= 14 and at + 2 < len(tokens) and tokens[at + 2].kind == "num"
        return "num" if acidity and after.word in NOUNS and any(t.word == "ph" for t in tokens[:at]) else "count"
    return "num" if taken[at + 1] or after.word in lexicon.fillers or len(after.word) < 3 else "count"


def _of_steps(tokens: list[Token], at: int) -> bool:
    """ "los peldaños: son 9", "the treads, there are 12": how many there are is told behind what is counted."""
    before = [t.word for t in tokens[max(0, at - 5) : at]]
    while before and before[-1] in COUNTS:
        before.pop()
    behind = tokens[at + 1] if at + 1 < len(tokens) else None
    ends = behind is None or behind.kind == "sign" or behind.word in ("de", "of", "and", "y", "at", "each", "total", "con")
    told = len(before) < min(at, 5)
    return bool(before) and before[-1] in sizes.STEPPED and told and ends and tokens[at].value in range(2, 41)


COUNTS = {"son", "hay", "are", "there", "is", "its", "it", ":", ",", "~", "como", "about", "count", "counted", "conte"}


SPOKEN_NUMBERS = set(WORDS)


def _spoken_signs(tokens: list[Token]) -> list[Token]:
    """Dictated signs: "period", "comma", "question mark", "per cent"."""
    for one, two in pairwise(tokens):
        if (one.word, two.word) == ("per", "cent"):
            one.word, one.raw, one.end = "percent", "percent", two.end
            two.word, two.kind = "~", "sign"
    for i, token in enumerate(tokens):
        beside = {t.kind for t in tokens[max(0, i - 1) : i + 2] if t is not token}
        between = 0 < i < len(tokens) - 1 and beside == {"word"} and tokens[i - 1].word not in ("en", "el", "un", "al", "a")
        told = not SPOKEN_NUMBERS & {t.word for t in tokens[max(0, i - 1) : i + 2]}
        ended = i == len(tokens) - 1 or (token.word == "punto" and between and told)
        if token.word in ("period", "comma") or (token.word in ("punto", "coma") and ended):
            token.kind, token.word = "sign", "." if token.word in ("period", "punto") else ","
        elif token.word == "mark" and i and tokens[i - 1].word == "question":
            token.kind, token.word = "sign", "?"
    return tokens


def _readings_apart(tokens: list[Token]) -> list[Token]:
    """ "moisture D15 16 14": a letter with two digits before more readings is a section, and the first of them."""
    out: list[Token] = []
    for i, token in enumerate(tokens):
        behind = [t.kind == "num" and t.raw.isdigit() and len(t.raw) == 2 for t in tokens[i + 1 : i + 3]]
        if token.kind == "place" and len(token.raw) == 3 and behind == [True, True]:
            middle = token.start + 1
            out.append(replace(token, raw=token.raw[0], word=token.word[0].lower(), end=middle, kind="word"))
            figure = token.raw[1:]
            out.append(replace(token, raw=figure, word=figure, start=middle, kind="num", value=float(figure)))
        else:
            out.append(token)
    return out


ABOUT = (("mas", "o", "menos"), ("como",), ("casi",), ("unos",))
SHARE_NOUNS = {"mitad", "tercio", "tercera", "cuarto", "cuarta"}


def _without_about(tokens: list[Token]) -> list[Token]:
    """ "queda como la mitad", "le quedo mas o menos un tercio": a share is rough, and its roughness says nothing."""
    for at in range(len(tokens) - 2, 0, -1):
        if tokens[at].word in ("la", "un", "una") and tokens[at + 1].word in SHARE_NOUNS:
            said = next((a for a in ABOUT if tuple(t.word for t in tokens[max(0, at - len(a)) : at]) == a), ())
            tokens = tokens[: at - len(said)] + tokens[at:]
    return tokens


def _own_products(tokens: list[Token], taken: list[bool], products: tuple[str, ...]) -> list[Mark]:
    """The shop's own products by name."""
    out: list[Mark] = []
    for name in products:
        words = name.lower().split()
        for at in range(len(tokens) - len(words) + 1):
            end = at + len(words)
            if [t.word for t in tokens[at:end]] == words and not any(taken[at:end]):
                keys = frozenset(("product", f"product={name}", "shared", "own"))
                out.append(Mark("word", "product", at, end, "noun", keys, {"product": name}))
                taken[at:end] = [True] * len(words)
    return out


def _phrases(tokens: list[Token], taken: list[bool], lexicon: Lexicon, places: list[Mark]) -> list[Mark]:
    """The words of the lexicon, the longest first; all meanings of the same words are kept in one mark.

    A section keeps its words unless a phrase of more words holds them ("next step").
    """
    out: list[Mark] = []
    held = {i: m.end - m.start for m in places for i in range(m.start, m.end)}
    at = 0
    while at < len(tokens):
        if taken[at] or tokens[at].kind not in ("word", "sign", "place"):
            at += 1
            continue
        fits: list[Phrase] = []
        length = 0
        word, after = tokens[at].word, tokens[at + 1].word if at + 1 < len(tokens) else ""
        for phrase in (*lexicon.pairs.get((word, after), ()), *lexicon.pairs.get((word, ""), ())):
            if len(phrase.words) < length:
                break
            if _stands(phrase, tokens, taken, at, held):
                fits.append(phrase)
                length = len(phrase.words)
        told = bool(out) and out[-1].end == at and "product" in out[-1].keys
        if told and word in ("medio", "media") and length > 1:  # "decapante medio aflojo": medium, and loose
            fits = [p for p in lexicon.pairs.get((word, ""), ()) if len(p.words) == 1]
            length = 1
        if length == 1 and (loose := _loose(lexicon, tokens, taken, at)):
            out.append(loose)
            at += 1
        elif fits:
            mark = _mark(fits, tokens, at, length)
            out.append(mark)
            taken[at : mark.end] = [True] * (mark.end - at)
            at = mark.end
        else:
            loose = _loose(lexicon, tokens, taken, at)
            out += [loose] if loose else []
            at += 1
    return out


def _stands(phrase: Phrase, tokens: list[Token], taken: list[bool], at: int, held: dict[int, int]) -> bool:
    size = len(phrase.words)
    if phrase.words[-1] == "how" and at + size < len(tokens) and tokens[at + size].word in ("many", "much", "long"):
        return False  # "tell me how many": the amount is asked for, not the way
    if at + size > len(tokens) or any(held.get(i, 0) >= size for i in range(at, at + size)):
        return False
    return all(tokens[at + i].word == w and not taken[at + i] for i, w in enumerate(phrase.words))


# Another statement begins: the verb is not parted over it ("the hose blew off", "the water being cut off").
ENDS = ("and", "but", "then", "so", "n", "is", "are", "was", "were", "being", "got", "blew", "broke", "came", "fell", "went",
    "popped", "quit", "died")  # fmt: skip


def _loose(lexicon: Lexicon, tokens: list[Token], taken: list[bool], at: int) -> Mark | None:
    """A verb whose particle stands a few words later ("hosed B down")."""
    fits = lexicon.gaps.get(tokens[at].word, [])
    if at + 1 < len(tokens) and (tokens[at + 1].kind == "sign" or tokens[at + 1].word in ENDS):
        return None
    for behind in range(at + 2, min(at + 6, len(tokens))):
        number = tokens[behind].kind == "num" and tokens[behind].word != "one"  # "take that last one off"
        if not fits or number or tokens[behind].kind == "sign" or taken[behind] or tokens[behind].word in ENDS:
            break
        same = [p for p in fits if p.words[1] == tokens[behind].word]
        if same:
            taken[at] = taken[behind] = True
            return _mark(same, tokens, at, 1)
    return None


PARTICIPLES = ("ado", "ada", "ados", "adas", "ido", "ida", "idos", "idas")  # how a thing is, not what was done
NOUN_AFTER = {"el", "un", "del", "de", "al", "su", "otro", "este", "primer", "buen", "d", "con", "para", "pa", "the",
    "a"}


def _noun_or_verb(fits: list[Phrase], tokens: list[Token], at: int) -> list[Phrase]:
    """ "enjuague" and "aceite" are nouns and verbs: an article or a product makes the noun."""
    nouns = [p for p in fits if p.form == "noun"]
    last = tokens[at - 1].word if at else ""
    verbs = any(p.form in ("e", "o") for p in fits)
    amount = at > 1 and tokens[at - 2].kind == "num" and KINDS.get(UNITS.get(last, "")) in ("vol", "mass")
    of = at - 1 if last == "of" else at - 2 if last == "the" and at > 1 and tokens[at - 2].word == "of" else 0
    of_it = of > 0 and tokens[of - 1].word in UNITS
    if nouns and (amount or of_it):
        return nouns  # "2 gal oil", "4 L of the oil"
    if not nouns or not verbs or tokens[at].raw[-1:] in "éÉóÓ":
        return [p for p in fits if p.form != "noun"] if nouns and verbs else fits
    noun = last in NOUN_AFTER or any("product" in p.attrs for p in nouns)
    return [p for p in fits if (p.form in ("e", "o", "do")) != noun] or fits


ENGLISH = {"of", "the", "for", "me", "us", "some", "and"}


def _order(fits: list[Phrase], tokens: list[Token], at: int) -> list[Phrase]:
    """ "prepare 3 gal of citric": an order in English, no "preparé" that lost its accent."""
    orders = [p for p in fits if p.form == "do" and p.language == "en"]
    if not orders or all(p.form != "e" for p in fits) or ENGLISH.isdisjoint(
        t.word for t in tokens[max(0, at - 1) : at + 5]
    ):
        return fits
    return [p for p in fits if p.form != "e"]


def _mark(fits: list[Phrase], tokens: list[Token], at: int, length: int) -> Mark:
    fits = _order(_noun_or_verb(fits, tokens, at), tokens, at)
    keys = frozenset().union(*(p.keys for p in fits))
    attrs = {k: v for p in reversed(fits) for k, v in p.attrs.items()}
    form = _form(fits, tokens, at)
    if tokens[at].word.endswith(PARTICIPLES):
        keys |= {f"{p.name}:adj" for p in fits}
    if form == "did" and not any(p.form == "did" for p in fits):
        keys |= {k.rpartition(":")[0] + ":did" for k in keys if ":" in k}
    return Mark("word", fits[0].name, at, at + length, form, keys, attrs)


def _somebody(tokens: list[Token], at: int) -> bool:
    """ "luis rocio la A", "la enjuago Luis": who did it is named, so it is no "I rinse"."""
    ahead = at + 1 + (at + 1 < len(tokens) and tokens[at + 1].word in ("el", "la"))
    return (at > 0 and tokens[at - 1].name) or (ahead < len(tokens) and tokens[ahead].name)


def _form(fits: list[Phrase], tokens: list[Token], at: int) -> str:
    """The form of a word; a Spanish ending without its accent is read by the word before it."""
    forms = {p.form for p in fits}
    raw, last = tokens[at].raw, tokens[at - 1].word if at else ""
    if "o" in forms and _somebody(tokens, at):
        return "did"
    if ("e" in forms and raw[-1:] in "éÉ") or ("o" in forms and raw[-1:] in "óÓ"):
        return "did"
    if "o" in forms and last in ("ya", "se", "le", "les", "la", "lo"):
        return "did"
    if "e" in forms and last == "ya":
        return "did"
    opens = at == 0 or tokens[at - 1].kind == "sign"  # "Mezclá un balde": an order
    near = (last in NOUNS or len(last) < 3) and last not in ("no", "ya", "se", "la", "me")
    if "do" in forms and raw[-1:] == "á" and near and not opens:
        return "did"  # "la K enjuagá": the participle as the Caribbean says it
    before = {t.word for t in tokens[max(0, at - 3) : at]}
    if "e" in forms and "que" in before and not before & {"creo", "dije"}:
        return "sub"  # "que acabe": a wish or a condition, no fact
    return next((f for f in ("did", "ing", "do", "e", "o", "fut", "noun", "word") if f in forms), "word")
