"""Whether plates of one order can be matched: work goes from one to another only where their patterns are alike.

Plates may differ in size, thickness and mounting. What work meets on them may not: the kinds of holes, their pitch, how
the screw and locating holes are sized, and the position tolerance that all of them are held to (common practice, no
source).
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from tallyplate.contract import Build, HoleGroup, Lattice
from tallyplate.findings import Change, Finding, Mend, Severity
from tallyplate.units import decimal_text

POINTER = "/services/matched"


def unmatched(builds: Sequence[Build]) -> Iterator[Finding]:
    """For each plate that is unlike the first, in what; `builds` stand in the order of the request's plates."""
    wanted = _alike(builds[0])
    for place, build in enumerate(builds[1:], start=1):
        found = _alike(build)
        unlike = [f"{name} {found[name]} against {wanted[name]}" for name in wanted if found[name] != wanted[name]]
        if unlike:
            yield Finding(
                "unmatched",
                Severity.ERROR,
                f"/plates/{place}/plate",
                f"cannot be matched with /plates/0: {'; '.join(unlike)}",
                "common practice, no source",
                Mend((Change(POINTER, None),), "do without the matching"),
            )


def _alike(build: Build) -> Mapping[str, str]:
    """What must be alike in matched plates, in words."""
    groups = [group for group in build.holes if not group.mounting]
    return {
        "holes": _listed(f"{group.kind} {group.hole.size}".strip() for group in groups),
        "pitch": _listed(_pitch(group) for group in groups),
        "diameters": _listed(_diameters(group) for group in groups),
        "position tolerance": f"{decimal_text(build.position_tolerance, 4)} mm",
    }


def _listed(said: Iterable[str]) -> str:
    return ", ".join(sorted(dict.fromkeys(said))) or "none"


def _pitch(group: HoleGroup) -> str:
    """The pitch of a lattice; the places in mm of holes that have none."""
    layout = group.layout
    if isinstance(layout, Lattice):
        return f"{decimal_text(layout.pitch_x, 3)} x {decimal_text(layout.pitch_y, 3)} mm"
    return " ".join(f"({decimal_text(x, 3)}, {decimal_text(y, 3)})" for x, y in layout.at)


def _diameters(group: HoleGroup) -> str:
    return " and ".join(f"{decimal_text(bore.diameter, 3)} mm" for bore in group.hole.bores)
