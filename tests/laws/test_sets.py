"""The laws of sets: what plates share is counted once, and nothing else of them changes.

A set never costs more than its plates apart but by rounding: a share of a sum is rounded once where the shares of its
parts are rounded each, and so may be half a minor unit dearer for each line that plates share.
"""

import json
from datetime import date
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Context, Decimal
from typing import Any

import msgspec
from hypothesis import example, given, reject, settings
from hypothesis import strategies as st

from tallyplate.contract import Order, Refusal
from tallyplate.money import count
from tallyplate.pricing import work_out
from tallyplate.rates.card import RateCard
from tallyplate.sets.answers import set_answer
from tallyplate.sets.engine import Kind, price_kinds
from tallyplate.sets.outside import set_outside
from tallyplate.sets.priced import PricedSet, price_set
from tests.laws.card_walk import instead, leaves, raised
from tests.laws.prices import EVERY, MODULES, answered, made, one_blank
from tests.laws.test_quantities import allowance
from tests.plates import installation
from tests.strategies import AS_OF, CARD, FREE, SHOP, Json, requests

RULE = {"half-up": ROUND_HALF_UP, "half-even": ROUND_HALF_EVEN}[CARD.rounding.value]
PLACES = Decimal(1).scaleb(-CARD.minor_digits)
POCKET = Context(prec=40)

LEAVES = dict(leaves(CARD))
SERVICES = st.sampled_from(
    (
        {},
        {"rush": True, "matched": True},
        {"inspection_report": "every_hole", "material_certificate": "3.1"},
        {"packing": "export", "plugs": "every_hole", "spares": {"bushings": {"M12": 12}, "screws": {"M16": 3}}},
    )
)


def plain(length: int, **changes: Any) -> Json:
    """A small plate of round figures, whose bushings reach price breaks soon."""
    pattern = {"arrangement": "combination", "screw": "M12", "pitch": "30 mm"}
    plate = {"family": "rectangular", "length": f"{length} mm", "width": "60 mm", "material": "al-6061-t6"}
    return {**plate, "pattern": pattern, "mounting": FREE, **changes}


PLAIN = st.builds(
    lambda length, quantity, finish: {"plate": plain(length, finish=finish), "quantity": quantity},
    st.sampled_from((120, 180, 240)),
    st.integers(1, 12),
    st.sampled_from(("plain", "anodized")),
)
ENTRIES = st.one_of(PLAIN, requests().map(lambda one: {name: one[name] for name in ("plate", "quantity")}))
SETS = st.lists(ENTRIES, min_size=1, max_size=4)


def priced(entries: list[Json], services: Json | None = None) -> PricedSet:
    """A set, priced; one that is refused is no example."""
    try:
        return price_set({"plates": entries, "services": services or {}, "as_of": AS_OF}, installation())
    except Refusal:
        reject()


def total(entries: list[Json], services: Json | None = None) -> int:
    """What a set comes to, in minor units."""
    return priced(entries, services).price.total


def said(entries: list[Json], services: Json) -> Json:
    """The answer to a set as its reader has it."""
    return json.loads(msgspec.json.encode(set_answer(priced(entries, services), installation().versions)))


@given(ENTRIES, SERVICES)
def test_a_set_of_one_plate_is_its_price_line_by_line(entry: Json, services: Json) -> None:
    alone = json.loads(answered({**entry, "services": services, "as_of": AS_OF}))
    answer = said([entry], services)
    (plate,) = answer["plates"]
    assert plate["lines"] == alone["lines"]
    assert answer["shared"] == []
    for name in ("total", "hours", "lead_time", "currency", "quantity", "rate_card", "shop_data", "versions"):
        assert answer[name] == alone[name], name
    assert (plate["amount"], plate["unit_price"], plate["mass"]) == (
        alone["total"],
        alone["unit_price"],
        alone["mass"],
    )


@given(SETS, SERVICES)
def test_lines_sum_to_the_total_and_each_multiplies_from_its_printed_text(entries: list[Json], services: Json) -> None:
    answer = said(entries, services)
    lines = [line for plate in answer["plates"] for line in plate["lines"]] + answer["shared"]
    for line in lines:
        product = POCKET.multiply(Decimal(line["quantity"]), Decimal(line["rate"]))
        assert Decimal(line["amount"]) == product.quantize(PLACES, RULE, POCKET), line
    assert sum(Decimal(line["amount"]) for line in lines) == Decimal(answer["total"])
    assert sum(Decimal(plate["amount"]) for plate in answer["plates"]) == Decimal(answer["total"])


@given(SETS, SERVICES)
def test_the_outside_form_shares_the_same_amounts_and_its_lines_sum_to_them(
    entries: list[Json], services: Json
) -> None:
    one = priced(entries, services)
    inside, outside = set_answer(one, installation().versions), set_outside(one, MODULES)
    assert outside.total == inside.total
    for within, without in zip(inside.plates, outside.plates, strict=True):
        assert (without.amount, without.unit_price) == (within.amount, within.unit_price)
        assert sum(Decimal(line.amount) for line in without.lines) == Decimal(without.amount)


@given(st.data(), SETS, SERVICES)
def test_the_order_of_the_plates_does_not_matter_to_the_total(
    data: st.DataObject, entries: list[Json], services: Json
) -> None:
    assert total(data.draw(st.permutations(entries)), services) == total(entries, services)


@settings(max_examples=60)
@given(SETS, SERVICES)
@example([{"plate": plain(180), "quantity": 1}, {"plate": plain(120, finish="anodized"), "quantity": 1}], {})
def test_a_set_costs_no_more_than_its_plates_apart_but_by_rounding(entries: list[Json], services: Json) -> None:
    together = priced(entries, services).price
    apart = [priced([entry], services).price for entry in entries]
    orders = [(1, tuple(one.line for one in order.lines)) for order in (together, *apart)]
    assert together.total <= sum(order.total for order in apart) + allowance(*orders)


@settings(max_examples=60)
@given(SETS, SERVICES, st.data())
def test_a_plate_more_never_makes_an_order_cheaper(entries: list[Json], services: Json, data: st.DataObject) -> None:
    whole = total(entries, services)
    place = data.draw(st.integers(0, len(entries) - 1))
    without = entries[:place] + entries[place + 1 :]
    if without:
        assert total(without, services) <= whole
    if (quantity := entries[place]["quantity"]) > 1:
        fewer = {**entries[place], "quantity": data.draw(st.integers(1, quantity - 1))}
        assert total([*without, fewer], services) <= whole


@given(SETS, SERVICES, st.integers(1, 20))
def test_a_quantity_in_two_entries_costs_what_it_costs_in_one(entries: list[Json], services: Json, more: int) -> None:
    first, *others = entries
    split = total([*entries, {**first, "quantity": more}], services)
    assert split == total([{**first, "quantity": first["quantity"] + more}, *others], services)


@given(SETS)
def test_each_line_is_borne_whole_by_the_plates_that_it_is_of(entries: list[Json]) -> None:
    price = priced(entries).price
    assert all(sum(one.borne) == one.line.amount for one in price.lines)
    assert sum(price.borne()) == price.total == sum(one.line.amount for one in price.lines)
    assert count(said(entries, {})["total"], CARD.minor_digits) == price.total


@settings(max_examples=10)
@given(st.lists(ENTRIES, min_size=2, max_size=3), st.sampled_from((1, 17, 5000)), st.data())
def test_a_rate_that_rises_never_lowers_the_price_of_a_set(entries: list[Json], by: int, data: st.DataObject) -> None:
    builds = [one_blank(made(entry["plate"])) for entry in entries]

    def under(card: RateCard) -> int:
        works = [work_out(build, SHOP, card, EVERY) for build in builds]
        orders = [Order(entry["quantity"], date.fromisoformat(AS_OF)) for entry in entries]
        return price_kinds([Kind(work, order) for work, order in zip(works, orders, strict=True)]).total

    before = under(CARD)
    for path in data.draw(st.lists(st.sampled_from(sorted(LEAVES)), min_size=5, max_size=5, unique=True)):
        try:
            higher = instead(CARD, LEAVES[path], raised(LEAVES[path], by))
        except ValueError:  # what its own section forbids
            continue
        assert under(higher) >= before, path
