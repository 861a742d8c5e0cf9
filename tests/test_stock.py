"""Stock and money by message: bought, counted, used, short, priced side by side, and who may read it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from conftest import Crew, reply

from bot import costing
from bot.job import Job
from bot.shop import Shop
from bot.trade.units import Q

AT = datetime(2026, 6, 10, 12, 0, tzinfo=UTC)


def price(product: str, value: float, unit: str, cost: float, day: int = 0, **more: Any) -> dict[str, Any]:
    slot = "volume" if unit in ("gal", "L") else "mass"
    data = {"product": product, slot: {"value": value, "unit": unit}, "cost": cost}
    return {"kind": "restock", "at": AT + timedelta(days=day), "data": data, "undone": None, **more}


def batch(product: str, gallons: float, ounces: float, day: int = 0) -> dict[str, Any]:
    return {"kind": "mixed", "at": AT + timedelta(days=day), "told": AT, "person": 2, "sections": (),
            "data": {"product": product, "volume": {"value": gallons, "unit": "gal"},
                     "taken": {"value": ounces, "unit": "oz"}}}  # fmt: skip


def figures(out: list[dict[str, Any]], to: str) -> dict[str, Any]:
    found: dict[str, Any] = reply(out, to)["figures"]
    return found


# ---- the shelf


@pytest.mark.parametrize(
    ("who", "says", "left", "unit"),
    [
        ("Dana", ("bought 10 lb oxalic for 30",), 10, "lb"),
        ("Dana", ("bought 10 lb oxalic", "bought 5 lb oxalic"), 15, "lb"),
        (
            "Ana",
            ("bought 10 lb oxalic", "have 6 lb oxalic left"),
            6,
            "lb",
        ),  # a count replaces, it does not add
        ("Luis", ("compré 10 lb de oxálico", "quedan 4 lb de oxálico"), 4, "lb"),
    ],
)
def test_what_is_left(crew: Crew, who: str, says: tuple[str, ...], left: float, unit: str) -> None:
    for text in says:
        out = crew.says(who, text)
    got = figures(out, who)["left"]
    assert (got["value"], got["unit"]) == (pytest.approx(left), unit)


def test_a_batch_leaves_the_shelf_and_undo_brings_it_back(heron: Crew) -> None:
    """4 gal at 4 oz a gallon are 16 oz: 10 lb less 1 lb is 9 lb."""
    heron.says("Dana", "bought 10 lb oxalic for 30")
    heron.says("Ana", "mixed 4 gal brightener")
    assert Q(9, "lb").m_as("oz") == pytest.approx(_left(heron))
    heron.presses("Ana", "Undo")
    assert Q(10, "lb").m_as("oz") == pytest.approx(_left(heron))


def _left(crew: Crew) -> float:
    got = figures(crew.says("Dana", "how much oxalic is left"), "Dana")["left"]
    return float(Q(got["value"], got["unit"]).m_as("oz"))


def test_nothing_is_invented_where_nobody_counted(crew: Crew) -> None:
    out = reply(crew.says("Dana", "how much stripper is left"), "Dana")
    assert "nobody has counted" in out["text"] and out["figures"] == {}


def test_ready_made_is_not_poured_into_the_powder(crew: Crew) -> None:
    crew.says("Dana", "bought 10 lb stripper for 60")
    crew.says("Dana", "bought 5 gal stripper for 95")
    got = figures(crew.says("Dana", "how much stripper is left"), "Dana")
    assert got["stripper"] == {"value": 10.0, "unit": "lb"} and got["stripper ready"] == {
        "value": 5.0,
        "unit": "gal",
    }


def test_mix_left_in_the_bucket_is_no_powder(heron: Crew) -> None:
    heron.says("Dana", "bought 10 lb stripper")
    heron.says("Ana", "mixed 4 gal stripper")
    assert "1 gal of mixed stripper left over" in reply(heron.says("Ana", "1 gal stripper left over"))["text"]
    assert "Only 4 gal" in reply(heron.says("Ana", "9 gal stripper left over"))["text"]
    left = figures(heron.says("Dana", "how much stripper is left"), "Dana")["left"]
    assert Q(left["value"], left["unit"]).m_as("oz") == pytest.approx(160 - 4 * 6)


# ---- short of it, told once, to the owner


def test_the_owner_hears_when_the_open_jobs_need_more(heron: Crew) -> None:
    """192 + 120 + the stairs at 150 ft2 a gallon and a tenth over need more than 2 gal: more than 8 oz."""
    out = heron.says("Ana", "have 4 oz oxalic left")
    ping = [x for x in out if x["to"] == "Dana"]
    assert len(ping) == 1 and "runs short: 4 oz left" in ping[0]["text"] and "Heron Point" in ping[0]["text"]
    assert not [x for x in heron.says("Ana", "have 3 oz oxalic left") if x["to"] == "Dana"]  # known already


def test_mixing_for_what_is_to_be_done_is_no_shortage(heron: Crew) -> None:
    """What is in the bucket is needed no more: an empty shelf after the right batch alarms nobody."""
    heron.says("Dana", "bought 1 lb oxalic")
    assert not [x for x in heron.says("Ana", "mixed 4 gal brightener") if x["to"] == "Dana"]


def test_bags_to_buy_cover_what_is_short() -> None:
    """1000 ft2 / 100 x 1.1 = 11 gal at 6 oz are 66 oz; 6 oz are there, 60 oz short: two bags of 2 lb."""
    shop = Shop().after([price("stripper", 2, "lb", 12), {**price("stripper", 6, "oz", 1), "data": {
        "product": "stripper", "mass": {"value": 6, "unit": "oz"}, "counted": True}}])  # fmt: skip
    size = {"area": {"value": 1000, "unit": "ft2"}}
    job = Job(id=1, name="X").after(
        [{"kind": "measure", "at": AT, "told": AT, "person": 1, "sections": ("A",), "data": size}]
    )
    short = costing.shortage(shop, (job,), "stripper")
    assert short is not None and short.bags == 2
    assert short.need.m_as("oz") == pytest.approx(66) and short.left.m_as("oz") == pytest.approx(6)


@pytest.mark.parametrize(("spare", "short"), [(66.0, False), (65.9, True), (0.0, True)])
def test_short_only_below_the_need(spare: float, short: bool) -> None:
    shop = Shop().after([{"kind": "restock", "data": {"product": "stripper", "counted": True,
                                                      "mass": {"value": spare, "unit": "oz"}}}])  # fmt: skip
    size = {"area": {"value": 1000, "unit": "ft2"}}
    job = Job(id=1, name="X").after(
        [{"kind": "measure", "at": AT, "told": AT, "person": 1, "sections": ("A",), "data": size}]
    )
    assert (costing.shortage(shop, (job,), "stripper") is not None) == short


# ---- prices


def test_packs_side_by_side(crew: Crew) -> None:
    """At 4 oz a gallon 10 lb make 40 gal and 50 lb 200: 30 / 40 = 0.75, 110 / 200 = 0.55; 5 gal at 60 are 12 (by hand)."""
    crew.says("Dana", "bought 5 gal oxalic for 60")
    out = reply(crew.says("Dana", "compare oxalic 10 lb 30, 50 lb 110"), "Dana")
    assert [x.rsplit(" ", 1)[1] for x in out["text"].splitlines()[1:4]] == ["0.55", "0.75", "12.00"]
    assert "ready-made" in out["text"].splitlines()[3] and out["figures"]["cost_per_gallon"] == pytest.approx(
        0.55
    )


def test_a_new_price_of_the_same_pack_replaces_the_old(crew: Crew) -> None:
    crew.says("Dana", "bought 10 lb oxalic for 30")
    crew.later(5)
    crew.says("Dana", "bought 10 lb oxalic for 40")
    out = reply(crew.says("Dana", "compare oxalic prices"), "Dana")
    assert "1.00" in out["text"] and "0.75" not in out["text"]


def test_a_batch_is_priced_as_of_its_day() -> None:
    """16 oz of 160 oz: a tenth of what the pack cost that day."""
    told = costing.prices([price("brightener", 10, "lb", 30), price("brightener", 10, "lb", 50, day=2)])
    early, late = (Job(id=1).after([batch("brightener", 4, 16, day)]) for day in (1, 3))
    assert [costing.used(j, told)[0].cost for j in (early, late)] == [pytest.approx(3.0), pytest.approx(5.0)]


@pytest.mark.parametrize(
    ("rows", "cost"),
    [
        ([], None),  # no price: no cost, not nothing
        ([price("stripper", 10, "lb", 60)], None),  # another product's
        ([price("brightener", 1, "gal", 9)], None),  # a price by volume says nothing of powder
        ([price("brightener", 10, "lb", 30, undone=7)], None),  # taken back
        ([price("brightener", 10, "lb", 30, day=9)], 3.0),  # told afterwards: still the only price there is
    ],
)
def test_no_cost_is_made_up(rows: list[dict[str, Any]], cost: float | None) -> None:
    job = Job(id=1).after([batch("brightener", 4, 16, day=1)])
    assert costing.used(job, costing.prices(rows))[0].cost == (None if cost is None else pytest.approx(cost))


# ---- who may read it


def test_cost_of_a_job_is_the_owners(heron: Crew) -> None:
    """4 gal at 4 oz: 1 of 10 lb at 30 is 3. Ana 1 h 30 at 40 is 60."""
    heron.says("Dana", "bought 10 lb oxalic for 30")
    heron.says("Ana", "on site")
    heron.says("Ana", "mixed 4 gal brightener")
    heron.later(90)
    heron.says("Ana", "heading home")
    heron.says("Dana", "labor costs 40 an hour")
    out = reply(heron.says("Dana", "cost of job"), "Dana")
    assert out["figures"]["cost"] == pytest.approx(3.0) and out["figures"]["hours"]["value"] == pytest.approx(
        1.5
    )
    assert "60.00" in out["text"]
    for question in ("cost of job", "compare oxalic prices", "did we make money?"):
        assert "Only the owner" in reply(heron.says("Ana", question))["text"]


def test_the_crew_reads_no_price_under_what_it_bought(crew: Crew) -> None:
    assert "mixed gallon" in reply(crew.says("Dana", "bought 10 lb oxalic for 30"), "Dana")["text"]
    assert "mixed gallon" not in reply(crew.says("Ana", "bought 10 lb oxalic for 30"))["text"]


def in_group(crew: Crew, who: str, text: str) -> list[tuple[str, str]]:
    """A message in the crew's group; gives (chat, text) of what goes out."""
    desk = crew.played.desk
    with desk.store.turn():
        desk.store.db.execute(
            "insert or ignore into chats(chat, source, job, language, opened_by, state)"
            " values ('group', 'rehearsal', 1, 'en', 1, 'open')"
        )
    last = desk.store.row("select coalesce(max(id), 0) as id from outbox")
    desk.receive(crew.played._incoming("text", who, text, chat="group", private=False))
    desk.work()
    assert last is not None
    return [
        (r["chat"], r["text"])
        for r in desk.store.rows("select chat, text from outbox where id > ?", last["id"])
    ]


@pytest.mark.parametrize("question", ["cost of job", "how much oxalic is left", "what did we use", "compare oxalic prices",
                                      "did we make money on Heron Point", "how many hours did Ana do"])  # fmt: skip
def test_in_a_group_the_owners_figures_go_to_the_owner_alone(heron: Crew, question: str) -> None:
    heron.says("Dana", "bought 10 lb oxalic for 30")
    heron.says("Ana", "mixed 4 gal brightener")
    out = in_group(heron, "Dana", question)
    assert [text for chat, text in out if chat == "group"] == ["Sent to you in private."]
    assert len([chat for chat, _ in out if chat == "chat:Dana"]) == 1


def test_in_a_group_no_price_stands_under_a_purchase(heron: Crew) -> None:
    out = in_group(heron, "Dana", "bought 10 lb oxalic for 30")
    assert not [text for chat, text in out if chat == "group" and "0.75" in text]
    assert [text for chat, text in out if chat == "chat:Dana" and "0.75" in text]


def test_a_section_more_may_run_it_short(heron: Crew) -> None:
    heron.says("Dana", "have 2 lb stripper left")
    assert not [x for x in heron.says("Ana", "C 5x5 ft") if x["to"] == "Dana"]
    out = [x for x in heron.says("Ana", "D 30x30 ft") if x["to"] == "Dana"]
    assert len(out) == 1 and "stripper runs short: 2 lb left" in out[0]["text"]


def test_what_has_no_price_is_named(heron: Crew) -> None:
    heron.says("Ana", "mixed 4 gal brightener")
    out = reply(heron.says("Dana", "cost of job"), "Dana")
    assert "no price told: brightener" in out["text"] and "cost" not in out["figures"]
    assert "nobody said when they came" in out["text"]


def test_money_stands_on_no_gap(heron: Crew) -> None:
    out = reply(heron.says("Dana", "did we make money on Heron Point?"), "Dana")
    assert "cannot say" in out["text"] and "earned" not in out["figures"]
    for gap in ("what you charged", "what was mixed", "hours on site", "what an hour costs"):
        assert gap in out["text"]
    for text in (
        "charged 500",
        "labor costs 40 an hour",
        "bought 10 lb oxalic for 30",
        "mixed 4 gal brightener",
        "on site",
    ):
        heron.says("Dana", text)
    heron.later(120)
    heron.says("Dana", "heading home")
    out = reply(heron.says("Dana", "¿ganamos dinero con Heron Point?"), "Dana")
    assert out["figures"]["earned"] == pytest.approx(500 - 3 - 80)


def test_money_by_old_finish(crew: Crew) -> None:
    for text in (
        "new job Heron Point",
        "old finish is oil based stain",
        "new job Trial Row",
        "old finish is solid stain",
    ):
        crew.says("Dana", text)
    out = reply(crew.says("Dana", "did we make money on solvent-borne jobs?"), "Dana")
    assert "Heron Point" in out["text"] and "Trial Row" not in out["text"]
    assert (
        "No job is recorded with"
        in reply(crew.says("Dana", "did we make money on varnished jobs?"), "Dana")["text"]
    )
