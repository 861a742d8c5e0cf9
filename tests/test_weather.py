"""The forecast against a loopback server that speaks the published form; off, down or odd, everything still works.

Form and units: the open service's own documentation of "ForecastJSON" (properties.timeseries[].data.instant.details,
next_1_hours.details.precipitation_amount) and of its terms (User-Agent, at most 4 decimals, Expires, If-Modified-Since).
"""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

import pytest

from bot import weather
from bot.weather import Forecasts, Watch
from tests.conftest import Crew

NINE = datetime(2026, 6, 10, 13, 0, tzinfo=UTC)  # 9:00 at the deck
UNITS = {
    "air_pressure_at_sea_level": "hPa", "air_temperature": "celsius", "cloud_area_fraction": "%",
    "precipitation_amount": "mm", "relative_humidity": "%", "wind_from_direction": "degrees", "wind_speed": "m/s",
}  # fmt: skip


def hour(at: datetime, temp: float = 24.0, humidity: float = 55.0, wind: float = 3.0, rain: float = 0.0) -> dict[str, Any]:
    """One hour as the service writes it."""
    details = {"air_pressure_at_sea_level": 1016.2, "air_temperature": temp, "cloud_area_fraction": 12.5,
               "relative_humidity": humidity, "wind_from_direction": 231.4, "wind_speed": wind}  # fmt: skip
    summary = {"symbol_code": "fair_day"}
    data = {"instant": {"details": details}, "next_12_hours": {"summary": summary, "details": {}},
            "next_1_hours": {"summary": summary, "details": {"precipitation_amount": rain}},
            "next_6_hours": {"summary": summary, "details": {"precipitation_amount": rain}}}  # fmt: skip
    return {"time": at.strftime("%Y-%m-%dT%H:%M:%SZ"), "data": data}


def answer(*hours: dict[str, Any], units: dict[str, str] | None = None) -> dict[str, Any]:
    """A whole answer."""
    meta = {"updated_at": "2026-06-10T12:31:02Z", "units": units or UNITS}
    return {"type": "Feature", "geometry": {"type": "Point", "coordinates": [-73.99, 40.72, 11]},
            "properties": {"meta": meta, "timeseries": list(hours)}}  # fmt: skip


class Service:
    """A loopback forecast: says what it is told to, and keeps what it was asked."""

    def __init__(self) -> None:
        self.asked: list[tuple[str, dict[str, str]]] = []
        self.status, self.headers = 200, {"Expires": "Wed, 10 Jun 2026 13:45:00 GMT"}
        self.body: bytes = b""
        self.say(*(hour(NINE + timedelta(hours=n)) for n in range(24)))
        self.server = ThreadingHTTPServer(("127.0.0.1", 0), self._handler())
        threading.Thread(target=self.server.serve_forever, args=(0.01,), daemon=True).start()
        self.url = f"http://127.0.0.1:{self.server.server_port}/locationforecast/2.0/compact"

    def say(self, *hours: dict[str, Any], **more: Any) -> None:
        """From now on this is the forecast."""
        self.body = json.dumps(answer(*hours, **more)).encode()

    def _handler(self) -> type[BaseHTTPRequestHandler]:
        service = self

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                service.asked.append((self.path, dict(self.headers)))
                self.send_response(service.status)
                for name, value in service.headers.items():
                    self.send_header(name, value)
                body = b"" if service.status == 304 else service.body
                self.send_header("Content-Length", str(len(body)))
                self.end_headers()
                self.wfile.write(body)

            def log_message(self, *args: Any) -> None:
                pass

        return Handler


@pytest.fixture
def service() -> Iterator[Service]:
    """A forecast that works."""
    made = Service()
    yield made
    made.server.shutdown()
    made.server.server_close()


@pytest.fixture
def sited(heron: Crew) -> Crew:
    """Heron Point, at a place."""
    place = {"latitude": 40.71834, "longitude": -73.98765}
    heron.played.desk.receive(heron.played._incoming("location", "Dana", "", data=place))
    heron.played.desk.work()
    list(heron.played._deliver())
    return heron


async def looked(crew: Crew, service: Service, forecasts: Forecasts | None = None) -> list[dict[str, Any]]:
    """One look at the jobs; gives what went out."""
    desk = crew.played.desk
    own = forecasts or Forecasts(service.url)
    await Watch(own, desk.ringing, desk.now).look()
    if forecasts is None:
        await own.close()
    return [x for x in crew.played._deliver() if "to" in x]


def told(crew: Crew) -> list[dict[str, Any]]:
    """The conditions on the timeline."""
    return [r["data"] for r in crew.standing() if r["kind"] == "conditions"]


# ---- the service


async def test_what_it_is_asked(sited: Crew, service: Service) -> None:
    """By the service's terms: a name, no more decimals than it wants, nothing else about anybody."""
    sited.says("Ana", "started B")
    await looked(sited, service)
    ((path, headers),) = service.asked
    assert path.startswith("/locationforecast/2.0/compact?") and "lat=40.718" in path and "lon=-73.988" in path
    assert path.count("=") == 2 and "Rinsebell" in headers["User-Agent"]


async def test_it_is_not_asked_again_before_it_expires(service: Service) -> None:
    forecasts = Forecasts(service.url)
    service.headers["Last-Modified"] = "Wed, 10 Jun 2026 12:31:02 GMT"
    for minutes in (0, 10, 44):
        assert await forecasts.at(40.7, -74.0, NINE + timedelta(minutes=minutes))
    assert len(service.asked) == 1
    service.status = 304
    assert await forecasts.at(40.7, -74.0, NINE + timedelta(minutes=46))
    assert service.asked[1][1]["If-Modified-Since"] == "Wed, 10 Jun 2026 12:31:02 GMT"
    await forecasts.close()


async def test_down_it_serves_what_it_had_and_then_nothing(service: Service) -> None:
    forecasts = Forecasts(service.url)
    assert await forecasts.at(40.7, -74.0, NINE)
    service.status = 503
    assert await forecasts.at(40.7, -74.0, NINE + timedelta(hours=2))
    assert await forecasts.at(40.7, -74.0, NINE + timedelta(hours=4)) == ()
    asked = len(service.asked)
    await forecasts.at(40.7, -74.0, NINE + timedelta(hours=4, minutes=1))
    assert len(service.asked) == asked, "a service that is down is left alone for a while"
    await forecasts.close()


@pytest.mark.parametrize(
    "body",
    [b"", b"not json", b"[]", b'{"properties": {}}', b'{"properties": {"timeseries": 7}}', b'{"properties": null}',
     json.dumps(answer(hour(NINE), units={**UNITS, "air_temperature": "fahrenheit"})).encode(),
     json.dumps(answer({"time": "soon", "data": {"instant": {"details": {}}}})).encode(),
     json.dumps(answer({"time": "2026-06-10T13:00:00", "data": {"instant": {"details": {}}}})).encode(),
     b"[" * 5000, b" " * (weather.LARGEST + 10)],
)  # fmt: skip
async def test_an_odd_answer_is_none(service: Service, body: bytes) -> None:
    """Another form, other units (a Fahrenheit taken for a Celsius would be a lie), or without end."""
    service.body = body
    forecasts = Forecasts(service.url)
    assert await forecasts.at(40.7, -74.0, NINE) == ()
    await forecasts.close()


async def test_a_redirect_or_a_page_is_none(service: Service) -> None:
    forecasts = Forecasts(service.url)
    for service.status in (301, 403, 429, 500):
        assert await forecasts.at(40.0 + service.status / 1000, -74.0, NINE) == ()
    await forecasts.close()


async def test_nobody_at_home() -> None:
    forecasts = Forecasts("http://127.0.0.1:9/compact")
    assert await forecasts.at(40.7, -74.0, NINE) == ()
    await forecasts.close()


def test_what_weather_cannot_be_is_not_told() -> None:
    (found,) = weather.read(answer(hour(NINE, temp=400.0, humidity=-3.0, wind=3.0)))
    assert (found.air_temp, found.humidity, found.wind) == (None, None, 3.0)


# ---- what it is used for


async def test_it_fills_what_nobody_told_and_says_so(sited: Crew, service: Service) -> None:
    sited.says("Ana", "started B")
    out = await looked(sited, service)
    assert told(sited) == [{"air_temp": {"value": 24.0, "unit": "C"}, "humidity": 55,
                            "wind": {"value": 10.8, "unit": "km/h"}, "source": "forecast"}]  # fmt: skip
    (said,) = [x for x in out if x["to"] == "Ana"]
    assert "forecast" in said["text"] and not said["loud"]
    assert await looked(sited, service) == [] and len(told(sited)) == 1, "said once, written once"


async def test_what_the_crew_tells_is_never_overwritten(sited: Crew, service: Service) -> None:
    sited.says("Ana", "started B")
    sited.says("Ana", "85 F, humidity 40")
    await looked(sited, service)
    w = sited.played.desk.shelf.job(1).weather
    assert w.air_temp.to("degF").magnitude == pytest.approx(85) and w.humidity == 40
    assert w.wind.to("meter/second").magnitude == pytest.approx(3.0) and w.foreseen == {"wind"}
    sited.says("Ana", "wind 12 mph")
    service.say(hour(NINE, wind=9.0))
    await looked(sited, service)
    assert sited.played.desk.shelf.job(1).weather.wind.to("mile/hour").magnitude == pytest.approx(12)


async def test_yesterdays_word_gives_way_today(sited: Crew, service: Service) -> None:
    sited.says("Ana", "85 F, humidity 40")
    service.say(*(hour(NINE + timedelta(hours=n), temp=12.0) for n in range(48)))
    sited.at("09:30", "2026-06-11")
    sited.says("Ana", "started B")
    await looked(sited, service)
    assert sited.played.desk.shelf.job(1).weather.air_temp.to("degC").magnitude == pytest.approx(12.0)


async def test_a_hot_dry_hour_mists_sooner(sited: Crew, service: Service) -> None:
    """The clock moves, and the new one is said (that heat, drought and wind dry faster: any evaporation equation)."""
    sited.says("Ana", "started B")
    service.say(hour(NINE, temp=38.0, humidity=12.0, wind=8.0))
    out = await looked(sited, service)
    assert any("mist by" in x["text"] for x in out if x["to"] == "Ana")


@pytest.mark.parametrize(("rain", "words"), [(0.5, "light rain"), (4.0, "rain from"), (12.0, "HEAVY rain")])
async def test_rain_inside_the_window_is_loud_and_said_once(sited: Crew, service: Service, rain: float, words: str) -> None:
    """2.5 and 7.6 mm an hour: glossary of the AMS, "rain"."""
    sited.says("Ana", "started B")
    service.say(hour(NINE, rain=rain))
    out = await looked(sited, service)
    (crew,) = [x for x in out if x["to"] == "Ana" and x["loud"]]
    assert words in crew["text"] and "B" in crew["text"] and [x for x in out if x["to"] == "Dana"]
    assert not [x for x in await looked(sited, service) if x["loud"]]


async def test_rain_after_the_window_or_on_dry_wood_is_no_news(sited: Crew, service: Service) -> None:
    service.say(hour(NINE), *(hour(NINE + timedelta(hours=n), rain=3.0) for n in range(2, 6)))
    sited.says("Ana", "on site")
    assert not [x for x in await looked(sited, service) if x["loud"]]
    sited.says("Ana", "started B")
    assert not [x for x in await looked(sited, service) if x["loud"]]


async def test_a_place_where_nothing_goes_on_is_not_asked_for(sited: Crew, service: Service) -> None:
    sited.at("09:00", "2026-06-13")
    await looked(sited, service)
    assert service.asked == []


async def test_a_job_without_a_place_is_not_asked_for(heron: Crew, service: Service) -> None:
    heron.says("Ana", "started B")
    await looked(heron, service)
    assert service.asked == []


async def test_spanish(sited: Crew, service: Service) -> None:
    sited.says("Luis", "empecé la B")
    service.say(hour(NINE, rain=3.0))
    texts = "\n".join(x["text"] for x in await looked(sited, service) if x["to"] == "Luis")
    assert "pronóstico" in texts and "lluvia" in texts


async def test_down_the_crew_notices_nothing(sited: Crew, service: Service) -> None:
    service.status = 500
    sited.says("Ana", "started B")
    assert await looked(sited, service) == [] and told(sited) == []
    assert [x for x in sited.later(15) if x["kind"] == "reminder"]
