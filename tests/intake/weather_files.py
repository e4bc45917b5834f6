"""Where the recorded and the written payloads lie, and how to skip those kept outside."""

import json
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).parents[1] / "data" / "weather"
# Recorded answers whose repositories' licences keep them out of this one.
OUTSIDE = Path(__file__).parents[3] / "shared" / "data" / "weather" / "payloads"


def payload(name: str) -> bytes:
    return (HERE / name).read_bytes()


def outside(name: str) -> bytes:
    path = OUTSIDE / name
    if not path.exists():
        pytest.skip(f"{name} is kept outside the repository and is not here")
    return path.read_bytes()


def tree(name: str) -> Any:
    return json.loads(payload(name))
