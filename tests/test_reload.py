"""A changed folder is picked up whole, proved first; one that fails leaves the last good one in force."""

import shutil
import threading
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from msgspec import UNSET

from tallyplate.access.scopes import EVERY, Scope, anonymous
from tallyplate.http import status
from tallyplate.installation import compose
from tallyplate.reload import Watched, Watcher
from tests.plates import DATA, MINIMAL, installation

CHEAPER = """id = "cheaper"
inherits = "harrow-pell-2026-01"
effective_from = 2026-02-01
[work_centers]
mill = "48 USD/h"
# end
"""

Folder = tuple[Path, Watched]


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    """A folder of its own, and the installation that watches it."""
    data = tmp_path / "data"
    shutil.copytree(DATA, data)
    here = installation()
    return data, Watched(compose(here.families, here.modules, data), data, lambda _: ())


def look(watched: Watched) -> None:
    """Two looks: the second finds the folder settled."""
    watched.refresh()
    watched.refresh()


def total(watched: Watched) -> str:
    return watched.installation.price(MINIMAL).total


def test_a_new_card_is_in_force_once_it_has_settled(folder: Folder) -> None:
    data, watched = folder
    before = total(watched)
    (data / "rate_cards" / "cheaper.toml").write_text(CHEAPER)
    watched.refresh()
    assert total(watched) == before
    watched.refresh()
    assert float(total(watched)) < float(before)
    assert [card.id for card in watched.installation.cards] == ["harrow-pell-2026-01", "cheaper"]


def test_a_card_that_fails_leaves_the_last_good_one_and_says_why(folder: Folder) -> None:
    data, watched = folder
    before = watched.installation
    (data / "rate_cards" / "cheaper.toml").write_text(CHEAPER.replace("48 USD/h", "48 USD/kg"))
    look(watched)
    assert watched.installation is before
    assert watched.failures == 1
    assert "rate_cards/cheaper.toml:5: work_centers.mill: '48 USD/kg' has the dimension" in watched.problems[0]
    assert status.ready(watched, anonymous(EVERY)).problems == watched.problems
    seen = status.ready(watched, anonymous({Scope.PRICE}))
    assert (seen.refused, seen.problems) == (True, UNSET)
    (data / "rate_cards" / "cheaper.toml").write_text(CHEAPER)
    look(watched)
    assert watched.installation is not before
    assert watched.problems == ()


def test_a_folder_that_breaks_a_law_is_not_loaded(folder: Folder) -> None:
    data, watched = folder
    watched.proof = lambda copy: (f"{len(list(copy.rglob('*.toml')))} files: more plates cost less",)
    before = watched.installation
    (data / "rate_cards" / "cheaper.toml").write_text(CHEAPER)
    look(watched)
    assert watched.installation is before
    assert watched.problems == ("3 files: more plates cost less",)


def _renamed(data: Path) -> None:
    """As editors save: a new file takes the old one's name."""
    file = data / "rate_cards" / "2026-01.toml"
    other = file.with_suffix(".tmp")
    other.write_text(file.read_text().replace('mill = "96 USD/h"', 'mill = "48 USD/h"'))
    other.replace(file)


def _swapped(data: Path) -> None:
    """As mounted config folders change: a link leads to another folder from one moment to the next."""
    other = data.with_name("other")
    shutil.copytree(data / "rate_cards", other)
    (other / "cheaper.toml").write_text(CHEAPER)
    link = data / "link"
    link.symlink_to(other)
    shutil.rmtree(data / "rate_cards")
    link.replace(data / "rate_cards")


def _rewritten(data: Path) -> None:
    """Written over in place, to the same length."""
    file = data / "rate_cards" / "2026-01.toml"
    file.write_text(file.read_text().replace('mill = "96 USD/h"', 'mill = "48 USD/h"'))


@pytest.mark.parametrize("change", [_renamed, _swapped, _rewritten])
def test_every_way_that_files_change_is_seen(folder: Folder, change: Callable[[Path], None]) -> None:
    data, watched = folder
    before = total(watched)
    change(data)
    look(watched)
    assert watched.problems == ()
    assert float(total(watched)) < float(before)


def test_a_file_that_vanishes_leaves_the_last_good_card(folder: Folder) -> None:
    data, watched = folder
    before = total(watched)
    shutil.rmtree(data / "rate_cards")
    look(watched)
    assert total(watched) == before
    assert "no .toml file here" in watched.problems[0]


def test_no_part_of_a_file_that_is_being_written_is_taken_for_a_card(folder: Folder) -> None:
    data, watched = folder
    before = watched.installation
    for length in range(0, len(CHEAPER) - len("# end\n") + 1, 7):
        (data / "rate_cards" / "cheaper.toml").write_text(CHEAPER[:length])
        look(watched)
        assert watched.installation is before


def test_midnight_of_a_card_s_date_needs_no_reload(folder: Folder) -> None:
    data, watched = folder
    (data / "rate_cards" / "cheaper.toml").write_text(CHEAPER)
    look(watched)
    request = {"plate": MINIMAL["plate"]}
    eve, day = (watched.installation.price(request, date(*when)) for when in ((2026, 1, 31), (2026, 2, 1)))
    assert (eve.rate_card.id, day.rate_card.id) == ("harrow-pell-2026-01", "cheaper")


@pytest.mark.slow
def test_no_request_fails_or_sees_half_a_card_while_cards_change(folder: Folder) -> None:
    data, watched = folder
    file = data / "rate_cards" / "cheaper.toml"
    beside = file.with_suffix(".new")
    seen: set[tuple[str, str]] = set()
    stop = threading.Event()

    def ask() -> None:
        while not stop.is_set():
            answer = watched.installation.price(MINIMAL)
            seen.add((answer.rate_card.digest, answer.total))

    askers = [threading.Thread(target=ask) for _ in range(4)]
    with Watcher(watched, seconds=0.005):
        for asker in askers:
            asker.start()
        for turn in range(4):
            before = watched.installation
            # Whole or not at all, as whoever watches a folder is told to write.
            beside.write_text(CHEAPER.replace("48", str(40 + turn)))
            beside.replace(file)
            for _ in range(400):
                if watched.installation is not before:
                    break
                stop.wait(0.025)
        stop.set()
    for asker in askers:
        asker.join()
    digests = [digest for digest, _ in seen]
    assert len(seen) > 2, "hardly a card was loaded in time"
    assert len(digests) == len(set(digests)), "one card gave two prices"
    assert watched.failures == 0
