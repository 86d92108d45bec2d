"""Each family's schema is enough to draw a form from, a third party's and a newly started one's too."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema_rs import Draft202012Validator

import tallyplate
from tallyplate.cli.main import main
from tallyplate.discovery import FAMILIES
from tallyplate.http.app import create_app
from tallyplate.units import LENGTH_PATTERN, length
from tests.plates import installation
from tests.plugin_package import install
from tests.serving import Ask, asking
from tests.thirdparty import on_path
from tests.thirdparty.clean import QUILLAN

Put = Callable[[Path, pytest.MonkeyPatch], None]

WORDLESS = """
from typing import Literal
from msgspec import Struct
from tallyplate.contract import CONTRACT, Family, Length, PlateSpec
from tallyplate_plugins.families import rectangular

class Point(Struct, frozen=True, forbid_unknown_fields=True):
    from_back: Length

class Rectangular(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="oval", kw_only=True):
    long_axis: Length
    points: tuple[Point, ...] = ()
    end: Literal["blunt", "sharp"] = "blunt"

FAMILY = Family(contract=CONTRACT, title="Oval plate", spec=Rectangular, build=rectangular.build)
"""
"""A family whose author said nothing of its fields, and took names for its classes that we use ourselves."""


def _wordless(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    install(folder, monkeypatch, WORDLESS, {FAMILIES: {"oval": "harrow_paint:FAMILY"}})


def _thirdparty(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    on_path.put(QUILLAN, folder / "path", monkeypatch)


def _started(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert main(["plugin", "new", "tray", "--kind", "family", "--into", str(folder)]) == 0
    on_path.put(folder / "tallyplate-tray", folder / "path", monkeypatch)


PLATES: dict[str, tuple[Put, dict[str, Any]]] = {
    "oval": (_wordless, {"long_axis": "400 mm", "points": [{"from_back": "1 in"}], "end": "sharp"}),
    "corner": (_thirdparty, {"length": "2 ft", "width": "400 mm", "notch": {"length": "8 in", "width": "6 in"}}),
    "tray": (_started, {"side": "400 mm", "thickness": "1 7/8 in"}),
}


@pytest.fixture(params=PLATES)
def family(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[str, Ask]:
    """A family by name, installed, and a service that offers it."""
    put, _ = PLATES[request.param]
    put(tmp_path, monkeypatch)
    return request.param, asking(create_app(tallyplate.load()))


def _objects(part: Any) -> Iterator[dict[str, Any]]:
    if isinstance(part, dict):
        yield part
    for inner in part.values() if isinstance(part, dict) else part if isinstance(part, list) else ():
        yield from _objects(inner)


def _held(schema: dict[str, Any]) -> None:
    """Hold a family's schema to what a form needs."""
    for found in _objects(schema):
        for name, field in found.get("properties", {}).items():
            assert field["title"].strip(), name
            assert field.get("type") or field.get("$ref"), name
        if "enum" in found:
            assert found["type"] == "string"
            assert len(found["enum"]) == len(set(found["enum"])) >= 1
        if found.get("pattern") == LENGTH_PATTERN:
            assert found["type"] == "string"
            assert "length with its unit" in found["description"]
            assert [length(example) for example in found["examples"]]


def test_every_field_of_our_families_has_what_a_form_needs(ask: Ask) -> None:
    offers = ask("GET", "/v1/families").json()
    assert {offer["name"] for offer in offers} == set(installation().families)
    for offer in offers:
        _held(offer["schema"])


def test_every_field_of_anybodys_family_has_what_a_form_needs(family: tuple[str, Ask]) -> None:
    name, ask = family
    (offer,) = [offer for offer in ask("GET", "/v1/families").json() if offer["name"] == name]
    _held(offer["schema"])
    plate = {"family": name, "material": "al-6061-t6", **PLATES[name][1]}
    schema = Draft202012Validator(offer["schema"])
    assert schema.is_valid(plate)
    assert not schema.is_valid({**plate, "colour": "blue"})


def test_the_document_tells_the_plates_of_all_families_apart(family: tuple[str, Ask]) -> None:
    name, ask = family
    schemas = ask("GET", "/openapi.json").json()["components"]["schemas"]
    plate = schemas["PriceRequest"]["properties"]["plate"]
    mapping = plate["discriminator"]["mapping"]
    assert set(mapping) == {*installation().families, name}
    assert [one["$ref"] for one in plate["anyOf"]] == list(mapping.values())
    for one, reference in mapping.items():
        spec = schemas[reference.removeprefix("#/components/schemas/")]
        assert spec["properties"]["family"]["enum"] == [one]
        assert spec["required"][0] == "family"
        _held(spec)


def test_what_an_author_says_of_a_field_stands_as_it_was_said(ask: Ask) -> None:
    (offer,) = [offer for offer in ask("GET", "/v1/families").json() if offer["name"] == "rectangular"]
    tolerance = offer["schema"]["properties"]["position_tolerance"]
    assert tolerance["title"] == "Position tolerance"
    assert tolerance["examples"] == ["0.05 mm", "0.002 in"]
    said = "Diameter of the true-position zone of the holes over the whole plate. A length with its unit."
    assert tolerance["description"] == said
