"""The number words of both languages: units, teens, tens, hundreds and parts of one."""

from __future__ import annotations

UNITS = {
    "zero": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
    "cero": 0, "uno": 1, "dos": 2, "tres": 3, "cuatro": 4, "cinco": 5, "seis": 6, "siete": 7, "ocho": 8, "nueve": 9,
}  # fmt: skip
TEENS = {
    "ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16,
    "seventeen": 17, "eighteen": 18, "nineteen": 19, "diez": 10, "once": 11, "doce": 12, "trece": 13, "catorce": 14,
    "quince": 15, "dieciseis": 16, "diecisiete": 17, "dieciocho": 18, "diecinueve": 19, "veintiuno": 21,
    "veintiun": 21, "veintiuna": 21, "veintidos": 22, "veintitres": 23, "veinticuatro": 24, "veinticinco": 25,
    "veintiseis": 26, "veintisiete": 27, "veintiocho": 28, "veintinueve": 29, "dozen": 12, "docena": 12,
}  # fmt: skip
TENS = {
    "twenty": 20, "thirty": 30, "forty": 40, "fourty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80,
    "ninety": 90, "veinte": 20, "treinta": 30, "cuarenta": 40, "cincuenta": 50, "sesenta": 60, "setenta": 70,
    "ochenta": 80, "noventa": 90,
}  # fmt: skip
HUNDREDS = {
    "hundred": 100, "cien": 100, "ciento": 100, "doscientos": 200, "trescientos": 300, "cuatrocientos": 400,
    "quinientos": 500, "seiscientos": 600, "setecientos": 700, "ochocientos": 800, "novecientos": 900,
}  # fmt: skip
HUNDREDS |= {word[:-2] + "as": value for word, value in HUNDREDS.items() if word.endswith("tos")}
PARTS = {
    "half": 0.5, "medio": 0.5, "media": 0.5, "quarter": 0.25, "cuarto": 0.25, "fourth": 0.25, "third": 1 / 3,
    "tercio": 1 / 3, "eighth": 0.125, "octavo": 0.125,
}  # fmt: skip
SHARES = {
    "quarters": 4, "quarter": 4, "cuartos": 4, "fourths": 4, "thirds": 3, "tercios": 3, "eighths": 8, "octavos": 8,
}  # fmt: skip
WORDS = {**UNITS, **TEENS, **TENS, **HUNDREDS}
ONE = ("a", "an", "un", "una")
SOUNDS_LIKE = {"to": 2, "too": 2, "for": 4, "fore": 4, "ate": 8, "won": 1, "tree": 3, "fife": 5}
