"""`POST /v1/contours`: its answer goes into a spec and is priced; its body is bounded; its refusals name the field."""

from typing import Any

import pytest

from tallyplate.contours.reading import MOST_CHARACTERS
from tallyplate.http.limits import MOST_OF_A_DRAWING
from tallyplate.http.openapi_contours import PAIRS
from tests.families.test_features import BARE
from tests.http.problem import problem
from tests.plates import request
from tests.serving import Ask

PATH = "/v1/contours"
CIRCLE = "".join(f"{code}\n{value}\n" for code, value in PAIRS)


def test_what_is_read_goes_into_a_plate_and_is_priced(ask: Ask) -> None:
    answer = ask("POST", PATH, json={"dxf": CIRCLE, "layer": "CUT"})
    assert answer.status_code == 200
    read = answer.json()
    assert read["features"] == [{"feature": "cut_out", "at": {"x": "120 mm", "y": "80 mm"}, "diameter": "50 mm"}]
    assert (read["unit"], read["chord_error"], read["not_understood"]) == ("mm", "0.05 mm", [])
    priced = ask("POST", "/v1/prices", json=request({**BARE, "/plate/features": read["features"]}))
    assert "cut-out \u00d850 mm" in [line["item"] for line in priced.json()["lines"]]


@pytest.mark.parametrize(
    ("asked", "pointer"),
    [
        ({"layer": "CUT"}, "/dxf"),
        ({"dxf": CIRCLE}, "/layer"),
        ({"dxf": CIRCLE, "layer": "cut"}, "/layer"),
        ({"dxf": "0\nx", "layer": "CUT"}, "/dxf"),
        ({"dxf": "", "layer": "CUT"}, "/dxf"),
        ({"dxf": "no drawing", "layer": "CUT"}, "/dxf"),
        ({"dxf": "0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n", "layer": "CUT"}, "/dxf"),
        ({"dxf": "x\nx", "layer": "CUT"}, "/dxf"),
        ({"dxf": CIRCLE, "layer": "CUT", "unit": "in"}, "/unit"),
        ({"dxf": CIRCLE, "layer": "CUT", "unit": "mile"}, "/unit"),
        ({"dxf": CIRCLE, "layer": "CUT", "chord_error": "2 mm"}, "/chord_error"),
        ({"dxf": CIRCLE, "layer": "CUT", "feature": "pocket"}, "/depth"),
        ({"dxf": CIRCLE, "layer": "CUT", "depth": "9 mm"}, "/depth"),
        ({"dxf": CIRCLE, "layer": "CUT", "origin_x": "9 mm"}, "/origin_x"),
        ({"dxf": CIRCLE, "layer": "CUT", "origin_x": 1e308, "origin_y": -1e308}, "/dxf"),
        ({"dxf": CIRCLE, "layer": "CUT", "colour": 3}, "/colour"),
        ({"dxf": "x" * (MOST_CHARACTERS + 1), "layer": "CUT"}, "/dxf"),
    ],
)
def test_a_refusal_names_the_field(ask: Ask, asked: dict[str, Any], pointer: str) -> None:
    found = problem(ask("POST", PATH, json=asked), 422, "invalid-request")
    assert list(found) == [pointer]


def test_a_body_beyond_the_limit_is_refused(ask: Ask) -> None:
    response = ask("POST", PATH, json={"dxf": "x" * MOST_OF_A_DRAWING, "layer": "CUT"})
    problem(response, 413, "too-large")
    assert f"at most {MOST_OF_A_DRAWING} bytes" in response.json()["detail"]


def test_only_json_is_read(ask: Ask) -> None:
    response = ask("POST", PATH, content=CIRCLE.encode(), headers={"content-type": "image/vnd.dxf"})
    problem(response, 415, "not-json")
