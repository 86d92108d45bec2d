"""How the families ask for their own sizes: the words, and the answers worth pricing (common practice, no source)."""

from typing import Final

from tallyplate.contract import Question

_THICKNESS: Final = Question(
    pointer="/plate/thickness",
    ask="How thick shall the finished plate be?",
    why="A thick plate stays flat under clamping and leaves more thread; every hole gets deeper and the plate heavier.",
    answers=("20 mm", "25 mm", "30 mm", "40 mm", "50 mm", "60 mm", "70 mm"),
)

_LIFTING: Final = Question(
    pointer="/plate/lifting_holes",
    ask="Shall it have tapped holes for lifting eyes?",
    why="A plate too heavy for one person wants a hoist, and a place to hang from. Lift by local rules.",
)

_HANDLES: Final = Question(
    pointer="/plate/handles",
    ask="Shall it have handles?",
    why="A plate that is changed often wants something to hold it by; they take room at both ends.",
)

RECTANGULAR: Final = (
    Question(
        pointer="/plate/length",
        ask="How long is the plate, along the slots of the machine table?",
        why="It sets how much material is bought and how many holes there are, and it has to fit the table.",
        answers=("150 mm", "300 mm", "600 mm", "900 mm", "1200 mm"),
        supposed="600 mm",
    ),
    Question(
        pointer="/plate/width",
        ask="How wide is the plate, across the slots?",
        why="It sets how much material is bought and how many holes there are, and it has to fit the table.",
        answers=("150 mm", "300 mm", "400 mm", "600 mm", "750 mm"),
        supposed="400 mm",
    ),
    _THICKNESS,
    _LIFTING,
    _HANDLES,
)

REWORK: Final = (
    Question(
        pointer="/plate/length",
        ask="How long is the plate that exists?",
        why="It has to fit the machine, and to be lifted and packed.",
        answers=("150 mm", "300 mm", "600 mm", "900 mm", "1200 mm"),
        supposed="600 mm",
    ),
    Question(
        pointer="/plate/width",
        ask="How wide is it?",
        why="It has to fit the machine, and to be lifted and packed.",
        answers=("150 mm", "300 mm", "400 mm", "600 mm", "750 mm"),
        supposed="400 mm",
    ),
    Question(
        pointer="/plate/thickness",
        ask="How thick is it?",
        why="New holes go through it.",
        answers=("20 mm", "25 mm", "30 mm", "40 mm", "50 mm", "60 mm", "70 mm"),
        supposed="40 mm",
    ),
    Question(
        pointer="/plate/material",
        ask="What is the plate made of?",
        why="It decides how it is cut, and whether new close-tolerance holes get bushings.",
    ),
    Question(
        pointer="/plate/pattern/pitch",
        ask="What shall be done: a pattern of holes added, and how far apart, single holes, or worn bushings replaced?",
        why="Without it the price is for looking the plate over. Single holes are told each by its place, and worn "
        "bushings by their screw and how many they are.",
    ),
    Question(
        pointer="/plate/finish",
        ask="Which finish shall the plate get anew?",
        why="It keeps the one that it has; another protects new holes too, costs by its surface and takes days more.",
    ),
)

ROUND: Final = (
    Question(
        pointer="/plate/diameter",
        ask="What diameter shall the plate have?",
        why="Material and holes grow with its square, and it has to fit the rotary table.",
        answers=("200 mm", "300 mm", "400 mm", "600 mm", "750 mm"),
        supposed="400 mm",
    ),
    _THICKNESS,
    _LIFTING,
)

TOMBSTONE: Final = (
    Question(
        pointer="/plate/faces",
        ask="How many working faces shall the block have?",
        why="Each face carries its own holes; four and more want a machine that turns the block.",
        answers=(2, 3, 4, 5, 6),
        supposed=4,
    ),
    Question(
        pointer="/plate/face_width",
        ask="How wide is each working face?",
        why="It sets the block's girth: material grows with its square, holes with the width.",
        answers=("200 mm", "250 mm", "300 mm", "350 mm", "400 mm"),
        supposed="250 mm",
    ),
    Question(
        pointer="/plate/height",
        ask="How high does a working face stand above the base?",
        why="It sets material and holes, and what must pass under the spindle.",
        answers=("300 mm", "450 mm", "600 mm", "750 mm"),
        supposed="450 mm",
    ),
    Question(
        pointer="/plate/depth",
        ask="How far apart are the two faces, back to back?",
        why="It is the material between them, and how deep holes from both sides may be.",
        answers=("100 mm", "150 mm", "200 mm"),
    ),
    Question(
        pointer="/plate/hollow",
        ask="May the block be hollow?",
        why="A hollow block is lighter to lift and quicker to turn; a solid one is stiffer.",
    ),
    Question(
        pointer="/plate/wall",
        ask="How thick are the walls of the hollow block?",
        why="Thread needs wall to hold in; thin walls spring under cutting.",
        answers=("40 mm", "45 mm", "60 mm"),
    ),
    Question(
        pointer="/plate/made_from",
        ask="Shall it be cut from stock or cast to shape?",
        why="A casting saves material and takes weeks longer to come.",
    ),
    Question(
        pointer="/plate/base/overhang",
        ask="How far does the base reach beyond the block?",
        why="The screws that hold the block to the machine go through that flange.",
        answers=("50 mm", "60 mm", "80 mm"),
    ),
    Question(
        pointer="/plate/base/thickness",
        ask="How thick is the base?",
        why="It carries the cutting forces into the table, and adds height and weight.",
        answers=("30 mm", "40 mm", "50 mm"),
    ),
    Question(
        pointer="/plate/base/screw",
        ask="Which screws hold the base down?",
        why="They have to match the tapped holes of the machine; the flange must have room for their heads.",
    ),
    Question(
        pointer="/plate/base/locate",
        ask="What locates the base on the machine?",
        why="Pins bring the block back to the same place each time it is set up.",
    ),
    Question(
        pointer="/plate/lifting_screw",
        ask="Which thread shall the lifting eyes have?",
        why="Eyes must carry the block's weight with room to spare; a larger thread carries more. Lift by local rules.",
    ),
)
