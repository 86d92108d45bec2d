"""What a caller sends: JSON read strictly, with every fault named and no key given twice."""

import json
import re
from collections.abc import Iterator, Mapping
from datetime import date
from math import isinf
from typing import Annotated, Any, Final, Self

import msgspec
from msgspec import UNSET, Meta, Struct, UnsetType

from tallyplate.contract import Assumption, Family, Fault, Order, PlateSpec, Refusal, Services, refuse
from tallyplate.contract.services import NO_SERVICES
from tallyplate.decoding import escaped, faults, length_hook, shown
from tallyplate.money import minor_digits

MAX_QUANTITY: Final = 100_000
YEARS: Final = range(1970, 2200)
"""Years that a date of an inquiry may lie in, so that working days can be counted from it."""

BUDGET_PATTERN: Final = r"^[0-9]{1,12}(\.[0-9]{1,4})? [A-Z]{3}$"
_BUDGET = re.compile(r"([0-9]{1,12})(?:\.([0-9]{1,4}))? ([A-Z]{3})\Z")


OUT_OF_RANGE: Final = "Number out of range"
"""What the decoder says of a number beyond the largest, without saying which."""


class Malformed(Refusal):
    """A body that is no JSON, or not such that it can be read without guessing."""

    code = "malformed-json"


TOO_DEEP: Final = Fault("", "is nested too deep; accepted: one JSON object of plain depth")


class Budget(Struct, frozen=True):
    """What a customer can spend, in minor units of a currency."""

    minor: int
    currency: str


class MoneyText(str):
    """A sum of money as callers write it: an amount and a currency."""

    __slots__ = ()

    @classmethod
    def read(cls, value: object) -> Self:
        """Take a text that is an amount and a currency; raises `ValueError` with what would be accepted."""
        if type(value) is str and _BUDGET.match(value):
            return cls(value)
        message = f'{shown(value)} is not a sum of money; write an amount and a currency, such as "4500.00 USD"'
        raise ValueError(message)


Digest = Annotated[str, Meta(pattern="^[0-9a-f]{64}$", max_length=64, title="SHA-256 digest")]


class Pins(Struct, frozen=True, forbid_unknown_fields=True):
    """The very versions that a price shall be made from, by digest."""

    rate_card: Digest | UnsetType = UNSET
    shop_data: Digest | UnsetType = UNSET


Quantity = Annotated[int, Meta(ge=1, le=MAX_QUANTITY, title="Quantity", description="Plates in the order.")]
NeedBy = Annotated[date, Meta(title="Needed by")]
BudgetAsked = Annotated[MoneyText, Meta(title="Budget", description="For the order, with its currency.")]
AsOf = Annotated[date, Meta(title="As of", description="The date whose rates and shop data apply; usually today.")]
ServicesAsked = Annotated[Services, Meta(title="Services", description="Paper and service around the plates.")]


class Envelope(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """An inquiry around its plate."""

    plate: dict[str, Any]
    quantity: Quantity | UnsetType = UNSET
    need_by: NeedBy | UnsetType = UNSET
    budget: BudgetAsked | UnsetType = UNSET
    as_of: AsOf | UnsetType = UNSET
    pins: Pins | UnsetType = UNSET
    services: ServicesAsked | UnsetType = UNSET


class Inquiry(Struct, frozen=True):
    """An inquiry, read: the plate as its family's spec."""

    family: str
    plate: PlateSpec
    asked: dict[str, Any]
    """The plate as it was asked for, in the caller's own words."""
    quantity: int
    need_by: date | None
    budget: Budget | None
    as_of: date | None
    pins: Pins
    assumed: tuple[Assumption, ...]
    services: Services

    def order(self, as_of: date) -> Order:
        """The order that it asks for, at the rates of a date."""
        return Order(self.quantity, as_of, self.need_by, self.services)


def decode(body: bytes) -> object:
    """JSON as plain data; refuses what is not JSON, what is nested too deep, and keys given twice."""
    try:
        data = msgspec.json.decode(body)
        if b"\\" in body or msgspec.json.encode(data).count(b":") != body.count(b":"):
            # Fewer colons come back than went in where a key was lost to its twin; escapes may hide one.
            json.loads(body, object_pairs_hook=_once)
    except UnicodeDecodeError:
        raise Malformed(Fault("", "is not UTF-8; accepted: JSON in UTF-8")) from None
    except (msgspec.DecodeError, json.JSONDecodeError) as error:
        raise _not_json(body, str(error)) from None
    except RecursionError:
        raise Malformed(TOO_DEEP) from None
    return data


def _not_json(body: bytes, error: str) -> Malformed:
    """What is wrong with a body that the decoder does not take."""
    faults = [Fault("", f"is not JSON: {error}; accepted: one JSON object")]
    if OUT_OF_RANGE in error:
        try:
            faults = [*_beyond(json.loads(body), "")] or faults
        except RecursionError:
            faults = [TOO_DEEP]
        except ValueError:
            pass  # no JSON besides, which is what stands there
    return Malformed(*faults)


def _beyond(value: object, pointer: str) -> Iterator[Fault]:
    """Each number that is beyond what numbers are held in."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, one in inner:
        yield from _beyond(one, f"{pointer}/{escaped(key)}")
    if isinstance(value, float) and isinf(value):
        yield Fault(pointer, "is a number beyond 1e308; accepted: less")


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) < len(pairs):
        twice = next(key for key, _ in pairs if sum(key == other for other, _ in pairs) > 1)
        raise Malformed(Fault("", f"the key {shown(twice)} stands twice in one object; accepted: each once"))
    return made


def inquiry_hook(kind: type, value: object) -> object:
    """Read the types that an inquiry adds to a plate's."""
    return MoneyText.read(value) if kind is MoneyText else length_hook(kind, value)


def read(data: object, families: Mapping[str, Family]) -> Inquiry:
    """An inquiry from plain data; raises `Refusal` with every fault of envelope and plate together."""
    try:
        envelope = msgspec.convert(data, Envelope, dec_hook=inquiry_hook)
        family = families[envelope.plate["family"]]
        plate = msgspec.convert(envelope.plate, family.spec, dec_hook=length_hook)
    except (msgspec.ValidationError, KeyError, TypeError):
        raise Refusal(*_all_faults(data, families)) from None
    wrong = list(_value_faults(envelope))
    if wrong:
        raise Refusal(*wrong)
    quantity = envelope.quantity
    assumed: tuple[Assumption, ...] = ()
    if isinstance(quantity, UnsetType):
        quantity, assumed = 1, (Assumption("/quantity", 1, "a single plate"),)
    return Inquiry(
        family=envelope.plate["family"],
        plate=plate,
        asked=envelope.plate,
        quantity=quantity,
        need_by=envelope.need_by or None,
        budget=_budget(envelope.budget) if envelope.budget else None,
        as_of=envelope.as_of or None,
        pins=envelope.pins or Pins(),
        assumed=assumed,
        services=envelope.services or NO_SERVICES,
    )


def _value_faults(envelope: Envelope) -> Iterator[Fault]:
    """What is wrong with values that have the right form."""
    for name, day in (("as_of", envelope.as_of), ("need_by", envelope.need_by)):
        if isinstance(day, date) and day.year not in YEARS:
            yield Fault(f"/{name}", f"{day.isoformat()} is out of range; accepted: years {YEARS[0]} to {YEARS[-1]}")
    if envelope.budget:
        try:
            _budget(envelope.budget)
        except Refusal as refusal:
            yield from refusal.faults


def _all_faults(data: object, families: Mapping[str, Family]) -> Iterator[Fault]:
    """Every fault of the envelope, then every fault of the plate by the spec of its family."""
    wrong = list(faults(data, Envelope, inquiry_hook, ""))
    yield from wrong or _value_faults(msgspec.convert(data, Envelope, dec_hook=inquiry_hook))
    plate = data.get("plate") if isinstance(data, dict) else None
    if isinstance(plate, dict):
        name = plate.get("family")
        if isinstance(name, str) and name in families:
            yield from faults(plate, families[name].spec, length_hook, "/plate")
        else:
            found = f"{shown(name)} is not on offer" if "family" in plate else "is required and missing"
            yield Fault("/plate/family", f"{found}; accepted: {', '.join(sorted(families))}")


def _budget(text: MoneyText) -> Budget:
    match = _BUDGET.match(text)
    assert match is not None  # noqa: S101 - MoneyText holds nothing else
    whole, decimals, currency = match[1], match[2] or "", match[3]
    try:
        digits = minor_digits(currency)
    except ValueError as error:
        raise refuse("/budget", str(error)) from None
    if len(decimals) > digits:
        raise refuse("/budget", f"{text!r} has parts of a minor unit; {currency} has {digits} decimals")
    return Budget(int(whole + decimals.ljust(digits, "0")), currency)
