"""`POST /v1/drawings`: formats by Accept, options beside the request, refusals that name the field."""

import re
from typing import Any

import pytest

from tallyplate.http import drawings
from tallyplate.http.app import create_app
from tests.callers import customers
from tests.documents.drawing import parsed
from tests.http.problem import problem
from tests.http.schemas import schema
from tests.plates import MINIMAL, installation, request
from tests.serving import Ask, asking

PATH = "/v1/drawings"
SVG, DXF = "image/svg+xml", "image/vnd.dxf"


def _asked(changes: dict[str, Any] | None = None, **options: Any) -> dict[str, Any]:
    return {**request(changes), "drawing": options}


@pytest.mark.parametrize(
    ("accept", "media_type"),
    [
        (None, SVG),
        ("*/*", SVG),
        (DXF, DXF),
        (f"{SVG};q=0.2, {DXF};q=0.9", DXF),
        (f"*/*, {SVG};q=0", DXF),
        ("image/*", SVG),
    ],
)
def test_the_format_is_the_one_liked_best(ask: Ask, accept: str | None, media_type: str) -> None:
    response = ask("POST", PATH, json=request(), headers={"accept": accept} if accept else {})
    assert response.status_code == 200
    assert response.headers["content-type"].partition(";")[0] == media_type
    assert response.headers["vary"] == "Accept"
    begins = b"<svg " if media_type == SVG else b"  0\nSECTION\n"
    assert response.content.startswith(begins)


def test_a_format_that_is_not_on_offer_is_refused_with_those_that_are(ask: Ask) -> None:
    response = ask("POST", PATH, json=request(), headers={"accept": "application/pdf, text/*;q=0.5"})
    errors = problem(response, 406, "not-acceptable")
    assert f"accepted: {SVG}, {DXF}" in errors[""]


def test_a_service_without_the_library_offers_svg_alone(ask: Ask, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(drawings, "find_spec", lambda _: None)
    errors = problem(ask("POST", PATH, json=request(), headers={"accept": DXF}), 406, "not-acceptable")
    assert errors[""].endswith(f"accepted: {SVG}")
    assert ask("POST", PATH, json=request()).status_code == 200


def test_a_document_has_a_name_and_a_browser_runs_nothing_in_it(ask: Ask) -> None:
    response = ask("POST", PATH, json=request())
    assert response.headers["content-disposition"] == 'inline; filename="plate-700x450x40-al-6061-t6-drawing.svg"'
    assert response.headers["content-security-policy"] == "default-src 'none'; sandbox"
    assert response.headers["x-content-type-options"] == "nosniff"
    response = ask("POST", PATH, json=request(), headers={"accept": DXF})
    assert response.headers["content-disposition"] == 'attachment; filename="plate-700x450x40-al-6061-t6-drawing.dxf"'


@pytest.mark.parametrize("media_type", [SVG, DXF])
def test_equal_tags_are_equal_bytes_and_other_drawings_have_other_tags(ask: Ask, media_type: str) -> None:
    same = request({"/plate/length": "0.7 m", "/plate/pattern/margin": "3.5 cm", "/plate/position_tolerance": "30 um"})
    answers = [
        ask("POST", PATH, json=body, headers={"accept": media_type})
        for body in (
            request(),
            same,
            _asked(),
            _asked(scale="1:10"),
            _asked(title="x"),
            request({"/plate/width": "460 mm"}),
        )
    ]
    tags = [answer.headers["etag"] for answer in answers]
    assert all(re.fullmatch(r'"[0-9a-f]{32}"', tag) for tag in tags)
    assert len({answer.content for answer in answers}) == len(set(tags)) == 4
    assert tags[0] == tags[1] == tags[2]


def test_options_change_what_they_name(ask: Ask) -> None:
    body = _asked(paper="A2", scale="1:5", projection="first_angle", unit="in", title="Base plate", number="T-17")
    svg = ask("POST", PATH, json=body).text
    assert parsed(svg).attrib["width"] == "594mm"
    for words in ("Base plate", "T-17", "1:5", "first angle", "27.5591"):
        assert f">{words}<" in svg


WRONG: list[tuple[dict[str, Any], str, tuple[str, ...]]] = [
    ({"scale": "1:3"}, "/drawing/scale", ("'1:3'", "accepted:", "1:2.5")),
    ({"scale": 5}, "/drawing/scale", ("5 is a number; accepted, as text:",)),
    ({"scale": "1:1", "paper": "A4"}, "/drawing/scale", ("'1:1'", "A4", "1:10", "larger paper")),
    ({"projection": "second_angle"}, "/drawing/projection", ("first_angle, third_angle",)),
    ({"unit": "cm"}, "/drawing/unit", ("mm, in",)),
    ({"paper": "A5"}, "/drawing/paper", ("A4, A3",)),
    ({"title": 7}, "/drawing/title", ("7 is a number; accepted: text",)),
    ({"title": "x" * 201}, "/drawing/title", ("200",)),
    ({"colour": "blue"}, "/drawing/colour", ("paper, projection, scale",)),
]


@pytest.mark.parametrize(("options", "pointer", "says"), WRONG, ids=lambda value: repr(value)[:40])
def test_a_wrong_option_is_refused_where_it_stands(
    ask: Ask, options: dict[str, Any], pointer: str, says: tuple[str, ...]
) -> None:
    errors = problem(ask("POST", PATH, json=_asked(**options)), 422, "invalid-request")
    assert set(errors) == {pointer}
    assert all(part in errors[pointer] for part in says), errors


def test_faults_of_plate_and_options_are_told_together(ask: Ask) -> None:
    body = _asked({"/plate/length": "x"}, scale="1:3")
    errors = problem(ask("POST", PATH, json=body), 422, "invalid-request")
    assert set(errors) == {"/plate/length", "/drawing/scale"}


@pytest.mark.parametrize("drawing", [None, 1, "A3", ["A3"]])
def test_options_that_are_no_object_are_refused(ask: Ask, drawing: Any) -> None:
    errors = problem(ask("POST", PATH, json={**request(), "drawing": drawing}), 422, "invalid-request")
    assert set(errors) == {"/drawing"}


@pytest.mark.parametrize("body", [b"", b"{", b"[]", b'"x"', b"null", b"1"])
def test_what_is_no_request_is_refused(ask: Ask, body: bytes) -> None:
    response = ask("POST", PATH, content=body, headers={"content-type": "application/json"})
    assert response.status_code in {400, 422}
    assert response.headers["content-type"] == "application/problem+json"


def test_another_media_type_is_refused(ask: Ask) -> None:
    problem(ask("POST", PATH, content=b"{}", headers={"content-type": "text/plain"}), 415, "not-json")


def test_a_plate_of_too_many_holes_is_refused(ask: Ask) -> None:
    body = request({"/plate/pattern/pitch": "0.5 mm", "/plate/mounting": {"surface": "none"}})
    errors = problem(ask("POST", PATH, json=body), 422, "invalid-request")
    assert "accepted: a plate of at most 250000 holes" in errors["/plate/pattern"]


def test_a_plate_that_cannot_be_made_is_drawn_with_a_warning(ask: Ask) -> None:
    response = ask("POST", PATH, json=request({"/plate/pattern/pitch": "20 mm"}))
    assert response.status_code == 200
    assert "NOT FOR MANUFACTURE: " in response.text
    assert "not-for-manufacture" in response.headers["content-disposition"]
    assert "NOT FOR MANUFACTURE" not in ask("POST", PATH, json=request()).text


def test_a_plate_that_no_card_prices_is_refused_as_its_price_is(ask: Ask) -> None:
    body = request({"/as_of": "1999-01-01"})
    drawn, priced = (ask("POST", path, json=body) for path in (PATH, "/v1/prices"))
    assert drawn.status_code == priced.status_code
    assert drawn.json()["errors"] == priced.json()["errors"]


def test_a_service_for_customers_draws_the_same_and_no_drawing_shows_money(ask: Ask) -> None:
    outside = asking(create_app(installation(), customers()))
    price = ask("POST", "/v1/prices", json=request()).json()
    for accept in (SVG, DXF):
        inside, out = (one("POST", PATH, json=request(), headers={"accept": accept}) for one in (ask, outside))
        assert inside.content == out.content
        assert not {price["total"], price["unit_price"], price["currency"]} & set(re.split(r"[\s<>]+", inside.text))


def test_the_document_describes_the_request(ask: Ask) -> None:
    described = schema("DrawingRequest")
    for body in (MINIMAL, _asked(scale="1:5", paper="ANSI B", unit="in")):
        assert described.is_valid(body)
        assert ask("POST", PATH, json=body).status_code == 200
    wrong: list[dict[str, Any]] = [{"scale": "1:3"}, {"colour": "blue"}, {"title": "x" * 201}]
    for options in wrong:
        assert not described.is_valid(_asked(**options))
