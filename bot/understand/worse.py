"""Words that cry only where somebody was hurt just now: "me too", "the other eye too", "he is shaking", "peor"."""

from __future__ import annotations

import re

from bot.understand.aftermath import PART
from bot.understand.crewnames import COMMON
from bot.understand.cries import plain

WHOSE = r"(?:me|him|her|mi|el|ella|{names})"
ALSO = (
    r"\b(?:too|as well|also|tambien)\b.*\b(?:got|cayo|callo|salpico|{parts})\b|"
    r"\b(?:{whose}|other (?:one|{parts})|otr[oa] (?:{parts})?|got (?:some|it|{whose})(?: \w+)?) (?:too|as well|tambien)\b|"
    r"\b(?:a|y) {whose} tambien\b(?! (?:ya|anda|esta|llego|viene|vino|va|se|le|lo)\b)"
)
WORSENED = (
    r"^(?:(?:its|hes|shes|he|she|it|{names}|is|are|are|looks|looking|getting|got|gets|a|lot|much|way|even|esta|ta|se|ve|le|"
    r"sigue|va|mas|y|ya|ahora|now|bad|feels|his|her|my|su|la|el|lo|{parts}) )*"
    r"(?:(?:worse|worst)(?! (?:than|at|on)\b)|peor(?! (?:que|la|el|este|esta|ese|esa)\b)|empeor\w+|"
    r"swell\w*(?! (?:grain|wood|boards?)\b)|swollen|hinch\w+|shak(?:ing|es)(?! (?:out|off|up|the|it|a|my|his|her)\b)|"
    r"shivering|tembl\w+|faint\w*|desmay\w+|passed out)\b|"
    r"\b(?:cant|cannot|wont|no puede|no lo puede|no la puede) (?:open|see|abrir|ver)(?=$| (?:it|lo|los|out|from|anything|"
    r"nada|well|bien|much|my|his|her|el ojo|los ojos|the eyes?|de|con|good|at all|right|straight)\b)|"
    r"(?<!app )(?<!app is )(?<!phone )(?<!phone is )"
    r"\b(?:isnt|not|wont|no|ya no) (?:respond\w*|react\w*|waking|despierta|despert\w+)\b|\btheres swelling\b"
)
OF_OTHERS = re.compile(
    r"\b(?:weather|wind|rain|traffic|heat|sun|smell|client|phone|truck|door|gate|window|lid|app|"
    r"puerta|clima|viento|lluvia|trafico|calor|sol)\b"
)


def worsened(text: str, people: tuple[str, ...] = ()) -> bool:
    """Whether, while an incident is new, it tells that somebody else was hurt as well or that somebody is worse:
    "me too", "the other eye too", "he is shaking", "peor". `people` are the crew's first names in lower letters."""
    said = plain(text).strip()
    names = "|".join(map(re.escape, (*people, *sorted(COMMON))))
    whose = WHOSE.replace("{names}", names)
    fill = {"{whose}": whose, "{names}": names, "{parts}": PART[3:-1]}
    patterns = (re.sub(r"\{\w+\}", lambda m: fill[m[0]], p) for p in (ALSO, WORSENED))
    return not OF_OTHERS.search(said) and any(re.search(p, said) for p in patterns)
