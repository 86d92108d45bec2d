"""`POST /v1/alternatives`: plates within a budget, inside and outside, and what is refused."""

import asyncio
import json
import time
from decimal import Decimal
from typing import Any

import httpx
import pytest

from tallyplate.http import alternatives
from tallyplate.http.app import MAX_BODY, create_app
from tests.callers import customers
from tests.http.problem import problem
from tests.http.schemas import schema
from tests.plates import ABSENT, MINIMAL, installation, request
from tests.serving import Ask, asking
from tests.tradeoffs.effects import ROUND, with_changes

PATH = "/v1/alternatives"
FREE = ["/plate/finish", {"pointer": "/plate/pattern/pitch", "values": ["40 mm", "50 mm"]}]


def _asked(budget: str = "4000.00 USD", base: dict[str, Any] | None = None) -> dict[str, Any]:
    return request({"/budget": budget, "/may_change": FREE}, base)


def _answer(ask: Ask, body: Any) -> dict[str, Any]:
    response = ask("POST", PATH, json=body)
    assert response.status_code == 200, response.text
    assert response.headers["content-type"] == "application/json"
    answer: dict[str, Any] = response.json()
    return answer


@pytest.mark.parametrize("base", [None, MINIMAL, ROUND], ids=["millimetres", "inches", "round"])
def test_alternatives_are_as_the_document_describes_and_applied_have_their_prices(
    ask: Ask, base: dict[str, Any] | None
) -> None:
    asked = _asked(base=base)
    answer = _answer(ask, asked)
    assert schema("AlternativesAnswer").is_valid(answer)
    assert schema("AlternativesRequest").is_valid(asked)
    assert answer["alternatives"]
    plain = {name: value for name, value in asked.items() if name != "may_change"}
    for one in answer["alternatives"]:
        changed = with_changes(plain, {change["pointer"]: change["to"] for change in one["changes"]})
        assert ask("POST", "/v1/prices", json=changed).json()["total"] == one["total"]
        assert Decimal(one["total"]) <= 4000


def test_each_alternative_says_in_one_sentence_what_is_given_up_and_saved(ask: Ask) -> None:
    answer = _answer(ask, _asked())
    plain = {name: value for name, value in _asked().items() if name != "may_change"}
    changed = with_changes(plain, {"/plate/finish": "plain", "/plate/pattern/pitch": "50 mm"})
    total = Decimal(ask("POST", "/v1/prices", json=changed).json()["total"])
    (one,) = [one for one in answer["alternatives"] if Decimal(one["total"]) == total]
    present = answer["present"]
    fewer = f"{present['positions'] - one['positions']} of {present['positions']} clamping positions"
    assert one["sentence"] == (
        f"Finish plain instead of anodized and pitch 50 mm instead of 35 mm: gives up {fewer}; "
        f"saves {Decimal(present['total']) - total} USD."
    )
    assert one["changes"] == [
        {"pointer": "/plate/finish", "from": "anodized", "to": "plain"},
        {"pointer": "/plate/pattern/pitch", "from": "35 mm", "to": "50 mm"},
    ]


def test_where_nothing_fits_the_cheapest_stands_with_what_drives_it(ask: Ask) -> None:
    answer = _answer(ask, _asked("100.00 USD"))
    nothing = answer["nothing_fits"]
    assert schema("AlternativesAnswer").is_valid(answer)
    assert answer["alternatives"] == []
    plain = {name: value for name, value in _asked().items() if name != "may_change"}
    changes = {change["pointer"]: change["to"] for change in nothing["cheapest"]["changes"]}
    price = ask("POST", "/v1/prices", json=with_changes(plain, changes)).json()
    assert price["total"] == nothing["cheapest"]["total"]
    amounts: dict[str, Decimal] = {}
    for line in price["lines"]:
        amounts[line["module"]] = amounts.get(line["module"], Decimal(0)) + Decimal(line["amount"])
    assert [Decimal(one["amount"]) for one in nothing["drivers"]] == sorted(amounts.values(), reverse=True)[:3]
    assert nothing["sentence"].startswith(
        f"Nothing fits 100.00 USD: the cheapest of {answer['possible']} plates that can be made costs "
        f"{price['total']} USD; its largest parts are {nothing['drivers'][0]['name']} ("
    )


def test_where_no_combination_can_be_made_there_is_no_cheapest(ask: Ask) -> None:
    tight = request(
        {"/plate/position_tolerance": "0.001 mm", "/budget": "9000.00 USD", "/may_change": ["/plate/finish"]}
    )
    answer = _answer(ask, tight)
    assert (answer["possible"], answer["alternatives"]) == (0, [])
    assert answer["nothing_fits"] == {
        "sentence": "Nothing fits 9000.00 USD: none of the combinations can be made.",
        "drivers": [],
    }
    assert not answer["present"]["can_be_made"]


def test_the_outside_form_names_kinds_of_work_by_what_they_sell_for_and_no_inside_figure(ask: Ask) -> None:
    outside = asking(create_app(installation(), customers()))
    assert outside("POST", PATH, json=_asked()).content == ask("POST", PATH, json=_asked()).content
    inside, answer = _answer(ask, _asked("100.00 USD")), _answer(outside, _asked("100.00 USD"))
    drivers = answer["nothing_fits"].pop("drivers")
    plain = {name: value for name, value in _asked().items() if name != "may_change"}
    changes = {change["pointer"]: change["to"] for change in answer["nothing_fits"]["cheapest"]["changes"]}
    sold = outside("POST", "/v1/prices", json=with_changes(plain, changes)).json()["lines"]
    assert [(one["name"], one["amount"]) for one in drivers] == [
        (line["item"], line["amount"]) for line in sorted(sold, key=lambda line: -Decimal(line["amount"]))[:3]
    ]
    told = json.dumps(answer)
    assert all(name not in told for name in ("margin", "overhead", 'rate"', "hours", "module"))
    inside_only = {one["amount"] for one in inside["nothing_fits"]["drivers"]} - {one["amount"] for one in drivers}
    assert inside_only
    assert not [amount for amount in inside_only if amount in told]


def test_a_budget_is_required_and_every_fault_of_the_request_is_named_with_it(ask: Ask) -> None:
    bad = request({"/plate/length": 600, "/may_change": FREE})
    errors = problem(ask("POST", PATH, json=bad), 422, "invalid-request")
    assert set(errors) == {"/budget", "/plate/length"}
    assert errors["/budget"].startswith("is required and missing")
    foreign = problem(ask("POST", PATH, json=_asked("4000.00 EUR")), 422, "invalid-request")
    assert foreign["/budget"] == "'EUR' is not the currency of the rate card; accepted: USD"


def test_faults_of_what_may_change_are_named(ask: Ask) -> None:
    bad = {**_asked(), "may_change": ["/plate/colour", {"pointer": "/plate/thickness", "values": ["thick"]}]}
    assert set(problem(ask("POST", PATH, json=bad), 422, "invalid-request")) == {
        "/may_change/0",
        "/may_change/1/values/0",
    }


def test_too_many_combinations_are_refused_with_their_number(ask: Ask) -> None:
    values = [f"{number}.5 mm" for number in range(10, 110)]
    pointers = ("/plate/thickness", "/plate/pattern/pitch", "/plate/flatness")
    many = {**_asked(), "may_change": [{"pointer": pointer, "values": values} for pointer in pointers]}
    errors = problem(ask("POST", PATH, json=many), 422, "invalid-request")
    assert errors["/may_change"].startswith("1030301 combinations")


def test_bodies_that_are_none_are_refused_like_those_of_a_price(ask: Ask) -> None:
    header = {"content-type": "application/json"}
    problem(ask("POST", PATH, content=b"{}", headers={"content-type": "text/csv"}), 415, "not-json")
    problem(ask("POST", PATH, content=b"{", headers=header), 400, "malformed-json")
    problem(ask("POST", PATH, content=b" " * (MAX_BODY + 1), headers=header), 413, "too-large")
    problem(ask("POST", PATH, content=b"5", headers=header), 422, "invalid-request")
    absent = request({"/budget": "1.00 USD", "/pins/rate_card": "0" * 64})
    problem(ask("POST", PATH, json=absent), 409, "version-unavailable")


def test_a_request_without_a_date_or_a_choice_of_its_own_has_alternatives(ask: Ask) -> None:
    answer = _answer(ask, request({"/as_of": ABSENT, "/budget": "9000.00 USD"}, MINIMAL))
    assert answer["as_of"] == installation().today().isoformat()
    assert answer["examined"] > 1000
    assert len(answer["alternatives"]) > 20


def test_the_service_goes_on_answering_while_alternatives_are_found(monkeypatch: pytest.MonkeyPatch) -> None:
    order: list[str] = []

    def slow(*_: Any) -> dict[str, int]:
        time.sleep(0.3)
        order.append("alternatives")
        return {}

    monkeypatch.setattr(alternatives, "answered", slow)
    app = create_app(installation())

    async def both() -> None:
        transport = httpx.ASGITransport(app)  # type: ignore[arg-type]  # typed tighter than ASGI
        async with httpx.AsyncClient(transport=transport, base_url="http://tallyplate.test") as client:
            waiting = asyncio.ensure_future(client.post(PATH, json=MINIMAL))
            await asyncio.sleep(0.05)
            await client.get("/health/live")
            order.append("alive")
            await waiting

    asyncio.run(both())
    assert order == ["alive", "alternatives"]


def test_the_same_request_gives_the_same_bytes(ask: Ask) -> None:
    first, second = (ask("POST", PATH, json=_asked()).content for _ in range(2))
    assert first == second
