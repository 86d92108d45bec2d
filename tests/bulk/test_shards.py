"""An input cut into shards: nothing lost, nothing doubled, every line known by its number."""

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from tallyplate.bulk.shards import BLOCK, MAX_LINE, cut, lines_of, too_long

TEXTS = st.lists(st.sampled_from([b"a", b"\n", b"\r\n", b"bc" * 40, b"\xff", b"d" * 700]), max_size=60).map(b"".join)


def _written(folder: Path, content: bytes) -> Path:
    path = folder / "in.ndjson"
    path.write_bytes(content)
    return path


@given(content=TEXTS, size=st.integers(1, 2000))
def test_shards_hold_every_line_once_in_order_under_its_number(
    tmp_path_factory: object, content: bytes, size: int
) -> None:
    path = _written(tmp_path_factory.mktemp("cut"), content)  # type: ignore[attr-defined]
    of = cut(path, size)
    lines = [line for shard in of.shards for line in lines_of(path, shard)]
    assert lines == content.splitlines(keepends=True) if b"\r\n" not in content else b"".join(lines) == content
    counted = 1
    for number, shard in enumerate(of.shards):
        assert (shard.number, shard.first) == (number, counted)
        assert shard.lines == len(list(lines_of(path, shard)))
        assert shard.end - shard.start >= size or shard is of.shards[-1]
        counted += shard.lines


def test_line_ends_are_found_across_the_blocks_that_are_read(tmp_path: Path) -> None:
    content = b"".join(b"x" * (number % 977) + b"\n" for number in range(1000))
    assert len(content) > 4 * BLOCK
    of = cut(_written(tmp_path, content), 10_000)
    assert b"".join(line for shard in of.shards for line in lines_of(of.path, shard)) == content
    assert of.shards[-1].first + of.shards[-1].lines == 1001


def test_of_a_line_too_long_no_more_is_held_than_shows_it(tmp_path: Path) -> None:
    path = _written(tmp_path, b"a\n" + b"b" * 1_000_000 + b"\nc\n")
    (shard,) = cut(path, 2_000_000).shards
    first, second, third = lines_of(path, shard)
    assert (first, third) == (b"a\n", b"c\n")
    assert len(second) == MAX_LINE + 1
    assert [too_long(line) for line in (first, second, b"x" * (MAX_LINE - 1) + b"\n")] == [False, True, False]
