"""What an owner asks and tells in passing: a name picks the job, a question writes nothing, oil leaves the shelf."""

from __future__ import annotations

from typing import Any

import pytest

from tests.conftest import Crew, reply


def text(out: list[dict[str, Any]], to: str = "Dana") -> str:
    return str(reply(out, to)["text"])


@pytest.fixture
def nook(crew: Crew) -> Crew:
    """Cedar Nook is closed, Wren Hill is open."""
    for words in (
        "new job Cedar Nook",
        "A 12x10 ft",
        "bought 10 lb stripper for 90",
        "close job",
        "new job Wren Hill",
    ):
        crew.says("Dana", words)
    return crew


ASKED = [
    "did Cedar Nook make money", "report for Cedar Nook", "cost of Cedar Nook", "hours on Cedar Nook",
    "status of Cedar Nook", "what happened at Cedar Nook", "¿ganamos dinero en Cedar Nook?", "cuánto costó Cedar Nook",
    "how did Cedar Nook go",
]  # fmt: skip


@pytest.mark.parametrize("words", ASKED)
def test_a_question_of_a_closed_job_is_answered_of_it_and_writes_nothing(nook: Crew, words: str) -> None:
    before = len(nook.timeline())
    assert "Cedar Nook" in text(nook.says("Dana", words))
    assert len(nook.timeline()) == before
    assert "Wren Hill" in text(nook.says("Dana", "status"))


@pytest.mark.parametrize(
    "words", ["did Cedar Nook make money", "report for Cedar Nook", "hours on Cedar Nook"]
)
def test_with_no_job_open_a_question_opens_none(nook: Crew, words: str) -> None:
    nook.says("Dana", "close job")
    jobs = nook.store.rows("select id from jobs")
    assert "Cedar Nook" in text(nook.says("Dana", words))
    assert nook.store.rows("select id from jobs") == jobs


@pytest.mark.parametrize(
    "words", ["section C stairs 6 steps 4 ft wide", "sección C escaleras 6 escalones 4 pies de ancho"]
)
def test_a_letter_and_a_surface_are_one_section(crew: Crew, words: str) -> None:
    crew.says("Dana", "new job Trial Row")
    crew.says("Dana", words)
    rows = [r for r in crew.standing() if r["kind"] == "measure"]
    assert [r["sections"] for r in rows] in ([["C"]], [("C",)], ["C"])


@pytest.mark.parametrize(
    "words", ["poured 2 gal of the ready-made stripper", "usamos 2 galones del decapante ya preparado"]
)
def test_what_came_ready_made_leaves_the_shelf(crew: Crew, words: str) -> None:
    crew.says("Dana", "new job Trial Row")
    crew.says("Dana", "bought 5 gal ready-made stripper for 140")
    crew.says("Ana", words)
    assert "3 gal ready-made stripper" in text(crew.says("Dana", "stock"))
    assert "56.00" in text(crew.says("Dana", "cost of the job"))  # 140 / 5 x 2


OIL = [
    ("coated A with 1 gal oil", "oil on B, 0.8 gal"),
    ("le di aceite a la A, 1 galón", "aceite en la B, 0.8 gal"),
]


@pytest.mark.parametrize(("first", "second"), OIL)
def test_oil_put_on_leaves_the_shelf_and_costs(heron: Crew, first: str, second: str) -> None:
    heron.says("Dana", "bought 5 gal oil for 200")
    heron.says("Ana", first)
    heron.says("Ana", second)
    assert "3.2" in text(heron.says("Dana", "stock"))  # 5 - 1 - 0.8
    assert "72.00" in text(heron.says("Dana", "cost of the job"))  # 1.8 x 40


def test_a_sum_names_what_is_not_recorded(heron: Crew) -> None:
    heron.says("Dana", "charged 900")
    heron.says("Dana", "labor costs 38 an hour")
    assert "How much oil" in text(heron.says("Ana", "coated B"), "Ana")
    said = text(heron.says("Dana", "did we make money"))
    assert "cannot say" in said and "how much oil went on B" in said
    heron.says("Ana", "oil on B, 0.8 gal")
    assert "how much oil" not in text(heron.says("Dana", "did we make money"))
    assert sum(r["kind"] == "finish" for r in heron.standing()) == 1


def test_a_coated_section_stays_coated(heron: Crew) -> None:
    heron.says("Ana", "coated B, 1 gal")
    for asked in ("status of B", "when can we coat B", "cuándo aceitamos la B"):
        assert "coated 9:00" in text(heron.says("Dana", asked)), asked


DAYS = ["what happened on 6/8", "what happened on monday", "what happened on june 8", "qué pasó el lunes"]


@pytest.mark.parametrize("words", DAYS)
def test_the_day_told_is_the_day_shown(heron: Crew, words: str) -> None:
    assert "6/8" in text(heron.says("Dana", words))


SETTINGS = [
    ("only tell me when something goes wrong", "trouble"), ("don't text me before 7 or after 9 pm", "21:00 to 7:00"),
    ("no pings after 8 pm", "20:00, and until when"), ("mute until monday", "only hours can be set"),
    ("pings", "Now you hear"), ("quiet", "No quiet hours now"), ("we pay 38 an hour", "38.00"),
    ("Luis doesn't work here any more", "Luis is out"), ("add Pedro", "Works once"), ("labor cost", "an hour"),
    ("help owner", "report"), ("help all", "help owner"), ("what have I bought", "No purchase"),
    ("is anything wet right now", "Nothing stands wet"), ("did anyone get hurt", "no incident"),
    ("is Ana on site", "said nothing"), ("is the job done", "To strip"), ("when can the client walk on it", "keep off"),
    ("how long did the whole job take", "Heron Point"), ("send the csv", "CSV"), ("export all", "CSV"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "said"), SETTINGS)
def test_the_owner_is_answered(heron: Crew, words: str, said: str) -> None:
    assert said in text(heron.says("Dana", words))
