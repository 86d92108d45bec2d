"""`POST /v1/readings`: from a note to a part of a request, with the words for each answer."""

import asyncio
from typing import Any

import httpx
import pytest

from tallyplate.access.scopes import Scope
from tallyplate.http import readings
from tallyplate.http.app import MAX_BODY, create_app
from tallyplate.http.openapi import document
from tallyplate.http.openapi_readings import NOTE
from tallyplate.reading.note import MAX_NOTE
from tests.callers import gate
from tests.http.problem import problem
from tests.plates import installation
from tests.serving import Ask, asking

PATH = "/v1/readings"


def read(ask: Ask, note: str, **more: Any) -> dict[str, Any]:
    response = ask("POST", PATH, json={"note": note, **more})
    assert response.status_code == 200, response.text
    assert response.headers["content-type"] == "application/json"
    return response.json()


def test_what_was_read_is_a_request_that_can_be_asked_about(ask: Ask) -> None:
    answer = read(ask, NOTE)
    assert answer["request"]["quantity"] == 3
    assert answer["request"]["plate"]["thickness"] == "1 1/2 in"
    (thick,) = [one for one in answer["answers"] if one["pointer"] == "/plate/thickness"]
    assert thick["words"] == NOTE[thick["start"] : thick["end"]] == "inch and a half thick"
    assert "because" not in thick
    (alloy,) = answer["unclear"]
    assert (alloy["pointer"], alloy["words"]) == ("/plate/material", "alloy")
    assert "al-6061-t6" in alloy["choices"]
    assert [one["words"] for one in answer["not_understood"]] == ["goes on a table"]
    questions = ask("POST", "/v1/questions", json=answer["request"])
    assert questions.status_code == 200, questions.text
    assert questions.json()["open"][0]["pointer"] == "/plate/material"


def test_a_whole_note_is_priced_as_it_was_read(ask: Ask) -> None:
    answer = read(ask, "Plate 600 x 400 x 40 mm, 6061-T6, 2 off, needed 1 June", as_of="2026-03-02")
    assert answer["request"]["need_by"] == "2026-06-01"
    priced = ask("POST", "/v1/prices", json=answer["request"] | {"as_of": "2026-03-02"})
    assert priced.status_code == 200, priced.text
    assert priced.json()["quantity"] == 2


def test_the_date_of_the_note_is_the_callers_to_say(ask: Ask) -> None:
    undated = read(ask, "needed in two weeks")
    assert (undated["request"], undated["unclear"][0]["why"]) == ({"plate": {}}, "the date of the note is not said")
    assert read(ask, "needed in two weeks", as_of="2026-03-02")["request"]["need_by"] == "2026-03-16"


def test_places_count_characters_whatever_their_bytes(ask: Ask) -> None:
    note = "Grüße 🙂 Ø 500 mm, 2 off"
    for one in read(ask, note)["answers"]:
        assert one["words"] == note[one["start"] : one["end"]]


def test_bad_bodies_are_refused_by_field(ask: Ask) -> None:
    assert set(problem(ask("POST", PATH, json={}), 422, "invalid-request")) == {"/note"}
    assert set(problem(ask("POST", PATH, json={"note": 5}), 422, "invalid-request")) == {"/note"}
    assert set(problem(ask("POST", PATH, json={"note": "", "x": 1}), 422, "invalid-request")) == {"/x"}
    long = {"note": "x" * (MAX_NOTE + 1)}
    assert set(problem(ask("POST", PATH, json=long), 422, "invalid-request")) == {"/note"}
    for as_of in ("yesterday", "1066-10-14"):
        body = {"note": "", "as_of": as_of}
        assert set(problem(ask("POST", PATH, json=body), 422, "invalid-request")) == {"/as_of"}


def test_bodies_that_are_none_are_refused_like_those_of_a_price(ask: Ask) -> None:
    header = {"content-type": "application/json"}
    problem(ask("POST", PATH, content=b"{}", headers={"content-type": "text/plain"}), 415, "not-json")
    problem(ask("POST", PATH, content=b"{", headers=header), 400, "malformed-json")
    problem(ask("POST", PATH, content=b"[]", headers=header), 422, "invalid-request")
    problem(ask("POST", PATH, content=b" " * (MAX_BODY + 1), headers=header), 413, "too-large")


def test_the_document_describes_the_call() -> None:
    whole = document(installation())
    operation = whole["paths"][PATH]["post"]
    assert {"200", "400", "413", "415", "422"} <= set(operation["responses"])
    assert whole["components"]["schemas"]["ReadingRequest"]["properties"]["note"]["maxLength"] == MAX_NOTE
    assert set(whole["components"]["schemas"]["Reading"]["required"]) == {
        "request",
        "answers",
        "unclear",
        "not_understood",
    }


def test_the_service_goes_on_answering_while_a_note_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    order: list[str] = []
    alive = asyncio.Event()

    def slow(*_: Any) -> dict[str, int]:
        asyncio.run_coroutine_threadsafe(alive.wait(), loops[0]).result(timeout=30)
        order.append("reading")
        return {}

    loops: list[asyncio.AbstractEventLoop] = []
    monkeypatch.setattr(readings, "answered", slow)
    app = create_app(installation())

    async def both() -> None:
        loops.append(asyncio.get_running_loop())
        transport = httpx.ASGITransport(app)  # type: ignore[arg-type]  # typed tighter than ASGI
        async with httpx.AsyncClient(transport=transport, base_url="http://tallyplate.test") as client:
            waiting = asyncio.ensure_future(client.post(PATH, json={"note": ""}))
            await client.get("/health/live")
            order.append("alive")
            alive.set()
            await waiting

    asyncio.run(both())
    assert order == ["alive", "reading"]


def test_customers_may_have_notes_read_and_machines_that_only_measure_may_not() -> None:
    customer, meter = (asking(create_app(installation(), gate(scope))) for scope in (Scope.PRICE, Scope.METRICS))
    assert customer("POST", PATH, json={"note": "2 off"}).json()["request"] == {"plate": {}, "quantity": 2}
    problem(meter("POST", PATH, json={"note": "2 off"}), 401, "unauthorized")
