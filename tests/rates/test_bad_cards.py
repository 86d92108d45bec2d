"""Each file of `tests/bad_cards` makes one mistake, and the message says in which file, at which key, and why.

A file holds what it states otherwise than the demonstration's card or shop data. Its first line says what the message
must contain, in parts between bars; a line `# without: KEY` takes a key away. A file that is no TOML ends in `.txt`.
"""

import re
import tomllib
from pathlib import Path

import pytest

from tallyplate.installation import compose
from tallyplate.rates.files import DataError
from tests.plates import DATA, ROOT, installation
from tests.rates.folder import CARD, SHOP, good, merged, without, write

BAD = sorted((ROOT / "tests" / "bad_cards").glob("*/*"))
GOOD = {"rate_card": ("rate_cards", CARD), "shop_data": ("shop_data", SHOP)}


def _write(bad: Path, folder: Path) -> None:
    """The good folder with the bad file in the place of the good one."""
    for kind, (place, file) in GOOD.items():
        text = bad.read_text()
        if kind != bad.parent.name:
            (folder / place).symlink_to(DATA / place)
        elif bad.suffix == ".txt":
            (folder / place).mkdir()
            (folder / place / f"{bad.stem}.toml").write_text(text)
        else:
            data = merged(good(file), tomllib.loads(text))
            for key in re.findall(r"^# without: (.*)$", text, re.MULTILINE):
                data = without(data, key)
            write(folder / place / bad.name, data)


@pytest.mark.parametrize("bad", BAD, ids=lambda bad: f"{bad.parent.name}/{bad.stem}")
def test_a_bad_card_is_refused_with_file_key_and_reason(tmp_path: Path, bad: Path) -> None:
    (says,) = re.findall(r"\A# says: (.*)\n", bad.read_text())
    _write(bad, tmp_path)
    here = installation()
    with pytest.raises(DataError) as raised:
        compose(here.families, here.modules, tmp_path)
    for problem in raised.value.problems:
        assert re.match(r"(rate_cards|shop_data)/[a-z0-9-]+\.toml(:\d+: [^:]+)?: ", problem), problem
    message = "\n".join(raised.value.problems)
    for part in says.split(" | "):
        assert part in message
    assert len(message) < 2_000
