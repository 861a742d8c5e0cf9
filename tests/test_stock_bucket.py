"""What is left in the bucket is asked for, not what stands on the shelf."""

from __future__ import annotations

import pytest

from tests.conftest import Crew, reply


@pytest.mark.parametrize("text", ["cuanto stripper queda en el balde", "cuanto nos sobro de stripper"])
def test_what_is_left_in_the_bucket_is_told_apart_from_the_shelf(heron: Crew, text: str) -> None:
    assert reply(heron.says("Luis", text), "Luis")["text"].startswith("Nada de decapante mezclado en este trabajo")
    heron.says("Luis", "mezclamos 2.5 gal de decapante")
    heron.says("Luis", "mezclamos 1 gal de decapante")
    heron.says("Luis", "mezclamos 1 gal de abrillantador")
    assert reply(heron.says("Luis", text), "Luis")["text"].startswith("3.5 gal de decapante mezclados en este trabajo")


def test_the_shelf_alone_is_asked_for_as_ever(heron: Crew) -> None:
    heron.says("Dana", "have 6 lb stripper left")
    heron.says("Ana", "mixed 1 gal of stripper")
    assert "mixed on this job" not in reply(heron.says("Ana", "how much stripper is left"))["text"]
    assert "mixed on this job" in reply(heron.says("Ana", "how much stripper is left in the bucket"))["text"]
