"""From the files of a folder to rate cards and shop data: resolved, checked, and by date."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import reduce
from pathlib import Path
from typing import TypeVar
from zoneinfo import ZoneInfo

from tallyplate.contract import CostModule, Family, ShopData
from tallyplate.decoding import shown
from tallyplate.money import minor_digits
from tallyplate.rates.agreed import dangling
from tallyplate.rates.card import RateCard
from tallyplate.rates.files import DataError, digest, snapshot, written
from tallyplate.rates.heads import CardHead, ShopHead
from tallyplate.rates.inherit import Resolved, Written, laid_under, resolve
from tallyplate.rates.sections import money_hook, problem, read_sections

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
    shop = ShopData(digest=digest(one.data), sections=sections, **fields)
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


def mismatches(card: RateCard, shop: ShopData, modules: Mapping[str, CostModule]) -> Iterator[str]:
    """What a card and shop data in force together leave unpriced."""
    for name, module in sorted(modules.items()):
        if module.optional and (name not in card.sections or (module.figures and name not in shop.sections)):
            continue
        for center in module.work_centers:
            if center not in card.work_centers:
                yield f"rate card {card.id}: {_uncharged(center, name)}"
            if center not in shop.work_centers:
                yield f"shop data {shop.id}: {_uncharged(center, name)}"
        if module.gaps:
            for gap in module.gaps(card.sections.get(name), shop):
                yield f"rate card {card.id}: {name}.{gap}: is missing; shop data {shop.id} offers it"


def _uncharged(center: str, module: str) -> str:
    return (
        f"work_centers.{center}: is missing; module {module} charges time to it; "
        f"`tallyplate plugin example {module}` prints what it needs"
    )


def resolved_folder(path: Path) -> dict[str, Resolved]:
    """What each file of a folder says, by its id; raises `DataError` with what keeps files from being told apart."""
    by_id: dict[str, Written] = {}
    problems: list[str] = []
    for name, content in snapshot(path).items():
        try:
            one = written(name, content)
        except DataError as error:
            problems += error.problems
            continue
        ident = one.data.get("id")
        if not isinstance(ident, str):
            problems.append(f"{name}:1: id: is missing or no text; accepted: a name of its own")
        elif ident in by_id:
            problems.append(f"{name}:{one.lines.get(('id',), 1)}: id: {by_id[ident].file} states {ident} too")
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
    return _dated(path, lambda one: shop_data(one, modules, families), fragments)


def _fragments(examples: Mapping[str, str]) -> list[Written]:
    return [written(f"example of {name}", text.encode()) for name, text in examples.items() if text]


def _dated(path: Path, load: Callable[[Resolved], Dated], fragments: Sequence[Written]) -> tuple[Dated, ...]:
    """What the files of a folder hold, by date, no date twice."""
    loaded: list[Dated] = []
    problems: list[str] = []
    for file in resolved_folder(path).values():
        one = reduce(laid_under, fragments, file)
        try:
            loaded.append(load(one))
        except DataError as error:
            problems += error.problems
    counts = Counter(version.effective_from for version in loaded)
    problems += [
        f"{path.name}: effective_from: {count} files state {day.isoformat()}; accepted: each date once"
        for day, count in counts.items()
        if count > 1
    ]
    if problems:
        raise DataError(*problems)
    return tuple(sorted(loaded, key=lambda version: version.effective_from))
