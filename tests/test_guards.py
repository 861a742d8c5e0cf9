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


OTHER_WORK = [
    "started sanding A", "started scraping the rail", "started sweeping B", "started painting stairs", "started prepping B",
    "started unloading at B", "started the washer on B", "started zorking B", "empezamos a lijar la A",
    "empece a raspar la B", "empezamos a preparar la B", "empezamos barriendo la A",
]  # fmt: skip


@pytest.mark.parametrize("text", OTHER_WORK)
def test_work_that_is_no_step_here_starts_no_stripper_clock(heron: Crew, text: str) -> None:
    """A bare "started B" means stripper; "started sanding B" does not."""
    before = len(heron.standing())
    out = heron.says("Ana", text)
    assert len(heron.standing()) == before and any(x["to"] == "Ana" for x in out)


BARE = ["started B", "started working on B", "empezamos a trabajar en la B", "started on B this morning"]


@pytest.mark.parametrize("text", BARE)
def test_a_bare_start_still_starts_the_stripper(heron: Crew, text: str) -> None:
    heron.says("Ana", text)
    (told,) = [r for r in heron.standing() if r["kind"] == "start"]
    assert told["data"]["step"] == "strip"


@pytest.mark.parametrize("text", ["did the patch let go in 8 min", "patch let go, 8 or 12 min"])
def test_a_patch_is_judged_by_a_plain_word_only(heron: Crew, text: str) -> None:
    """A question, or two figures at once (the longer was taken), set the dwell window of the whole deck."""
    heron.says("Dana", "house built 2015")
    heron.says("Dana", "wood is not treated")
    heron.says("Ana", text)
    assert not [r for r in heron.standing() if r["kind"] == "patch" and r["data"].get("minutes")]
