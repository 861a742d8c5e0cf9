"""Take-off: the wood that gets wet, from the few figures a crew calls out.

Dressed sizes are those of the American Softwood Lumber Standard (PS 20), from memory. The code
limits that raise a question come from the International Residential Code R312.1 (guards) and
R311.7 (stairs), 2018; local code may differ, so a finding asks and never refuses.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from bot.errors import Nonsense
from bot.trade.units import Q, not_negative, positive

Part = tuple[str, Q]
LONGEST = 12_000.0  # inches, 1000 ft
# Dressed cross-sections in inches.
TWO_BY_TWO, TWO_BY_FOUR, TWO_BY_SIX, FOUR_BY_FOUR = (1.5, 1.5), (1.5, 3.5), (1.5, 5.5), (3.5, 3.5)
TWO_BY_TWELVE = (1.5, 11.25)
DECK_BOARD, BOARD_GAP, BOARD_THICK = 5.5, 0.125, 1.0
GUARD_LEAST, GUARD_OPENING, GUARD_ASK_ABOVE = 36.0, 4.0, 48.0  # R312.1.2, R312.1.3; above is our question
POST_EVERY = 72.0  # common practice, no source
RISER_MOST, TREAD_LEAST, STAIR_LEAST = 7.75, 10.0, 36.0  # R311.7.5.1, R311.7.5.2, R311.7.1
RAIL_USUAL = (1.2, 3.0)  # both faces over length x height; from memory


@dataclass(frozen=True)
class TakeOff:
    """The wetted `area`, its `parts` by name, what was `assumed`, and questions worth asking."""

    area: Q
    parts: tuple[Part, ...]
    assumed: tuple[str, ...] = ()
    ask: tuple[str, ...] = ()


@dataclass(frozen=True)
class Balusters:
    """How many stand in a clear run, and the clear gap that is left between them."""

    count: int
    gap: Q


def _inches(length: Q, what: str) -> float:
    inches = positive(length, "inch", what)
    if inches > LONGEST:
        raise Nonsense("too_long", what=what, value=length)
    return inches


def _total(parts: Sequence[tuple[str, float]], assumed: Sequence[str], ask: Sequence[str]) -> TakeOff:
    """Square inches by part to a take-off in square feet; parts of nothing are left out."""
    told = tuple((name, Q(value / 144, "ft2")) for name, value in parts if value)
    area = sum(value for _, value in parts) / 144
    if area <= 0:
        raise Nonsense("area_not_positive", area=area)
    return TakeOff(Q(area, "ft2"), told, tuple(assumed), tuple(ask))


def _keys(**findings: bool) -> tuple[str, ...]:
    """The names of the findings that hold."""
    return tuple(key for key, found in findings.items() if found)


def floor(
    length: Q, width: Q, cutouts: Sequence[tuple[Q, Q]] = (), edges: bool = False, board: Q | None = None
) -> TakeOff:
    """A floor's face less its cut-outs; with `edges`, also the board edges where gaps are worked.

    12 x 16 ft is 192 ft2. Edges add 2 x thickness / face: 36 % on 5/4x6, so only when asked for.
    """
    long, wide = _inches(length, "length"), _inches(width, "width")
    out = sum(_inches(a, "cutout") * _inches(b, "cutout") for a, b in cutouts)
    face = long * wide - out
    if face <= 0:
        raise Nonsense("cutouts_exceed_floor", cutouts=Q(out / 144, "ft2"))
    width_of_board = DECK_BOARD if board is None else _inches(board, "board")
    edge = face * 2 * BOARD_THICK / width_of_board if edges else 0.0
    ask = _keys(floor_narrow=min(long, wide) < 36, floor_long=max(long, wide) > 1200)
    assumed = ("boards_5_4x6",) if edges and board is None else ()
    return _total((("floor", face), ("edges", edge)), assumed, ask)


def boards(width: Q, face: Q | None = None, gap: Q | None = None) -> int:
    """Boards across a width: 26 of 5 1/2 in with 1/8 in gaps across 12 ft."""
    across = _inches(width, "width")
    face_in = DECK_BOARD if face is None else _inches(face, "face")
    gap_in = BOARD_GAP if gap is None else not_negative(gap, "inch", "gap")
    return math.ceil((across + gap_in) / (face_in + gap_in) - 1e-9)


def balusters(run: Q, width: Q | None = None, opening: Q | None = None) -> Balusters:
    """The fewest balusters that leave every clear gap under the opening (4 in, R312.1.3)."""
    clear = _inches(run, "run")
    wide = TWO_BY_TWO[0] if width is None else _inches(width, "baluster")
    most = GUARD_OPENING if opening is None else _inches(opening, "opening")
    # (clear - n w) / (n + 1) < most, solved for n; the gap must be smaller, not equal.
    count = max(0, math.floor((clear - most) / (wide + most) + 1e-9) + 1) if clear >= most else 0
    return Balusters(count, Q((clear - count * wide) / (count + 1), "inch"))


def member(section: tuple[float, float], length: Q, count: int = 1) -> Q:
    """All four sides of `count` members of this dressed section (inches), without their ends."""
    return Q(2 * sum(section) * _inches(length, "length") * count / 144, "ft2")


def rail(
    length: Q, height: Q | None = None, cap: bool = True, post_count: int | None = None,
    baluster_count: int | None = None,
) -> TakeOff:  # fmt: skip
    """Both faces of every member of a railing: balusters, top and bottom rail, cap, posts.

    Assumed unless told: 36 in high, 2x2 balusters under 4 in apart over the whole height, 2x4 rails,
    2x6 cap, 4x4 posts at both ends and every 6 ft. Balusters at full height: never short.
    """
    long = _inches(length, "length")
    high = GUARD_LEAST if height is None else _inches(height, "height")
    posts_in = post_count if post_count is not None else math.ceil(long / POST_EVERY - 1e-9) + 1
    clear = long - posts_in * FOUR_BY_FOUR[0]
    if posts_in < 0 or clear <= 0 or (baluster_count is not None and baluster_count < 0):
        raise Nonsense("rail_too_short", length=length, posts=posts_in)
    bays = max(1, posts_in - 1)
    count = bays * balusters(Q(clear / bays, "inch")).count if baluster_count is None else baluster_count
    parts = (
        ("balusters", 2 * sum(TWO_BY_TWO) * high * count),
        ("rails", 2 * 2 * sum(TWO_BY_FOUR) * clear),
        ("cap", 2 * sum(TWO_BY_SIX) * long if cap else 0.0),
        ("posts", 2 * sum(FOUR_BY_FOUR) * high * posts_in),
    )
    share = sum(value for _, value in parts) / (long * high)
    ask = _keys(
        rail_low=high < GUARD_LEAST,
        rail_high=high > GUARD_ASK_ABOVE,
        rail_unusual=not RAIL_USUAL[0] <= share <= RAIL_USUAL[1],
    )
    return _total(parts, _rail_assumed(height, cap, post_count, baluster_count), ask)


def _rail_assumed(
    height: Q | None, cap: bool, post_count: int | None, baluster_count: int | None
) -> tuple[str, ...]:
    return _keys(
        rail_36_high=height is None,
        balusters_2x2=baluster_count is None,
        rails_2x4=True,
        cap_2x6=cap,
        posts_4x4_every_6ft=post_count is None,
    )


def posts(count: int, height: Q, side: Q | None = None, top: bool = True) -> TakeOff:
    """Square posts, four sides and the top end; 4x4 (3 1/2 in) unless a side is told."""
    _counted(count, "posts")
    wide = FOUR_BY_FOUR[0] if side is None else _inches(side, "side")
    sides = 4 * wide * _inches(height, "height") * count
    parts = (("posts", sides), ("ends", wide**2 * count if top else 0.0))
    return _total(parts, ("posts_4x4",) if side is None else (), ())


def cap(length: Q, width: Q | None = None, thickness: Q | None = None) -> TakeOff:
    """A flat cap over rails or posts: its four sides; 2x6 unless told."""
    wide = TWO_BY_SIX[1] if width is None else _inches(width, "width")
    thick = TWO_BY_SIX[0] if thickness is None else _inches(thickness, "thickness")
    assumed = ("cap_2x6",) if width is None else ()
    return _total((("cap", 2 * (wide + thick) * _inches(length, "length")),), assumed, ())


def stairs(
    steps: int, width: Q, tread: Q | None = None, riser: Q | None = None, closed: bool = True,
    stringers: int = 2,
) -> TakeOff:  # fmt: skip
    """Treads, risers and both faces of the stringers (2x12, less the notches).

    Assumed unless told: 10 in treads, closed risers of 7 3/4 in, two stringers. Four steps 36 in
    wide have 17.75 ft2 of treads and risers.
    """
    _counted(steps, "steps")
    wide = _inches(width, "width")
    deep = TREAD_LEAST if tread is None else _inches(tread, "tread")
    rise = RISER_MOST if riser is None else _inches(riser, "riser")
    if stringers < 0:
        raise Nonsense("negative", what="stringers", value=stringers)
    slope = math.hypot(deep, rise)
    # Each notch takes a triangle out of the 2x12: half its depth off the average width.
    stringer = slope * TWO_BY_TWELVE[1] - deep * rise / 2
    parts = (
        ("treads", steps * wide * deep),
        ("risers", steps * wide * rise if closed else 0.0),
        ("stringers", stringers * 2 * steps * max(0.0, stringer)),
    )
    ask = _keys(
        riser_high=rise > RISER_MOST,
        tread_short=deep < TREAD_LEAST,
        stairs_narrow=wide < STAIR_LEAST,
        stairs_many=steps > 20,
    )
    assumed = _keys(treads_10in=tread is None, risers_closed=closed, stringers_2x12=stringers > 0)
    return _total(parts, assumed, ask)


def risers(total_rise: Q) -> int:
    """Risers in a flight: total rise over 7 3/4 in at most (R311.7.5.1); 31 in takes 4."""
    return math.ceil(_inches(total_rise, "rise") / RISER_MOST - 1e-9)


def skirt(length: Q, height: Q, faces: int = 1) -> TakeOff:
    """Skirting boards, the outer face, or both when the back is reached."""
    if faces not in (1, 2):
        raise Nonsense("faces_impossible", faces=faces)
    face = _inches(length, "length") * _inches(height, "height")
    return _total((("skirt", face * faces),), (), _keys(skirt_high=_inches(height, "height") > 96))


def lattice(length: Q, height: Q, lath: Q | None = None, opening: Q | None = None) -> TakeOff:
    """Both faces and the edges of two crossing layers of laths, less what the crossings hide.

    Assumed unless told: 1 1/2 in laths, 1/4 in thick, 2 3/4 in apart: 1.40 times length x height.
    """
    wide = 1.5 if lath is None else _inches(lath, "lath")
    space = 2.75 if opening is None else _inches(opening, "opening")
    share = wide / (wide + space)
    hidden = share**2  # at a crossing one face of each layer lies on the other
    edges = 2 * 2 * 0.25 / (wide + space)
    face = _inches(length, "length") * _inches(height, "height")
    assumed = ("lattice_laths",) if lath is None or opening is None else ()
    return _total((("lattice", face * (4 * share - 2 * hidden)), ("edges", face * edges)), assumed, ())


def wall(length: Q, height: Q, openings: Sequence[tuple[Q, Q]] = ()) -> TakeOff:
    """A wall's face less doors and windows."""
    out = sum(_inches(a, "opening") * _inches(b, "opening") for a, b in openings)
    face = _inches(length, "length") * _inches(height, "height") - out
    if face <= 0:
        raise Nonsense("cutouts_exceed_wall", cutouts=Q(out / 144, "ft2"))
    return _total((("wall", face),), (), _keys(wall_high=_inches(height, "height") > 480))


def told(area: Q) -> TakeOff:
    """An area that the crew measured itself, taken as it is."""
    feet = positive(area, "ft2", "area")
    if feet > 100_000:
        raise Nonsense("area_impossible", area=area)
    return _total((("told", feet * 144),), (), _keys(area_large=feet > 5000))


def _counted(count: int, what: str) -> None:
    if isinstance(count, bool) or not isinstance(count, int) or not 1 <= count <= 1000:
        raise Nonsense("count_impossible", what=what, value=count)


# What each surface is measured by: its function, the slots it must have, those it may have.
SURFACES: Mapping[str, tuple[Callable[..., TakeOff], tuple[str, ...], tuple[str, ...]]] = {
    "floor": (floor, ("length", "width"), ()),
    "rail": (rail, ("length",), ("height",)),
    "stairs": (stairs, ("count", "width"), ()),
    "posts": (posts, ("count", "height"), ()),
    "skirt": (skirt, ("length", "height"), ()),
    "lattice": (lattice, ("length", "height"), ()),
    "wall": (wall, ("length", "height"), ()),
}


def take_off(
    surface: str, length: Q | None = None, width: Q | None = None, height: Q | None = None,
    count: int | None = None, area: Q | None = None,
) -> TakeOff:  # fmt: skip
    """The take-off of a `measure` act; Nonsense "measure_missing" names the slots still needed."""
    if area is not None:
        return told(area)
    if surface not in SURFACES:
        raise Nonsense("surface_unknown", surface=surface)
    made, needed, optional = SURFACES[surface]
    given = {"length": length, "width": width, "height": height, "count": count}
    missing = tuple(slot for slot in needed if given[slot] is None)
    if missing:
        raise Nonsense("measure_missing", surface=surface, slots=missing)
    return made(*(given[slot] for slot in needed + optional))
