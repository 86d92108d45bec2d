"""Chains of lines whose ends meet, joined into closed contours. Lengths are mm."""

from collections.abc import Sequence
from math import floor, hypot
from typing import Final

from msgspec import Struct

from tallyplate.contours.pieces import Chain
from tallyplate.contours.tags import POINTER
from tallyplate.contract import refuse
from tallyplate.contract.features import MOST_CORNERS
from tallyplate.contract.outlines import POLYGON, Outline, Spot, between, crossing

MEETS: Final = 0.01
"""Millimetres within which two ends are one; beyond it they are told as open."""


NAMED: Final = 4
"""Entities of a contour that a message names; the rest are counted."""
TOLD: Final = 12
"""Faults that a message tells; the rest are counted."""


class Contour(Struct, frozen=True):
    """A closed contour: its corners, and the names of the entities that make it."""

    name: str
    corners: tuple[Spot, ...]


def joined(chains: Sequence[Chain]) -> list[Contour]:
    """Every chain as part of one closed contour; refuses open ones, forks, and contours that cross themselves."""
    faults: list[str] = []
    contours: list[Contour] = []
    loose = [chain for chain in chains if not _round(chain)]
    for names, spots in [*((chain.name, chain.spots) for chain in chains if _round(chain)), *_linked(loose, faults)]:
        corners = _plain(spots)
        if len(corners) > MOST_CORNERS:
            message = f"{names} has {len(corners)} corners; accepted: at most {MOST_CORNERS}, see chord_error"
            faults.append(message)
            continue
        met = crossing(corners) if len(corners) >= POLYGON else None
        if met:
            x, y = corners[met[1]]
            faults.append(f"{names} crosses itself near {x:.3f}, {y:.3f} mm; accepted: plain contours")
        elif len(corners) < POLYGON or Outline(corners).area <= MEETS**2:
            faults.append(f"{names} goes around nothing; accepted: contours of some area")
        else:
            contours.append(Contour(names, corners))
    refuse_all(faults)
    return contours


def refuse_all(faults: Sequence[str]) -> None:
    """Refuse a file for all that is wrong with its contours, if anything is."""
    if faults:
        more = f"; and {len(faults) - TOLD} more" if len(faults) > TOLD else ""
        raise refuse(POINTER, "; ".join(faults[:TOLD]) + more)


def _round(chain: Chain) -> bool:
    return chain.closed or (len(chain.spots) > 2 and _near(chain.spots[0], chain.spots[-1]))  # noqa: PLR2004 - a side


def _near(one: Spot, other: Spot) -> bool:
    return hypot(one[0] - other[0], one[1] - other[1]) <= MEETS


def _plain(spots: Sequence[Spot]) -> tuple[Spot, ...]:
    """Corners without those that are where the one before is."""
    found: list[Spot] = []
    for spot in spots:
        if not found or not _near(found[-1], spot):
            found.append(spot)
    while len(found) > 1 and _near(found[0], found[-1]):
        found.pop()
    return tuple(found)


def _linked(chains: Sequence[Chain], faults: list[str]) -> list[tuple[str, list[Spot]]]:
    """Open chains put end to end until each comes back to its start; what does not is a fault by its name."""
    ends = _Ends(chains)
    found = []
    for first, chain in enumerate(chains):
        if not ends.free(first):
            continue
        ends.take(first)
        names, spots = [chain.name], list(chain.spots)
        while not _near(spots[0], spots[-1]):
            following = ends.at(spots[-1])
            if len(following) != 1:
                what = "ends" if not following else "forks"
                x, y = spots[-1]
                message = f"{_named(names)} {what} near {x:.3f}, {y:.3f} mm; accepted: closed contours"
                faults.append(message)
                break
            number = ends.take(following[0])
            more = chains[number].spots
            names.append(chains[number].name)
            spots += more if _near(spots[-1], more[0]) else more[::-1]
        else:
            found.append((_named(names), spots))
    return found


def _named(names: Sequence[str]) -> str:
    """The entities of a contour by name, the rest counted."""
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    return " + ".join(names[:NAMED]) + more


class _Ends:
    """The free ends of chains, found by their place: in cells twice as wide as ends may be apart."""

    def __init__(self, chains: Sequence[Chain]) -> None:
        self.chains, self._free = chains, set(range(len(chains)))
        self._cells: dict[tuple[int, int], list[int]] = {}
        for number, chain in enumerate(chains):
            for spot in {chain.spots[0], chain.spots[-1]}:
                self._cells.setdefault(self._cell(spot), []).append(number)

    @staticmethod
    def _cell(spot: Spot) -> tuple[int, int]:
        return floor(spot[0] / (2 * MEETS)), floor(spot[1] / (2 * MEETS))

    def free(self, number: int) -> bool:
        """Whether a chain is part of no contour yet."""
        return number in self._free

    def take(self, number: int) -> int:
        """Make a chain part of a contour."""
        self._free.discard(number)
        return number

    def at(self, spot: Spot) -> list[int]:
        """The free chains that have an end at a place."""
        column, row = self._cell(spot)
        near = {
            number
            for x in (column - 1, column, column + 1)
            for y in (row - 1, row, row + 1)
            for number in self._cells.get((x, y), ())
        }
        ends = ((number, self.chains[number].spots) for number in sorted(near & self._free))
        return [number for number, spots in ends if _near(spots[0], spot) or _near(spots[-1], spot)]


def nested(outlines: Sequence[tuple[str, Outline]]) -> list[str]:
    """The pairs of contours that meet or lie within each other, by name."""
    faults = []
    for place, (name, one) in enumerate(outlines):
        for other_name, other in outlines[place + 1 :]:
            if between(one, other, 0.0) <= 0:
                within = one.apart(other.core[0]) < 0 or other.apart(one.core[0]) < 0
                what = "lies within or around" if within else "meets"
                faults.append(f"{name} {what} {other_name}; accepted: contours apart from each other")
    return faults
