"""Old coatings and old treated wood: nothing lifts them until the site has been told and, for lead, checked.

Sources: lead paint banned for homes in 1978 (40 CFR 745 subpart E), CCA residential use ended 2003 (EPA cancellation).
"""

from __future__ import annotations

import pytest

from tests.conftest import Crew, reply

TOUCHES = ["started B", "patch on B", "started patch on B with gel", "patch loose 10 min", "empece el parche en la B"]


def refusals(crew: Crew) -> list[str]:
    return [r["data"]["reason"] for r in crew.timeline() if r["kind"] == "refused"]


@pytest.mark.parametrize("text", TOUCHES)
def test_an_unchecked_coating_is_not_touched(heron: Crew, text: str) -> None:
    heron.says("Dana", "house built 1962, not treated")
    out = heron.says("Ana", text)
    assert reply(out)["loud"] and reply(out)["text"].startswith("NO.")
    assert refusals(heron) == ["lead_unchecked"]
    assert not [r for r in heron.standing() if r["kind"] in ("start", "patch")]


@pytest.mark.parametrize("text", TOUCHES)
def test_old_treated_wood_gets_no_stripper_not_even_a_patch(heron: Crew, text: str) -> None:
    heron.says("Dana", "house built 1999, treated pine")
    heron.says("Ana", text)
    assert refusals(heron) == ["old_treated_wood"]


def test_a_patch_on_an_untold_site_asks_once(heron: Crew) -> None:
    first = heron.says("Ana", "patch on A")
    again = heron.says("Ana", "patch on B")
    assert "year the house was built" in reply(first)["text"] and "year" not in reply(again)["text"]
