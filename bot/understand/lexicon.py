"""Reads the words and the acts of handlers/*.toml, checks them, and compiles them once."""

from __future__ import annotations

import gc
import tomllib
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from bot.errors import Misconfigured
from bot.understand import inflect, numbers, packs, phrasebook, section_words, sizes, times, units
from bot.understand.phrasebook import Phrase
from bot.understand.spelling import Speller
from bot.understand.tidy import plain

COMMON = Path(__file__).parent
LANGUAGES = ("en", "es")
FORMS = ("verb", "noun", "word", "did", "do", "ing")
ACT_KEYS = {"told", "open", "strange", "because", "slots", "needs", "carry", "pair", "rules", "words", "heard",
    "unheard", "say", "help"}
RULE_KEYS = {"has", "lacks", "mood", "set", "ask", "each", "weight", "assumed", "spare", "drop", "lead", "filled",
    "whole", "bare"}
MOODS = ("told", "wish", "order", "asked", "any", "denied", "request", "rumor", "reported")


@dataclass(frozen=True)
class Rule:
    """What a clause must have, and must lack, to say an act."""

    act: str
    has: tuple[frozenset[str], ...]
    lacks: frozenset[str]
    mood: str
    set: dict[str, Any]
    ask: tuple[dict[str, Any], ...]
    each: str
    weight: float
    assumed: tuple[str, ...]
    spare: int
    drop: tuple[str, ...]
    lead: bool | str  # the first word asked for opens the message, or its "clause"
    filled: tuple[str, ...]
    whole: bool  # the clause must be the whole message
    bare: bool  # nothing but these words may stand in the message, greetings aside


@dataclass(frozen=True)
class Spec:
    """What an act takes (`slots`: name to kind) and needs."""

    name: str
    slots: dict[str, str]
    needs: tuple[str, ...]
    carry: bool | str  # whether it goes on about the section told before: always, or where "it" names that
    pair: str
    open: bool  # its words may be anything (a note, a name)
    told: bool  # nothing is said where no slot is
    strange: int  # unknown words allowed where no section is named
    because: bool  # what stands behind "for" or "because" does not count


@dataclass
class Lexicon:
    """All words, rules and examples."""

    phrases: dict[str, list[Phrase]] = field(default_factory=dict)
    known: set[tuple[tuple[str, ...], str, str]] = field(default_factory=set)  # twins are kept once
    keys: dict[tuple[str, str], frozenset[str]] = field(default_factory=dict)  # by word and form
    pairs: dict[tuple[str, str], list[Phrase]] = field(default_factory=dict)  # by the first two words
    gaps: dict[str, list[Phrase]] = field(default_factory=dict)  # those whose last word may stand later
    rules: list[Rule] = field(default_factory=list)
    specs: dict[str, Spec] = field(default_factory=dict)
    fillers: frozenset[str] = frozenset()
    greetings: frozenset[str] = frozenset()
    spanish: frozenset[str] = frozenset()
    english: frozenset[str] = frozenset()
    heard: list[dict[str, Any]] = field(default_factory=list)
    unheard: list[dict[str, Any]] = field(default_factory=list)
    by_key: dict[str, list[int]] = field(default_factory=dict)  # the rules that a key may make fit, by place
    speller: Speller = field(default_factory=lambda: Speller((), ()))


def load(folder: Path) -> Lexicon:
    """The compiled lexicon of handlers/*.toml (not *.say.toml); Misconfigured names what is wrong in which file."""
    # Meanwhile the collector would go over tens of thousands of phrases again and again, and find nothing to collect.
    collecting = gc.isenabled()
    gc.disable()
    try:
        return _load(folder)
    finally:
        if collecting:
            gc.enable()


def _load(folder: Path) -> Lexicon:
    lexicon = Lexicon()
    words: dict[str, str] = {}
    files = [COMMON / "common.toml"] + sorted(f for f in folder.glob("*.toml") if not f.name.endswith(".say.toml"))
    for path in files:
        try:
            tables = tomllib.loads(path.read_text(encoding="utf-8"))
        except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
            raise _wrong(path.name, str(error)) from error
        for name, table in tables.pop("words", {}).items():
            _add_word(lexicon, words, path.name, name, table)
        for name, table in tables.items():
            _add_act(lexicon, words, path.name, name, table)
    lists = _plain_words()
    lexicon.fillers = frozenset(lists["fillers"]) | frozenset(lists["greetings"])
    lexicon.greetings = frozenset(lists["greetings"])
    lexicon.english, lexicon.spanish = _hints(lexicon, lists)
    lexicon.rules.sort(key=lambda rule: -rule.weight)
    for place, rule in enumerate(lexicon.rules):
        for key in rule.has[0]:
            lexicon.by_key.setdefault(key, []).append(place)
    ordinary = {w for group in lists.values() for w in group} | set(section_words.SPOKEN) | packs.PACKS
    ordinary |= {plain(form) for verb in lists["spanish verbs"] for form, _ in inflect.spanish(verb)}
    lexicon.speller = Speller(_vocabulary(lexicon), ordinary, _often(), _work(lexicon))
    _pair(lexicon)
    return lexicon


def _pair(lexicon: Lexicon) -> None:
    """The phrases by their first two words, the longest first."""
    for first, phrases in lexicon.phrases.items():
        if len(phrases) > 1:
            phrases.sort(key=lambda phrase: -len(phrase.words))
        for phrase in phrases:
            second = phrase.words[1] if len(phrase.words) > 1 else ""
            lexicon.pairs.setdefault((first, second), []).append(phrase)
            if phrase.gap:
                lexicon.gaps.setdefault(first, []).append(phrase)


def _wrong(file: str, problem: str) -> Misconfigured:
    return Misconfigured("lexicon", file=file, problem=problem)


def _add_act(lexicon: Lexicon, words: dict[str, str], file: str, name: str, table: dict[str, Any]) -> None:
    if unknown := set(table) - ACT_KEYS:
        raise _wrong(file, f"[{name}] has unknown keys {sorted(unknown)}")
    if name in lexicon.specs:
        raise _wrong(file, f"act {name} is declared twice")
    slots = dict(s.partition(":")[::2] for s in table.get("slots", []))
    lexicon.specs[name] = Spec(
        name, {k: v or k for k, v in slots.items()}, tuple(table.get("needs", [])), table.get("carry", False),
        table.get("pair", ""), table.get("open", False), table.get("told", False), table.get("strange", 0), table.get(
            "because", False),
    )  # fmt: skip
    if "words" in table:
        _add_word(lexicon, words, file, name, table["words"])
    default = [{"has": [f"{name}"]}] if "words" in table else []
    for rule in table.get("rules", default):
        lexicon.rules.append(_rule(file, name, rule))
    lexicon.heard += table.get("heard", [])
    lexicon.unheard += table.get("unheard", [])


def _rule(file: str, act: str, table: dict[str, Any]) -> Rule:
    if unknown := set(table) - RULE_KEYS:
        raise _wrong(file, f"a rule of {act} has unknown keys {sorted(unknown)}")
    mood = table.get("mood", "told")
    if mood not in MOODS or not table.get("has"):
        raise _wrong(file, f"a rule of {act} needs `has`, and a mood of {MOODS}")
    has = tuple(frozenset(part.split("|")) for part in table["has"])
    weight = sum(1 if h[0] == "@" else 3 if ":" in h or "=" in h else 2 for h in table["has"])
    return Rule(
        act=act,
        has=has,
        lacks=frozenset(table.get("lacks", [])),
        mood=mood,
        set=dict(table.get("set", {})),
        ask=tuple(table.get("ask", [])),
        each=table.get("each", ""),
        weight=table.get("weight", weight),
        assumed=tuple(table.get("assumed", [])),
        spare=table.get("spare", -1),
        drop=tuple(table.get("drop", [])),
        lead=table.get("lead", False),
        filled=tuple(table.get("filled", [])),
        whole=table.get("whole", False),
        bare=table.get("bare", False),
    )


def _add_word(lexicon: Lexicon, words: dict[str, str], file: str, name: str, table: dict[str, Any]) -> None:
    if name in words:
        raise _wrong(file, f"word {name} is declared in {words[name]} too")
    words[name] = file
    attrs = {k: v for k, v in table.items() if k not in LANGUAGES}
    for language in LANGUAGES:
        for kind, entries in table.get(language, {}).items():
            if kind not in FORMS:
                raise _wrong(file, f"word {name} has an unknown form {kind}")
            for text, form in _forms(kind, entries, language):
                _add_phrase(lexicon, name, text, form, language, attrs)


def _forms(kind: str, entries: list[str], language: str) -> Iterator[tuple[str, str]]:
    for entry in entries:
        if kind == "verb":
            yield from inflect.english(entry) if language == "en" else inflect.spanish(entry)
        else:
            yield entry, kind


def _add_phrase(lexicon: Lexicon, name: str, text: str, form: str, language: str, attrs: dict[str, str]) -> None:
    """Adds a phrase, both as one writes it and with its contraction opened ("we're", "were", "we are")."""
    keys = lexicon.keys.get((name, form)) or lexicon.keys.setdefault((name, form), phrasebook.keys(name, form, attrs))
    text = text.lower() if text.isascii() else plain(text)
    for words in phrasebook.spellings(text.replace("'", ""), language, "result" in attrs):
        if (said := (words, name, form)) not in lexicon.known:
            lexicon.known.add(said)
            gap = language == "en" and len(words) == 2 and phrasebook.parts(words[1], form, words[0])
            phrase = Phrase(words, name, form, language, keys, attrs, gap)
            lexicon.phrases.setdefault(words[0], []).append(phrase)


def _plain_words() -> dict[str, list[str]]:
    """The ordinary words of plain_words.txt, by group."""
    groups: dict[str, list[str]] = defaultdict(list)
    group = ""
    for line in (COMMON / "plain_words.txt").read_text(encoding="utf-8").splitlines():
        if line.startswith("#"):
            group = line[1:].strip()
        else:
            groups[group] += line.split()
    return groups


NAMED = 20  # a part of the deck is likely meant, however seldom its name was met


def _often() -> dict[str, int]:
    """How often crews write a word: `often.txt`, made by deploy/teach."""
    rows = (COMMON / "often.txt").read_text(encoding="utf-8").split("\n")
    told = {word: int(count) for word, _, count in (row.partition(" ") for row in rows) if count}
    return told | {word: max(NAMED, told.get(word, 0)) for word in section_words.NOUNS}


WORK = {"step", "covering", "mist", "begin", "apply", "done"}
VERBS = {"did", "ing", "e", "o"}


def _work(lexicon: Lexicon) -> Iterator[str]:
    """The verbs by which work is told as begun or done."""
    for phrases in lexicon.phrases.values():
        for phrase in phrases:
            if len(phrase.words) == 1 and phrase.form in VERBS and not phrase.keys.isdisjoint(WORK):
                yield phrase.words[0]


def _hints(lexicon: Lexicon, lists: dict[str, list[str]]) -> tuple[frozenset[str], frozenset[str]]:
    """The words that hint at one language only."""
    found: dict[str, set[str]] = {"en": set(lists["english"]), "es": set(lists["spanish"])}
    for phrases in lexicon.phrases.values():
        for phrase in phrases:
            found[phrase.language].update(phrase.words)
    both = found["en"] & found["es"]
    return frozenset(found["en"] - both), frozenset(found["es"] - both)


def _vocabulary(lexicon: Lexicon) -> set[str]:
    """Every word that a slip may be mended to."""
    words = {w for phrases in lexicon.phrases.values() for p in phrases for w in p.words}
    words |= set(section_words.SIDE) | set(sizes.AXIS) | sizes.COUNTABLE | times.MONTHS | set(units.UNITS) | set(
        numbers.KNOWN) | set(times.WEEKDAYS) | set(times.DAYS) | set(section_words.NOUNS)
    return words | section_words.SECTION | {"ago", "hace", "half", "quarter", "minutes", "atras",
        "kilometros", "millas", "cuadrados", "cuadrado", "square", "todo", "toda", "todos", "todas", "everything"}
