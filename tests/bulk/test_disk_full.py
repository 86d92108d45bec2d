"""A disk that takes no more, wherever in the run: a clear message, no half of an output, and the way on."""

import resource
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tallyplate.bulk.run import run
from tallyplate.rates.files import DataError
from tests.bulk.inputs import BAD, Outputs, job, order, ran

CONTENT = b"\n".join(BAD[number % 7] if number % 5 == 0 else order(number) for number in range(40))
SIZE = 1500


@contextmanager
def _room(most: int) -> Iterator[None]:
    """No file of this process grows beyond so many bytes."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.mark.parametrize("target", ["out.ndjson", "out.csv", "out.parquet"])
@pytest.mark.parametrize("share", [0.001, 0.5])
def test_the_way_on_is_said_and_nothing_half_is_left(tmp_path: Path, target: str, share: float) -> None:
    undisturbed = ran(tmp_path, CONTENT, target=f"undisturbed-{target}", size=SIZE)
    made = job(tmp_path, CONTENT, target=target)
    made.quarantine.write_bytes(b"of yesterday")
    with _room(int(share * len(undisturbed.target))), pytest.raises(DataError) as refused:
        run(made, size=SIZE)
    (problem,) = refused.value.problems
    assert problem.startswith(f"{made.target}: no room on the disk (File too large).")
    assert "run the same command again" in problem
    assert not made.target.exists()
    assert not list(tmp_path.rglob("*.part"))
    run(made, size=SIZE)
    outputs = Outputs(made)
    assert (outputs.target, outputs.quarantine) == (undisturbed.target, undisturbed.quarantine)
    assert not made.folder.exists()


def test_an_older_output_that_is_to_be_made_anew_stays_until_the_new_one_is_whole(tmp_path: Path) -> None:
    made = job(tmp_path, CONTENT)
    made.target.write_bytes(b"of yesterday")
    with _room(1000), pytest.raises(DataError, match="no room"):
        run(made, size=SIZE, restart=True)
    assert made.target.read_bytes() == b"of yesterday"
    run(made, size=SIZE)
    assert made.target.read_bytes().startswith(b'{"row":2,')
