"""The schemas of the OpenAPI document as it is made now, to hold answers against."""

from functools import cache
from typing import Any

from jsonschema_rs import Draft202012Validator

from tallyplate.http.openapi import document
from tests.plates import installation


@cache
def _components() -> dict[str, Any]:
    found: dict[str, Any] = document(installation())["components"]
    return found


def schema(name: str) -> Draft202012Validator:
    """What the document says of a named type."""
    return Draft202012Validator({"$ref": f"#/components/schemas/{name}", "components": _components()})
