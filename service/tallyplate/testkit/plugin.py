"""The pytest plugin: a failed check of the kit is shown by its message alone, for the author cannot mend our frames.

It does nothing for any other test.
"""

from collections.abc import Generator

import pytest

from tallyplate.testkit.nonconformity import Nonconforming


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(call: pytest.CallInfo[None]) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Put the message of a failed check in place of its traceback."""
    report = yield
    if call.excinfo is not None and call.excinfo.errisinstance(Nonconforming):
        report.longrepr = str(call.excinfo.value)
    return report
