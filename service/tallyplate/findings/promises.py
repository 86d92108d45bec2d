"""What the customer said about money and time, against what the price came to."""

from collections.abc import Iterator
from datetime import date, timedelta

from tallyplate import money
from tallyplate.findings.finding import Change, Finding, Mend, Offer, Severity

WORKING_DAYS = 5
"""Monday to Friday; public holidays are the shop's own to know."""


def check(offer: Offer) -> Iterator[Finding]:
    """A total above the budget; a dispatch after the day it is needed; what an order asks for in vain."""
    if offer.budget is not None and offer.total > offer.budget:
        over = money.text(offer.total - offer.budget, offer.minor_digits)
        yield Finding(
            "over-budget",
            Severity.CAUTION,
            "/budget",
            f"the total is {over} {offer.currency} above the budget",
            "budget as stated by the caller",
            _mend("/budget", f"{money.text(offer.total, offer.minor_digits)} {offer.currency}", "allow {}"),
        )
    need_by = offer.order.need_by
    if need_by is not None:
        ready = after_working_days(offer.order.as_of, offer.lead_days)
        if ready > need_by:
            yield Finding(
                "late",
                Severity.CAUTION,
                "/need_by",
                f"ready on {ready.isoformat()} at the earliest, after {offer.lead_days} working days; needed by "
                f"{need_by.isoformat()}",
                f"capacity and queues of shop data {offer.shop_id}",
                _mend("/need_by", ready.isoformat(), "agree on {}"),
            )
    if offer.order.services.matched and offer.order.quantity == 1:
        yield Finding(
            "nothing-to-match",
            Severity.CAUTION,
            "/services/matched",
            "1 plate alone has none to be matched with",
            "common practice, no source",
            Mend((Change("/services/matched", None),), "do without the matching"),
        )
    if offer.order.services.rush and offer.lead_days >= offer.in_turn_days:
        yield Finding(
            "rush-saves-nothing",
            Severity.CAUTION,
            "/services/rush",
            f"the hours that the shop keeps for orders in a hurry make it no sooner than in its turn: "
            f"{offer.in_turn_days} working days either way",
            f"capacity and queues of shop data {offer.shop_id}",
            Mend((Change("/services/rush", None),), "do without the rush"),
        )


def _mend(pointer: str, value: str, words: str) -> Mend:
    return Mend((Change(pointer, value),), words.format(value))


def after_working_days(start: date, days: int) -> date:
    """The date so many working days, Monday to Friday, after a start; a weekend counts as the Friday before."""
    day = start - timedelta(days=max(0, start.weekday() - (WORKING_DAYS - 1)))
    weeks, rest = divmod(days, WORKING_DAYS)
    over_weekend = day.weekday() + rest >= WORKING_DAYS
    return day + timedelta(weeks=weeks, days=rest + 2 * over_weekend)
