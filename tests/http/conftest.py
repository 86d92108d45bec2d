"""The service of the shipped plugins and data, asked in this process or, where it matters, in one of its own."""

from collections.abc import Iterator

import pytest
from structlog.testing import capture_logs

from tallyplate.cli.main import main
from tallyplate.http.app import create_app
from tests.plates import installation
from tests.serving import Ask, Logs, asking, serving


@pytest.fixture(scope="session")
def ask() -> Ask:
    return asking(create_app(installation()))


@pytest.fixture(scope="session")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    keys = tmp_path_factory.mktemp("keys") / "keys.json"
    main(["quote", "key", "--out", str(keys)])
    with serving(options=["--quote-keys", str(keys)]) as url:
        yield url


@pytest.fixture(autouse=True)
def logs() -> Iterator[Logs]:
    """What is logged during a test; without this a failure's traceback would be drawn with all its variables."""
    with capture_logs() as captured:
        yield captured
