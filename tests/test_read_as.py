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
READY: dict[str, list[dict[str, Any]]] = {
    "las plantas están mojadas y las ventanas cubiertas con plástico": [
        {"act": "finish", "step": "prewet"}, {"act": "finish", "step": "protect"},
    ],
    "plants are wet and the plastic is up": [{"act": "finish", "step": "prewet"}, {"act": "finish", "step": "protect"}],
    "la B toavia pegá": [{"act": "check", "sections": ["B"], "result": "stuck"}],
    "rosie otra ves el pasamanos i la B cn agua": [{"act": "rewet", "sections": ["rail", "B"], "with": "water"}],
    "bancale 10 minutos más a la D": [{"act": "extend", "sections": ["D"], "minutes": 10}],
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
TOLD = {**READY, **DICTATED, **GLUED, **CORRECTED, **SEVERAL, **COMING, **WEATHER}


@pytest.mark.parametrize("text", TOLD)
def test_it_is_read_so(text: str) -> None:
    read = [{k: v for k, v in act.to_json().items() if k != "assumed"} for act in understand(text, LEXICON, NOW).acts]
    assert read == TOLD[text]
