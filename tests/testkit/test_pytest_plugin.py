"""The kit as an author meets it: in a test file of their own, run by pytest."""

from importlib.metadata import entry_points

import pytest

from tallyplate.testkit import check_family
from tallyplate.testkit.nonconformity import Nonconforming
from tests.testkit import wrong_families

pytest_plugins = ["pytester"]

TESTS = """
from tallyplate.testkit import check_family, check_module
from tests.testkit import wrong_modules

test_trays = check_family("trays")
test_nameplates = check_module(wrong_modules.module(wrong_modules.made_up), name="nameplates")

def test_of_another_kind():
    assert 1 + 1 == 3
"""


def test_an_author_sees_a_line_a_check_and_a_failure_by_its_message_alone(pytester: pytest.Pytester) -> None:
    pytester.makepyfile(test_plugins=TESTS)
    chosen = "installed or own_rates or documented or another_kind"
    ran = pytester.runpytest_inprocess("-v", "-rs", "-k", chosen)
    ran.stdout.fnmatch_lines(
        [
            "*::test_trays?installed? FAILED*",
            "*::test_trays?documented? SKIPPED *",
            "*::test_nameplates?installed? PASSED*",
            "*::test_nameplates?documented? PASSED*",
            "*::test_nameplates?own_rates? FAILED*",
            "trays: no entry point of this name is installed in tallyplate.families; there are *",
            "nameplates: 'nameplates' is charged at PerPiece(5.00), which comes from no figure *",
            ">*assert 1 + 1 == 3",
            "E*assert (1 + 1) == 3",
            "SKIPPED * waits for the check 'installed' to be kept",
        ]
    )
    ran.stdout.no_fnmatch_line("*raise Nonconforming*")


def test_it_is_found_by_its_entry_point() -> None:
    (entry,) = entry_points(group="pytest11", name="tallyplate")
    assert entry.load().__name__ == "tallyplate.testkit.plugin"


def test_a_failure_is_an_assertion() -> None:
    assert issubclass(Nonconforming, AssertionError)


def test_nothing_is_loaded_or_looked_up_when_tests_are_collected() -> None:
    names = [mark.args[1] for mark in check_family("nobody").pytestmark]  # type: ignore[attr-defined]
    assert len(names[0]) > 20


def test_a_value_needs_a_name() -> None:
    with pytest.raises(
        TypeError, match=r'give the name of an entry point, or a Family and name="\.\.\."; found Family'
    ):
        check_family(wrong_families.RIGHT)
