"""A set priced by an installation: the plates of a request sorted into kinds, and what their order comes to."""

from datetime import date

from msgspec import Struct
from msgspec.structs import replace

from tallyplate.answers import LeadTime, Mass, weighed
from tallyplate.asked import Known
from tallyplate.contract import Assumption, Fault, Refusal, ShopData, refuse
from tallyplate.findings import Finding, Offer, in_order, of_offer
from tallyplate.findings.promises import after_working_days
from tallyplate.installation import MOST_DAYS, Installation, budget_under
from tallyplate.money import spread
from tallyplate.pricing import Modules, hours, lead_days, work_out
from tallyplate.rates.card import RateCard
from tallyplate.sets.engine import Kind, SetPriced, price_kinds
from tallyplate.sets.inquiry import MOST_PLATES, SetInquiry, assumed_at, found_at, read_set, refusing
from tallyplate.sets.joints import Edge, caution, joined
from tallyplate.sets.matching import unmatched


class PricedPlate(Struct, frozen=True):
    """A plate of a priced set: its kind, the place of the first plate of that kind, and its part of the total."""

    name: str
    family: str
    quantity: int
    kind: int
    first: int
    amount: int
    """In minor units."""
    mass: float
    """Of one, in kg, holes not taken out."""
    weighed: Mass
    """The same as callers read it."""
    findings: tuple[Finding, ...]
    assumed: tuple[Assumption, ...]


class PricedSet(Struct, frozen=True):
    """A set with its price, and what it was made from."""

    plates: tuple[PricedPlate, ...]
    kinds: tuple[Kind, ...]
    price: SetPriced
    quantity: int
    findings: tuple[Finding, ...]
    lead_time: LeadTime
    as_of: date
    shop: ShopData
    card: RateCard

    def pointers(self, kinds: tuple[int, ...]) -> tuple[str, ...]:
        """Where the plates of some kinds stand in the request."""
        return tuple([f"/plates/{place}" for place, plate in enumerate(self.plates) if plate.kind in kinds])


def price_set(
    request: object, installation: Installation, today: date | None = None, most: int = MOST_PLATES
) -> PricedSet:
    """Price a set given as plain data; `today` is the date of a request that states none.

    Raises `Refusal` for a set that cannot be priced, with every fault, and `PluginFailure` for a plugin that failed.
    """
    return installation.thorough(lambda one: _priced(one, installation, today, most), request)


def _priced(request: object, installation: Installation, today: date | None, most: int) -> PricedSet:
    asked = read_set(request, installation.families, most)
    as_of = asked.as_of or today or installation.today()
    card, shop = installation.versions_for(as_of, asked.pins)
    budget, known = _known(asked, installation, shop, card)
    of_plates = _sorted(known)
    counts = [0] * (max(of_plates) + 1)
    for kind, plate in zip(of_plates, asked.plates, strict=True):
        counts[kind] += plate.quantity
    firsts = [of_plates.index(kind) for kind in range(len(counts))]
    kinds = tuple(
        Kind(known[first].work, asked.order(count, as_of)) for first, count in zip(firsts, counts, strict=True)
    )
    price = price_kinds(kinds)
    days, in_turn = _days(price, shop, rush=asked.services.rush)
    if days > MOST_DAYS:
        raise refuse("/plates", f"the order would take {days} working days; accepted: at most {MOST_DAYS}")
    order = asked.order(asked.quantity, as_of)
    broken = of_offer(Offer(order, shop.id, price.total, days, budget, card.currency, card.minor_digits, in_turn))
    if asked.services.matched:
        broken = (*broken, *unmatched([price.builds[kind] for kind in of_plates]))
    amounts = _amounts(price, of_plates, [plate.quantity for plate in asked.plates])
    plates = [
        PricedPlate(
            name=name,
            family=inquiry.family,
            quantity=inquiry.quantity,
            kind=kind,
            first=firsts[kind],
            amount=amounts[place],
            mass=shop.mass(price.builds[kind].body),
            weighed=weighed(price.builds[kind], shop, inquiry.quantity),
            findings=tuple([found_at(one, place) for one in known[place].findings]),
            assumed=tuple([assumed_at(one, place) for one in (*inquiry.assumed, *known[place].assumed)]),
        )
        for place, (name, inquiry, kind) in enumerate(zip(asked.names, asked.plates, of_plates, strict=True))
    ]
    return PricedSet(
        plates=tuple(plates),
        kinds=kinds,
        price=price,
        quantity=asked.quantity,
        findings=in_order(broken),
        lead_time=LeadTime(days, after_working_days(as_of, days)),
        as_of=as_of,
        shop=shop,
        card=card,
    )


def _known(
    asked: SetInquiry, installation: Installation, shop: ShopData, card: RateCard
) -> tuple[int | None, list[Known]]:
    """The budget in minor units, and what is known of each plate; refuses them all with every fault."""
    wrong: list[Fault] = []
    budget, known = None, []
    try:
        budget = budget_under(card, asked.budget)
    except Refusal as refusal:
        wrong += refusal.faults
    for place, (inquiry, edges) in enumerate(zip(asked.plates, asked.joints, strict=True)):
        with refusing(place, wrong):
            one = installation.known(inquiry, shop, card)
            known.append(_joined(one, edges, installation, f"/plates/{place}/joined") if edges else one)
    if wrong:
        raise Refusal(*dict.fromkeys(wrong))
    return budget, known


def _joined(known: Known, edges: tuple[Edge, ...], installation: Installation, pointer: str) -> Known:
    """What is known of a plate with its joints; refuses one that has no room for them."""
    work = known.work
    first, *others = work.builds
    whole = joined(replace(first, other_blanks=tuple([build.blank for build in others])), edges, work.shop, pointer)
    made = work_out(whole, work.shop, work.card, Modules.of(installation.modules))
    return replace(known, work=made, findings=in_order((*known.findings, caution(edges, pointer))))


def _sorted(known: list[Known]) -> list[int]:
    """The kind of each plate: those whose builds are alike are of one, and kinds are counted as they come."""
    kinds: dict[object, int] = {}
    return [kinds.setdefault(one.work.builds, len(kinds)) for one in known]


def _days(price: SetPriced, shop: ShopData, *, rush: bool) -> tuple[int, int]:
    """Working days to the dispatch of the whole, and what they would be in its turn: the slowest blank and finish."""
    worked = hours(one.line for one in price.lines)
    finish = max((build.finish for build in price.builds), key=lambda name: shop.finishes[name].days)
    timing = worked, finish, shop, max(build.blank.days for build in price.builds)
    in_turn = lead_days(*timing)
    return lead_days(*timing, rush=True) if rush else in_turn, in_turn


def _amounts(price: SetPriced, of_plates: list[int], quantities: list[int]) -> list[int]:
    """What each plate bears of the total: like plates by their quantities."""
    amounts = [0] * len(of_plates)
    for kind, borne in enumerate(price.borne()):
        places = [place for place, one in enumerate(of_plates) if one == kind]
        for place, part in zip(places, spread(borne, [quantities[place] for place in places]), strict=True):
            amounts[place] = part
    return amounts
