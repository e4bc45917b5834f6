"""Opening the app: ports, home addresses, what is told, and that it stops when it is told to."""

import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest

from shivelight.basis.errors import BadInputError, MissingDataError, UnwritableError
from shivelight.cli.say.open_ import next_code, told
from shivelight.web.app import build_app
from shivelight.web.doors import Doors, home_addresses, is_of_home, open_doors
from shivelight.web.house import House
from shivelight.web.pairing import Pairing
from shivelight.web.serve import Opened, guarded, open_browser, opened
from shivelight.web.tokens import random_token, token_sha256
from shivelight.workbench.settings import Settings
from tests.cli.conftest import ran
from tests.web.live import finish

INSIDE_TOO = "127.0.0.2"
"""A second inside address, which stands for one of the home network."""


@pytest.fixture
def taken() -> Iterator[int]:
    """Listen on a port as somebody else would."""
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        yield int(other.getsockname()[1])


# Doors


def test_the_usual_port_is_taken_and_listens_at_once() -> None:
    with open_doors(18_117) as doors:
        assert 18_117 <= doors.port < 18_137
        assert doors.address == f"http://127.0.0.1:{doors.port}"
        assert doors.hosts == (f"127.0.0.1:{doors.port}", f"localhost:{doors.port}")
        assert doors.near_addresses == ()
        socket.create_connection(("127.0.0.1", doors.port), timeout=2).close()
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection(("127.0.0.1", doors.port), timeout=2)


def test_it_listens_on_no_other_address() -> None:
    with open_doors(18_117) as doors, pytest.raises(ConnectionRefusedError):
        socket.create_connection((INSIDE_TOO, doors.port), timeout=2)


def test_the_next_port_is_taken_when_the_usual_one_is(taken: int) -> None:
    with open_doors(taken) as doors:
        assert taken < doors.port < taken + 20


def test_a_port_that_is_asked_for_and_taken_is_refused(taken: int) -> None:
    with pytest.raises(UnwritableError, match=f"Port {taken} is taken.*--port N"):
        open_doors(8017, port=taken)


def test_a_row_of_taken_ports_is_refused(monkeypatch: pytest.MonkeyPatch, taken: int) -> None:
    monkeypatch.setattr("shivelight.web.doors.NEXT_PORTS", 1)
    with pytest.raises(UnwritableError, match="all taken; name a free one with --port N"):
        open_doors(taken)


def test_a_port_that_one_may_not_have_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    def bind(self: socket.socket, address: object) -> None:
        raise PermissionError

    monkeypatch.setattr(socket.socket, "bind", bind)
    with pytest.raises(UnwritableError, match="does not give you port 80; name one above 1024"):
        open_doors(8017, port=80)


def test_doors_on_the_home_network_share_the_port() -> None:
    with open_doors(18_117, near=(INSIDE_TOO,)) as doors:
        socket.create_connection((INSIDE_TOO, doors.port), timeout=2).close()
        socket.create_connection(("127.0.0.1", doors.port), timeout=2).close()
        assert doors.near_addresses == (f"http://{INSIDE_TOO}:{doors.port}",)
        assert f"{INSIDE_TOO}:{doors.port}" in doors.hosts


def test_a_port_that_is_taken_on_one_address_is_passed_over(taken: int) -> None:
    with socket.socket() as other:
        other.bind((INSIDE_TOO, taken + 1))
        other.listen()
        with open_doors(taken, near=(INSIDE_TOO,)) as doors:
            assert doors.port > taken + 1


def test_an_address_of_another_machine_is_refused() -> None:
    with pytest.raises(BadInputError, match=r"192\.0\.2\.77 is no address of this machine"):
        open_doors(18_117, near=("192.0.2.77",))


def test_an_address_of_six_is_written_in_brackets() -> None:
    doors = Doors(port=8017, sockets=(), near=("fd00::20",))
    assert doors.near_addresses == ("http://[fd00::20]:8017",)
    assert "[fd00::20]:8017" in doors.hosts


# Home addresses


def test_only_addresses_of_private_networks_are_of_home() -> None:
    # RFC 1918, section 3: 10/8, 172.16/12, 192.168/16. RFC 4193, section 3: fc00::/7.
    home = ["10.0.0.1", "172.16.0.1", "172.31.255.254", "192.168.7.20", "fd00::1"]
    assert [one for one in home if not is_of_home(one)] == []
    other = ["127.0.0.1", "0.0.0.0", "172.32.0.1", "192.169.0.1", "11.0.0.1", "169.254.1.1", "::",
             "::1", "fe80::1", "2001:db8::1", "fd00::1%eth0", "laptop.local", "", "10.0.0.0/8",
             "192.0.2.1"]  # fmt: skip
    assert [one for one in other if is_of_home(one)] == []


def test_each_home_address_is_found_once_in_order() -> None:
    found = ["203.0.113.9", "192.168.7.20", "127.0.1.1", "10.1.1.1", "192.168.7.20"]
    assert home_addresses(find=lambda: found) == ("192.168.7.20", "10.1.1.1")


def test_no_home_address_is_said_so() -> None:
    with pytest.raises(MissingDataError, match="no address on a home network"):
        home_addresses(find=lambda: ["127.0.0.1", "203.0.113.9"])


def test_an_address_that_is_asked_for_has_to_be_of_home() -> None:
    assert home_addresses("192.168.7.20") == ("192.168.7.20",)
    for wrong in ("0.0.0.0", "203.0.113.9", "::", "laptop", "127.0.0.1"):
        with pytest.raises(BadInputError, match="no single address of a home network"):
            home_addresses(wrong)


def test_looking_for_addresses_works_on_this_machine_whatever_it_has() -> None:
    try:
        found = home_addresses()
    except MissingDataError as why:
        pytest.skip(str(why))
    assert all(is_of_home(one) for one in found)
    open_doors(18_117, near=found).close()


# What is told


def _told(near: tuple[str, ...] = ()) -> Opened:
    doors = Doors(port=8017, sockets=(), near=near)
    desk = Pairing(doors.near_addresses[0], choose=lambda: "ABCDEFGH") if near else None
    return opened(doors, desk, Settings(book="book.sqlite"), is_new=not near)


def test_the_address_and_the_way_to_stop_are_told() -> None:
    text = told(_told(), 80)
    assert "http://127.0.0.1:8017" in text
    assert "book.sqlite, begun just now" in text
    assert "Ctrl+C" in text
    assert "home network" not in text


def test_a_phone_is_told_the_code_and_a_caution() -> None:
    text = told(_told(("192.168.7.20", "10.1.1.1")), 80)
    assert "http://192.168.7.20:8017" in text
    assert "http://10.1.1.1:8017" in text
    assert "ABCD EFGH, good for 10 minutes and one device" in text
    assert "plain HTTP" in text
    assert "network you do not know" in " ".join(text.split())
    assert "\x1b" not in text
    assert all(len(line) <= 80 for line in text.split("\n"))
    assert "safe" not in text
    assert "ABCD EFGH" in next_code("ABCDEFGH")


def test_the_json_says_the_same() -> None:
    one = _told(("192.168.7.20",))
    assert (one.code, one.minutes) == ("ABCDEFGH", 10)
    assert one.link == "http://192.168.7.20:8017/pair?code=ABCDEFGH"
    assert (_told().code, _told().link, _told().minutes) == (None, None, None)


def test_no_browser_is_opened_where_there_is_no_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    shown: list[str] = []
    monkeypatch.setattr("webbrowser.open", shown.append)
    monkeypatch.setattr("sys.platform", "linux")
    assert not open_browser("http://127.0.0.1:1", {})
    assert open_browser("http://127.0.0.1:2", {"WAYLAND_DISPLAY": "wayland-0"})
    end_s = time.monotonic() + 5.0
    while not shown and time.monotonic() < end_s:
        time.sleep(0.01)
    assert shown == ["http://127.0.0.1:2"]


# The app behind its guard

NEAR = "192.168.7.20"
PHONE = ("192.168.7.31", 50_000)


@pytest.fixture
def house(tmp_path: Path) -> House:
    return House(settings=Settings(book=str(tmp_path / "book.sqlite")), secret=b"s" * 32)


def ask(
    house: House, path: str, *, method: str = "GET", client: tuple[str, int] = PHONE, **more: Any
) -> httpx.Response:
    """Ask the app as the server would put it together, over the home network."""
    guard = guarded(build_app(house), house, Doors(port=8017, sockets=(), near=(NEAR,)))

    async def asked() -> httpx.Response:
        transport = httpx.ASGITransport(app=guard, client=client)
        address = f"http://{NEAR}:8017"
        async with httpx.AsyncClient(transport=transport, base_url=address) as asker:
            return await asker.request(method, path, **more)

    return finish(asked())


def test_a_paired_phone_comes_in_until_it_is_forgotten(house: House, tmp_path: Path) -> None:
    token = random_token()
    said = {"cookie": f"shivelight-device={token}", "accept": "text/html"}
    assert ask(house, "/kit", headers=said).status_code == 303
    with house.bench() as bench:
        device = bench.pair_device("phone", token_sha256(token))
    assert ask(house, "/kit", headers=said).status_code == 200
    assert ask(house, "/kit", headers={"accept": "text/html"}).status_code == 303
    house.visit_demo(tmp_path / "demo.sqlite", None)
    assert ask(house, "/kit", headers=said).status_code == 200
    house.come_home()
    with house.bench() as bench:
        bench.forget_device(device.id)
    assert ask(house, "/kit", headers=said).status_code == 303


def test_a_refused_body_is_told_as_every_error_is(house: House) -> None:
    own = {"origin": f"http://{NEAR}:8017"}
    body: dict[str, Any] = {
        "content": b"x" * 1_000_001,
        "method": "POST",
        "client": ("127.0.0.1", 1),
    }
    told = ask(house, "/theme", headers=own | {"accept": "application/json"}, **body)
    assert told.status_code == 413
    assert told.json()["error"]["status"] == 413
    assert "at most 1 MB" in told.json()["error"]["sentence"]
    page = ask(house, "/theme", headers=own | {"accept": "text/html"}, **body)
    assert "/static/shivelight." in page.text
    assert "at most 1 MB" in page.text


def test_whoever_is_not_let_in_sees_nothing_of_the_app(house: House) -> None:
    page = ask(house, "/kit", headers={"accept": "text/html", "host": "evil.example"})
    assert page.status_code == 421
    assert "form_token" not in page.text
    assert "/kit" not in page.text


# The command


def test_what_cannot_be_opened_is_one_sentence(tmp_path: Path, taken: int) -> None:
    book = ("--book", str(tmp_path / "book.sqlite"))
    for words, code, sentence in (
        (("--port", str(taken)), 6, f"Port {taken} is taken"),
        (("--port", "70000"), 2, "port is 70000; it must be 1 to 65535"),
        (("--address", "192.168.7.20"), 2, "say --home-network with it"),
        (("--home-network", "--address", "0.0.0.0"), 2, "no single address of a home network"),
    ):
        done = ran(*book, "open", "--no-browser", *words)
        assert (done.code, done.out) == (code, "")
        assert sentence in done.err
        assert done.err.count("\n") == 1
    assert not (tmp_path / "book.sqlite").exists()


@pytest.mark.slow
@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_it_begins_a_book_serves_and_stops(tmp_path: Path, how: signal.Signals) -> None:
    book = tmp_path / "new" / "book.sqlite"
    words = ["--book", str(book), "--json", "open", "--no-browser"]
    environment = {
        name: value for name, value in os.environ.items() if not name.startswith("SHIVELIGHT_")
    }
    with subprocess.Popen(
        [sys.executable, "-m", "shivelight", *words], stdout=subprocess.PIPE,
        stderr=subprocess.PIPE, text=True, env=environment, cwd=tmp_path,
    ) as running:  # fmt: skip
        assert running.stdout is not None
        assert running.stderr is not None
        lines: list[str] = []
        while not lines or lines[-1] != "}\n":
            lines.append(running.stdout.readline())
            assert lines[-1], running.stderr.read()
        said = json.loads("".join(lines))
        assert (said["is_new"], said["near_addresses"], said["code"]) == (True, [], None)
        assert book.exists()
        with urllib.request.urlopen(f"{said['address']}/kit", timeout=20) as answer:
            assert answer.status == 200
            assert "server" not in {name.lower() for name in answer.headers}
        began_s = time.monotonic()
        running.send_signal(how)
        code = running.wait(timeout=15)
        assert time.monotonic() - began_s < 8.0
        assert code == (0 if how == signal.SIGINT else -signal.SIGTERM)
        assert "Traceback" not in running.stderr.read()
    with pytest.raises(OSError, match="refused"):
        urllib.request.urlopen(said["address"], timeout=2)
