"""Accept as RFC 9110 (section 12.5.1) defines it: what is liked best, what is excluded, and what is sent back."""

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.http.negotiation import NotAcceptable, file_name, headers, negotiated

SVG, DXF, CSV = "image/svg+xml", "image/vnd.dxf", "text/csv; charset=utf-8"
OFFERED = (SVG, DXF, CSV)

CHOSEN: list[tuple[str, str]] = [
    ("", SVG),
    (" , ,", SVG),
    ("*/*", SVG),
    ("image/*", SVG),
    ("text/*", CSV),
    ("image/vnd.dxf", DXF),
    ("IMAGE/VND.DXF", DXF),
    ("image/vnd.dxf;q=0.5, image/svg+xml;q=0.4", DXF),
    ("image/svg+xml;q=0.4, image/vnd.dxf;q=0.5", DXF),
    ("image/svg+xml;q=0.5, image/vnd.dxf;q=0.5", SVG),
    ("image/svg+xml;Q=0.123, */*;q=0.124", DXF),
    # The closest range decides, and not the best one.
    ("*/*, image/svg+xml;q=0", DXF),
    ("image/svg+xml;q=0, image/vnd.dxf;q=0, */*;q=0.001", CSV),
    ("image/*;q=0.2, image/vnd.dxf;q=0.1, */*;q=0.9", CSV),
    ("*/*;q=0.1, text/csv", CSV),
    ("text/html, application/xhtml+xml, application/xml;q=0.9, image/avif, */*;q=0.8", SVG),
    # A parameter belongs to the type; one that is not offered is another type.
    ("text/csv;charset=utf-8", CSV),
    ('text/csv; charset="UTF-8"', CSV),
    ("text/csv;charset=latin-1, image/vnd.dxf;q=0.1", DXF),
    ('text/html;title="a, image/svg+xml", image/vnd.dxf', DXF),
    # What is not well formed accepts nothing and spoils nothing.
    ("image/svg+xml;q=1.5, image/vnd.dxf", DXF),
    ("image/svg+xml;q=abc, image/vnd.dxf", DXF),
    ("image/svg+xml;q=0.1234, image/vnd.dxf", DXF),
    ("*/svg, image/vnd.dxf", DXF),
    ("image, image/vnd.dxf", DXF),
    ("image/svg+xml/x, image/vnd.dxf", DXF),
    ('"unbalanced, image/vnd.dxf', DXF),
]


@pytest.mark.parametrize(("accept", "expected"), CHOSEN)
def test_what_is_liked_best_is_chosen(accept: str, expected: str) -> None:
    assert negotiated([accept], OFFERED) == expected


def test_fields_of_several_headers_are_one_list() -> None:
    assert negotiated(["image/svg+xml;q=0.1", "image/vnd.dxf;q=0.2"], OFFERED) == DXF
    assert negotiated([], OFFERED) == SVG


@pytest.mark.parametrize(
    "accept",
    [
        "text/html",
        "*/*;q=0",
        "image/svg+xml;q=0",
        "image/*;q=0, text/*;q=0.0",
        "nonsense",
        "text/csv;header=absent",
        "é",
    ],
)
def test_where_nothing_is_accepted_the_answer_lists_what_is_on_offer(accept: str) -> None:
    with pytest.raises(NotAcceptable) as refused:
        negotiated([accept], OFFERED)
    (fault,) = refused.value.faults
    assert repr(accept) in fault.message
    assert all(kind in fault.message for kind in OFFERED)


@given(st.text(max_size=300))
def test_no_header_is_a_failure(accept: str) -> None:
    with suppress(NotAcceptable):
        assert negotiated([accept], OFFERED) in OFFERED


@pytest.mark.parametrize("part", ['"', ";", 'a/b;c="', "a/b;q=0.5,", '\\"', "*/*;"])
def test_a_header_of_any_length_is_answered(part: str) -> None:
    with pytest.raises(NotAcceptable):
        negotiated([part * 200_000], ("image/png",))


NAMES: list[tuple[str, str]] = [
    ("plate-700x450x40-al-6061-t6", "plate-700x450x40-al-6061-t6.svg"),
    ("Größe 5/8 in", "groe-5-8-in.svg"),
    ('a"; filename=../../etc/passwd', "a-filename-..-..-etc-passwd.svg"),
    ("\r\nset-cookie: x=1", "set-cookie-x-1.svg"),
    ("..", "document.svg"),
    ("板", "document.svg"),
    ("x" * 500, "x" * 80 + ".svg"),
]


@pytest.mark.parametrize(("stem", "name"), NAMES)
def test_a_file_is_named_with_plain_signs_whatever_it_is_named_after(stem: str, name: str) -> None:
    assert file_name(stem, "svg") == name


@given(st.text(max_size=120))
def test_headers_are_whole_whatever_a_document_is_named_after(stem: str) -> None:
    made = headers(stem, "dxf", '"0"')
    name = made["content-disposition"].removeprefix('attachment; filename="').removesuffix('.dxf"')
    assert name
    assert not name.startswith(".")
    assert set(name) <= set("abcdefghijklmnopqrstuvwxyz0123456789.-")
    assert made["vary"] == "Accept"
    assert made["etag"] == '"0"'
