"""Storage behind URLs: the bytes that files of this machine get; and shards that two do at one time."""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, ClassVar
from uuid import uuid4

import pytest
from fsspec import register_implementation
from fsspec.implementations.memory import MemoryFile, MemoryFileSystem

from tallyplate.bulk import files
from tallyplate.bulk.files import place
from tallyplate.bulk.job import Job, Totals
from tallyplate.bulk.ledger import commit, done
from tallyplate.bulk.run import run
from tallyplate.rates.files import DataError
from tests.bulk.inputs import BAD, Outputs, job, order

CONTENT = b"\n".join(BAD[number % 7] if number % 5 == 0 else order(number) for number in range(20))


class Objects(MemoryFileSystem):
    """An object store: no folder without files in it, and files that read whole lines alone."""

    protocol = "objects"
    store: ClassVar[dict[str, Any]] = {}
    pseudo_dirs: ClassVar[list[str]] = [""]

    def mkdir(self, path: str, create_parents: bool = True, **_: Any) -> None:
        """Folders come with their files."""

    def makedirs(self, path: str, exist_ok: bool = False) -> None:
        """Likewise."""

    def _open(self, path: str, mode: str = "rb", **how: Any) -> Any:
        opened = super()._open(path, mode, **how)
        if mode == "rb":
            opened.readline = lambda: MemoryFile.readline(opened)
        return opened


@pytest.mark.filterwarnings("ignore:UPath 'objects' filesystem")
def test_a_store_of_objects_needs_no_folders_and_no_lines(tmp_path: Path) -> None:
    register_implementation("objects", Objects, clobber=True)
    box = f"objects://{uuid4().hex}"
    place(f"{box}/in.ndjson").write_bytes(CONTENT)
    elsewhere = Job(place(f"{box}/in.ndjson"), place(f"{box}/out.ndjson"), place(f"{box}/bad.ndjson"))
    here = job(tmp_path, CONTENT)
    for restart in (False, True):
        assert run(elsewhere, size=1000, restart=restart) == run(here, size=1000, restart=True)
        assert Outputs(elsewhere).target == Outputs(here).target
        assert Outputs(elsewhere).quarantine == Outputs(here).quarantine


def _elsewhere(target: str) -> Job:
    pytest.importorskip("upath")
    box = f"memory://{uuid4().hex}"
    place(f"{box}/in.ndjson").write_bytes(CONTENT)
    return Job(place(f"{box}/in.ndjson"), place(f"{box}/{target}"), place(f"{box}/bad.ndjson"))


@pytest.mark.parametrize("target", ["out.ndjson", "out.csv", "out.parquet"])
def test_the_bytes_are_those_of_a_run_on_files(tmp_path: Path, target: str) -> None:
    here, elsewhere = job(tmp_path, CONTENT, target=target), _elsewhere(target)
    assert run(elsewhere, size=1000) == run(here, size=1000)
    assert Outputs(elsewhere).target == Outputs(here).target
    assert Outputs(elsewhere).quarantine == Outputs(here).quarantine
    assert not elsewhere.folder.exists()


def test_a_run_that_was_stopped_goes_on_there(tmp_path: Path) -> None:
    here, elsewhere = job(tmp_path, CONTENT), _elsewhere("out.ndjson")

    def stop(_: str, finished: int, __: int) -> None:
        if finished > 5:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        run(elsewhere, watch=stop, size=1000)
    assert not elsewhere.target.exists()
    (first, *_) = elsewhere.folder.glob("*/*.done")
    record = first.read_bytes()
    run(elsewhere, size=1000)
    run(here, size=1000)
    assert record
    assert Outputs(elsewhere).target == Outputs(here).target


def test_a_file_url_is_the_path() -> None:
    assert place("file:///data/a%20b.csv") == Path("/data/a b.csv")
    assert place("a b.csv") == Path("a b.csv")


def test_what_cannot_be_used_is_refused_with_what_can(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(files, "find_spec", lambda _: None)
    with pytest.raises(DataError, match=r"s3://a/b: needs universal-pathlib.* pip install tallyplate\[cluster\]"):
        place("s3://a/b")


def test_a_shard_done_by_several_at_one_time_is_whole(tmp_path: Path) -> None:
    parts = {"out": b"x" * 200_000, "quarantine": b""}
    with ThreadPoolExecutor(8) as pool:
        records = list(pool.map(lambda _: commit(tmp_path, 7, parts, Totals(1, 1)), range(100)))
    assert all(record == done(tmp_path, 7) for record in records)
    assert sorted(path.suffix for path in (tmp_path / "000000").iterdir()) == [".done", ".out", ".quarantine"]
