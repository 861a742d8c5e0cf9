"""Injury words, before everything else: a small word check that needs nothing else to work.

It reads any spelling within one slip, in English, Spanish and the mix. It would rather ring than miss,
but not for a doctor's appointment, an eye kept on a section, or "nobody got hurt".
"""

from __future__ import annotations

import re
from functools import lru_cache

from bot.understand.aftermath import BODY, eased, pained
from bot.understand.clash import clash
from bot.understand.cries import INSIDE, SUPPOSED, cleared, cried, told
from bot.understand.cries import near as near
from bot.understand.cries import plain as plain
from bot.understand.late import Late
from bot.understand.victims import LEFT_OUT, clauses, factual, named, stranger, turned

EYE = (
    "eye eyes eyeball ojo ojos oyo ojito ojitos"
)
SKIN = (
    "arm arms hand hands leg legs face skin neck wrist finger fingers foot feet ankle ankles knee knees forearm back"
    " lip lips chest belly piel brazo brazos mano manos pierna piernas cara cuello dedo dedos pie"
    " muneca espalda pecho codo rodilla thigh shin elbow ear forehead frente labio"
)
LUNGS = (
    "breathe breath breathing lungs throat cough coughing choking gasping wheezing respirar respiro"
    " pulmones tos tosiendo tose ahoga ahogo ahogando asfixia asfixiando garganta"
)
MOUTH = "swallowed swallow drank ingested trague trago bebio tomo ingirio trajo tragado tragaron bebido"
FALL = "slipped fell tripped resbalo resbale cayo cai caida tropezo tropece resbaló"
HURT = (
    "hurts hurting hurt duele doliendo lastimo lastime lastimado herido herida injured pain"
)
BURN = (
    "burn burns burning burnt burned sting stings stinging blister blisters blistered quema quemo"
    " queme quemando quemado quemada arde arden ardiendo ardor ampolla ampollas"
)
HARM = (
    BURN + " " + HURT + " "
    + "splash splashed squirted sprayed salpico salpicon salpique pico irritado red help emergency"
    " ambulance 911 blind ayuda auxilio emergencia ambulancia ciego hospital cut bleeding sangre"
    " sangrando corto corte broke broken rompio fracture"
)
CHEMICAL = (
    "stripper caustic lye gel brightener acid chemical oxalic citric stuff splash decapante"
    " removedor quimico acido sosa abrillantador liquido limpiador producto"
)
WET_WITH = (
    "got dripped drip spilled spilt splashed splash ran squirted landed sprayed cayo callo salpico"
    " chorreo derramo entro echo metio pego brinco dio"
)
NO_HARM = ("nobody got hurt", "no one got hurt", "no one hurt", "nobody hurt", "nobody is hurt", "no one is hurt",
    "not hurt", "nadie se lastimo", "nadie herido", "no injuries",
           "no paso nada", "nadie salio", "nadie se cayo",
               "sin heridos", "no le paso nada", "nobody fell", "no se lastimo", "everyone is ok",
           "everyones ok", "everyone is fine", "no one was hurt", "nobody was hurt", "wont hurt", "didnt get hurt",
               "dont get hurt", "hurt my feelings", "no llego a", "no se cayo", "nobody slipped", "no one slipped",
               "no me cai")  # fmt: skip
NOT_EYE = ("eye doctor", "red eye", "ojo de la cara", "ojo de buey", "eye out", "eyes peeled",
    "eye appointment", "eye exam", "ojo con",
    "eye for", "keep an eye", "echale un ojo", "un ojo a", "eyeball it",
           "eye level", "eye candy", "bulls eye", "black eye", "eyeball [0-9]", "eyeball (the|a|some|about|"
           "it)", "eyeballed", "eyeballing", "ojo al", "mucho ojo", "eyes open", "birds eye",
               "eye wash station", "eyewash", "wear eye", "eye protection", "un ojo al", "hawk eye", "eye "
               "roll")  # fmt: skip
FOOD_WORDS = (
    "arroz frijoles frijol carne tortilla tortillas pan bacon rice burger cena beer cafe cerveza chile "
        "chiles chili coffee comida curry food habanero jalapeno lonche lunch picante"
    " pizza salsa sopa soup taco tacos tea tequila whiskey wings"
)
FOOD = frozenset(FOOD_WORDS.split())
PLANTS_WORDS = (
    "arbustos azaleas begonias bushes cesped ferns flores flowers grass hostas hydrangeas lawn mata matas"
    " pasto planta plantas plants hortensia hortensias bugambilia bugambilias"
    " buganvilla rosal helecho helechos"
    " arbol arboles arbolito arbolitos matitas plantitas grama seto setos geranio geranios jardin jardinera "
    "jardineras"
    " maceta"
    " macetas huerto palma palmas palmera palmeras hojas hierba hierbas yerba flor girasoles margaritas"
    " rosales rosas roses shrubs zacate"
)
PLANTS = frozenset(PLANTS_WORDS.split())
SUN = (
    "sun sol sunburn sunburnt bronceado calories music track cd bridge daylight rubber money fuel"
    " gas ears"
)


GUARDED = re.compile(
    r"\b(if|si|in case|por si|what if|que pasa si|wear|use|usen|usa|ponte|ponganse|pongan|so it doesnt|so you "
        r"dont|so it dont|pa que no|para que no|dont get|"
    r"careful|cuidado|almost|nearly|casi|por poco|will burn|can burn|could burn|would burn|does it burn|burns "
        r"your|burns skin|quema la piel|quema los ojos|no se te olvide|"
    r"make sure|asegurate|acuerdate|remember to|keep it off|recuerda|goggles|guantes|gloves|lentes|watch "
        r"out|supposed to)\b"
)
# where one of these stands, each clause is judged by itself
SILENCED = Late(
    rf"{GUARDED.pattern}|{SUPPOSED.pattern}|\b(?:no|not|sin|without|never|nobody|noone|nadie|does|do|can|did|"
    r"eyewash|eye wash|hold|stop|para|paren|alto)\b"
)
CRY = re.compile(
    r"\b(help|ayuda|auxilio|emergency|emergencia|911|burning|ardiendo|me arde|le arde|quemando|me cayo|le cayo|me "
        r"entro|le entro|me salpico|le salpico|me queme|se quemo|"
    r"got (it |some |stripper |brightener |acid )?in (my|his|her)|in (my|his|her) eyes?|burned (my|his|her)|burnt "
        r"(my|his|her)|he fell|she fell|i fell|se resbalo|me resbale|bleeding|"
    r"cant breathe|no puede respirar|no puedo respirar|swallowed|se trago)\b"
)


# gloves and goggles guard where they are advised, not where somebody had none or they failed
UNWORN = re.compile(
    r"\b(?:no|sin|without|under (?:my|his|her)|(?:not|wasnt|isnt|didnt|never|forgot to) (?:wear|wearing|use|using|have)|"
    r"took off (?:my|his|her)) (?:\w+ )?(?:goggles|guantes|gloves|lentes)\b|"
    r"\b(?:goggles|guantes|gloves|lentes) (?:\w+ )?(?:leak\w*|ripped|tore|fogged|came off|slipped|fell off|rompi\w+|"
    r"se (?:me |le )?(?:rompi\w+|cay\w+|sali\w+))\b|\b(?:had|put) (?:(?:my|his|her) )?(?:gloves|goggles) on\b|"
    r"\bput (?:gloves|goggles) on\b"
)
SHOUTED = re.compile(r"\W*(help|ayuda)\s*!{2,}\W*", re.IGNORECASE)
UNHURT = re.compile(r"\b(?:" + "|".join(NO_HARM) + r")\b")  # "vecino se cayo" is hurt
ELSEWHERE = re.compile("|".join(NOT_EYE))
BREATH_HELP = "cant hard trouble help ayuda puedo fumes vapores dust polvo powder vapors dificil burning"
BURNED_IT = re.compile(r"\ble (quem|marchit)\w+ (la|las|el|los) ")
TUMBLE = re.compile(
    r"\b(arse over|ass over|head over heels|wiped out on|ate it on|took a (spill|tumble|fall|header)|had a fall|"
    r"went down hard|se me (fue|resbal\w+) (el|un) pie|(cai|cayo) sentad[oa]|"
    r"cai de (nalgas|espaldas|sentado|cara|boca)|cayo de (nalgas|espaldas|cara|boca)|"
    r"(me|se) (di|dio) un (santo )?(trancazo|golpazo|madrazo|guamazo|porrazo|batacazo|costalazo|ranazo|fregadazo|"
    r"zapotazo|catorrazo|trompazo|chingadazo|senton|santo golpe)|me saque la (madre|mugre|cresta)|"
    r"(i|he|she|someone|somebody|luis|ana|marco|dana|guy|kid|helper) (just )?slid (down|off) the (stairs|steps|ramp|deck|"
    r"ladder|roof))\b"
)


@lru_cache(maxsize=50000)
def _like(word: str, wanted: str) -> bool:
    """Whether a word is one of those wanted, or one slip away from one."""
    return any(near(word, other) for other in wanted.split() if word[0] == other[0])


def _has(words: list[str], wanted: str) -> bool:
    return any(_like(word, wanted) for word in words)


# Everyday words one slip away from a word above.
EXACT_WORDS = (
    "aguda ahora ahorra ambulante angle ayudar barn bazo bebida being bell bella bello bells belly billy"
    " bind bleaching blend blink bloke blond brake bravo breach breeding bring broken broker brote brunt"
    " bully bumping buried burst burying busting buying cada caldo calida calido call calla calle calls"
    " calmo calvo cheat chess chest chorro cielo coito cooking core coro correo corse corta corte cortes"
    " cost coste costo couch cough cuida dados darn dele drink dropped duel duela duelo during enero"
    " entero entre entro entry espada feet finer fingir fractured fuente handy hangs hans heal hearts"
    " hello helm hospitals hunt hunting hurry hurto invested learning lunas lunes lunge man manga mango"
    " medio menos metido metro muneco pecan pecas pisos product productor products queda quedan quede"
    " quedo queja queso quiero quitar rubbing shallow shipped singing sings skilled skipped slapped slash"
    " sling space spelled spit split spray sprayer staff stiff stink stinking stinks string strings"
    " stripped suing swing swinging though threat throat tipped tira toma tomar tome tope trace trade"
    " trail traje traigo tramo trapo trapped trato trazado trigo tripped tripper turn turning up waist"
)
EXACT = frozenset(EXACT_WORDS.split())


SHORT_SLIPS = {  # slips of words too short for the check of one slip
    "ey": "eye", "eys": "eyes", "eie": "eye", "eyee": "eye", "eyse": "eyes", "yees": "eyes", "eeys": "eyes",
    "eyez": "eyes", "ojp": "ojo", "ojps": "ojos",
    "heelp": "help", "helpp": "help", "ayudaa": "ayuda",
    "hlep": "help", "hlp": "help", "halp": "help", "hepl": "help", "hel": "help", "ojoss": "ojos",
    "oojo": "ojo", "hojo": "ojo",
    "hojos": "ojos", "ogo": "ojo", "ogos": "ojos", "ojs": "ojos", "splsh": "splash", "brn": "burn", "bruns": "burns",
    "brns": "burns", "burnig": "burning", "skn": "skin", "sikn": "skin", "piell": "piel", "peil": "piel",
    "kayo": "cayo", "kallo": "cayo", "ojoz": "ojos", "hojoz": "ojos", "alde": "arde", "alden": "arden",
    "kema": "quema", "kemo": "quemo",
    "keme": "queme", "kemando": "quemando", "aser": "arde", "ardee": "arde", "ayda": "ayuda", "yuda": "ayuda",
    "aiuda": "ayuda", "axilio": "auxilio", "faec": "face", "fase": "face", "hnad": "hand", "amr": "arm",
    "clls": "callo", "eyr": "eye", "haun": "hand", "hauns": "hands",
}  # fmt: skip
VOCATIVE = re.compile(r"^(ay |ey |oye |hey )?mano (?=(se|le|me|la|las|los|el|ya|no|que|hay|esta|estan|aqui|oye) )")
ON_BODY = re.compile(
    r"\b(stripper|caustic|lye|gel|brightener|acid|chemical\w*|oxalic|citric|decapante|removedor|quimico|acido|sosa|"
    r"abrillantador|liquido)\b(?: \w+){0,3} (?:on|in|all over|down|en|encima de|sobre) (?:my|his|her|their|the "
    r"guys?|mi|su|la|el|los|las|mis|sus) "
    r"(?:\w+ )?(?:arms?|hands?|legs?|face|skin|neck|wrist|fingers?|foot|ankle|knee|back|chest|belly|lips?|piel|"
    r"brazos?|manos?|"
    r"piernas?|cara(?! del?\b)|cuello|dedos?|pies?|espalda|pecho)\b|"
    r"\b(?:me|le|nos) (?:cayo|cai|brinco|salto|salpico|chorreo|derramo|pego|echo|entro|metio)(?: \w+){0,3} "
    r"(?:en|a|sobre|por) (?:la|el|los|las|mi|su) (?:piel|brazos?|manos?|piernas?|cara|cuello|espalda|pecho|boca)\b|"
    r"\b(?:get|got|getting|spilled|splashed|dripped|ran|running) (?:\w+ ){0,3}(?:on|over|down) (?:my|his|her) "
    r"(?:bare |whole )?(?:skin|arms?|hands?|legs?|face|neck)\b(?=.*\b(?:stripper|caustic|lye|gel|brightener|"
    r"acid|chem\w*|stuff|it)\b)|"
    r"\b(?:got|spilled|splashed|dripped) (?:it|stripper|some|caustic|gel|acid|brightener|stuff|chemical\w*)(?: "
    r"\w+){0,2} on (?:my|his|her) skin\b"
)


WOUNDS = (
    (re.compile(r"\b(quemaduras?|chemical burns?) (en|on|de|sobre)\b|\b(got|has|have|tengo|tiene) (a |una "
    r")?(bad |chemical )+burns?\b"
        r"|\b(got|get|splashed) (it|some|that stuff|stripper|gel) (all )?(over|on|in) (my|his|her) (face|arms?|"
        r"hands?|legs?)\b"
        r"|\b(burned|burnt|quemad[oa]s?) (bad|badly|feo|gacho)\b"), "skin"),
    (re.compile(r"\b(inhaled|breathed in|aspir[eo]|inhal[eo]) (\w+ ){0,3}(powder|fumes?|dust|vapors?|polvo|"
    r"vapor\w*|gas|acido|acid|chem\w*|quimico)\b"
        r"|\b(me|le|nos) falta (el )?aire\b"), "breathing"),
    (re.compile(r"\b(sangre|blood) (por|all over|everywhere|en)\b|\bhay sangre\b|\bmucha sangre\b|\ble dio (un "
    r")?toque\b"), "other"),
)


STAGE_WORDS = (
    "arbitro boxeador boxer boxing delantero goalie goalkeeper novela pelotazo pitcher portero quarterback shortstop"
)
STAGE = frozenset(STAGE_WORDS.split())
US_WORDS = "i im me my we us our mi nos yo luis ana marco dana"
US = frozenset(US_WORDS.split())
DREAMT = re.compile(
    r"^(\w+ ){0,3}(sone|sonaba|sonando|dreamt|dreamed|dreaming|had a (\w+ )?(dream|nightmare)|tuve una pesadilla)\b"
    r"(?!.*\b(ahora|ahorita|now|hoy|today)\b)"
)


@lru_cache(maxsize=512)
def alarm(text: str, people: tuple[str, ...] = ()) -> str | None:
    """The kind of injury that the words cry out (eye, skin, breathing, swallowed, slip, damage, other), or None.

    `people` are the names of the crew: what befalls any of them is heard alike.
    """
    text = named(text, people)
    pieces = [eased(factual(piece)) for piece in told(text) if not DREAMT.search(piece)]
    said = _smoothed(" ".join(pieces))
    if not said:
        return None
    if calm := UNHURT.search(said):
        return _in_spite(said[calm.end() :].strip()) or ("other" if clash(text) else None)
    if SHOUTED.fullmatch(cleared(text)):
        return "other"  # one bare word is the menu's
    found = _found(pieces, said)
    of_nobody = found in (None, "damage") or (found == "skin" and not BODY.search(said))
    return "other" if of_nobody and clash(text) else found


def _smoothed(said: str) -> str:
    return re.sub(r"\brr", "r", said).replace("resv", "resb").replace("callo ", "cayo ")


def _in_spite(behind: str) -> str | None:
    """ "nobody hurt but luis cut his hand", "nobody hurt except me": what stands behind the word that turns it."""
    rest = turned(behind)
    found = _found([rest], rest) if rest and not UNHURT.search(rest) else None
    return found or ("other" if LEFT_OUT.search(behind) else None)


def _found(pieces: list[str], said: str) -> str | None:
    """What is cried in the whole, else in a clause by itself, else of somebody whom nobody registered."""
    words = [w for w in said.split() if w not in EXACT]
    seen = bool(set(words) & STAGE) and not set(words) & US  # of a match or a film
    if (seen or set(words) & FOOD) and not _has(words, CHEMICAL):
        return None
    cry = cried(pieces)
    bag = next((kind for part in said.split("|") if (kind := _bagged(part.strip()))), None)
    found = bag if bag in INSIDE and cry in (None, "skin", "other") else cry or bag
    apart = clauses(pieces) if not found and SILENCED.search(said) else []
    found = found or next((kind for c in apart if (kind := cried([c]) or _bagged(_smoothed(c)))), None)
    return found or next(filter(None, map(stranger, pieces)), None)


def _bagged(said: str) -> str | None:
    """What the parts of a body and the words of harm tell, in any order."""
    if re.search(r"\b(nobody|noone|no one|nadie)\b|^(if|in case|si|can|does|do|dont) ", said):
        return None
    if GUARDED.search(UNWORN.sub(" ", said)) and not CRY.search(said):
        return None  # a warning or a near miss, nobody is hurt
    said = VOCATIVE.sub("", " ".join(SHORT_SLIPS.get(w, w) for w in said.split()))
    words = [w for w in said.split() if w not in EXACT]
    return _inside(said, words) or _outside(said, words)


def _inside(said: str, words: list[str]) -> str | None:
    """What got into somebody: eye, mouth or lungs."""
    harm, chemical = _has(words, HARM), _has(words, CHEMICAL)
    if (_has(words, EYE) and not ELSEWHERE.search(said)) and (harm or chemical or _in_eye(said)):
        return "eye"
    if _has(words, MOUTH) and (chemical or _has(words, "brazo help ayuda kid dog perro nino")):
        return "swallowed"
    if _has(words, LUNGS) and (_has(words, BREATH_HELP) or harm or chemical):
        return "breathing"
    return None


def _outside(said: str, words: list[str]) -> str | None:
    """What happened to somebody from outside: a fall, a burn, a wound."""
    animal = bool(set(words) & {"perro", "dog", "gato", "cat", "perra", "puppy"})
    if (_has(words, FALL) and not animal and _person_fell(said, words)) or TUMBLE.search(said):
        return "slip"
    if set(words) & PLANTS and (not _has(words, CHEMICAL + " stings hurts duele") or BURNED_IT.search(said)):
        return None  # what burned is a plant
    if (_has(words, "splashed salpico salpicon splash") and _has(words, "face cara")) or ON_BODY.search(said):
        return "skin"
    chemical = _has(words, CHEMICAL)
    sunned = _has(words, SUN) and not chemical
    hurt = _has(words, BURN) or _bleeds(words) or (chemical and (_has(words, HURT) or _has(words, WET_WITH)))
    if _has(words, SKIN) and hurt and not sunned:
        return "skin" if not _bleeds(words) or chemical else "other"
    wound = next((kind for pattern, kind in WOUNDS if pattern.search(said)), None)
    wound = wound or ("other" if pained(said) else None)
    return wound or _cry(said, words, chemical)


def _in_eye(said: str) -> bool:
    """Something in somebody's eye."""
    english = re.search(r"\b(got|get|something|it|some|splash\w*|went|squirt\w*)\b.* in(to)? "
        r"(my|his|her|their|the|both|luis|one|s) ?\w* ?eyes?\b", said)
    return bool(english or re.search(r"\b(cay\w+|call\w+|entr\w+|salpic\w+|tengo|meti\w+|brinc\w+|ech\w+|fue)\b.* "
        r"(al|en|a|en el) ?(el|los|un|mi|su) ojos?\b", said))


def _bleeds(words: list[str]) -> bool:
    return _has(words, "bleeding sangrando sangre")


def _person_fell(said: str, words: list[str]) -> bool:
    """A person slipped or fell, not a tool or a deadline."""
    if re.search(r"\b(fell|falling) (off|through|behind|asleep|apart|out|short|for)\b", said) and not re.search(
        r"\b(i|he|she|we|somebody|someone|guy|kid|helper|man|ladder|stairs|steps)\b.*\bfell "
            r"(off|through|down)|fell (off|through) (the|a|his|her) (ladder|stairs|steps|deck|roof|landing)", said
    ):  # fmt: skip
        return False
    if _has(words, "slipped tripped"):
        return bool(re.search(r"\b(i|he|she|somebody|someone|we|just|guy|luis|ana|bro|dude|\w+) (just |almost "
            r")?(slipped|triped|tripped|sliped)", said)) and not re.search(
            r"slipped (my|his|her|your|our) mind|almost slipped|slipped up|"
            r"slipped (me|him|her|us|them|you) (a|an|the|some|my|his|two|five|ten|twenty|fifty|\d+)\b", said)  # fmt: skip
    if re.search(r"\b(se (resbal\w+|cayo|callo|tropez\w+)|me? (resbal\w+|cai|tropec\w+|tropez\w+))\b", said):
        thing = re.search(r"(resbal\w+|cayo|cai|callo|tropez\w+) (el|la|los|las|un|una|mi|su|todo|tod\w+)\b", said)
        return not thing or bool(re.search(r"(el|la|un|mi) "
            r"(muchacho|chavo|chavito|compa\w*|jefe|ayudante|nino|senor|viejo|chico|primo|guey|wey|companero|"
            r"trabajador|patron|nuevo|hermano)\b",
            said))
    return bool(re.search(r"\b(i|he|she|someone|somebody|guy|helper|kid|man) (just )?fell\b|fell "
        r"(off|through|down) (the|a|his|her) (ladder|stairs|steps|deck|roof)", said))


def _cry(said: str, words: list[str], chemical: bool) -> str | None:
    """A plain cry for help: an injury with no part of the body named."""
    called = re.search(r"\b(call|need|llama|llamen)\b.*\b(911|ambulance|ambulancia|paramedic\w*)", said)
    if called or "medical emergency" in said:
        return "other"
    if re.search(r"\b(hes|shes|im|he is|she is|i am|somebody is|someone is|luis is|somebody got|someone got|he "
        r"got|she got|i got) (badly |really )?(hurt|injured|burned|burnt|bleeding|"
        r"shocked)\b(?! (at|how|that|to|it|by|they|we|this|you))", said):
        return "other"
    if re.search(r"\b(?<!no )(?<!ni )(?:se|me) (?:lastim\w+|quem\w+|cort[eo]\b(?! (la luz|el internet|la senal|el agua|la "
    r"corriente|la llamada))|electrocut\w+)", said) and not set(words) & PLANTS and not re.search(
        r"\b(planta|plantas|mata|matas|pasto|madera|tabla|pelicula|zacate|flores)\b|\b(se|me) (le |me |nos )?quem\w+ "
        r"(el|la|los|las|un|una|mi|su) (?!muchach|chav|compa|guey|wey|nino|senor|chico|primo|ayudante|companer|"
        r"jef|patron|"
        r"mano|brazo|piel|pierna|cara|dedo|cuello|pie\b|espalda|boca|ojo|hij|herman)", said):
        return "skin" if re.search(r"\bquem", said) else "other"
    if re.search(r"\b(burning|burns|stings|me arde|me quema|me "
        r"pica)\b.*\b(help|ayuda)\b|\b(help|ayuda)\b.*\b(burning|burns|stings|arde|quema)\b", said):
        return "skin"
    return None
