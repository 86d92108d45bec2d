"""Growth with temperature of the plate's longest side against its position tolerance."""

from collections.abc import Iterator

from tallyplate.findings.finding import Case, Finding, Severity
from tallyplate.units import decimal_text


def growth(size: float, expansion: float, kelvins: float) -> float:
    """Growth in mm of a size in mm: L x alpha x dT, with alpha in 1/K (linear expansion, any physics textbook)."""
    return size * expansion * kelvins


def check(case: Case) -> Iterator[Finding]:
    """A plate that outgrows its tolerance within the temperatures that it is used at.

    A zone of diameter t lets a hole at the end of a plate held at its middle move t/2, and half the length grows by
    half; so the whole length's growth is held against the whole zone.
    """
    swing, body = case.shop.limits.temperature_swing, case.build.body
    if swing is None:
        return
    material, asked = case.shop.materials[body.material], case.build.position_tolerance
    longest = max(body.length, body.width, body.thickness)
    each = growth(longest, material.expansion, 1)
    if each * swing > asked:
        over = "" if float(swing) == 1 else f", {decimal_text(each * swing, 4)} mm over {decimal_text(swing, 1)} K"
        yield Finding(
            "outgrows-tolerance",
            Severity.CAUTION,
            "/plate/position_tolerance",
            f"{decimal_text(longest, 1)} mm of {material.title} grow {decimal_text(each, 4)} mm with each kelvin"
            f"{over}; the {decimal_text(asked, 4)} mm "
            f"asked hold only within {decimal_text(asked / each, 2)} K of 20 deg C",
            f"20 deg C: ISO 1; expansion and temperature swing of shop data {case.shop.id}",
        )
