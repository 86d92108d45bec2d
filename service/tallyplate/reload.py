"""The installation in force, replaced whole when its folder changes: proved first, then swapped at once.

A request holds the installation that it began with. A folder that fails leaves the last good one in force, and its
problems are kept to be shown.
"""

from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Event, Thread
from typing import Final

import structlog

from tallyplate.installation import Installation, compose
from tallyplate.rates.files import DataError, snapshot

PARTS: Final = ("rate_cards", "shop_data")

Signature = tuple[object, ...]

Proof = Callable[[Path], tuple[str, ...]]
"""What is wrong with a folder; nothing where it may be deployed."""

log = structlog.get_logger("tallyplate.reload")


class Current:
    """The installation in force. `problems` are those of the last folder that failed, none where it was loaded."""

    def __init__(self, installation: Installation) -> None:
        self.installation = installation
        self.problems: tuple[str, ...] = ()
        self.failures = 0


class Watched(Current):
    """The installation of a folder that is looked at again and again."""

    def __init__(self, installation: Installation, data: Path, proof: Proof) -> None:
        super().__init__(installation)
        self.data, self.proof = data, proof
        self._loaded = self._seen = signature(data)

    def refresh(self) -> None:
        """Look at the folder once. It is read only when two looks saw the same, so that no half-written file is."""
        seen = signature(self.data)
        settled, self._seen = seen == self._seen, seen
        if seen == self._loaded or not settled:
            return
        self._loaded = seen
        try:
            self.installation = self._proved()
        except DataError as error:
            self.failures += 1
            self.problems = error.problems
            log.warning("reload refused", problems=list(error.problems))
        else:
            self.problems = ()
            log.info("reloaded", cards=[card.digest for card in self.installation.cards])

    def _proved(self) -> Installation:
        """The folder as it is now, copied so that what is proved is what is loaded; raises `DataError`."""
        with TemporaryDirectory() as copy:
            for part in PARTS:
                folder = Path(copy) / part
                folder.mkdir()
                for name, content in snapshot(self.data / part).items():
                    (folder / name).write_bytes(content)
            if signature(self.data) != self._loaded:
                message = f"{self.data}: changed while it was read"
                raise DataError(message)
            candidate = compose(self.installation.families, self.installation.modules, Path(copy))
            problems = self.proof(Path(copy))
        if problems:
            raise DataError(*problems)
        return candidate


def signature(data: Path) -> Signature:
    """What tells one state of a folder from another: its files by place, time and size, wherever links lead."""
    found: list[object] = []
    for part in PARTS:
        try:
            found.append((data / part).resolve(strict=True))
            for file in sorted((data / part).glob("*.toml")):
                state = file.stat()
                found.append((file.name, state.st_ino, state.st_mtime_ns, state.st_size))
        except OSError as error:
            found.append(error.errno)
    return tuple(found)


class Watcher:
    """Looks at the folder from a thread of its own until stopped."""

    def __init__(self, watched: Watched, seconds: float = 1.0) -> None:
        self._watched, self._seconds = watched, seconds
        self._stop = Event()
        self._thread = Thread(target=self._run, name="reload", daemon=True)

    def __enter__(self) -> "Watcher":
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._stop.set()
        self._thread.join()

    def _run(self) -> None:
        while not self._stop.wait(self._seconds):
            try:
                self._watched.refresh()
            except Exception as error:
                self._watched.failures += 1
                self._watched.problems = (f"{type(error).__name__}: {error}",)
                log.exception("reload failed")
