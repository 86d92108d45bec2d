"""From the files of a folder to rate cards and shop data: resolved, checked, and by date."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from functools import reduce
from pathlib import Path
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from tallyplate.contract import CostModule, Family, ShopData
from tallyplate.decoding import shown
from tallyplate.money import minor_digits
from tallyplate.rates.agreed import dangling
from tallyplate.rates.card import RateCard
from tallyplate.rates.files import DataError, digest, in_folder, snapshot, written
from tallyplate.rates.heads import CardHead, ShopHead
from tallyplate.rates.inherit import Resolved, Written, laid_under, resolve
from tallyplate.rates.mismatches import mismatches
from tallyplate.rates.sections import money_hook, problem, read_sections
from tallyplate.rates.shop import Folder, Sections, sections_of

__all__ = ["all_shop_data", "cards_and_shops", "mismatches", "rate_card", "rate_cards", "resolved_folder", "shop_data"]

Dated = TypeVar("Dated", RateCard, ShopData)


def rate_card(one: Resolved, modules: Mapping[str, CostModule]) -> RateCard:
    """A card from what a file says; raises `DataError` with every problem of every section."""
    if "currency" not in one.data:
        raise DataError(problem(one, ("currency",), "is required and missing"))
    currency = str(one.data["currency"])
    try:
        digits = minor_digits(currency)
    except ValueError as error:
        raise DataError(problem(one, ("currency",), str(error))) from None
    declared = {name: module.rates for name, module in modules.items() if not module.optional or name in one.data}
    head, sections = read_sections(one, CardHead, declared, money_hook(currency))
    try:
        zone = ZoneInfo(head.time_zone)
    except (KeyError, ValueError, OSError):
        reason = f"{shown(head.time_zone)} is not a time zone of the IANA database, such as 'UTC'"
        raise DataError(problem(one, ("time_zone",), reason)) from None
    if head.quotes:
        problems = [problem(one, path, reason) for path, reason in dangling(head.quotes, modules)]
        if problems:
            raise DataError(*problems)
    return RateCard(
        id=head.id,
        effective_from=head.effective_from,
        digest=digest(one.data),
        currency=currency,
        minor_digits=digits,
        rounding=head.rounding,
        time_zone=zone,
        work_centers=head.work_centers,
        sections=sections,
        resolved=one,
        quotes=head.quotes,
    )


def shop_data(one: Resolved, modules: Mapping[str, CostModule], families: Mapping[str, Family]) -> ShopData:
    """Shop data from what a file says; raises `DataError` with every problem of every section."""
    declared = {name: module.figures for name, module in modules.items() if not module.optional or name in one.data}
    declared |= {name: family.figures for name, family in families.items() if not family.figures or name in one.data}
    head, sections = read_sections(one, ShopHead, declared, money_hook("XXX"))
    fields = {name: getattr(head, name) for name in ShopHead.__struct_fields__}
    shop = ShopData(digest=digest(one.data), sections=Sections(sections, one), **fields)
    problems = [problem(one, path, reason) for path, reason in _dangling(shop)]
    if problems:
        raise DataError(*problems)
    return shop


def _dangling(shop: ShopData) -> Iterator[tuple[tuple[str, ...], str]]:
    """Names in shop data that lead nowhere: at which key, and why."""
    finishes, screws = ", ".join(shop.finishes), ", ".join(shop.screws)
    for name, material in shop.materials.items():
        for finish in material.finishes:
            if finish not in shop.finishes:
                yield ("materials", name, "finishes"), f"{finish!r} is no finish; accepted: {finishes}"
    for index, slot in enumerate(shop.t_slots):
        if slot.screw not in shop.screws:
            yield ("t_slots", str(index), "screw"), f"{slot.screw!r} is no screw; accepted: {screws}"
    if shop.usual.screw not in shop.screws:
        yield ("usual", "screw"), f"{shop.usual.screw!r} is no screw; accepted: {screws}"
    if shop.usual.finish not in shop.finishes:
        yield ("usual", "finish"), f"{shop.usual.finish!r} is no finish; accepted: {finishes}"


def resolved_folder(path: Path) -> dict[str, Resolved]:
    """What each file of a folder says, by its id; raises `DataError` with what keeps files from being told apart."""
    by_id: dict[str, Written] = {}
    problems: list[str] = []
    for bare_name, content in snapshot(path).items():
        name = in_folder(path, bare_name)
        try:
            one = written(name, content)
        except DataError as error:
            problems += error.problems
            continue
        ident = one.data.get("id")
        if not isinstance(ident, str):
            problems.append(f"{name}:1: id: is missing or no text; accepted: a name of its own")
        elif ident in by_id:
            reason = f"{by_id[ident].file} states {ident} too; accepted: each id once"
            problems.append(f"{name}:{one.lines.get(('id',), 1)}: id: {reason}")
        else:
            by_id[ident] = one
    resolved, unresolved = resolve(by_id)
    if problems or unresolved:
        raise DataError(*problems, *unresolved)
    return resolved


def rate_cards(path: Path, modules: Mapping[str, CostModule], *, examples: bool = False) -> tuple[RateCard, ...]:
    """Every card of a folder by date; raises `DataError` with the problems of all files.

    With `examples`, what no file says is taken from the examples of the modules.
    """
    fragments = _fragments({name: module.example_rates for name, module in modules.items() if examples})
    return _dated(path, lambda one: rate_card(one, modules), fragments)


def all_shop_data(
    path: Path, modules: Mapping[str, CostModule], families: Mapping[str, Family], *, examples: bool = False
) -> tuple[ShopData, ...]:
    """All shop data of a folder by date, likewise; raises `DataError` with the problems of all files."""
    plugins: dict[str, CostModule | Family] = {**modules, **families}
    fragments = _fragments({name: plugin.example_figures for name, plugin in plugins.items() if examples})
    shops = _dated(path, lambda one: shop_data(one, modules, families), fragments)
    folder = Folder(shops)
    for shop in shops:
        sections_of(shop).folder = folder
    return shops


def cards_and_shops(
    data: Path, modules: Mapping[str, CostModule], families: Mapping[str, Family], *, examples: bool = False
) -> tuple[tuple[RateCard, ...], tuple[ShopData, ...]]:
    """Rate cards and shop data of a folder; raises `DataError` with the problems of both at once."""
    made: list[Any] = []
    problems: list[str] = []
    for read in (
        lambda: rate_cards(data / "rate_cards", modules, examples=examples),
        lambda: all_shop_data(data / "shop_data", modules, families, examples=examples),
    ):
        try:
            made.append(read())
        except DataError as error:
            problems += error.problems
    if problems:
        raise DataError(*problems)
    cards, shops = made
    return cards, shops


def _fragments(examples: Mapping[str, str]) -> list[Written]:
    return [written(f"example of {name}", text.encode()) for name, text in examples.items() if text]


def _dated(path: Path, load: Callable[[Resolved], Dated], fragments: Sequence[Written]) -> tuple[Dated, ...]:
    """What the files of a folder hold, by date, no date twice."""
    by_date: dict[date, tuple[str, Dated]] = {}
    problems: list[str] = []
    for file in resolved_folder(path).values():
        one = reduce(laid_under, fragments, file)
        try:
            version = load(one)
        except DataError as error:
            problems += error.problems
            continue
        first, of_that_day = by_date.setdefault(version.effective_from, (one.file, version))
        if of_that_day is not version:
            reason = f"{first} states {version.effective_from} too; accepted: each date once"
            problems.append(problem(one, ("effective_from",), reason))
    if problems:
        raise DataError(*problems)
    return tuple(by_date[day][1] for day in sorted(by_date))
