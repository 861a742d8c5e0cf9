"""What no reading may get past: signs and forms of numbers that the grammar would read as something smaller.

A quantity that is doubtful is taken out and asked for; a finished step with a coming time is asked about.
"""

from __future__ import annotations

import re

from bot.acts import Act

LONG = re.compile(r"\d{13,}")
DOUBTFUL = re.compile(r"(?:^|[\s(,:])-\d|\d[eE][+-]?\d|\b(?:nan|inf|infinity)\b", re.IGNORECASE)
COMING = re.compile(
    r"\b(?:in|en)\s+(?:about\s+|like\s+|unos\s+)?\d+\s*(?:(?:m|min|mins|minutes?|minutos?|h|hrs?|hours?|horas?)\b|$)",
    re.I,
)
PH = re.compile(r"\bp\.?\s?h\b", re.IGNORECASE)
SIDE_BY_SIDE = re.compile(r"(?<=\b\d\d)/(?=\d\d\b)")
METER = re.compile(r"moist|humed|meter|medidor|%", re.IGNORECASE)
AMOUNTS = ("volume", "mass", "readings", "value", "area", "length", "width", "height", "count", "minutes", "cost", "rate")
DONE = ("finish", "rewet", "mixed")
TIMED = (*DONE, "start")
GLUED = re.compile(r"\b(la|las|en|de|y|on|sec|section|seccion|and|the|for|enla|dela)([A-Z]\d?)\b")  # "laE2", "onB1"
NTH = re.compile(  # "2nd coat", "2a mano": as a word, or the cut would part the number from it
    r"\b([1-4])(?:(?:st|nd|rd|th) (?=coat|pass|round|batch|bucket|mix|time|rinse)|(?:a|da|ra|era|ta) "
    r"(?=mano|manita|capa|pasad|ronda|vuelta|mezcla|tanda|vez|enjuag))", re.I
)
NTH_WORDS = {"en": ("first", "second", "third", "fourth"), "es": ("primera", "segunda", "tercera", "cuarta")}
UNSEEN = re.compile(r"[\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff\u00ad]")
POINTS = re.compile(r"(?:(?<=^)|(?<=[\s:]))([1-9])(?:[).]\s+(?=[^\W\d])|\)\s+(?=\d))")
# Numbers of which a part would be lost: 1/0, 1/2/3, 4..5, "1 000 gal", "2O", "l8", "8 or 12".
BROKEN = re.compile(
    r"\b\d+(?:\.\d+)? (?:or|o) (?:like |maybe )?\d+\b|"
    r"\d+/0+\b|\d+/\d+/\d|\d\.\.\d|\b\d{1,3} \d{3} (?:gal|l|lit|lb|oz|ft|kg|g)\b|\b\d+[OoZz]\d*\b|\b[lIOo]\d+\b", re.ASCII
)
OFF_SCALE = re.compile(r"\bO\.?L\b|\b(?:off|over) (?:the )?(?:scale|range|limit)|fuera de (?:escala|rango)|\bpegged\b|maxed")
CLOCK = re.compile(r"(?<![\d:/])(\d{1,2}):(\d{1,2})(?![\d:])")
LENGTH_AGO = re.compile(
    r"(?:\d|\b(?:hour|half|quarter|couple))[^.;!?]{0,18}\bago\b|\bhace [^.;!?]{0,10}(?:\d|\b(?:hora|media|cuarto))", re.I
)


def shortened(text: str) -> str:
    """The text without signs that nobody sees and numbers that nobody means; sections parted, points as sentences."""
    text = UNSEEN.sub("", text).replace("\u2044", "/")
    if METER.search(text):  # "moisture K 14/15/14": readings side by side, no fraction
        text = SIDE_BY_SIDE.sub(" ", text)
    return GLUED.sub(r"\1 \2", _pointed(LONG.sub("9e9", NTH.sub(_nth, text))))


def _nth(told: re.Match[str]) -> str:
    return NTH_WORDS["en" if told[0].lower().endswith(("st ", "nd ", "rd ", "th ")) else "es"][int(told[1]) - 1] + " "


def _pointed(text: str) -> str:
    """ "1) E stripped 2) F rinsed": each point a sentence, or an item behind a heading ("readings: 1) E 14 2) F 16")."""
    points = list(POINTS.finditer(text))
    if len(points) < 2 or [int(p[1]) for p in points] != list(range(1, len(points) + 1)):
        return text
    sign = "," if text[: points[0].start()].rstrip().endswith(":") else "."
    for point in points:
        text = text[: point.start()] + sign + " " + text[point.start() + 2 :]
    return text


def guarded(text: str, acts: tuple[Act, ...]) -> tuple[Act, ...]:
    """The acts without what only looks like a quantity or a past moment."""
    read = any(act.name == "ph" for act in acts)
    told = tuple(_timely(text, _past(text, _sure(text, act if read else _ph(text, act)))) for act in acts)
    return tuple(_all_read(text, act, told) for act in told)


def _all_read(text: str, act: Act, acts: tuple[Act, ...]) -> Act:
    """A reading stands only where every number of the message has its place: the lost one may be the wettest."""
    if act.name != "moisture" or not act.get("readings"):
        return act
    kept = " ".join(str(dict(a.slots)) for a in acts)
    known = {float(n) for n in re.findall(r"\d+(?:\.\d+)?", kept)}
    known |= {float(int(n)) for n in known if n % 1 == 0.5}  # "16 y medio"
    known |= {float(n) for h, m in re.findall(r"(\d\d):(\d\d)", kept) for n in (h + m, int(h) % 12, f"{int(h) % 12}{m}")}
    bare = SPOTS.sub(" ", CLOCK.sub(" ", re.sub(r"\b[A-Za-z]\d\b", " ", text)))
    lost = {float(n.replace(",", ".")) for n in re.findall(r"\d+(?:[.,]\d+)?", bare)} - known
    if lost or OFF_SCALE.search(text):
        return Act(act.name, {k: v for k, v in act.slots.items() if k != "readings"}, act.assumed, (*act.missing, "readings"))
    return act


SPOTS = re.compile(r"\b\d+ (?:spots?|places?|readings?|boards?|lecturas?|puntos?|tablas?|lugares)\b", re.I)


def _timely(text: str, act: Act) -> Act:
    """A time that is told and cannot be read is asked for: what was done is not of now."""
    if act.name not in TIMED or "at" in act.missing:
        return act
    clocks = [(int(h), m) for h, m in CLOCK.findall(text)]
    none = any(h > 24 or len(m) < 2 or int(m) > 59 for h, m in clocks)
    if none or (not act.get("at") and LENGTH_AGO.search(text)):
        return Act(act.name, {k: v for k, v in act.slots.items() if k != "at"}, act.assumed, (*act.missing, "at"))
    return act


def _ph(text: str, act: Act) -> Act:
    """A pH beyond the scale is still a pH, and no moisture."""
    if act.name != "moisture" or not PH.search(text) or METER.search(text):
        return act
    readings = act.get("readings") or [None]
    return Act(
        "ph",
        {k: v for k, v in {"sections": act.get("sections"), "value": readings[0]}.items() if v is not None},
    )


def _sure(text: str, act: Act) -> Act:
    if act.name == "conditions":
        return _below_nothing(text, act)
    if act.name in ("survey", "note") or not (DOUBTFUL.search(text) or BROKEN.search(text)):
        return act
    lost = tuple(slot for slot in AMOUNTS if slot in act.slots)
    if not lost:
        return act
    slots = {k: v for k, v in act.slots.items() if k not in lost}
    if act.name in ("mix", "mixed"):  # not to be sized by anything else: what was meant is asked
        slots["doubtful"] = True
    return Act(act.name, slots, act.assumed, tuple(dict.fromkeys((*act.missing, *lost))))


def _below_nothing(text: str, act: Act) -> Act:
    """Frost keeps its sign."""
    for slot in ("air_temp", "surface_temp"):
        told = act.get(slot)
        if told and re.search(rf"(?:^|[\s(,:])-\s?{told['value']:g}\b", text):
            act = act.having(**{slot: {**told, "value": -told["value"]}})
    return act


def _past(text: str, act: Act) -> Act:
    if act.name not in TIMED or act.get("at") or not COMING.search(text):
        return act
    return Act(act.name, act.slots, act.assumed, tuple(dict.fromkeys((*act.missing, "at"))))
