"""An old quote beside today's price: line by line, exactly, and for the same plate and customer."""

import json
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from msgspec.structs import replace

from tallyplate.installation import Installation, compose
from tallyplate.quoting import beside_today
from tests.plates import DATA, installation
from tests.quote.quotes import ISSUED, made

LATER = ISSUED + timedelta(days=300)
NEWER = """
id = "next"
inherits = "harrow-pell-2026-01"
effective_from = 2026-09-01
[work_centers]
mill = "120 USD/h"
[quotes.price_lists.toolrooms]
steps = [{ from = "0 USD", discount = "4 %" }]
# end
"""


def _with(folder: Path, card: str) -> Installation:
    """The demonstration's plugins and data, and a later card."""
    here = installation()
    for part in ("rate_cards", "shop_data"):
        (folder / part).mkdir()
        for file in (DATA / part).glob("*.toml"):
            (folder / part / file.name).write_bytes(file.read_bytes())
    (folder / "rate_cards" / "next.toml").write_text(card)
    return compose(here.families, here.modules, folder)


def test_on_the_day_of_issue_nothing_differs() -> None:
    found = beside_today(made().quote, installation(), ISSUED)
    assert found.comparison
    assert found.comparison.difference == "0.00"
    assert (found.as_of, found.refused) == (ISSUED, ())


def test_a_dearer_mill_shows_in_the_lines_that_it_works_on_and_they_sum_exactly(tmp_path: Path) -> None:
    here, old = _with(tmp_path, NEWER), made().quote
    found = beside_today(old, here, LATER)
    assert found.rate_card
    assert found.rate_card.id == "next"
    assert found.comparison
    differences = {line.item: Decimal(line.difference) for line in found.comparison.lines}
    assert differences["Hole pattern"] > 0
    assert sum(differences.values()) == Decimal(found.comparison.difference)
    today = here.price(old.request, LATER).total
    assert (found.comparison.a, found.comparison.b) == (old.total, today)


def test_a_customers_discount_is_compared_with_todays_and_a_settled_price_with_none(tmp_path: Path) -> None:
    account = {"customer": {"name": "B", "account": "ostrander-tool"}}
    old = made({**account, "override": {"total": "4000 USD", "by": "R. Pell", "why": "first order"}}).quote
    found = beside_today(old, _with(tmp_path, NEWER), LATER).comparison
    assert found
    lines = {line.item: line for line in found.lines}
    assert lines["Price settled by R. Pell"].b == "0"
    then, now = (Decimal(amount) for amount in (lines["Tool room price list"].a, lines["Tool room price list"].b))
    assert now < 2 * then * Decimal("0.99") < 0
    assert sum(Decimal(line.b) for line in found.lines) == Decimal(found.b)


def test_a_customer_that_todays_card_does_not_know_is_granted_nothing() -> None:
    old = made({"customer": {"name": "B", "account": "brackwater"}}).quote
    gone = replace(old, customer=replace(old.customer, account="long-gone"))
    found = beside_today(gone, installation(), LATER).comparison
    assert found
    assert found.b == old.list_total


def test_a_plate_that_is_no_longer_on_offer_has_reasons_instead_of_a_price() -> None:
    old = made().quote
    request = json.loads(json.dumps(old.request).replace("al-6061-t6", "al-9999"))
    found = beside_today(replace(old, request=request), installation(), LATER)
    assert not found.comparison
    assert [fault.pointer for fault in found.refused] == ["/plate/material"]


@pytest.mark.parametrize("day", [date(1999, 1, 1)])
def test_before_the_first_card_there_is_no_price(day: date) -> None:
    found = beside_today(made().quote, installation(), day)
    assert [fault.pointer for fault in found.refused] == ["/as_of"]


def test_prices_in_another_currency_are_not_compared(tmp_path: Path) -> None:
    found = beside_today(replace(made().quote, currency="EUR"), installation(), LATER)
    assert found.refused[0].message == "today's prices are in USD, the quote is in EUR"
