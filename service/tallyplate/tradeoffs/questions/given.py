"""Any part of a request, read: what it gives, and which fields without a usual answer it leaves open."""

from collections.abc import Mapping
from typing import Any

import msgspec
from msgspec import Struct, UnsetType

from tallyplate.contract import Family, Fault, Refusal
from tallyplate.decoding import MISSING, convert, faults, length_hook
from tallyplate.inquiry import Envelope, inquiry_hook
from tallyplate.tradeoffs.questions.fields import field, leaves


class Given(Struct, frozen=True):
    """A request with the plate as far as it is known; `families` are those that it may still belong to.

    `needed` names, by family, the fields that must be answered before there is a price. `kept_out` says of each other
    family why it is none of these.
    """

    envelope: Envelope
    request: Mapping[str, Any]
    families: Mapping[str, tuple[str, ...]]
    kept_out: Mapping[str, tuple[Fault, ...]]

    @property
    def plate(self) -> Mapping[str, Any]:
        """The plate as far as it is known."""
        return self.envelope.plate

    @property
    def family(self) -> str | None:
        """The family, where it was said."""
        return self.plate.get("family")

    @property
    def quantity(self) -> int | None:
        """How many plates, where it was said."""
        return None if isinstance(self.envelope.quantity, UnsetType) else self.envelope.quantity


def read(data: object, families: Mapping[str, Family]) -> Given:
    """What a request gives; raises `Refusal` with every fault except that something is missing."""
    whole = {"plate": {}, **data} if isinstance(data, dict) else data
    wrong = list(faults(whole, Envelope, inquiry_hook, ""))
    plate = whole.get("plate") if isinstance(whole, dict) else None
    if not isinstance(plate, dict):
        raise Refusal(*wrong)
    named = plate.get("family")
    if "family" in plate and not (isinstance(named, str) and named in families):
        message = f"{str(named)[:80]!r} is not on offer; accepted: {', '.join(sorted(families))}"
        raise Refusal(*wrong, Fault("/plate/family", message))
    looked = {name: _looked(plate, name, families[name]) for name in ([named] if named else families)}
    possible = {name: needed for name, (needed, at_fault) in looked.items() if not at_fault}
    kept_out = {name: at_fault for name, (_, at_fault) in looked.items() if at_fault}
    if not possible:
        fewest: tuple[Fault, ...] = min(kept_out.values(), key=len)
        wrong += fewest
    if wrong:
        raise Refusal(*wrong)
    return Given(convert(whole, Envelope, inquiry_hook), whole, possible, kept_out)  # type: ignore[arg-type]


def _looked(plate: Mapping[str, Any], name: str, family: Family) -> tuple[tuple[str, ...], tuple[Fault, ...]]:
    """What a plate of a family still needs, and what is wrong with what it has.

    What is missing of something that may be one thing or another, such as a feature, is wrong: nobody is asked for it.
    """
    found = list(faults({**plate, "family": name}, family.spec, length_hook, "/plate"))
    wanting = [fault for fault in found if fault.message == MISSING and field(family.spec, fault.pointer)]
    return (
        tuple(leaf for fault in wanting for leaf in leaves(family.spec, fault.pointer)),
        tuple(fault for fault in found if fault not in wanting),
    )


def shared(families: Mapping[str, Family], names: Mapping[str, object]) -> frozenset[str]:
    """The fields that every one of some families has."""
    each = [{one.encode_name for one in msgspec.structs.fields(families[name].spec)} for name in names]
    return frozenset(set.intersection(*each))
