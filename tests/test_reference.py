"""Each computation against its outside source, and the README's table against what is measured."""

import csv

import pytest

from tests.deviations import REFERENCE, Compared, everything, rows, table, written
from tests.deviations_worked import TOPICS

ALL = everything()
WORKED = [
    pytest.param(topic, row, id=f"{topic}: {row['case']}")
    for topic in TOPICS
    for row in rows(f"worked_{topic}.csv")
]


@pytest.mark.parametrize("one", ALL, ids=lambda one: f"{one.computation}, {one.source}")
def test_within_what_is_allowed(one: Compared) -> None:
    assert one.pairs
    assert one.largest <= one.allowed


@pytest.mark.parametrize(("topic", "row"), WORKED)
def test_worked_example(topic: str, row: dict[str, str]) -> None:
    ours, expected = float(TOPICS[topic][row["case"]]()), float(row["expected"])
    number, _, absolute = row["tolerance"].partition(" ")
    if absolute:
        assert abs(ours - expected) <= float(number)
    else:
        assert ours == pytest.approx(expected, rel=float(number), abs=0)


@pytest.mark.parametrize("topic", TOPICS)
def test_no_case_is_left_out(topic: str) -> None:
    assert sorted(TOPICS[topic]) == sorted(row["case"] for row in rows(f"worked_{topic}.csv"))


def test_the_readme_tells_what_is_measured() -> None:
    assert written() == table(), "write it anew: python -m tests.deviations"


@pytest.mark.parametrize("path", sorted(REFERENCE.glob("*.csv")), ids=lambda path: path.name)
def test_every_row_names_its_source(path) -> None:
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            assert row["source"].strip(), row
            assert None not in row, row
