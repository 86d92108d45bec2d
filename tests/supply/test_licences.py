from email.message import Message
from importlib.metadata import PackageNotFoundError

import pytest

from tests.supply import licences
from tests.supply.locks import names


def test_all_that_an_installation_brings_along_is_allowed(capsys: pytest.CaptureFixture[str]) -> None:
    assert licences.main() == 0
    listed = {line.split()[0] for line in capsys.readouterr().out.splitlines()}
    # What is locked for other systems only is not installed here.
    assert names("requirements.lock") - listed <= {"brotlicffi", "colorama"}


@pytest.mark.parametrize(
    ("licence", "verdict"),
    [
        ("MIT", True),
        ("GPL-3.0-only OR MIT", True),
        ("GPL-3.0-only AND MIT", False),
        ("MIT License AND Apache Software License", True),
        ("", False),
    ],
)
def test_of_several_licences_each_or_one_must_be_on_the_list(licence: str, verdict: bool) -> None:
    assert licences.allowed(licence) is verdict


def test_of_several_classifiers_all_count() -> None:
    metadata = Message()
    metadata["Classifier"] = "License :: OSI Approved :: MIT License"
    metadata["Classifier"] = "License :: Other/Proprietary License"
    metadata["Classifier"] = "Topic :: Utilities"
    stated = licences.stated("x", metadata)  # type: ignore[arg-type] # what it wraps
    assert stated == "MIT License AND Other/Proprietary License"
    assert not licences.allowed(stated)


def test_a_package_that_is_not_installed_is_not_passed_over() -> None:
    with pytest.raises(PackageNotFoundError):
        licences.brought_along("no-such-package-of-ours", ())
