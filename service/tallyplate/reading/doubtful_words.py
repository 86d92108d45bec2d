"""Words that take a statement back, or say that it is of something else: the tables of `doubts`."""

from typing import Final

from tallyplate.reading.tokens import words

NOT: Final = words(
    "not no isn't don't doesn't won't shouldn't never without nor except neither aren't wasn't cancel cancelled "
    "forget ignore disregard scrap drop"
)
ROUGHLY: Final = words(
    "about approx approximately roughly around circa ca ~ maybe perhaps say probably least min minimum max maximum "
    "over under up between almost nearly guess think possibly ish some ideally preferably hopefully < >"
)
ROUGHLY_AFTER: Final = words(
    "approx approximately roughly ish max maximum min minimum or-so tbc ? if unless provided ideally preferably "
    "preferred"
)
REFERRING: Final = words("that that's it it's this so needed necessary feasible available")
"""Words after an "if" behind a comma that speak of what stands before it, rather than of what comes next."""

CORRECTING: Final = words("actually correction sorry oops wait")
"""Words before a bare value that put it in the place of one said before, as "make that" does."""

LEADING: Final = words(", : make that it to be no")
"""What may stand between these and the value."""
WHAT_IF: Final = words(
    "alternatively optionally option optional would could cheaper either whether might if else versus vs does "
    "think guess suppose reckon"
)
POLITE: Final = words("you we like i be need appreciate")
"""Words after "would" and "could" that make them a request."""

BEFORE: Final = words(
    "arrived received came last previous previously old existing bought ordered earlier "
    "was were had used formerly currently"
)
WORK: Final = words(
    "part parts workpiece workpieces component components casting castings forging forgings billet billets bracket "
    "brackets housing housings blank blanks bar bars hold holding holds machining cut cutting milling run running "
    "clamp clamping drilling vise vises vice vices jaw jaws chuck chucks crate box drawing chips coolant cover guard "
    "lathe engine shaft shafts gear gears van lid door competitor's customer's"
)
"""What sizes and materials are said of, in a whole sentence, that are not the plate's."""

MACHINE: Final = words("table bed machine machines pallet pallets travel travels spindle envelope slots slot")
"""What the plate stands on."""

BESIDE: Final = words(
    "bore bores cutter cutters drill hole holes pin pins dowel dowels counterbore counterbores boss bolt bolts circle "
    "bushing bushings bushes key keys nut nuts screw screws washer washers insert inserts logo text cable"
)
"""What a size or a material right beside it is said of."""

SPECIAL: Final = words(
    "t nut nuts bolt bolts cap eyebolt eyebolts eye eyes lifting stud studs jack counterbored counterbore cbore "
    "clearance clamp clamps centre center central"
)
"""Words beside a screw that make it another than the one that clamps the work."""

ONTO: Final = words("on onto to our fits fit against under mounts existing")
"""Words before a kind of plate that say that another stands on it, or that it is there already."""

TIMES: Final = words("x \u00d7 off no nos pcs more extra additional new")
"""What may stand between a number and the screws that it counts."""

OURS: Final = words(
    "plate plates fixture subplate tombstone tombstones need want require request disc disk rfq overall"
)
"""Words after which a sentence is about the plate again."""

BODY: Final = ("/plate/length", "/plate/width", "/plate/thickness", "/plate/diameter", "/plate/height",
               "/plate/face_width", "/plate/material", "/plate/finish", "/plate/depth")  # fmt: skip
HOLES: Final = ("/plate/pattern/pitch", "/plate/pattern/screw")
REWORKED: Final = words(
    "rework reworks reworked reworking modify modifying modification modifications repair repairing refurbish redrill "
    "rebush"
)
"""Words that say of a plate that it is there already."""

LOTS: Final = words("sets lots batches groups pairs boxes kits")
"""Several of these of some plates each are more plates than are said."""

OWN: Final = words(
    "thick thk thickness long wide high tall deep dia diameter od off pcs pc pieces plate plates tombstone tombstones "
    "slots slot t tee margin border faces sided wall base needed required true position flat pitch centres centers"
)
"""Words behind a value that say what it is, so that it belongs to nothing before it."""

QUOTING: Final = words(
    "quote quotes quotation reply respond response answer tender bid bids closing closes offer price prices pricing "
    "call meeting visit back"
)
OTHER_COSTS: Final = words(
    "unit piece freight shipping carriage postage part parts tooling delivery transport vise vises last cost paid each"
)
EACH: Final = words("each apiece per ea")
NEEDED: Final = words("need needed required due deliver delivery delivered ready ship want wanted")
"""Words that say of a day that it is the plates', whatever else the sentence is about."""
