"""The examples are what the service answers, to the byte, and what the OpenAPI document describes."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from jsonschema_rs import Draft202012Validator

from tests.examples import answer_file, answered, is_set, requests
from tests.plates import EXAMPLES, ROOT, installation
from tests.serving import Ask

REQUESTS = requests()
REFUSED = {"several-faults": 422, "absent-pin": 409}
SOFTWARE = re.compile(rb'"versions": \{.*?\n  \}', re.DOTALL)
"""The versions of software in an answer, which a new release changes and nothing else."""


def _valid(name: str, instance: Any) -> bool:
    components = json.loads((ROOT / "openapi" / "openapi.json").read_text())["components"]
    schema = Draft202012Validator({"$ref": f"#/components/schemas/{name}", "components": components})
    return schema.is_valid(instance)


@pytest.mark.parametrize("request_file", REQUESTS, ids=lambda file: file.stem)
def test_an_example_is_answered_as_its_file_says(ask: Ask, request_file: Path) -> None:
    stored, now = answer_file(request_file).read_bytes(), answered(ask, request_file)
    assert SOFTWARE.sub(b"", now) == SOFTWARE.sub(b"", stored), "python -m tests.examples writes it again"


@pytest.mark.parametrize("request_file", REQUESTS, ids=lambda file: file.stem)
def test_an_example_and_its_answer_are_what_the_document_describes(request_file: Path) -> None:
    request, answer = json.loads(request_file.read_text()), json.loads(answer_file(request_file).read_text())
    refused = REFUSED.get(request_file.stem)
    asked, given = ("SetRequest", "SetAnswer") if is_set(request_file) else ("PriceRequest", "PriceAnswer")
    assert _valid(asked, request) == (refused != 422)
    assert _valid("Problem" if refused else given, answer)
    assert answer.get("status") == refused


def test_no_answer_stands_without_its_request() -> None:
    assert {file.name for file in EXAMPLES.iterdir()} == {
        file.name for request in REQUESTS for file in (request, answer_file(request))
    }


def test_the_refused_example_names_every_fault_at_once() -> None:
    answer = json.loads((EXAMPLES / "several-faults.answer.json").read_text())
    assert {error["pointer"] for error in answer["errors"]} == {
        "/plate/length", "/plate/width", "/plate/material", "/plate/pattern/arrangement", "/plate/pattern/pitch",
        "/plate/colour", "/quantity", "/budget", "/as_of",
    }  # fmt: skip


def test_the_examples_are_dated_so_that_no_day_changes_them() -> None:
    first = min(card.effective_from for card in installation().cards)
    for file in REQUESTS:
        assert json.loads(file.read_text())["as_of"] >= first.isoformat()
