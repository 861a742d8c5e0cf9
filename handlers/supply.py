"""The water supply: a bucket and a watch, a washer's wish, a well or a tank; washer, hose, or stage it."""

from __future__ import annotations

from typing import Any

from bot.acts import Act
from bot.job import Job
from bot.outcome import Entry, Line, Outcome, Say, Turn, ask, handles, line, say
from bot.place import missing
from bot.trade import rounding, water
from bot.trade.units import Q, plain, quantity


@handles("flow")
def flow(act: Act, job: Job, turn: Turn) -> Outcome:
    """The water supply: a bucket and a watch, or told; a washer's wish; a well's store and what comes back."""
    if act.get("of") == "washer":
        return _washer(act, job, turn)
    if act.get("stored") and act.get("rate") and not act.get("recovery"):
        act = act.having(recovery=act.get("rate"), rate=None)  # "holds 100 gal and recovers 2 gal/min"
    well = {k: act.get(k) for k in ("stored", "recovery") if act.get(k) is not None}
    well |= {"of": act.get("of") or "well"} if well.get("stored") else {}
    rate = _rate(act)
    if rate is None and not well:
        return ask("flow_what", missing(act, *(s for s in ("volume", "seconds") if not act.get(s))))
    if rate is not None and not 0.05 <= rate.magnitude <= 100:
        return ask("flow_odd", act, rate=rate)
    data: dict[str, Any] = {k: act.get(k) for k in ("volume", "seconds") if act.get(k) is not None}
    data |= {"rate": plain(rate)} if rate is not None else {}
    data |= {"well": well} if well else {}
    entry = Entry("flow", data, (), turn.when(act))
    after = job.told([entry], turn)
    return Outcome((entry,), (_supply(after, turn, rate),))


def _rate(act: Act) -> Q | None:
    """Gallons a minute, told or from the time to fill a bucket."""
    rate, volume, seconds = act.quantity("rate"), act.quantity("volume"), act.get("seconds")
    if rate is None and (volume is None or not seconds):
        return None
    found = rate if rate is not None else water.flow(volume, Q(float(seconds or 0), "second"))  # type: ignore[arg-type]
    return found.to("gallon/minute")


def _washer(act: Act, job: Job, turn: Turn) -> Outcome:
    rate = _rate(act)
    if rate is None:
        return ask("washer_what", missing(act, "rate"))
    if not 0.5 <= rate.magnitude <= 50:
        return ask("flow_odd", act, rate=rate)
    entry = Entry("flow", {"of": "washer", "rate": plain(rate)}, (), turn.when(act))
    if job.flow is None:
        return Outcome((entry,), (say(line("washer_noted", rate=rate), line("flow_what")),))
    return Outcome((entry,), (_supply(job.told([entry], turn), turn, None),))


def _supply(job: Job, turn: Turn, told: Q | None) -> Say:
    """Washer, hose or stage it, with the minutes a rinse takes by section."""
    need = job.washer or water.WASHER
    tap = job.flow if job.flow is not None else told
    sizes = {s.name: s.area for s in job.sections.values() if s.area is not None}
    area = job.area() if sizes else None
    lasting, stored = _store(job, tap, need)
    found = water.judge(lasting, need, stored, area)
    pace = lasting if found.verdict == "hose" else need
    lines = [
        line("flow_noted", rate=rounding.to_flow(tap, turn.who.units).value) if tap is not None else None,
        _well(job),
        line(f"supply_{found.verdict}", need=need),
        _lasting(found),
        line("rinse_takes", area=area, time=found.rinse_minutes, water=water.rinse_water(area))
        if area is not None and found.rinse_minutes is not None
        else None,
        line("rinse_by_section", each=tuple(_rinse(n, a, pace) for n, a in sizes.items()))
        if len(sizes) > 1
        else None,
        line("supply_wait", wait=found.wait)
        if found.wait is not None and found.wait.magnitude >= 1
        else None,
    ]
    figures = {
        "supply": tap if tap is not None else lasting,
        "need": need,
        "lasts": found.lasts,
        "rinse_minutes": found.rinse_minutes,
    }
    return say(*lines, figures=figures)


def _store(job: Job, tap: Q | None, need: Q) -> tuple[Q, Q | None]:
    """What flows for good, and what is stored on top of it.

    A tank stands before the washer: the tap fills it. A well stands behind the tap: it adds nothing to a
    tap that is too slow, and gives for good no more than what comes back, which counts as nothing untold.
    """
    none = Q(0.0, "gallon/minute")
    stored, recovery = (quantity(x) if (x := job.well.get(k)) else None for k in ("stored", "recovery"))
    if stored is None and recovery is None:
        return (none if tap is None else tap), None
    if job.well.get("of") == "tank":
        return (none if tap is None else tap), stored
    if tap is not None and tap < need:
        return (tap if recovery is None else min(tap, recovery)), None
    return (none if recovery is None else recovery), stored


def _well(job: Job) -> Line | None:
    stored, recovery = (quantity(x) if (x := job.well.get(k)) else None for k in ("stored", "recovery"))
    if stored is None and recovery is None:
        return None
    if job.well.get("of") == "tank":
        return line("tank_noted", stored=stored)
    if stored is None or recovery is None:
        key = "well_no_recovery" if recovery is None else "well_no_store"
        return line(key, stored=stored, recovery=recovery)
    return line("well_noted", stored=stored, recovery=recovery)


def _lasting(found: water.Supply) -> Line | None:
    """How long a washer runs on the store."""
    if found.lasts is None:
        return None
    return line("supply_lasts", time=rounding.to_minutes(found.lasts, "down").value, need=found.need)


def _rinse(name: str, area: Q, pace: Q) -> Line:
    return line(
        "rinse_one", section=name, time=rounding.to_minutes(water.rinse_minutes(area, pace), "up").value
    )
