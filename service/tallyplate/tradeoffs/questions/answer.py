"""What is still open in a request, in the order in which to ask, and the range of its price so far."""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Final

from msgspec import UNSET, Struct, UnsetType
from msgspec.structs import replace

from tallyplate import money
from tallyplate.answers import PriceAnswer, Version
from tallyplate.contract import Family, Refusal, ShopData
from tallyplate.contract.services import NO_SERVICES
from tallyplate.findings import Finding
from tallyplate.pricing import Modules
from tallyplate.rates.card import RateCard
from tallyplate.tradeoffs.choices import QUANTITY, Value
from tallyplate.tradeoffs.impact import Pricing
from tallyplate.tradeoffs.questions.answers import QUANTITIES
from tallyplate.tradeoffs.questions.asking import Between, Impossible, OpenQuestion, ask, question
from tallyplate.tradeoffs.questions.bounds import Bounds, bounds
from tallyplate.tradeoffs.questions.fields import listed
from tallyplate.tradeoffs.questions.given import Given, shared
from tallyplate.tradeoffs.questions.opening import Needs, opened, pointers, started, unsaid
from tallyplate.tradeoffs.questions.served import Served, at_most, served
from tallyplate.tradeoffs.questions.trials import FEWEST, Bench, Trial, order
from tallyplate.tradeoffs.questions.words import ASKED, reasons
from tallyplate.tradeoffs.specs_compared import Leaf, differences
from tallyplate.units import counted

FAMILY: Final = "/plate/family"


class PriceRange(Struct, frozen=True):
    """The total of the order over all completions, and as it is `usual` or supposed; never wider as answers arrive."""

    lowest: str
    usual: str
    highest: str
    currency: str
    quantity: int | Between


class Supposed(Struct, frozen=True):
    """An answer that stands in for one that is needed."""

    pointer: str
    value: Value


class QuestionsAnswer(Struct, frozen=True):
    """What is open, the first question to ask first, and what is known so far.

    First come questions without whose answer there is no price, the kind of plate before its sizes; then those that can
    make the plate impossible; within each the one that decides the most money. `findings` are of the plate with
    everything else as usual or supposed. `plates_tried` counts the work.
    """

    price: PriceRange
    open: tuple[OpenQuestion, ...]
    given: dict[str, Leaf]
    supposed: tuple[Supposed, ...]
    findings: tuple[Finding, ...]
    plates_tried: int
    as_of: date
    rate_card: Version
    shop_data: Version
    family: str | UnsetType = UNSET


class Shop(Struct, frozen=True):
    """What questions are asked under: what is installed, versions and date; `price` prices under the same."""

    families: Mapping[str, Family]
    modules: Modules
    card: RateCard
    shop: ShopData
    day: date
    price: Pricing


class Ready(Struct, frozen=True):
    """A family that a request may belong to, and a plate of it that can be priced."""

    bench: Bench
    needs: Needs
    start: Trial


def questions(given: Given, under: Shop) -> QuestionsAnswer:
    """The open questions of any part of a request; raises `Refusal` where no plate of it could be priced."""
    ready, kept_out = _ready(given, under)
    chosen = next(iter(ready.values()))
    request = {**given.request, "plate": chosen.start.plate}
    base = under.price(request)
    services = served(request, under.price, under.card.minor_digits)
    asked = [*_of_plate(given, under, ready), *_of_order(given, under, chosen, base), *_of_services(chosen, services)]
    if not given.family:
        asked.append(_family(under, ready, kept_out))
    each = [_bounds(given, under, one) for one in ready.values()]
    whole = Bounds(min(one.lowest for one in each), max(one.highest for one in each))
    digits = under.card.minor_digits
    supposed = [Supposed(pointer, value) for pointer, value in chosen.start.chosen.items()]
    return QuestionsAnswer(
        price=PriceRange(
            money.text(whole.lowest, digits),
            base.total,
            money.text(whole.highest, digits),
            base.currency,
            given.quantity or Between(QUANTITIES[0], QUANTITIES[-1]),
        ),
        open=tuple(sorted(asked, key=lambda one: _rank(one, digits))),
        given={one.pointer: one.b for one in differences({}, given.request)},
        supposed=tuple(supposed if given.family else [Supposed(FAMILY, chosen.bench.name), *supposed]),
        findings=base.findings,
        plates_tried=sum(len(one.bench.tried) for one in ready.values()),
        as_of=base.as_of,
        rate_card=base.rate_card,
        shop_data=base.shop_data,
        family=given.family or UNSET,
    )


def _bounds(given: Given, under: Shop, one: Ready) -> Bounds:
    """The range of a family's plates, with every service that it leaves open, or with none of these."""
    open_ones = served({**given.request, "plate": one.start.plate}, under.price, under.card.minor_digits)
    least = one.bench.services[FEWEST]
    return bounds(replace(one.bench, services=(least, at_most(least, open_ones))), one.needs, one.start)


def _rank(one: OpenQuestion, digits: int) -> tuple[bool, bool, bool, bool, int, str]:
    """What sorts the first question first; what shall be done to a plate that exists comes next to what is needed."""
    bare = not one.needed and one.choices is not UNSET and one.usual is UNSET
    return (
        one.pointer != FAMILY,
        not one.needed,
        not bare,
        not one.impossible,
        -money.count(one.decides, digits),
        one.pointer,
    )


def _ready(given: Given, under: Shop) -> tuple[dict[str, Ready], dict[str, str]]:
    """Every family with a plate that can be priced, and why the others have none; raises `Refusal` where none has."""
    ready = {}
    kept_out = {name: reasons(faults, under.families[name].spec, under.shop) for name, faults in given.kept_out.items()}
    least, most = (given.quantity, given.quantity) if given.quantity else (QUANTITIES[0], QUANTITIES[-1])
    refusals = []
    services = given.envelope.services or NO_SERVICES
    for name, needed in given.families.items():
        family = under.families[name]
        bench = Bench(
            name,
            family,
            given.plate,
            under.shop,
            under.card,
            under.modules,
            under.day,
            (least, most),
            {},
            (services, services),
        )
        defaults = {
            at: value for at, value in listed(family.spec).items() if at.removeprefix("/plate/") not in given.plate
        }
        needs = Needs(needed, family.spec, family.questions, defaults, {})
        try:
            start = started(bench, needs)
            ready[name] = Ready(bench, replace(needs, unsaid=unsaid(bench, needs, start)), start)
        except Refusal as refusal:
            refusals.append(refusal)
            kept_out[name] = reasons(refusal.faults, family.spec, under.shop)
    if not ready:
        raise refusals[0]
    return ready, kept_out


def _of_plate(given: Given, under: Shop, ready: Mapping[str, Ready]) -> Iterator[OpenQuestion]:
    """The questions about the plate; those that any family asks, where the family is open."""
    one = next(iter(ready.values()))
    common = shared(under.families, ready)
    for pointer in pointers(one.bench, one.needs, one.start):
        if given.family or pointer.split("/")[2] in common:
            yield ask(one.bench, one.needs, one.start, opened(one.bench, one.needs, one.start, pointer))


def _of_order(given: Given, under: Shop, one: Ready, base: PriceAnswer) -> Iterator[OpenQuestion]:
    """The questions about the order: how many, when, and for how much."""
    bench, usual = one.bench, order(one.bench, one.start, FEWEST).total
    if given.quantity is None:
        request = {**given.request, "plate": one.start.plate}
        prices = {many: under.price({**request, "quantity": many}).total for many in QUANTITIES}
        totals: dict[Value, int] = {many: money.count(total, under.card.minor_digits) for many, total in prices.items()}
        said: dict[Value, str] = {many: counted(many, "plate") for many in QUANTITIES}
        yield question(
            QUANTITY,
            ASKED["quantity"],
            said,
            totals,
            bench=bench,
            stands_in=1,
            needed=False,
            otherwise=usual,
            between=True,
        )
    for name, earliest in (("need_by", base.lead_time.ready_on.isoformat()), ("budget", None)):
        if name not in given.request:
            asked = question(
                f"/{name}", ASKED[name], {}, {}, bench=bench, stands_in=earliest, needed=False, otherwise=usual
            )
            between = Between(earliest) if earliest else Between(f"{base.total} {base.currency}")
            yield replace(asked, choices=UNSET, range=between)


def _of_services(one: Ready, services: tuple[Served, ...]) -> Iterator[OpenQuestion]:
    """The questions about what else the order may ask for."""
    for open_one in services:
        usual, otherwise = next(iter(open_one.totals.items()))
        yield question(
            open_one.pointer,
            open_one.asked,
            open_one.said,
            open_one.totals,
            bench=one.bench,
            stands_in=usual,
            needed=False,
            otherwise=otherwise,
        )


def _family(under: Shop, ready: Mapping[str, Ready], kept_out: Mapping[str, str]) -> OpenQuestion:
    """The kind of plate, each with its usual answers and supposed sizes."""
    totals: dict[Value, int] = {name: order(one.bench, one.start, FEWEST).total for name, one in ready.items()}
    first = next(iter(ready.values()))
    return question(
        FAMILY,
        ASKED["family"],
        {name: family.title for name, family in under.families.items()},
        totals,
        bench=first.bench,
        stands_in=first.bench.name,
        needed=True,
        otherwise=0,
        impossible=[Impossible(name, why) for name, why in kept_out.items()],
    )
