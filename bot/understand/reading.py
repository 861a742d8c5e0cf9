"""Understands a message: pure, no store, no clock; every string gives a Reading."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from bot.acts import Act
from bot.understand import clauses as parts
from bot.understand import numbers, quantities, sections, sizes, times
from bot.understand.alarm import alarm
from bot.understand.clauses import Clause
from bot.understand.frames import Found, found
from bot.understand.lexicon import Lexicon, Phrase
from bot.understand.marks import Mark, Token
from bot.understand.slots import Scene
from bot.understand.tidy import cut

LONGEST = 2000  # letters read of one message; a longer one is read so far


@dataclass(frozen=True)
class Reading:
    """What a message says: acts in order, or the alternatives to `ask`; `chatter` where neither."""

    language: str
    acts: tuple[Act, ...] = ()
    ask: tuple[Act, ...] = ()

    @property
    def chatter(self) -> bool:
        """Whether the message is not for the bot."""
        return not self.acts and not self.ask

    def to_json(self, text: str) -> dict[str, Any]:
        """The JSON object of the language contract."""
        out: dict[str, Any] = {"text": text, "language": self.language, "acts": [a.to_json() for a in self.acts]}
        if self.ask:
            out["ask"] = [a.to_json() for a in self.ask]
        return out


def understand(
    text: str, lexicon: Lexicon, now: datetime, *, metric: bool = False, products: tuple[str, ...] = (),
    known_sections: tuple[str, ...] = (),
) -> Reading:  # fmt: skip
    """The acts that a message holds, at `now` (local, aware)."""
    tokens, marks = marked(text[:LONGEST], lexicon, now.date(), products, known_sections)
    scene = Scene(text[:LONGEST], tokens, now, metric)
    language = _language(tokens, lexicon)
    kind = alarm(text)
    said = parts.part(tokens, marks, lexicon)
    parts.moods(tokens, said, lexicon)
    hits = [f for clause in said for f in found(clause, lexicon, scene)]
    if any("leads" in m.keys for m in marks):
        hits = _led(hits)
    if kind:
        return Reading(language, tuple(_alarmed(kind, said, hits, scene, lexicon)))
    acts, ask = _settled(hits, lexicon, said)
    goods = {m.attrs["product"] for m in marks if "product" in m.attrs}
    acts = [_completed(a, acts[:i], goods) for i, a in enumerate(acts)]
    return Reading(language, tuple(acts), tuple(ask))


def _completed(act: Act, before: list[Act], goods: set[str]) -> Act:
    """ "both" made the sections named before; a shop's figure given the one product of the message."""
    if act.name == "set" and "product" not in act.slots and len(goods) == 1:
        return act.having(product=next(iter(goods)))
    if "+" not in act.sections:
        return act
    names = list(dict.fromkeys(n for a in before for n in a.sections if n != "+"))
    return act.having(sections=names or None)


BESIDE_ALARM = ("hold", "resume", "leave", "arrive", "incident", "conditions")


def _alarmed(kind: str, said: list[Clause], hits: list[Found], scene: Scene, lexicon: Lexicon) -> list[Act]:
    """The injury first; beside it only what other clauses firmly say."""
    hurt = [c for c in said if alarm(_words(c, scene))] or said
    firm = [h for h in hits if h.clause in hurt and any(a.name == "finish" and a.sections for a in h.acts)]
    told = [c for c in hurt if all(h.clause is not c for h in firm)]
    names = [n for c in told for m in c.marks if m.kind == "sec" for n in m.value if n not in "*+"]
    incident = Act("incident", {"kind": kind, **({"sections": names} if names else {})})
    acts, _ = _settled([h for h in hits if h.clause not in hurt or h in firm], lexicon, said)
    return [incident, *(a for a in acts if a.name in BESIDE_ALARM or (a.sections and a.name in ("finish", "start",
        "rewet", "extend")))]


def _words(clause: Clause, scene: Scene) -> str:
    return scene.text[scene.tokens[clause.start].start : scene.tokens[clause.end - 1].end]


def _led(hits: list[Found]) -> list[Found]:
    """A note keeps its words to itself: what stands behind its lead is not read as acts."""
    lead = next((h for h in hits if "text" in {k for a in h.acts for k in a.slots}), None)
    if lead is None:
        return hits
    start = min(lead.triggers, default=0)
    return [h for h in hits if h is lead or min(h.triggers, default=0) < start]


def marked(
    text: str, lexicon: Lexicon, today: date, products: tuple[str, ...] = (), known: tuple[str, ...] = ()
) -> tuple[list[Token], list[Mark]]:
    """The tokens of a text and everything typed or known found in them."""
    tokens = lexicon.speller.apply(_spoken_signs(cut(text)))
    tokens = numbers.merge(tokens, quantities.is_unit)
    taken = [False] * len(tokens)
    marks = sizes.find(tokens, taken)
    marks += quantities.find(tokens, taken)
    marks += times.find(tokens, taken, marks, today)
    marks += _own_products(tokens, taken, products)
    places = sections.find(tokens, list(taken), known)
    marks += _phrases(tokens, taken, lexicon, places)
    for place in places:
        if not any(taken[place.start : place.end]):
            taken[place.start : place.end] = [True] * (place.end - place.start)
            marks.append(place)
    for i, token in enumerate(tokens):
        if token.kind == "num" and not taken[i]:
            warm = _warm(tokens, i)
            marks.append(Mark("temp", (token.value, "deg"), i, i + 1) if warm else Mark(_kind(tokens, i, taken,
                lexicon), token.value, i, i + 1))
    marks.sort(key=lambda m: m.start)
    marks = parts.corrected(tokens, marks)
    return tokens, _unlisted(marks)


def _warm(tokens: list[Token], at: int) -> bool:
    """ "82 out", "79 and sunny": a number that can only be the air."""
    after = [t.word for t in tokens[at + 1 : at + 4]]
    value = tokens[at].value or 0
    if not 20 <= value <= 125 or not after:
        return False
    if after[0] in ("out", "outside", "afuera"):
        return after[1:2] != ["of"]
    return len(after) > 1 and after[0] in ("and", "n", "y", "con") and after[1] in ("sunny", "cloudy", "overcast",
        "nublado", "soleado", "windy", "breezy", "humid", "clear")


def _kind(tokens: list[Token], at: int, taken: list[bool], lexicon: Lexicon) -> str:
    """`num` for a number that stands alone, `count` where it counts things ("9 treads", "2 boards")."""
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    if after is not None and after.word == ")" and (at == 0 or tokens[at - 1].kind == "sign"):
        return "count"  # 1) 2) 3)
    if after is None or after.kind != "word":
        return "num"
    if after.word in sizes.COUNTABLE:
        return "count"
    return "num" if taken[at + 1] or after.word in lexicon.fillers or len(after.word) < 3 else "count"


def _spoken_signs(tokens: list[Token]) -> list[Token]:
    """Dictated signs: "period", "comma", "question mark"."""
    for i, token in enumerate(tokens):
        if token.word in ("period", "comma") or (token.word in ("punto", "coma") and i == len(tokens) - 1):
            token.kind, token.word = "sign", "." if token.word in ("period", "punto") else ","
        elif token.word == "mark" and i and tokens[i - 1].word == "question":
            token.kind, token.word = "sign", "?"
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
        for phrase in lexicon.phrases.get(tokens[at].word, ()):
            if len(phrase.words) < length:
                break
            if _stands(phrase, tokens, taken, at, held):
                fits.append(phrase)
                length = len(phrase.words)
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
    if at + size > len(tokens) or any(held.get(i, 0) >= size for i in range(at, at + size)):
        return False
    return all(tokens[at + i].word == w and not taken[at + i] for i, w in enumerate(phrase.words))


def _loose(lexicon: Lexicon, tokens: list[Token], taken: list[bool], at: int) -> Mark | None:
    """A verb whose particle stands a few words later ("hosed B down")."""
    fits = [p for p in lexicon.phrases.get(tokens[at].word, ()) if p.gap]
    for behind in range(at + 2, min(at + 6, len(tokens))):
        if not fits or tokens[behind].kind == "sign" or taken[behind]:
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
    if not nouns or not verbs or tokens[at].raw[-1:] in "éÉóÓ":
        return [p for p in fits if p.form != "noun"] if nouns and verbs else fits
    noun = last in NOUN_AFTER or any("product" in p.attrs for p in nouns)
    return [p for p in fits if (p.form in ("e", "o", "do")) != noun] or fits


def _mark(fits: list[Phrase], tokens: list[Token], at: int, length: int) -> Mark:
    fits = _noun_or_verb(fits, tokens, at)
    keys = frozenset().union(*(p.keys for p in fits))
    attrs = {k: v for p in reversed(fits) for k, v in p.attrs.items()}
    form = _form(fits, tokens, at)
    if tokens[at].word.endswith(PARTICIPLES):
        keys |= {f"{p.name}:adj" for p in fits}
    if any(p.form in ("e", "o") for p in fits) and form == "did":
        keys |= {k.rpartition(":")[0] + ":did" for k in keys if ":" in k}
    return Mark("word", fits[0].name, at, at + length, form, keys, attrs)


def _form(fits: list[Phrase], tokens: list[Token], at: int) -> str:
    """The form of a word; a Spanish ending without its accent is read by the word before it."""
    forms = {p.form for p in fits}
    raw, last = tokens[at].raw, tokens[at - 1].word if at else ""
    if ("e" in forms and raw[-1:] in "éÉ") or ("o" in forms and raw[-1:] in "óÓ"):
        return "did"
    if "o" in forms and last in ("ya", "se", "le", "les", "la", "lo"):
        return "did"
    if "e" in forms and last == "ya":
        return "did"
    before = {t.word for t in tokens[max(0, at - 3) : at]}
    if "e" in forms and "que" in before and not before & {"creo", "dije"}:
        return "sub"  # "que acabe": a wish or a condition, no fact
    return next((f for f in ("did", "ing", "do", "e", "o", "fut", "noun", "word") if f in forms), "word")


def _unlisted(marks: list[Mark]) -> list[Mark]:
    """ "oil going on A, B read 13": the last of the list begins the next statement."""
    out: list[Mark] = []
    for i, mark in enumerate(marks):
        after = marks[i + 1] if i + 1 < len(marks) else None
        said = any(parts.is_predicate(m) or m.kind in ("num", "pct") for m in marks[:i])
        near = after is not None and after.start - mark.end <= 1
        if mark.kind == "sec" and "comma" in mark.attrs and after is not None and near:
            verb = parts.is_predicate(after) or "mood" in after.attrs
            if verb and (said or "linked" in mark.attrs) and after.form in ("did", "e", "do", "word", "o", "ing"):
                out += sections.parted(mark)
                continue
        out.append(mark)
    return out


def _language(tokens: list[Token], lexicon: Lexicon) -> str:
    """A hint: the language with more of its own words."""
    words = [t.word for t in tokens if t.kind == "word" and len(t.word) > 1]
    spanish = sum(w in lexicon.spanish for w in words)
    return "es" if spanish > sum(w in lexicon.english for w in words) else "en"


def _settled(hits: list[Found], lexicon: Lexicon, said: list[Clause]) -> tuple[list[Act], list[Act]]:
    """The acts in order, with sections carried from clause to clause; then what must be asked."""
    acts: list[Act] = []
    ask: list[Act] = []
    for i, hit in enumerate(hits):
        ask += hit.ask
        for act in hit.acts:
            spec = lexicon.specs[act.name]
            alone = any("alone" in m.keys for m in hit.marks if m.start in hit.triggers) or act.get("step") in (
                "prewet", "protect")
            if spec.carry and "sections" in spec.slots and not act.sections and not alone:
                act = _carried(act, hit, hits, i, lexicon)
                topic = _topic(hit, said) if not act.sections else ()
                act = _with_sections(act, topic) if topic else act
            if "sections" in hit.rule.filled and not act.sections:
                continue
            if act.name == "patch" and acts and acts[-1].get("step") == "patch" and set(act.sections) <= set(acts[-1].sections):
                begun = {k: v for k, v in acts.pop().slots.items() if k != "step"}
                act = Act("patch", {**begun, **act.slots}, act.assumed)
            if acts and (joined := _joined(acts[-1], act)):
                acts[-1] = joined
            elif act not in acts:
                acts.append(act)
    return acts, ([] if len(ask) < 1 else ask)


MERGED = ("conditions", "measure", "set", "survey", "patch", "resume", "hold", "leave", "arrive", "flow", "client",
    "plan", "timeline", "pace", "restock", "mix", "mixed")


def _joined(last: Act, act: Act) -> Act | None:
    """Two acts of one kind that complete each other as one; None where they tell two things."""
    if last.name != act.name or last.name not in MERGED:
        return None
    clash = any(last.slots[k] != act.slots[k] for k in last.slots.keys() & act.slots.keys())
    if last.name == "mix" and not act.slots.keys() <= {"product", "volume", "strength"} | ({"sections"} if
        "sections" not in last.slots else set()):
        return None
    if clash or (last.name == "measure" and act.sections) or (last.name == "restock" and "product" in act.slots):
        return None
    slots = {**last.slots, **act.slots}
    lacks = tuple(m for m in dict.fromkeys(last.missing + act.missing) if m not in slots and not (m == "sections"
        and "sections" in slots))
    return Act(last.name, slots, last.assumed + act.assumed, tuple(m for m in lacks if m in last.missing))


def _topic(hit: Found, said: list[Clause]) -> tuple[str, ...]:
    """The sections that the plain clause just before talks about ("C is drying out, gave it more water")."""
    at = next((i for i, c in enumerate(said) if c is hit.clause), 0)
    before = said[at - 1] if at else None
    if before is None or before.moods or before.sentence != hit.clause.sentence:
        return ()
    return tuple(n for m in before.marks if m.kind == "sec" for n in m.value)


def _carried(act: Act, hit: Found, hits: list[Found], i: int, lexicon: Lexicon) -> Act:
    """The act with the sections of the statement before it, or of the one joined behind it."""
    for other in reversed(hits[:i]):
        if not lexicon.specs[other.rule.act].carry or any(a.get("step") in ("prewet", "protect") for a in other.acts):
            continue
        names = next((a.sections for a in reversed(other.acts) if a.sections), None)
        if names:
            return _with_sections(act, names)
    for other in hits[i + 1 :]:
        near = other.clause.sentence == hit.clause.sentence and other.clause.joined in ("and", "y", ",", "n", "&")
        if near and lexicon.specs[other.rule.act].carry and other.acts and other.acts[0].sections:
            return _with_sections(act, other.acts[0].sections)
    return act


def _with_sections(act: Act, names: tuple[str, ...]) -> Act:
    slots = {"sections": list(names), **act.slots}
    return replace(act, slots=slots, missing=tuple(m for m in act.missing if m != "sections"))
