"""The OpenAPI document: made from the very types that the service decodes and encodes, and from the installed families.

`python -m tallyplate.http.openapi FILE` rewrites the committed copy.
"""

import sys
from functools import reduce
from operator import or_
from pathlib import Path
from typing import Any, Final, get_type_hints

import msgspec
from msgspec import UNSET, Struct

from tallyplate.answers import PriceAnswer
from tallyplate.http import (
    card_changes,
    forms,
    guard,
    impacts,
    openapi_access,
    openapi_alternatives,
    openapi_batch,
    openapi_contours,
    openapi_documents,
    openapi_limits,
    openapi_links,
    openapi_questions,
    openapi_quotes,
    openapi_readings,
    openapi_sets,
    openapi_tradeoffs,
)
from tallyplate.http.catalogue import FamilyOffer, MaterialOffer, RateCardOffer, ShopDataOffer
from tallyplate.http.openapi_shared import REFUSED, Document
from tallyplate.http.problems import MEDIA_TYPE, STATUS, TITLES, Problem
from tallyplate.http.status import Ready
from tallyplate.inquiry import BUDGET_PATTERN, Envelope, MoneyText
from tallyplate.installation import Installation, load
from tallyplate.outside import SellingAnswer
from tallyplate.units import LENGTH_PATTERN, MAX_TEXT, Length

OFFERS: Final = {
    "/v1/families": ("families", list[FamilyOffer], "Plate families on offer, each with its JSON Schema"),
    "/v1/materials": ("materials", list[MaterialOffer], "Materials on offer"),
    "/v1/rate-cards": ("rate cards", list[RateCardOffer], "Rate cards by date, without their figures"),
    "/v1/shop-data": ("shop data", list[ShopDataOffer], "Shop data by date"),
}


PRICED: Final = (
    "Price a plate",
    (
        "The total binds and is the sum of the lines; what the request leaves open is assumed and said. "
        "Callers with the scope `cost` see cost lines, others selling amounts only."
    ),
)
IMPACT: Final = (
    "What a draft rate card would do to a portfolio",
    "Prices every order under the card in force today and under the draft, which may inherit from a card here.",
)


def schema_hook(kind: type) -> Document:
    """The schema of our own text types."""
    if issubclass(kind, Length):
        return {
            "type": "string",
            "pattern": LENGTH_PATTERN,
            "maxLength": MAX_TEXT,
            "description": forms.LENGTH,
        }
    if issubclass(kind, MoneyText):
        return {"type": "string", "pattern": BUDGET_PATTERN, "examples": ["4500.00 USD"]}
    raise NotImplementedError(kind)


def request_type(installation: Installation) -> type[Struct]:
    """The inquiry with its plate as one of the installed families' specs, told apart by `family`."""
    hints = get_type_hints(Envelope, include_extras=True)
    hints["plate"] = reduce(or_, (family.spec for family in installation.families.values()))
    fields: list[Any] = [(name, kind) if name == "plate" else (name, kind, UNSET) for name, kind in hints.items()]
    said = {"__doc__": "What is to be priced: a plate of one of the installed families, how many, and for when."}
    return msgspec.defstruct("PriceRequest", fields, namespace=said, forbid_unknown_fields=True, kw_only=True)


def document(installation: Installation) -> Document:
    """The whole document."""
    request = request_type(installation)
    portfolio = impacts.request_type(request)
    kinds = [request, portfolio, PriceAnswer, SellingAnswer, impacts.ImpactAnswer, Problem, Ready, guard.AccessAnswer]
    kinds += [card_changes.CardChanges]
    kinds += [kind for _, kind, _ in OFFERS.values()]
    tradeoffs = openapi_tradeoffs.kinds(request)
    papers = openapi_documents.kinds(request)
    quotes = openapi_quotes.kinds(request)
    asked = openapi_questions.kinds()
    notes = openapi_readings.kinds()
    drawn = openapi_contours.kinds()
    batch = openapi_batch.kinds()
    fitted = openapi_alternatives.kinds(request)
    sets = openapi_sets.kinds(request)
    schemas, components = msgspec.json.schema_components(
        [*kinds, *quotes, *tradeoffs, *papers, *asked, *notes, *drawn, *batch, *fitted, *sets],
        schema_hook=schema_hook,
        ref_template="#/components/schemas/{name}",
    )
    one, many, inside, outside, impact, _, ready, access, changes, *offers = schemas[: len(kinds)]
    forms.complete(installation.families, components)
    for family in installation.families:
        _require_tag(components[forms.component(family, components)])
    paths: Document = {
        "/v1/prices": {
            "post": _post("price", PRICED, one, {"anyOf": [inside, outside]}, *REFUSED, "version-unavailable")
        },
        "/health/live": {"get": _get("liveness", "operations", "Whether the process answers", {"type": "object"})},
        "/health/ready": {
            "get": _get("readiness", "operations", "Whether it can price, and with what", ready, "not-ready")
        },
        "/v1/access": {"get": _get("access", "operations", "What the caller may do", access)},
        "/v1/impacts": {"post": _post("impact", IMPACT, many, impact, *REFUSED, "not-ready")},
    }
    further = iter(schemas[len(kinds) :])
    paths |= openapi_quotes.paths([next(further) for _ in quotes], _post)
    paths |= openapi_tradeoffs.paths(one, [next(further) for _ in tradeoffs], _post)
    paths |= openapi_documents.paths([next(further) for _ in papers], _post)
    paths |= openapi_questions.paths([next(further) for _ in asked], _post)
    paths |= openapi_readings.paths([next(further) for _ in notes], _post)
    paths |= openapi_contours.paths([next(further) for _ in drawn], _post)
    paths |= openapi_batch.paths(one, {"anyOf": [inside, outside]}, [next(further) for _ in batch], _post)
    paths |= openapi_alternatives.paths([next(further) for _ in fitted], _post)
    paths |= openapi_sets.paths([next(further) for _ in sets], _post)
    for (path, (name, _, summary)), schema in zip(OFFERS.items(), offers, strict=True):
        refusals = ("not-ready",) if path == "/v1/materials" else ()
        paths[path] = {"get": _get(f"list {name}", "catalogue", summary, schema, *refusals)}
        openapi_documents.revalidated(paths[path]["get"])
    paths["/v1/rate-cards/changes"] = {"get": _changes(changes)}
    whole = {
        "openapi": "3.1.0",
        "info": {
            "title": "Tallyplate",
            "version": "1",
            "description": "Prices made-to-order modular fixture plates: a plate spec in, a line-itemised price out.",
            "license": {"name": "Apache-2.0", "identifier": "Apache-2.0"},
        },
        "servers": [{"url": "/", "description": "This service"}],
        "tags": [
            {"name": "prices", "description": "Pricing a plate"},
            {"name": "catalogue", "description": "What is on offer"},
            {"name": "operations", "description": "For whoever runs the service"},
        ],
        "paths": paths,
        "components": {"schemas": dict(sorted(components.items())), "responses": _problems()},
    }
    openapi_access.secure(whole)
    openapi_limits.limit(whole)
    openapi_links.link(whole)
    return whole


def _post(name: str, said: tuple[str, str], request: Document, answer: Document, *refusals: str) -> Document:
    summary, description = said
    return {
        "operationId": name,
        "tags": ["prices"],
        "summary": summary,
        "description": description,
        "requestBody": {"required": True, "content": {"application/json": {"schema": request}}},
        "responses": {
            "200": {"description": summary, "content": {"application/json": {"schema": answer}}},
            **_refusals(*refusals),
        },
    }


def _changes(schema: Document) -> Document:
    call = _get("card changes", "catalogue", card_changes.CHANGES, schema, "invalid-request")
    call["description"] += " Usually from the card before to the one in force today."
    openapi_documents.revalidated(call)
    return {**call, "parameters": card_changes.PARAMETERS}


def _get(name: str, tag: str, summary: str, schema: Document, *refusals: str) -> Document:
    return {
        "operationId": name.replace(" ", "-"),
        "tags": [tag],
        "summary": summary,
        "description": f"{summary}.",
        "responses": {
            "200": {"description": summary, "content": {"application/json": {"schema": schema}}},
            **_refusals(*refusals),
        },
    }


def _refusals(*codes: str) -> Document:
    return {str(int(STATUS[code])): {"$ref": f"#/components/responses/{code}"} for code in codes}


def _problems() -> Document:
    schema = {"$ref": "#/components/schemas/Problem"}
    return {code: {"description": TITLES[code], "content": {MEDIA_TYPE: {"schema": schema}}} for code in sorted(STATUS)}


def _require_tag(schema: Document) -> None:
    """A plate always says its family, also where only one is installed."""
    schema["required"] = ["family", *(name for name in schema["required"] if name != "family")]


def text(made: Document) -> str:
    """The document as it is committed and served."""
    return msgspec.json.format(msgspec.json.encode(made), indent=2).decode() + "\n"


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(text(document(load())), encoding="utf-8")
