"""A folder as a cluster mounts it: files are links through `..data`, which is turned to a new folder all at once."""

from pathlib import Path

from tallyplate.access.gate import Gate
from tallyplate.access.scopes import Scope
from tallyplate.cli.main import main
from tallyplate.installation import load
from tallyplate.reload import Watched
from tests.deploy.manifests import CARDS


def _mounted(folder: Path, version: str, **files: bytes) -> None:
    """Put files into a mounted folder, or in place of those that are there, in the order in which a cluster does it."""
    written = folder / f"..{version}"
    written.mkdir(parents=True)
    for name, content in files.items():
        (written / name).write_bytes(content)
    turning = folder / "..data_tmp"
    turning.symlink_to(written.name)
    turning.replace(folder / "..data")
    for name in files:
        if not (folder / name).is_symlink():
            (folder / name).symlink_to(Path("..data") / name)


def _files(part: str) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in (CARDS / part).glob("*.toml")}


def test_a_running_service_follows_a_new_rate_card(tmp_path: Path) -> None:
    for part in ("rate_cards", "shop_data"):
        _mounted(tmp_path / part, "1", **_files(part))
    watched = Watched(load(tmp_path), tmp_path, lambda _: ())
    before = watched.installation.cards[0].digest

    cards = _files("rate_cards")
    (name,) = cards
    assert b"mill = " in cards[name]
    _mounted(tmp_path / "rate_cards", "2", **{name: cards[name].replace(b'mill = "', b'mill = "1', 1)})
    for _ in range(2):
        watched.refresh()

    assert watched.problems == ()
    assert watched.installation.cards[0].digest != before


def test_a_running_service_follows_the_keys_of_its_callers(tmp_path: Path) -> None:
    made = tmp_path / "made.json"
    assert main(["key", "new", "erp", "--scopes", "price", "--access", str(made)]) == 0
    _mounted(tmp_path / "access", "1", **{"access.json": made.read_bytes()})
    gate = Gate(tmp_path / "access" / "access.json")
    assert [entry.id for entry in gate._keys.values()] == ["erp"]

    assert main(["key", "new", "desk", "--scopes", Scope.COST, "--access", str(made)]) == 0
    assert main(["key", "revoke", "erp", "--access", str(made)]) == 0
    _mounted(tmp_path / "access", "2", **{"access.json": made.read_bytes()})
    gate._look(tmp_path / "access" / "access.json")
    assert [entry.id for entry in gate._keys.values()] == ["desk"]
