"""Engraved text against the side that it stands on."""

from collections.abc import Iterator

from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity

DISC = 2
"""On a disc a text stands along a chord, half as long as the diameter so that it keeps near the rim."""


def check(case: Case) -> Iterator[Finding]:
    """A text longer than its side, beside the coordinates there; not checked in a shop that states no room for it."""
    each, marks = case.shop.limits.character, case.build.marks
    if each is None or not any(one.text for one in marks):
        return
    for text in (one for one in marks if one.text):
        beside = sum(one.characters for one in marks if one.side == text.side and not one.text)
        needed, room = (len(text.text) + beside) * each, _room(case, text.side)
        if needed > room:
            also = f" and {beside} of coordinates" if beside else ""
            yield Finding(
                "text-too-long",
                Severity.ERROR,
                "/plate/marking/text",
                f"{len(text.text)} characters{also} take {needed:.0f} mm along the {text.side} side, which has "
                f"{room:.0f} mm",
                PRACTICE,
            )


def _room(case: Case, side: str) -> float:
    """The length in mm of a side, of the top or of a face that it names."""
    body = case.build.body
    face, _, edge = side.rpartition(" ")
    known = next((one for one in body.faces if one.name == face), body)
    length: float = known.length if edge in {"bottom", "top"} else known.width
    return length / DISC if body.disc else length
