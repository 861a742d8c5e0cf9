"""What past jobs taught: offered, taken over only when the owner says so; and plan against what was."""

from __future__ import annotations

from typing import Any

from bot.acts import Act
from bot.comparing import compared, told
from bot.job import Job
from bot.learning import FEWEST, Learned, Sample, begun, learned
from bot.lookup import job_named
from bot.offering import STEPS, TAKEN, found, row, take
from bot.outcome import OWNER, Button, Entry, Line, Outcome, Turn, ask, handles, line, say
from bot.stocktaking import confidential

BY_PRODUCT = ("coverage", "dwell", "passes")
ORDER = ("coverage", "pace", "rinse_pace", "dwell", "passes", "drying", "cost", "hours")
MONEY = ("cost", "hours")


@handles("learned", needs_job=False)
def learned_(act: Act, job: Job, turn: Turn) -> Outcome:
    """What the last jobs say of a figure, a product, a surface, an old finish or a season, with spread and number."""
    samples = found(turn)
    figures_asked = (str(act.get("figure")),) if act.get("figure") else ORDER
    by = {k: str(act.get(k) or "") for k in ("surface", "finish", "season")}
    rows: list[Learned] = []
    for figure in figures_asked:
        rows += [
            x for p in _products(act, figure, samples) if (x := learned(samples, figure, p, **by)) is not None
        ]
    shown = [x for x in rows if turn.who.role == OWNER or x.figure not in MONEY]
    if not shown:
        return Outcome(replies=(say(_too_few(act, samples, figures_asked)),))
    lines = [row(x, turn.shop) for x in shown]
    few = line("learned_few") if any(x.few for x in shown) else None
    figures = _figures(shown[0]) if len(shown) == 1 else {}
    buttons = tuple(take(x) for x in shown if x.figure in TAKEN and not any(by.values()))[:3]
    said = say(_about(by), *lines, few, buttons=buttons if turn.who.role == OWNER else (), figures=figures)
    return confidential(turn, said) if turn.who.role == OWNER else Outcome(replies=(said,))


def _about(by: dict[str, str]) -> Line | None:
    kept = tuple(v for v in by.values() if v)
    return line("learned_about", what=kept) if kept else None


def _products(act: Act, figure: str, samples: tuple[Sample, ...]) -> tuple[str, ...]:
    if act.get("product"):
        return (str(act.get("product")),)
    if figure not in BY_PRODUCT:
        return ("",)
    return tuple(dict.fromkeys(s.product for s in samples if s.figure == figure and s.product))


def _too_few(act: Act, samples: tuple[Sample, ...], asked: tuple[str, ...]) -> Line:
    product = act.get("product")
    count = len({s.job for s in samples if s.figure in asked and (not product or s.product == product)})
    return line("learned_none", count=count, least=FEWEST)


def _figures(x: Learned) -> dict[str, Any]:
    return {x.figure: x.median, f"{x.figure}_low": x.low, f"{x.figure}_high": x.high, "jobs": len(x.jobs)}


@handles("use", needs_job=False)
def use(act: Act, job: Job, turn: Turn) -> Outcome:
    """The owner takes a learned figure into the book; never from one job, never a dwell (the label sets that)."""
    if turn.who.role != OWNER:
        return Outcome(replies=(say(line("owner_only")),))
    figure = str(act.get("figure") or "coverage")
    if figure not in TAKEN:
        return Outcome(replies=(say(line("learned_not_taken")),))
    product = str(act.get("product") or "")
    if figure == "coverage" and not product:
        names = tuple(dict.fromkeys(s.product for s in found(turn) if s.figure == figure and s.product))
        buttons = tuple(Button("product_label", act.having(product=p), {"product": p}) for p in names[:4])
        return ask("which_product", act, buttons)
    x = learned(found(turn), figure, product if figure == "coverage" else "")
    if x is None:
        return Outcome(replies=(say(_too_few(act, found(turn), (figure,))),))
    return Outcome((_entry(x, turn),), (say(line(f"taken_{figure}", product=product, value=round(x.median),
                                                 count=len(x.jobs)), figures=_figures(x)),))  # fmt: skip


def _entry(x: Learned, turn: Turn) -> Entry:
    if x.figure == "coverage":
        data: dict[str, Any] = {
            "product": x.product,
            "coverage": {"value": round(x.median, 1), "unit": "ft2/gal"},
        }
        kind = "set"
    else:
        data = {"step": STEPS[x.figure], "area": {"value": round(x.median, 1), "unit": "ft2"}, "minutes": 1}
        kind = "pace"
    return Entry(kind, {**data, "learned": list(x.jobs)}, (), turn.now, shop=True)


@handles("compare", needs_job=False)
def compare(act: Act, job: Job, turn: Turn) -> Outcome:
    """The two or three largest differences between the plan and what was, in words."""
    asked = job_named(act, turn) or (job if job.id else None)
    if asked is None:
        return Outcome(replies=(say(line("no_job")),))
    differ = compared(asked, turn)
    owner = turn.who.role == OWNER
    if not any(s.passes for s in asked.sections.values()):
        return Outcome(replies=(say(line("compare_nothing", job=asked.name)),))
    lines = told(differ, owner) or (line("compare_same"),)
    head = line("compare_head", job=asked.name, at=begun(asked))
    figures = {d.figure if not d.product else f"{d.figure}_{d.product}": {"planned": d.planned, "actual": d.actual}
               for d in differ if owner or d.figure != "cost"}  # fmt: skip
    said = say(head, *lines, figures=figures)
    return confidential(turn, said) if owner else Outcome(replies=(said,))
