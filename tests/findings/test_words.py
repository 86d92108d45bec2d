"""Sentences of findings: one is one, a bore is no hole, and a figure that misses a limit does not read like it."""

from typing import Any

import pytest

from tests.families.test_features import BARE, KEEP_OUT, points
from tests.plates import answer

BORE = {"feature": "bore", "diameter": "20 mm"}
PIN = {"feature": "hole", "kind": "plain", "diameter": "9 mm"}


def said(changes: dict[str, Any], code: str) -> str:
    """The sentence of the one finding with a code."""
    (found,) = (one["message"] for one in answer(changes)["findings"] if one["code"] == code)
    return str(found)


@pytest.mark.parametrize(
    ("changes", "code", "words"),
    [
        (
            {**BARE, "/plate/features": [BORE | {"at": at} for at in points((100, 100), (110, 100))]},
            "thin-wall",
            "bores overlap: -10 mm between them",
        ),
        (
            {**BARE, "/plate/features": [BORE | {"at": points((100, 100))[0]}, PIN | {"at": points((110, 100))}]},
            "thin-wall",
            "bores and plain holes overlap: -4.5 mm between them",
        ),
        (
            {**BARE, "/plate/features": [PIN | {"at": points((8.4999, 100))}]},
            "thin-edge",
            "3.9999 mm from a plain hole to the edge; at least 4 mm stay solid",
        ),
        (
            {"/plate/pattern": {"pitch": "100 mm", "margin": "60 mm"}, "/plate/features": [KEEP_OUT | {
                "at": points((60, 60))[0], "diameter": "10 mm"}]},
            "given-up",
            "1 grid position makes way",
        ),
    ],
)  # fmt: skip
def test_sentences_read_well(changes: dict[str, Any], code: str, words: str) -> None:
    assert words in said(changes, code)
