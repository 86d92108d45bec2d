"""Conversations as tests hold them: questions asked of any part of a request, and answered."""

import json
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any, Final

import msgspec
from hypothesis import strategies as st

import tallyplate
from tallyplate import money
from tallyplate.contract import Refusal, Usual
from tallyplate.http.questions import answered
from tallyplate.inquiry import read
from tallyplate.pricing import Modules, price
from tests.plates import installation
from tests.tradeoffs.effects import with_changes

AS_OF: Final = date(2026, 3, 2)

UNPRICED: Final = ("/need_by", "/budget")
"""Questions that decide no money."""

Json = dict[str, Any]


@cache
def _asked(body: str) -> str:
    return msgspec.json.encode(answered(json.loads(body), installation(), AS_OF)).decode()


def asked(request: Mapping[str, Any], here: tallyplate.Installation | None = None) -> Json:
    """The answer to a call for questions, as a caller reads it."""
    if here:
        return json.loads(msgspec.json.encode(answered(request, here, AS_OF)))
    return json.loads(_asked(json.dumps(request)))


def asked_of(plate: Mapping[str, Any] | None = None, **order: Any) -> Json:
    """The same for some fields of a plate."""
    return asked(({"plate": plate} if plate is not None else {}) | order)


def at(answer: Json, pointer: str) -> Json:
    """One open question."""
    (found,) = [one for one in answer["open"] if one["pointer"] == pointer]
    return found


def plain(value: Any) -> Any:
    """An answer that may stand in a set: a list as a tuple."""
    return tuple(value) if isinstance(value, list) else value


def priced(question: Json) -> dict[Any, Decimal]:
    """The totals over the answers of a question."""
    tried = question.get("choices") or question["range"]["tried"]
    return {plain(one["value"]): Decimal(one["total"]) for one in tried if "total" in one}


def answering(request: Mapping[str, Any], pointer: str, value: Any) -> Json:
    """A request with a question answered."""
    return with_changes(request, {pointer: list(value) if isinstance(value, tuple) else value})


def some_answer(draw: st.DrawFn, question: Json) -> Any:
    """Any answer that has a price, and of a range anything between those."""
    known = list(priced(question))
    if "range" not in question or draw(st.booleans()):
        return draw(st.sampled_from(known))
    if isinstance(known[0], int):
        return draw(st.integers(known[0], known[-1]))
    least, greatest = (float(known[place].split()[0]) for place in (0, -1))
    return f"{draw(st.integers(round(least * 10), round(greatest * 10))) / 10:g} mm"


def span(answer: Json) -> tuple[Decimal, Decimal]:
    """The range of the price so far."""
    return Decimal(answer["price"]["lowest"]), Decimal(answer["price"]["highest"])


def total(request: Mapping[str, Any]) -> Decimal:
    """The total of a request that says all that is needed, without its checks; raises `Refusal`."""
    here = installation()
    inquiry = read(request, here.families)
    card, shop = here.in_force(AS_OF)
    build = here.families[inquiry.family].build(inquiry.plate, shop, Usual())
    priced_whole = price(build, inquiry.order(AS_OF), shop, card, Modules.of(here.modules))
    return Decimal(money.text(priced_whole.total, card.minor_digits))


def first_priced(requests: Iterable[Json]) -> Json:
    """The first of some requests that has a price."""
    for one in requests:
        try:
            total(one)
        except Refusal:
            continue
        return one
    raise AssertionError("none of them has a price")
