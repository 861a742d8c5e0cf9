"""Product that dries on the wood, told in any words: nothing is asked then, and nothing waits."""

from __future__ import annotations

import re

from bot.understand.alarm import PLANTS, plain

SEEMS = (
    "looks? lookin looking is its are seems? feels? get gets getting gettin got go goes going goin went gone turned turning"
    " starting startin started keeps"
)
HOW = "to a bit lil little kinda kind of sorta pretty real really super so too all already very bone dull and n patchy"
SE = (
    "se me nos le esta estan ta tan anda andan ve ven va quedo quedaron puso empezo empieza a ya toda media medio bien muy"
)
PLACES_EN = "edges? spots? corners? patch patches areas? boards? ends? streaks? on at in around along"
PLACES_ES = "partes? manchas? orillas? esquinas? bordes? pedazos? tablas? puntas? lados? cachitos?"
THINGS = (  # which dry as they ought to, or are none of the wood
    "towels? clothes gloves socks mouth throat hands skin paint glue caulk well tap tank rags? brush brushes rollers?"
    " windows? glass doors? ropa guantes boca garganta piel manos pintura trapos? brochas? pozo tanque vidrios?"
    " ventanas? puertas?"
)


def _any(words: str) -> str:
    return f"(?:{'|'.join(words.split())})"


DRIES = re.compile(
    rf"\b(?:{_any(SEEMS)} (?:{_any(HOW)} )*(?:dry|dull|crusty)|drying|dryin|dries|dried|bone dry|dry {_any(PLACES_EN)}|"
    r"crust(?:ing|ed)|skinn(?:ing|ed) over|flash(?:ing|ed) off|secando(?:me|se|sele)?|resec\w+|"
    rf"{_any(SE)} (?:secas?|seco|secan?|secaron|secar|opacas?)|{_any(PLACES_ES)} (?:\w+ )?(?:secas?|secos?|opacas?))\b"
)
# Of wood that ought to dry, of when it will be, of what is done so that it does not, and of the weather.
ELSE = re.compile(
    r"\b(?:when|until|till|before|so (?:it|they|that)|keep|enough|meter|moisture|ready|oil|sealer|if|what|how|will|would|"
    r"should|could|gonna|drying (?:off|nice\w*|good|great|well)|(?:hung|left|out|up|time|needs?|going|set) (?:\w+ )?to dry|"
    r"let (?:it|them) dry|cool and dry|dry place|dry (?:day|today|weather|air|season|outside|out (?:here|there))|"
    r"cuando|hasta|antes|que no|pa q no|para q no|medidor|humedad|lista?|aceit\w+|sellador|si se (?:me )?secan?|q hago|"
    rf"que hago|va a|van a|clima|aire|secando bien(?! (?:rapido|pronto|feo))|{_any(THINGS)})\b"
)
WETTED = re.compile(
    r"\b(?:wet again|(?:sprayed|misted|hosed|wetted|soaked) (?:it|them|the|that|a|b|c)\b|ya (?:la|lo|le) (?:moje|rocie))"
)
DENIED = re.compile(
    r"\b(?:(?:not|isnt|arent|aint|dont|doesnt|didnt|wont|never|nothing|nowhere)(?: \w+){0,3}|no(?: \w+)?) "
    r"(?:dr[yi]\w*|dull|crust\w*|secas?|secos?)\b|"
    r"\b(?:no|nunca|tampoco|ni) (?:se|me|le|nos|esta|estan|anda|hay|quedo|la|lo)\b"
)
ASKED = re.compile(rf"(?:is|are|does|do|did|can|will) |ya se (?!.*\b{_any(PLACES_ES)}\b)")


def drying_out(text: str) -> bool:
    """Whether a message cries that what ought to stay wet dries out."""
    said = plain(text)
    if not DRIES.search(said) or any(p.search(said) for p in (WETTED, ELSE, DENIED)) or not PLANTS.isdisjoint(said.split()):
        return False
    return not ASKED.match(said)


DRIED = re.compile(
    r"\b(?:ya|now) (?:se (?:me |nos )?)?(?:seco|secaron)\b|\bya (?:esta|estan|ta|quedo|quedaron) (?:bien )?sec[oa]s?\b|"
    r"\b(?:is|are|has|have) (?:all |fully )?(?:dry|dried|dried up|dried out) (?:now|already)\b"
)
UNDRIED = re.compile(r"\b(?:no|not|nt|cuando|when|si|if|casi|almost|para|until|hasta|todavia|ropa|sueter|secadora)\b")


def dried(text: str) -> bool:
    """Whether a section is told to be dry by now: "ya seco la A", "A is dry now"."""
    said = plain(text)
    return bool(DRIED.search(said)) and not UNDRIED.search(said)
