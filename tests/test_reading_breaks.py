"""Messages that broke the reading."""

from __future__ import annotations

import pytest

from tests.conftest import Crew

TWICE = ["mix 4 oz/gal 6 oz/gal", "stripper 4 oz/gal 4 oz/gal", "bought oxalic $30 $5", "oil $5 $5"]


@pytest.mark.parametrize("text", TWICE)
def test_a_quantity_told_twice_is_read(heron: Crew, text: str) -> None:
    heron.says("Dana", text)
    assert not heron.store.rows("select fault from inbox where state = 'failed'")
