"""Manners towards the services, with a mock and with a server on this machine alone."""

import gzip
import threading
from collections.abc import Callable, Iterator
from dataclasses import replace
from http.server import BaseHTTPRequestHandler, HTTPServer

import httpx
import numpy as np
import pytest

from shivelight.basis.errors import (
    BadInputError,
    NotFoundError,
    ShivelightError,
    UnreadableFileError,
)
from shivelight.basis.places import Position
from shivelight.intake.fetch import Fetched, Line, UnreachableError, fetch_forecast
from shivelight.intake.forecast import read_forecast
from shivelight.intake.services import SERVICES, Service
from tests.intake.weather_files import payload

NOW = np.datetime64("2027-11-02T21:40:00", "us")
SPOT = Position(latitude_deg=53.0, longitude_deg=-5.123456789, ground_height_m=96.4)
CONTACT = "orla@wennick.example"
BODY = payload("metno_complete_from_documentation.json")
NORWAY_HEADERS = {
    "Date": "Tue, 02 Nov 2027 21:40:00 GMT",
    "Expires": "Tue, 02 Nov 2027 22:10:00 GMT",
    "Last-Modified": "Tue, 02 Nov 2027 21:31:07 GMT",
    "ETag": '"a1"',
    "Set-Cookie": "who=you",
}

Answers = Callable[[httpx.Request], httpx.Response]


class Desk:
    """A mock service that writes down what was asked and how long was waited."""

    def __init__(self, *answers: httpx.Response | Exception) -> None:
        self.left = list(answers)
        self.asked: list[httpx.Request] = []
        self.waits: list[float] = []

    def answer(self, request: httpx.Request) -> httpx.Response:
        self.asked.append(request)
        answer = self.left.pop(0)
        if isinstance(answer, Exception):
            raise answer
        return answer

    def fetch(
        self,
        service: str | Service = "met-norway",
        *,
        contact: str | None = CONTACT,
        cached: Fetched | None = None,
        now: np.datetime64 = NOW,
    ) -> Fetched:
        with httpx.Client(transport=httpx.MockTransport(self.answer)) as client:
            line = Line(client=client, sleep=self.waits.append)
            return fetch_forecast(
                service, SPOT, contact=contact, now_utc=now, cached=cached, line=line
            )


def good(**headers: str) -> httpx.Response:
    return httpx.Response(200, content=BODY, headers={**NORWAY_HEADERS, **headers})


def minutes(number: float) -> np.timedelta64:
    return np.timedelta64(round(number * 60), "s")


def test_the_caller_names_itself_and_the_place_with_four_decimals() -> None:
    desk = Desk(good())
    got = desk.fetch()
    request = desk.asked[0]
    assert request.headers["user-agent"].startswith("shivelight/")
    assert request.headers["user-agent"].endswith(f" {CONTACT}")
    assert "gzip" in request.headers["accept-encoding"]
    assert dict(request.url.params) == {"lat": "53", "lon": "-5.1235", "altitude": "96"}
    assert got.payload == BODY
    assert got.fetched_utc == NOW
    assert CONTACT not in got.url
    assert "set-cookie" not in got.headers
    assert read_forecast(got.payload, kind=got.kind).ground_height_m == 96.0


@pytest.mark.parametrize("name", ["open-meteo", "open-meteo-ensemble"])
def test_open_meteo_is_asked_in_utc_and_needs_no_contact(name: str) -> None:
    desk = Desk(httpx.Response(200, json={"hourly": {}}))
    got = desk.fetch(name, contact=None)
    params = desk.asked[0].url.params
    assert params["timezone"] == "GMT"
    assert "temperature_2m" in params["hourly"]
    assert params["latitude"] == "53"
    assert desk.asked[0].headers["user-agent"].startswith("shivelight/")
    assert got.kind == "openmeteo"


def test_met_norway_needs_a_contact() -> None:
    desk = Desk()
    with pytest.raises(BadInputError, match="give a contact"):
        desk.fetch(contact=None)
    assert desk.asked == []


@pytest.mark.parametrize(
    "contact", ["Orla", "a@b", "a b@c.de", "o@w.example\r\nX: y", "ö@w.example", "ftp://x.y"]
)
def test_a_contact_that_reaches_nobody_is_refused(contact: str) -> None:
    with pytest.raises(BadInputError, match="no mail address and no web page"):
        Desk().fetch(contact=contact)


def test_an_unknown_service_lists_the_known() -> None:
    with pytest.raises(NotFoundError, match="open-meteo, open-meteo-ensemble, met-norway"):
        Desk().fetch("oracle")


def test_nobody_is_asked_before_the_answer_expires() -> None:
    first = Desk(good()).fetch()
    desk = Desk()
    got = desk.fetch(cached=first, now=NOW + minutes(29.9))
    assert desk.asked == []
    assert got.payload == BODY
    assert got.not_modified
    assert not got.asked
    assert got.fetched_utc == NOW


def test_a_wrong_clock_here_does_not_shorten_or_lengthen_an_answers_life() -> None:
    ahead = NOW + minutes(600)
    first = Desk(good()).fetch(now=ahead)
    assert first.fresh_until(otherwise_s=0.0) == ahead + minutes(30)


def test_a_stored_answer_from_the_future_is_asked_about() -> None:
    first = Desk(good()).fetch(now=NOW + minutes(20))
    desk = Desk(good())
    assert desk.fetch(cached=first, now=NOW).asked
    assert len(desk.asked) == 1


def test_after_it_expires_only_what_changed_is_asked_for() -> None:
    first = Desk(good()).fetch()
    later = NOW + minutes(31)
    desk = Desk(httpx.Response(304, headers={"Expires": "Tue, 02 Nov 2027 22:45:00 GMT"}))
    got = desk.fetch(cached=first, now=later)
    assert desk.asked[0].headers["if-modified-since"] == NORWAY_HEADERS["Last-Modified"]
    assert desk.asked[0].headers["if-none-match"] == '"a1"'
    assert got.not_modified
    assert got.payload == BODY
    assert got.fetched_utc == later
    assert got.headers["expires"] == "Tue, 02 Nov 2027 22:45:00 GMT"
    assert got.headers["last-modified"] == NORWAY_HEADERS["Last-Modified"]


def test_a_stored_answer_for_another_place_is_not_used() -> None:
    first = replace(Desk(good()).fetch(), url="https://api.met.no/elsewhere")
    desk = Desk(good())
    got = desk.fetch(cached=first)
    assert "if-modified-since" not in desk.asked[0].headers
    assert not got.not_modified


def test_without_headers_an_answer_stays_fresh_for_a_quarter_of_an_hour() -> None:
    first = Desk(httpx.Response(200, content=b"{}")).fetch("open-meteo")
    assert not Desk().fetch("open-meteo", cached=first, now=NOW + minutes(14)).asked
    desk = Desk(httpx.Response(200, content=b"{}"))
    assert desk.fetch("open-meteo", cached=first, now=NOW + minutes(16)).asked


@pytest.mark.parametrize(
    ("headers", "life_s"),
    [
        ({"cache-control": "public, max-age=120"}, 120.0),
        ({"cache-control": "no-cache"}, 0.0),
        ({"expires": "0"}, 0.0),
        ({"expires": "Tue, 02 Nov 2027 21:45:00 GMT"}, 300.0),
        ({"expires": "Tue, 02 Nov 2027 21:00:00 GMT"}, 0.0),
        ({"cache-control": "max-age=99999999"}, 86_400.0),
        ({}, 77.0),
    ],
)
def test_the_life_of_an_answer_by_its_headers(headers: dict[str, str], life_s: float) -> None:
    answer = Fetched(
        service="x", kind="metno", url="u", payload=b"", headers=headers, fetched_utc=NOW
    )
    got = answer.fresh_until(otherwise_s=77.0) - NOW
    assert got / np.timedelta64(1, "s") == life_s


def test_waits_double_and_the_answer_after_them_is_taken() -> None:
    desk = Desk(
        httpx.Response(503), httpx.ReadTimeout("slow"), httpx.ConnectError("refused"), good()
    )
    assert desk.fetch().payload == BODY
    assert desk.waits == [1.0, 2.0, 4.0]


def test_the_wait_that_a_service_asks_for_is_kept() -> None:
    in_a_number = httpx.Response(429, headers={"Retry-After": "12"})
    as_a_date = httpx.Response(503, headers={"Retry-After": "Tue, 02 Nov 2027 21:40:20 GMT"})
    desk = Desk(in_a_number, as_a_date, good())
    assert desk.fetch().payload == BODY
    assert desk.waits == [12.0, 20.0]


def test_a_service_that_asks_for_a_long_wait_is_not_called_again() -> None:
    desk = Desk(httpx.Response(429, headers={"Retry-After": "600"}))
    with pytest.raises(UnreachableError, match="10 min of patience"):
        desk.fetch()
    assert desk.waits == []
    assert len(desk.asked) == 1


def test_patience_ends_after_four_calls() -> None:
    desk = Desk(*[httpx.Response(502)] * 4)
    with pytest.raises(UnreachableError, match="status 502"):
        desk.fetch()
    assert len(desk.asked) == 4
    assert desk.waits == [1.0, 2.0, 4.0]


def test_a_machine_without_a_network_is_told_so() -> None:
    desk = Desk(*[httpx.ConnectError("name resolution failed")] * 4)
    with pytest.raises(UnreachableError, match="offline"):
        desk.fetch()


def test_a_refusal_is_final_and_its_reason_passed_on() -> None:
    desk = Desk(httpx.Response(400, json={"error": True, "reason": "No such model."}))
    with pytest.raises(BadInputError, match=r"status 400 \(No such model\)"):
        desk.fetch("open-meteo")
    assert len(desk.asked) == 1


@pytest.mark.parametrize(
    ("status", "error"), [(403, BadInputError), (404, BadInputError), (304, UnreachableError)]
)
def test_other_statuses_are_no_forecast(status: int, error: type[ShivelightError]) -> None:
    with pytest.raises(error, match=f"status {status}"):
        Desk(httpx.Response(status, content=b"<html>")).fetch()


def test_an_old_version_is_noticed(caplog: pytest.LogCaptureFixture) -> None:
    got = Desk(httpx.Response(203, content=BODY)).fetch()
    assert "will end" in got.notice
    assert got.payload == BODY
    assert "will end" in caplog.text


def test_an_empty_answer_is_refused() -> None:
    with pytest.raises(UnreadableFileError, match="empty answer"):
        Desk(httpx.Response(200, content=b" ")).fetch()


def test_the_login_page_of_a_network_is_no_forecast() -> None:
    with pytest.raises(UnreachableError, match="wants a login"):
        Desk(httpx.Response(200, content=b"<html>Welcome</html>")).fetch()


def test_an_endless_answer_is_cut(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shivelight.intake.fetch.LARGEST_ANSWER_BYTES", 100)
    with pytest.raises(UnreadableFileError, match="too long"):
        Desk(good()).fetch()


class _Handler(BaseHTTPRequestHandler):
    """MET Norway's manners in small: gzip, 304 when nothing changed, one failure first."""

    calls = 0

    def do_GET(self) -> None:
        type(self).calls += 1
        if "@" not in (self.headers["User-Agent"] or ""):
            self.send_error(403)
        elif type(self).calls == 1:
            self.send_response(503)
            self.send_header("Retry-After", "0")
            self.send_header("Content-Length", "0")
            self.end_headers()
        elif self.headers["If-Modified-Since"] == NORWAY_HEADERS["Last-Modified"]:
            self.send_response(304)
            self.end_headers()
        else:
            body = gzip.compress(BODY)
            self.send_response(200)
            for name in ("Expires", "Last-Modified"):
                self.send_header(name, NORWAY_HEADERS[name])
            self.send_header("Content-Encoding", "gzip")
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

    def date_time_string(self, _: float | None = None) -> str:
        return NORWAY_HEADERS["Date"]

    def log_message(self, *_: object) -> None:
        """Keep quiet."""


@pytest.fixture
def local() -> Iterator[Service]:
    _Handler.calls = 0
    server = HTTPServer(("127.0.0.1", 0), _Handler)
    thread = threading.Thread(target=server.serve_forever, args=(0.02,), daemon=True)
    thread.start()
    yield replace(SERVICES["met-norway"], url=f"http://127.0.0.1:{server.server_port}/complete")
    server.shutdown()
    thread.join()
    server.server_close()


def test_against_a_server_on_this_machine(local: Service) -> None:
    waits: list[float] = []
    with httpx.Client(trust_env=False) as client:
        line = Line(client=client, sleep=waits.append, timeout_s=5.0)
        first = fetch_forecast(local, SPOT, contact=CONTACT, now_utc=NOW, line=line)
        assert first.payload == BODY
        assert waits == [1.0]
        later = NOW + minutes(40)
        again = fetch_forecast(
            local, SPOT, contact=CONTACT, now_utc=later, cached=first, line=line
        )
    assert again.not_modified
    assert again.fetched_utc == later
    assert _Handler.calls == 3


def test_a_closed_port_is_unreachable(local: Service) -> None:
    nowhere = replace(local, url="http://127.0.0.1:1/complete")
    line = Line(sleep=lambda _: None, tries=2, timeout_s=2.0)
    with pytest.raises(UnreachableError, match="go on with the last stored one"):
        fetch_forecast(nowhere, SPOT, contact=CONTACT, now_utc=NOW, line=line)
