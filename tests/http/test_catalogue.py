"""What is on offer, told so that a form can be drawn and a price asked for without knowing us."""

from decimal import Decimal
from typing import Any

import pytest
from jsonschema_rs import Draft202012Validator

from tests.plates import MINIMAL, installation, request
from tests.serving import Ask


def _offers(ask: Ask, path: str) -> list[dict[str, Any]]:
    response = ask("GET", path)
    assert response.status_code == 200
    assert response.headers["content-type"] == "application/json"
    offers: list[dict[str, Any]] = response.json()
    assert offers
    return offers


def test_every_family_brings_a_schema_of_its_own_that_needs_nothing_else(ask: Ask) -> None:
    offers = {offer["name"]: offer for offer in _offers(ask, "/v1/families")}
    assert set(offers) == set(installation().families)
    for name, offer in offers.items():
        assert offer["title"]
        Draft202012Validator(offer["schema"])
        assert offer["schema"]["properties"]["family"]["enum"] == [name]


def test_a_familys_schema_takes_plates_that_have_a_price_and_refuses_others(ask: Ask) -> None:
    (offer,) = [offer for offer in _offers(ask, "/v1/families") if offer["name"] == "rectangular"]
    schema = Draft202012Validator(offer["schema"])
    for body in (request(), MINIMAL):
        assert schema.is_valid(body["plate"])
    for bad in ({"/plate/length": 600}, {"/plate/colour": "blue"}, {"/plate/pattern/pitch": "35"}):
        assert not schema.is_valid(request(bad)["plate"])


def test_every_material_on_offer_has_a_price_in_each_of_its_finishes(ask: Ask) -> None:
    for offer in _offers(ask, "/v1/materials"):
        for finish in offer["finishes"]:
            body = request({"/plate/material": offer["name"], "/plate/finish": finish}, MINIMAL)
            response = ask("POST", "/v1/prices", json=body)
            assert response.status_code == 200, response.text
            assert not [finding for finding in response.json()["findings"] if finding["code"] == "finish-material"]


def test_a_materials_stock_is_what_can_be_made_from_it(ask: Ask) -> None:
    (offer,) = [offer for offer in _offers(ask, "/v1/materials") if offer["name"] == "al-5083"]
    assert offer["thicknesses"]["plate"][0] == "10 mm"
    assert offer["thicknesses"]["plate"][-1] == "100 mm"


def test_densities_are_in_kilograms_per_cubic_metre(ask: Ask) -> None:
    # 2700 kg/m3 for 6061 and 7850 kg/m3 for 1018: Callister, Fundamentals of Materials Science and Engineering,
    # appendix B (as cited in the shop data; from memory here).
    densities = {offer["name"]: Decimal(offer["density"]) for offer in _offers(ask, "/v1/materials")}
    assert densities["al-6061-t6"] == 2700
    assert densities["steel-1018"] == 7850
    assert {offer["unit"] for offer in _offers(ask, "/v1/materials")} == {"kg/m3"}


@pytest.mark.parametrize(("path", "kind"), [("/v1/rate-cards", "cards"), ("/v1/shop-data", "shops")])
def test_versions_are_listed_by_date_with_the_digest_that_pins_them(ask: Ask, path: str, kind: str) -> None:
    offers = _offers(ask, path)
    dates = [offer["effective_from"] for offer in offers]
    assert dates == sorted(dates)
    assert [offer["digest"] for offer in offers] == [version.digest for version in getattr(installation(), kind)]


def test_no_figure_of_the_rate_card_is_listed(ask: Ask) -> None:
    for offer in _offers(ask, "/v1/rate-cards"):
        assert set(offer) == {"id", "effective_from", "currency", "digest"}
