"""Take-off. Counts and areas worked by hand: worked_area.csv; here the properties and the questions."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.errors import Nonsense
from bot.trade import area
from bot.trade.units import Q

feet = st.floats(1, 200)


def ft(value: float) -> Q:
    return Q(value, "foot")


def inch(value: float) -> Q:
    return Q(value, "inch")


def ft2(taken: area.TakeOff) -> float:
    return taken.area.to("ft2").magnitude


@given(st.floats(5, 1000), st.floats(0.5, 6), st.floats(3, 6))
def test_no_four_inch_sphere_passes_and_no_baluster_too_many(run: float, wide: float, opening: float) -> None:
    got = area.balusters(inch(run), inch(wide), inch(opening))
    assert got.gap.magnitude < opening or (got.count == 0 and run < opening)
    if got.count > 1:
        fewer = got.count - 1
        assert (run - fewer * wide) / (fewer + 1) >= opening * (1 - 1e-6)


@given(st.floats(2, 200), st.floats(24, 48))
def test_a_rail_is_all_its_members(length: float, height: float) -> None:
    """Both faces of a balustrade come to 1.2 to 3 times length x height (from memory)."""
    taken = area.rail(ft(length), inch(height))
    assert ft2(taken) == pytest.approx(sum(part.magnitude for _, part in taken.parts))
    share = ft2(taken) / (length * height / 12)
    assert ("rail_unusual" in taken.ask) == (not 1.2 <= share <= 3)


def test_forty_two_feet_of_rail() -> None:
    taken = area.take_off("rail", length=ft(42), height=inch(36))
    parts = {name: part.magnitude for name, part in taken.parts}
    # 8 posts leave 476 in clear, 68 in a bay: 12 balusters each, by hand.
    assert parts["balusters"] == pytest.approx(7 * 12 * 1.5)
    assert parts["posts"] == pytest.approx(8 * 14 * 36 / 144)
    assert parts["rails"] == pytest.approx(2 * 10 * 476 / 144)
    assert parts["cap"] == pytest.approx(14 * 42 / 12)
    assert "posts_4x4_every_6ft" in taken.assumed
    assert taken.ask == ()
    assert ft2(area.take_off("rail", length=ft(42))) == pytest.approx(ft2(taken))
    assert "rail_36_high" in area.take_off("rail", length=ft(42)).assumed


@given(feet, feet)
def test_floor_is_length_times_width(length: float, width: float) -> None:
    assert ft2(area.floor(ft(length), ft(width))) == pytest.approx(length * width)
    assert ft2(area.floor(ft(length), ft(width), edges=True)) > length * width


@given(st.integers(1, 20), st.floats(30, 120))
def test_stairs_are_linear_in_steps(steps: int, width: float) -> None:
    one, all_of_them = (area.stairs(count, inch(width)) for count in (1, steps))
    assert ft2(all_of_them) == pytest.approx(steps * ft2(one))
    open_ones = area.stairs(steps, inch(width), closed=False)
    assert ft2(open_ones) < ft2(all_of_them)


def test_stringers_by_hand() -> None:
    """A step takes 12.652 in of 2x12, 142.3 in2, less a notch of 38.75 in2; two stringers, two faces."""
    stringers = dict(area.stairs(4, inch(36)).parts)["stringers"]
    assert stringers.magnitude == pytest.approx(4 * 2 * 2 * (142.33 - 38.75) / 144, rel=1e-3)


def test_open_stairs_say_nothing_of_risers() -> None:
    taken = area.stairs(5, ft(4), closed=False, stringers=0)
    assert [name for name, _ in taken.parts] == ["treads"]
    assert "risers_closed" not in taken.assumed


@given(feet, st.floats(1, 8))
def test_lattice_is_between_one_and_two_faces(length: float, height: float) -> None:
    share = ft2(area.lattice(ft(length), ft(height))) / (length * height)
    assert 1 < share < 2


@pytest.mark.parametrize(
    ("taken", "key"),
    [
        (area.rail(ft(10), inch(30)), "rail_low"),  # R312.1.2: at least 36 in
        (area.rail(ft(10), inch(72)), "rail_high"),
        (area.stairs(4, inch(36), riser=inch(8)), "riser_high"),  # R311.7.5.1: at most 7 3/4 in
        (area.stairs(4, inch(36), tread=inch(9)), "tread_short"),  # R311.7.5.2: at least 10 in
        (area.stairs(4, inch(30)), "stairs_narrow"),  # R311.7.1: 36 in
        (area.stairs(30, inch(36)), "stairs_many"),
        (area.floor(inch(14), ft(20)), "floor_narrow"),
        (area.floor(ft(140), ft(20)), "floor_long"),
        (area.told(Q(6000, "ft2")), "area_large"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_is_odd_is_asked_never_refused(taken: area.TakeOff, key: str) -> None:
    assert key in taken.ask


@pytest.mark.parametrize(
    ("surface", "given_slots", "missing"),
    [
        ("floor", {"length": ft(14)}, ("width",)),
        ("stairs", {"width": ft(4)}, ("count",)),
        ("rail", {}, ("length",)),
        ("wall", {}, ("length", "height")),
    ],
)
def test_what_is_missing_is_named(surface: str, given_slots: dict[str, Q], missing: tuple[str, ...]) -> None:
    with pytest.raises(Nonsense, match="measure_missing") as caught:
        area.take_off(surface, **given_slots)
    assert caught.value.values["slots"] == missing


@pytest.mark.parametrize("surface", sorted(area.SURFACES))
def test_every_surface_has_a_take_off(surface: str) -> None:
    taken = area.take_off(surface, ft(14), ft(4), ft(3), 5)
    assert ft2(taken) > 0
    assert area.take_off(surface, area=Q(100, "ft2")).area == Q(100, "ft2")


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: area.floor(ft(-14), ft(20)),
        lambda: area.floor(ft(14), Q(20, "lb")),
        lambda: area.floor(ft(14), ft(4), [(ft(14), ft(4))]),
        lambda: area.floor(ft(1400), ft(4)),
        lambda: area.rail(inch(6)),
        lambda: area.rail(ft(6), baluster_count=-1),
        lambda: area.stairs(0, ft(4)),
        lambda: area.stairs(5, ft(4), stringers=-1),
        lambda: area.skirt(ft(4), ft(1), faces=3),
        lambda: area.wall(ft(4), ft(4), [(ft(5), ft(4))]),
        lambda: area.take_off("moat", ft(4), ft(4)),
        lambda: area.told(Q(0, "ft2")),
    ],
)
def test_nonsense_has_a_name(wrong) -> None:
    with pytest.raises(Nonsense):
        wrong()
