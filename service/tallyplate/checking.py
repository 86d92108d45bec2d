"""A plate built by its family, then checked, with the mends that were found."""

import msgspec

from tallyplate.contract import Build, Family, PlateSpec, Refusal, ShopData, Usual
from tallyplate.decoding import length_hook
from tallyplate.findings import Case, Finding, in_order, of_plate
from tallyplate.mends import mended
from tallyplate.pricing import PluginFailure
from tallyplate.soundness import unsound


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
    return build


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
