"""Starts, mists and covers in a Spanish hand's own words, and what only sounds like them."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from bot.understand import lexicon
from bot.understand.reading import understand
from tests.conftest import Crew, reply

LEXICON = lexicon.load(Path(__file__).parents[1] / "handlers")
NOW = datetime(2026, 6, 10, 10, 0, tzinfo=ZoneInfo("America/New_York"))


def read(text: str) -> str:
    """What is heard, and behind "?" what is asked: "rewet", "? rewet finish:rinse"."""
    got = understand(text, LEXICON, NOW)
    name = lambda a: f"{a.name}:{a.get('step') or a.get('result')}" if a.get("step") or a.get("result") else a.name  # noqa: E731
    return " ".join([*map(name, got.acts), *(["?"] if got.ask else []), *map(name, got.ask)])


@pytest.mark.parametrize(
    ("text", "heard"),
    [
        ("ahora si echamos stripper en la D hace 5 min", "start:strip"),
        ("ahora si empezamos la C", "start:strip"), ("ahora si estamos enjuagando la B", "start:rinse"),
        ("ahora si enjuagamos la B", "? start:rinse finish:rinse"), ("ahora si llueve paramos", ""),
        ("ahora si vamos a enjuagar la B", ""),
        ("si, ya enjuagamos la B", "finish:rinse"), ("ok si, ya enjuagamos la B", "finish:rinse"),
        ("si ya enjuagamos la B", "? finish:rinse"), ("si la B ya esta enjuagada", "? finish:rinse"),
        ("si ya enjuagaron la B empiecen la C", ""), ("si ya solto la B enjuaguen", ""), ("si enjuagamos la B se mancha", ""),
        ("a ver si ya enjuagaron la B", ""), ("avisame si ya enjuagamos la B", ""),
        ("le eche agua a la B pa q no se seque", "rewet"), ("le echamos agua a la baranda para que no se seque", "rewet"),
        ("le di una enjuagada a la B pa que no se seque", "? rewet finish:rinse"),
        ("rinsed B so it doesnt dry out", "? rewet finish:rinse"), ("hosed B so it doesnt dry out", "rewet"),
        ("echenle agua a la B pa que no se seque", "? rewet"), ("hay que echarle agua a la B para que no se seque", ""),
        ("no le eche agua a la B para que no se seque", ""),
        ("rocio la A", "? rewet"), ("al rato rocio la A", ""), ("enjuago la B", ""),
        ("ya le echo agua a las escaleras", "? rewet finish:rinse"), ("le echo agua a la B?", ""),
        ("ya termine de untar toda la A", "finish:strip"),
        ("ya termine de untar el abrillantador en la A", "finish:brighten"),
        ("cuanto acido ocupo pa B y C", "mix"), ("haz 3 galones de acido", "mix"), ("haz 2 gal del brillo", "mix"),
        ("mezclamos 3 gal de acido", "mixed"), ("empezamos el acido en la C", "start:brighten"),
        ("brillo puesto en la D", "finish:brighten"), ("acido puesto en la A y la baranda", "finish:brighten"),
        ("puse acido en la C", "start:brighten"), ("enjuagamos el acido de la B", "finish:rinse"),
        ("me cayo acido en la mano", "incident"), ("le cayo acido a la planta", "incident"),
        ("le echamos acido muriatico a la B", ""), ("acido muriatico en la B", ""), ("la A ya tiene brillo", ""),
        ("ph acido en la A", ""), ("el acido quema", ""),
        ("la A casi no ha soltado", "check:partly"), ("en la C kedaron unas manchitas en la orilla", "check:partly"),
        ("le di un manguerazo a la B", "? rewet finish:rinse"), ("aclaramos la B", "? finish:rinse finish:brighten"),
        ("le metimos manguera a la B", "? rewet finish:rinse"), ("pega un manguerazo a la B", ""),
        ("le di un manguerazo a la B pa que no se seque", "rewet"), ("hay que fregar la B", ""), ("fregamos la B", ""),
        ("acabamos de dar decapante a la B", "finish:strip"), ("nos pusimos con la B", "start:strip"),
        ("ya he enjuagado la B", "finish:rinse"), ("la B ya se despega", "check:loose"), ("enjuagá la B", ""),
        ("abrillantador puesto en la B desde las 8:56", "start:brighten"),
        ("la D ya tiene stripper desde las 8:40", "start:strip"), ("la B no tiene decapante desde las 9", ""),
        ("segunda mano en la A, kedo como un tercio", "start:strip"),
    ],
)  # fmt: skip
def test_a_hands_words_are_heard_or_asked_about(text: str, heard: str) -> None:
    assert read(text) == heard


def told(text: str) -> list[dict[str, object]]:
    return [a.to_json() for a in understand(text, LEXICON, NOW).acts]


def test_citric_acid_stays_citric_and_acid_alone_is_the_brightener() -> None:
    assert [a["product"] for a in told("cuanto acido citrico para la B")] == ["citric"]
    assert [a["product"] for a in told("cuanto acido para la B")] == ["brightener"]


@pytest.mark.parametrize(
    "text",
    ["las tablas estan bien calientes como a 96", "las tablas estan bien calientes como a 96 grados", "tablas como a 96"],
)
def test_hot_boards_are_no_hot_air(text: str) -> None:
    assert told(text) == [{"act": "conditions", "surface_temp": {"value": 96, "unit": "F"}}]


@pytest.mark.parametrize("text", ["ya se seco la B", "la B ya esta seca", "ya seco la B", "B has dried out already"])
def test_wood_that_ought_to_be_wet_and_is_dry_is_misted_at_once(heron: Crew, text: str) -> None:
    heron.says("Ana", "started B")
    assert reply(heron.says("Ana", text))["text"].startswith("Mist B now")


@pytest.mark.parametrize("text", ["ya seco la A", "la A ya esta seca", "A is dry now"])
def test_wood_that_dried_after_its_rinse_is_answered_with_what_comes_next(heron: Crew, text: str) -> None:
    assert reply(heron.says("Ana", text))["text"].startswith("A: two to three good drying days")


@pytest.mark.parametrize("text", ["todavia no seca la A", "cuando ya este seca la A", "ya casi seca la A", "ya seco la ropa"])
def test_what_is_not_dry_yet_is_no_dry_wood(heron: Crew, text: str) -> None:
    assert "drying days" not in reply(heron.says("Ana", text))["text"] or text.startswith("cuando")


def test_the_beginning_asked_for_in_the_bots_own_words_is_taken_for_the_brightener_too(heron: Crew) -> None:
    told = reply(heron.says("Luis", "A cubierta con abrillantador"), "Luis")["text"]
    assert "Di: empecé abrillantador en A a las" in told
    assert "abrillantador puesto, 8:55" in reply(heron.says("Luis", "empecé A a las 8:55"), "Luis")["text"]


def test_where_stripper_is_meant_standing_brightener_still_stops_it(heron: Crew) -> None:
    heron.says("Luis", "abrillantador puesto en la A")
    assert reply(heron.says("Luis", "empecé decapante en la A a las 8:55"), "Luis")["text"].startswith("ALTO")
