"""A step told of a share, of all but one section, or of another thing is no finished step of a section."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from bot.acts import Act
from bot.understand.lexicon import Lexicon, load
from bot.understand.reading import understand

NOW = datetime(2026, 6, 10, 10, 0, tzinfo=ZoneInfo("America/New_York"))
HANDLERS = Path(__file__).parent.parent / "handlers"
MOVED = ("finish", "rewet")


@pytest.fixture(scope="module")
def lexicon() -> Lexicon:
    """The words of the handlers."""
    return load(HANDLERS)


DENIED = [
    "not all rinsed", "the rest is not rinsed", "las otras no estan enjuagadas", "no todo esta enjuagado",
    "B not all rinsed", "not all of B is covered", "B not fully covered", "no toda la B esta cubierta",
    "nada de la B cubierto", "nothing on B is covered", "not all of B got final rinse", "el resto no esta enjuagado",
    "lo demas no esta enjuagado", "some arent rinsed", "the others arent rinsed", "B rinsed, not all of it",
    "B rinsed but not all", "enjuagamos la B pero no toda", "la B no del todo enjuagada", "la B enjuagada no del todo",
    "nothing on the stairs got misted", "not all of B was brightened", "nothing on B is brightened",
    "only some of B rinsed", "la B no quedo toda enjuagada", "very little of B is rinsed", "barely any of B covered",
    "la B enjuagada en partes", "B rinsed in spots", "B rinsed, kind of", "B rinsed, sorta",
]  # fmt: skip
LEFT_OUT = [
    "all rinsed but B", "all covered but B", "all rinsed but the stairs", "all final rinsed but B",
    "all misted but the stairs", "everything rinsed but B", "todo enjuagado, la B no", "todo enjuagado pero la B no",
    "everything rinsed only B left", "all rinsed just B to go", "all rinsed B missing", "whole deck but B rinsed",
    "whole deck rinsed but the stairs", "all rinsed bar the stairs", "all rinsed save B", "both rinsed except B",
    "all rinsed but one", "rinsed one of the two", "one of them is rinsed", "everything is covered but the rail",
    "everything is rinsed, B isnt", "all rinsed. B left", "todo cubierto, nomas falta la B",
    "todas enjuagadas pero falta la B", "todo enjuagado quitando la B", "todo cubierto fuera de las gradas",
    "we rinsed everything outside of B", "everything rinsed w/o B", "una de las dos enjuagada",
    "two of them are rinsed", "todo abrillantado pero la C no", "both rinsed but B still needs it",
    "all done rinsing but B", "acabamos de enjuagar todo menos la B", "all rinsed, forgot B",
    "ya todo cubierto, la C todavia no", "rinsed one", "rinsed one section", "one section is rinsed",
    "two sections rinsed", "half are rinsed", "most are rinsed", "una seccion enjuagada",
    "rinsed all the stairs but one", "rinsed everything on B but the edges", "one rinsed, one to go",
    "all rinsed but for B", "all rinsed with the exception of B", "all rinsed, waiting on B",
    "all rinsed, will do B later", "todo enjuagado, la B al rato", "rinsed the deck, not the stairs",
    "deck is rinsed but the stairs arent", "rinsed the lot bar B",
]  # fmt: skip
PIECES = [
    "rinsed two boards on B", "rinsed 10 ft of B", "covered the first 10 ft of B", "rinsed 3 treads on the stairs",
    "rinsed a corner of B", "just the edges of B rinsed", "B left side covered", "covered the left side of B",
    "B is rinsed on one side", "rinsed the top of B", "B right side rinsed", "rinsed a spot on B",
    "rinsed the test patch on B", "covered a patch on B", "enjuague un pedazo de la B", "enjuague una tabla de la B",
    "cubri un pedazo de la B", "B kinda rinsed", "B practically rinsed", "B bout rinsed", "B barely rinsed",
    "B two thirds rinsed", "B three quarters covered", "B far from rinsed", "B anything but rinsed", "B un rinsed",
    "rinsed 2 of 3", "rinsed a strip of B", "misted one corner of B", "brightened the left side of B",
    "got one row of B rinsed", "the far end of B is rinsed", "B rinsed on the left", "la B enjuagada de un lado",
    "el lado izquierdo de la B enjuagado", "dos tablas de la B enjuagadas", "enjuagamos 3 metros de la B",
    "la B practicamente enjuagada", "la B lejos de estar enjuagada", "la B dos tercios cubierta",
    "rinsed most boards on B", "2 de 3 enjuagadas", "a third of B is rinsed", "rinsed along the edge of B",
    "oiled a few boards on B", "cubri las primeras tres tablas de la B", "rociamos las orillas de la B",
    "B rinsed, missed a spot", "B rinsed, corner left", "la B enjuagada pero falta la orilla",
    "la B cubierta, me falto una esquina", "la B enjuagada, falta un pedazo",
]  # fmt: skip

AWAITED = [
    "B needs final rinse", "B needs its final rinse", "A and B need final rinse", "stairs need final rinse",
    "only final rinse left on B", "final rinse to do on B", "final rinse remains on B", "final rinse needed on B",
    "B due final rinse", "B ready final rinse", "B waiting final rinse", "time for final rinse on B",
    "B is on final rinse", "B in final rinse", "final rinse on B going", "la B va en el enjuague final",
    "B esta en el enjuague final", "queda el enjuague final de la B", "nomas queda el enjuague final de la B",
    "sigue el enjuague final en B", "luego enjuague final B", "B ocupa enjuague final", "B para enjuague final",
    "la B espera enjuague final", "before final rinse on B", "B before final rinse", "final rinse B then coat",
    "final rinse on B half", "final rinse water on B", "up to final rinse on B", "all B wants is the last rinse",
    "solo le falta el ultimo enjuague a la B", "getting water for final rinse on B", "still owe B a final rinse",
    "a la B le toca enjuague final", "no final rinse on B", "B still has its final rinse to go",
]  # fmt: skip
OTHER_THINGS = [
    "rinsed the tank by the stairs", "enjuague la manguera en la B", "rinsed his arm by the stairs",
    "stripper on B and gloves rinsed", "stripper on B, rinsed a spot on my arm", "B is covered in leaves",
    "stairs are covered in mud", "las gradas estan cubiertas de lodo", "B is covered with old paint",
    "C is covered by insurance", "I got B covered, you take C", "Luis has the rail covered",
    "i have the stairs covered", "B washed out", "B looks washed out", "stairs are coated in algae",
    "B is coated in ice", "oiled the gate hinges", "sealed the bucket on B", "stained B with coffee",
    "sun brightened up B", "B is covered in pollen", "the rail is covered with bird poop",
    "la B esta cubierta de hojas", "la C quedo cubierta de polvo", "B covered in water", "enjuague el rociador en la B",
    "we got you covered on B", "rail is coated with pollen", "stripper on B, cup rinsed",
    "stripper on B, rinsed the measuring cup", "B covered for the night", "covered B against the sun",
    "cubrimos la B por la lluvia",
]  # fmt: skip


@pytest.mark.parametrize("text", DENIED + LEFT_OUT + PIECES + AWAITED + OTHER_THINGS)
def test_a_share_is_no_finished_step(text: str, lexicon: Lexicon) -> None:
    """Nothing is written down as done; it may be asked about."""
    acts = understand(text, lexicon, NOW).acts
    assert not [a for a in acts if a.name in MOVED and "step" not in a.missing], acts


Said = tuple[str, str, str]
RINSED_A, RINSED_B = [("finish", "rinse", "A")], [("finish", "rinse", "B")]
STAYS: list[tuple[str, list[Said]]] = [
    ("rinsed B, not all of it came off", [*RINSED_B, ("check", "", "B")]),
    ("B not all off", [("check", "", "B")]),
    ("A is rinsed, the others arent", RINSED_A),
    ("la A enjuagada, las otras no", RINSED_A),
    ("A all rinsed but B still wet", RINSED_A),
    ("B all rinsed, C left", RINSED_B),
    ("all rinsed, B too", RINSED_B),
    ("rinsed everything", [("finish", "rinse", "*")]),
    ("all rinsed, no problem on B", [("finish", "rinse", "")]),
    ("all rinsed except B", []),
    ("rinsed B all the way to the house", RINSED_B),
    ("half of B is rinsed", []),
    ("B brightened just final rinse left", [("finish", "brighten", "B")]),
    ("B brightened now final rinse", [("finish", "brighten", "B")]),
    ("la B neutralizada, sigue enjuague final", [("finish", "brighten", "B")]),
    ("final rinse on B", [("finish", "final rinse", "B")]),
    ("B got its final rinse", [("finish", "final rinse", "B")]),
    ("final rinse done on B", [("finish", "final rinse", "B")]),
    ("B gets its final rinse now", [("start", "final rinse", "B")]),
    ("enjuague final en la B", [("finish", "final rinse", "B")]),
    ("every board on B covered", [("finish", "strip", "B")]),
    ("all the boards on B rinsed", RINSED_B),
    ("rinsed the rest of B", RINSED_B),
    ("rinsed B and the edges", RINSED_B),
    ("covered B to the edges", [("finish", "strip", "B")]),
    ("cubrimos la B de lado a lado", [("finish", "strip", "B")]),
    ("enjuagamos la B hasta la orilla", RINSED_B),
    ("covered B, bucket rinsed", [("finish", "strip", "B")]),
    ("B covered, sprayer rinsed", [("finish", "strip", "B")]),
    ("B covered, hose flushed", [("finish", "strip", "B")]),
    ("covered B, rinsing the buckets", [("finish", "strip", "B")]),
    ("cubri la B y enjuague el balde", [("finish", "strip", "B")]),
    ("B covered, eyes rinsed", [("finish", "strip", "B")]),
    ("la B cubierta y la manguera enjuagada", [("finish", "strip", "B")]),
    ("cubierta la B, enjuagando los baldes", [("finish", "strip", "B")]),
    ("covered B, rinsed the roller", [("finish", "strip", "B")]),
    ("got B covered, go to C", [("finish", "strip", "B")]),
    ("B covered with the roller", [("finish", "strip", "B")]),
    ("la B cubierta de decapante", [("finish", "strip", "B")]),
    ("la B cubierta de punta a punta", [("finish", "strip", "B")]),
    ("stairs are covered in stripper", [("finish", "strip", "stairs")]),
    ("got the stairs covered", [("finish", "strip", "stairs")]),
    ("I finally have the stairs covered", [("finish", "strip", "stairs")]),
    ("rinsed B with the hose", RINSED_B),
    ("rinsed B edge to edge", RINSED_B),
    ("hose is fixed, B rinsed", [("resume", "", ""), *RINSED_B]),
    ("all covered, B not loose yet", [("finish", "strip", "B"), ("check", "", "B")]),
    ("rinsed B and C, all good", [("finish", "rinse", "B,C")]),
    ("rinsed the last one", [("finish", "rinse", "")]),
    ("B rinsed, 2 gal left", RINSED_B),
    ("everything rinsed, moving to brightener on B", [("finish", "rinse", "*"), ("start", "brighten", "B")]),
    ("rinsed A, B left", RINSED_A),
    ("we got B and C covered", [("finish", "strip", "B,C")]),
    ("just did the final rinse on B", [("finish", "final rinse", "B")]),
    ("covered B, ladder hosed off", [("finish", "strip", "B")]),
    ("covered B, tarps rinsed", [("finish", "strip", "B")]),
    ("covered B, spilled a bit, rinsed it off", [("finish", "strip", "B")]),
    ("covered B before the rain", [("finish", "strip", "B")]),
    ("B soltando, la enjuague", [("check", "", "B"), ("finish", "rinse", "B")]),
    ("plants are soaked, rinsed B", [("finish", "prewet", ""), *RINSED_B]),
    ("spilled some brightener on C, rinsed B", [("incident", "", "C"), *RINSED_B]),
    ("A thru D rinsed but C", [("finish", "rinse", "A,B,D")]),
    ("A-D rinsed but not C", [("finish", "rinse", "A,B,D")]),
    ("rinsed A to D minus C", [("finish", "rinse", "A,B,D")]),
    ("rinsed A-D skipping C", [("finish", "rinse", "A,B,D")]),
    ("rinsed A B C D, not C", [("finish", "rinse", "A,B,D")]),
    ("enjuagamos de la A a la D menos la C", [("finish", "rinse", "A,B,D")]),
    ("rinsed all of B, C left", RINSED_B),
    ("rinsed B, not C", RINSED_B),
    ("misted B 2 times", [("rewet", "", "B")]),
]


def _said(act: Act) -> Said:
    return act.name, str(act.get("step") or ""), ",".join(act.sections)


def test_who_rinses_himself_rinses_no_section(lexicon: Lexicon) -> None:
    """What was rinsed after a burn is an arm, even where the section just covered is named before."""
    for text in ("cubri la B, me cayo en el brazo y me enjuague", "cubri la B, salpico la pared y la enjuague"):
        acts = understand(text, lexicon, NOW, cried=True).acts
        assert [a.get("step") for a in acts if a.name == "finish"] == ["strip"], acts


@pytest.mark.parametrize(("text", "acts"), STAYS, ids=[t for t, _ in STAYS])
def test_a_whole_is_heard_as_before(text: str, acts: list[Said], lexicon: Lexicon) -> None:
    """A plain statement beside such words stands, as the grammar alone reads it (`cried`)."""
    assert [_said(a) for a in understand(text, lexicon, NOW, cried=True).acts] == acts
