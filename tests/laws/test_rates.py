"""Law 4: a rate that rises never lowers a price, and one that no line uses changes nothing."""

from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st

from tallyplate.pricing import Priced
from tallyplate.rates.card import RateCard
from tests.laws.card_walk import instead, leaves, raised
from tests.laws.prices import cheaper_parts, made, one_blank, priced
from tests.strategies import CARD, Json, requests

LEAVES = dict(leaves(CARD))
INDIRECT = ("sections.margin.of_price", "sections.minimum.order", "sections.finishing.finish.{finish}.minimum")
"""What lines owe something to without holding it: a mark-up comes from a margin, a line is filled up to a sum."""


@cache
def higher_cards(by: int) -> dict[str, RateCard]:
    """The card with each of its rates and sums raised in turn, but where a rate's own section forbids it."""
    cards = {}
    for path, leaf in LEAVES.items():
        try:
            cards[path] = instead(CARD, leaf, raised(leaf, by))
        except ValueError:  # a later price break dearer than an earlier one, or a price that is all margin
            continue
    return cards


STEPS = (1, 17, 5000)


def used(by: Priced) -> set[str]:
    """Where the figures stand that a price owes something to."""
    held = {id(line.of.rate) for line in by.lines}
    indirect = {path.format(finish=by.build.finish) for path in INDIRECT}
    return indirect | {path for path, leaf in LEAVES.items() if id(leaf) in held}


def test_every_rate_and_sum_of_the_card_is_found_and_can_be_raised() -> None:
    assert {path.split(".")[1] for path in LEAVES if path.startswith("sections")} == {
        name for name, section in CARD.sections.items() if section is not None
    }
    # The first step of a customer's price list begins with nothing, and must.
    first_steps = {path for path in LEAVES if path.endswith("steps.0.from_total")}
    assert set(higher_cards(1)) == set(LEAVES) - first_steps


@settings(max_examples=25)
@given(requests(), st.sampled_from(STEPS))
def test_a_rate_that_rises_never_lowers_a_price(request: Json, by: int) -> None:
    build, quantity = made(request["plate"]), request["quantity"]
    before, on_one_blank = priced(build, quantity).total, priced(one_blank(build), quantity)
    for path, card in higher_cards(by).items():
        assert priced(build, quantity, card=card).total >= before, path
        assert not cheaper_parts(priced(one_blank(build), quantity, card=card), on_one_blank), path


@settings(max_examples=25)
@given(requests(), st.sampled_from(STEPS))
def test_a_rate_that_rises_and_that_no_line_uses_changes_nothing(request: Json, by: int) -> None:
    build, quantity = made(request["plate"]), request["quantity"]
    before = priced(build, quantity)
    cards = higher_cards(by)
    unused = cards.keys() - used(before)
    assert unused
    changed = [path for path in unused if figures(priced(build, quantity, card=cards[path])) != figures(before)]
    assert not changed


def figures(order: Priced) -> list[tuple[str, int, int]]:
    """What a price says: each line's item, quantity and amount."""
    return [(line.of.item, line.quantity, line.amount) for line in order.lines]
