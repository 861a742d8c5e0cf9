"""Settles what the clauses of a message say together: carried sections, completed acts, questions."""

from __future__ import annotations

import re
from dataclasses import replace

from bot.acts import Act
from bot.understand.clauses import Clause
from bot.understand.frames import Found
from bot.understand.lexicon import Lexicon
from bot.understand.marks import Mark, Token

IT = {"it", "them", "that", "those", "these", "la", "las", "lo", "los", "le", "les", "esa", "esas", "ese", "esos",
    "dos", "both"}  # fmt: skip
THEY = {"they", "them", "those", "these", "both", "ellas", "esas", "estas"}
ITS = {"su", "sus", "its"}  # "el piso de la D 3 x 4 m y su pared 3 x 2.5"
CLITIC = re.compile(r"(?:ar|er|ir)l[ao]s?$")  # "aceitarla"


def _of_it(clause: Clause, tokens: list[Token]) -> bool:
    """Whether a clause speaks of "it": of the section told before."""
    return any(t.word in IT or CLITIC.search(t.word) for t in tokens[clause.start : clause.end])


def settled(
    hits: list[Found], lexicon: Lexicon, said: list[Clause], tokens: list[Token]
) -> tuple[list[Act], list[Act]]:
    """The acts in order, with sections carried from clause to clause; then what must be asked."""
    acts: list[Act] = []
    ask: list[Act] = []
    for i, hit in enumerate(hits):
        ask += hit.ask
        for at, act in enumerate(hit.acts):
            spec = lexicon.specs[act.name]
            alone = any("alone" in m.keys for m in hit.marks if m.start in hit.triggers) or act.get("step") in (
                "prewet", "protect")
            owned = act.name == "measure" and any(t.word in ITS for t in tokens[hit.clause.start : hit.clause.end])
            goes_on = spec.carry is True or owned or (spec.carry == "it" and _of_it(hit.clause, tokens))
            if goes_on and "sections" in spec.slots and not act.sections and not alone:
                topic = (act.name == "client" and _pointed_out(hit, said, hits)) or _topic(hit, said, hits, tokens)
                act = act if topic else _carried(act, hit, hits, i, lexicon, tokens)
                act = _with_sections(act, topic) if topic else act
                hit.acts[at] = act  # the next statement may carry them on
            if "sections" in hit.rule.filled and not act.sections:
                continue
            begun_patch = act.name == "patch" and acts and acts[-1].get("step") == "patch"
            if begun_patch and set(act.sections) <= set(acts[-1].sections):
                begun = {k: v for k, v in acts.pop().slots.items() if k != "step"}
                act = Act("patch", {**begun, **act.slots}, act.assumed)
            if acts and _half_and_half(acts[-1], act, hit):
                acts[-1] = acts[-1].having(result="partly")
                continue
            if acts and (joined := _joined(acts[-1], act)):
                acts[-1] = joined
            elif act.name == "restock" and set(act.slots) <= {"cost", "counted"}:
                continue  # money alone completes a purchase, it is none
            elif act not in acts:
                acts.append(act)
    covered = any("cover:did" in clause.keys for clause in said)
    told = [_as_put(a, acts, covered) for a in acts]
    return [a for a in told if a is not None and not _told_fully(a, acts)], ask


def _as_put(act: Act, acts: list[Act], covered: bool) -> Act | None:
    """ "slapped it on A, its covered" tells one end; "went on A at 10:05 covered at 10:13" a beginning and an end."""
    if not act.get("put"):
        return act
    ends = [a for a in acts if a.name == "finish" and a.get("step") == act.get("step") and a.sections == act.sections]
    end = next((a for a in ends if a is not act and not a.get("put")), None)
    if end is None and covered and not act.get("at"):
        return Act("finish", {k: v for k, v in act.slots.items() if k != "put"}, act.assumed, act.missing)
    if end is None:
        return act
    if not act.get("at") or act.get("at") == end.get("at"):
        return None
    return Act("start", act.slots, act.assumed, act.missing)


def _told_fully(act: Act, acts: list[Act]) -> bool:
    """ "C all done, stripped and rinsed": with what it is done is told beside it."""
    if act.name != "finish" or "step" not in act.missing:
        return False
    return any(a.name == "finish" and "step" in a.slots and a.sections == act.sections for a in acts)


def _half_and_half(last: Act, act: Act, hit: Found) -> bool:
    """ "half of it came off B, the rest won't budge": one look at one section."""
    own = any(m.kind == "sec" for m in hit.clause.marks)
    looks = last.name == act.name == "check" and last.sections == act.sections
    return looks and not own and last.get("result") != act.get("result")


MERGED = ("conditions", "measure", "set", "survey", "patch", "resume", "hold", "leave", "arrive", "flow", "client",
    "plan", "timeline", "pace", "restock", "mix", "mixed", "coat", "extend", "status")


def _joined(last: Act, act: Act) -> Act | None:
    """Two acts of one kind that complete each other as one; None where they tell two things."""
    if last.name != act.name or last.name not in MERGED:
        return None
    if last.name == "hold" and "at" not in act.slots:
        return last  # "paramos, se fue la luz y no jala la bomba": one stop, two reasons
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


def _topic(hit: Found, said: list[Clause], hits: list[Found], tokens: list[Token]) -> tuple[str, ...]:
    """The sections that the plain clause just before talks about ("C is drying out, gave it more water")."""
    at = next((i for i, c in enumerate(said) if c is hit.clause), 0)
    before = said[at - 1] if at else None
    near = before is not None and (before.sentence == hit.clause.sentence or hit.clause.joined == "¿")
    if before is None or not near or any(h.clause is before for h in hits):
        return ()
    # "the stairs were about to dry, so I misted them": the doubt is not of the misting.
    if before.moods and not (hit.rule.act == "rewet" and before.moods <= {"will", "maybe"}):
        return ()
    works = hit.rule.act in ("finish", "rewet", "start", "extend")
    stood = {m.start for m in before.marks if works and m.kind == "sec" and _only_stood(tokens, m)}
    return tuple(n for m in before.marks if m.kind == "sec" and m.start not in stood for n in m.value)


STOOD = {"at", "on", "to", "by", "near", "in", "en", "behind", "under", "junto"}


def _only_stood(tokens: list[Token], place: Mark) -> bool:
    """ "Luis is at B, rinsed it": where somebody stood is not what was worked on."""
    at = place.start - 1
    while at > 0 and tokens[at].word in ("the", "la", "las", "el", "los", "section"):
        at -= 1
    return at > 0 and tokens[at].word in STOOD


def _pointed_out(hit: Found, said: list[Clause], hits: list[Found]) -> tuple[str, ...]:
    """What the client is to keep off, told behind the notice ("notify the client: G and H are off limits")."""
    at = next((i for i, c in enumerate(said) if c is hit.clause), len(said))
    for clause in said[at + 1 :]:
        if any(h.clause is clause for h in hits):
            break
        names = tuple(n for m in clause.marks if m.kind == "sec" for n in m.value)
        if names and (clause.sentence == hit.clause.sentence or "keep_off" in clause.keys):
            return names
    return ()


def _carried(act: Act, hit: Found, hits: list[Found], i: int, lexicon: Lexicon, tokens: list[Token]) -> Act:
    """The act with the sections of the statement before it ("they": of all like it), or of the one joined behind it."""
    words = [t.word for t in tokens[hit.clause.start : hit.clause.end]]
    for other in reversed(hits[:i]):
        carries = lexicon.specs[other.rule.act].carry or other.rule.act == act.name
        if not carries or any(a.get("step") in ("prewet", "protect") for a in other.acts):
            continue
        names = next((a.sections for a in reversed(other.acts) if a.sections), None)
        if names and any(t in THEY for t in words):  # "ph 6 on C1 and 6.5 on C2, when can they be oiled?"
            told = [h for h in hits[:i] if h.rule.act == other.rule.act and h.clause.sentence == other.clause.sentence]
            names = tuple(dict.fromkeys(n for h in told for a in h.acts for n in a.sections))
        if names:
            return _with_sections(act, names)
    for other in hits[i + 1 :]:
        if act.name == "finish" and other.rule.act == "start":
            break  # "done rinsing and on to C": C is the next one, not the one that is done
        near = other.clause.sentence == hit.clause.sentence and other.clause.joined in ("and", "y", ",", "n", "&")
        if near and lexicon.specs[other.rule.act].carry and other.acts and other.acts[0].sections:
            return _with_sections(act, other.acts[0].sections)
    return act


def _with_sections(act: Act, names: tuple[str, ...]) -> Act:
    slots = {"sections": list(names), **act.slots}
    return replace(act, slots=slots, missing=tuple(m for m in act.missing if m != "sections"))

