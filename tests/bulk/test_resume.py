"""A run that was stopped goes on where it stopped, and ends with the bytes that it would have had."""

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tallyplate.bulk.job import Job
from tallyplate.bulk.run import run
from tallyplate.bulk.work import price_shard
from tallyplate.rates.files import DataError
from tests.bulk.inputs import BAD, Outputs, job, order, ran
from tests.plates import installation

CONTENT = b"\n".join(BAD[number % 7] if number % 5 == 0 else order(number) for number in range(40))
SIZE = 500


class Stopped(BaseException):
    """As if somebody pressed Ctrl-C."""


def _stopped(made: Job, after: int) -> dict[str, tuple[int, int]]:
    """Begin a run and stop it after so many shards; gives what it left of each shard."""
    counted = -1

    def stop(*_: Any) -> None:
        nonlocal counted
        counted += 1
        if counted == after:
            raise Stopped

    with pytest.raises(Stopped):
        run(made, watch=stop, size=SIZE)
    assert not made.target.exists()
    assert not made.quarantine.exists()
    return _shards(made)


def _shards(made: Job) -> dict[str, tuple[int, int]]:
    """The files of all shards, each with what would tell a new one from it."""
    files = {str(path): path.stat() for path in made.folder.glob("*/*")}
    return {path: (state.st_ino, state.st_mtime_ns) for path, state in files.items()}


@pytest.fixture
def again(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The numbers of the shards that are priced from now on."""
    numbers: list[int] = []

    def counting(job: Any, of: Any, shard: Any, *rest: Any) -> Any:
        numbers.append(shard.number)
        return price_shard(job, of, shard, *rest)

    monkeypatch.setattr("tallyplate.bulk.pool.price_shard", counting)
    return numbers


@pytest.mark.parametrize("target", ["out.ndjson", "out.csv", "out.parquet"])
def test_what_is_finished_is_not_done_again_and_the_bytes_are_those_of_an_undisturbed_run(
    tmp_path: Path, again: list[int], target: str
) -> None:
    undisturbed = ran(tmp_path, CONTENT, target=f"undisturbed-{target}", size=SIZE)
    whole = list(again)
    again.clear()
    made = job(tmp_path, CONTENT, target=target)
    made.quarantine.unlink()
    _stopped(made, 3)
    assert again == [0, 1, 2]
    again.clear()
    totals = run(made, size=SIZE)
    assert again == whole[3:]
    outputs = Outputs(made)
    assert (outputs.target, outputs.quarantine) == (undisturbed.target, undisturbed.quarantine)
    assert (totals.rows, totals.quarantined) == (40, len(undisturbed.quarantined))
    assert not made.folder.exists()


def test_a_part_that_a_power_cut_took_is_made_again(tmp_path: Path, again: list[int]) -> None:
    made = job(tmp_path, CONTENT)
    _stopped(made, 4)
    (made.folder / "000000" / "001.out").write_bytes(b"")
    (made.folder / "000000" / "002.quarantine").unlink()
    (made.folder / "000000" / "003.done").write_bytes(b'{"number":')
    again.clear()
    run(made, size=SIZE)
    assert again[:3] == [1, 2, 3]
    assert Outputs(made).target == ran(tmp_path, CONTENT, target="whole.ndjson", size=SIZE).target


def test_a_run_that_had_only_to_be_joined_prices_nothing(tmp_path: Path, again: list[int]) -> None:
    undisturbed = ran(tmp_path, CONTENT, target="whole.ndjson", size=SIZE)
    made = job(tmp_path, CONTENT)
    made.quarantine.unlink()
    _stopped(made, len(again) + 1)
    again.clear()
    run(made, size=SIZE)
    assert again == []
    assert Outputs(made).target == undisturbed.target


@pytest.mark.parametrize("change", ["input", "lines", "today"])
def test_shards_of_another_run_are_not_mixed_in(tmp_path: Path, change: str) -> None:
    made = job(tmp_path, CONTENT)
    left = _stopped(made, 2)
    other = {"input": lambda: job(tmp_path, CONTENT + b"\n{}"), "lines": lambda: job(tmp_path, CONTENT, lines="flat")}
    other["today"] = lambda: job(tmp_path, CONTENT, today=date(2026, 6, 1))
    with pytest.raises(DataError, match=f"begun with another {change}; accepted: the same, or --restart"):
        run(other[change](), size=SIZE)
    assert _shards(made) == left
    run(other[change](), size=SIZE, restart=True)
    assert made.target.exists()


def test_a_run_goes_on_under_the_date_that_it_was_begun_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    undated = b"\n".join(order(number).replace(b', "as_of": "2026-03-02"', b"") for number in range(20))
    assert b"as_of" not in undated
    made = job(tmp_path, undated)
    monkeypatch.setattr(installation(), "today", lambda: date(2026, 7, 1))
    _stopped(made, 2)
    monkeypatch.setattr(installation(), "today", lambda: date(2026, 7, 2))
    run(made, size=SIZE)
    assert {price["as_of"] for price in Outputs(made).prices.values()} == {"2026-07-01"}


def test_an_output_that_is_there_is_not_overwritten_unasked(tmp_path: Path) -> None:
    made = job(tmp_path, CONTENT)
    made.target.write_bytes(b"precious")
    with pytest.raises(DataError, match="is there already"):
        run(made)
    assert made.target.read_bytes() == b"precious"
    assert not made.folder.exists()


def test_a_folder_that_holds_files_of_others_is_not_emptied_unasked(tmp_path: Path) -> None:
    made = job(tmp_path, CONTENT)
    made.folder.mkdir()
    precious = made.folder / "precious.txt"
    precious.write_bytes(b"precious")
    with pytest.raises(DataError, match="holds files, but no record of a run"):
        run(made)
    assert precious.read_bytes() == b"precious"
    assert run(made, restart=True).rows == 40


def test_a_second_run_of_the_same_is_kept_off(tmp_path: Path) -> None:
    made = job(tmp_path, CONTENT)

    def meanwhile(*_: Any) -> None:
        with pytest.raises(DataError, match="another run is at work here"):
            run(made, size=SIZE)

    assert run(made, watch=meanwhile, size=SIZE).rows == 40


def test_an_input_that_changes_under_the_run_is_noticed(tmp_path: Path) -> None:
    made = job(tmp_path, CONTENT)

    def meddle(*_: Any) -> None:
        made.source.write_bytes(CONTENT.replace(b"10 in", b"11 in"))

    with pytest.raises(DataError, match="changed while it was read"):
        run(made, watch=meddle, size=SIZE)
    assert not made.target.exists()


@pytest.mark.parametrize(
    ("source", "target", "quarantine", "says"),
    [
        ("none.ndjson", "out.ndjson", "bad", "is no file"),
        ("in.ndjson", "in.ndjson", "bad", "are one file"),
        ("in.ndjson", "out.ndjson", "sub/../out.ndjson", "are one file"),
        ("in.ndjson", "out.ndjson", "sub/bad.ndjson", "its folder is not there"),
        ("in.ndjson", "out.json", "bad", "accepted: .ndjson, .csv, .parquet"),
    ],
)
def test_files_that_cannot_be_what_they_are_named_for_are_refused(
    tmp_path: Path, source: str, target: str, quarantine: str, says: str
) -> None:
    (tmp_path / "in.ndjson").write_bytes(CONTENT)
    with pytest.raises(DataError, match=says):
        run(Job(tmp_path / source, tmp_path / target, tmp_path / quarantine))
    assert [path.name for path in tmp_path.iterdir()] == ["in.ndjson"]
