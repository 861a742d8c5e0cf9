"""A start told with an injury was swallowed by it, and a question made a patch; each fails on the code of 0677f99."""

from __future__ import annotations

import pytest

from tests.conftest import Crew
from tests.test_attack import words

WITH_AN_INJURY = ["started A but luis slipped", "starting A, luis fell", "luis fell, starting A",
                  "me arde el ojo, empece la A", "luis slipped, brightener on A", "i slipped, started A"]  # fmt: skip


@pytest.mark.parametrize("text", WITH_AN_INJURY)
def test_a_start_told_with_an_injury_keeps_its_clock(heron: Crew, text: str) -> None:
    """First aid was said; that product stands on A was dropped without a word, nothing rang ("started A, eye burning
    help" is written as both)."""
    out = heron.says("Ana", text)
    kinds = [r["kind"] for r in heron.standing()]
    assert "incident" in kinds
    assert "start" in kinds and heron.store.rows("select 1 from reminders where kind = 'rinse'"), words(out, "Ana")


@pytest.mark.parametrize("text", ["did the patch let go in 8 min", "patch let go, 8 or 12 min"])
def test_a_patch_is_judged_by_a_plain_word_only(heron: Crew, text: str) -> None:
    """A question, or two figures at once (the longer was taken), set the dwell window of the whole deck."""
    heron.says("Dana", "house built 2015")
    heron.says("Dana", "wood is not treated")
    heron.says("Ana", text)
    assert not [r for r in heron.standing() if r["kind"] == "patch" and r["data"].get("minutes")]
