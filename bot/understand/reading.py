"""Understands a message: pure, no store, no clock; every string gives a Reading."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from bot.acts import ME, Act
from bot.understand import doers, moments, putright, yes
from bot.understand.alarm import alarm
from bot.understand.clauses import Clause
from bot.understand.coming import coming
from bot.understand.finding import marked
from bot.understand.frames import Found, found
from bot.understand.guards import guarded, shortened
from bot.understand.hearing import weighed
from bot.understand.lexicon import Lexicon
from bot.understand.marks import Mark, Token
from bot.understand.moods import moods
from bot.understand.parting import HARD, SOFT, part
from bot.understand.settling import settled
from bot.understand.slots import Scene
from bot.understand.whose import who_it_was
from bot.understand.wordslots import note_end

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
        out: dict[str, Any] = {"text": text, "language": self.language, "acts": [_shown(a) for a in self.acts]}
        if self.ask:
            out["ask"] = [_shown(a) for a in self.ask]
        return out


def _shown(act: Act) -> dict[str, Any]:
    """An act as the contract names it: a question about what was done is `status`, whatever it is about."""
    if act.name != "ask":
        return act.having(parts=None, put=None).to_json()  # how it was said, which only the live bot can weigh
    told = {"sections": list(act.sections)} if act.sections else {}
    return {"act": "status", **told, "topic": str(act.get("kind") or act.get("about"))}


def understand(
    text: str, lexicon: Lexicon, now: datetime, *, metric: bool = False, products: tuple[str, ...] = (),
    known_sections: tuple[str, ...] = (), cried: bool = False, people: tuple[str, ...] = (),
) -> Reading:  # fmt: skip
    """The acts that a message holds, at `now` (local, aware); of one that `cried`, what the grammar alone reads."""
    text = shortened(text[:LONGEST])
    if (right := who_it_was(text, people)) is not None and not alarm(text, people):
        names, rest = right
        after = understand(rest, lexicon, now, metric=metric, products=products, known_sections=known_sections, people=people)
        return Reading(after.language, (Act("amend", {"by": names}), *after.acts), after.ask)
    tokens, marks = marked(text, lexicon, now.date(), products, known_sections, people)
    scene = Scene(text, tokens, now, metric, people)
    language = _language(tokens, lexicon)
    kind = alarm(text, people) or _alarm_in_slips(tokens, people)
    if not kind and (fix := putright.told(marks, scene)) is not None:
        return Reading(language, (fix,))
    marks = coming(tokens, marks, now)
    said = part(tokens, marks, lexicon)
    moods(tokens, said, lexicon)
    hits = [f for clause in said for f in found(clause, lexicon, scene)]
    told = doers.looked_at(tokens, marks, lexicon, people)
    if told is not None:
        doers.credit(hits, said, told)
    if any("leads" in m.keys for m in marks):
        hits = _led(hits, scene)
    if kind:

        def calm(rest: str) -> Reading:
            return understand(
                rest, lexicon, now, metric=metric, products=products, known_sections=known_sections, cried=True,
                people=people,
            )

        return Reading(language, tuple(_alarmed(kind, said, hits, scene, lexicon, calm)))
    acts, ask = settled(hits, lexicon, said, scene.tokens)
    goods = {m.attrs["product"] for m in marks if "product" in m.attrs}
    acts = [_completed(a, acts[:i], goods) for i, a in enumerate(acts)]
    read = bool(acts or ask)
    acts, ask = (acts, ask) if cried else weighed(acts, ask, marks, said, lexicon, scene)
    if told is not None and not read:
        acts, ask = doers.heard(acts, told), doers.heard(ask, told)
    if not (acts or ask or cried) and yes.perhaps(tokens, marks):
        first = tokens[yes.opening(tokens)]
        plainly = understand(
            f"{text[: first.start]}sí{text[first.end :]}", lexicon, now, metric=metric, products=products,
            known_sections=known_sections, people=people,
        )  # fmt: skip
        ask = list(plainly.ask or yes.asked(plainly.acts))
    acts, ask = ([_completed(a, [], goods) for a in some] for some in (acts, ask))
    acts, ask = ([a.having(by=None) if a.get("by") == [ME] else a for a in some] for some in (acts, ask))
    return Reading(language, guarded(text, tuple(acts)), guarded(text, tuple(ask)))


def _alarm_in_slips(tokens: list[Token], people: tuple[str, ...]) -> str | None:
    """ "got strippr in my eyr": a cry once its slips are mended; raises nothing that the text itself does not."""
    slipped = any(t.kind == "word" and t.word != t.raw.lower() and t.raw.isascii() for t in tokens)
    return alarm(" ".join(t.word for t in tokens), people) if slipped else None


def _completed(act: Act, before: list[Act], goods: set[str]) -> Act:
    """ "both" made the sections named before; a shop's figure, or a count, given the one product of the message."""
    of_one = act.name == "set" or (act.name == "restock" and act.get("counted"))
    if of_one and "product" not in act.slots and len(goods) == 1:
        return act.having(product=next(iter(goods)))
    if "+" not in act.sections:
        return act
    names = list(dict.fromkeys(n for a in before for n in a.sections if n != "+"))
    return act.having(sections=names or None)


BESIDE_ALARM = ("hold", "resume", "leave", "arrive", "incident", "conditions")
ON_A_CLOCK = ("finish", "start", "rewet", "extend")


def _alarmed(
    kind: str, said: list[Clause], hits: list[Found], scene: Scene, lexicon: Lexicon, calm: Callable[[str], Reading]
) -> list[Act]:
    """The injury first; beside it what is firmly said: product that goes on keeps its clock, wherever it is told."""
    crying = _crying(scene)
    rest = scene.text
    for start, end in crying:
        rest = rest[:start] + " " * (end - start) + rest[end:]
    whole = not crying  # no part cries by itself: only a rinse that is told is sure enough
    cried = [h for h in hits if whole or any(a <= scene.tokens[h.clause.start].start < b for a, b in crying)]
    rinsed = [h for h in cried if any(a.name == "finish" and a.sections for a in h.acts)]
    firm, _ = settled(rinsed, lexicon, said, scene.tokens)
    acts = [*firm, *(a for a in (calm(rest).acts if crying else ()) if a not in firm and a.get("kind") != kind)]
    kept = [a for a in acts if _stands_beside(a)]
    clocked = {n for a in kept for n in a.sections} | {"*", "+"}
    places = [m for c in said for m in c.marks if m.kind == "sec"]
    own = [m for m in places if whole or any(a <= scene.tokens[m.start].start < b for a, b in crying)]
    free = [m for m in places if not any(h.clause.start <= m.start < h.clause.end for h in hits)]
    names = [n for m in own or free for n in m.value if n not in clocked]
    times = [m for c in said for m in c.marks if m.kind == "time" and not _to_call(m, scene)]
    told = [m for m in times if whole or any(a <= scene.tokens[m.start].start < b for a, b in crying)]
    when = {moments.past(m.value, scene.now) for m in told} - {None}
    at = {"at": when.pop()} if len(when) == 1 else {}
    return [Act("incident", {"kind": kind, **({"sections": names} if names else {}), **at}), *kept]


def _to_call(time: Mark, scene: Scene) -> bool:
    """ "call 911": the number to call is no clock."""
    return [t.raw for t in scene.tokens[time.start : time.end]] in (["911"], ["112"], ["999"])


def _stands_beside(act: Act) -> bool:
    """Whether an act told beside an injury stands; "he's sitting in the shade" is no weather."""
    if act.name == "conditions":
        return not act.slots.keys() <= {"sun", "rain"}
    return act.name in BESIDE_ALARM or (bool(act.sections) and act.name in ON_A_CLOCK)


def _crying(scene: Scene) -> list[tuple[int, int]]:
    """Where the words between two breaks stand that cry out by themselves."""
    found = []
    start = 0
    for i, word in enumerate([*(t.word for t in scene.tokens), "."]):
        if word not in HARD | SOFT:
            continue
        first, end = (scene.tokens[start].start, scene.tokens[i - 1].end) if i > start else (0, 0)
        if alarm(scene.text[first:end], scene.people):
            found.append((first, end))
        start = i + 1
    return found


OWN_MATTER = {"moisture": ("sections", "readings"), "ph": ("sections", "value"), "plan": (), "leave": (), "timeline": ()}


def _own_matter(act: Act) -> bool:
    """What a sentence behind a note says on its own account: a reading with its section, who goes, what is asked for."""
    return act.name in OWN_MATTER and all(slot in act.slots for slot in OWN_MATTER[act.name])


def _cut_short(act: Act, scene: Scene, end: int) -> Act:
    """A note whose text ends at a letter of the message."""
    told = str(act.get("text") or "")
    kept = told[: max(0, end - scene.text.find(told))]
    return act.having(text=re.sub(r"[\s:,.;-]+(?:(?:y|and|e)\s*)?$", "", kept))


def _led(hits: list[Found], scene: Scene) -> list[Found]:
    """A note keeps its words to itself: what stands behind its lead is not read as acts."""
    tokens = scene.tokens
    lead = next((h for h in hits if "text" in {k for a in h.acts for k in a.slots}), None)
    if lead is None:
        return hits
    start = min(lead.triggers, default=0)
    own = {i for m in lead.marks if m.start in lead.triggers for i in range(m.start, m.end)}
    last = all(token.kind == "sign" or i in own for i, token in enumerate(tokens[start:], start))
    if last and len(hits) > 1:  # "I left at 5:20. Put it down.": what is to be noted is heard already
        return [h for h in hits if h is not lead]
    end = note_end(tokens, start)
    apart = (h for h in hits if h.clause.sentence > lead.clause.sentence and any(map(_own_matter, h.acts)))
    if (first := next(apart, None)) is not None and start < first.clause.start < end:
        end = first.clause.start
        lead.acts = [_cut_short(a, scene, tokens[end].start) for a in lead.acts]
    return [h for h in hits if h is lead or not start <= min(h.triggers, default=0) < end]


def _language(tokens: list[Token], lexicon: Lexicon) -> str:
    """A hint: the language with more of its own words."""
    words = [t.word for t in tokens if t.kind == "word" and len(t.word) > 1]
    spanish = sum(w in lexicon.spanish for w in words)
    return "es" if spanish > sum(w in lexicon.english for w in words) else "en"


