"""What a JSON Schema finds at fault with the data of a TOML file."""

import json
from datetime import date
from typing import Any

from jsonschema import Draft7Validator


def _plain(data: Any) -> Any:
    """TOML as an editor hands it to a JSON Schema: dates are text."""
    return json.loads(json.dumps(data, default=date.isoformat))


def faults(data: Any, schema: dict[str, Any]) -> list[str]:
    """Each fault, by the path of its key."""
    return [f"{error.json_path}: {error.message}" for error in Draft7Validator(schema).iter_errors(_plain(data))]
