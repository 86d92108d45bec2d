"""A plate built by its family, then checked, with the mends that were found."""

from collections.abc import Iterator
from typing import Final

import msgspec

from tallyplate.contract import MAX_HOLES, Build, Family, Fault, Lattice, PlateSpec, Refusal, ShopData, Usual
from tallyplate.decoding import length_hook
from tallyplate.findings import Case, Finding, in_order, of_plate
from tallyplate.mends import mended
from tallyplate.pricing import PluginFailure
from tallyplate.soundness import unsound
from tallyplate.units import decimal_text

LEAST_SIDE: Final = 1.0
"""Millimetres below which nothing is squared and drilled (common practice, no source)."""


def built(family: Family, name: str, spec: PlateSpec, shop: ShopData, usual: Usual) -> Build:
    """What the shop would make of a spec; raises `Refusal`, and `PluginFailure` for a family that failed."""
    try:
        build = family.build(spec, shop, usual)
        wrong = unsound(build, shop)
    except Refusal:
        raise
    except (Exception, SystemExit) as error:
        raise PluginFailure(name, f"{type(error).__name__}: {error}", "family") from error
    if wrong:
        raise PluginFailure(name, wrong, "family")
    absurd = [*_absurd(build)]
    if absurd:
        raise Refusal(*dict.fromkeys(absurd))
    return build


def _absurd(build: Build) -> Iterator[Fault]:
    """Sides and numbers of holes that no plate has, whatever its family lets pass."""
    body = build.body
    for side, size in zip(body.named, (body.length, body.width, body.thickness), strict=True):
        if size < LEAST_SIDE:
            message = f"{decimal_text(size, 4)} mm is too small; accepted: at least {LEAST_SIDE:g} mm"
            yield Fault(f"/plate/{side}", message)
    lattices = [group for group in build.holes if isinstance(group.layout, Lattice)]
    if len(lattices) > 1:
        count = sum([group.count for group in lattices])
        if count > MAX_HOLES:
            message = f"{count} holes in all; accepted: at most {MAX_HOLES} on a plate"
            yield Fault(lattices[0].asked or "/plate/pattern", message)


def checked(family: Family, name: str, asked: bytes, case: Case) -> tuple[Finding, ...]:
    """What the checks say of a plate, in order, and what would mend it; `asked` is its JSON in the caller's words."""

    def trying(plate: object) -> tuple[Finding, ...] | None:
        try:
            spec = msgspec.convert(plate, family.spec, dec_hook=length_hook)
            return of_plate(Case(built(family, name, spec, case.shop, Usual()), case.shop))
        except (msgspec.ValidationError, Refusal):
            return None

    found = in_order(of_plate(case))
    return mended(found, msgspec.json.decode(asked), case, trying) if found else found
