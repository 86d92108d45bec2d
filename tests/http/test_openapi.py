"""The OpenAPI document: committed as it is made, within our rules, and true of every schema that it promises."""

import json
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from jsonschema_rs import Draft202012Validator

from tallyplate.http.openapi import document, text
from tallyplate.http.problems import STATUS
from tests.plates import ABSENT, ROOT, installation, request
from tests.serving import Ask

DOCUMENT = ROOT / "openapi" / "openapi.json"
RULES = ROOT / "openapi" / "rules.yaml"


def _complaints(files: Iterable[Path]) -> dict[str, set[str]]:
    """What the rules say against documents: file name -> places."""
    command = [sys.executable, "-m", "check_jsonschema", "--output-format", "json", "--schemafile", str(RULES)]
    done = subprocess.run([*command, *map(str, files)], capture_output=True, text=True, check=False)
    assert done.returncode in {0, 1}, done.stderr
    complaints: dict[str, set[str]] = {}
    for error in json.loads(done.stdout)["errors"]:
        complaints.setdefault(Path(error["filename"]).stem, set()).add(error["path"])
    return complaints


def test_the_committed_document_is_the_one_that_is_made() -> None:
    assert DOCUMENT.read_text() == text(document(installation())), "make openapi writes it again"


def test_the_committed_document_is_the_one_that_is_served(ask: Ask) -> None:
    response = ask("GET", "/openapi.json")
    assert response.headers["content-type"] == "application/json"
    assert response.text == DOCUMENT.read_text()


def test_the_document_keeps_the_rules() -> None:
    assert _complaints([DOCUMENT]) == {}


PRICE = "/paths/~1v1~1prices/post"
PROPERTIES = "/components/schemas/Rectangular/properties"
BREAKS: dict[str, dict[str, Any]] = {
    "another version of OpenAPI": {"/openapi": "3.0.3"},
    "no license": {"/info/license": ABSENT},
    "a server elsewhere": {"/servers": [{"url": "https://tallyplate.test"}]},
    "a tag without words": {"/tags": [{"name": "prices"}]},
    "an address in capitals": {"/paths/~1v1~1Prices": {}},
    "an address without a version": {"/paths/~1prices": {}},
    "a method that changes things": {"/paths/~1v1~1families/delete": {}},
    "an operation without a name": {f"{PRICE}/operationId": ABSENT},
    "an operation named in camel case": {f"{PRICE}/operationId": "priceAPlate"},
    "an operation without a description": {f"{PRICE}/description": ABSENT},
    "a headline that is a sentence": {f"{PRICE}/summary": "Price a plate."},
    "a body that may be left out": {f"{PRICE}/requestBody/required": False},
    "a body in another format": {f"{PRICE}/requestBody/content": {"application/xml": {"schema": {}}}},
    "an answer in any format": {f"{PRICE}/responses/200/content/text~1plain": {"schema": {"type": "string"}}},
    "an undescribed refusal": {f"{PRICE}/responses/422": ABSENT},
    "a refusal of its own make": {f"{PRICE}/responses/422": {"description": "no"}},
    "a problem that is plain JSON": {"/components/responses/not-found/content": {"application/json": {}}},
    "a schema in snake case": {
        "/components/schemas/price_answer": {"title": "x", "description": "x", "type": "object"}
    },
    "a schema without words": {"/components/schemas/Point/description": ABSENT},
    "a field in camel case": {f"{PROPERTIES}/edgeRadius": {"type": "string"}},
    "a field without a type": {f"{PROPERTIES}/radius": {"title": "Radius"}},
    "anchors of another dialect": {f"{PROPERTIES}/radius": {"type": "string", "pattern": "\\A[0-9]+\\Z"}},
    "a type missing in a list": {f"{PROPERTIES}/radii": {"type": "array", "items": {"title": "Radius"}}},
}


def _changed(document: dict[str, Any], changes: dict[str, Any]) -> dict[str, Any]:
    made: dict[str, Any] = json.loads(json.dumps(document))
    for pointer, value in changes.items():
        *steps, last = (step.replace("~1", "/") for step in pointer.split("/")[1:])
        place = made
        for step in steps:
            place = place.setdefault(step, {})
        if value is ABSENT:
            del place[last]
        else:
            place[last] = value
    return made


def test_the_rules_bite_on_every_broken_document(tmp_path: Path) -> None:
    document = json.loads(DOCUMENT.read_text())
    for name, changes in {"unbroken": {}, **BREAKS}.items():
        (tmp_path / f"{name}.json").write_text(json.dumps(_changed(document, changes)))
    complaints = _complaints(sorted(tmp_path.glob("*.json")))
    known = complaints.pop("unbroken", set())
    assert {name for name, places in complaints.items() if places - known} == set(BREAKS)


def test_every_reference_leads_to_something_and_everything_is_referred_to() -> None:
    document = json.loads(DOCUMENT.read_text())
    found = set(_references(document))
    parts = {kind: named for kind, named in document["components"].items() if kind != "securitySchemes"}
    there = {f"#/components/{kind}/{name}" for kind, named in parts.items() for name in named}
    assert found <= there
    answered_everywhere = {"not-found", "method-not-allowed", "internal-error"}
    assert there - found <= {f"#/components/responses/{code}" for code in answered_everywhere}


def _references(part: Any) -> Iterable[str]:
    if isinstance(part, dict):
        if isinstance(part.get("$ref"), str):
            yield part["$ref"]
        for inner in part.values():
            yield from _references(inner)
    elif isinstance(part, list):
        for inner in part:
            yield from _references(inner)


def test_every_kind_of_problem_is_described() -> None:
    assert set(json.loads(DOCUMENT.read_text())["components"]["responses"]) == set(STATUS)


def _schema(name: str) -> Draft202012Validator:
    document = json.loads(DOCUMENT.read_text())
    return Draft202012Validator({"$ref": f"#/components/schemas/{name}", "components": document["components"]})


@pytest.mark.parametrize(
    "changes",
    [{"/quantity": "2"}, {"/colour": "blue"}, {"/plate/length": 600}, {"/plate/length": "600 mm\n"},
     {"/plate/pattern/colour": "blue"}, {"/plate/family": ABSENT}, {"/plate/family": "oval"}, {"/pins/rate_card": "x"},
     {"/budget": "1 usd"}, {"/plate/marking/edges": ["up"]}],
    ids=repr,
)  # fmt: skip
def test_what_the_document_forbids_the_service_refuses(ask: Ask, changes: dict[str, Any]) -> None:
    body = request(changes)
    assert not _schema("PriceRequest").is_valid(body)
    assert ask("POST", "/v1/prices", json=body).status_code == 422


def test_what_the_service_prices_the_document_allows(ask: Ask) -> None:
    digests = {"/pins/rate_card": installation().cards[0].digest, "/pins/shop_data": installation().shops[0].digest}
    for changes in ({}, digests, {"/plate/length": "23 5/8 in"}, {"/budget": "4500 USD", "/need_by": "2026-09-01"}):
        body = request(changes)
        response = ask("POST", "/v1/prices", json=body)
        assert response.status_code == 200
        assert _schema("PriceRequest").is_valid(body)
        assert _schema("PriceAnswer").is_valid(response.json())


def test_an_unready_service_answers_with_a_status_that_the_document_states() -> None:
    responses = json.loads(DOCUMENT.read_text())["paths"]["/health/ready"]["get"]["responses"]
    assert "503" in responses
