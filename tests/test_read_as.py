"""Messages and how each is read, whole: what dictation and thumbs do, and what a second clause speaks of."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from bot.understand.lexicon import load
from bot.understand.reading import understand

LEXICON = load(Path(__file__).parents[1] / "handlers")
NOW = datetime(2026, 6, 10, 10, 0, tzinfo=ZoneInfo("America/New_York"))


def finish(step: str, *names: str, **more: Any) -> dict[str, Any]:
    return {"act": "finish", "step": step, "sections": list(names), **more}


def gal(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "gal"}


DICTATED: dict[str, list[dict[str, Any]]] = {
    "a's all rinsed off and we misted bee while we were at it": [
        finish("rinse", "A"), {"act": "rewet", "sections": ["B"]},
    ],
    "luis rinsed a and I covered sea": [finish("rinse", "A"), finish("strip", "C")],
    "misted a and dee": [{"act": "rewet", "sections": ["A", "D"]}],
    "started rinsing a like ten minutes ago": [
        {"act": "start", "step": "rinse", "sections": ["A"], "at": "2026-06-10T09:50"},
    ],
    "a's peeling and bee's still stuck": [
        {"act": "check", "sections": ["A"], "result": "loose"}, {"act": "check", "sections": ["B"], "result": "stuck"},
    ],
    "rinsed a bit": [],
    "the five gallon bucket filled in forty too seconds": [{"act": "flow", "volume": gal(5), "seconds": 42}],
    "humidity is seventy for percent": [{"act": "conditions", "humidity": 74}],
    "pee h on section eff is seven point too": [{"act": "ph", "sections": ["F"], "value": 7.2}],
    "moisture A fourteen thirteen comma bee twelve twelve": [
        {"act": "moisture", "sections": ["A"], "readings": [14, 13]},
        {"act": "moisture", "sections": ["B"], "readings": [12, 12]},
    ],
    "bees final rinse is done": [finish("final rinse", "B")],
    "terminé el abrí yantador en la hache": [finish("brighten", "H")],
}
GLUED: dict[str, list[dict[str, Any]]] = {
    "rinsed Band C": [finish("rinse", "B", "C")],
    "noC2 esC1": [{"act": "amend", "sections": ["C1"]}],
    "rocieDcon agua": [{"act": "rewet", "sections": ["D"], "with": "water"}],
    "misted D damE 3gal destripper": [
        {"act": "rewet", "sections": ["D"]}, {"act": "mix", "product": "stripper", "volume": gal(3)},
    ],
}
CORRECTED: dict[str, list[dict[str, Any]]] = {
    "rinsed bee at nine fifteen sorry section dee": [finish("rinse", "D", at="2026-06-10T09:15")],
    "seis minutos más a la A... no, nueve": [{"act": "extend", "sections": ["A"], "minutes": 9}],
    "wait make that 6 gallons": [{"act": "amend", "volume": gal(6)}],
    "scratch that I meant section gee": [{"act": "amend", "sections": ["G"]}],
}
SEVERAL: dict[str, list[dict[str, Any]]] = {
    "E y F enjuagadas, G abrillantada": [finish("rinse", "E", "F"), finish("brighten", "G")],
    "A had brightener on at 9:40 and got rinsed at 9:52": [finish("rinse", "A", at="2026-06-10T09:52")],
    "last night: D rinsed 6:05 pm, E rinsed 6:40 pm": [
        finish("rinse", "D", at="2026-06-09T18:05"), finish("rinse", "E", at="2026-06-09T18:40"),
    ],
    "C ph 7 stairs 7.5": [{"act": "ph", "sections": ["C"], "value": 7}, {"act": "ph", "sections": ["stairs"], "value": 7.5}],
    "ph 6 on C1 and 6.5 on C2, when can they be oiled?": [
        {"act": "ph", "sections": ["C1"], "value": 6}, {"act": "ph", "sections": ["C2"], "value": 6.5},
        {"act": "dry", "sections": ["C1", "C2"]},
    ],
    "final rinse done on C and the stairs, ph strip says seven on both": [
        finish("final rinse", "C", "stairs"), {"act": "ph", "sections": ["C", "stairs"], "value": 7},
    ],
    "bought 1.5 kg of oxalic and 4 L of oil": [
        {"act": "restock", "product": "brightener", "mass": {"value": 1.5, "unit": "kg"}},
        {"act": "restock", "product": "oil", "volume": {"value": 4, "unit": "L"}},
    ],
    "used 2 gal of oil on A and 1 on B": [
        finish("coat", "A", volume=gal(2), amount=True), finish("coat", "B", volume=gal(1), amount=True),
    ],
}
BESIDE: dict[str, list[dict[str, Any]]] = {  # a section that another lies beside was not looked at
    "the far corner by the steps on A is still stuck": [{"act": "check", "sections": ["A"], "result": "stuck"}],
    "A is letting go but the far edge near the stairs is stuck": [{"act": "check", "sections": ["A"], "result": "partly"}],
    "la esquina de la B junto a las gradas no suelta": [{"act": "check", "sections": ["B"], "result": "stuck"}],
}
READY: dict[str, list[dict[str, Any]]] = {
    "las plantas están mojadas y las ventanas cubiertas con plástico": [
        {"act": "finish", "step": "prewet"}, {"act": "finish", "step": "protect"},
    ],
    "plants are wet and the plastic is up": [{"act": "finish", "step": "prewet"}, {"act": "finish", "step": "protect"}],
    "ya solto la prueba, se tardo 9 minutos": [{"act": "patch", "result": "loose", "minutes": 9}],
    "ya le eche la manguera a la B": [{"act": "finish", "step": "rinse", "sections": ["B"]}],
    "la B toavia pegá": [{"act": "check", "sections": ["B"], "result": "stuck"}],
    "rosie otra ves el pasamanos i la B cn agua": [{"act": "rewet", "sections": ["rail", "B"], "with": "water"}],
    "bancale 10 minutos más a la D": [{"act": "extend", "sections": ["D"], "minutes": 10}],
}
NOW_AND_THEN: dict[str, list[dict[str, Any]]] = {  # what it read before is past; what it reads now is asked for, or told
    "B read 14 yesterday and 12 now": [{"act": "moisture", "sections": ["B"], "missing": ["readings"]}],
}
COMING: dict[str, list[dict[str, Any]]] = {
    "just pulled up to the marina": [{"act": "arrive"}],
    "acho ya llegué, el tráfico estaba brutal": [{"act": "arrive"}],
    "ya estamos en la obra": [{"act": "arrive"}],
    "we got to the bottom of it": [],
    "pulled up at the store": [],
    "llegamos a semifinales": [],
    "el perro ya llegó": [],
    "its raining here now": [{"act": "conditions", "rain": True}],
}
WEATHER: dict[str, list[dict[str, Any]]] = {
    "its gonna be about eighty and sunny": [],
    "va a estar a 35 grados y soleado": [],
    "las tablas se han puesto a 39 °C": [{"act": "conditions", "surface_temp": {"value": 39, "unit": "C"}}],
    "luis passed out, he's sitting in the shade now": [{"act": "incident", "kind": "other"}],
    "we stopped at half nine because the wind picked up": [
        {"act": "hold", "reason": "the wind picked up", "at": "2026-06-10T09:30"}
    ],
}
CLOCKED: dict[str, list[dict[str, Any]]] = {  # the clock of wet product: who is to come is not done
    "5 minutos más y enjuagamos B": [{"act": "extend", "minutes": 5}],
    "dale 8 más a la C y la cubrimos": [{"act": "extend", "sections": ["C"], "minutes": 8}],
    "rinsed B, C at 11": [finish("rinse", "B")],
    "A, B rinsed, C at noon": [finish("rinse", "A", "B")],
    "misted E, F after lunch": [{"act": "rewet", "sections": ["E"]}],
    "A covered and B by 11": [finish("strip", "A")],
    "rinsed B at 9:40, C at 11": [finish("rinse", "B", at="2026-06-10T09:40")],
    "rinsed B, C at 9:20": [finish("rinse", "B", "C", at="2026-06-10T09:20")],
    "starting B in 10": [],
    "applying stripper to C in ten": [],
    "rinsed B from 9:30 to 9:40": [finish("rinse", "B", at="2026-06-10T09:40")],
    "enjuagamos la B de las 9 a las 9:20": [finish("rinse", "B", at="2026-06-10T09:20")],
    "brightener on C from 9:10 until 9:25": [
        {"act": "start", "sections": ["C"], "at": "2026-06-10T09:10", "step": "brighten"},
    ],
    "rinsed B and C at 9:30 and 9:40": [
        finish("rinse", "B", at="2026-06-10T09:30"), finish("rinse", "C", at="2026-06-10T09:40"),
    ],
    "covered A 9:05 B 9:15 C not yet": [
        finish("strip", "A", at="2026-06-10T09:05"), finish("strip", "B", at="2026-06-10T09:15"),
    ],
    "covered b at nine five": [finish("strip", "B", at="2026-06-10T09:05")],
    "started rinsing a at nine thirty three": [
        {"act": "start", "step": "rinse", "sections": ["A"], "at": "2026-06-10T09:33"},
    ],
    "rinsed b4 10": [{"act": "finish", "step": "rinse"}],
    "rinsed b4 10 min ago": [finish("rinse", "B4", at="2026-06-10T09:50")],
    "team B rinsed A": [finish("rinse", "A")],
    "enjuagamos la B a las nueve": [finish("rinse", "B", at="2026-06-10T09:00")],
    "rinsed A and B. enjuagamos las dos": [finish("rinse", "A", "B"), finish("rinse", "A", "B")],
    "put brightener on B, meant C": [{"act": "start", "sections": ["C"], "step": "brighten", "put": True}],
    "dale 15 no 50 a B": [{"act": "extend", "sections": ["B"], "minutes": 15}],
    "dale 5, no, 8 a la C": [{"act": "extend", "sections": ["C"], "minutes": 8}],
    "mezcle 3 galones, no 4": [{"act": "mixed", "volume": gal(3), "missing": ["product"]}],
    "bought 5 lb oxalic, need 3 more": [
        {"act": "restock", "product": "brightener", "mass": {"value": 5, "unit": "lb"}},
    ],
    "otros 5 minutos para la B": [{"act": "extend", "sections": ["B"], "minutes": 5}],
    "ya pasaron 10 minutos y enjuagamos B": [finish("rinse", "B")],
    "waited 10 more minutes and rinsed C": [finish("rinse", "C")],
    "5 more on A, 10 on B": [
        {"act": "extend", "sections": ["A"], "minutes": 5}, {"act": "extend", "sections": ["B"], "minutes": 10},
    ],
    "moisture A 12 B wet": [{"act": "moisture", "sections": ["A"], "readings": [12]}],
    "added 5 more minutes": [{"act": "extend", "minutes": 5}],
}
TOLD = {**READY, **BESIDE, **NOW_AND_THEN, **CLOCKED, **DICTATED, **GLUED, **CORRECTED, **SEVERAL, **COMING, **WEATHER}


@pytest.mark.parametrize("text", TOLD)
def test_it_is_read_so(text: str) -> None:
    read = [{k: v for k, v in act.to_json().items() if k != "assumed"} for act in understand(text, LEXICON, NOW).acts]
    assert read == TOLD[text]


# Nothing of these is done, begun, or given more time: a button may ask.
OPEN = [
    "all of B but the stairs is rinsed", "all of the rail but the posts is rinsed", "lista la B para enjuagar",
    "listas las gradas pa enjuagar", "rinsed B or was it C", "B or C started at 9", "rinsed C rather than B",
    "enjuagamos C en lugar de B", "B 90% done", "enjuagamos media B", "rinsed the whole rail but one post",
    "rinsed a lot of B", "quedo mal enjuagada la B", "rinsed B too early so redo it", "rinsed D but have to redo",
    "enjuagamos B ahorita o esperamos", "wind stopped us from starting B", "stopped short of rinsing B",
    "tried rinsing B", "started B 10 min before C", "rinsed B 10 min after C", "the previous crew stripped B",
    "they rinsed B last fall", "la B se enjuago sola con la lluvia", "finished B, just kidding", "started B nah",
    "enjuagamos la B, perdon, la pusimos", "covered for Tom at B", "insurance covered B", "coated cable on B",
    "stripped the wire on A", "started B paperwork", "finished the permit for B", "rinsed B's gutter",
    "hosed the mud off B", "stripper on the stairs is gone", "gel on the rail is washed away",
    "put stripper on B then realized it was brightener", "rinsed w/o the stairs", "need 3 more gloves",
    "need 2 more guys", "we need 10 more for tomorrow", "10 more would be nice", "5 more boards on B",
    "B needs 2 more passes", "ponle 5 mas a la radio", "add 10 more minutes to the drive",
    "20 more minutes to the shop", "12 on A, B 5 more", "otros 5 baldes", "le ibamos a dar 5 mas a B",
    "le quieren dar 10 mas a B",
    "B lleva 10 minutos mas que C",
]  # fmt: skip


@pytest.mark.parametrize("text", OPEN)
def test_what_nobody_did_is_not_written_down(text: str) -> None:
    told = {a.name for a in understand(text, LEXICON, NOW).acts}
    assert not told & {"start", "finish", "rewet", "extend"}
