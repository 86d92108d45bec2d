"""`POST /v1/hole-schedules`: formats by Accept, one table as CSV, and the schema that JSON keeps."""

import csv
import io
import re
from typing import Any

import openpyxl
import pytest

from tallyplate.http.app import create_app
from tests.callers import customers
from tests.documents.plates import BASES
from tests.http.problem import problem
from tests.http.schemas import schema
from tests.plates import installation, request
from tests.serving import Ask, asking

PATH = "/v1/hole-schedules"
JSON, CSV = "application/json", "text/csv"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def _ask(ask: Ask, accept: str = JSON, **options: Any) -> Any:
    return ask("POST", PATH, json={**request(), "schedule": options}, headers={"accept": accept})


@pytest.mark.parametrize("name", BASES)
def test_the_json_is_what_the_document_describes(ask: Ask, name: str) -> None:
    response = ask("POST", PATH, json=BASES[name])
    assert response.status_code == 200
    assert response.headers["content-type"] == JSON
    found = list(schema("HoleSchedule").iter_errors(response.json()))
    assert not found


@pytest.mark.parametrize(
    ("accept", "media_type"),
    [
        ("*/*", JSON),
        (CSV, CSV),
        ("text/*", CSV),
        (XLSX, XLSX),
        (f"{JSON};q=0.5, {XLSX}", XLSX),
        (f"{CSV};q=0, */*", JSON),
    ],
)
def test_the_format_is_the_one_liked_best(ask: Ask, accept: str, media_type: str) -> None:
    response = _ask(ask, accept)
    assert response.status_code == 200
    assert response.headers["content-type"].partition(";")[0] == media_type
    assert response.headers["vary"] == "Accept"


def test_all_formats_have_the_same_holes(ask: Ask) -> None:
    holes = [(hole["name"], hole["face"]) for hole in _ask(ask).json()["holes"]]
    rows = list(csv.DictReader(io.StringIO(_ask(ask, CSV).content.decode("utf-8-sig"), newline="")))
    sheet = openpyxl.load_workbook(io.BytesIO(_ask(ask, XLSX).content))["Holes"]
    assert [(row["name"], row["face"]) for row in rows] == holes
    assert [row[:2] for row in sheet.iter_rows(min_row=2, values_only=True)] == holes


@pytest.mark.parametrize("table", ["holes", "types", "parts"])
def test_csv_holds_the_table_asked_for_under_its_name(ask: Ask, table: str) -> None:
    response = _ask(ask, CSV, table=table)
    first = {"holes": "name,face", "types": "type,faces", "parts": "item,kind"}[table]
    assert response.content.decode("utf-8-sig").startswith(first)
    assert response.headers["content-disposition"].endswith(f'-{table}.csv"')


def test_a_format_that_is_not_on_offer_is_refused_with_those_that_are(ask: Ask) -> None:
    errors = problem(_ask(ask, "text/html"), 406, "not-acceptable")
    assert f"accepted: {JSON}, {CSV}, {XLSX}" in errors[""]


@pytest.mark.parametrize("media_type", [JSON, CSV, XLSX])
def test_equal_tags_are_equal_bytes(ask: Ask, media_type: str) -> None:
    answers = [_ask(ask, media_type), _ask(ask, media_type, unit="mm"), _ask(ask, media_type, unit="in")]
    tags = [answer.headers["etag"] for answer in answers]
    assert tags[0] == tags[1] != tags[2]
    assert answers[0].content == answers[1].content != answers[2].content
    assert re.fullmatch(r'"[0-9a-f]{32}"', tags[0])


@pytest.mark.parametrize(
    ("options", "pointer"),
    [({"unit": "cm"}, "/schedule/unit"), ({"table": "screws"}, "/schedule/table"), ({"page": 1}, "/schedule/page")],
)
def test_a_wrong_option_is_refused_where_it_stands(ask: Ask, options: dict[str, Any], pointer: str) -> None:
    errors = problem(_ask(ask, **options), 422, "invalid-request")
    assert set(errors) == {pointer}
    assert "accepted" in errors[pointer]


def test_a_plate_that_cannot_be_made_says_so(ask: Ask) -> None:
    assert _ask(ask).json()["faults"] == []
    response = ask("POST", PATH, json=request({"/plate/pattern/pitch": "20 mm"}))
    assert "thin-wall" in response.json()["faults"]
    assert "not-for-manufacture" in response.headers["content-disposition"]


def test_a_service_for_customers_lists_the_same(ask: Ask) -> None:
    outside = asking(create_app(installation(), customers()))
    assert _ask(outside).content == _ask(ask).content
    said = outside("GET", "/openapi.json").json()["paths"]
    assert {PATH, "/v1/drawings"} <= set(said)
