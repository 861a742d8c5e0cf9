"""The pictures, point by point against the timeline rows that they are made from; expected moments are those rows."""

from __future__ import annotations

import io
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from jobfacts import ZONE, Facts, at, heron_point, q
from matplotlib.collections import Collection
from matplotlib.figure import Figure
from matplotlib.image import imread
from matplotlib.patches import Rectangle

from bot import chartdata, charts, drycharts
from bot.amounts import Reader
from bot.chartdata import DayChart, DryChart
from bot.job import Job
from bot.outcome import Line
from bot.shop import Shop
from bot.speech import Phrases, Speech

SPEECH = Speech(Phrases(Path(__file__).parent.parent / "handlers"))
NOON, EVENING = at("12:00"), at("18:00")
DAY = NOON.date()


def speak(language: str = "en", now: datetime = NOON) -> charts.Speak:
    def say(told: Line) -> str:
        return SPEECH.line(told, Reader(language, "us", now))

    return say


def chart_of(facts: Facts, now: datetime = EVENING) -> DayChart:
    rows = facts.standing()
    return chartdata.of_day(Job(id=1).after(rows), rows, now.date(), ZONE, now)


def row(facts: Facts, kind: str, section: str, step: str, nth: int = 0) -> datetime:
    """The moment of the nth such row, as the timeline has it."""
    found = [r for r in facts.standing() if r["kind"] == kind and section in r["sections"] and r["data"].get("step") == step]
    return found[nth]["at"]


PASSES = [
    ("A", "strip", 1, 0, "rinse"), ("B", "strip", 1, 0, "rinse"), ("rail", "strip", 1, 0, "rinse"),
    ("rail", "strip", 2, 1, "rinse"), ("A", "brighten", 1, 0, "final rinse"), ("B", "brighten", 1, 0, "final rinse"),
    ("stairs", "brighten", 1, 0, "final rinse"), ("rail", "brighten", 1, 0, "final rinse"),
]  # fmt: skip


@pytest.mark.parametrize(("section", "step", "number", "nth", "rinse"), PASSES)
def test_every_bar_starts_and_ends_where_its_rows_say(section, step, number, nth, rinse):
    facts = heron_point()
    bars = {b.kind: b for b in chart_of(facts).bars if (b.section, b.step, b.number) == (section, step, number)}
    t0, t1 = row(facts, "start", section, step, nth), row(facts, "finish", section, step, nth)
    begun, done = row(facts, "start", section, rinse, nth), row(facts, "finish", section, rinse, nth)
    assert (bars["spread"].start, bars["spread"].end) == (t0, t1)
    assert (bars["dwell"].start, bars["dwell"].end) == (t1, begun)
    assert (bars["rinse"].start, bars["rinse"].end) == (begun, done)
    assert not any(b.open for b in bars.values())


def test_a_rinse_of_which_only_the_end_was_told_has_no_length():
    stairs = [b for b in chart_of(heron_point()).bars if b.section == "stairs" and b.step == "strip"]
    assert [b.kind for b in stairs] == ["spread", "dwell"]
    assert stairs[1].end == at("11:24")


def test_there_are_no_more_bars_and_marks_than_rows():
    chart = chart_of(heron_point())
    assert len(chart.bars) == 9 * 3 - 1
    assert [(m.kind, m.section, m.at) for m in chart.marks] == [
        ("mist", "A", at("10:04")), ("check", "A", at("10:10")), ("late", "B", at("10:43"))]  # fmt: skip
    assert [n.at for n in chart.notes] == [at("7:20"), at("8:10"), at("8:31"), at("11:32"), at("14:05")]


def test_what_was_taken_back_and_other_days_are_not_in_it():
    facts = heron_point()
    facts.add("9:00", "start", "A", day="2026-06-11", step="strip", product="stripper")
    assert all(b.start.astimezone(ZONE).date() == DAY for b in chart_of(facts).bars)
    facts = Facts()
    facts.add("9:00", "measure", "A", area=q(10, "ft2"), undone=3)
    facts.add("9:05", "start", "A", step="strip", undone=3)
    assert chart_of(facts).empty


def test_what_still_stands_wet_runs_to_now_and_is_open():
    facts = Facts()
    facts.add("9:00", "measure", "A", area=q(100, "ft2"))
    facts.add("9:05", "start", "A", step="strip", product="stripper")
    (bar,) = chart_of(facts, at("9:17")).bars
    assert (bar.kind, bar.start, bar.end, bar.open) == ("dwell", at("9:05"), at("9:17"), True)


def test_a_reminder_that_rang_after_its_minute_is_marked_late():
    facts = heron_point()
    facts.add("10:09", "rang", "A", person=None, reminder="check", due=at("10:02").isoformat(), keys=["check:A"])
    facts.add("10:20", "rang", "A", person=None, reminder="check", due=at("10:20").isoformat(), keys=["check:A:2"])
    late = [(m.section, m.at, m.what) for m in chart_of(facts).marks if m.kind == "late"]
    assert late == [("A", at("10:09"), "check"), ("B", at("10:43"), "rinse late")]


def rectangles(figure: Figure) -> dict[str, Rectangle]:
    return {str(p.get_gid()): p for p in figure.axes[0].patches if p.get_gid() and isinstance(p, Rectangle)}


def test_drawn_bars_stand_where_the_rows_say():
    """7:00 is the top of this day's picture; a bar's height is real hours."""
    facts = heron_point()
    chart = chart_of(facts)
    drawn = rectangles(charts.day(chart, speak()))
    assert len(drawn) == len(chart.bars)
    top = at("7:00")
    for section, step, number, nth, rinse in PASSES:
        box = drawn[f"dwell:{section}:{step}:{number}"]
        t1, begun = row(facts, "finish", section, step, nth), row(facts, "start", section, rinse, nth)
        assert box.get_y() == pytest.approx((t1 - top) / timedelta(hours=1))
        assert box.get_y() + box.get_height() == pytest.approx((begun - top) / timedelta(hours=1))
        assert round(box.get_x() + box.get_width() / 2) == ["A", "B", "stairs", "rail"].index(section)


def test_drawn_marks_and_words_stand_where_the_rows_say():
    figure = charts.day(chart_of(heron_point()), speak())
    axes = figure.axes[0]
    mist = next(x for x in axes.lines if str(x.get_gid()).startswith("mist:A"))
    assert list(mist.get_ydata()) == pytest.approx([3 + 4 / 60] * 2)
    late = next(t for t in axes.texts if str(t.get_gid()).startswith("late:B"))
    assert late.get_position()[1] == pytest.approx(3 + 43 / 60)
    assert {t.get_text() for t in axes.texts} >= {"LATE", "9:50", "10:19", "1:10 pm", "pass 2"}
    assert [t.get_text() for t in axes.get_xticklabels()] == ["A", "B", "stairs", "rail"]
    shown = " ".join(t.get_text().replace("\n  ", "") for t in figure.texts)
    assert "boards 78 F" in shown and "4 gal brightener mixed" in shown and "INCIDENT" in shown and "2026" in shown


def test_late_words_never_cover_each_other():
    facts = heron_point()
    for minute in (46, 49, 52):
        due = at(f"10:{minute}").isoformat()
        facts.add(f"10:{minute}", "rang", "B", person=None, reminder="rinse late", due=due, keys=[f"late:{minute}"])
    axes = charts.day(chart_of(facts), speak()).axes[0]
    words = [t.get_position()[1] for t in axes.texts if t.get_text() == "LATE"]
    strokes = [x.get_ydata()[0] for x in axes.lines if str(x.get_gid()).startswith("late:B")]
    assert words == pytest.approx([3 + 43 / 60]) and strokes == pytest.approx([3 + m / 60 for m in (46, 49, 52)])


def test_time_runs_down():
    assert charts.day(chart_of(heron_point()), speak()).axes[0].yaxis_inverted()


def test_words_are_the_readers():
    figure = charts.day(chart_of(heron_point()), speak("es"))
    axes = figure.axes[0]
    assert "TARDE" in {t.get_text() for t in axes.texts}
    assert [t.get_text() for t in axes.get_xticklabels()] == ["A", "B", "escaleras", "baranda"]


def test_notes_never_overlap():
    facts = heron_point()
    for minute in range(8):
        facts.add(f"14:{10 + minute}", "conditions", air_temp=q(70 + minute, "F"), humidity=50, wind=q(5, "mph"), rain=False)
    figure = charts.day(chart_of(facts), speak())
    charts.png(figure)
    boxes = [t.get_window_extent() for t in figure.texts if str(t.get_gid()).startswith("note:")]
    assert len(boxes) == 13
    assert not any(a.overlaps(b) for i, a in enumerate(boxes) for b in boxes[i + 1 :])


def test_tones_tell_the_bars_apart_in_grey():
    """At least 0.12 of the way from black to white between neighbours that have no pattern of their own."""
    from matplotlib.colors import to_rgb

    plain = [sum(to_rgb(face)) / 3 for face, hatch in charts.LOOK.values() if not hatch]
    assert len(plain) == 2 and abs(plain[0] - plain[1]) > 0.12
    patterns = [hatch for (kind, _), (_, hatch) in charts.LOOK.items() if kind == "spread"]
    assert len(set(patterns)) == 2
    for face, _ in charts.LOOK.values():
        red, green, blue = to_rgb(face)
        assert max(red, green, blue) - min(red, green, blue) < 0.1


def test_it_is_a_png_that_a_phone_shows():
    picture = imread(io.BytesIO(charts.png(charts.day(chart_of(heron_point()), speak()))))
    height, width = picture.shape[:2]
    assert width == 1200 and width < height < 3 * width


# ---- drying


def drying(language: str = "en") -> tuple[DryChart, Figure]:
    facts = heron_point()
    for day, readings in (("11", [26, 24, 27]), ("12", [21, 20, 22]), ("13", [18, 17, 19])):
        facts.add("9:00", "moisture", "A", day=f"2026-06-{day}", readings=readings)
    facts.add("9:05", "moisture", "B", day="2026-06-11", readings=[24, 25])
    chart = chartdata.of_drying(Job(id=1).after(facts.standing()), Shop(), ZONE)
    return chart, drycharts.drying(chart, speak(language))


def test_readings_are_drawn_as_they_were_told():
    _, figure = drying()
    lines = {str(x.get_gid()): x for x in figure.axes[0].lines}
    for day, readings in ((11, [26, 24, 27]), (12, [21, 20, 22]), (13, [18, 17, 19])):
        moment = at("9:00", f"2026-06-{day}")
        drawn = next(x for name, x in lines.items() if name.startswith("spots:A:") and
                     abs(x.get_xdata()[0] - (day - 10 + 9 / 24)) < 1e-6)  # fmt: skip
        assert list(drawn.get_ydata()) == readings, moment


def test_target_band_and_curve_are_those_of_the_forecast():
    chart, figure = drying()
    axes, forecast = figure.axes[0], chart.curves[0].forecast
    lines = {str(x.get_gid()): x for x in axes.lines}
    assert set(lines["target:A"].get_ydata()) == {15.0}  # common practice; coating labels allow 15 to 20
    fitted = lines["fit:A"]
    left, right = fitted.get_ydata()[0], fitted.get_ydata()[-1]
    assert 23 < left < 28 and right < 15 < left  # through the first readings and under the target at the end
    first = at("0:00")
    band = next(p for p in (*axes.patches, *axes.collections) if p.get_gid() == "band:A")
    assert not isinstance(band, Collection)
    x = [band.get_x(), band.get_x() + band.get_width()] if isinstance(band, Rectangle) else band.get_path().vertices[:, 0]
    assert min(x) == pytest.approx((forecast.ready_low - first) / timedelta(days=1))
    assert max(x) == pytest.approx((forecast.ready_high - first) / timedelta(days=1))


def test_one_reading_draws_no_curve_and_says_what_it_rests_on():
    _, figure = drying()
    assert len(figure.axes) == 2
    assert not any(str(x.get_gid()).startswith("fit:") for x in figure.axes[1].lines)
    assert "common practice" in figure.axes[1].get_title(loc="left")
    assert "práctica común" in drying("es")[1].axes[1].get_title(loc="left")


def test_nothing_read_makes_no_curve():
    assert chartdata.of_drying(Job(id=1).after(heron_point().standing()), Shop(), ZONE).curves == ()
