"""Cards as TOML text: what is written is what is read, laid out for people, and comments stay with their keys."""

import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.rates.comments import comments
from tallyplate.rates.toml_text import WIDTH, document

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=8)
SCALARS = st.one_of(
    TEXT,
    st.integers(-(2**63), 2**63 - 1),
    st.floats(allow_nan=False),
    st.booleans(),
    st.dates(),
    st.datetimes().map(lambda time: time.replace(fold=0)),
)
TREES = st.dictionaries(
    TEXT,
    st.recursive(SCALARS, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXT, inner, max_size=3)),
    max_size=4,
)


@given(TREES)
def test_what_is_written_is_read_as_the_same_data_of_the_same_types(data: dict[str, Any]) -> None:
    read = tomllib.loads(document(data, {}))
    assert repr(_ordered(read)) == repr(_ordered(data))


def _ordered(node: Any) -> Any:
    """Data whose keys are in one order, since TOML wants the keys of a table before the tables in it."""
    if isinstance(node, dict):
        return {key: _ordered(node[key]) for key in sorted(node)}
    return [_ordered(item) for item in node] if isinstance(node, list) else node


LAYOUT = """\
# Of the card.
#
# More of it.

id = "a"  # of the id
# of the list, in two
# lines
short = ["x"]
long = [
    { from = 1, price = "7.40 USD/piece" },
]

# Of the section, with a text that has no room on the line of the header, since it is as long as a comment can be.
[stock]
cut = "1 USD"

[stock.price]  # by form
plate = { thick = "1 USD", "half round" = "2 USD" }
bar = {}

[deep.deeper]  # goes without its parent

[deep.deeper.one]
"two words" = 1  # of one

[deep.deeper.two]
it = 2
"""


def test_a_file_in_our_layout_is_written_again_to_the_letter() -> None:
    assert document(tomllib.loads(LAYOUT), comments(LAYOUT)) == LAYOUT


def test_a_section_has_a_header_of_its_own_however_small() -> None:
    assert document({"packing": {"wrap": "1 USD/m2"}, "empty": {}}, {}) == '[packing]\nwrap = "1 USD/m2"\n\n[empty]\n'


def test_a_list_too_long_for_a_line_has_a_line_for_each_place() -> None:
    text = document({"names": ["abcdefghij"] * 12}, {})
    assert text.splitlines() == ["names = [", *['    "abcdefghij",'] * 12, "]"]
    assert max(map(len, text.splitlines())) <= WIDTH


OTHER_LAYOUTS = '''
# Of the id, since no blank line parts them.
id = "a # b"   #   indented
# Between,

# and after a blank line.
"quo#ted" = 'c # d'
[ table ] # of the table
text = """
# no comment
not = "a key"
"""  # of the text
raw = \'\'\'
# none either\'\'\' # of the raw
dotted . key = 5 # of the dotted
list = [ # at the start
    1, # one
    # none
    2,
] # at the end
grid = [ [1], # one
    [2] # two
] # and no tables
#

[[array]] # of the first
a = 1 # of its a
[[array]]
a = 2 # of the second's a
["br[ack]et"] # of a name that is not understood
# after all
'''


def test_comments_go_with_the_key_that_they_stand_above_beside_or_in() -> None:
    assert comments(OTHER_LAYOUTS) == {
        ("id",): "Of the id, since no blank line parts them.\n  indented",
        ("quo#ted",): "Between,\n\nand after a blank line.",
        ("table",): "of the table",
        ("table", "text"): "of the text",
        ("table", "raw"): "of the raw",
        ("table", "dotted", "key"): "of the dotted",
        ("table", "list"): "at the start\none\nnone\nat the end",
        ("table", "grid"): "one\ntwo\nand no tables",
        ("array", 0): "of the first",
        ("array", 0, "a"): "of its a",
        ("array", 1, "a"): "of the second's a\nof a name that is not understood\nafter all",
    }


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_line_ends_of_another_system_change_no_comment(ends: str) -> None:
    assert comments(OTHER_LAYOUTS.replace("\n", ends)) == comments(OTHER_LAYOUTS)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", {}),
        ("a = 1", {}),
        ("a = 1 # x", {("a",): "x"}),
        ("# x", {(): "x"}),
        ("# x\n\n# y\n\na = 1", {(): "x\n\ny"}),
        ("#\n#\na = 1 #", {}),
        ("a = '''x''''' # y", {("a",): "y"}),
        ('a = """x\\""""" # y', {("a",): "y"}),
        ('a = "" # y', {("a",): "y"}),
        ('a = """""" # y', {("a",): "y"}),
    ],
)
def test_comments_of_files_that_are_hardly_there(text: str, said: dict[Any, str]) -> None:
    assert tomllib.loads(text) is not None
    assert comments(text) == said


REMARKS = st.text(st.characters(categories=["L", "P"]) | st.sampled_from(" \n#"), max_size=40)


@given(st.dictionaries(st.sampled_from([(), ("id",), ("stock",), ("stock", "price"), ("long",)]), REMARKS))
def test_any_comment_is_found_again_where_it_was_put(said: dict[Any, str]) -> None:
    lines = {place: "\n".join(map(str.rstrip, comment.split("\n"))).strip("\n") for place, comment in said.items()}
    kept = {place: comment for place, comment in lines.items() if comment}
    assert comments(document(tomllib.loads(LAYOUT), kept)) == kept
