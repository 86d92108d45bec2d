"""The file of limits: what it may say, and what is said of mistakes in it."""

from pathlib import Path

import pytest

from tallyplate.cli import serving
from tallyplate.cli.main import main
from tallyplate.contract import Refusal
from tallyplate.http.limits import Limits, read_limits


def _read(tmp_path: Path, text: str) -> Limits:
    file = tmp_path / "limits.toml"
    file.write_text(text)
    return read_limits(file)


def test_what_a_file_does_not_say_is_as_usual(tmp_path: Path) -> None:
    assert _read(tmp_path, "") == Limits()
    read = _read(tmp_path, 'body_seconds = 3\ntrusted_proxies = ["10.0.0.0/8"]\n')
    assert read == Limits(body_seconds=3.0, trusted_proxies=("10.0.0.0/8",))


@pytest.mark.parametrize(
    ("text", "pointer", "message"),
    [
        ("body_bytes = 255", "/body_bytes", "255 is too small; accepted: at least 256"),
        ("body_bytes = 16_777_217", "/body_bytes", "16777217 is too large; accepted: at most 16777216"),
        ('body_seconds = "10 s"', "/body_seconds", "'10 s' is text; accepted: a number"),
        ("body_seconds = nan", "/body_seconds", "nan is no number"),
        ("body_seconds = inf", "/body_seconds", "inf"),
        ("connections = 0", "/connections", "0 is too small; accepted: at least 1"),
        ("connections = true", "/connections", "true is not accepted; accepted: a whole number"),
        ("conections = 5", "/conections", "accepted here: address_burst"),
        ('trusted_proxies = ["10.0.0.0/8", "everybody"]', "/trusted_proxies/1", "'everybody'"),
        ("body_bytes = ", "", "is not TOML"),
        ("[body]", "/body", "unknown field"),
    ],
)
def test_a_mistake_is_named_with_its_key_its_value_and_what_is_accepted(
    tmp_path: Path, text: str, pointer: str, message: str
) -> None:
    with pytest.raises(Refusal) as refused:
        _read(tmp_path, text)
    (fault,) = refused.value.faults
    assert fault.pointer == pointer
    assert message in fault.message


def test_a_service_with_a_mistaken_file_does_not_start(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(serving, "log_as_json", lambda **_: None)
    file = tmp_path / "limits.toml"
    file.write_text("drain_seconds = -1\n")
    assert main(["serve", "--limits", str(file)]) == 1
    told = capsys.readouterr().err
    assert str(file) in told
    assert "/drain_seconds" in told


def test_every_limit_says_what_it_bounds() -> None:
    text = Path(__file__).parents[2].joinpath("service/tallyplate/http/limits.py").read_text()
    for name in Limits.__struct_fields__:
        after = text.partition(f"\n    {name}:")[2].split("\n", 2)[1]
        assert after.strip().startswith('"""'), name
