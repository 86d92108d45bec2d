"""What might mend each finding: candidates worked out from the build, the likeliest first."""

from tallyplate.findings.mends import mounted, patterns, promised, sizes
from tallyplate.findings.mends.proposal import AtLeast, AtMost, Proposal, Proposing, Wanted, of_choices, settled

__all__ = ["PROPOSALS", "AtLeast", "AtMost", "Proposal", "Wanted", "settled"]

_PROPOSALS: dict[str, Proposing] = {
    "thin-wall": patterns.for_walls,
    "thin-edge": patterns.for_edges,
    "short-thread": sizes.for_depth,
    "no-floor": sizes.for_depth,
    "thread-strips": sizes.for_threads,
    "beyond-travel": sizes.for_travel,
    "beyond-load": sizes.for_load,
    "unknown-slot": mounted.for_slot,
    "slot-screw": mounted.for_slot_screw,
    "unknown-spacing": mounted.for_spacing,
    "over-constrained": mounted.for_locating,
    "seat-wall": mounted.for_locating,
    "unplaced-seat": mounted.for_locating,
    "single-screw": mounted.for_single_screw,
    "overhang": mounted.for_overhang,
    "too-tight": promised.for_tolerance,
    "outgrows-tolerance": promised.for_growth,
    "finish-material": promised.for_finish,
    "heavy": sizes.for_lifting,
    "lifting-rating": sizes.for_rating,
}

PROPOSALS: dict[str, Proposing] = {code: of_choices(proposing) for code, proposing in _PROPOSALS.items()}
"""By code. What is not here cannot be mended by a change of the plate, or is said with its mend."""
