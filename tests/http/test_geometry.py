"""Plates that are well described and can have no price: each refusal names the field, the figures and the way out."""

from typing import Any

import pytest

from tests.http.problem import problem
from tests.plates import request
from tests.serving import Ask

REFUSED: list[tuple[dict[str, Any], str, tuple[str, ...]]] = [
    ({"/plate/material": "unobtainium"}, "/plate/material", ("'unobtainium'", "al-6061-t6, al-7075-t6")),
    ({"/plate/finish": "gilded"}, "/plate/finish", ("'gilded'", "anodized, black-oxide, hard-anodized, plain")),
    ({"/plate/pattern/screw": "M13"}, "/plate/pattern/screw", ("'M13'", "M10, M12, M16")),
    ({"/plate/mounting/screw": "m16"}, "/plate/mounting/screw", ("'m16'", "M10, M12, M16")),
    ({"/plate/thickness": "99.7 mm"}, "/plate/thickness", ("99.7 mm", "99.6 mm")),
    ({"/plate/length": "3595 mm"}, "/plate/length", ("3595", "3594 x 1494")),
    ({"/plate/length": "100 m"}, "/plate/length", ("100000 x 450", "3594 x 1494")),
    (
        {"/plate/length": "69.9 mm", "/plate/mounting": {"surface": "none"}},
        "/plate/pattern/margin",
        ("35 mm", "no hole fits", "accepted: up to 34.95 mm"),
    ),
    ({"/plate/thickness": "0.9999 mm"}, "/plate/thickness", ("0.9999 mm", "accepted: at least 1 mm")),
    ({"/plate/pattern/margin": "225.1 mm"}, "/plate/pattern/margin", ("225.1 mm", "accepted: up to 225 mm")),
    ({"/plate/pattern/pitch": "0.0001 mm"}, "/plate/pattern/pitch", ("'0.0001 mm'", "holes", "5000000")),
    ({"/plate/pattern/pitch": "0.2 mm"}, "/plate/pattern/pitch", ("'0.2 mm'", "5990051 holes", "5000000")),
    (
        {"/plate/length": "100 mm", "/plate/width": "25 mm", "/plate/pattern/margin": "10 mm"},
        "/plate/mounting/screw",
        ("M16", "no room", "surface none"),
    ),
    (
        {"/plate/length": "100 mm", "/plate/width": "100 mm", "/plate/pattern/margin": "20 mm"},
        "/plate/mounting/locate",
        ("pins", "no room", "keys or none"),
    ),
    ({"/plate/pattern/locating": {"pitch": "50 mm"}}, "/plate/pattern/locating", ("separate",)),
    ({"/plate/pattern/arrangement": "separate"}, "/plate/pattern/pitch", ("locating and tapped",)),
    ({"/plate/pattern/origin": {"x": "10 m", "y": "35 mm"}}, "/plate/pattern/origin", ("10 m", "no hole fits")),
]


@pytest.mark.parametrize(("changes", "pointer", "says"), REFUSED, ids=lambda value: repr(value)[:60])
def test_a_plate_without_a_price_is_told_which_field_to_change(
    ask: Ask, changes: dict[str, Any], pointer: str, says: tuple[str, ...]
) -> None:
    errors = problem(ask("POST", "/v1/prices", json=request(changes)), 422, "invalid-request")
    assert set(errors) == {pointer}
    for part in says:
        assert part in errors[pointer]


PRICED: list[dict[str, Any]] = [
    {"/plate/thickness": "99.6 mm"},
    {"/plate/length": "3594 mm"},
    {"/plate/pattern/margin": "225 mm"},
    {"/plate/pattern/pitch": "0.22 mm", "/plate/mounting": {"surface": "none"}},
    {"/plate/thickness": "1 mm"},
    {"/plate/flatness": "0.0001 mm"},
    {"/plate/position_tolerance": "100 m"},
    {"/quantity": 100_000},
    {"/as_of": "2026-01-01"},
    {"/as_of": "2199-12-31", "/need_by": "1970-01-01"},
    {"/plate/marking/edges": []},
    {"/budget": "0 USD"},
    {"/budget": "999999999999.99 USD"},
    {"/plate/mounting": {"surface": "none"}, "/plate/pattern/pitch": "500 mm"},
]


@pytest.mark.parametrize("changes", PRICED, ids=lambda value: repr(value)[:60])
def test_the_last_value_that_is_accepted_has_a_price(ask: Ask, changes: dict[str, Any]) -> None:
    response = ask("POST", "/v1/prices", json=request(changes))
    assert response.status_code == 200, response.text


@pytest.mark.parametrize("pitch", ["0.25 mm", "0.5 mm", "2 mm"])
@pytest.mark.parametrize("as_of", ["2026-03-02", "2199-12-31"])
def test_an_order_of_more_work_than_the_calendar_holds_is_no_failure(ask: Ask, pitch: str, as_of: str) -> None:
    body = request({"/quantity": 100_000, "/plate/pattern/pitch": pitch, "/as_of": as_of})
    response = ask("POST", "/v1/prices", json=body)
    assert response.status_code in {200, 422}, response.text
