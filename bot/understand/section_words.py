"""The words that name sections: parts of a deck, sides, spoken letters, and what may stand around a letter."""

from __future__ import annotations

NAMED = {
    "stairs": "stairs stares stair steps step staircase escaleras escalera gradas grada escalones escalon peldanos "
        "peldano "
        "escaleritas escalerita gradita graditas escalinata "
        "stairway staires stairwell",
    "rail": "rale rayl rail rails railing railings handrail handrails baranda barandas barandal barandales barandilla "
        "pasamanos pasamano barandillas balaustres barrotes barandita "
        "balustrade balustrades banisters bannisters spindles balusters baluster banister "
            "bannister railling",
    "skirt": "skirt skirting skirts faldon falda faldones faldilla rodapie",
    "deck": "deck decks decking terraza tarima", "landing": "landing descanso descansillo rellano",
    "porch": "porch porche portico",
    "bench": "bench benches banca bancas banco banquita banquitas banquito",
    "pergola": "pergola pergolas", "gate": "gate porton portoncito", "fascia": "fascia", "dock": "dock muelle embarcadero",
        "ramp": "ramp rampa rampita",
    "balcony": "balcony balcon",
    "walkway": "walkway pasillo corredor pasarela andador", "lattice": "lattice celosia enrejado",
        "posts": "posts postes pilares",
        "wall": "wall pared muro",
        "gazebo": "gazebo kiosco quiosco glorieta palapa", "fence": "fence cerca cerco barda valla",
        "terrace": "terrace", "platform": "platform plataforma", "planter": "planter jardinera macetero", 
        "planters": "planters jardineras maceteros",
        "stoop": "stoop", "veranda": "veranda verandah", "boardwalk": "boardwalk", "catwalk": "catwalk",
        "beams": "beams vigas", "columns": "columns columnas",
        "trellis": "trellis", "arbor": "arbor", "bridge": "bridge puente",
}  # fmt: skip
NOUNS = {word: name for name, words in NAMED.items() for word in words.split()}
# Named parts that stand as a section alone; a bare "deck" does not.
BARE = set(NAMED) - {"deck", "wall", "terrace", "bridge"}
SIDES = {
    "front": "front frente frontal delantera delantero enfrente adelante delante alante anterior",
    "back": "back rear trasera trasero atras posterior",
    "lower": "lower bottom abajo inferior downstairs baja bajo", "upper": "upper top arriba superior upstairs alta "
        "alto",
    "left": "left izquierda izquierdo", "right": "right derecha derecho", "side": "side lado lateral", "north": "north norte",
    "south": "south sur", "east": "east este", "west": "west oeste", "main": "main principal", "privacy": "privacy",
        "pool": "pool alberca piscina",
}  # fmt: skip
SIDE = {word: name for name, words in SIDES.items() for word in words.split()}
SECTION = {"section", "sec", "sect", "seccion", "sections", "secciones", "secs", "zona", "secion", "tramo", "area",
    "part", "parte"}
SPOKEN = {
    "a": "A", "ay": "A", "eh": "A", "hey": "A", "b": "B", "be": "B", "bee": "B", "c": "C", "see": "C", "sea": "C",
        "ce": "C",
    "cee": "C", "d": "D", "dee": "D", "de": "D", "e": "E", "ee": "E", "f": "F", "ef": "F", "eff": "F", "efe": "F",
        "g": "G",
    "gee": "G", "ge": "G", "h": "H", "aitch": "H", "hache": "H", "ache": "H", "che": "H", "je": "G",
        "cu": "Q", "zeta": "Z", "uve": "V", "dobleu": "W", "vee": "V", "zee": "Z", "zed": "Z",
        "queue": "Q", "cue": "Q", "equis": "X", "ex": "X", "jay": "J", "jota": "J", "ell": "L",
        "ele": "L", "em": "M", "eme": "M", "ene": "N", "enn": "N", "pee": "P", "pe": "P", "erre": "R", "ar": "R",
        "ese": "S", "ess": "S", "tee": "T", "te": "T", "kay": "K", "ka": "K", "j": "J", "k": "K",
}  # fmt: skip
NEVER = set("OY")  # words, not sections
SELDOM = set("INU")  # and, you, que: sections only where one is named
LOWER = set("bcdefgh")
PLACES = {
    "on", "in", "for", "of", "and", "y", "la", "las", "los", "el", "del", "en", "the", "rinsed", "to", "from",
        "into", "with", "n",
    "&", "pa", "para", "thru", "through", "then", "over", "onto", "at", "e", "or", "o", "is", "hows",
}  # fmt: skip
JOIN = {"and", "y", "&", "n", ",", "e", "plus", "/", "+", "as", "well", "then", "und", "tambien", "con", "or", "o",
    "ni"}
THROUGH = {"-", "–", "thru", "through", "to", "a", "hasta", "al"}
ARTICLES = SECTION | {"the", "la", "las", "el", "los", "both", "ambas", "de", "del", "all", "toda", "todas", "also"}
WHOLE = {
    "everything", "todo", "todas", "todos", "everythings", "toditito", "todito",
}  # fmt: skip
BOTH = {"both", "ambas", "ambos"}  # the sections named before
WHOLE_PHRASES = (
    "all of it", "all of them", "the whole thing", "whole thing", "whole deck", "entire deck",
    "whole dang deck", "whole damn deck", "whole darn deck",
    "whole job", "entire job", "todo el trabajo", "toda la obra", "whole lot", "the lot",
    "all sections", "all the sections", "every section", "all section", "todas las secciones", "toda la terraza",
    "todo el deck", "el deck entero", "deck completo", "every last bit", "the whole job", "all areas", "las dos no",
)  # fmt: skip
PHRASES = tuple(tuple(p.split()) for p in WHOLE_PHRASES)
NAMES_ONE = {"for", "with", "to", "section", "at", "from", "misted", "sections", "y", "and", "la", "seccion", "sec",
    "on", "in", "para", "en", "of", "de", "rinsed", "started", "covered",
    "secciones"}
AFTER_LA = ("ese", "ele", "eme", "ene", "pe", "erre", "te", "ka", "be", "bee", "ce", "dee", "cee", "efe", "see",
    "sea", "de", "ge", "hache", "ache", "che", "ef", "jota", "je", "cu", "zeta", "uve", "dobleu", "doble", "equis")
LOOSE_WHOLE = ("todo", "todos", "todas")
ENDINGS = ("ed", "ada", "ado", "ida", "ido", "ierta")  # "A enjuagada", "A rinsed"
NOT_A_NOUN = {
    "and", "y", "n", "is", "are", "was", "to", "thru", "through", "done", "floor", "still", "again", "at", "now",
        "por", "then", "has",
    "esta", "ya", "en", "con", "about", "since", "o", "or", "got", "pls", "please", "porfa", "hace",
        "over", "all", "too",
    "just", "moisture", "ph", "rinsed", "covered", "misted", "stripped", "wet", "needs", "hasta", "tambien", "lista",
        "listo", "quedo",
    "looks", "read", "reads", "reading", "came", "for", "in", "on", "with", "w", "from", "first", "real",
        "today", "yesterday", "but",
    "pero", "no", "not", "only", "dio", "salio", "sigue", "yet", "ready", "did", "will", "the", "when", "off", "que",
        "before", "after", "half", "sliding", "coming", "peeling", "lifting", "bubbling", "wrinkling", "letting", "lets",
    "let", "slid", "melting", "went", "isnt", "wont", "aint", "partly", "mostly", "stuck", "loose", "drying", "had",
}  # fmt: skip

