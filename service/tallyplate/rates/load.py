"""From the data of a file to a rate card or shop data, each section by the struct that its module declares."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import Annotated, Any, TypeVar
from zoneinfo import ZoneInfo

import msgspec
from msgspec import Meta, Struct

from tallyplate.contract import CostModule, Family, Figure, PerHour, Rate, Sum
from tallyplate.contract.refusals import Refusal
from tallyplate.contract.sections import (
    Cutting,
    Finish,
    Limits,
    Machine,
    Material,
    Screw,
    TSlot,
    UsualAnswers,
    Walls,
    WorkCenter,
)
from tallyplate.contract.shop import ShopData
from tallyplate.decoding import Hook, convert, length_hook, shown
from tallyplate.money import Rounding, minor_digits
from tallyplate.rates.card import RateCard
from tallyplate.rates.files import DataError, digest, folder, read
from tallyplate.units import UnitError

Id = Annotated[str, Meta(pattern=r"\A[A-Za-z0-9][A-Za-z0-9._-]{0,63}\Z")]


Dated = TypeVar("Dated", RateCard, ShopData)


class CardHead(Struct, frozen=True, forbid_unknown_fields=True):
    """What every rate card states besides the sections of the modules."""

    id: Id
    effective_from: date
    currency: str
    time_zone: str
    rounding: Rounding
    work_centers: dict[str, PerHour]


class ShopHead(Struct, frozen=True, forbid_unknown_fields=True):
    """What all shop data state besides the sections of families and modules."""

    id: Id
    effective_from: date
    materials: dict[str, Material]
    finishes: dict[str, Finish]
    screws: dict[str, Screw]
    t_slots: tuple[TSlot, ...]
    cutting: Cutting
    machine: Machine
    walls: Walls
    work_centers: dict[str, WorkCenter]
    limits: Limits
    usual: UsualAnswers


def money_hook(currency: str) -> Hook:
    """Read every figure that people write, with money in one currency."""

    def hook(kind: type, value: object) -> object:
        if not issubclass(kind, Rate | Sum | Figure):
            return length_hook(kind, value)
        if type(value) is not str:
            message = f'{shown(value)} has no unit; write it as text with its unit, such as "9.40 USD/kg" or "90 m/min"'
            raise UnitError(message)
        if issubclass(kind, Figure):
            return kind.read(value)
        return kind.read(value, currency)

    return hook


def rate_card(data: dict[str, Any], file: str, modules: Mapping[str, CostModule]) -> RateCard:
    """A card from the data of a file; raises `DataError` with every problem of every section."""
    currency = data.get("currency")
    try:
        digits = minor_digits(str(currency))
    except ValueError as error:
        message = f"{file}: currency: {error}"
        raise DataError(message) from None
    hook = money_hook(str(currency))
    declared = {name: module.rates for name, module in modules.items()}
    head, sections = _sections(data, file, CardHead, declared, hook)
    try:
        zone = ZoneInfo(head.time_zone)
    except (KeyError, ValueError, OSError):
        message = f"{file}: time_zone: {shown(head.time_zone)} is not a time zone of the IANA database, such as 'UTC'"
        raise DataError(message) from None
    return RateCard(
        id=head.id,
        effective_from=head.effective_from,
        digest=digest(data),
        currency=str(currency),
        minor_digits=digits,
        rounding=head.rounding,
        time_zone=zone,
        work_centers=head.work_centers,
        sections=sections,
    )


def shop_data(
    data: dict[str, Any], file: str, modules: Mapping[str, CostModule], families: Mapping[str, Family]
) -> ShopData:
    """Shop data from the data of a file; raises `DataError` with every problem of every section."""
    declared = {name: module.figures for name, module in modules.items()}
    declared |= {name: family.figures for name, family in families.items()}
    head, sections = _sections(data, file, ShopHead, declared, money_hook("XXX"))
    own = {type(section): section for section in sections.values()}
    shop = ShopData(digest=digest(data), own=own, **{name: getattr(head, name) for name in ShopHead.__struct_fields__})
    problems = [f"{file}: {problem}" for problem in _dangling(shop)]
    if problems:
        raise DataError(*problems)
    return shop


def _sections(
    data: dict[str, Any], file: str, head_type: type[Any], declared: Mapping[str, type[Struct] | None], hook: Hook
) -> tuple[Any, dict[str, Any]]:
    """The head and the sections of plugins, or every problem of all of them."""
    head_fields = set(head_type.__struct_fields__)
    problems: list[str] = []
    sections: dict[str, Any] = {}
    wanted = {name: struct for name, struct in declared.items() if struct is not None}
    parts = [(head_type, {key: value for key, value in data.items() if key in head_fields}, "")]
    for name, struct in sorted(wanted.items()):
        if name in data:
            parts.append((struct, data[name], name))
        else:
            problems.append(f"{file}: {name}: this section is missing; it states {', '.join(_keys(struct))}")
    for key in data:
        if key not in head_fields and key not in wanted:
            accepted = ", ".join(sorted(head_fields | set(wanted)))
            problems.append(f"{file}: {key}: unknown section; accepted: {accepted}")
    head = None
    for struct, value, name in parts:
        try:
            made = convert(value, struct, hook, f"/{name}" if name else "")
        except Refusal as refusal:
            problems += [f"{file}: {_dotted(fault.pointer)}: {fault.message}" for fault in refusal.faults]
            continue
        if name:
            sections[name] = made
        else:
            head = made
    if problems:
        raise DataError(*problems)
    return head, sections


def _keys(struct: type[Struct]) -> tuple[str, ...]:
    return tuple(field.encode_name for field in msgspec.structs.fields(struct))


def _dotted(pointer: str) -> str:
    """A JSON Pointer as a TOML reader would write the key."""
    steps = (step.replace("~1", "/").replace("~0", "~") for step in pointer.split("/")[1:])
    return ".".join(step if step.replace("-", "").replace("_", "").isalnum() else f'"{step}"' for step in steps)


def _dangling(shop: ShopData) -> Iterator[str]:
    """Names in shop data that lead nowhere."""
    for name, material in shop.materials.items():
        for finish in material.finishes:
            if finish not in shop.finishes:
                yield f"materials.{name}.finishes: {finish!r} is no finish; accepted: {', '.join(shop.finishes)}"
    for slot in shop.t_slots:
        if slot.screw not in shop.screws:
            yield f"t_slots: {slot.screw!r} is no screw; accepted: {', '.join(shop.screws)}"
    if shop.usual.screw not in shop.screws:
        yield f"usual.screw: {shop.usual.screw!r} is no screw; accepted: {', '.join(shop.screws)}"
    if shop.usual.finish not in shop.finishes:
        yield f"usual.finish: {shop.usual.finish!r} is no finish; accepted: {', '.join(shop.finishes)}"


def mismatches(card: RateCard, shop: ShopData, modules: Mapping[str, CostModule]) -> Iterator[str]:
    """What a card and shop data in force together leave unpriced."""
    for name, module in sorted(modules.items()):
        for center in module.work_centers:
            if center not in card.work_centers:
                yield f"rate card {card.id}: work_centers.{center}: is missing; module {name} charges time to it"
            if center not in shop.work_centers:
                yield f"shop data {shop.id}: work_centers.{center}: is missing; module {name} charges time to it"
        if module.gaps:
            for gap in module.gaps(card.sections.get(name), shop):
                yield f"rate card {card.id}: {name}.{gap}: is missing; shop data {shop.id} offers it"


def rate_cards(path: Path, modules: Mapping[str, CostModule]) -> tuple[RateCard, ...]:
    """Every card of a folder by date; raises `DataError` with the problems of all files."""
    return _dated(path, lambda file: rate_card(read(file), file.name, modules))


def all_shop_data(
    path: Path, modules: Mapping[str, CostModule], families: Mapping[str, Family]
) -> tuple[ShopData, ...]:
    """All shop data of a folder by date; raises `DataError` with the problems of all files."""
    return _dated(path, lambda file: shop_data(read(file), file.name, modules, families))


def _dated(path: Path, load: Callable[[Path], Dated]) -> tuple[Dated, ...]:
    """What the files of a folder hold, by date, no id and no date twice."""
    loaded: list[Dated] = []
    problems: list[str] = []
    for file in folder(path):
        try:
            loaded.append(load(file))
        except DataError as error:
            problems += error.problems
    for attribute in ("id", "effective_from"):
        counts = Counter(str(getattr(version, attribute)) for version in loaded)
        problems += [
            f"{path.name}: {attribute}: {count} files state {value}; accepted: each once"
            for value, count in counts.items()
            if count > 1
        ]
    if problems:
        raise DataError(*problems)
    return tuple(sorted(loaded, key=lambda version: version.effective_from))
