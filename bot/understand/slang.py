"""Short and phonetic spellings that no distance finds: as crews type them, and what they mean."""

from __future__ import annotations

SLANG = {
    "cane": "came", "heer": "here", "ot": "to", "nto": "not", "oyl": "oil", "rmp": "ramp", "stared": "started", "oen": "one",
    "otn": "not", "fro": "for",
    "kien": "quien", "aser": "hacer", "agan": "again",
    "kon": "con", "kedo": "quedo", "kedan": "quedan", "kedaron": "quedaron", "kiero": "quiero", "komo": "como",
    "aora": "ahora", "tamo": "estamos", "tava": "estaba", "taba": "estaba", "lla": "ya", "bamos": "vamos", "tda":
    "toda", "tdo": "todo", "tdas": "todas", "toa": "toda", "toas": "todas", "depue": "despues", "entonse":
    "entonces", "cdo": "cuando", "xfavor": "porfavor", "stamos": "estamos", "stan": "estan", "nomaz": "nomas",
    "okupo": "ocupo", "bak": "back", "bck": "back", "frnt": "front", "uper": "upper", "lowr": "lower", "nte":
    "note", "hpw": "how", "hiw": "how", "ise": "hice", "isimos": "hicimos", "iso": "hizo", "oy": "hoy", "oi": "hoy",
    "nit": "not", "noy": "not", "whn": "when", "gud": "good", "mx": "mix", "gsl": "gal", "keda": "queda", "mdio":
    "medio", "oras": "horas", "hechar": "echar", "aki": "aqui", "bn": "bien", "grdos": "grados", "sinc": "since",
    "ta": "esta", "toy": "estoy", "tamos": "estamos", "ma": "mas", "na": "nada", "pal": "para", "staring":
    "starting", "lose": "loose", "nda": "nada", "q": "que", "agp": "ago", "minuets": "minutes", "feat": "feet",
    "gallows": "gallons", "degrease": "degrees", "boreds": "boards", "galloon": "gallon", "percentage": "percent",
    "widows": "windows", "undue": "undo", "gla": "gal", "bushs": "bushes", "plastics": "plastic", "calo": "calor",
    "ves": "vez", "ve": "vez", "cn": "can", "wen": "when", "wat": "what", "wats": "whats", "teh": "the", "hav":
    "have", "giv": "give", "nd": "and", "xq": "porque", "pq": "porque", "tmb": "tambien", "hwo": "how", "ned":
    "need", "nned": "need", "wht": "what", "dnt": "dont", "aint": "isnt", "qe": "que", "ke": "que", "frm": "from",
    "kienes": "quienes", "galo": "galon",
    "wit": "with", "alot": "lot", "b4": "before", "dlls": "dolares", "dls": "dolares", "kuando": "cuando", "alguen":
    "alguien", "ase": "hace", "hase": "hace", "ia": "ya", "ai": "hay", "qando": "cuando", "kando": "cuando", "oli":
    "oil", "bes": "vez", "dle": "dale", "rite": "right", "haf": "half", "sce": "sec", "agian": "again", "awa":
    "agua", "dn": "done", "wn": "when", "gv": "give", "hw": "how", "jst": "just", "bk": "back", "hlp": "help", "yr":
    "your", "rn": "now", "abt": "about", "eyr": "eye", "mor": "more",
}  # fmt: skip
