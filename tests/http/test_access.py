"""Who may call what and see which field: every route of the document, with every scope alone."""

import json
from collections.abc import Iterator
from typing import Any

import msgspec
import pytest
from jsonschema_rs import Draft202012Validator

from tallyplate.access.gate import Gate
from tallyplate.access.keys import new_key
from tallyplate.access.scopes import Scope
from tallyplate.access.settings import AccessFile
from tallyplate.http import guard, openapi_access
from tallyplate.http.app import create_app
from tallyplate.http.openapi import document
from tests.callers import gate
from tests.http.problem import problem
from tests.plates import MINIMAL, installation
from tests.quote.quotes import KEYS, token
from tests.serving import Ask, asking

Json = dict[str, Any]

DOCUMENT = document(installation())
CALLS = [(method, path) for path, operations in DOCUMENT["paths"].items() for method in operations]
PAGES = sorted({*guard.SCOPES} - {*DOCUMENT["paths"]})
CUSTOMER = {"customer": {"name": "Brackwater Valve", "address": ["14 Mill Race"], "country": "US"}}
OVERRIDE = {"total": "1.00 USD", "by": "R. Vance", "why": "a trial order"}


@pytest.fixture(scope="module")
def keys() -> dict[Scope, str]:
    return {}


@pytest.fixture(scope="module")
def guarded(tmp_path_factory: pytest.TempPathFactory, keys: dict[Scope, str]) -> Ask:
    """A service behind a gate with one key a scope."""
    entries = []
    for scope in Scope:
        keys[scope], entry = new_key(f"only-{scope}", (scope,), None)
        entries.append(entry)
    file = tmp_path_factory.mktemp("access") / "access.json"
    file.write_bytes(msgspec.json.encode(AccessFile(tuple(entries))))
    return asking(create_app(installation(), Gate(file), KEYS))


def _example(path: str, operation: Json) -> Json:
    """How a call is made: with an example of the document, or with nothing."""
    if path == "/v1/quotes/verification":
        return {"content": json.dumps({"token": token()}), "headers": {"content-type": "application/json"}}
    content = operation.get("requestBody", {"content": {}})["content"]
    for media_type, described in content.items():
        examples = [example["value"] for example in described.get("examples", {}).values()]
        body = examples[-1] if examples else MINIMAL
        return {"content": json.dumps(body), "headers": {"content-type": media_type}}
    return {"headers": {}}


def _call(ask: Ask, method: str, path: str, key: str | None, **changed: str) -> Any:
    how = _example(path, DOCUMENT["paths"][path][method])
    credentials = {"authorization": f"Bearer {key}"} if key else {}
    return ask(method.upper(), path, **{**how, "headers": {**how["headers"], **credentials, **changed}})


@pytest.mark.parametrize(("method", "path"), CALLS)
def test_a_call_lets_in_whoever_has_its_scope_and_nobody_else(
    guarded: Ask, keys: dict[Scope, str], method: str, path: str
) -> None:
    wanted = guard.SCOPES[path]
    said = DOCUMENT["paths"][path][method]["security"]
    assert said == ([] if wanted is None else [{"bearer": [wanted.value]}])
    for scope in Scope:
        response = _call(guarded, method, path, keys[scope])
        if wanted in {None, scope}:
            assert response.status_code not in {401, 403}, response.text
        else:
            problem(response, 403, "forbidden")
            assert f'scope="{wanted}"' in response.headers["www-authenticate"]
    without = _call(guarded, method, path, None)
    if wanted is None:
        assert without.status_code not in {401, 403}
    else:
        problem(without, 401, "unauthorized")
        assert without.headers["www-authenticate"] == guard.CHALLENGE


@pytest.mark.parametrize(("method", "path"), CALLS)
def test_bad_credentials_get_the_same_answer_everywhere(guarded: Ask, method: str, path: str) -> None:
    for text in ("tpk_" + "A" * 43, "nothing", "a.b.c"):
        response = _call(guarded, method, path, text)
        assert (response.status_code, response.content) == (401, msgspec.json.encode(guard.UNKNOWN))
        assert response.headers["www-authenticate"].endswith('error="invalid_token"')


@pytest.mark.parametrize("path", ["/v1/rate-cards/", "//v1/rate-cards", "/v1//rate-cards", "/v1/rate-cards?x=1"])
def test_another_spelling_of_an_address_is_no_way_round(guarded: Ask, path: str) -> None:
    for method in ("GET", "HEAD"):
        assert guarded(method, path).status_code in {401, 404}


def test_two_credentials_are_none(guarded: Ask, keys: dict[Scope, str]) -> None:
    twice = [("authorization", f"Bearer {keys[Scope.RATES]}")] * 2
    assert guarded("GET", "/v1/rate-cards", headers=twice).status_code == 401


def test_every_page_that_is_not_in_the_document_is_for_anyone() -> None:
    assert {path: guard.SCOPES[path] for path in PAGES if guard.SCOPES[path]} == {"/metrics": Scope.METRICS}


def test_a_route_without_a_scope_ends_the_start() -> None:
    with pytest.raises(KeyError, match="/v1/new"):
        guard.complete(["/v1/prices", "/v1/new"])


def test_a_caller_is_told_what_it_may_do(guarded: Ask, keys: dict[Scope, str]) -> None:
    def told(key: str | None) -> object:
        return _call(guarded, "get", "/v1/access", key).json()

    assert told(keys[Scope.COST]) == {"key": "only-cost", "scopes": ["cost"]}
    assert told(None) == {"key": "", "scopes": []}
    assert asking(create_app(installation()))("GET", "/v1/access").json() == {"key": "", "scopes": sorted(Scope)}


# ------------------------------------------------------------------------------------------------------- fields


def _seen_by(scopes: set[Scope]) -> Json:
    """The schemas of what callers with some scopes may see: closed, and without fields of other scopes."""
    schemas: Json = json.loads(json.dumps(DOCUMENT["components"]["schemas"]))
    for schema in schemas.values():
        if schema.get("x-scope") not in {None, *scopes}:
            schema.clear()
            schema["not"] = {}
            continue
        for name, field in list(schema.get("properties", {}).items()):
            if field.get("x-scope") not in {None, *scopes}:
                del schema["properties"][name]
        if "properties" in schema:
            schema["additionalProperties"] = False
    return schemas


def _answers() -> Iterator[tuple[str, str]]:
    for method, path in CALLS:
        if guard.SCOPES[path] in {Scope.PRICE, None}:
            content = DOCUMENT["paths"][path][method]["responses"]["200"]["content"]
            if {"application/json", "application/x-ndjson"} & {*content}:
                yield method, path


@pytest.mark.parametrize(("method", "path"), list(_answers()))
@pytest.mark.parametrize("scopes", [{Scope.PRICE}, {Scope.PRICE, Scope.COST}])
def test_no_answer_has_a_field_of_a_scope_that_its_caller_lacks(method: str, path: str, scopes: set[Scope]) -> None:
    ask = asking(create_app(installation(), gate(*scopes), KEYS))
    response = _call(ask, method, path, None)
    assert response.status_code == 200, response.text
    content = DOCUMENT["paths"][path][method]["responses"]["200"]["content"]
    (schema,) = (content[kind]["schema"] for kind in ("application/json", "application/x-ndjson") if kind in content)
    root = {**schema, "components": {"schemas": _seen_by(scopes)}}
    for line in response.text.splitlines():
        errors = [error.message[:300] for error in Draft202012Validator(root).iter_errors(json.loads(line))]
        assert errors == []


def test_every_scope_of_a_field_names_a_field_that_is_there() -> None:
    marked = {
        *(name for name, schema in DOCUMENT["components"]["schemas"].items() if "x-scope" in schema),
        *(
            f"{name}/{field}"
            for name, schema in DOCUMENT["components"]["schemas"].items()
            for field, said in schema.get("properties", {}).items()
            if "x-scope" in said
        ),
    }
    assert marked == {*openapi_access.FIELDS}


# ------------------------------------------------------------------------------------------------------- overrides


@pytest.mark.parametrize(
    ("scopes", "status"),
    [
        ({Scope.PRICE}, 422),
        ({Scope.PRICE, Scope.COST}, 422),
        ({Scope.PRICE, Scope.OVERRIDE}, 200),
        ({Scope.PRICE, Scope.COST, Scope.OVERRIDE}, 200),
    ],
)
def test_a_price_is_settled_by_hand_by_whoever_has_the_scope(scopes: set[Scope], status: int) -> None:
    ask = asking(create_app(installation(), gate(*scopes), KEYS))
    response = ask("POST", "/v1/quotes", json={"plate": MINIMAL["plate"], "quote": {**CUSTOMER, "override": OVERRIDE}})
    assert response.status_code == status, response.text
    if status == 200:
        answer = response.json()
        assert answer["override"] == {"total": "1.00", "by": "R. Vance", "why": "a trial order"}
        assert ("price" in answer) is (Scope.COST in scopes)
    else:
        assert problem(response, 422, "invalid-request") == {
            "/quote/override": "asks for the scope override; accepted: none from this caller"
        }


# ----------------------------------------------------------------------------------------------------------- hosts


@pytest.mark.parametrize(
    ("host", "status"),
    [
        ("127.0.0.1:8080", 200), ("localhost", 200), ("LOCALHOST:80", 200), ("[::1]:8080", 200),
        ("evil.example", 421), ("localhost.evil.example", 421), ("127.0.0.1.evil.example", 421), ("", 421),
    ],
)  # fmt: skip
def test_an_open_service_answers_to_the_names_of_its_own_machine_alone(host: str, status: int) -> None:
    ask = asking(create_app(installation(), Gate(local=True)))
    assert ask("GET", "/v1/access", headers={"host": host}).status_code == status
