"""Numbers, quantities, sizes, weather and sections as crews write them; expected values worked out by hand.

Number words follow the spelling rules of English and of Spanish (from memory); 12 inches a foot, 12 a dozen.
"""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.understand.finding import marked
from bot.understand.lexicon import load
from bot.understand.reading import understand

LEXICON = load(Path(__file__).parents[1] / "handlers")
NOW = datetime(2026, 6, 10, 10, 0, tzinfo=ZoneInfo("America/New_York"))
TYPED = ("vol", "mass", "len", "dur", "temp", "speed", "pct", "money", "area", "num", "count", "dim", "price")

EN_UNITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
EN_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
ES_UNITS = ("cero", "uno", "dos", "tres", "cuatro", "cinco", "seis", "siete", "ocho", "nueve", "diez", "once", "doce",
    "trece", "catorce", "quince", "dieciséis", "diecisiete", "dieciocho", "diecinueve", "veinte", "veintiuno",
    "veintidós", "veintitrés", "veinticuatro", "veinticinco", "veintiséis", "veintisiete", "veintiocho", "veintinueve")
ES_TENS = ("treinta", "cuarenta", "cincuenta", "sesenta", "setenta", "ochenta", "noventa")
ES_HUNDREDS = ("ciento", "doscientos", "trescientos", "cuatrocientos", "quinientos", "seiscientos", "setecientos",
    "ochocientos", "novecientos")


def typed(text: str) -> list[tuple[str, Any]]:
    """The quantities of a text, in order."""
    _, marks = marked(text, LEXICON, NOW.date())
    return [(m.kind, m.value) for m in marks if m.kind in TYPED]


def sections(text: str) -> list[str]:
    """The sections named in a text."""
    _, marks = marked(text, LEXICON, NOW.date())
    return [name for m in marks if m.kind == "sec" for name in m.value]


def only(text: str) -> Any:
    """The one act of a message."""
    (act,) = understand(text, LEXICON, NOW).acts
    return act


def english(n: int) -> str:
    """A number in words."""
    if n < 20:
        return EN_UNITS[n]
    if n < 100:
        return EN_TENS[n // 10 - 2] + (f" {EN_UNITS[n % 10]}" if n % 10 else "")
    return f"{EN_UNITS[n // 100]} hundred" + (f" {english(n % 100)}" if n % 100 else "")


def spanish(n: int) -> str:
    """A number in words."""
    if n < 30:
        return ES_UNITS[n]
    if n < 100:
        return ES_TENS[n // 10 - 3] + (f" y {ES_UNITS[n % 10]}" if n % 10 else "")
    return "cien" if n == 100 else ES_HUNDREDS[n // 100 - 1] + (f" {spanish(n % 100)}" if n % 100 else "")


@given(st.integers(1, 999))
def test_any_number_in_words_is_read_back(n: int) -> None:
    """Up to 999, in both languages, before a unit."""
    assert typed(f"{english(n)} pounds") == [("mass", (n, "lb"))]
    assert typed(f"{spanish(n)} libras") == [("mass", (n, "lb"))]


@given(st.integers(2, 99), st.sampled_from([("and a half", "y media", 0.5), ("and three quarters", "y tres cuartos", 0.75)]))
def test_any_mixed_number_in_words_is_read_back(n: int, part: tuple[str, str, float]) -> None:
    """ "twenty two and a half", "cinco y tres cuartos"."""
    assert typed(f"{english(n)} {part[0]} gallons") == [("vol", (n + part[2], "gal"))]
    assert typed(f"{spanish(n)} {part[1]} onzas") == [("mass", (n + part[2], "oz"))]


@given(st.integers(1, 99), st.integers(1, 9), st.sampled_from(".,"))
def test_any_decimal_is_read_back(whole: int, tenth: int, point: str) -> None:
    """A point or a comma."""
    assert typed(f"mezcla {whole}{point}{tenth} litros") == [("vol", (float(f"{whole}.{tenth}"), "L"))]


@given(st.lists(st.integers(80, 249).map(lambda n: n / 10), min_size=2, max_size=5), st.sampled_from(["; ", ", "]))
def test_any_list_of_decimal_commas_is_read_back(values: list[float], parts: str) -> None:
    """The comma of the decimals and that of the list are told apart."""
    told = parts.join(f"{v:.1f}".replace(".", ",") for v in values)
    assert only(f"humedad de la A {told}").get("readings") == [pytest.approx(v) for v in values]


@given(st.integers(2, 9), st.sampled_from([5, 10, 25, 50]), st.integers(5, 60))
def test_any_packs_are_multiplied_out(count: int, size: int, price: int) -> None:
    """The whole weight and the whole cost, however they are told."""
    for text in (
        f"bought {count} bags of oxalic, {size} lb each, ${price} each",
        f"bought {english(count)} {size} lb bags of oxalic at {price} each",
        f"compré {count} bolsas de {size} libras de oxálico a {price} cada una",
    ):
        act = only(text)
        assert (act.get("mass"), act.get("cost")) == ({"value": count * size, "unit": "lb"}, count * price), text


@given(st.integers(1, 40), st.integers(0, 11), st.integers(1, 40))
def test_any_feet_and_inches_are_read_back(feet: int, inches: int, side: int) -> None:
    """Signs or words; in feet, to a hundredth."""
    words = (f"{feet} ft {inches} in by {side} ft", f"{feet} pies {inches} pulgadas por {side}")
    for told in (f"{feet}'{inches} x {side}'", *words):
        act = only(f"B {told}")
        assert act.get("length")["value"] == pytest.approx(feet + inches / 12, abs=0.01), told
        assert act.get("width") == {"value": side, "unit": "ft"}, told


@given(st.text(alphabet="0123456789abelosyx .,'\"/½-galftdecompi", max_size=40))
def test_no_number_from_nowhere(text: str) -> None:
    """A text without a digit or a word of number yields no typed quantity but a calm wind."""
    if not re.search(r"\d|½", text) and not re.search(r"[a-z]{3}", text):
        assert all(kind == "speed" and value[0] == 0 for kind, value in typed(text) if kind != "dim")


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("water took one oh five seconds", [("dur", (105, "s"))]),
        ("boards one twenty degrees", [("temp", (120, "deg"))]),
        ("noventa y un grados", [("temp", (91, "deg"))]),
        ("ciento cuarenta y dos libras", [("mass", (142, "lb"))]),
        ("media cubeta", [("vol", (0.5, "bucket"))]),
        ("una cubeta y media", [("vol", (1.5, "bucket"))]),
        ("half a bucket", [("vol", (0.5, "bucket"))]),
        ("a couple gallons", [("vol", (2, "gal"))]),
        ("one half gallon", [("vol", (0.5, "gal"))]),
        ("a gallon and a half", [("vol", (1.5, "gal"))]),
        ("3 quarters of a gallon", [("vol", (0.75, "gal"))]),
        ("tres cuartos de galón", [("vol", (0.75, "gal"))]),
        ("cinco galones y tres cuartos", [("vol", (5.75, "gal"))]),
        ("2 galones 1/2", [("vol", (2.5, "gal"))]),
        ("2 y 1/2 galones", [("vol", (2.5, "gal"))]),
        ("2½ gal", [("vol", (2.5, "gal"))]),
        ("point seven five gallons", [("vol", (0.75, "gal"))]),
        ("dos punto cinco galones", [("vol", (2.5, "gal"))]),
        ("half a dozen gallons", [("vol", (6, "gal"))]),
        ("a dozen ounces", [("mass", (12, "oz"))]),
        ("3 cuartos de gel", [("vol", (3, "qt"))]),
        ("3 pails of 5 gal", [("vol", (15, "gal"))]),
        ("2 buckets of brightener 5 gal each", [("vol", (10, "gal"))]),
        ("1 lb 8 oz", [("mass", (1.5, "lb"))]),
        ("3 to 4 gallons", []),
        ("tres o cuatro galones", []),
        ("4 x 10 lb", [("mass", (40, "lb"))]),
        ("12 ft 6 in", [("len", (12.5, "ft"))]),
        ("3 pies y medio", [("len", (3.5, "ft"))]),
        ("one minute and twenty seconds", [("dur", (80, "s"))]),
        ("hora y media", [("dur", (1.5, "h"))]),
        ("120 pies cuadrados", [("area", (120, "ft2"))]),
        ("12 metros cuadrados", [("area", (12, "m2"))]),
        ("15 por ciento", [("pct", (15, "pct"))]),
        ("dos y pico galones", []),
        ("a few gallons", []),
    ],
)
def test_a_quantity_however_it_is_spelled(text: str, found: list[tuple[str, Any]]) -> None:
    """Value and unit, and nothing else."""
    assert typed(f"mix {text}") == found


@pytest.mark.parametrize(
    ("text", "slots"),
    [
        ("la B mide doce y medio por veinte", {"length": 12.5, "width": 20}),
        ("B is three and a half foot by 10", {"length": 3.5, "width": 10}),
        ("la B 14,5 por 9", {"length": 14.5, "width": 9}),
        ("B is 12-6 by 16", {"length": 12.5, "width": 16}),
        ("B 12 times 14", {"length": 12, "width": 14}),
        ("stairs 5 steps 4 ft wide", {"count": 5, "width": 4}),
        ("stairs five steps four foot", {"count": 5, "width": 4}),
        ("nine steps 3 ft wide", {"count": 9, "width": 3}),
        ("B 12 long 10 wide", {"length": 12, "width": 10}),
        ("front rail 22 linear feet", {"length": 22}),
        ("baranda largo 20 pies alto 3 pies", {"length": 20, "height": 3}),
        ("B length 12 width 10", {"length": 12, "width": 10}),
        ("la B mide 12 de largo 10 de ancho", {"length": 12, "width": 10}),
        ("B is 12x14 no 12x16", {"length": 12, "width": 16}),
        ("las gradas son 6 escalones de 3 pies y medio", {"count": 6, "width": 3.5}),
        ("rail 40 ft long 3 ft high", {"length": 40, "height": 3}),
        ("baranda 30 ft x 3 ft", {"length": 30, "height": 3}),
        ("B is 120 square feet", {"area": 120}),
        ("B 12x16 in 10 min", {"length": 12, "width": 16}),
    ],
)
def test_a_size_however_it_is_told(text: str, slots: dict[str, float]) -> None:
    """Each side in its own slot: of stairs a count and a width, of a rail a length and a height."""
    told = {k: v["value"] if isinstance(v, dict) else v for k, v in only(text).slots.items()}
    assert {k: v for k, v in told.items() if k not in ("sections", "surface")} == slots


@pytest.mark.parametrize(
    ("text", "slots"),
    [
        ("boards at 110 air 82", {"surface_temp": 110, "air_temp": 82}),
        ("82 in the air and 110 on the boards", {"surface_temp": 110, "air_temp": 82}),
        ("its 90 out boards 125 wind 12 humidity 30", {"air_temp": 90, "surface_temp": 125, "wind": 12, "humidity": 30}),
        ("24 C y la tabla a 38", {"air_temp": 24, "surface_temp": 38}),
        ("la madera a 45 grados y el aire a 30", {"surface_temp": 45, "air_temp": 30}),
        ("78 no 87 degrees out", {"air_temp": 87}),
        ("la tabla a 110", {"surface_temp": 110}),
        ("it is 78 and sunny", {"air_temp": 78, "sun": True}),
        ("68 afuera", {"air_temp": 68}),
        ("wind blowing 10 to 15", {"wind": 15}),
        ("viento de 10 a 15", {"wind": 15}),
        ("wind 8 gusts 15", {"wind": 15}),
        ("78 degrees no wind humidity 45", {"air_temp": 78, "wind": 0, "humidity": 45}),
        ("sin viento", {"wind": 0}),
        ("60 de humedad", {"humidity": 60}),
        ("temp 82 rh 50 wind 5", {"air_temp": 82, "humidity": 50, "wind": 5}),
        ("rain stopped", {"rain": False}),
        ("ya está nublado", {"sun": False}),
    ],
)
def test_weather_however_it_is_told(text: str, slots: dict[str, Any]) -> None:
    """Every figure with the word that it belongs to; of several figures of wind the highest."""
    assert {k: v["value"] if isinstance(v, dict) else v for k, v in only(text).slots.items()} == slots


def test_the_warmth_of_water_is_not_the_weather() -> None:
    """Mix water is no air."""
    for text in ("water is 60 degrees", "el agua está a 45 grados"):
        assert all(act.name != "conditions" for act in understand(text, LEXICON, NOW).acts)


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("rinsed la doble u", ["W"]),
        ("rinsed section gee", ["G"]),
        ("rinsed section aitch", ["H"]),
        ("rinsed section double u", ["W"]),
        ("enjuagué la erre, la ese y la te", ["R", "S", "T"]),
        ("enjuagué la be dos", ["B2"]),
        ("rinsed be dos", ["B2"]),
        ("rinsed B-2", ["B2"]),
        ("rinsed N1 y N2", ["N1", "N2"]),
        ("rinsed A-C", ["A", "B", "C"]),
        ("rinsed A thru C and the stairs", ["A", "B", "C", "stairs"]),
        ("enjuagué de la A a la D", ["A", "B", "C", "D"]),
        ("enjuagué la A hasta la C", ["A", "B", "C"]),
        ("rinsed A1 to A3", ["A1", "A2", "A3"]),
        ("rinsed A, B & D plus E", ["A", "B", "D", "E"]),
        ("rinsed everything", ["*"]),
        ("enjuagué todo", ["*"]),
        ("rinsed the rest", []),
        ("enjuagué las gradas de atrás", ["back stairs"]),
        ("enjuagué la baranda izquierda", ["left rail"]),
        ("enjuagué la baranda lateral", ["side rail"]),
        ("rinsed the handrail", ["rail"]),
        ("enjuagué el balcón de arriba", ["upper balcony"]),
        ("enjuagué la rampa, el muelle y la cerca", ["ramp", "dock", "fence"]),
        ("enjuagué la banca y la jardinera", ["bench", "planter"]),
        ("rinsed front and back stairs", ["front stairs", "back stairs"]),
        ("enjuagué la baranda de arriba y la de abajo", ["upper rail", "lower rail"]),
        ("how much oil for a and bee", ["A", "B"]),
        ("rinsed a, b and c", ["A", "B", "C"]),
        ("rinsed A through to C", ["A", "B", "C"]),
        ("misted A and B both", ["A", "B"]),
        ("rinsed not B, D", ["D"]),
        ("rinsed B no, D", ["D"]),
        ("rinsed B I mean D", ["D"]),
        ("no era la B era la D", ["D"]),
        ("todavía no la B, la D ya", ["B", "D"]),
        ("1) B rinsed 2) C misted", ["B", "C"]),
    ],
)
def test_a_section_however_it_is_named(text: str, names: list[str]) -> None:
    """Letters, numbers, parts and sides, lists and ranges; of a correction what was meant."""
    assert sections(text) == names


def test_each_section_keeps_its_own_size() -> None:
    """A list of sizes with colons."""
    acts = understand("A: 12x14, B: 10x10, C 8x20", LEXICON, NOW).acts
    assert [(a.sections, a.get("length")["value"]) for a in acts] == [(("A",), 12), (("B",), 10), (("C",), 8)]


def test_a_price_by_the_piece_with_no_count_is_no_cost() -> None:
    """28 each is not 28."""
    for text in ("bought 10 lb of oxalic, paid 28 each", "bought oxalic, 10 lb, $28 a bag"):
        assert "cost" not in only(text).slots, text
    assert only("bought 2 gal of oil at $48 a gallon").get("cost") == 96


def test_a_volume_in_a_time_is_a_flow() -> None:
    """1:15 behind a volume is a minute and a quarter, no clock."""
    assert only("5 gal in 1:15").get("seconds") == 75
    assert only("hose gives 5 gallons in a minute ten").get("seconds") == 70
