"""Numbers that only look like smaller ones, moments that have not come: asked, never written down."""

from __future__ import annotations

import pytest

from tests.conftest import Crew

DOUBTFUL = [
    ("mix -4 gal brightener", "mix"), ("mix 1e9 gal brightener", "mix"), ("mixed -4 gal brightener", "mixed"),
    ("bought -5 lb stripper", "restock"), ("B moisture -3", "moisture"), ("pH 15 on B", "ph"), ("pH 15 on B", "moisture"),
    ("B rinsed in 20 minutes", "finish"), ("started B yesterday", "start"), ("ph -1 on B", "ph"),
    ("mix " + "9" * 400 + " gal brightener", "mix"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "kind"), DOUBTFUL, ids=range(len(DOUBTFUL)))
def test_nothing_false_is_written_down(heron: Crew, text: str, kind: str) -> None:
    heron.says("Ana", "started stairs")
    before = [r["kind"] for r in heron.standing()]
    out = heron.says("Dana", text)
    assert [r["kind"] for r in heron.standing()] == before
    assert all("powder" not in x["figures"] for x in out) and any(x["to"] == "Dana" for x in out)


def test_frost_in_celsius_is_a_number_below_nothing(heron: Crew) -> None:
    heron.says("Ana", "-5 C out")
    told = [r for r in heron.standing() if r["kind"] == "conditions"]
    assert not told or told[0]["data"]["air_temp"]["value"] == -5
