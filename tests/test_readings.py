"""Readings by message, in both languages: what each means and its figures against outside values."""

from __future__ import annotations

from typing import Any

import pytest

from tests.conftest import Crew, reply
from tests.outdoors import uno


def said(crew: Crew, text: str, who: str = "Ana") -> dict[str, Any]:
    return reply(crew.says(who, text), who)


# film x share / rate: 1 US gal over 100 ft2 is 0.40746 mm (exact definitions), half of it, by the published SI
# form (Uno 1998, ACI Materials Journal 95-M34), a rounded conversion 3 to 5 % off the US form that is used.
@pytest.mark.parametrize(
    ("text", "celsius"),
    [("86 F, boards 104 F, humidity 40, wind 6 mph", (40.0, 30.0, 40, 6 * 1.609344)),
     ("77 F, boards 86 F, humidity 40, wind 5 mph", (30.0, 25.0, 40, 5 * 1.609344))],
)  # fmt: skip
def test_the_mist_interval_is_film_by_share_over_rate(
    heron: Crew, text: str, celsius: tuple[float, float, float, float]
) -> None:
    out = said(heron, text)
    every = out["figures"]["mist_every"]
    assert every["unit"] == "min"
    assert every["value"] == pytest.approx(0.40746 * 0.5 / uno(*celsius) * 60, rel=0.05)
    assert f"mist every {int(every['value'])} min." in out["text"]  # down, never up
    assert "good to 40 %" in out["text"]


def test_the_clocks_follow_the_weather(heron: Crew) -> None:
    before = said(heron, "started A")["figures"]["mist_every"]["value"]
    out = said(heron, "95 F, boards 120 F, humidity 25, wind 10 mph")
    assert out["figures"]["mist_every"]["value"] < before
    assert "rinse by" in out["text"]
    again = said(heron, "95 F, tablas 120 F, humedad 25, viento 10 mph", "Luis")
    assert again["figures"]["mist_every"] == out["figures"]["mist_every"]
    assert "40 % de error" in again["text"]


@pytest.mark.parametrize(
    ("value", "english", "spanish"),
    [("12", "rinse again first, then brighten", "enjuaga otra vez y luego abrillanta"),
     ("9", "the brightener brings it down", "lo baja el abrillantador"),
     ("7", "Neutral (7 is the aim). Good.", "Neutro (la meta es 7). Bien."),
     ("5", "A little acid left", "Queda algo de ácido"),
     ("2", "rinse well now", "enjuaga bien ahora")],
)  # fmt: skip
def test_a_ph_reading_says_the_way_to_seven(heron: Crew, value: str, english: str, spanish: str) -> None:
    out = said(heron, f"A pH {value}")
    assert english in out["text"]
    assert out["figures"]["ph"] == float(value)
    assert spanish in said(heron, f"A pH {value}", "Luis")["text"]


def test_caustic_after_the_brightener_wants_it_again(heron: Crew) -> None:
    heron.says("Ana", "brightener on A")
    heron.later(6)
    heron.says("Ana", "A rinsed")
    assert "brighten again here" in said(heron, "A pH 9")["text"]


def test_impossible_readings_are_asked_about_and_not_written(heron: Crew) -> None:
    before = len(heron.standing())
    assert (
        "0 to 100" in said(heron, "humidity 140 %")["text"]
        or "can't" in said(heron, "humidity 140 %")["text"]
    )
    assert len(heron.standing()) == before


def test_moisture_brings_the_new_forecast(heron: Crew) -> None:
    heron.says("Ana", "70 F, humidity 65")  # 12.0 %: Wood Handbook table 4-2
    heron.says("Ana", "final rinse done on A")
    heron.at("15:00")
    out = said(heron, "A moisture 25 24 26")
    assert out["text"].splitlines()[0] == "A: 25, 24, 26 %."
    assert "Highest 26 %, target 15 %." in out["text"]
    assert "two to three good drying days" in out["text"]
    assert out["figures"]["emc"]["value"] == pytest.approx(12.0, abs=0.3)


def test_a_meter_on_cold_wood_is_not_believed_and_on_warm_wood_only_warned_of(heron: Crew) -> None:
    # 0.1 point a kelvin from 20 degC (one meter's manual): 40 F is 4.44 degC, 15 % becomes 16.6 %.
    heron.says("Ana", "boards 40 F")
    cold = said(heron, "A moisture 15 14")
    assert "15 % is about 16.6 %" in cold["text"]
    assert "dry enough now" not in cold["text"]
    heron.says("Ana", "boards 104 F")  # 40 degC: 17 % becomes 15.0 %
    warm = said(heron, "B moisture 17 16")
    assert "17 % is really 15 %" in warm["text"]
    assert "dry enough now" not in warm["text"]  # a meter that corrects itself would be counted twice


# Arithmetic on exact units (worked_water.csv): 5 gal in 75 s is 4 gal/min, in 100 s 3, 10 L in 30 s 5.28.
@pytest.mark.parametrize(
    ("who", "text", "gallons", "words"),
    [("Ana", "hose fills 5 gal in 75 seconds", 4.0, "Enough for a washer"),
     ("Ana", "hose fills 5 gal in 100 seconds", 3.0, "rinse by hose"),
     ("Luis", "la manguera llena 10 L en 30 segundos", 5.283, "Alcanza para una lavadora"),
     ("Luis", "la manguera llena una cubeta en 4 minutos", 1.25, "llena un tanque"),
     ("Ana", "flow 1 gal/min", 1.0, "fill a tank first")],
)  # fmt: skip
def test_the_water_supply(heron: Crew, who: str, text: str, gallons: float, words: str) -> None:
    out = said(heron, text, who)
    assert out["figures"]["supply"]["unit"] == "gal/min"
    assert out["figures"]["supply"]["value"] == pytest.approx(gallons, rel=1e-3)
    assert words in out["text"]


def test_the_minutes_that_a_rinse_takes_by_section(heron: Crew) -> None:
    # Half a gallon a square foot (common practice): 192 ft2 at 3 gal/min take 32 min, 120 ft2 take 20.
    assert "A 32 min, B 20 min" in said(heron, "flow 3 gal/min")["text"]


def test_a_well_adds_nothing_to_a_slow_tap_and_lasts_as_long_as_it_lasts(crew: Crew) -> None:
    crew.says("Dana", "new job Heron Point")
    crew.says("Dana", "A 12x16 ft")
    crew.says("Ana", "washer wants 5 gal/min")
    crew.says("Ana", "flow 6 gal/min")
    # S / (q - y) = 117.5 / (5 - 2) = 39.2 min (worked_water.csv); 96 gal of rinse take 19.2 of them.
    out = said(crew, "well holds 117.5 gal and recovers 2 gal/min")
    assert out["figures"]["lasts"]["value"] == pytest.approx(39.17, abs=0.01)
    assert "Enough for a washer that wants 5 gal/min" in out["text"]
    assert "lasts 39 min" in out["text"]
    assert "rinse by hose" in said(crew, "flow 3 gal/min")["text"]  # a store behind a slow tap is no use


def test_a_tank_before_the_washer_helps_a_slow_tap(crew: Crew) -> None:
    crew.says("Dana", "new job Heron Point")
    crew.says("Dana", "A 12x16 ft")
    assert "rinse by hose" in said(crew, "flow 3 gal/min")["text"]
    # A washer takes 4: 250 / (4 - 3) = 250 min, the rinse 24.
    assert "Alcanza para una lavadora" in said(crew, "tanque de 250 gal", "Luis")["text"]


def test_one_button_says_what_was_told_of_each_section(heron: Crew) -> None:
    for name in ("A", "B"):
        heron.says("Ana", f"{name} rinsed")
    heron.says("Ana", "A 14 B 19")
    heron.presses("Ana", "A and B: moisture 14, 19")
    told = [(r["sections"], r["data"]["readings"]) for r in heron.standing() if r["kind"] == "moisture"]
    assert told == [(["A"], [14]), (["B"], [19])]
