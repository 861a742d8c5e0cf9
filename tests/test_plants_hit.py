"""Product on somebody's plants is an incident in any words, and what is then done for them is told of it."""

from __future__ import annotations

import pytest
from conftest import Crew

HIT = [
    "cayo stripper en las plantas del vecino", "rapido el stripper se escurrio a los rosales del vecino",
    "stripper ran into her flower bed", "stripper ran into the flower beds", "some stripper landed in the neighbors garden",
    "stripper en los rosales", "stripper on the roses", "brightener on the hostas", "cayo stripper en la planta",
    "se me cayo stripper en las matas", "q le pasa a la planta si le cayo stripper", "the acid hit the lawn",
    "what happens to the plant if stripper got on it", "what do i do if stripper got on the plants",
    "stripper got on the plants",
    "plants got soaked with stripper", "las plantas están mojadas de decapante", "the roses are wet with stripper",
    "sprayed stripper on the bushes by accident", "se chorreo el stripper pal jardin", "stripper leaked into the hydrangeas",
]  # fmt: skip
NOT_HIT = [
    "keep stripper off the plants", "dont get stripper on the plants", "no dejes que caiga stripper en las plantas",
    "cuidado con el stripper y las plantas", "plants are covered so no stripper gets on them", "plants wet",
    "if stripper gets on the plants rinse them", "no stripper got on the plants", "plants wetted, starting stripper on A",
    "put the stripper bucket next to the plants", "mojamos las plantas antes del stripper",
    "mojé las plantas con agua", "plants not soaked with stripper",
    "almost got stripper on the roses",
    "mixed the stripper and watered the plants", "started stripper on A, plants are wet", "stripper on A",
]  # fmt: skip
TENDED = [
    "ya le echamos mucha agua a la planta", "plants are rinsed, they look ok", "i drenched it w the hose its prob fine",
    "hosed the roses down good", "ya mojamos bien los rosales", "las plantas se ven bien", "watered the bushes again",
]  # fmt: skip


def _incidents(crew: Crew) -> list[str]:
    return [r["data"].get("kind", "") for r in crew.standing() if r["kind"] == "incident"]


@pytest.mark.parametrize("text", HIT)
def test_product_on_plants_is_an_incident_and_no_wetting(heron: Crew, text: str) -> None:
    out = heron.says("Ana", text)
    assert _incidents(heron) == ["plant"], out[0]["text"]
    assert not [r for r in heron.standing() if r["kind"] in ("start", "finish")]
    assert not any("plants" in label or "plantas" in label for m in out for label in m.get("buttons") or ())


@pytest.mark.parametrize("text", NOT_HIT)
def test_what_is_to_be_kept_off_is_none(heron: Crew, text: str) -> None:
    heron.says("Ana", text)
    assert _incidents(heron) == []


@pytest.mark.parametrize("text", TENDED)
def test_what_is_done_for_them_is_told_of_the_incident(heron: Crew, text: str) -> None:
    heron.says("Ana", "started A")
    heron.says("Luis", "cayo stripper en las plantas del vecino")
    heron.later(3)
    out = heron.says("Ana", text)
    assert out[0]["text"].startswith("Written down, the owner hears.") and any(m["to"] == "Dana" for m in out)
    kinds = [(r["kind"], r["data"].get("step")) for r in heron.standing()]
    assert ("finish", "prewet") not in kinds and not any(k == "finish" for k, _ in kinds)


@pytest.mark.parametrize(("text", "kind"), [("misted A", "rewet"), ("A rinsed", "finish"), ("A 5 more minutes", "extend")])
def test_work_on_the_wood_goes_on_beside_it(heron: Crew, text: str, kind: str) -> None:
    heron.says("Ana", "started A")
    heron.says("Luis", "cayo stripper en las plantas del vecino")
    heron.later(5)
    heron.says("Ana", text)
    assert [r["sections"] for r in heron.standing() if r["kind"] == kind] == [["A"]]
