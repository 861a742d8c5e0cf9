"""Turns clauses into acts: the heaviest rule whose words stand in the clause wins those words."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from bot.acts import Act
from bot.understand import site, weather, wordslots
from bot.understand import slots as slot_kinds
from bot.understand.clauses import Clause, strangers
from bot.understand.goods import other_work, strange_goods
from bot.understand.lexicon import Lexicon, Rule, Spec
from bot.understand.marks import Mark
from bot.understand.pairing import by_goods
from bot.understand.slots import Scene

GROUPS = {**weather.GROUPS, **site.GROUPS}
FILLERS = {**slot_kinds.FILLERS, **wordslots.FILLERS}
SHARED = {"sec", "time", "day", "date"}
APPLIED = {"stripper": "strip", "gel": "strip", "brightener": "brighten", "citric": "brighten"}
PUT_ON = ("strip", "brighten")
OF_FINISH = {"oil_coat", "oil", "oil_on", "product=oil"}
STEPS = ("start", "finish", "rewet", "check", "patch", "mixed", "extend")
ALLOWED = {
    "told": set(), "wish": {"will"}, "request": {"asked", "will", "said"}, "order": {"asked", "will"}, "asked": {
        "asked", "will", "if", "not", "other", "maybe"}, "denied": {"not"},
    "rumor": {"said", "maybe", "other", "will"}, "reported": {"said"},
    "any": {"asked", "will", "if", "not", "said", "maybe", "price", "other"},
}  # fmt: skip


@dataclass
class Found:
    """An act found in a clause, or the alternatives to be asked, with the rule that found it."""

    rule: Rule
    clause: Clause
    triggers: frozenset[int]
    marks: list[Mark]
    acts: list[Act] = field(default_factory=list)
    ask: list[Act] = field(default_factory=list)


def found(clause: Clause, lexicon: Lexicon, scene: Scene) -> list[Found]:
    """What a clause says, in the order of its words."""
    places = {place for key in clause.keys for place in lexicon.by_key.get(key, ())}
    rules = [lexicon.rules[place] for place in sorted(places)]  # the heaviest first
    behind = _moods_of_reason(clause, scene)
    ahead = _keys_before_cause(clause, scene)
    fitting = []
    for rule in rules:
        because = lexicon.specs[rule.act].because
        if _fits(rule, clause, behind if because else NONE, ahead if because else clause.keys):
            fitting.append(rule)
    hits = [f for rule in fitting for f in _fire(rule, clause, scene, lexicon)]
    taken: dict[int, Found] = {}
    accepted: list[Found] = []
    for hit in hits:
        if not hit.triggers and any(a.rule.act == hit.rule.act or a.rule.act in STEPS for a in accepted):
            continue  # shared words alone say nothing beside a firm statement
        clash = [taken[i] for i in hit.triggers if i in taken]
        if not clash:
            accepted.append(hit)
            for i in hit.triggers:
                taken[i] = hit
        elif clash[0].rule.weight == hit.rule.weight and _rival(clash[0], hit):
            clash[0].ask.append(Act(hit.rule.act))
    for hit in accepted:
        _fill(hit, lexicon, scene)
    return sorted((a for a in accepted if a.acts or a.ask), key=lambda a: min(a.triggers, default=0))


def _moods_of_reason(clause: Clause, scene: Scene) -> frozenset[str]:
    """What is denied, or said of others, in the reason alone ("pausa por falta de agua") is not said of the pause."""
    if clause.moods.isdisjoint(OF_REASON):
        return NONE
    first = min((m.end for m in clause.marks if m.keys & PAUSES), default=clause.end)
    reasons = REASON | SPEAKERS if "last_entry" in clause.keys else REASON  # "undo that last one i was talking to my wife"
    stop = next((i for i in range(first, clause.end) if scene.tokens[i].word in reasons), clause.end)
    told = {mood for m in clause.marks if m.start < stop and (mood := m.attrs.get("mood"))}
    lasting = any(scene.tokens[i].word in LASTING for i in range(first, clause.end))
    behind = {mood for mood in OF_REASON & clause.moods if mood not in told}
    return frozenset(behind if lasting else behind - {"if"})


def _rival(one: Found, other: Found) -> bool:
    return one.rule.act != other.rule.act and one.triggers == other.triggers and not one.rule.ask and not other.rule.ask


CAUSE = {"because", "cuz", "cause", "cos", "bc", "since", "porque", "xq", "account", "due"}


def _keys_before_cause(clause: Clause, scene: Scene) -> set[str]:
    """What the clause holds before its cause: "stopped because the wind picked up" is of no purchase."""
    stop = next((i for i in range(clause.start + 1, clause.end) if scene.tokens[i].word in CAUSE), None)
    if stop is None:
        return clause.keys
    ahead = [m for m in clause.marks if m.start < stop]
    told = {key for m in ahead for key in (*m.keys, f"@{m.kind}")}
    of_cause = {f"@{m.kind}" for m in clause.marks if m.start > stop} - told
    of_cause |= {"@part"} if "@sec" not in told else set()
    return {key for key in clause.keys - of_cause if key in told or key[0] in "@~"}


def _fits(rule: Rule, clause: Clause, behind: frozenset[str], ahead: set[str]) -> bool:
    """Whether the clause holds what the rule asks for, and `ahead` of a cause not what it must lack; moods `behind` a
    reason are none of the statement's."""
    keys = clause.keys
    if any(keys.isdisjoint(part) for part in rule.has) or not ahead.isdisjoint(rule.lacks):
        return False
    moods = clause.moods - behind
    if rule.mood == "asked":
        return "asked" in moods and moods <= ALLOWED["asked"]
    if rule.mood == "denied":
        return "not" in moods and moods <= ALLOWED["denied"]
    return moods <= ALLOWED[rule.mood]


def _fire(rule: Rule, clause: Clause, scene: Scene, lexicon: Lexicon) -> list[Found]:
    """One hit, or one for every word of the kind named by `each`."""
    if rule.whole and (clause.start > 1 or clause.end < len(scene.tokens) - 1):
        return []
    if rule.bare and not _alone(rule, clause, scene, lexicon):
        return []
    if rule.lead and not _leads(rule, clause, scene, lexicon):
        return []
    told = _before_because(clause, scene) if lexicon.specs[rule.act].because else clause
    if strangers(told, scene.tokens, lexicon) > _spare(rule, clause, lexicon):
        return []
    if rule.assumed and other_work(clause, scene):
        return []
    if rule.each:
        hits = [m for m in clause.marks if rule.each in m.keys]
        others = _triggers([part for part in rule.has if rule.each not in part], clause)
        return [Found(rule, clause, frozenset({m.start}) | others, clause.marks) for m in hits]
    return [Found(rule, clause, _triggers(rule.has, clause), clause.marks)]


def _spare(rule: Rule, clause: Clause, lexicon: Lexicon) -> int:
    """How many unknown words a clause may hold: few, more where it names a section, any for a note or a name."""
    if rule.spare >= 0:
        return rule.spare
    if lexicon.specs[rule.act].open:
        return 99
    return 3 if "@sec" in clause.keys else (lexicon.specs[rule.act].strange and lexicon.specs[rule.act].strange + 1)


NONE: frozenset[str] = frozenset()
PAUSES = {"hold:did", "hold:e", "stop_bare", "leaving", "arriving", "resume", "last_entry"}
OF_REASON = frozenset({"not", "other", "if"})
SPEAKERS = {"i", "im", "yo"}
LASTING = {"until", "till", "til", "hasta", "mientras"}  # "paused till it blows over": paused all the same
REASON = {",", "for", "por", "porque", "because", "cuz", "cause", "since", "due", "bc", "cos", "ya", "xq", "que", "on",
    "-", "now", "pa", "para", "to", "pero", "but", *LASTING}
BECAUSE = {",", "for", "por", "porque", "because", "cuz", "cause", "since", "due", "bc", "cos", "to", "a", "pa",
    "para", "till", "until", "hasta", "en", "from", "with", "con", "after", "despues",
    "pero", "but"}


def _alone(rule: Rule, clause: Clause, scene: Scene, lexicon: Lexicon) -> bool:
    """Whether the message holds the words of the rule, greetings, and nothing else."""
    wanted = frozenset().union(*rule.has)
    own = {i for m in clause.marks if not m.keys.isdisjoint(wanted) for i in range(m.start, m.end)}
    others = [t for i, t in enumerate(scene.tokens) if i not in own and t.kind != "sign"]
    return all(t.word in lexicon.greetings for t in others)


def _before_because(clause: Clause, scene: Scene) -> Clause:
    """The clause up to the word that begins a reason, behind its first known word."""
    first = min((m.end for m in clause.marks if m.kind == "word"), default=clause.end)
    reasons = BECAUSE | SPEAKERS if "last_entry" in clause.keys else BECAUSE
    stop = next((i for i in range(first, clause.end) if scene.tokens[i].word in reasons), clause.end)
    return Clause(clause.start, stop, clause.marks)


def _leads(rule: Rule, clause: Clause, scene: Scene, lexicon: Lexicon) -> bool:
    """Whether the first word that the rule asks for opens the message, greetings aside."""
    first = next((m for m in clause.marks if not m.keys.isdisjoint(rule.has[0])), None)
    if first is None:
        return False
    passed = {i for m in clause.marks if m.keys & {"mood=please", "amend_word", "amend_weak", "denies"}
        for i in range(m.start, m.end)}
    start = clause.start if rule.lead == "clause" else 0
    ahead = [t for i, t in enumerate(scene.tokens[: first.start]) if i not in passed and i >= start]
    return all(t.word in lexicon.greetings or t.kind == "sign" for t in ahead)


def _triggers(has: tuple[frozenset[str], ...] | list[frozenset[str]], clause: Clause) -> frozenset[int]:
    """The places of the marks that make the rule fit; sections, times and products are shared, not taken."""
    places = set()
    for part in has:
        for mark in clause.marks:
            if mark.kind in SHARED:
                continue
            own = mark.kind == "word" and "shared" not in mark.keys and not mark.keys.isdisjoint(part)
            if own or f"@{mark.kind}" in part:
                places.add(mark.start)
    return frozenset(places)


def filled(hit: Found, lexicon: Lexicon, scene: Scene) -> list[Act]:
    """The acts of a hit whose slots are filled."""
    _fill(hit, lexicon, scene)
    return hit.acts


def _fill(hit: Found, lexicon: Lexicon, scene: Scene) -> None:
    """Builds the act, or one for each group where sections and values stand in pairs."""
    spec = lexicon.specs[hit.rule.act]
    if hit.rule.ask:
        for choice in hit.rule.ask:
            chosen = lexicon.specs.get(choice["act"])
            if chosen is not None:
                extra = {k: v for k, v in choice.items() if k not in ("act", "assumed")}
                hit.ask.append(_choice(chosen, hit, lexicon, scene, extra, tuple(choice.get("assumed", ()))))
        return
    groups = _groups(hit.marks, spec.pair) if spec.pair else [hit.marks]
    acts = [_act(spec, hit, marks, lexicon, scene, hit.rule.set, hit.rule.assumed) for marks in groups]
    if hit.ask:  # rivals of the same weight
        others = [_act(lexicon.specs[a.name], hit, hit.marks, lexicon, scene, {}, ()) for a in hit.ask]
        hit.ask = [*acts, *others]
        return
    acts = [a for a in acts if all(slot in a.slots for slot in hit.rule.filled if slot != "sections")]
    firm = any(m.form in ("did", "e") and not _nosotros(m, scene) for m in clause_marks(hit))
    firm = firm or any(m.kind in ("day", "date") and m.value.on is None and (m.value.day or 0) < 0 for m in hit.marks)
    acts = [a for a in acts if firm or ("at" not in a.missing and not _some_day(a))]  # a time still to come: no fact yet
    hit.acts = [a for a in acts if a.slots or not (spec.pair or spec.told)]


def _choice(
    spec: Spec, hit: Found, lexicon: Lexicon, scene: Scene, extra: dict[str, Any], assumed: tuple[str, ...]
) -> Act:
    """One of the alternatives; of "A 14 B 19" it keeps in `parts` what is said of each, for one button says both."""
    whole = _act(spec, hit, hit.marks, lexicon, scene, extra, assumed)
    groups = _groups(hit.marks, spec.pair) if spec.pair and not whole.missing else []
    parts = [_act(spec, hit, marks, lexicon, scene, extra, assumed).to_json() for marks in groups]
    return whole.having(parts=parts) if len(parts) > 1 else whole


def _act(
    spec: Spec, hit: Found, marks: list[Mark], lexicon: Lexicon, scene: Scene, extra: dict[str, Any], assumed: tuple[str, ...]
) -> Act:
    values: dict[str, Any] = {}
    own = _own(hit, marks)
    for slot, kind in spec.slots.items():
        if slot in extra or slot in hit.rule.drop:
            continue
        if kind in GROUPS:
            values.update(GROUPS[kind](hit.clause, marks, scene))
            continue
        looked = own if kind in ("step", "result", "kind") else _at_its_time(hit, marks) if kind == "at" else marks
        value = FILLERS[kind](hit.clause, looked, scene)
        if value is None and kind == "step":
            value = FILLERS[kind](hit.clause, marks, scene)  # a shared word tells it: "started oil"
        if value is not None:
            values[slot] = value
    values.update({k: v for k, v in extra.items() if v != ""})
    _by_product(values, marks)
    put_on = spec.name in ("start", "finish") and values.get("step") in PUT_ON
    if put_on and (goods := strange_goods(hit.clause, scene, lexicon)):
        values["product"] = goods  # the shop does not know it: asked about, never its nearest step
    if values.get("step") == "coat" and "next_coat" in hit.clause.keys and OF_FINISH.isdisjoint(hit.clause.keys):
        assumed = (*assumed, "step")  # the wood tells whether the second coat is of the finish or of stripper
    if "at" in values and len(str(values["at"])) == 10 and spec.slots.get("at") == "at":
        assumed = (*assumed, "at")
    filled = tuple(a for a in dict.fromkeys(assumed) if a in values)
    return Act(spec.name, values, filled, missing(spec, values, marks))


def _at_its_time(hit: Found, marks: list[Mark]) -> list[Mark]:
    """Of two clocks the one told behind the verb: "had brightener on at 9:40 and got rinsed at 10:02"."""
    clocks = [m for m in marks if m.kind == "time"]
    if hit.rule.act in ("start", "finish") and len(clocks) == 2 and "@from_to" in hit.clause.keys:
        lost = clocks[hit.rule.act == "start"]
        return [m for m in marks if m is not lost]
    verb = max(hit.triggers, default=-1)
    behind = [m for m in clocks if m.start > verb]
    if hit.rule.act not in STEPS or len(clocks) < 2 or not behind or verb < clocks[0].start:
        return marks
    return [m for m in marks if m.kind != "time" or m is behind[0]]


def _by_product(values: dict[str, Any], marks: list[Mark]) -> None:
    """ "coated the rail with gel", "lo tapamos con gel": what was put on tells the step."""
    goods = {m.attrs["product"] for m in marks if "product" in m.attrs}
    if any(not m.keys.isdisjoint(("window", "plants")) for m in marks):
        return  # "tape la puerta con plastico": what was covered tells it
    if values.get("step") in ("coat", "protect") and len(goods) == 1:
        step = APPLIED.get(next(iter(goods)))
        if step and (values["step"] == "coat" or step != "coat"):
            values["step"] = step


def _nosotros(mark: Mark, scene: Scene) -> bool:
    """ "enjuagamos" may be present or past: a time still to come makes it a plan."""
    return scene.tokens[mark.end - 1].word.endswith(("amos", "imos", "emos"))


def _some_day(act: Act) -> bool:
    """Whether only a day is told: "we are leaving saturday" is no news."""
    return len(str(act.get("at", ""))) == 10 and act.name not in ("timeline", "plan", "picture", "digest")


def clause_marks(hit: Found) -> list[Mark]:
    """The marks that made the rule fit."""
    return [m for m in hit.marks if m.start in hit.triggers]


def missing(spec: Spec, values: dict[str, Any], marks: list[Mark]) -> tuple[str, ...]:
    """The needs that nothing fills; a time told that can be no past time is missing too."""
    lacks = [need.split("|")[0] for need in spec.needs if not any(n in values for n in need.split("|"))]
    if spec.slots.get("at") == "at" and "at" not in values and any(m.kind == "time" for m in marks):
        lacks.append("at")
    return tuple(lacks)


def _own(hit: Found, marks: list[Mark]) -> list[Mark]:
    """For slots that belong to the words of the rule: its triggers first."""
    mine = [m for m in marks if m.start in hit.triggers]
    return mine or marks


def _mirrored(line: list[Mark]) -> list[list[Mark]]:
    """ "7 en la A, la B 6.5", "17 15 on stairs, C 24": a list of two with values on either side is no list."""
    at = [i for i, m in enumerate(line) if m.kind == "sec"]
    names = [name for i in at for name in line[i].value]
    if len(names) != 2 or at[0] == 0 or at[-1] == len(line) - 1 or at[-1] - at[0] >= len(at):
        return []
    first, last = replace(line[at[0]], value=[names[0]]), replace(line[at[-1]], value=[names[1]])
    return [[first], line[: at[0]], [last], line[at[-1] + 1 :]]


def _groups(marks: list[Mark], kind: str) -> list[list[Mark]]:
    """Parts "14 en la A y 19 en el railing": each section with the values next to it."""
    if kind == "goods":
        return by_goods(marks)
    kinds = {"dur": ("num", "dur"), "num": ("num", "pct"), "dim": ("dim", "area", "len")}[kind]
    line = [m for m in marks if m.kind == "sec" or m.kind in kinds]
    runs = _mirrored(line)
    for mark in line if not runs else ():
        side = mark.kind == "sec"
        if runs and (runs[-1][0].kind == "sec") == side:
            runs[-1].append(mark)
        else:
            runs.append([mark])
    if len(runs) > 4 and len(runs) % 2:
        return []  # whose value is whose is not sure
    if kind == "num" and len(runs) == 3 and runs[0][0].kind == "sec":
        return [[m for m in marks if not any(m is lone for lone in runs[2])]]  # "moisture A 12 B wet": none of B
    if len(runs) < 4 or len(runs) % 2:
        return [marks]
    rest = [m for m in marks if m not in line and m.kind != "sec"]
    pairs = [sorted([*a, *b], key=lambda m: m.start) for a, b in zip(runs[::2], runs[1::2], strict=True)]
    edges = [(pair[0].start, pair[-1].end) for pair in pairs]
    out = []
    for a, b, (start, end) in zip(runs[::2], runs[1::2], edges, strict=True):
        near = [m for m in rest if "surface" not in m.attrs or start - 2 <= m.start <= end + 2]
        out.append(sorted([*a, *b, *near], key=lambda m: m.start))
    return out
