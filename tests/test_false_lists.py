"""Lists of sections across two statements: each verb has the section that it is told of, and no other."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from bot.understand.lexicon import load
from bot.understand.reading import understand

LEXICON = load(Path(__file__).parents[1] / "handlers")
NOW = datetime(2026, 6, 10, 10, 0, tzinfo=ZoneInfo("America/New_York"))
# The section that is not rinsed, covered or misted, whatever else the message says.
NOT_OF = {
    "stairs": [
        "im on the stairs and B is rinsed", "gel on the stairs and the rail is rinsed",
        "the hose is by the stairs and B is covered",
        "se resbalo en las gradas y la B esta enjuagada", "rinsed A by the stairs", "rinsed A near the stairs",
        "rinsed A down to the stairs", "enjuagamos la A junto a las gradas", "slipped on the stairs, B is rinsed",
    ],
    "dock": ["parked by the dock, B rinsed", "rinsed B with the hose from the dock", "rinsed the dock lines"],
    "fence": ["enjuagamos la B cerca del rellano", "cubrimos la B cerca de la escalera"],
    "A": [
        "stripper on A and B is rinsed", "Mike is on A and B is rinsed", "doing A, B is rinsed", "ph 7 on A and B is rinsed",
        "paint coming off on A and B is rinsed", "stripper on A, B rinsed", "decapante en la A y la B ya esta enjuagada",
        "A at 14 and B rinsed", "A still gummy B rinsed", "A or B is rinsed", "rinsed A or B",
        "la A o la B ya esta enjuagada",
    ],
    "C": [
        "rinsed B sorry C is still wet", "rinsed B, sorry, C is still wet", "rinsed B at 9:15 C is still wet",
        "rinsed B C is next", "covered B C isnt", "enjuague la B la C sigue mojada", "B esta enjuagada la C no",
        "rinsed B at 9:15 sorry C isnt ready", "rinsed B C still wet", "rinsed B C to go", "rinsed B now C",
        "rinsed B, C now", "covered B, C going", "misted B, C ok", "misted B C fine", "rinsed B, C in 10",
        "rinsed B, C after lunch",
        "stripper on B at 9:05 rinsed 9:25 C on 9:30", "enjuagamos la B, la C a las 11",
    ],
    "B": [
        "all rinsed up to B", "todo enjuagado hasta la B", "enjuague hasta la B",
        "rinsed A and B is still gummy", "rinsed A and B dwelling", "rinsed A and B still dwelling", "rinsed A and B left",
        "rinsed A and B to go", "enjuagamos la A y la B reposando", "enjuagamos la A y la B tiene decapante",
        "enjuagamos la A y la B no se deja", "enjuagamos la A y la B puede esperar", "enjuagamos la A y la B se ve mal",
        "enjuagamos la A y a la B le falta tiempo", "ya está enjuagando la B", "rinsed A and B needs more time",
        "A loose, Luis is at B, rinsed it", "misted A and B drying", "rociamos la A y la B se esta secando",
    ],
}  # fmt: skip
WHOLE = [  # of a part, not of everything
    "todo enjuagado de la C a la E", "everything rinsed from B to D", "todo listo y enjuagado en la B", "all rinsed on B",
    "A is rinsed clean all of it came off", "rinsed A. all of it came off", "rinsed A, all of it is bare",
]  # fmt: skip
TWO = {  # one act of each, with its own section
    "misted A and B rinsed": {("rewet", "", "A"), ("finish", "rinse", "B")},
    "covered A and B rinsed": {("finish", "strip", "A"), ("finish", "rinse", "B")},
    "rinsing A and B covered": {("start", "rinse", "A"), ("finish", "strip", "B")},
}
BOTH = [
    "A and B is rinsed", "A, B is rinsed", "rinsed A and B real good", "rinsed A and B, both look good",
    "enjuagamos la A y la B", "A and B covered. both rinsed", "rinsed sections ay and bee",
]  # fmt: skip


def acts(text: str) -> set[tuple[str, str, str]]:
    read = understand(text, LEXICON, NOW)
    return {(a.name, str(a.get("step") or ""), name) for a in read.acts for name in a.sections or ("",)}


@pytest.mark.parametrize("text", WHOLE)
def test_what_is_said_of_a_part_is_not_of_everything(text: str) -> None:
    told = acts(text)
    assert told and all(where not in ("*", "+") for _, _, where in told)


@pytest.mark.parametrize(("name", "text"), [(n, t) for n, texts in NOT_OF.items() for t in texts])
def test_a_section_that_is_only_named_beside_another_is_not_done(name: str, text: str) -> None:
    done = {where for act, step, where in acts(text) if act in ("finish", "rewet")}
    assert not done & {name, "*"}


@pytest.mark.parametrize("text", TWO)
def test_each_verb_has_the_section_beside_it(text: str) -> None:
    assert acts(text) == TWO[text]


@pytest.mark.parametrize("text", BOTH)
def test_a_list_of_one_statement_stays_a_list(text: str) -> None:
    assert {("finish", "rinse", "A"), ("finish", "rinse", "B")} <= acts(text)


EVENTS = ["B rinsed, lunch at 9:30", "B rinsed and client called at 9:15", "enjuague la B y comimos a las 9:30"]


@pytest.mark.parametrize("text", EVENTS)
def test_the_clock_of_something_else_is_not_the_step_s(text: str) -> None:
    assert [a.get("at") for a in understand(text, LEXICON, NOW).acts if a.name == "finish"] in ([None], [])


CLOCKS = {
    "covered A 9:00 B 9:10 C 9:20": ["09:00", "09:10", "09:20"], "cubrimos A 9:00 B 9:10": ["09:00", "09:10"],
    "rinsed B 20 min ago C just now": ["09:40", None],
}  # fmt: skip


@pytest.mark.parametrize("text", CLOCKS)
def test_each_section_has_its_own_clock(text: str) -> None:
    found = [a.get("at") for a in understand(text, LEXICON, NOW).acts]
    assert [at and str(at)[-5:] for at in found] == CLOCKS[text]


LEFT_OUT = ["all rinsed but B", "B not all rinsed", "todo enjuagado, la B no", "everything rinsed but B"]


@pytest.mark.parametrize("text", LEFT_OUT)
def test_of_a_section_left_out_no_button_says_that_it_is_rinsed(text: str) -> None:
    read = understand(text, LEXICON, NOW)
    assert not [a for a in (*read.acts, *read.ask) if a.name == "finish" and {"B", "*"} & set(a.sections)]
