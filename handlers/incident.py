"""Somebody is hurt or something is damaged: first aid first, the owner at once, and a timer."""

from __future__ import annotations

import re
from datetime import timedelta
from unicodedata import normalize

from bot.acts import Act
from bot.clocks import FLUSH
from bot.errors import Refused
from bot.job import Job
from bot.outcome import OWNER, Entry, Line, Outcome, Turn, handles, line, say
from bot.place import where_named


@handles("danger", needs_job=False)
def danger(act: Act, job: Job, turn: Turn) -> Outcome:
    """A lethal or wood-wrecking wish: the reason, no quantity; the owner hears of it."""
    raise Refused(str(act.get("reason")))


@handles("bleach")
def bleach(act: Act, job: Job, turn: Turn) -> Outcome:
    """Bleach on wood: onto standing acid an alarm; elsewhere noted, so that no acid goes on before it is rinsed."""
    acid = [s.name for s, p in job.wet() if p.step == "brighten" and (s.name in act.sections or not act.sections)]
    if act.get("how") == "asked":
        raise Refused("acid_with_bleach" if acid else "bleach_in_mix")
    if acid:
        return incident(Act("incident", {"kind": "breathing", "aid": "bleach", "sections": acid}), job, turn)
    names = where_named(act, job, turn)
    if isinstance(names, Outcome):
        return names
    ping = line("ping_bleach", job=job.name, who=turn.who.name, sections=names)
    return Outcome(
        (Entry("note", {"text": turn.text[:1000], "bleach": True}, names, turn.when(act)),),
        (say(line("bleach_noted"), loud=True), say(ping, to=OWNER, kind="ping", level="trouble")),
    )


BODY = ("eye", "skin", "breathing", "swallowed")
NO_PERSON = ("animal", "runoff", "gas", "clash", "fire", "bleach")
INSIDE = ("eye", "breathing", "swallowed")
ASKED_AGAIN = ("eye", "skin")  # flushing has its own timer: bot.clocks

GOODS = (
    r"stripper|decap|remov|acid|caustic|lye|sosa|gel\b|bright|abrill|chem|quimic|bleach|cloro|oil|aceite|product|spill|splash|"
    r"derram|drip|gote|salpic|mancha|stain|streak|cloud|etch|opac|nubl"
)
SMASHED = (
    r"crack|brok|smash|shatter|chip|goug|dent|scratch|snap|splinter|\bnick|scuff|bust|blew out|hole|[qk]u?ebr|romp|"
    r"rot[oa]\b|\braj|estrell|astill|aboll|agriet|agujer|perfor|rasp|\bray[aeo]|rayamos|despostill"
)

# The contract has eight kinds; the speaker's words choose a nearer line of first aid within a kind. In this order.
NEARER: tuple[tuple[str, tuple[str, ...], str], ...] = (
    ("shock", ("other", "slip"), r"electr|shock|zap|toque|descarga|corriente|corrientazo|spark|arcing|chispa|live wire"),
    ("fire", ("other",), r"\bfire\b|fuego|incendi|\b(rags?|trapos?)\b"),
    ("sting", ("other",), r"stung|sting|bit (me|him|her)|bite|bitten|pico\b|picaron|mordi|alerg|allerg|epi ?pen|anaphyl"),
    ("gas", ("other",), r"boil|hirv|herv|spatter|splatter|erupt|explo|smok|steam|humea|\bhumo|react|reacci|\bspat\b|"
        r"melt|derrit|bulg|foaming over|fizz|when i (add|pour|mix|put)|al (agregar|echar|mezclar)|cuando (ech|agreg|mezcl)"),
    ("runoff", ("other", "damage"), r"drain|creek|pond|stream|river|sewer|lake|drenaje|alcantar|coladera|estanque|arroyo|"
        r"\brio\b|laguna|alberca|piscina|runoff|run off|koi|fish|peces|desag|ditch"),
    ("animal", ("other", "swallowed"), r"\b(dogs?|pupp\w+|cats?|kitten|chickens?|horse|rabbit|goat|pets?|paws?|perr\w+|"
        r"gat[oa]s?|gatit\w+|mascota|gallinas?|conejo|caballo|turtle|tortuga|ducks?|patos|patas)\b"),
    ("injection", ("other", "slip"), r"washer|\bwand|nozzle|lance\b|\bjet\b|hidrolav|pistola|boquilla|presion|chorro|"
        r"\blanza|inject|inyect"),
    ("heat", ("other",), r"\bheat|calor|insol|sun ?stroke|sweat|suda\b|sudar|deshidrat|dehydrat|calambre|cramp|muy rojo"),
    ("faint", ("other",), r"pass\w* out|black\w* out|faint|collaps|unconsc|unrespons|desmay|desvan|inconsc|desplom|colaps|"
        r"(not|isnt|isn.t|stopped) (mov|breath|respond)|wake|reacciona|despierta|no responde|seizure|convuls|heart|infart|"
        r"stroke|dying|muri"),
    ("wound", ("other", "slip"), r"blood|bleed|sangr|\bcut|\bcort[eo]|\bnail|clav[eo]|gash|slice|\bstab|vidrio|glass"),
    ("sick", ("other",), r"dizz|light ?headed|woozy|naus|queasy|vomit|thr\w+ up|puk|barf|mare[aoe]|feel|sient|devolv|guaca"),
    ("slip", ("other",), r"\b(?:back|neck|head|knee|leg|ankle|foot|arm|wrist|hand|elbow|shoulder|hips?|"
        r"ribs?|tailbone)\b.*(?:hurt|kill|swell|swoll|bruis|ach|numb|throb)|"
        r"(?:duele|punza|doliendo).*(?:espald|cuell|cabez|rodill|piern|tobill|\bpie|braz|munec|\bmano|codo|hombr|cader|cintur|costill)"),
    ("broken", ("damage",), rf"^(?!.*(?:{GOODS})).*(?:{SMASHED})"),
    ("child", ("other",), r"\b(kids?|child|children|toddler|baby|nin[oa]s?|bebe|chamac\w+|escuincle)\b"),
)  # fmt: skip


def nearer(kind: str, text: str) -> str:
    """The name of the first-aid line: the kind's own, or a nearer one that the words choose."""
    said = re.sub("[\u0300-\u036f]", "", normalize("NFD", text.lower()))
    return next((name for name, kinds, words in NEARER if kind in kinds and re.search(words, said)), kind)


STILL = timedelta(minutes=30)
PART = re.compile(r"skin|arm|hand|leg|face|glove|boot|sleeve|piel|brazo|mano|pierna|cara|guante|bota|cloth|ropa", re.I)


def _of_before(act: Act, job: Job, turn: Turn) -> str | None:
    """ "it stings real bad", told soon after an eye was hurt: the same eye, whose flushing goes on."""
    last = job.incidents[-1] if job.incidents else None
    if act.get("kind") != "skin" or last is None or PART.search(turn.text) or turn.now - last["told"] > STILL:
        return None
    return str(last["kind"]) if last.get("kind") in INSIDE else None


@handles("incident")
def incident(act: Act, job: Job, turn: Turn) -> Outcome:
    """The first-aid line of the label's kind, loudly; never more than the label says."""
    kind = _of_before(act, job, turn) or act.get("kind") or "other"
    aid = act.get("aid") or nearer(kind, turn.text)
    person = kind in (*BODY, "slip", "other") and aid not in NO_PERSON
    told = {"told": turn.said_at.isoformat()} if act.get("at") else {}
    entry = Entry("incident", {"kind": kind, "text": turn.text[:1000], **told}, act.sections, turn.when(act))
    lines: list[Line | None] = [line(f"first_aid_{aid}", emergency=turn.shop.emergency)]
    if kind in ASKED_AGAIN:
        lines.append(line("label_and_doctor"))
    elif person:
        lines.append(line("label_and_doctor_first"))
    if job.wet() and person:
        lines.append(line("wet_meanwhile", sections=tuple(s.name for s, _ in job.wet())))
    about = {"incident": True, "sections": act.sections}
    ping = say(
        line(
            "ping_incident",
            job=job.name,
            who=turn.who.name,
            kind=kind,
            text=turn.text[:300],
            at=turn.when(act),
        ),
        to=OWNER,
        kind="ping",
        level="trouble",
        loud=True,
        about=about,
    )
    return Outcome((entry,), (say(*lines, loud=True, about=about), ping))


LONG = timedelta(hours=4)


@handles("aftermath")
def aftermath(act: Act, job: Job, turn: Turn) -> Outcome:
    """How somebody is, told after an incident: kept and told to the owner; still in pain, the first aid is said again."""
    last = job.incidents[-1] if job.incidents else None
    if last is None or turn.now - last["told"] > LONG:
        return Outcome(replies=(say(line("chatter")),))
    if act.get("state") == "still":
        return incident(Act("incident", {"kind": str(last.get("kind") or "other")}), job, turn)
    words = str(act.get("text") or turn.text)
    ping = line("ping_better", job=job.name, who=turn.who.name, text=words[:300])
    return Outcome(
        (Entry("note", {"text": words[:1000]}, (), turn.when(act)),),
        (say(_noted(act, job, turn)), say(ping, to=OWNER, kind="ping", level="trouble")),
    )


def _noted(act: Act, job: Job, turn: Turn) -> Line:
    """What an answer hears: a flushing goes on until its time, a body is watched, a plant or a window is noted."""
    bodily = (i for i in reversed(job.incidents) if i.get("kind") in BODY and turn.now - i["told"] < LONG)
    hurt = next(bodily, job.incidents[-1])
    kind, until = hurt.get("kind"), hurt["told"] + FLUSH
    if act.get("state") == "flushing" and kind in ASKED_AGAIN and turn.now < until:
        return line("flushing_noted", at=until, emergency=turn.shop.emergency)
    if act.get("state") == "told" and job.incidents[-1].get("kind") == "plant":
        return line("tended_noted")
    return line("better_noted" if kind in BODY and act.get("state") != "told" else "aftermath_noted")
