"""Weighs a reading with the second opinion: doubts an act that hardly anybody would mean, hears what was missed."""

from __future__ import annotations

from datetime import date

from bot.acts import Act
from bot.understand import second
from bot.understand.asking import opened
from bot.understand.clauses import Clause
from bot.understand.finding import marked
from bot.understand.frames import Found, filled
from bot.understand.lexicon import Lexicon, Rule
from bot.understand.marks import Mark
from bot.understand.slots import Scene

SURE, LIKELY, DOUBTED, OPEN = 0.9, 0.7, 0.1, 0.5
CLEAR = 0.1  # how far likelier the act must be than that it must be asked about, to stand
# What may be heard without the grammar, and the slots of which one must be told.
HEARD: dict[str, tuple[str, ...]] = {
    "start": ("sections",), "finish": ("sections",), "rewet": ("sections",), "check": ("result",), "patch": ("result",),
    "extend": ("minutes",), "hold": (), "resume": (), "moisture": ("readings",), "ph": ("value",),
    "conditions": ("air_temp", "surface_temp", "humidity", "wind", "sun", "rain"), "flow": ("rate", "seconds"),
    "measure": ("length", "width", "height", "count", "area"), "restock": ("mass", "volume"), "stock": (),
    "arrive": (), "leave": (), "incident": ("kind",), "client": (), "coat": (), "dry": (), "status": (), "timeline": (),
    "plan": (), "pace": ("area",), "mix": ("volume", "sections"), "mixed": ("product",), "help": (), "undo": (),
    "survey": ("year_built", "treated", "species"), "set": ("strength", "dwell", "coverage", "mist_every", "target"),
}  # fmt: skip
# What is answered on the opinion's word alone: questions, who is here, and an injury, whose first aid may be said in vain.
# All else moves a clock, a stock or a judgement of the wood: it is asked about.
QUESTIONS = {"stock", "client", "coat", "dry", "status", "timeline", "plan", "help"}
OF_THE_OWNER = {"hours", "cost", "money", "compare", "learned", "digest", "picture", "record", "jobs", "people", "why"}
ANSWERED = QUESTIONS | {"ask"}  # a question is answered, not asked about
WRITES_NOTHING = ANSWERED | OF_THE_OWNER | {"mix"}
VISITS = {"arrive", "leave"}
OF_A_HAND = VISITS | {"hold", "resume", "check"}
TRUSTED = QUESTIONS | VISITS | {"incident"}
OF_A_SECTION = {"start", "finish", "rewet", "extend"}  # a button for these names one, or a step of no section
ANYWHERE = {"protect", "prewet"}
ASIDE = ("stored", "recovery", "of", "share", "water_temp", "full", "amount", "short", "person", "entry", "number")


def weighed(
    acts: list[Act], ask: list[Act], marks: list[Mark], said: list[Clause], lexicon: Lexicon, scene: Scene
) -> tuple[list[Act], list[Act]]:
    """The acts that stand, and those to be asked about: never one that a question would write down."""
    stand, doubted = _weighed(acts, ask, marks, said, lexicon, scene)
    if not opened(scene.tokens, lexicon.greetings):
        return stand, doubted
    return stand, [a for a in doubted if a.name in WRITES_NOTHING]


def _weighed(
    acts: list[Act], ask: list[Act], marks: list[Mark], said: list[Clause], lexicon: Lexicon, scene: Scene
) -> tuple[list[Act], list[Act]]:
    told = second.opinion(second.features(scene.tokens, marks))
    if acts:
        # A product, a verb and where leave nothing open, nor what came onto plants; it was taught no names.
        caused = any("stop_cause" in m.keys for m in marks)  # a stop whose reason is told is plain
        weigh = (a for a in acts if not (a.get("put") or a.get("kind") == "plant" or (a.name in VISITS and a.get("by"))
            or (a.name == "hold" and caused)))  # fmt: skip
        taught = [(a, p) for a in weigh if (p := second.likelihood(a, told)) is not None]  # a new command is not
        lone = taught[0][1] if len(taught) == len(acts) == 1 and acts[0].name not in ANSWERED else None
        if lone is not None and second.share(told[second.ASKED]) >= max(OPEN, lone - CLEAR):
            return [], acts
        doubted = [a for a, p in taught if p < DOUBTED and a.name != "ask"]  # such a question is told by its own words
        asked = [a for a in doubted if a.name not in OF_A_SECTION or a.sections or a.get("step") in ANYWHERE]
        return [a for a in acts if a not in doubted], [*ask, *asked]  # of no section there is no button to press
    if ask:
        return acts, ask
    name = max((n for n in told if n not in (second.NONE, second.ASKED)), key=told.__getitem__)
    likely = second.share(told[name])
    if likely < LIKELY or second.share(told[second.NONE]) > 1 - LIKELY:
        return [], []
    act = _heard(name, marks, said, lexicon, scene)
    if act is not None and _of_another(act, marks, said):
        return [], []
    if act is not None and act.get("step") == "prewet" and any("product" in m.keys for m in marks):
        return [], []  # product that came onto plants does not make them safe
    if act is None or (act.name == "finish" and _denied(said)):
        return [], []  # of "all rinsed but A" no button may say that A is rinsed
    if act.name == "leave" and any("to_air" in m.keys for m in marks):
        return [], []  # out of the fumes is not off the site
    sure = likely >= (LIKELY if act.name in QUESTIONS else SURE)
    firm = sure and act.name in TRUSTED and not act.missing and _plainly(act, said)
    return ([act], []) if firm else ([], [act])


def _of_another(act: Act, marks: list[Mark], said: list[Clause]) -> bool:
    """ "took off the tarp", "bought 2 packs of ph strips": the opinion knows no objects, and no strips that are bought."""
    bought = act.name == "ph" and any(not m.keys.isdisjoint(("bought", "packs")) for m in marks)
    return bought or (act.name in OF_A_HAND and any(c.of_thing for c in said))


def idle(text: str, lexicon: Lexicon, today: date) -> bool:
    """Whether nearly everybody who wrote this would mean nothing by it: "stuck in traffic"."""
    told = second.opinion(second.features(*marked(text, lexicon, today)))
    return second.share(told[second.NONE]) > 1 - DOUBTED


def _heard(name: str, marks: list[Mark], said: list[Clause], lexicon: Lexicon, scene: Scene) -> Act | None:
    """The act of a label with the slots that the message tells; None where it tells none of those it needs."""
    kind, _, part = name.partition(":")
    spec = lexicon.specs.get(kind)
    if spec is None or kind not in HEARD:
        return None
    whole = Clause(0, len(scene.tokens), marks)
    whole.seal()
    whole.moods = {m for clause in said for m in clause.moods}
    rule = Rule(kind, (), frozenset(), "any", {second.PARTS[kind]: part} if part else {}, (), "", 0, (), -1, ASIDE, False,
        (), False, False)  # fmt: skip
    acts = filled(Found(rule, whole, frozenset(), marks), lexicon, scene)
    if len(acts) != 1 or (kind in second.PARTS and not part):
        return None
    needed = () if part in ANYWHERE else HEARD[kind]
    return acts[0] if not needed or any(slot in acts[0].slots for slot in needed) else None


def _denied(said: list[Clause]) -> bool:
    """Whether something is denied or left out, wherever."""
    return any("not" in clause.moods or "except" in clause.keys for clause in said)


def _plainly(act: Act, said: list[Clause]) -> bool:
    """Whether it is told as a fact, or is a question: nothing denied, to come or on condition."""
    return act.name in QUESTIONS or not any(clause.moods for clause in said)
