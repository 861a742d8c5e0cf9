"""How somebody is after an incident: symptoms denied, somebody well again, water that runs on an arm and not on the deck.

`eased` needs no context: a symptom that is gone cries no more, whatever stands beside it still may. `heard` is for
the answer to "tell me how it is": while an incident stands open, such words are about the person, not the wood.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from bot.understand.cries import ENDS, plain, told
from bot.understand.late import Late

SYMPTOM = (
    r"(?:burn(?:s|ing|ed|t)?|sting(?:s|ing)?|hurt(?:s|ing)?|pain(?:s|ful)?|itch(?:y|es|ing)?|blister(?:s|ing|ed)?|"
    r"rash(?:es)?|swelling|swollen|sore(?:ness)?|irritat(?:ed|ion)|bleed(?:s|ing)?|cough(?:s|ing)?|"
    r"dizzy|dizziness|throb(?:s|bing)?|ach(?:e|es|ing|y)|tingl(?:es|ing)|"
    r"ard(?:e|en|ia|io|er|iendo|or)|(?:qu|k)em(?:a|an|aba|ando|ar|azon|aduras?)|duel[ea]n?|dol(?:or|io|ia|iendo|"
    r"er|ores)|"
    r"pic(?:a|an|aba|azon|or|ando)|ampo(?:ll|y)as?|irritad[oa]s?|irritacion|hinchad[oa]s?|hinchazon|"
    r"comezon|sangr(?:a|e|ando|ar)|molest(?:a|an|ias?)|tos(?:e|iendo|er)?|maread[oa]|mareo|ronchas?|rozaduras?)"
)
# of the wood or the bucket as well as of the skin
SEEN = (
    r"(?:red(?:ness)?|marks?|roj[oa]s?|marcas?|fizz(?:es|ing)?|bubbl(?:es|ing)|smok(?:es?|ing)|steam(?:s|ing)?|fumes|humo|vapor(?:es)?|burbuje(?:a|ando|"
    r"ar)|humea(?:ndo)?)"
)
SIGN = rf"(?:{SYMPTOM}|{SEEN})"
PART = (
    r"(?:eyes?|arms?|hands?|legs?|face|skin|neck|wrists?|fingers?|foot|feet|ankles?|knees?|forearms?|back|chest|"
    r"throat|"
    r"lungs?|heads?|elbows?|shoulders?|lips?|nose|mouth|thumb|hips?|ribs?|ojos?|ojitos?|piel|brazos?|manos?|manitas?|"
    r"piernas?|cara|cuello|dedos?|pies?|munecas?|espalda|pecho|codos?|rodillas?|tobillos?|hombros?|cabeza|nariz|boca|"
    r"garganta|pulmones|labios?|cadera|cintura|antebrazos?)"
)
OWN = r"(?:(?:my|his|her|their|the|both|other|left|right|el|la|los|las|mi|mis|su|sus|lo|del?|al) )*"
OF_PART = (
    rf"(?: (?:in|on|of|from|around|en|a|al|del?|por) (?:(?:la|el|los|las|mi|su) )?{OWN}{PART}\b| {OWN}{PART}\b)?"
)
LITTLE = (
    r"(?:(?:any|more|even|really|real|big|bad|feel|feels|feeling|sign|signs|of|at all|much|so|that|now|"
    r"no|longer|"
    r"mas|nada|de|ya|tanto|me|le|nos|les|se|siente|siento|tengo|tiene|tenemos|hay|esta|estoy|estan|quedo|"
    r"quedaron|salio|"
    r"salieron|trae|traigo|veo|ve|ningun|ninguna|ni|un|una|el|la|las|los|poco|poquito) ){0,5}"
)
UNFINISHED = Late(
    r"\b(?:hasnt|havent|hadnt|has not|have not|not|never|nothing|wont|wouldnt|cant|no|nunca|nada|just|only|"
    r"solo) (?:\w+ )?$"
)
GONE = Late(
    r"\b(?:no more|no longer|not(?! (?:just|only))|isnt|aint|arent|wasnt|doesnt|dont|didnt|no|without|zero|nothing|"
    r"ya no|ni|sin|tampoco|nada de) " + LITTLE + SIGN + r"\b(?: (?:me|le))?"
    + r"(?: (?:nada|mas|tanto|anymore|any more|at all|ya))*" + OF_PART
    + r"|\b(?:stopped|quit|done|dejo de|deje de|ha dejado de|paro de) " + LITTLE + SIGN + r"(?:me|le|se)?\b" + OF_PART
    + r"|\b" + SIGN + r" (?:has |is |has all |is all )?(?:stopped|quit|gone|went away|se fue|se quito|paso)\b"
    + r"|\bse (?:me |le |nos )?fue (?:ya )?(?:el |la |lo )?" + SIGN + r"\b"
    + r"|\bse (?:me |le |nos )?(?:quito|kito|paso|calmo|bajo|kita|quita) (?:ya |todo )?(?:el |la |"
    r"lo )?(?:de |del )?"
    + rf"{OWN}(?:{SIGN}|{PART})\b" + OF_PART
)  # fmt: skip
# what turns the word round, or calls for help all the same: then nothing is taken out
CONTRARY = Late(
    r"\b(?:but|tho|though|except|pero|menos|aunque) (?:\w+ ){0,4}?(?:does|do|did|is|are|si|still|sigue|siguen|"
    r"todavia|aun)\b"
    r"|\b(?:again|otra vez|de nuevo|worse|peor|help|911|ayuda|auxilio|if|when|until|hasta|cuando)\b"
)
WHATNOT = " whatnot "

WHO = (
    r"(?:i|im|i am|hes|he is|he|shes|she is|she|theyre|they|luis|everyone|everyone is|everybody|everybody is|"
    r"everybodys|"
    r"everyones|(?:the|my) (?:guy|kid|helper|new guy|new kid|man|boy)(?: is|s)?|(?:los |las )?(?:dos|ambos)|todos|"
    r"(?:el|mi) (?:compa|muchacho|chavo|ayudante|nuevo|companero|primo|hermano)|NAMES)"
)
WELL = (
    r"(?:ok|okay|okey|oke|okas|fine|good|better|alright|all right|great|normal|well|bien|bn|mejor|sano|"
    r"como nuevo|alive)"
)
VERY = (
    r"(?:(?:is|are|was|s|feel|feels|feeling|look|looks|seems|doing|all|much|pretty|totally|just|really|so|now|"
    r"says|said|hes|shes|im|a lot|its|"
    r"ya|esta|estan|estoy|anda|ando|se|me|siente|siento|ve|quedo|mucho|muy|todo|mas|dice|que|bastante|esta todo|"
    r"thinks) )*"
)
ENOUGH = r"(?! (?:on|for|with|to|at|en|con|de|para|pa|off|than|enough|luck|job|idea)\b)"
MINUTES = (
    r"(?:(?:like |about |for |como |por |unos |unas |the |casi |at least )*(?:\d+|fifteen|twenty|ten|quince|veinte|diez|"
    r"a quarter|half an|media) ?(?:min\w*|m\b|hours?|hora)(?! (?:ago|atras))|"
    r"(?:for|por) (?:\d+|fifteen|twenty|ten|quince|veinte|diez)(?= ?$)"
    r"|(?:like |for )*(?:forever|ages|the whole time|a long time|a good while|a while|un rato|un buen rato|mucho rato|"
    r"todo el tiempo))"
)
WATER_EN = r"(?:flush|rinse?|rinsd|wash|soak|irrigat|bath|douse?|drench|flood|hos)(?:e?d|ing|es)?"
WATER_ES = r"(?:la[vb]|enju?a[gj]u?|limpi|moj|ech|hech)(?:o|e|a|an|amos|aron|ando|ado|aba|ue)"
AGO = (
    r"(?:(?:i|we|he|she|they|im|hes|shes|were|theyre|still|been|has|have|just|already|keep|keeps|now|is|are|and|ya|"
    r"sigo|sigue|seguimos|estoy|esta|estamos|estan|ando|anda|todavia|y|ahorita|ahora) )*"
)

GOOD = Late(
    rf"\b(?:el |la |don )?{WHO} {VERY}{WELL}\b{ENOUGH}(?: (?:now|ya|again|gracias a dios|thank god))?"
    rf"|\b(?:my|his|her|the|both|mi|su|el|la|los|las|del)? ?{PART}s? {VERY}{WELL}\b{ENOUGH}(?: now)?"
    rf"|\b(?:ya )?(?:esta|estoy|estan|se siente|me siento|anda) {VERY}{WELL} (?:(?:el |la |don )?{WHO}|(?:d?el|"
    rf"la|los|de la|de los) {PART})\b"
    rf"|\b(?:estoy|toy|me siento|me encuentro|se siente|feeling|feels|feel|doing) {VERY}{WELL}\b{ENOUGH}(?: now)?"
    r"|\b(?:ya )?(?:veo|ve|respir(?:o|a|amos|an)|camina|camino|puedo (?:ver|respirar|caminar)|puede (?:ver|"
    r"respirar|caminar)) "
    r"(?:\w+ )?(?:bien|bn|mejor|normal)\b"
    r"|\b(?:breath(?:e|es|ing)|see(?:s|ing)?|walk(?:s|ing)?|moves?|moving) (?:it )?(?:\w+ )?(?:fine|ok|okay|"
    r"normal|good|better|around|again)\b"
    r"|\b(?:up and (?:about|around|walking(?: around)?|moving)|back on (?:his|her|my) feet|(?:he|she|luis|"
    r"NAMES) (?:just )?(?:got|stood) (?:back )?up|ya se (?:paro|levanto|mejoro|compuso|recupero)|"
    r"ya (?:camina|anda caminando)|no (?:damage|harm) done|no fue (?:nada|grave)|nothing serious|false alarm|"
    r"falsa alarma)\b"
)
MILD = Late(
    r"\b(?:its|it is|thats|it|todo|ya|esta|ya esta|ya quedo|all|were|everything(?: is|s)?|estamos|se ve|looks?|"
    r"prob|probably|"
    rf"i think|creo que) {VERY}{WELL}\b{ENOUGH}(?: (?:now|ya|again))?|\b(?:just|only|a bit|a little|little|nomas|"
    rf"solo|apenas|un poco) "
    r"(?:a (?:bit|little) )?(?:pink|red|roj[oa]|rosit?a|coloradit?[oa]|sore|shaken(?: up)?|a scratch|un susto|"
    r"a drop|a splash|"
    r"una gota|una gotita|un poquito)\b"
    r"|\b(?:se ve|quedo|kedo|esta) (?:\w+ ){0,2}?(?:roj[oa]|rojit[oa]|rosit?a|rosad[oa]|coloradit?[oa])\b"
    r"|\b(?:ya no (?:se )?siento? nada|ya no se siente(?: nada)?|(?:dont|doesnt|cant) feel (?:it|anything|"
    r"nothing|a thing)(?: any ?more| now)?)\b"
    rf"|^(?:ya |much |mucho |lot |a lot |way )*(?:better|mejor)(?: now| ya)?$|\b(?:no es otro|(?:es|its|it is|"
    rf"thats) (?:el|la|lo|the) (?:mismo|misma|same)(?: one)?)\b"
    rf"|\b(?:its been|ya van|ya llev\w+) (?:like |about |como )?{MINUTES}"
    r"|\b(?:went away|it passed|cleared up|calmed down|settled down|ya paso|ya pas[oe]|se calmo|se quito)\b"
    rf"|\bse fue (?:el |la )?{SIGN}\b"
)
GREEN = Late(
    r"\b(?:the |las |los )?(?:plants?|roses|bushes|shrubs?|grass|lawn|flowers|azaleas|hostas|plantas?|matas|rosales|rosas|"
    rf"flores|pasto|zacate|arbustos) {VERY}{WELL}\b(?: now| ya)?"
)
# water on a person: a part of the body, oneself, or the time that no board gets
FLUSHED = Late(
    rf"\b{AGO}{WATER_EN} (?:(?:it|them|out|off|with water|under|in|down) )*{OWN}{PART}(?: out)?\b(?: {MINUTES})?"
    rf"|\b{AGO}{WATER_EN} (?:(?:it|him|her|me|myself|himself|herself|out|off|good) )*{MINUTES}"
    rf"|\b{AGO}{WATER_EN} (?:(?:it|them|him|her|off|out|down|good) )+(?:with|w|under) (?:the |a |lots of )?(?:hose|water)\b"
    rf"|\b(?:he|she|hes|shes|luis|NAMES) {AGO}{WATER_EN}(?: (?:it|out|off|good|now))*(?: {MINUTES})?"
    rf"|\b{AGO}(?:flush|flood|drench)(?:ed|ing)?(?: (?:it|out|him|her|me|good|now|away))*(?= ?$| (?:and|now|still|with|y)\b)"
    rf"|\b{AGO}(?:hold(?:ing)?|running|got|keep(?:ing)?|its|have|wash\w*|rins\w*|flush\w*) "
    rf"(?:it |off |out |him |her |{OWN}{PART} )*under (?:the |a )?"
    r"(?:cold |running |clean )*(?:tap|hose|water|faucet|shower|spigot|sink)\b"
    rf"|\b(?:me|se|nos|te|me l[oa]s?) {AGO}(?:{WATER_ES}|puse|puso|pongo)\b(?: {MINUTES}| bien| con agua|"
    rf" con la manguera| agua| mucha)*"
    rf"(?: {OWN}{PART}\b(?: {MINUTES}| con agua| bien| ya| con la manguera)*| ?$| (?=y |ya ))"
    rf"|\b(?:le |se lo |se la )?{AGO}(?:la[vb]|enju?a[gj]|ech|hech|moj|limpi)\w+(?: (?:agua|mucha|bien|con|mucho))*"
    rf"(?: {MINUTES})? {OWN}{PART}\b(?: {MINUTES}| con agua| bien)*"
    r"|\b(?:la[vb]andose|la[vb]andome|enjuagandose|enjuagandome|echandose agua|echandome agua|bajo el chorro|"
    r"en el chorro)\b"
    rf"|\b(?:its been |ya van |ya llev\w+ |van |llev\w+ )?{MINUTES} (?:de agua|of water|con agua|under water|"
    rf"of flushing|flushing)\b"
)
TENDED = Late(
    r"\b(?:he|she|hes|shes|im|luis|NAMES) (?:is |was |just )*(?:sitting|resting|lying|laying|drinking|cooling|"
    r"getting air|"
    r"in the shade)(?: down| off| water| in the shade| some)*|\b(?:esta|estoy|lo tengo|lo tenemos|"
    r"anda) (?:sentado|acostado|"
    r"descansando|tomando (?:agua|aire)|en la sombra|a la sombra)\b"
    r"|\b(?:going|went|goes|taking|took|headed|driving|drove|seeing|saw|at|on (?:his|her|my|"
    r"our) way) (?:\w+ ){0,2}?(?:the |a )?"
    r"(?:clinic|hospital|doctor|doc|urgent care)\b"
    r"|\b(?:vamos|voy|va|van|fue|fui|fuimos|llev\w+|esta|estamos) (?:\w+ ){0,2}?(?:al? |en )(?:el |"
    r"la )?(?:clinica|hospital|doctor|medico|urgencias)\b"
)
ACHES = (
    r"(?:hurt(?:s|ing)?|burn(?:s|ing)?|sting(?:s|ing)?|sore|swollen|swelling|killing (?:me|him|her)|bleeding|"
    r"numb|bruised|ach(?:es|ing)|"
    r"itch(?:es|ing)|bad|worse|watering|throbbing|red|blistering)"
)
STILL = Late(
    r"\bno (?:deja|dejan|para|paran|dejo|paro|ha dejado|ha parado) de " + SIGN + r"\b"
    rf"|\b(?:still|keeps|kept|wont stop|wont quit|hasnt stopped|cant stop) (?:\w+ ){{0,2}}?{SIGN}\b"
    r"|\b(?:not|isnt|aint) (?:\w+ )?(?:better|ok|okay|good|fine|well)\b|\bno (?:se siente|me siento|esta|estoy|"
    r"ve|veo|mejora|puede|puedo) (?:\w+ )?"
    r"(?:bien|mejor|ver|respirar|caminar|mover\w*|levantar\w*)\b|\bno mejora\b"
    r"|\b(?:cant|cannot|cant even) (?:really )?(?:see|breathe|walk(?! on)|move|stand|get up|bend)\b"
    r"|\b(?:getting|got|its|feels?|va|sigue|esta|se puso) (?:\w+ )?(?:worse|peor|empeorando)\b|\bno se (?:me|"
    r"le) (?:quita|pasa|baja)\b"
    rf"|\b(?:sigue|siguen|todavia|aun) (?:\w+ ){{0,3}}?(?:{SIGN}|mal)\b"
    rf"|\b(?:my|his|her|luis|luiss) (?:\w+ )?{PART} (?:really |still |is |are |kinda |real |now |also |looks? |"
    rf"getting |s )*{ACHES}\b"
    rf"|\b(?:me|le|les) (?:\w+ )?(?:duele|duelen|arde|arden|pica|pican|punza|quema|kema|molesta)\b"
    rf"|\b(?:it|that) (?:really |still )?(?:hurts|burns|stings)\b|\b(?:hes|shes|im|he is|"
    rf"she is) (?:\w+ )?(?:hurting|in pain|dizzy|limping|sore)\b"
    rf"|^(?:still )?{SYMPTOM}(?: (?:still|a bit|a little|bad|mucho|un poco))*$"
)
# the wood, the goods and the tools: such a piece is about the work
WORK = Late(
    r"\b(?:deck|boards?|rails?|railing|stairs|steps?|section|stripper|brightener|acid|gel|hose|pump|washer|"
    r"bucket|finish|plants?|"
    r"roses|bushes|grass|tablas?|baranda|barandal|escaleras?|seccion|decapante|abrillantador|acido|manguera|"
    r"bomba|balde|cubeta|"
    r"planta|plantas|matas|madera|terraza|piso|oil|aceite|coat|everything|todo el|the whole thing)\b"
)
OF_WHERE = Late(r"\b(?:under|with|w) (?:the |a )?(?:hose|pump)|con la manguera|the (?:stripper|acid)|from the \w+")
ONLY = Late(
    r"\b(?:ok|okay|ya|si|yes|yeah|yea|yep|no|now|and|y|but|pero|so|its|it|is|he|she|hes|shes|the|a|thanks|thx|"
    r"gracias|boss|jefe|"
    r"bro|man|dude|lol|all|says|dice|que|que ya|esta|estan|el|la|lo|just|still|for|good|bien|todo|whatnot|tho|"
    r"then|water|agua|"
    r"con|de|como|lots|of|with|mucha|much|i|we|im|guess|think|me|se|le|been|nomas|al|air|aire|sali|salio|salimos|"
    r"afuera|out|"
    r"outside|to|fresh|went|fue|del|ahi|there|here|aqui|every|thing|everything|min|mins|minutes|minutos|time)\b"
)

# somebody else's pain is told because something befell them; one's own may be the day's work
PAIN = Late(
    r"\b(?:his|her|luiss|anas|marcos|danas|the (?:kid|guy|helper)s|el|la|al|le) (?:whole |left |right |lower |bad )?"
    r"(?:back|neck|head|knee|leg|ankle|foot|arm|wrist|hand|elbow|shoulder|hip|ribs?|tailbone|"
    r"chest|belly|stomach|finger|thumb)s? "
    r"(?:is |are |really |still |now |kinda |real |a bit )*(?:hurts?|hurting|killing (?:him|her)|swollen|"
    r"swelling|swelled|"
    r"numb|throbbing|bruised|aches|aching)\b"
    r"|\ble (?:\w+ )?(?:duele|duelen|punza|sigue doliendo) (?:\w+ ){0,2}?(?:el|la|los|las|su) "
    r"(?:espalda|cuello|cabeza|rodilla|pierna|tobillo|pie|brazo|"
    r"muneca|mano|codo|hombro|cadera|cintura|costillas?|pecho|estomago|panza|dedo|muslo)s?\b"
)
WORN = Late(
    r"\b(?:lol|lmao|haha\w*|ja(?:ja)+\w*|old man|viej[oa]|tired|cansad[oa]|sore from|"
    r"from (?:all|scrub|kneel|bend|lift|work|sand|brush|the game|yesterday)\w*|"
    r"de (?:tanto|cepillar|tallar|trabajar|lijar|agacharse|andar|ayer)|"
    r"yesterday|ayer|anoche|last (?:night|week|year)|always|siempre|years|"
    r"wife|mom|dad|mama|papa|esposa|senora|perro|dog|if|si|when)\b"
)
BODY = Late(rf"\b{PART}\b")
SOMEBODY = Late(rf"\b(?:{PART}|i|im|my|me|he|hes|his|him|she|shes|her|le|luis)\b")
HURT = Late(rf"\b(?:{SYMPTOM}|{PART}|my|me|his|him|her|le|im|hes|shes|no (?:puede|puedo|veo|ve)|cant|cannot)\b")
ORDER = (
    (GONE, "better", True),
    (STILL, "still", True),
    (GOOD, "better", True),
    (FLUSHED, "flushing", True),
    (TENDED, "told", True),
    (GREEN, "better", False),
    (MILD, "better", False),
)


@dataclass(frozen=True)
class Told:
    """How it is ("better", "still", "flushing", else "told"), how surely it is said of a person, and what else is said."""

    state: str
    sure: bool
    rest: str


def eased(piece: str) -> str:
    """A piece of plain words without the symptoms that it denies; as it is where anything turns them round."""
    if CONTRARY.search(piece):
        return piece
    return " ".join(GONE.sub(lambda m: m[0] if _unfinished(piece, m) else WHATNOT, piece).split())


def _unfinished(piece: str, found: re.Match[str]) -> bool:
    """ "hasn't stopped burning", "no se me quita el ardor": what only looks denied."""
    return bool(UNFINISHED.search(piece[: found.start()])) and not re.match(r"(?:no|ya no|sin|ni)\b", found[0])


def pained(piece: str) -> bool:
    """ "his back hurts", "le duele la espalda": somebody else's pain that no day's work explains."""
    return bool(PAIN.search(piece)) and not WORN.search(piece)


def heard(text: str, names: tuple[str, ...] = (), sections: tuple[str, ...] = ()) -> Told | None:
    """What a message tells of somebody who was hurt before; None where it tells nothing of the kind."""
    people = "|".join(re.escape(n) for n in names if n) or "luis"
    states: list[str] = []
    rest: list[str] = []
    sure = False
    for raw in ENDS.split(text):
        piece = " ".join(told(raw)).replace("|", " ")
        if not piece:
            continue
        of_wood = bool(WORK.search(OF_WHERE.sub(" ", piece))) or any(_names(raw, n) for n in sections)
        left, found, firm = _piece(piece, people, of_wood)
        states += found
        sure |= firm
        rest.append(left if found else raw.strip())
    if not states:
        return None
    more = ", ".join(r for r in rest if re.sub(rf"{ONLY.text}|\b(?:{people})\b", "", plain(r)).strip())
    state = next(one for one in ("still", "better", "flushing", "told") if one in states)
    return Told(state, sure, more)


def _names(raw: str, section: str) -> bool:
    """Whether a piece names a section: a letter as it is written, a word in any letters."""
    return bool(re.search(rf"\b{re.escape(section)}\b", raw, re.IGNORECASE if len(section) > 2 else 0))


def _piece(piece: str, people: str, of_wood: bool) -> tuple[str, list[str], bool]:
    """What is left of a piece, the states that it tells, and whether one of them can only be of a person."""
    states, firm = [], False
    contrary = CONTRARY.search(piece)
    for pattern, state, of_person in ORDER:
        named = Late(pattern.text.replace("NAMES", people)) if "NAMES" in pattern.text else pattern
        found = named.search(piece)
        if found is None or (pattern is GONE and (contrary or _unfinished(piece, found))):
            continue
        if of_wood and pattern is not GREEN and not (BODY if pattern in (FLUSHED, GONE) else SOMEBODY).search(found[0]):
            continue
        states.append(state)
        firm |= of_person and bool(pattern in (GOOD, FLUSHED, TENDED) or HURT.search(found[0]))
        piece = " ".join(named.sub(WHATNOT, piece).split())
    return piece.replace("whatnot", " ").strip(), states, firm
