"""Acid told to have come onto standing caustic: an incident with first aid of its own; a wish is refused, a plan is none."""

from __future__ import annotations

import pytest

from bot.understand.alarm import alarm
from bot.understand.clash import clash
from tests.conftest import Crew

MET = [
    "acid got on the stripper and its not good", "got acid on the stripper is that bad",
    "got acid on the stripper then it fizzed", "some acid got in the stripper i didnt see it",
    "got acid on the stripper and its fizzing", "help rico got acid on the stripper and its fizzing",
    "rico tipped the acid bucket onto the wet stripper on C edge it fizzed like crazy",
    "cayo acido sobre el decapante y esta burbujeando", "acid got on the stripper",
    "rico poured acid into the stripper", "spilled brightener on the wet stripper",
    "brightener splashed on the stripper and its spitting", "the acid bucket fell in the stripper",
    "knocked the brightener over onto the stripper, its steaming",
    "stripper dripped onto the brightener and its getting hot", "acid hit the stripper",
    "we got some oxalic on the caustic its bubbling up",
    "somebody dumped the brightener bucket in the stripper bucket",
    "I think the brightener ran into the stripper on B", "acid in the stripper and its boiling over",
    "the stripper and the acid are reacting", "se me cayo el acido en el decapante",
    "se derramo abrillantador encima del decapante", "le cayo acido al decapante y esta hirviendo",
    "al decapante le cayo acido", "salpico acido en la sosa y saca humo",
    "luis tiro el acido sobre el decapante mojado",
    "se nos fue el abrillantador sobre el decapante, esta echando vapor", "callo asido sobre el decapante",
    "se mezclo el acido con el decapante y burbujea", "luis le echo acido al decapante",
    "the new guy mixed acid with the stripper", "i put the brightener in the stripper bucket",
    "got acid on the stripper what do i do", "acid got into the stripper bucket, no idea how",
    "oh no acid on the stripper its smoking", "acid all over the wet stripper",
    "the stripper got acid on it and its foaming over", "the sprayer with acid leaked on the stripper on A",
    "hay acido en el decapante y esta caliente", "brightener drifted onto the stripper on B",
]  # fmt: skip
NOT_MET = [
    "put the brightener in the stripper bucket", "le echo acido a la sosa",
    "mezcla 2 gal de decapante con acido oxalico", "can i put acid on the stripper",
    "what happens if acid gets on the stripper", "careful not to get acid on the stripper",
    "never pour acid into stripper", "brightener on A, stripper on B", "started brightener on A and stripper on B",
    "got brightener and stripper on the truck", "mixed 3 gal stripper and 2 gal brightener",
    "rinsed the stripper off A then brightener on A", "put brightener on the stripped boards",
    "stripper on A is bubbling nicely, brightener mixed", "got acid in the truck with the stripper order",
    "no acid on the stripper", "we almost got acid on the stripper", "acid goes on after the stripper is off",
    "acid neutralizes the stripper", "got stripper on my arm and brightener ready",
    "ya pusimos decapante en la A y abrillantador en la B", "la A tiene decapante y la B acido",
    "no le eches acido al decapante", "que pasa si cae acido en el decapante", "brightener fizzed a little on A",
    "stripper is getting hot in the sun on A", "got the brightener on A, stripper still on B",
    "acid next to the stripper", "stripper bucket and acid bucket are full", "pour the acid into the stripper?",
    "ran out of stripper, got more brightener", "got brightener on B and stripper on C",
    "put acid on A where the stripper was", "start brightener after stripper",
    "poured the brightener into a clean stripper bucket", "did acid get on the stripper?",
    "B brightener 10 min, stripper rinsed", "luis is mixing stripper, ana on brightener",
    "gel on the rail and acid on the stairs",
]  # fmt: skip


@pytest.mark.parametrize("text", MET)
def test_it_is_heard_in_any_words(text: str) -> None:
    assert clash(text) and alarm(text) == "other"


@pytest.mark.parametrize("text", NOT_MET)
def test_a_wish_a_plan_or_a_batch_is_none(text: str) -> None:
    assert not clash(text)


@pytest.mark.parametrize(
    ("text", "word"),
    [("rico tipped the acid bucket onto the wet stripper on C, it fizzed like crazy", "BACK OFF NOW"),
     ("got acid on the stripper and its fizzing", "BACK OFF NOW"),
     ("cayo acido sobre el decapante y esta burbujeando", "ALÉJATE YA")],
)  # fmt: skip
def test_back_off_and_water_from_afar(heron: Crew, text: str, word: str) -> None:
    out = heron.says("Ana", text)
    own = next(x for x in out if x["to"] == "Ana" and x["loud"])
    assert own["text"].startswith(word) and ("from a distance" in own["text"] or "desde lejos" in own["text"])
    assert any(x["to"] == "Dana" and x["loud"] for x in out)
    assert [r["data"]["kind"] for r in heron.standing() if r["kind"] == "incident"] == ["other"]


def test_the_clock_of_the_wet_section_stands(heron: Crew) -> None:
    heron.says("Ana", "started stripper on A")
    heron.says("Ana", "acid got on the stripper on A and its spitting")
    assert heron.store.rows("select 1 from reminders where kind = 'rinse' and sections = '[\"A\"]'")


def test_somebody_hurt_goes_first(heron: Crew) -> None:
    out = heron.says("Ana", "acid got on the stripper and it spat in my eye")
    assert next(x for x in out if x["to"] == "Ana")["text"].startswith("FLUSH THE EYE")


@pytest.mark.parametrize("text", ["its stopped fizzing, i flooded it", "ya no burbujea", "no more smoke, all good"])
def test_how_it_is_after_it_is_kept(heron: Crew, text: str) -> None:
    heron.says("Ana", "got acid on the stripper and its fizzing")
    heron.says("Ana", text)
    assert [r["data"]["text"] for r in heron.standing() if r["kind"] == "note"] == [text]
