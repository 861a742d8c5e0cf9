"""Acid told to have come onto standing caustic, or the caustic onto it: they spit, heat and fume. No grammar needed.

What is asked, wished or planned is `danger`'s; here it has happened. Both goods stand in the words, one of them on
the other, with a mishap or with what is seen of it.
"""

from __future__ import annotations

from functools import lru_cache

from bot.understand.cries import ENDS, WORD, cleared
from bot.understand.late import Late

ACID = (
    r"(?:acids?|asid|asido|acido|acidos|brightener|britener|brightner|brightnr|neutrali[sz]er|neutralizador|"
    r"oxalico?|citric|citrico|vinegar|vinagre|muriatic\w*|abrillantador|abriyantador|brillo)"
)
CAUSTIC = r"(?:stripp?e?r|striper|caustic|caustico|lye|sosa|gel|decapante|decapant|removedor|hydroxide|hidroxido)"
ITS = (
    r"(?:(?:the|that|this|my|his|her|our|some|wet|standing|fresh|live|hot|still|rest|of|bit|lot|bucket|pail|top|"
    r"puddle|pool|"
    r"el|la|los|las|del?|un|una|mi|su|ese|esa|cubeta|balde|bote|poco|poquito|charco|powder|mix|all|mojado|fresco|"
    r"mezcla) )*"
)
PUT = (
    r"(?:on|onto|into|in|inside|over|with|to|sobre|encima|encima del?|en|con|al?|contra|dentro del?|por|entre)"
)
NEAR = r"(?:\w+ ){0,4}?"
BOTH = rf"(?:{ACID} {NEAR}{PUT} {ITS}{CAUSTIC}|{CAUSTIC} {NEAR}{PUT} {ITS}{ACID})\b"
TOUCHED = (
    rf"(?:{ACID} {NEAR}(?:hit|touched|met|reached|toco|alcanzo|pego) {ITS}{CAUSTIC}|{CAUSTIC} {NEAR}(?:hit|"
    rf"touched|met|reached|toco|"
    rf"alcanzo|pego) {ITS}{ACID}|{CAUSTIC} (?:\w+ )?got {ITS}{ACID} (?:on|in) (?:it|there)|"
    rf"{ACID} (?:\w+ )?got {ITS}{CAUSTIC} (?:on|in) (?:it|there)|al? {ITS}{CAUSTIC} (?:ya |"
    rf"se )*le (?:\w+ )?(?:cay|call|salpic|ech|entr|derram|tir)\w+ {ITS}{ACID}|"
    rf"al? {ITS}{ACID} (?:ya |se )*le (?:\w+ )?(?:cay|call|salpic|ech|entr|derram|tir)\w+ {ITS}{CAUSTIC})\b"
)
SUBJECT = (
    r"(?:i|he|she|we|they|someone|somebody|guy|kid|helper|just|accidentally|luis|ana|marco|alguien|el|ella|se|ya|"
    r"muchacho|compa|chavo|ayudante|nuevo)"
)
# "echo", "mezclo" and "put" may be a wish as well: those are told only where somebody did it
FELL = (
    r"(?:spill\w*|spilt|splash\w*|splatter\w*|tipp?ed|tip over|knock\w*|kick\w*|dump\w*|dropp?ed|drip\w*|got|"
    r"gets?|getting|landed|ran|running|"
    r"leak\w*|poured|threw|sprayed|squirted|fell|went|blew|flew|drift\w*|washed|added|tossed|slosh\w*|mixed|"
    r"ca[yi]\w*|call[oe]\w*|derram\w*|volte[oe]\w*|tir[eo]|tiraron|tiramos|reg[oaue]\w*|salpi[ckq]\w*|chorre\w*|"
    r"h?echaron|h?echamos|eche|"
    r"mezcle|mezclamos|mezclaron|revolvi(?:eron|mos|o)?|junt(?:aron|amos|e)|vaci[oe]|avent[oe]|gote\w*|"
    r"escurri\w*|brinco|metio|vir[oe]|bot[oe]|"
    r"pus(?:o|e|ieron|imos)|entro|se fue|all over|"
    + SUBJECT + r" (?:\w+ ){0,2}?(?:put|h?echo|mezclo|junto))"
)
SEEN = (
    r"(?:fizz\w*|bubbl\w*|spit\w*|spat|boil\w*|smok\w*|steam\w*|foaming over|react\w*|sizzl\w*|hiss\w*|erupt\w*|"
    r"explod\w*|fum(?:es|ing)|"
    r"(?:getting|got|its|is|really|so|went) (?:\w+ )?hot|heat(?:s|ing)|popp?ing|burbuj\w*|h?ierv\w*|hirvi\w*|"
    r"herv\w*|humea\w*|humo|chisp\w*|"
    r"espum(?:a|ando|o|ea|eando)|reacc?ion\w*|calent\w*|calient\w*|vapor\w*|chill\w*|silb\w*|escup\w*|brincando|"
    r"truena|tronando)"
)
HAPPENED = Late(rf"\b{FELL}\b")
CONTACT = Late(rf"\b(?:{BOTH}|{TOUCHED})")
TOUCHING = Late(rf"\b{TOUCHED}")
TOGETHER = Late(rf"\b(?:{ACID} (?:and|y|with|con|plus) {ITS}{CAUSTIC}|{CAUSTIC} (?:and|y|with|con|plus) {ITS}{ACID})\b")
REACTS = Late(rf"\b{SEEN}\b")
# asked, wished, planned, forbidden, dreamt of, denied
UNTOLD = Late(
    r"^(?:did|has|have|was|is|are) |\b(?:if|si|in case|por si|what happens|que pasa (?:si|cuando|al)|when you|"
    r"cuando (?:se|uno)|almost|nearly|casi|por poco|careful|cuidado|"
    r"can (?:i|we|you)|do (?:i|we|you)|could|should|would|will|wont|gonna|going to|want|wanna|puedo|podemos|"
    r"se puede|quiero|vamos a|voy a|hay que|"
    r"never|nunca|jamas|dont|do not|didnt|did not|hasnt|isnt|not|no|nobody|nadie|ningun|sin|without|keep|lejos|"
    r"away|before|antes|"
    r"until|hasta|supposed|debe|make sure|asegur\w+|remember|wouldnt|how much|cuanto|yesterday|ayer|last (?:year|"
    r"week|job)|el ano pasado)\b"
)
NOT_YET = Late(
    r"\b(?:order|delivery|shed|shelf|truck|van|trailer|garage|store|tienda|bodega|troca|camioneta|caja|estante|"
    r"invoice|price|"
    r"clean|empty|limpi\w+|vaci[oa]s?|rinsed|enjuagad\w+|stripped|after|despues|luego|then)\b"
)
STORED = Late(r" (?:order|delivery|shed|shelf|truck|van|box|invoice|price|caja|pedido|troca|camioneta)\b")
DENIAL = Late(
    r"\b(?:oh|ay|hijole) no\b|\b(?:no|not) (?:se que|sabe|idea|manches|mames|inventes|way|joke|lie|bueno|pues|"
    r"oye)\b|\b(?:what|que) (?:should|do|can|could|would) (?:i|we)\b"
    r"|\bwe should\b$|\bwont stop\b|\bno (?:para|deja)\b|\bshould (?:i|we) (?:run|leave|worry|be|stop|back)\b"
)


@lru_cache(maxsize=512)
def clash(text: str) -> bool:
    """Whether acid is told to have come onto caustic, or caustic onto acid."""
    pieces = [" ".join(WORD.findall(p)) for p in ENDS.split(cleared(text))]
    whole = " ".join(p for p in pieces if p)
    seen = bool(REACTS.search(whole))
    return any(_met(piece, seen) for piece in pieces if piece)


def _met(piece: str, seen: bool) -> bool:
    said = DENIAL.sub(" ", piece)
    found = TOUCHING.search(said)
    told = bool(found)
    if found is None and (found := CONTACT.search(said)) is not None:
        told = bool(HAPPENED.search(said[: found.end()]))
        if NOT_YET.search(said[: found.end()]) or STORED.match(said[found.end() :]):
            return False
    if found and told:  # "acid got on the stripper, not good": what stands behind it denies nothing
        return not UNTOLD.search(said[: found.end()])
    return seen and bool(found or (TOGETHER.search(said) and REACTS.search(said))) and not UNTOLD.search(said)
