"""When a section of a job can be coated: what was told of its wood and its weather, put to the drying fit."""

from __future__ import annotations

from datetime import datetime

from bot.job import Job, Section
from bot.shop import Shop
from bot.trade import drying


def target(shop: Shop) -> float:
    """The moisture in % at which the finish may go on: its label's, else common practice."""
    oil = shop.product("oil")
    return oil.target if oil and oil.target else drying.TARGET


def washed(section: Section) -> datetime | None:
    """The last rinse that was told, from which the wood dries."""
    return section.done.get("final rinse") or section.done.get("rinse")


def of_section(job: Job, shop: Shop, section: Section) -> drying.Forecast:
    """The drying of one section towards the finish's target."""
    w = job.weather
    return drying.forecast(
        section.moisture, w.air_temp, w.humidity, target(shop), w.rained_at, washed(section)
    )
