"""The HTTP interface under odd requests: no fault of ours, errors of one shape, headers always.

Schemathesis makes requests from the interface's own description (OpenAPI), in and out of it.
"""

import shutil
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, settings

from shivelight.web.app import build_app
from shivelight.web.house import House
from shivelight.workbench.settings import Settings
from tests.web.visitor import HERE, SECRET, Visitor, house_of

LEFT_OUT = (
    "/start/demo",  # makes a whole book each time
    "/evening/fetch",  # goes out to the network
    "/evening/judge", "/evening/type", "/evening/file",  # start seconds of work each
    "/spot/skyline/ground", "/sheet/paper", "/word/paper",  # as above
)  # fmt: skip


def _described() -> dict[str, Any]:
    """Describe the interface, as the app does itself, without what takes seconds each time."""
    whole = build_app(House(settings=Settings(), secret=SECRET)).openapi()
    return whole | {
        "paths": {path: one for path, one in whole["paths"].items() if path not in LEFT_OUT}
    }


schema = schemathesis.openapi.from_dict(_described())


@pytest.fixture(scope="module")
def fuzzed(judged: Path, tmp_path_factory: pytest.TempPathFactory) -> Visitor:
    book = tmp_path_factory.mktemp("fuzzed") / judged.name
    shutil.copy(judged, book)
    return Visitor(house_of(book))


@schema.parametrize()
@settings(max_examples=8, deadline=None, suppress_health_check=list(HealthCheck))
def test_odd_requests_are_answered_in_our_own_way(case: Any, fuzzed: Visitor) -> None:
    sent = case.as_transport_kwargs(base_url=HERE)
    headers = {**(sent.get("headers") or {}), "Origin": HERE, "Accept": "application/json"}
    if case.method.upper() not in {"GET", "HEAD"}:
        headers["X-Form-Token"] = fuzzed.token
    parts = ("params", "data", "json", "files", "content")
    wanted = {key: sent[key] for key in parts if sent.get(key) is not None}
    if "files" in wanted:  # the client itself sends only text and bytes
        wanted["files"] = [
            (name, tuple(str(part) if isinstance(part, int) else part for part in one))
            for name, one in wanted["files"]
            if isinstance(one, tuple)
        ]
    if isinstance(wanted.get("data"), (bytes, str)):
        wanted["content"] = wanted.pop("data")
    answer = fuzzed.client.request(
        case.method, sent["url"], headers=_plain(headers), cookies=None, **wanted
    )
    assert answer.status_code < 500 or answer.status_code == 507, answer.text[:500]
    assert answer.headers["content-security-policy"].startswith("default-src 'none'")
    if answer.status_code >= 400 and answer.headers["content-type"].startswith("application/json"):
        assert set(answer.json()) == {"error"}
        assert set(answer.json()["error"]) == {"status", "kind", "sentence"}
        assert answer.json()["error"]["status"] == answer.status_code


def _plain(headers: dict[str, str]) -> dict[str, str]:
    """Leave out what the client itself would refuse to send."""
    return {
        name: value
        for name, value in headers.items()
        if isinstance(value, str) and value.isascii() and value.isprintable()
    }
