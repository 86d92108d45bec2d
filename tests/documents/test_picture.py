"""The small picture: legible at 300 pixels, and true to the plate."""

from collections import Counter

import pytest

from tallyplate.documents.picture import COLOURS, plate_picture
from tallyplate.documents.svg import WIDTH
from tests.documents.drawing import SVG, parsed, reaches
from tests.documents.plates import BASES, made

SHOWN = 300
"""Pixels at which it must be legible."""


@pytest.mark.parametrize("name", BASES)
def test_every_hole_that_an_eye_can_part_is_drawn_in_the_colour_of_its_kind(name: str) -> None:
    build = made(name).build
    groups = Counter[str]()
    face = "face 1" if build.body.faces else "top"
    for group in build.holes:
        if group.face == face:
            groups[group.kind] += group.count
    root = parsed(plate_picture(build))
    drawn = Counter({COLOURS.index(one.attrib["fill"]): len(one) for one in root.iter(f"{SVG}g")})
    found = Counter[int]()
    for one in root.iter(f"{SVG}g"):
        found[COLOURS.index(one.attrib["fill"])] += len(one)
    assert drawn.keys() == found.keys()
    assert sorted(found.values()) == sorted(groups.values())


@pytest.mark.parametrize("name", BASES)
def test_words_stand_within_the_picture_and_are_legible_when_it_is_small(name: str) -> None:
    picture = plate_picture(made(name).build)
    assert not [said for left, right, said in reaches(picture) if left < 0 or right > WIDTH]
    for text in parsed(picture).iter(f"{SVG}text"):
        assert float(text.attrib["font-size"]) * SHOWN / WIDTH >= 10


@pytest.mark.parametrize(
    ("unit", "size"), [("mm", "254 \u00d7 203.2 \u00d7 48.26 mm"), ("in", "10 \u00d7 8 \u00d7 1.9 in")]
)
def test_the_size_is_said_in_the_unit_asked_for(unit: str, size: str) -> None:
    said = [text.text for text in parsed(plate_picture(made("usual").build, unit)).iter(f"{SVG}text")]  # type: ignore[arg-type]
    assert said[0] == size
