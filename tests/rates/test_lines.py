"""On which line a key stands, whatever stands around it."""

from tallyplate.rates.lines import key_lines, nearest

TEXT = """# a comment with [brackets] and key = 1

id = "a"   # said
"odd key" = 1
list = [
    [1],
    "x = 2",
    2,
]
text = \"\"\"
[not.a.table]
key = 3
\"\"\"
said = "a\u2028b"
[table]
inner.deep = 1
[[rows]]
a = 1
[[rows]]
a = 2
"""


def test_each_key_and_table_has_its_line() -> None:
    assert key_lines(TEXT) == {
        ("id",): 3,
        ("odd key",): 4,
        ("list",): 5,
        ("text",): 10,
        ("said",): 14,
        ("table",): 15,
        ("table", "inner", "deep"): 16,
        ("rows", "0"): 17,
        ("rows", "0", "a"): 18,
        ("rows", "1"): 19,
        ("rows", "1", "a"): 20,
    }


def test_a_key_that_is_not_stated_has_the_line_of_the_nearest_around_it() -> None:
    lines = key_lines(TEXT)
    assert nearest(lines, ("rows", "1", "b")) == 19
    assert nearest(lines, ("list", "2")) == 5
    assert nearest(lines, ("nowhere",)) == 1
