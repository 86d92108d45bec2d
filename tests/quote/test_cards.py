"""Rate cards with and without a section on quotes."""

from pathlib import Path

import msgspec
import pytest

from tallyplate.contract import Refusal
from tallyplate.installation import Form, compose
from tallyplate.quoting import quote
from tallyplate.rates.files import DataError
from tallyplate.rates.kinds import card_type
from tallyplate.rates.load import rate_cards
from tallyplate.rates.schema import json_schema
from tests.plates import DATA, MINIMAL, ROOT, installation
from tests.quote.quotes import CUSTOMER, ISSUED

HERE = installation()
OLD = ROOT / "tests" / "replay" / "data"


def test_a_card_that_says_nothing_of_quotes_loads_and_prices_as_before() -> None:
    here = compose(HERE.families, HERE.modules, OLD)
    assert not any(card.quotes for card in here.cards)
    assert here.price(MINIMAL | {"as_of": "2025-03-03"}).total


def test_a_card_that_says_nothing_of_quotes_makes_none_and_says_why() -> None:
    here = compose(HERE.families, HERE.modules, OLD)
    with pytest.raises(Refusal, match=r"states nothing about quotes; accepted: one with a section \[quotes\]"):
        quote({"plate": MINIMAL["plate"], "quote": {"customer": CUSTOMER}}, here, Form.INSIDE, ISSUED)


def test_what_is_said_of_quotes_changes_no_price() -> None:
    written = (DATA / "rate_cards" / "2026-01.toml").read_text()
    assert "[quotes]" in written
    request = {name: value for name, value in MINIMAL.items() if name != "as_of"}
    card = HERE.cards[-1]
    bare = msgspec.structs.replace(card, quotes=msgspec.UNSET)
    assert HERE.price_under(request, bare, None, ISSUED) == HERE.price_under(request, card, None, ISSUED)


def test_the_schema_of_cards_completes_quotes_and_does_not_ask_for_them() -> None:
    schema = json_schema(card_type(HERE.modules), "Rate card")
    quotes = schema["properties"]["quotes"]
    assert {"valid", "seller", "payment", "delivery", "customers", "price_lists"} <= {*quotes["properties"]}
    agreed = str(quotes["properties"]["price_lists"])
    assert all(f"'{name}'" in agreed for name in ("agreed", "module", "item", "steps", "title"))
    assert "quotes" not in schema["else"]["required"]
    assert "work_centers" in schema["else"]["required"]


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('valid = "30 day"', "", "quotes.valid: is required and missing"),
        ('valid = "30 day"', 'valid = "30 mm"', "quotes.valid"),
        ('price_list = "toolrooms"', 'price_list = "gone"', "quotes: the price list 'gone' of customer"),
        ('discount = "2 %"', 'discount = "200 %"', "a discount may be at most 100 %"),
        ('country = "US"', 'country = "United States"', "quotes.seller.country"),
        ("[quotes.seller]", "[quotes.vendor]", "quotes.vendor: unknown field"),
    ],
)
def test_a_mistake_in_the_section_is_named_by_file_line_and_key(tmp_path: Path, old: str, new: str, says: str) -> None:
    written = (DATA / "rate_cards" / "2026-01.toml").read_text()
    assert old in written
    (tmp_path / "rate_cards").mkdir()
    (tmp_path / "rate_cards" / "card.toml").write_text(written.replace(old, new))
    with pytest.raises(DataError) as refused:
        rate_cards(tmp_path / "rate_cards", HERE.modules, examples=True)
    assert any(says in problem and problem.startswith("rate_cards/card.toml:") for problem in refused.value.problems)
