"""The security page names defences with tests that are there, and the versions that are mended."""

import re

import pytest

from tests.supply.locks import PROJECT, ROOT

PAGE = (ROOT / ".github" / "SECURITY.md").read_text(encoding="utf-8")
ROWS = [[cell.strip() for cell in line.strip("|").split("|")] for line in PAGE.splitlines() if line.startswith("| ")]
CLAIMS = [row for row in ROWS if row[-1] != "shown by"]


@pytest.mark.parametrize("row", CLAIMS, ids=lambda row: row[0])
def test_each_threat_has_a_defence_and_tests_that_are_there(row: list[str]) -> None:
    *said, shown = row
    assert all(said)
    for name in shown.split(", "):
        file, _, function = name.partition("::")
        found = rf"^(async )?def {function or 'test_'}"
        assert re.search(found, (ROOT / file).read_text(encoding="utf-8"), flags=re.MULTILINE), name


def test_all_ten_risks_of_the_list_of_2023_are_answered() -> None:
    assert [row[0].split()[0] for row in CLAIMS if row[0].startswith("API")] == [f"API{n}" for n in range(1, 11)]


def test_the_supported_version_is_the_projects() -> None:
    assert f" {PROJECT['project']['version'].rpartition('.')[0]}," in PAGE
