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


DROPS = ["remove section stairs", "delete the stairs section", "quita la sección escaleras"]


@pytest.mark.parametrize("words", DROPS)
def test_a_section_told_twice_is_taken_out_and_undone(heron: Crew, words: str) -> None:
    assert "312 ft2" in text(heron.says("Dana", words))  # 12 x 16 + 10 x 12
    assert "stairs" not in text(heron.says("Dana", "status"))
    heron.says("Dana", "undo")
    assert "stairs" in text(heron.says("Dana", "status"))


def test_what_was_worked_is_taken_out_only_when_confirmed(heron: Crew) -> None:
    heron.says("Ana", "started B")
    assert "all the same" in text(heron.says("Dana", "remove section B"))
    assert "B:" in text(heron.says("Dana", "status"))
    assert "Only the owner" in text(heron.says("Ana", "remove section B"), "Ana")


RIGHT = [
    ("Ana's reading on B on wednesday was wrong, it was 15 15 16", "moisture", "15, 15, 16"),
    ("correct B moisture on Wednesday to 15 15 16", "moisture", "15, 15, 16"),
    ("corrige la humedad de la B del miércoles a 15 15 16", "moisture", "15, 15, 16"),
    ("A pH was 6 on wednesday, not 7", "ph", "pH 6"),
    ("el pH de la A el miércoles fue 6, no 7", "ph", "pH 6"),
    ("the second batch was 3 gal, not 2", "mixed", "3 gal"),
    ("la segunda mezcla fue de 3 gal, no 2", "mixed", "3 gal"),
]


@pytest.mark.parametrize(("words", "kind", "said"), RIGHT)
def test_a_fact_of_before_is_put_right(heron: Crew, words: str, kind: str, said: str) -> None:
    for told in ("B moisture 19 18 18", "A pH 7", "mixed 4 gal brightener", "mixed 2 gal brightener"):
        heron.says("Ana", told)
    before = [r for r in heron.standing() if r["kind"] == kind]
    heron.at("10:00", "2026-06-12")
    told = text(heron.says("Dana", words))
    assert "Corrected" in told and said in told
    after = [r for r in heron.standing() if r["kind"] == kind]
    assert len(after) == len(before)  # one taken back, one in its place


def test_a_correction_that_fits_none_or_several_changes_nothing(heron: Crew) -> None:
    heron.says("Ana", "B moisture 19 18 18")
    heron.says("Ana", "B moisture 17 16 16")
    before = heron.standing()
    assert "Several fit" in text(heron.says("Dana", "correct B moisture to 15 15 16"))
    assert "nothing was changed" in text(heron.says("Dana", "A pH was 6 on monday, not 7"))
    assert heron.standing() == before


def test_undo_says_which_setting_and_which_sum(heron: Crew) -> None:
    heron.says("Dana", "labor costs 40 an hour")
    assert "40.00" in text(heron.says("Dana", "undo"))
    heron.says("Dana", "bought 5 lb oxalic for 30")
    assert "5 lb brightener at 30.00" in text(heron.says("Dana", "undo"))


def test_the_owner_hears_once_that_a_section_is_dry(heron: Crew) -> None:
    first = heron.says("Ana", "B moisture 13 13 13")
    again = heron.says("Ana", "B moisture 12 12 12")
    heard = [[x for x in out if x["to"] == "Dana" and "ready to coat" in x["text"]] for out in (first, again)]
    assert [len(x) for x in heard] == [1, 0]


def test_the_day_shows_facts_first_and_counts_the_reminders(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.at("9:50")
    heron.says("Ana", "B rinsed")
    said = text(heron.says("Dana", "what happened today"))
    assert "OVER: B pass 1" in said and "reminders rang" in said and "rang:" not in said


@pytest.mark.parametrize("words", ["what is the meaning of the deck?", "who won the game last night?"])
def test_a_question_not_answered_offers_the_owners_list(heron: Crew, words: str) -> None:
    said = text(heron.says("Dana", words))
    assert "help owner" in said and "started B" not in said


def test_an_answer_by_button_keeps_the_words_that_were_asked_about(heron: Crew) -> None:
    heron.says("Ana", "started rinsing")
    heron.says("Ana", "rinsed")
    heron.presses("Ana", "B")
    words = [str(r.get("words") or "") for r in heron.store.rows("select words from entries where sections like '%B%'")]
    assert any("rins" in w and "[B]" in w for w in words), words


def test_the_owner_hears_the_answer_after_being_told_to_call(heron: Crew) -> None:
    heron.says("Ana", "started B")
    rang = heron.at("9:40")
    assert any("Call" in x["text"] and x["to"] == "Dana" for x in rang)
    heard = [x["text"] for x in heron.says("Ana", "rinsing B") if x["to"] == "Dana"]
    assert any("Ana answers for B" in x for x in heard), heard
    assert not any("answers for" in x["text"] for x in heron.says("Ana", "B rinsed"))


def test_a_bare_no_of_a_section_is_of_no_purchase(heron: Crew) -> None:
    heron.says("Dana", "bought 5 lb stripper for 45")
    heron.says("Ana", "coated A with 1 gal oil")
    assert "1.25 gal" in text(heron.says("Dana", "no, 1.25 gal oil on A"))
    assert sum(r["kind"] == "restock" for r in heron.standing()) == 1


@pytest.mark.parametrize("words", ["what do I need to buy", "qué hay que comprar"])
def test_what_to_buy_is_what_is_lacking(heron: Crew, words: str) -> None:
    assert "Nothing counted yet" in text(heron.says("Dana", words))
    heron.says("Dana", "bought 1 lb stripper for 9")
    assert "stripper" in text(heron.says("Dana", words))
