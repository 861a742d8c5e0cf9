"""Who did what is told: the names of the crew before their verb ("Luis rinsed B"), or behind it ("ya llego Chuy").

Without the names of the people nothing of this is heard. An act keeps them in `by`: names, ME for who speaks, ALL for
everybody, SOMEBODY for one of the crew who is not named. What is told of nobody keeps no `by` and is the speaker's.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bot.acts import ALL, CREDITED, ME, SOMEBODY, VISITS, Act
from bot.understand.clauses import Clause
from bot.understand.crewnames import by_word
from bot.understand.frames import Found
from bot.understand.lexicon import Lexicon, Rule
from bot.understand.marks import Mark, Token, word_at
from bot.understand.tidy import plain

SELF = {"i": ME, "me": ME, "myself": ME, "yo": ME, "im": ME}
EVERYBODY = {"everybody", "everyone", "everybodys", "todos", "todas"}
MANY = EVERYBODY | {"crew", "team", "boys", "guys", "lads", "fellas", "gang", "muchachos", "cuadrilla", "gente", "raza",
    "plebes", "equipo", "chavos", "chamacos", "helpers", "ayudantes", "peones", "chalanes", "companeros", "hands"}
JOINS = {"and", "y", "n", "&", "e", "+", "plus"}
ARTICLES = {"el", "la"}
# What may stand between who did it and the word that says what.
PASSED = {
    "is", "was", "has", "have", "had", "are", "were", "been", "just", "already", "ya", "also", "too", "finally",
    "now", "then", "ahora", "ahorita", "apenas", "acaba", "acaban", "acabo", "de", "did", "got", "get", "gets",
    "both", "all", "again", "se", "le", "les", "lo", "la", "los", "las", "nos", "tambien", "ha", "han", "esta",
    "estan", "anda", "andan", "only", "put", "gave", "he", "she", "they", "ella", "ellos", "right", "over", "the",
    "a", "an", "another", "second", "went", "dio", "dieron", "por", "fin", "recien", "still", "to", "started",
    "going", "hizo", "hicieron", "first", "early", "up", "some", "una", "un", "otra",
}  # fmt: skip
HOLDS = {"got", "has", "had", "have", "gets", "put", "gave"}  # "Luis got B covered": over a section, from these alone
# Before a name these make it an object: "tell Luis", "for Ana", "dile a Luis".
BLOCKS = {"to", "tell", "told", "for", "from", "by", "at", "of", "near", "gave", "give", "help", "helped", "let", "ask",
    "asked", "a", "al", "de", "para", "pa", "con", "with", "por", "sin", "without", "like", "call", "called", "not", "on",
    "thanks", "gracias", "get", "need", "want", "send", "than", "if", "si"}  # fmt: skip
GREETS = {"bye", "hey", "hi", "hello", "night", "later", "adios", "hola", "oye", "ok", "okay", "yo"}  # "bye Luis, leaving"
OURS = {"we", "us", "nos", "our", "i", "im", "am", "me", "yo"}
HAILS = {"morning", "good", "buenos", "dias", "buenas", "tardes", "everybody", "guys", "boss", "jefe", ",", "."}
ITS = {("it", "is"), ("this", "is"), ("habla", "el"), ("soy", "el"), ("aqui", "el")}
AGENT, BESIDE = {"by", "por"}, {"with", "con", "w"}
ELLIPSIS = {"and", "y", "n", "&", "e", "then", "luego", ",", "also", "tambien", "plus", "~", "but", "pero"}
FIRST = {"llegue", "yegue", "llege", "estoy", "toy", "ando", "voy", "sali", "vine", "cai", "arribe", "tamos", "acabo",
    "retiro"}
THIRD = ("o", "aron", "ieron", "eron", "an", "a", "ido", "ado")


@dataclass(frozen=True)
class Told:
    """What is looked at to find who did it: the tokens, whom each of them names, the words of the verb."""

    tokens: list[Token]
    whom: dict[int, str]
    marks: list[Mark]
    lexicon: Lexicon
    speaks: str = ME


def looked_at(tokens: list[Token], marks: list[Mark], lexicon: Lexicon, people: tuple[str, ...]) -> Told | None:
    """What is looked at to find who did what; None where nobody's name is known."""
    if not people:
        return None
    whom = _whom(tokens, marks, by_word(people))
    return Told(tokens, whom, marks, lexicon, _introduced(tokens, whom))


def _introduced(tokens: list[Token], whom: Mapping[int, str]) -> str:
    """ "hey its Luis, I rinsed B": who speaks with somebody else's phone; ME where nobody says so."""
    for at in range(1, min(5, len(tokens))):
        lead = word_at(tokens, at - 2), word_at(tokens, at - 1)
        greeted = all(t.word in GREETS or t.word in HAILS for t in tokens[: max(0, at - 2)])
        if tokens[at].name and greeted and (lead in ITS or lead[1] in ("its", "soy")) and at in whom:
            return whom[at]
    return ME


def credit(hits: list[Found], said: list[Clause], told: Told) -> None:
    """Gives the acts of each hit who did it, as far as that is told."""
    sentence = -1
    last: tuple[str, ...] = ()
    for clause in said:
        if clause.sentence != sentence:
            sentence, last = clause.sentence, ()
        mine = [h for h in hits if h.clause is clause]
        opens = _opening(told, clause)
        for hit in mine:
            found = _doers(told, hit) or (last if _goes_on(told, hit) else ())
            if any("@name" in part for part in hit.rule.has) and _nobody(told, hit, found):
                hit.acts, found = [], ()
            if hit.rule.act == "undo" and "@name" in clause.keys and not any("person" in a.slots for a in hit.acts):
                hit.acts, hit.ask = [], [*hit.ask, *hit.acts]  # "undo Luis": whose word is meant is not sure
            _give(told, hit, found)
            last = found or last
        if not mine and opens:
            last = opens


def heard(acts: list[Act], told: Told) -> list[Act]:
    """The acts that the second opinion alone hears, with who did them; "come here Luis": where the named is not who came,
    nobody is."""
    whole = Clause(0, len(told.tokens), told.marks)
    verbs = frozenset(m.start for m in told.marks if "predicate" in m.keys)
    out = []
    for act in acts:
        hit = Found(Rule(act.name, (), frozenset(), "any", {}, (), "", 0, (), -1, (), False, (), False, False), whole, verbs,
            told.marks, [act])  # fmt: skip
        names = any(n not in (ME, ALL, SOMEBODY) for n in told.whom.values())
        found = _doers(told, hit)
        if not found and names and act.name in VISITS and not (_first_person(told, hit) or _ours(told, whole)):
            continue
        _give(told, hit, found)
        out += hit.acts
    return out


THINGS = {"his", "her", "their", "my", "our", "the", "a", "an", "some", "it", "them", "that", "this", "those", "me", "us"}
SITES = {"site", "job", "jobsite", "property", "house", "place", "yard"}


def _nobody(told: Told, hit: Found, found: tuple[str, ...]) -> bool:
    """ "come here Luis", "Luis left his gloves": nobody came or went; "bye Luis, leaving" is of who speaks."""
    own = any(not m.keys.isdisjoint(("leaving", "arriving")) for m in hit.marks if m.start in hit.triggers)
    return (not found and not own) or _left_behind(told, hit)


def _left_behind(told: Told, hit: Found) -> bool:
    """ "Luis left his gloves here": what was left is told, and he is not gone."""
    left = next((i for i in hit.triggers if told.tokens[i].word == "left"), None)
    if left is None:
        return False
    return word_at(told.tokens, left + 1) in THINGS and word_at(told.tokens, left + 2) not in SITES


def _whom(tokens: list[Token], marks: list[Mark], known: Mapping[str, str]) -> dict[int, str]:
    whom = {i: known.get(t.word, t.word.capitalize()) for i, t in enumerate(tokens) if t.name}
    whom |= {i: SELF[t.word] for i, t in enumerate(tokens) if t.word in SELF}
    whom |= {i: ALL for i, t in enumerate(tokens) if t.word in EVERYBODY or _all_of_us(tokens, i)}
    for mark in marks:
        span = range(mark.start, mark.end)
        if "crew" in mark.keys:
            many = any(tokens[i].word in MANY for i in span)
            whom |= {i: ALL if many else SOMEBODY for i in span if i not in whom}
    return whom


def _all_of_us(tokens: list[Token], at: int) -> bool:
    """ "we are all heading out", "all of us": no "all packed up"."""
    return tokens[at].word == "all" and (
        (word_at(tokens, at + 1), word_at(tokens, at + 2)) == ("of", "us")
        or word_at(tokens, at - 1) in ("we", "they")
        or (word_at(tokens, at - 1) in ("are", "were") and word_at(tokens, at - 2) in ("we", "they"))
    )


def _give(told: Told, hit: Found, names: tuple[str, ...]) -> None:
    if told.speaks != ME:
        names = names or (ME,)
    kept = list(dict.fromkeys(told.speaks if n == ME else n for n in names))
    if not kept:
        return

    def given(act: Act) -> Act:
        by = kept if act.name in VISITS else [n for n in kept if n not in (ALL, SOMEBODY)]
        return act.having(by=by) if by and act.name in CREDITED else act

    hit.acts = [given(a) for a in hit.acts]
    hit.ask = [given(a) for a in hit.ask]


def _doers(told: Told, hit: Found) -> tuple[str, ...]:
    """Who did what a hit says; empty where nobody is told."""
    first = min(hit.triggers, default=hit.clause.start)
    visit = hit.rule.act in VISITS
    ours = _first_person(told, hit)
    before = tuple(n for at in sorted(hit.triggers or {first}) for n in _before(told, at, visit))
    if visit and ALL in before and (ours or _ours(told, hit.clause)):
        return (ME, *before)
    if before and (not ours or ME in before or ALL in before):
        return before
    behind = _behind(told, hit, first, visit, ours) or ((ME,) if ours and visit and not _of_all(told, hit) else ())
    if not behind and visit and _of_all(told, hit):
        return (ME, ALL) if ours or _ours(told, hit.clause) else (ALL,)
    return behind


def _of_all(told: Told, hit: Found) -> bool:
    """ "crew is here", "ya nos vamos todos"; "bye everyone, heading out" calls them, and they stay."""
    spans = [range(m.start, m.end) for m in hit.marks if m.start in hit.triggers]
    if any(told.tokens[i].word in MANY for span in spans for i in span):
        return True
    words = [t.word for t in told.tokens[hit.clause.start : hit.clause.end]]
    at = next((i for i, w in enumerate(words) if w in ("todos", "todas")), 0)
    return at > 0 and words[at - 1] not in BLOCKS and any(w.endswith(("mos", "ron")) or w == "nos" for w in words[:at])


def _ours(told: Told, clause: Clause) -> bool:
    return any(t.word in OURS for t in told.tokens[clause.start : clause.end])


def _first_person(told: Told, hit: Found) -> bool:
    """ "ya llegue", "enjuagamos": the speaker is in it, and a bare name beside it is only called."""
    spans = [m for m in hit.marks if m.start in hit.triggers]
    words = [told.tokens[i] for m in spans for i in range(m.start, m.end)]
    if any(m.form == "e" or any(k.endswith(":e") for k in m.keys) for m in spans) or any(t.word in OURS for t in words):
        return True
    named = {told.tokens[m.start].word for m in spans if m.start and told.tokens[m.start - 1].name}
    if any((t.word in FIRST and t.word not in named) or t.word.endswith("mos") for t in words):
        return True
    return any(t.raw[-1:] in "éí" and len(t.raw) > 3 for t in words if t.raw)


def _before(told: Told, first: int, visit: bool) -> tuple[str, ...]:
    """The group of names that the verb follows, with nothing but small words between."""
    held = {i: m for m in told.marks for i in range(m.start, m.end)}
    at, over, verb = first - 1, False, False
    while at >= 0 and at not in told.whom:
        token, mark = told.tokens[at], held.get(at)
        if mark is not None and mark.kind == "sec":
            over, verb = True, False
        elif token.word in PASSED or (mark is not None and "mood" not in mark.attrs and mark.form in ("did", "o", "ing")):
            verb = verb or token.word in HOLDS
        else:
            break
        at -= 1
    if at < 0 or (over and not verb):
        return ()
    if at not in told.whom:
        if not visit or over or not _stranger(told, at, held):
            return ()
        told.whom[at] = told.tokens[at].raw.capitalize()
    names, start = _group(told, at)
    calls = word_at(told.tokens, start - 1) in GREETS and at == first - 1 and told.tokens[first].word.endswith("ing")
    return names if _opens(told, start) and not calls else ()


def _stranger(told: Told, at: int, held: Mapping[int, Mark]) -> bool:
    """A word that nobody here knows, where the name of who came stands ("Gus got here at 7")."""
    token = told.tokens[at]
    mended = token.word != plain(token.raw)
    if token.kind != "word" or (at in held and not mended) or len(token.raw) < 3 or not token.raw.isalpha():
        return False
    known = plain(token.raw) in told.lexicon.speller.known or plain(token.raw) in told.lexicon.fillers
    return not known and _opens(told, at)


def _group(told: Told, end: int) -> tuple[tuple[str, ...], int]:
    """(the names joined to the one that stands at `end`, where their group begins)."""
    names, start = [told.whom[end]], end
    while start > 0 and told.whom.get(start - 1) == told.whom[end]:
        start -= 1
    while True:
        at = start - 1 - (word_at(told.tokens, start - 1) in ARTICLES)
        joint = word_at(told.tokens, at)
        joined = joint in JOINS or joint in BESIDE or (joint == "," and len(names) > 1)
        if not joined or at - 1 not in told.whom:
            break
        start = at - 1
        names.insert(0, told.whom[start])
        while start > 0 and told.whom.get(start - 1) == told.whom[start]:
            start -= 1
    return tuple(names), start - (word_at(told.tokens, start - 1) in ARTICLES)


def _opens(told: Told, start: int) -> bool:
    """Whether a group that begins here can be who did it, and no object of what stands before it."""
    before = word_at(told.tokens, start - 1)
    return start == 0 or before not in BLOCKS


def _opening(told: Told, clause: Clause) -> tuple[str, ...]:
    """Of whom a clause speaks that says no act itself ("el luis esta en la baranda")."""
    at = clause.start + (word_at(told.tokens, clause.start) in ARTICLES)
    ahead = word_at(told.tokens, at + 1)
    plainly = at + 1 < clause.end and told.whom.get(at) not in (None, ME, ALL, SOMEBODY)
    return (told.whom[at],) if plainly and ahead in PASSED and not clause.moods else ()


def _goes_on(told: Told, hit: Found) -> bool:
    """ "Luis rinsed B and started C": a bare verb of the past goes on about who did what came before."""
    first = min(hit.triggers, default=hit.clause.start)
    if hit.clause.joined not in ELLIPSIS or _first_person(told, hit):
        return False
    own = told.tokens[hit.clause.start : first]
    bare = all(t.word in PASSED and t.word not in ("is", "are", "was", "were", "esta", "estan") for t in own)
    return bare and any(m.form in ("did", "o") or m.form == "word" for m in hit.marks if m.start in hit.triggers)


def _behind(told: Told, hit: Found, first: int, visit: bool, ours: bool) -> tuple[str, ...]:
    """Who is named behind the verb: by whom, with whom one came, and in Spanish who did it."""
    last = max((m.end for m in hit.marks if m.start in hit.triggers), default=first)
    at = next((i for i in range(first, len(told.tokens)) if i in told.whom and i >= min(last, first + 1)), None)
    if at is None or at >= _sentence_end(told, hit.clause):
        return ()
    names = _forward(told, at)
    lead = at - 1 - (word_at(told.tokens, at - 1) in ARTICLES)
    before, after = word_at(told.tokens, lead), word_at(told.tokens, at + 1)
    if before in AGENT or (after == "did" and word_at(told.tokens, at + 2) in ("", "it", "that", ".", ",", "them")):
        return names
    if visit and before in BESIDE:
        return (ME, *names)
    if before in BLOCKS or before == "," or (told.tokens[at].word in SELF and len(names) == 1):
        return ()
    if ME in names and len(names) > 1:
        return names
    return names if not ours and _third_person(told, hit) else ()


def _sentence_end(told: Told, clause: Clause) -> int:
    signs = (".", "!", "?", ";", "\n")
    return next((i for i in range(clause.start, len(told.tokens)) if told.tokens[i].word in signs), len(told.tokens))


def _forward(told: Told, at: int) -> tuple[str, ...]:
    """The group of names that begins here."""
    names = [told.whom[at]]
    while True:
        while told.whom.get(at + 1) == told.whom[at] and at + 1 in told.whom:
            at += 1
        ahead = at + 2 + (word_at(told.tokens, at + 2) in ARTICLES)
        if word_at(told.tokens, at + 1) not in JOINS or ahead not in told.whom:
            return tuple(names)
        at = ahead
        names.append(told.whom[at])


def _third_person(told: Told, hit: Found) -> bool:
    """Whether the verb is Spanish, of one or some others."""
    words = [told.tokens[i].word for m in hit.marks if m.start in hit.triggers for i in range(m.start, m.end)]
    spanish = [w for w in words if w in told.lexicon.spanish or w.endswith(("o", "aron", "ieron"))]
    third = any(w.endswith(THIRD) or w in ("fue", "fueron") for w in spanish)
    return third and not any(w in told.lexicon.english for w in words)
