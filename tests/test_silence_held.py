"""Words that might silence a live alarm or a wet section's clock, and do not; (told one after the other)."""

from __future__ import annotations

from tests.conftest import Crew

CALM = ["false alarm", "im ok now", "all good", "stop", "cancel", "never mind", "scratch that", "ignore that", "undo that",
        "that was a joke", "no incident", "eye is fine now", "eye rinsed", "rinsed it, ok now", "rinsed", "falsa alarma",
        "ya estoy bien"]  # fmt: skip


def test_no_word_of_relief_silences_first_aid_or_wet_wood(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.says("Ana", "eye burning help")
    heron.later(3)
    for text in CALM:
        heron.says("Ana", text)
        for kind in ("incident", "rinse late"):
            assert heron.store.rows("select 1 from reminders where kind = ?", kind), text


HUSH = ["stop reminding me", "mute B", "quiet 9 to 17", "pings off", "stop B", "pause B", "hold 20 min",
        "lunch 30 min", "heading home", "skip B", "ignore B", "dont remind me of B", "B later"]  # fmt: skip


def test_no_word_of_the_crew_hushes_the_clock_of_wet_wood(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.later(3)
    sql = "select key, due from reminders where sections = '[\"B\"]' order by key"
    before = heron.store.rows(sql)
    for text in HUSH:
        heron.says("Ana", text)
        assert heron.store.rows(sql) == before, text


NOT_YET = ["B isn't rinsed yet", "about to rinse B", "did you rinse B", "B almost rinsed", "half of B rinsed",
           "B will be rinsed",
           "B needs to be rinsed", "rinse B", "B rinsed? no", "once B rinsed start A", "B not quite rinsed", "is B rinsed",
           "rinsed everything but B", "A rinsed not B", "rinsed A instead of B", "voy a enjuagar la B", "enjuaga la B",
           "la B casi enjuagada", "la B sin enjuagar", "todas enjuagadas menos la B"]  # fmt: skip


def test_what_is_not_rinsed_yet_keeps_its_clock(heron: Crew) -> None:
    heron.says("Ana", "started A")
    heron.says("Ana", "started B")
    heron.later(20)
    for text in NOT_YET:
        heron.says("Ana", text)
        assert heron.store.rows("select 1 from reminders where kind = 'rinse late' and sections = '[\"B\"]'"), text
