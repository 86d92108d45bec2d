"""The command line: it prices files and standard input, says why it refuses, and serves."""

import io
import json
import re
import socket
import subprocess
import sys
from datetime import date
from pathlib import Path
from typing import Any

import httpx
import pytest

from tallyplate.cli.main import main
from tallyplate.sets.answers import set_answer
from tallyplate.sets.priced import price_set
from tests.plates import EXAMPLES, ROOT, installation, request
from tests.rates.folder import write_data
from tests.serving import COMMAND, serving

PLATE = EXAMPLES / "plate.json"


def _file(folder: Path, content: Any) -> str:
    file = folder / "request.json"
    file.write_bytes(content if isinstance(content, bytes) else json.dumps(content).encode())
    return str(file)


def test_a_file_is_priced_as_a_table_that_can_be_read_aloud(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["price", str(PLATE)]) == 0
    told = capsys.readouterr()
    answer = installation().price(json.loads(PLATE.read_text()))
    assert told.err == ""
    for expected in (answer.total, answer.unit_price, answer.currency, "margin", "Aluminium 6061-T6", "assumed"):
        assert expected in told.out
    assert answer.lead_time.ready_on.isoformat() in told.out
    for line in answer.lines:
        assert line.amount in told.out


def test_what_was_assumed_is_said_as_a_person_writes_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plate = {name: value for name, value in request()["plate"].items() if name != "marking"}
    assert main(["price", _file(tmp_path, {"plate": plate, "as_of": "2026-03-02"})]) == 0
    told = capsys.readouterr().out
    for expected in (
        "bushings: yes (",
        "thread_inserts: no (",
        "edges: left and bottom (",
        "/quantity: 1 (",
    ):
        assert expected in told
    assert not re.search(r"True|False|\['", told)


@pytest.mark.parametrize("columns", [80, 132])
@pytest.mark.parametrize("name", ["plate", "set", "tight-promises"])
def test_nothing_is_wider_than_the_terminal_and_what_goes_on_is_set_in(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], name: str, columns: int
) -> None:
    def told(columns: int) -> list[str]:
        monkeypatch.setenv("COLUMNS", str(columns))
        assert main(["price", str(EXAMPLES / f"{name}.json")]) == 0
        return capsys.readouterr().out.splitlines()

    def said(lines: list[str]) -> str:
        first = next(place for place, line in enumerate(lines) if re.match("(error|caution|note): ", line))
        return "\n".join(lines[first:])

    lines, unbroken = told(columns), told(10_000)
    assert max(map(len, lines)) <= columns < max(map(len, unbroken))
    assert re.sub("\n {2,4}(?!mend: )", " ", said(lines)) == said(unbroken)


def test_without_a_terminal_lines_have_a_hundred_columns() -> None:
    done = subprocess.run([COMMAND, "price", str(PLATE)], capture_output=True, text=True, check=False, env={})
    assert 80 < max(map(len, done.stdout.splitlines())) <= 100, done.stderr


def test_json_is_the_librarys_answer(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["price", "--json", str(PLATE)]) == 0
    assert capsys.readouterr().out.strip().encode() == installation().price_json(PLATE.read_bytes())


def test_a_set_is_priced_as_a_table_of_its_plates_and_of_what_they_share(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = request({"/plate/length": "300 mm"})
    plates = [{"name": "[left] table", "plate": request()["plate"], "quantity": 2}, {"plate": other["plate"]}]
    asked = {"plates": plates, "as_of": "2026-03-02", "budget": "1.00 USD"}
    assert main(["price", _file(tmp_path, asked)]) == 0
    told = capsys.readouterr().out
    answer = set_answer(price_set(asked, installation()), installation().versions)
    assert "2 x [left] table" in told
    assert "caution: the total is" in told
    assert "assumed /plates/1/quantity: 1" in told
    lines = [line for plate in answer.plates for line in plate.lines] + answer.shared
    for expected in (answer.total, *(plate.amount for plate in answer.plates), *(line.amount for line in lines)):
        assert expected in told
    assert main(["price", "--json", _file(tmp_path, asked)]) == 0
    assert json.loads(capsys.readouterr().out)["total"] == answer.total


def test_a_dash_is_standard_input(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(PLATE.read_bytes())))
    assert main(["price", "-", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["quantity"] == 2


def test_findings_and_odd_texts_are_printed_as_they_are(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = _file(tmp_path, request({"/budget": "1.00 USD", "/plate/position_tolerance": "0.001 mm"}))
    assert main(["price", file]) == 0
    told = capsys.readouterr().out
    assert "caution: the total is" in told
    assert "[/budget]" in told
    assert "error: 0.001 mm asked" in told


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (request({"/quantity": 0, "/plate/material": 7}), ["/quantity: ", "/plate/material: "]),
        (request({"/plate/material": "unobtainium"}), ["/plate/material: 'unobtainium' is not on offer"]),
        (request({"/pins/rate_card": "0" * 64}), ["/pins/rate_card: "]),
        (b"", ["/: is not JSON"]),
        (b"\xff", ["/: is not"]),
        (b"[]", ["/: "]),
        (b'{"plate": 1, "plate": 2}', ["/: the key 'plate' stands twice"]),
    ],
    ids=repr,
)
def test_a_refusal_names_every_field_and_ends_with_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], content: Any, says: list[str]
) -> None:
    assert main(["price", _file(tmp_path, content)]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert len(told.err.strip().splitlines()) == len(says)
    for part in says:
        assert part in told.err


@pytest.mark.parametrize("file", ["absent.json", ".", "absent/request.json"])
def test_a_file_that_cannot_be_read_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], file: str
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["price", file]) == 1
    assert f"{file}: " in capsys.readouterr().err


def test_another_folder_of_data_makes_the_price(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write_data(tmp_path, card={"id": "our-card", "effective_from": date(2026, 2, 1)})
    assert main(["--data", str(tmp_path), "price", "--json", str(PLATE)]) == 0
    assert json.loads(capsys.readouterr().out)["rate_card"]["id"] == "our-card"


@pytest.mark.parametrize("command", [["price", str(PLATE)], ["serve", "--port", "0"]], ids=["price", "serve"])
def test_bad_data_are_told_and_nothing_is_priced_or_served(tmp_path: Path, command: list[str]) -> None:
    write_data(tmp_path, card={"packing": {"crate": 48, "wrap": "1 USD/kg"}})
    whole = [COMMAND, "--data", str(tmp_path), *command]
    done = subprocess.run(whole, capture_output=True, text=True, check=False, timeout=60)
    assert (done.returncode, done.stdout) == (1, "")
    for key in ("crate", "wrap"):
        assert re.search(rf"card\.toml(:\d+)?: packing\.{key}: ", done.stderr)
    assert "Traceback" not in done.stderr


def test_a_folder_that_is_not_there_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--data", str(tmp_path / "nowhere"), "price", str(PLATE)]) == 1
    assert "nowhere" in capsys.readouterr().err


@pytest.mark.parametrize("arguments", [[], ["price"], ["sell"], ["price", "a", "b"], ["serve", "--port", "many"]])
def test_a_wrong_call_ends_with_two_and_shows_how(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(arguments)
    assert ended.value.code == 2
    assert "usage: tallyplate" in capsys.readouterr().err


def test_the_installed_command_prices_with_no_more_than_its_own_environment() -> None:
    command = [COMMAND, "price", "--json", "-"]
    done = subprocess.run(command, input=PLATE.read_bytes(), capture_output=True, check=False, env={}, cwd="/")
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip() == installation().price_json(PLATE.read_bytes())


def test_serve_answers_with_the_data_it_was_given_and_logs_lines_of_json(tmp_path: Path) -> None:
    write_data(tmp_path, card={"id": "our-card"})
    log = tmp_path / "log"
    with serving("--data", str(tmp_path), log=log) as address:
        answer = httpx.post(f"{address}/v1/prices", json=request())
    assert answer.status_code == 200
    assert answer.json()["rate_card"]["id"] == "our-card"
    *_, line = map(json.loads, log.read_text().splitlines())
    assert (line["event"], line["route"], line["status"]) == ("answered", "/v1/prices", 200)
    assert line["request"] == answer.headers["x-request-id"]


def test_a_taken_port_ends_the_command() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        command = [COMMAND, "serve", "--port", str(taken.getsockname()[1])]
        done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=60, cwd=ROOT)
    assert done.returncode != 0
    assert "address already in use" in done.stderr
