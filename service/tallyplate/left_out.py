"""Steps counted from 0 of which some are left out: whole columns or rows of a lattice. Work by those left out alone."""

from collections.abc import Collection, Sequence

Parities = tuple[int, int]
"""Of two steps, whether each is even (0) or odd (1)."""


def parted(steps: range, left_out: Sequence[int]) -> tuple[range, ...]:
    """What remains of evenly spaced steps without those left out, which rise: runs from the first to the last."""
    runs, rest = [], steps
    for step in left_out:
        if step in rest:
            place = rest.index(step)
            runs.append(rest[:place])
            rest = rest[place + 1 :]
    return tuple(run for run in (*runs, rest) if run)


def kept(count: int, left_out: Collection[int]) -> tuple[int, int]:
    """How many even and how many odd steps remain."""
    odd = sum(step % 2 for step in left_out)
    return (count + 1) // 2 - (len(left_out) - odd), count // 2 - odd


def nodes_kept(columns: tuple[int, int], rows: tuple[int, int]) -> tuple[int, int]:
    """Of the nodes where so many even and odd columns and rows cross: those both of one parity, and the others."""
    return columns[0] * rows[0] + columns[1] * rows[1], columns[0] * rows[1] + columns[1] * rows[0]


def ends(count: int, left_out: Sequence[int]) -> tuple[int, int]:
    """The first and the last step that remain; of none that remain, those of all."""
    runs = parted(range(count), left_out) or (range(count),)
    return runs[0].start, runs[-1].stop - 1


def gaps(count: int, left_out: Collection[int]) -> dict[Parities, tuple[int, ...]]:
    """How far apart the nearest two steps that remain are, by parity; none for a step and itself, where there is one.

    Among the first 4 n + 4 steps there are n + 1 pairs of each kind that share no step, so that n left out part not all
    of them: what lies beyond need not be looked at.
    """
    nearest: dict[Parities, set[int]] = {}
    last: dict[int, int] = {}
    for step in range(min(count, 4 * len(left_out) + 4)):
        if step in left_out:
            continue
        nearest.setdefault((step % 2, step % 2), set()).add(0)
        for parity, before in last.items():
            for pair in {(parity, step % 2), (step % 2, parity)}:
                nearest.setdefault(pair, set()).add(step - before)
        last[step % 2] = step
    return {pair: tuple(sorted(found)[:2] if pair[0] == pair[1] else [min(found)]) for pair, found in nearest.items()}
