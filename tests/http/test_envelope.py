"""The fields around the plate, and faults of the envelope and the plate told together."""

import json
from typing import Any

import pytest

from tests.http.problem import problem
from tests.plates import ABSENT, installation, request
from tests.serving import Ask

DIGEST = "0" * 64

REFUSED: list[tuple[dict[str, Any], str]] = [
    ({"/quantity": 0}, "at least 1"),
    ({"/quantity": -1}, "at least 1"),
    ({"/quantity": 100_001}, "at most 100000"),
    ({"/quantity": 10**18}, "at most 100000"),
    ({"/quantity": 10**40}, "at most 100000"),
    ({"/quantity": -(10**40)}, "at least 1"),
    ({"/quantity": 2.5}, "a whole number"),
    ({"/quantity": 2.0}, "a whole number"),
    ({"/quantity": 1e300}, "a whole number"),
    ({"/quantity": 5e-324}, "a whole number"),
    ({"/quantity": "2"}, "a whole number"),
    ({"/quantity": True}, "a whole number"),
    ({"/quantity": None}, "a whole number"),
    ({"/quantity": [2]}, "a whole number"),
    ({"/budget": "4500"}, "4500.00 USD"),
    ({"/budget": 4500}, "4500.00 USD"),
    ({"/budget": None}, "4500.00 USD"),
    ({"/budget": ""}, "4500.00 USD"),
    ({"/budget": "-1 USD"}, "4500.00 USD"),
    ({"/budget": "NaN USD"}, "4500.00 USD"),
    ({"/budget": "1e9 USD"}, "4500.00 USD"),
    ({"/budget": "4500.00 usd"}, "4500.00 USD"),
    ({"/budget": "4500.00 USD\n"}, "4500.00 USD"),
    ({"/budget": "9999999999999 USD"}, "4500.00 USD"),
    ({"/budget": "1.001 USD"}, "2 decimals"),
    ({"/budget": "5 ZZZ"}, "ISO 4217"),
    ({"/budget": "5 XAU"}, "ISO 4217"),
    ({"/budget": "4500.00 EUR"}, "accepted: USD"),
    ({"/as_of": ""}, "date"),
    ({"/as_of": "yesterday"}, "date"),
    ({"/as_of": 20260302}, "date"),
    ({"/as_of": None}, "date"),
    ({"/as_of": "2026-02-30"}, "date"),
    ({"/as_of": "2026-3-2"}, "date"),
    ({"/as_of": "2026-03-02T00:00:00Z"}, "date"),
    ({"/as_of": "0000-00-00"}, "date"),
    ({"/as_of": "0001-01-01"}, "1970 to 2199"),
    ({"/as_of": "9999-12-31"}, "1970 to 2199"),
    ({"/as_of": "2025-12-31"}, "from 2026-01-01 on"),
    ({"/need_by": "soon"}, "date"),
    ({"/need_by": "9999-12-31"}, "1970 to 2199"),
    ({"/pins/rate_card": ""}, "64"),
    ({"/pins/rate_card": DIGEST[1:]}, "64"),
    ({"/pins/rate_card": DIGEST + "\n"}, "64"),
    ({"/pins/shop_data": DIGEST.replace("0", "A")}, "64"),
    ({"/pins/shop_data": 7}, "text"),
    ({"/pins/shop_data": None}, "text"),
    ({"/plate": ABSENT}, "required and missing"),
    ({"/plate/family": ABSENT}, "accepted: rectangular"),
    ({"/plate/family": "oval"}, "accepted: rectangular"),
    ({"/plate/family": "Rectangular"}, "accepted: rectangular"),
    ({"/plate/family": ""}, "accepted: rectangular"),
    ({"/plate/family": None}, "accepted: rectangular"),
    ({"/plate/family": 7}, "accepted: rectangular"),
    ({"/plate/family": ["rectangular"]}, "accepted: rectangular"),
    ({"/plate/family": "x" * 9_000}, "accepted: rectangular"),
]


@pytest.mark.parametrize(("changes", "says"), REFUSED, ids=lambda value: repr(value)[:60])
def test_a_bad_field_is_named_with_what_is_accepted(ask: Ask, changes: dict[str, Any], says: str) -> None:
    errors = problem(ask("POST", "/v1/prices", json=request(changes)), 422, "invalid-request")
    ((pointer, message),) = errors.items()
    assert pointer in changes
    assert says in message
    assert len(message) < 300


@pytest.mark.parametrize("plate", [None, 7, "rectangular", [], True], ids=repr)
def test_a_plate_is_an_object(ask: Ask, plate: Any) -> None:
    errors = problem(ask("POST", "/v1/prices", json=request({"/plate": plate})), 422, "invalid-request")
    assert "object" in errors["/plate"]


@pytest.mark.parametrize("body", [None, 7, "plate", [], True, [{}]], ids=repr)
def test_a_request_is_an_object(ask: Ask, body: Any) -> None:
    answer = ask("POST", "/v1/prices", content=json.dumps(body), headers={"content-type": "application/json"})
    assert "object" in problem(answer, 422, "invalid-request")[""]


def test_an_empty_object_lacks_its_plate(ask: Ask) -> None:
    assert set(problem(ask("POST", "/v1/prices", json={}), 422, "invalid-request")) == {"/plate"}


def test_unknown_fields_are_named_at_every_depth_with_those_accepted_there(ask: Ask) -> None:
    places = ("", "/plate", "/plate/pattern", "/plate/mounting", "/plate/marking", "/plate/pattern/origin", "/pins")
    body = request({f"{place}/colour": "blue" for place in places} | {"/plate/pattern/origin/x": "35 mm"})
    errors = problem(ask("POST", "/v1/prices", json=body), 422, "invalid-request")
    assert errors.pop("/plate/pattern/origin/y") == "is required and missing"
    assert set(errors) == {f"{place}/colour" for place in places}
    assert all("unknown field; accepted here: " in message for message in errors.values())
    assert "as_of, budget, need_by, pins, plate, quantity" in errors["/colour"]


def test_a_strangers_key_is_escaped_and_cut_short_in_its_pointer(ask: Ask) -> None:
    body = request()
    body["a/b~c"] = 1
    body["plate"]["k" * 9_000] = 1
    short, long = problem(ask("POST", "/v1/prices", json=body), 422, "invalid-request")
    assert short == "/a~1b~0c"
    assert long == "/plate/" + "k" * 80


def test_missing_fields_are_each_named(ask: Ask) -> None:
    body = {"plate": {"family": "rectangular"}}
    errors = problem(ask("POST", "/v1/prices", json=body), 422, "invalid-request")
    assert set(errors) == {"/plate/length", "/plate/width", "/plate/material"}


def test_faults_of_the_envelope_and_of_the_plate_come_in_one_answer(ask: Ask) -> None:
    bad = {
        "/quantity": 0,
        "/as_of": "someday",
        "/need_by": 7,
        "/budget": "lots",
        "/pins/rate_card": "latest",
        "/plate/length": 600,
        "/plate/material": None,
        "/plate/pattern/pitch": "-35 mm",
        "/plate/mounting/locate": "magnets",
        "/plate/colour": "blue",
    }
    assert set(problem(ask("POST", "/v1/prices", json=request(bad)), 422, "invalid-request")) == set(bad)


def test_faults_of_the_envelope_come_with_that_of_the_family(ask: Ask) -> None:
    bad = {"/quantity": 0, "/colour": "blue", "/plate/family": "oval"}
    assert set(problem(ask("POST", "/v1/prices", json=request(bad)), 422, "invalid-request")) == set(bad)


@pytest.mark.parametrize(
    "bad",
    [
        {"/as_of": "0001-01-01", "/need_by": "9999-12-31"},
        {"/budget": "1.001 USD", "/need_by": "9999-12-31"},
        {"/plate/material": "unobtainium", "/plate/finish": "gilded"},
        {"/plate/material": "unobtainium", "/plate/pattern/screw": "M13", "/plate/mounting/screw": "M15"},
        {"/need_by": "9999-12-31", "/plate/length": 600},
        {"/budget": "1 EUR", "/plate/material": "unobtainium"},
    ],
    ids=" and ".join,
)
def test_well_formed_values_that_will_not_do_come_in_one_answer_too(ask: Ask, bad: dict[str, Any]) -> None:
    assert set(problem(ask("POST", "/v1/prices", json=request(bad)), 422, "invalid-request")) == set(bad)


@pytest.mark.parametrize("absent", [["rate_card"], ["shop_data"], ["rate_card", "shop_data"]], ids=" and ".join)
def test_an_absent_pin_is_a_conflict_that_names_what_is_here(ask: Ask, absent: list[str]) -> None:
    body = request({f"/pins/{name}": DIGEST for name in absent})
    errors = problem(ask("POST", "/v1/prices", json=body), 409, "version-unavailable")
    assert set(errors) == {f"/pins/{name}" for name in absent}
    for version in installation().cards if "rate_card" in absent else installation().shops:
        assert version.digest in "".join(errors.values())
