"""`tallyplate cards worth`: how far each rate and shop figure moves the price."""

import argparse
from collections.abc import Iterable, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

from rich.table import Table

from tallyplate.answers import PriceAnswer
from tallyplate.cli.portfolios import ORDERS, change, counted, grid, list_refused, progress, reading, tell
from tallyplate.contract import ShopData
from tallyplate.documents.charts import Swing, tornado
from tallyplate.installation import load
from tallyplate.rates.card import RateCard
from tallyplate.tradeoffs.impact import OrderRefused, attempt
from tallyplate.tradeoffs.worth import Place, Worth, worth

CHARTED = 15
"""Figures that a chart shows; the bars of the rest would be shorter still."""

SOURCES = {"rate_card": "card", "shop_data": "shop"}


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the command to the parser."""
    command = commands.add_parser("worth", help="say how far each rate and shop figure moves the price per 1 %%")
    command.add_argument("orders", type=Path, metavar="FILE", help=ORDERS)
    command.add_argument("--top", type=int, default=20, metavar="N", help="show the N greatest (20)")
    command.add_argument("--svg", type=Path, metavar="OUT", help=f"draw the {CHARTED} greatest as a chart")
    command.set_defaults(run=_worth)


def _worth(parsed: argparse.Namespace) -> int:
    installation = load(parsed.data)
    today = installation.today()
    card, shop = installation.in_force(today)

    def price(request: object, card: RateCard = card, shop: ShopData = shop) -> PriceAnswer:
        return installation.price_under(request, card, shop, today)

    requests, refused, total = [], [], Decimal()
    with reading(parsed.orders) as entries:
        for entry in entries:
            answer = attempt(entry, price)
            if isinstance(answer, OrderRefused):
                refused.append(answer)
            else:
                requests.append(entry.request)
                total += Decimal(answer.total)

    def prices(card: RateCard, shop: ShopData) -> list[Decimal]:
        return [Decimal(price(request, card, shop).total) for request in requests]

    with progress() as bar:

        def watched(places: Sequence[Place]) -> Iterable[Place]:
            return bar.track(places, description="moving each figure")

        found = worth(prices, card, shop, watched)
    heading = f"{counted(len(requests), len(refused))}, {total:,f} {card.currency}; {len(found)} figures move it"
    tell(heading, _table(found[: max(parsed.top, 0)]))
    print("A step is worth so much at this 1 % alone: it crosses a limit.")
    list_refused(refused, {})
    if parsed.svg:
        title = f"What 1 % is worth on {total:,f} {card.currency}"
        parsed.svg.write_text(tornado(title, [_swing(one) for one in found[:CHARTED]], card.currency), "utf-8")
    return 1 if refused else 0


def _table(found: Sequence[Worth]) -> Table:
    rows = [
        (
            SOURCES[one.source],
            one.figure,
            one.value,
            change(one.up) or "not possible",
            change(one.down) or "not possible",
            f"{one.percent} %",
            "step" if one.step else "",
        )
        for one in found
    ]
    return grid(("in", "figure", "value"), ("1 % up", "1 % down", "of the price", ""), rows)


def _swing(one: Worth) -> Swing:
    down, up = (Decimal(move) if move else None for move in (one.down, one.up))
    return Swing(one.figure, one.value, down, up, one.step)
