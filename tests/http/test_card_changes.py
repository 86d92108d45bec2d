"""What changed from one rate card to another, figure by figure."""

from pathlib import Path

import pytest

import tallyplate
from tallyplate.http.app import create_app
from tests.rates.folder import write_data
from tests.serving import Ask, asking

PATH = "/v1/rate-cards/changes"
FIRST, SECOND, LATER = "harrow-pell-2026-01", "invented-2026-02", "invented-2099"


def _card(name: str, since: str, *lines: str) -> str:
    head = f'id = "{name}"\ninherits = "{FIRST}"\neffective_from = {since}\n\n'
    return head + "\n".join(lines) + "\n# end\n"


@pytest.fixture(scope="module")
def three(tmp_path_factory: pytest.TempPathFactory) -> Ask:
    """A service with the demonstration's card, one that is in force instead of it, and one that is to come."""
    folder = tmp_path_factory.mktemp("cards")
    write_data(folder)
    second = ("[work_centers]", 'mill = "105.60 USD/h"', "[stock]", 'cut = "2.80 USD/piece"')
    (folder / "rate_cards" / "second.toml").write_text(_card(SECOND, "2026-01-02", *second))
    later = (
        "[work_centers]",
        'mill = "2 USD/min"',
        "[finishing.finish.plain]",
        'area = "30 USD/m2"',
        'minimum = "40 USD"',
    )
    (folder / "rate_cards" / "later.toml").write_text(_card(LATER, "2099-01-01", *later))
    return asking(create_app(tallyplate.load(folder)))


def test_usually_the_card_in_force_is_held_against_the_one_before(three: Ask) -> None:
    answer = three("GET", PATH).json()
    assert (answer["a"]["id"], answer["b"]["id"]) == (FIRST, SECOND)
    listed = {offer["id"]: offer for offer in three("GET", "/v1/rate-cards").json()}
    assert (answer["a"], answer["b"]) == (listed[FIRST], listed[SECOND])
    assert answer["changes"] == [
        # 96 to 105.60 USD/h is a tenth more, 3.50 to 2.80 USD a fifth less.
        {"figure": "work_centers.mill", "a": "96 USD/h", "b": "105.60 USD/h", "percent": "10.00"},
        {"figure": "stock.cut", "a": "3.50 USD/piece", "b": "2.80 USD/piece", "percent": "-20.00"},
    ]


def test_any_two_cards_are_held_against_each_other_and_what_is_new_or_gone_is_said(three: Ask) -> None:
    there = three("GET", f"{PATH}?a={SECOND}&b={LATER}").json()["changes"]
    assert {"figure": "work_centers.mill", "a": "105.60 USD/h", "b": "2 USD/min", "percent": None} in there
    assert {"figure": "finishing.finish.plain.area", "a": None, "b": "30 USD/m2", "percent": None} in there
    back = three("GET", f"{PATH}?a={LATER}&b={SECOND}").json()["changes"]
    assert {(one["figure"], one["a"], one["b"]) for one in back} == {
        (one["figure"], one["b"], one["a"]) for one in there
    }


def test_a_card_against_itself_has_no_changes_and_the_first_has_none_before(three: Ask) -> None:
    assert three("GET", f"{PATH}?a={FIRST}&b={FIRST}").json()["changes"] == []
    answer = three("GET", f"{PATH}?b={FIRST}").json()
    assert (answer["a"], answer["changes"]) == (None, [])


def test_a_card_that_is_not_here_is_refused_with_those_that_are(three: Ask) -> None:
    response = three("GET", f"{PATH}?a=nobodys&b={FIRST}")
    assert response.status_code == 422
    (fault,) = response.json()["errors"]
    assert fault["message"] == f"the query parameter a is 'nobodys'; accepted: one of {FIRST}, {SECOND}, {LATER}"
    assert three("GET", f"{PATH}?a={FIRST}&a={SECOND}").status_code == 422


def test_no_change_of_the_files_alone_is_told(three: Ask, tmp_path: Path) -> None:
    """Neither an id, a date nor how a card inherits is a figure."""
    write_data(tmp_path)
    (tmp_path / "rate_cards" / "same.toml").write_text(_card("same", "2026-01-02"))
    answer = asking(create_app(tallyplate.load(tmp_path)))("GET", PATH).json()
    assert answer["b"]["id"] == "same"
    assert answer["changes"] == []
