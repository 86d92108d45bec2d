"""The phrasebook: how people say what a plate shall be. A row a way of saying it; patterns as in `matching`."""

from collections.abc import Mapping
from typing import Final

from tallyplate.reading.matching import Phrase, index, phrase

FIELDS: Final[Mapping[str, tuple[str, tuple[str, ...]]]] = {
    "length": ("length", ("/plate/length",)),
    "width": ("length", ("/plate/width",)),
    "square": ("length", ("/plate/length", "/plate/width")),
    "thickness": ("length", ("/plate/thickness",)),
    "diameter": ("length", ("/plate/diameter",)),
    "centre_bore": ("length", ("/plate/centre_bore",)),
    "faces": ("count", ("/plate/faces",)),
    "face_width": ("length", ("/plate/face_width",)),
    "height": ("length", ("/plate/height",)),
    "wall": ("length", ("/plate/wall",)),
    "base_thickness": ("length", ("/plate/base/thickness",)),
    "hollow": ("count", ("/plate/hollow",)),
    "bore": ("length", ()),
    "family": ("count", ("/plate/family",)),
    "arrangement": ("count", ("/plate/pattern/arrangement",)),
    "pitch": ("length", ("/plate/pattern/pitch",)),
    "screw": ("screw", ("/plate/pattern/screw",)),
    "margin": ("length", ("/plate/pattern/margin",)),
    "bushings": ("count", ("/plate/pattern/bushings",)),
    "thread_inserts": ("count", ("/plate/pattern/thread_inserts",)),
    "position_tolerance": ("length", ("/plate/position_tolerance",)),
    "flatness": ("length", ("/plate/flatness",)),
    "surface": ("count", ("/plate/mounting/surface",)),
    "slot_width": ("length", ("/plate/mounting/slot_width",)),
    "slot_spacing": ("length", ("/plate/mounting/slot_spacing",)),
    "grid_pitch": ("length", ("/plate/mounting/grid_pitch",)),
    "locate": ("count", ("/plate/mounting/locate",)),
    "holding_screw": ("screw", ("/plate/mounting/screw",)),
    "edges": ("count", ("/plate/marking/edges",)),
    "quantity": ("count", ("/quantity",)),
    "need_by": ("date", ("/need_by",)),
    "budget": ("sum", ("/budget",)),
}
"""The kind of value of each field, and where it stands in a request."""

KINDS: Final = {name: kind for name, (kind, _) in FIELDS.items()}

CENTRES: Final = "centres|centers|centre|center|ctrs|c/c|crs|pitch|grid|spacing|apart"
HAS: Final = "table|bed|machine|pallet has|with"
TABLES: Final = "table bed machine pallet t tee tslot tslots slotted"
AFTER_MANY: Final = "off of more them these please by for in and with at urgently asap delivered total identical"
"""Words that may follow a number that says how many plates are needed; another would say of what else."""

ZONE: Final = "could be a distance either way; asked for is the diameter of the zone"


def _rows(*patterns: str, needs: str = "", then: str = "", why_open: str = "", **says: object) -> tuple[Phrase, ...]:
    return tuple(phrase(one, KINDS, needs=needs, then=then, why_open=why_open, **says) for one in patterns)


SIZES: Final = (
    *_rows("{length} long|length|lg", "length|long|lg {length}"),
    *_rows("{width} wide|width|wd", "width|wide|wd {width}"),
    *_rows("{square} square", "square {square}"),
    *_rows("{thickness} thick|thk|thickness", "thickness|thick|thk {thickness}"),
    *_rows(
        "{diameter} diameter|dia|od",
        "{diameter!} round",
        "diameter|dia|od|\u00f8|\u2300 {diameter}",
        "{diameter} \u00f8|\u2300",
    ),
    *_rows("round|circular plate|disc|disk {diameter}", "disc|disk {diameter}", family="round"),
    *_rows("{diameter!} diameter|dia? round|circular plate|plates|disc|disks|fixture", family="round"),
    *_rows(
        "{diameter!} diameter|dia|round disc|disk|discs|disks|plate|plates", "{diameter!} disc|disk", family="round"
    ),
    *_rows("{centre_bore} centre|center|central bore|hole", "centre|center|central bore|hole {centre_bore}"),
    *_rows("{height} high|tall|height", "height|high|tall {height}"),
    *_rows("{face_width} wide faces|face", "faces|face {face_width} wide|width?", "face width {face_width}"),
    *_rows("{faces} sided|faced", "{faces} working? faces"),
    *_rows("{faces} side|face tombstone|tombstones|block", family="tombstone"),
    *_rows("{wall} wall|walls", "wall|walls {wall}"),
    *_rows("{base_thickness} thick? base", "base {base_thickness} thick", "base thickness {base_thickness}"),
)

KIND: Final = (
    *_rows("round|circular fixture|tooling|grid? plate|plates|disc|disk", "disc|disk", family="round"),
    *_rows("rectangular", "square fixture|tooling|grid? plate|plates", family="rectangular"),
    *_rows("tombstone|tombstones", family="tombstone"),
    *_rows("hollow tombstone|tombstones|block", "tombstone|tombstones hollow", hollow=True, family="tombstone"),
    *_rows("hollow", hollow=True),
    *_rows(
        "rework|reworking our|my|this|these|your? old|existing|worn? fixture|tooling|grid? plate|plates",
        family="rework",
    ),
    *_rows("solid tombstone|tombstones|block", "tombstone|tombstones solid", hollow=False, family="tombstone"),
)

HOLES: Final = (
    *_rows(f"on|at|@ {{pitch}} {CENTRES}", f"{{pitch}} {CENTRES}", "pitch|grid|spacing|centres|centers {pitch}"),
    *_rows("hole|holes|bore|bores {bore} pitch|spacing|centres|centers {pitch}", then=AFTER_MANY),
    *_rows(f"{{pitch}} hole|holes {CENTRES}", f"hole|holes {CENTRES}? on|at|@ {{pitch}} {CENTRES}"),
    *_rows(f"{{screw}} tapped|threaded? holes|hole|thread|threads? on|at|@? {{pitch}} {CENTRES}"),
    *_rows(
        f"{{pitch}} {CENTRES} {{screw}}", "every|each {pitch!}", "grid {screw} x|on|at {pitch}", "{screw} @ {pitch}"
    ),
    *_rows("{screw} tapped|threaded? holes|hole|thread|threads|screws|screw?", "tapped|threaded? holes? {screw}"),
    *_rows("screw|screws|thread|threads|tapped|tap {screw}", "clamping screw|screws|thread {screw}"),
    *_rows("{margin} margin|border", "margin|border {margin}", "{margin} from the? edge|edges"),
    *_rows("alternating|alternate holes|pattern|arrangement|lattice?", arrangement="alternating"),
    *_rows("pattern|arrangement|holes alternating|alternate", arrangement="alternating"),
    *_rows("combination|combo holes|hole|pattern|arrangement", "all combination|combo", arrangement="combination"),
    *_rows("pattern|arrangement|holes combination|combo", arrangement="combination"),
    *_rows("every|each hole does|doing both", "all holes do both", arrangement="combination"),
    *_rows("separate lattices|patterns|grids", "pattern|arrangement separate", arrangement="separate"),
    *_rows("separate locating|dowel|tapped and tapped|locating|dowel holes|lattices|grids", arrangement="separate"),
    *_rows("no|without bushings|bushing|bushes|bushed", "unbushed", "not bushed", bushings=False),
    *_rows("with|hardened|have|include|want|need hardened|steel? bushings|bushes", bushings=True),
    *_rows("bushed", "bushings|bushes in|yes|required|please", bushings=True),
    *_rows("no|without thread|threaded|wire thread? inserts", thread_inserts=False),
    *_rows("with|want|have|need wire|thread|threaded thread? inserts", "wire thread? inserts", thread_inserts=True),
    *_rows("thread|threaded inserts yes|required|please|in?", thread_inserts=True),
)

CLOSENESS: Final = (
    *_rows("{position_tolerance} true|position|positional position|tolerance|tol", "{position_tolerance} tp"),
    *_rows("true|positional position|tolerance|tol within|to? {position_tolerance}", "tp {position_tolerance}"),
    *_rows("position tolerance|tol? within|to? {position_tolerance}"),
    *_rows("position|positions|holes|located|hole positions? within {position_tolerance}", why_open=f'"within" {ZONE}'),
    *_rows("within {position_tolerance}", "good to {position_tolerance}", why_open=f'"within" {ZONE}'),
    *_rows("\u00b1|+-|+/- {position_tolerance}", "+ / - {position_tolerance}", why_open=f"plus or minus {ZONE}"),
    *_rows("plus or minus {position_tolerance}", why_open=f"plus or minus {ZONE}"),
    *_rows("flat to|within {flatness}", "flatness within|to? {flatness}", "{flatness} flatness|flat"),
)

TABLE: Final = (
    *_rows("{slot_width} t|tee slots|slot", "{slot_width} tslots|tslot", surface="t_slots"),
    *_rows("{slot_width} wide? slots|slot", needs=TABLES, surface="t_slots"),
    *_rows("t|tee slots|slot {slot_width} wide?", "tslots {slot_width} wide?", surface="t_slots"),
    *_rows("slots {slot_width} wide", "slot width {slot_width}", needs=f"{TABLES} slot slots", surface="t_slots"),
    *_rows(
        f"{{slot_width}} t|tee? slots|slot|tslots ,? on|at|@? {{slot_spacing}} {CENTRES}",
        f"t|tee slots {{slot_width}} wide? ,? on|at|@|spaced? {{slot_spacing}} {CENTRES}",
        f"t|tee slots|slot {{slot_width}} x|/|, {{slot_spacing}} {CENTRES}?",
        surface="t_slots",
    ),
    *_rows(f"slots on|at|@|spaced? {{slot_spacing}} {CENTRES}", "slot|slots spacing|pitch {slot_spacing}"),
    *_rows("t|tee slots|slot", "tslots", "slotted table|bed", surface="t_slots"),
    *_rows(
        f"{HAS} {{holding_screw}} tapped|threaded? holes|grid? on|at {{grid_pitch}} {CENTRES}",
        f"{HAS} tapped|threaded? holes|grid {{holding_screw}}? ,? on|at? {{grid_pitch}} {CENTRES}?",
        f"table|bed|machine|pallet tapped {{holding_screw}} on|at {{grid_pitch}} {CENTRES}",
        surface="tapped_grid",
    ),
    *_rows("no mounting", "no mounting holes", surface="none"),
    *_rows("located|locate|locates|locating on|by|with|off|from two|2? round|dowel? pins|dowels", locate="pins"),
    *_rows("located|locate|locates|locating on|by|with|off|from two|2? keys|tenons", locate="keys"),
    *_rows("keyed to", "keys in|to slots|slot|t", locate="keys"),
    *_rows("retractable locating|dowel? pins", locate="retractable_pins"),
    *_rows("located|locate|locates|locating on|by|with two|2? retractable pins", locate="retractable_pins"),
    *_rows("held|bolted|fixed|clamped down? with|by|on|using {holding_screw} screws|bolts?"),
    *_rows("{holding_screw} hold|holding|mounting down? screws|bolts|downs", "{holding_screw} holddowns"),
    *_rows("hold|holding|mounting down? screws|bolts|screw {holding_screw}", "mounted with {holding_screw}"),
)

BUSINESS: Final = (
    *_rows("qty|quantity|quant|pieces|pcs {quantity} off|pcs|pc|pieces|plates|ea|each|nos?", "{quantity} qty"),
    *_rows("{quantity} off|pcs|pc|pieces|piece|ea|each|nos|required|reqd|needed|wanted"),
    *_rows("{quantity} of them|these|those|this", then=AFTER_MANY),
    *_rows("( {quantity} ) off|pcs|pieces|plates|plate|ea"),
    *_rows("make that|it {quantity} plates|tombstones|discs"),
    *_rows("{quantity} x plates|plate|tombstones|tombstone"),
    *_rows(
        "need|needs|needing|want|wants|require|requires {quantity}",
        "quote|make us|me|for {quantity}",
        "just|only {quantity}",
        then=AFTER_MANY,
    ),
    *_rows("pair of plates|them|these|those|tombstones", "need|want pair", quantity=2),
    *_rows("dozen plates|off|of", quantity=12),
    *_rows(
        "by|due|deadline|latest|until {need_by}",
        "need|needed|required|due|wanted|delivered|ready|ship|here by {need_by}",
    ),
    *_rows("delivery|deliver|delivered|needed|need|required|ready|them|want by|on|for|date|before? {need_by}"),
    *_rows("need|want|needed it|them|plates|those|all {need_by}", "no|not later than {need_by}", "need date {need_by}"),
    *_rows("before {need_by}", why_open='"before" a day could include it or not'),
    *_rows(
        "budget for? this|everything|total|max|maximum|limit|under|below|job|order|all? order|job? {budget}",
        "{budget} budget",
    ),
    *_rows("budget about|around|roughly|approx|circa {budget}", why_open="said as roughly"),
    *_rows("under|below|max|maximum|cap|ceiling|limit|within {budget}", "up to {budget}", "at most {budget}"),
    *_rows("no|not|nothing more|over than? {budget}", "less than {budget}", "can spend {budget}"),
    *_rows("{budget} max|maximum|tops|limit|ceiling|all", "{budget} at most", "{budget} or less|under|below"),
)

PHRASES: Final = index((*SIZES, *KIND, *HOLES, *CLOSENESS, *TABLE, *BUSINESS))
