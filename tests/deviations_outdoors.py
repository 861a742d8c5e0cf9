"""Weather, wood and sun against their outside sources."""

import itertools
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import psychrolib

from bot.trade import drying, evaporation, fitting, psychrometrics, sun
from bot.trade.units import Q
from tests import outdoors
from tests.deviations import Compared, rows
from tests.outdoors import fahrenheit, mph

START = datetime(2026, 6, 10, 8, tzinfo=ZoneInfo("America/New_York"))
DATES = tuple(date(2026, month, 13) for month in range(1, 13))
WALLS = ((180, 10, 12), (0, 20, 10), (90, 18, 14), (270, 9, 16), (45, 25, 8), (225, 12, 20))


def compared() -> list[Compared]:
    """All of this topic."""
    return [*_emc(), *_evaporation(), _dew(), *_positions(), *_events(), _shade(), *_dry()]


def _emc() -> list[Compared]:
    table = [
        (float(row["temp_F"]), float(row["rh_percent"]), float(row["emc_percent"]))
        for row in rows("emc_table.csv")
    ]
    pairs = [(drying.emc(fahrenheit(t), r), told) for t, r, told in table]
    outside = [
        (drying.emc(fahrenheit(t), r), outdoors.simard(t, r))
        for t, r, _ in table
        if 40 <= t <= 100 and 20 <= r <= 90
    ]
    name, points = "equilibrium moisture", "% moisture"
    return [
        Compared(name, "Wood Handbook 2010, Table 4-2 (carried)", pairs, 0.08, points, False),
        Compared(name, "Simard 1968 in PSW-82, another formula", outside, 1.0, points, False),
    ]


def _rate(surface: float, air: float, percent: float, wind: float) -> float:
    found = evaporation.rate(fahrenheit(surface), fahrenheit(air), percent, mph(wind))
    return float(found.to("pound/foot**2/hour").magnitude)


def _evaporation() -> list[Compared]:
    told: dict[str, list[tuple[float, float]]] = {"nomograph": [], "table": [], "form": []}
    for row in rows("evaporation.csv"):
        ours = _rate(*(float(row[key]) for key in ("surface_F", "air_F", "rh_percent", "wind_mph")))
        told[row["kind"]].append((ours, float(row["lb_ft2_h"])))
    rounded, exact = [], []
    for s, a, r, v in itertools.product((15, 25, 40), (10, 25, 35), (20, 50, 80), (0, 10, 30)):
        theirs = outdoors.uno(s, a, r, v)
        if theirs > 0.05:
            ours = evaporation.rate(Q(s, "degC"), Q(a, "degC"), r, Q(v, "kilometer/hour"))
            kg = float(ours.to("kilogram/meter**2/hour").magnitude)
            rounded.append((kg, theirs))
            exact.append((kg, outdoors.converted(s, a, r, v)))
    name, lb = "evaporation", "lb/ft2/h"
    return [
        Compared(name, "example on the ACI 305R nomograph", told["nomograph"], 10),
        Compared(name, "table of Lerch 1957, from memory", told["table"], 0.04, lb, False),
        Compared(name, "US form worked elsewhere", told["form"], 0.5),
        Compared(name, "SI form, Uno 1998 (reads low)", rounded, 6),
        Compared(name, "exact SI conversion by an instrument maker", exact, 0.5),
    ]


def _dew() -> Compared:
    psychrolib.SetUnitSystem(psychrolib.SI)
    pairs = []
    for t, r in itertools.product((5, 10, 20, 25, 30, 35, 40), (20, 30, 50, 60, 80, 95)):
        theirs = psychrolib.GetTDewPointFromRelHum(t, r / 100)
        if theirs > 0:  # below freezing psychrolib gives the frost point
            pairs.append((float(psychrometrics.dew_point(Q(t, "degC"), r).magnitude), theirs))
    return Compared("dew point above freezing", "psychrolib (ASHRAE), run", pairs, 0.05, "K", False)


def _positions() -> list[Compared]:
    elevations, azimuths = [], []
    for row in rows("sun_positions.csv"):
        found = sun.position(float(row["lat"]), float(row["lon"]), datetime.fromisoformat(row["local_time"]))
        elevations.append((found.elevation, float(row["elevation"])))
        azimuths.append((found.azimuth, float(row["azimuth"])))
    others = []
    for _, lat, lon, zone in outdoors.SITES:
        for on, hour in itertools.product(DATES, (9, 12, 15)):
            t = datetime(on.year, on.month, on.day, hour, tzinfo=zone)
            others.append((sun.position(lat, lon, t).elevation, outdoors.sun_at(lat, lon, t)[0]))
    book = "skyfield DE421 and NREL example, stored"
    return [
        Compared("sun elevation", book, elevations, 0.05, "deg", False),
        Compared("sun azimuth", book, azimuths, 0.05, "deg", False),
        Compared("sun elevation", "ephem, run", others, 0.05, "deg", False),
    ]


def _seconds(pairs: list[tuple[datetime, datetime]]) -> list[tuple[float, float]]:
    return [(ours.timestamp(), theirs.timestamp()) for ours, theirs in pairs]


def _events() -> list[Compared]:
    stored, run = [], []
    for row in rows("sun_events.csv"):
        zone = ZoneInfo(row["zone"])
        whole = sun.day(float(row["lat"]), float(row["lon"]), date.fromisoformat(row["date"]), zone)
        ours = {"sunrise": whole.rise, "transit": whole.noon, "sunset": whole.set}[row["event"]]
        theirs = datetime.fromisoformat(f"{row['date']}T{row['local_time']}").replace(tzinfo=zone)
        assert ours is not None
        stored.append((ours, theirs))
    for _, lat, lon, zone in outdoors.SITES:
        for on in DATES:
            whole = sun.day(lat, lon, on, zone)
            assert whole.rise and whole.set
            run += list(zip((whole.rise, whole.set), outdoors.rise_and_set(lat, lon, on, zone), strict=True))
    return [
        Compared("sunrise, noon, sunset", "skyfield DE421, stored", _seconds(stored), 60, "s", False),
        Compared("sunrise, sunset", "ephem, run", _seconds(run), 60, "s", False),
    ]


def _shade() -> Compared:
    pairs = []
    for (_, lat, lon, zone), (facing, high, out) in itertools.product(outdoors.SITES, WALLS):
        for on in (DATES[2], DATES[5], DATES[11]):
            ours = sun.direct_sun_intervals(lat, lon, on, zone, facing, Q(high, "foot"), Q(out, "foot"))
            theirs = outdoors.shining(lat, lon, on, zone, facing, high, out)
            # A gleam shorter than the search step may be seen by one and not by the other.
            long = [span for span in theirs if span[1] - span[0] > timedelta(minutes=4)]
            mine = [span for span in ours if span[1] - span[0] > timedelta(minutes=4)]
            for span, judged in zip(mine, long, strict=True):
                pairs += [(a.timestamp() / 60, b.timestamp() / 60) for a, b in zip(span, judged, strict=True)]
    return Compared("direct sun beside a wall", "ephem and rays, run", pairs, 3, "min", False)


def _dry() -> list[Compared]:
    def readings(name: str) -> list[tuple[datetime, float]]:
        return [(START + timedelta(hours=float(r["hours"])), float(r["percent"])) for r in rows(name)]

    def ready(fitted: fitting.Fit, name: str, target: float) -> float:
        # Two points only: the time is never before the newest reading.
        return fitting.ready_hours(fitting.points_of(readings(name)[:2])[1], fitted, target)[0]

    exact = fitting.fit(readings("drying_exact.csv"), 12)
    noisy = fitting.fit(readings("drying_noisy.csv"), 12)
    found = [(exact.m0, 28), (exact.tau.magnitude, 30)]
    for target, hours in ((20, 20.794), (18, 29.425), (15, 50.219)):
        found.append((ready(exact, "drying_exact.csv", target), hours))
    others = [(noisy.m0, 28.236), (noisy.tau.magnitude, 29.536)]
    others.append((ready(noisy, "drying_noisy.csv", 15), 49.88))
    return [
        Compared("drying fit", "exact exponential", found, 0.05),
        Compared("drying fit", "scipy curve_fit on noisy readings", others, 0.5),
    ]
