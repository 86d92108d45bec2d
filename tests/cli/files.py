"""Files that finance hands to the command line."""

import json
from pathlib import Path
from typing import Any

import pytest

Told = pytest.CaptureFixture[str]
"""What a command printed."""


def written(path: Path, content: str) -> str:
    path.write_text(content, encoding="utf-8")
    return str(path)


def orders_file(folder: Path, *orders: Any) -> str:
    lines = (order if isinstance(order, str) else json.dumps(order) for order in orders)
    return written(folder / "orders.ndjson", "\n".join(lines) + "\n")
