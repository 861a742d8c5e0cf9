"""Every example of every family, read against all families; and what the tables refuse."""

from __future__ import annotations

import tomllib
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from bot.errors import Misconfigured
from bot.understand.lexicon import Lexicon, load
from bot.understand.reading import understand

HANDLERS = Path(__file__).parents[1] / "handlers"
NOW = datetime(2026, 6, 10, 10, 0, tzinfo=ZoneInfo("America/New_York"))
FAMILIES = sorted(f for f in HANDLERS.glob("*.toml") if not f.name.endswith(".say.toml"))


def _examples(kind: str) -> list[tuple[str, str, list[dict[str, Any]]]]:
    found = []
    for path in FAMILIES:
        for act, table in tomllib.loads(path.read_text(encoding="utf-8")).items():
            for example in table.get(kind, []) if act != "words" else []:
                found += [(act, text, example.get("acts", [])) for text in example["text"]]
    return found


HEARD, UNHEARD = _examples("heard"), _examples("unheard")


@pytest.fixture(scope="module")
def lexicon() -> Lexicon:
    return load(HANDLERS)


@pytest.mark.parametrize(("act", "text", "acts"), HEARD, ids=[f"{a}: {t}" for a, t, _ in HEARD])
def test_an_example_is_read_as_written_and_by_no_other_family(
    act: str, text: str, acts: list[dict[str, Any]], lexicon: Lexicon
) -> None:
    """The acts are those of the example, in order, with at least its slots."""
    reading = understand(text, lexicon, NOW)
    assert [a.name for a in reading.acts] == [a["act"] for a in acts]
    for got, want in zip(reading.acts, acts, strict=True):
        told = {k: v for k, v in want.items() if k not in ("act", "assumed", "missing")}
        assert {k: got.slots.get(k) for k in told} == told


@pytest.mark.parametrize(("act", "text", "acts"), UNHEARD, ids=[f"{a}: {t}" for a, t, _ in UNHEARD])
def test_what_must_not_be_heard_is_not(act: str, text: str, acts: list[dict[str, Any]], lexicon: Lexicon) -> None:
    """The family does not claim it, neither as said nor as asked."""
    reading = understand(text, lexicon, NOW)
    assert act not in [a.name for a in reading.acts]


CONTRACT = (
    "mix mixed start finish rewet check patch extend hold resume moisture ph conditions flow measure restock stock "
    "arrive leave incident client coat dry status timeline plan job survey set pace note undo amend help"
)


@pytest.mark.parametrize("act", CONTRACT.split())
def test_every_act_of_the_contract_has_examples_in_both_languages(act: str, lexicon: Lexicon) -> None:
    """Two examples at least; one in each language."""
    texts = [text for name, text, _ in HEARD if name == act]
    assert {understand(text, lexicon, NOW).language for text in texts} == {"en", "es"}


def test_a_new_command_needs_its_table_alone(tmp_path: Path) -> None:
    """A made-up act with its own verb, slots and needs is read in both languages, slips included."""
    (tmp_path / "sweeping.toml").write_text(
        '[sweep]\nslots = ["sections", "minutes", "at"]\nneeds = ["sections"]\n'
        '[sweep.words]\nen.verb = ["sweep"]\nes.verb = ["barrer"]\n[[sweep.rules]]\nhas = ["sweep:did"]\n',
        encoding="utf-8",
    )
    lexicon = load(tmp_path)
    assert understand("swept B 10 min ago", lexicon, NOW).acts[0].to_json() == {
        "act": "sweep", "sections": ["B"], "at": "2026-06-10T09:50",
    }  # fmt: skip
    assert understand("barrimos la C", lexicon, NOW).acts[0].sections == ("C",)
    assert understand("just swept", lexicon, NOW).acts[0].missing == ("sections",)
    assert understand("did you sweep B?", lexicon, NOW).chatter


@pytest.mark.parametrize(
    ("table", "problem"),
    [
        ('[sweep]\nslots = []\nsweeps = 1\n', "unknown keys"),
        ('[sweep]\n[[sweep.rules]]\nmood = "told"\n', "needs `has`"),
        ('[sweep]\n[[sweep.rules]]\nhas = ["x"]\nmood = "angry"\n', "mood"),
        ('[words.sweep]\nen.adverb = ["well"]\n', "unknown form"),
        ("[sweep", "sweep"),
    ],
)
def test_a_table_that_is_wrong_is_refused_at_start(table: str, problem: str, tmp_path: Path) -> None:
    """The owner is told which file and what is wrong in it."""
    (tmp_path / "sweeping.toml").write_text(table, encoding="utf-8")
    with pytest.raises(Misconfigured) as caught:
        load(tmp_path)
    assert "sweeping.toml" in str(caught.value) and (problem in str(caught.value) or problem == "sweep")


def test_twins_are_refused(tmp_path: Path) -> None:
    """Two families may not declare one act or one word."""
    for name in ("one", "two"):
        (tmp_path / f"{name}.toml").write_text("[sweep]\nslots = []\n", encoding="utf-8")
    with pytest.raises(Misconfigured, match="declared twice"):
        load(tmp_path)
