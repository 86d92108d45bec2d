"""A note that is written from a plate by a template reads back to that very plate."""

from datetime import date
from fractions import Fraction
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tallyplate.reading.note import read
from tests.plates import installation
from tests.reading.cases import flat, offer

SHOP = installation().shops[-1]

MM = st.integers(100, 1200).map(lambda whole: f"{whole} mm")
INCHES = st.integers(8, 48).map(lambda whole: f"{whole} in")
EIGHTHS = st.builds(
    lambda whole, part: f"{whole} {part.numerator}/{part.denominator} in",
    st.integers(1, 3),
    st.integers(1, 7).map(lambda over: Fraction(over, 8)),
)
MATERIALS = {
    "al-6061-t6": ("6061-T6", "al-6061-t6", "aluminium 6061-T6", "6061-T6 aluminum"),
    "al-7075-t6": ("7075-T6", "7075"),
    "steel-1018": ("mild steel", "steel 1018"),
    "steel-4140": ("4140", "alloy steel 4140"),
    "iron-grey": ("grey cast iron", "gray iron"),
    "acetal": ("acetal",),
}
SCREWS = {"M12": ("M12", "M12x1.75"), "1/2-13": ("1/2-13", "half-thirteen"), "3/8-16": ("three-eighths sixteen",)}
FINISHES = {"anodized": ("anodised", "anodized"), "black-oxide": ("black oxide",)}
QUANTITIES = ("{} off", "qty {}", "need {}", "quantity: {}")
MONTHS = [date(2026, month, 1).strftime("%B") for month in range(1, 13)]


def said(draw: st.DrawFn, ways: dict[str, tuple[str, ...]]) -> tuple[str, str]:
    name = draw(st.sampled_from(sorted(ways)))
    return name, draw(st.sampled_from(ways[name]))


@st.composite
def sizes(draw: st.DrawFn) -> tuple[dict[str, Any], str]:
    """A body, and how it is said."""
    lengths = draw(st.sampled_from((MM, INCHES)))
    one, other = draw(lengths), draw(lengths)
    thick = draw(st.integers(20, 70).map(lambda mm: f"{mm} mm") | EIGHTHS)
    kind = draw(st.sampled_from(("box", "words", "round", "tombstone")))
    if kind == "round":
        way = draw(
            st.sampled_from(("round plate, {} diameter, {} thick", "{} round, thickness {}", "disc {}, {} thick"))
        )
        return {"family": "round", "diameter": one, "thickness": thick}, way.format(one, thick)
    if kind == "tombstone":
        faces = draw(st.integers(2, 6))
        words = f"{faces}-sided tombstone, {one} wide faces, {other} high"
        return {"family": "tombstone", "faces": faces, "face_width": one, "height": other}, words
    made = {"family": "rectangular", "length": one, "width": other, "thickness": thick}
    if kind == "words":
        return made, f"{one} long, {other} wide, {thick} thick"
    long, wide = sorted((one, other), key=lambda text: -int(text.split()[0]))
    if int(long.split()[0]) > 10 * int(wide.split()[0]):
        wide = long
    way = draw(st.sampled_from(("{} x {}, {} thick", "{} by {}, thickness {}")))
    return {**made, "length": long, "width": wide}, way.format(long, wide, thick)


@st.composite
def orders(draw: st.DrawFn) -> tuple[dict[str, Any], str]:
    """A request, and a note that says it, its parts in any order."""
    body, words = draw(sizes())
    material, in_words = said(draw, MATERIALS)
    screw, by_name = said(draw, SCREWS)
    pitch = draw(st.integers(20, 90).map(lambda mm: f"{mm} mm") | st.integers(1, 4).map(lambda whole: f"{whole} in"))
    plate = {**body, "material": material, "pattern": {"screw": screw, "pitch": pitch}}
    parts = [words, in_words, draw(st.sampled_from(("{} on {} centres", "{} at {} pitch"))).format(by_name, pitch)]
    finish, said_so = said(draw, FINISHES)
    if draw(st.booleans()) and finish in SHOP.materials[material].finishes:
        plate["finish"] = finish
        parts.append(said_so)
    quantity = draw(st.integers(1, 500))
    parts.append(draw(st.sampled_from(QUANTITIES)).format(quantity))
    day = draw(st.dates(date(2026, 1, 1), date(2030, 12, 31)))
    by = draw(st.sampled_from((day.isoformat(), f"{day.day} {MONTHS[day.month - 1]} {day.year}")))
    parts.append(f"needed by {by}")
    order = draw(st.permutations(parts))
    joined = draw(st.sampled_from((". ", "\n", "; "))).join(order)
    return {"plate": plate, "quantity": quantity, "need_by": day.isoformat()}, f"{joined}."


@given(orders())
def test_a_note_written_from_a_plate_reads_back_to_it(case: tuple[dict[str, Any], str]) -> None:
    request, text = case
    found = read(text, offer())
    assert flat(found.request) == flat(request), text
    assert found.unclear == ()
    assert found.not_understood == ()
