"""The one composition root: entry points and files become one frozen value, and that value prices.

The clock is read here and nowhere below.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, date, datetime
from functools import cache
from importlib.metadata import EntryPoint, entry_points, version
from pathlib import Path
from typing import Any, TypeVar

import msgspec
from msgspec import Struct

from tallyplate.answers import PriceAnswer, Versions, price_answer
from tallyplate.contract import CONTRACT, CostModule, Family, Order, ShopData, Usual, refuse
from tallyplate.contract.refusals import Fault, UnknownVersion
from tallyplate.findings import Case, findings
from tallyplate.findings.promises import after_working_days
from tallyplate.inquiry import Inquiry, decode, read
from tallyplate.pricing import Modules, lead_days
from tallyplate.pricing import price as price_build
from tallyplate.rates.card import RateCard
from tallyplate.rates.files import DataError
from tallyplate.rates.load import all_shop_data, mismatches, rate_cards

FAMILIES = "tallyplate.families"
COSTS = "tallyplate.costs"
DATA = "tallyplate.data"

Plugin = TypeVar("Plugin", Family, CostModule)
Dated = TypeVar("Dated", RateCard, ShopData)


class PluginError(Exception):
    """A plugin that cannot be used: named, with what is wrong."""


class Installation(Struct, frozen=True, eq=False):
    """Everything that prices: families, cost modules, rate cards and shop data, each by date."""

    families: Mapping[str, Family]
    modules: Mapping[str, CostModule]
    ordered: Modules
    cards: tuple[RateCard, ...]
    shops: tuple[ShopData, ...]
    versions: Versions

    def price(self, request: Mapping[str, Any], now: datetime | None = None) -> PriceAnswer:
        """Price a request given as plain data, `now` deciding only what "today" is.

        Raises `Refusal` for a request that cannot be priced, and `PluginFailure` for a plugin that failed.
        """
        return self._answer(read(request, self.families), now or datetime.now(UTC))

    def price_json(self, body: bytes, now: datetime | None = None) -> bytes:
        """The same from JSON to JSON."""
        return msgspec.json.encode(self._answer(read(decode(body), self.families), now or datetime.now(UTC)))

    def in_force(self, now: datetime) -> tuple[RateCard, ShopData]:
        """The rate card and shop data of today; raises `Refusal` where none has begun."""
        card = _in_force(self.cards, None, now, None, "rate_card")
        return card, _in_force(self.shops, now.astimezone(card.time_zone).date(), now, None, "shop_data")

    def _answer(self, inquiry: Inquiry, now: datetime) -> PriceAnswer:
        card = _in_force(self.cards, inquiry.as_of, now, inquiry.pins.rate_card or None, "rate_card")
        as_of = inquiry.as_of or now.astimezone(card.time_zone).date()
        shop = _in_force(self.shops, as_of, now, inquiry.pins.shop_data or None, "shop_data")
        budget = inquiry.budget
        if budget is not None and budget.currency != card.currency:
            raise refuse(
                "/budget", f"{budget.currency!r} is not the currency of the rate card; accepted: {card.currency}"
            )
        order = Order(inquiry.quantity, as_of, inquiry.need_by)
        usual = Usual()
        build = self.families[inquiry.family].build(inquiry.plate, shop, usual)
        priced = price_build(build, order, shop, card, self.ordered)
        days = lead_days(priced.lines, priced.build, shop)
        case = Case(
            build=priced.build,
            order=order,
            shop=shop,
            total=priced.total,
            lead_days=days,
            budget=budget.minor if budget else None,
            currency=card.currency,
            minor_digits=card.minor_digits,
        )
        return price_answer(
            priced,
            inquiry.quantity,
            findings(case),
            [*inquiry.assumed, *usual.assumed],
            as_of,
            days,
            after_working_days(as_of, days),
            card,
            shop,
            self.versions,
        )


def _in_force(versions: Sequence[Dated], as_of: date | None, now: datetime, pinned: str | None, name: str) -> Dated:
    """The version pinned by digest, or the last that was in force on a date; refuses where there is none."""
    if pinned is not None:
        for candidate in versions:
            if candidate.digest == pinned:
                return candidate
        here = ", ".join(f"{candidate.id} {candidate.digest}" for candidate in versions)
        raise UnknownVersion(Fault(f"/pins/{name}", f"{pinned} is not here; here are: {here}"))
    for candidate in reversed(versions):
        zone = candidate.time_zone if isinstance(candidate, RateCard) else UTC
        day = as_of or now.astimezone(zone).date()
        if candidate.effective_from <= day:
            return candidate
    first = versions[0].effective_from.isoformat()
    raise refuse("/as_of", f"no {name.replace('_', ' ')} was in force on {as_of}; accepted: from {first} on")


def plugins(group: str, kind: type[Plugin]) -> dict[str, Plugin]:
    """The plugins of an entry point group by name; raises `PluginError` naming the one that cannot be used."""
    found: dict[str, Plugin] = {}
    for entry in sorted(entry_points(group=group), key=lambda entry: entry.name):
        if entry.name in found:
            raise PluginError(_blame(entry, "two plugins have this name"))
        found[entry.name] = _loaded(entry, kind)
    return found


def _loaded(entry: EntryPoint, kind: type[Plugin]) -> Plugin:
    try:
        plugin = entry.load()
    except Exception as error:
        raise PluginError(_blame(entry, f"cannot be imported: {type(error).__name__}: {error}")) from error
    if not isinstance(plugin, kind):
        raise PluginError(_blame(entry, f"is a {type(plugin).__name__}, not a {kind.__name__}"))
    if plugin.contract != CONTRACT:
        raise PluginError(_blame(entry, f"is written to contract {plugin.contract}; this service speaks {CONTRACT}"))
    if isinstance(plugin, Family) and plugin.spec.__struct_config__.tag != entry.name:
        raise PluginError(_blame(entry, f"its spec has the tag {plugin.spec.__struct_config__.tag!r}"))
    return plugin


def _blame(entry: EntryPoint, reason: str) -> str:
    distribution = entry.dist.name if entry.dist else "unknown distribution"
    return f"plugin {entry.name!r} ({entry.value}, {distribution}): {reason}"


def _distributions() -> dict[str, str]:
    """Every distribution that a plugin comes from, with its version."""
    entries = [*entry_points(group=FAMILIES), *entry_points(group=COSTS)]
    return {entry.dist.name: entry.dist.version for entry in entries if entry.dist}


def demo_data() -> Path:
    """The folder of demonstration data that the shipped plugins bring."""
    (entry,) = entry_points(group=DATA, name="demo")
    path: Path = entry.load()
    return path


def load(data: Path | None = None) -> Installation:
    """Everything that is installed, with the rate cards and shop data of a folder (the demonstration's by default).

    The folder holds `rate_cards/*.toml` and `shop_data/*.toml`. Raises `PluginError` or `DataError`, naming what is
    wrong; nothing is loaded by halves.
    """
    families = plugins(FAMILIES, Family)
    modules = plugins(COSTS, CostModule)
    return compose(families, modules, data or demo_data())


def compose(families: Mapping[str, Family], modules: Mapping[str, CostModule], data: Path) -> Installation:
    """Put plugins and a folder of data together; raises `DataError` with all that does not fit."""
    clashing = sorted(set(families) & set(modules))
    if clashing:
        message = f"both a family and a cost module are named {', '.join(clashing)}"
        raise PluginError(message)
    cards = rate_cards(data / "rate_cards", modules)
    shops = all_shop_data(data / "shop_data", modules, families)
    problems = sorted(
        {problem for card, shop in _together(cards, shops) for problem in mismatches(card, shop, modules)}
    )
    if problems:
        raise DataError(*problems)
    versions = Versions(version("tallyplate"), CONTRACT, _distributions())
    return Installation(families, modules, Modules.of(modules), cards, shops, versions)


def _together(cards: Sequence[RateCard], shops: Sequence[ShopData]) -> Iterator[tuple[RateCard, ShopData]]:
    """The pairs of card and shop data that are in force on some date."""
    for day in sorted({version.effective_from for version in (*cards, *shops)}):
        card = [card for card in cards if card.effective_from <= day]
        shop = [shop for shop in shops if shop.effective_from <= day]
        if card and shop:
            yield card[-1], shop[-1]


@cache
def _demonstration() -> Installation:
    return load()


def price(
    request: Mapping[str, Any], installation: Installation | None = None, now: datetime | None = None
) -> PriceAnswer:
    """Price a request with an installation, or with what is installed and the demonstration's data."""
    return (installation or _demonstration()).price(request, now)
