"""A card that is not in force: read like any other, inheriting from the cards that are here."""

from datetime import date
from typing import Any

import pytest

from tallyplate.decoding import shown
from tallyplate.rates.card import RateCard
from tallyplate.rates.files import DataError, written
from tallyplate.rates.inherit import Written
from tallyplate.tradeoffs.draft import draft
from tests.plates import DATA, installation
from tests.strategies import CARD

HERE = installation()
FILE = DATA / "rate_cards" / "2026-01.toml"


def _draft(**says: Any) -> RateCard:
    return _made(Written("draft.toml", {"inherits": CARD.id, **says}, {("inherits",): 3}))


def _made(one: Written) -> RateCard:
    return draft(one, HERE.cards, HERE.modules, HERE.shops[-1])


def test_what_a_draft_does_not_say_it_has_from_the_card_that_it_inherits() -> None:
    made = _draft(id="next", effective_from=date(2027, 1, 1), work_centers={"mill": "99 USD/h"})
    assert (made.id, made.effective_from) == ("next", date(2027, 1, 1))
    assert made.work_centers["mill"].text == "99.00"
    assert made.work_centers["saw"] == CARD.work_centers["saw"]
    assert made.sections.keys() == CARD.sections.keys()


def test_a_draft_may_bear_the_id_of_the_card_that_it_would_replace() -> None:
    made = _draft(id=CARD.id, work_centers={"mill": "99 USD/h"})
    assert made.id == CARD.id
    assert made.digest != CARD.digest


def test_a_draft_that_changes_nothing_is_the_same_card() -> None:
    assert _draft().digest == CARD.digest
    assert _made(written("copy.toml", FILE.read_bytes())).digest == CARD.digest


def test_a_date_as_text_is_the_date() -> None:
    assert _draft(effective_from="2027-01-01").digest == _draft(effective_from=date(2027, 1, 1)).digest


@pytest.mark.parametrize("parent", ["no-such-card", "", ["x"], 7, "x" * 5000], ids=lambda value: repr(value)[:20])
def test_a_parent_that_is_not_here_is_named_with_its_line_and_those_that_are(parent: Any) -> None:
    with pytest.raises(DataError) as refused:
        _draft(inherits=parent)
    (problem,) = refused.value.problems
    assert problem.startswith(f"draft.toml:3: inherits: {shown(parent)}"[:60])
    assert problem.endswith(f"is not here; accepted: {CARD.id}")
    assert len(problem) < 250


def test_every_problem_is_named_by_its_key() -> None:
    with pytest.raises(DataError) as refused:
        _draft(work_centers={"mill": "99 USD/kg"}, margin={"of_price": "22 USD"}, surprise={})
    for key in ("work_centers.mill", "margin.of_price", "surprise"):
        assert any(f": {key}: " in problem for problem in refused.value.problems), key


def test_what_the_shop_offers_and_a_draft_does_not_price_is_named() -> None:
    data = written("copy.toml", FILE.read_bytes()).data
    del data["stock"]["price"]["acetal"], data["work_centers"]["bench"]
    with pytest.raises(DataError) as refused:
        _made(Written("copy.toml", data, {}))
    assert any("stock.price.acetal" in problem for problem in refused.value.problems)
    assert any("work_centers.bench" in problem for problem in refused.value.problems)
