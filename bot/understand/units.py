"""The words of units, and what kind of quantity each measures."""

from __future__ import annotations

UNIT_WORDS = {
    "gal": "gal gals gallon gallons galon galones gallones gl gln glns gls galoncito galoncitos",
    "qt": "qt qts quart quarts cuarto cuartos", "pt": "pt pts pint pints pinta pintas",
    "cup": "cup cups taza tazas", "L": "l liter liters litre litres litro litros lt lts", "mL": "ml mls mililitros",
    "bucket": "bucket buckets cubeta cubetas balde baldes cubo cubos pail pails tobo tobos",
    "oz": "oz ozs ounce ounces onza onzas", "lb": "lb lbs pound pounds libra libras",
    "g": "g gr gram grams gramo gramos", "kg": "kg kgs kilo kilos kilogramos",
    "ft": "ft feet foot pie pies lf", "in": "in inch inches pulgada pulgadas pulg", "m": "m meter meters metre metres "
        "metro metros",
    "cm": "cm centimetros", "mm": "mm milimetros", "min": "min mins minute minutes minuto minutos minutitos minutito",
    "s": "sec secs second seconds segundo segundos seg segs s", "h": "hr hrs hour hours hora horas h",
    "mph": "mph", "km/h": "kph kmh", "deg": "deg degs degree degrees grado grados", "F": "f fahrenheit farenheit",
    "C": "c celsius centigrade centigrados", "pct": "percent pct porciento", "money": "bucks dollars dollar pesos peso "
        "euros quid dolares", "cents": "cent cents centavo centavos centimos pence",
    "gal/min": "gpm", "ft2": "sqft sf ft2 pies2", "m2": "m2 sqm",
}  # fmt: skip
UNITS = {word: unit for unit, words in UNIT_WORDS.items() for word in words.split()}
KINDS = {
    "gal": "vol", "qt": "vol", "pt": "vol", "cup": "vol", "L": "vol", "mL": "vol", "bucket": "vol", "floz": "vol",
    "oz": "mass", "lb": "mass", "g": "mass", "kg": "mass", "ft": "len", "in": "len", "m": "len", "cm": "len", "mm": "len",
    "min": "dur", "s": "dur", "h": "dur", "mph": "speed", "km/h": "speed", "deg": "temp", "F": "temp", "C": "temp",
    "pct": "pct", "money": "money", "cents": "price", "gal/min": "rate", "ft2": "area", "m2": "area",
}  # fmt: skip
# How many of the smaller unit make one of the larger, where both are told together ("12 ft 6 in", "1 lb 8 oz").
SMALLER = {
    ("ft", "in"): 12, ("lb", "oz"): 16, ("gal", "qt"): 4, ("kg", "g"): 1000, ("m", "cm"): 100, ("h", "min"): 60,
    ("min", "s"): 60, ("h", "s"): 3600,
}  # fmt: skip
