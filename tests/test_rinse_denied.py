"""A rinse that was taken down by mistake and denied at once: B's clock stayed stopped; each fails on 0677f99."""

from __future__ import annotations

import pytest

from tests.conftest import Crew
from tests.test_attack import words

DENIED = [
    "not B", "no not B", "no, not B", "B is still wet", "B is not rinsed", "B isnt rinsed", "no B isnt rinsed yet",
    "i didnt rinse B", "wrong, B still wet", "no la B no", "la B sigue mojada",
    "la B no esta enjuagada", "neither",
]  # fmt: skip


@pytest.mark.parametrize("text", DENIED, ids=range(len(DENIED)))
def test_a_rinse_denied_is_taken_back_or_asked_about(heron: Crew, text: str) -> None:
    """ "rinsed" was taken for B, whose bell rang last. "not B" -> "Taken back: B rinsed. Now: B rinsed"; "B is still
    wet" -> "Nothing written down", and nothing rang for B any more."""
    heron.says("Ana", "started A")
    heron.says("Ana", "started B")
    heron.later(20)
    heron.says("Ana", "rinsed")
    assert not heron.store.rows("select 1 from reminders where kind = 'rinse late' and sections = '[\"B\"]'")
    out = [x for x in heron.says("Ana", text) if x["to"] == "Ana"]
    stands = heron.store.rows("select 1 from reminders where kind = 'rinse late' and sections = '[\"B\"]'")
    asked = any(x["buttons"] and "B rinsed" not in x["text"] for x in out)
    assert stands or asked, words(out, "Ana")
