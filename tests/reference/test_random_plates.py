"""Hours of random plates against a second working in exact fractions."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from tallyplate.installation import Installation
from tests.reference.oracle import Oracle, Plate
from tests.reference.plates import priced

HALF_A_LAST_DIGIT = Fraction("0.0000500001")
"""A line states hours to 0.0001 h."""

plates = st.builds(
    Plate,
    length=st.integers(200, 1100),
    width=st.integers(150, 900),
    thickness=st.integers(12, 70),
    pitch=st.integers(25, 120),
    margin=st.integers(20, 60),
    material=st.sampled_from(["al-7075-t6", "al-5083", "al-cast", "steel-1018", "steel-4140", "iron-grey", "acetal"]),
    screw=st.sampled_from(["3/8-16", "1/2-13", "5/8-11", "M10", "M12", "M16"]),
    bushed=st.booleans(),
    alternating=st.booleans(),
    tolerance=st.sampled_from([12, 15, 20, 30, 50, 100]),
)


@given(plate=plates, quantity=st.integers(1, 20))
def test_holes_and_squaring_of_any_plate_take_what_exact_fractions_say(
    plate: Plate, quantity: int, installation: Installation
) -> None:
    answer = priced(
        installation,
        quantity,
        length=f"{plate.length} mm",
        width=f"{plate.width} mm",
        thickness=f"{plate.thickness} mm",
        material=plate.material,
        pattern={
            "screw": plate.screw,
            "pitch": f"{plate.pitch} mm",
            "margin": f"{plate.margin} mm",
            "bushings": plate.bushed,
            "arrangement": "alternating" if plate.alternating else "combination",
        },
        position_tolerance=f"{plate.tolerance} um",
        mounting={"surface": "none"},
    )
    lines = {line.item: line for line in answer.lines if line.module in {"holes", "squaring"}}
    expected = Oracle(plate, installation.shops[0]).seconds()
    assert set(lines) == set(expected)
    for item, seconds in expected.items():
        assert abs(Fraction(lines[item].quantity) - quantity * seconds / 3600) <= HALF_A_LAST_DIGIT, item
