"""A folder of rate cards and shop data that differs from the demonstration's where a test says so."""

import json
import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from tests.plates import DATA

CARD = DATA / "rate_cards" / "2026-01.toml"
SHOP = DATA / "shop_data" / "2026-01.toml"


@cache
def good(file: Path) -> dict[str, Any]:
    """What the demonstration's card or shop data say."""
    return tomllib.loads(file.read_text())


def merged(base: Mapping[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    """The base with the changes laid over it, table by table."""
    made = dict(base)
    for key, value in changes.items():
        both_tables = isinstance(value, dict) and isinstance(made.get(key), dict)
        made[key] = merged(made[key], value) if both_tables else value
    return made


def without(data: dict[str, Any], dotted: str) -> dict[str, Any]:
    """The data without a key, given as its path with dots."""
    first, _, rest = dotted.partition(".")
    return {key: without(value, rest) if key == first else value for key, value in data.items() if key != first or rest}


def toml(value: Any) -> str:
    """A value as TOML on one line."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{json.dumps(key)} = {toml(item)}" for key, item in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    return json.dumps(value) if isinstance(value, str | bool | int) else str(value)


def write(file: Path, data: Mapping[str, Any]) -> None:
    """A TOML file of the data."""
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text("".join(f"{json.dumps(key)} = {toml(value)}\n" for key, value in data.items()))


def write_data(folder: Path, card: Mapping[str, Any] | None = None, shop: Mapping[str, Any] | None = None) -> None:
    """The demonstration's card and shop data with changes laid over them."""
    write(folder / "rate_cards" / "card.toml", merged(good(CARD), card or {}))
    write(folder / "shop_data" / "shop.toml", merged(good(SHOP), shop or {}))
