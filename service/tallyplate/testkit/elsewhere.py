"""The same questions put to a plugin in another process, whose sets of text have another order.

`python -m tallyplate.testkit.elsewhere` reads where plugins are found from its input, and writes what they answer.
"""

import importlib
import importlib.util
import json
import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from contextlib import ExitStack
from typing import Any, Final

from tallyplate.contract import CostModule, Family
from tallyplate.testkit.family_trial import FamilyTrial
from tallyplate.testkit.module_trial import ModuleTrial
from tallyplate.testkit.subject import Subject
from tallyplate.testkit.trial import Trial

SECONDS: Final = 300
"""After which another process is given up as hanging."""
ELSEWHERE: Final = {"TZ": "Pacific/Kiritimati", "LANG": "C", "LC_ALL": "C", "PYTHONUTF8": "1"}

Place = Mapping[str, Any]


def told(answer: object) -> str:
    """An answer as text that is equal only where the answer is."""
    return f"{type(answer).__name__}: {answer}" if isinstance(answer, Exception) else repr(answer)


def told_elsewhere(places: Sequence[Place], hash_seeds: Sequence[str]) -> list[list[list[str]]]:
    """For each hash seed, in a process of its own that runs beside the others: all answers of each plugin."""
    with ExitStack() as running:
        processes = [running.enter_context(_started(seed)) for seed in hash_seeds]
        asked = json.dumps(places)
        return [_answers(process, asked) for process in processes]


def _answers(process: "subprocess.Popen[str]", asked: str) -> list[list[str]]:
    answers, complaints = process.communicate(asked, timeout=SECONDS)
    if process.returncode:
        message = f"the other process failed: {complaints}"
        raise RuntimeError(message)
    made: list[list[str]] = json.loads(answers.splitlines()[-1])
    return made


def _started(hash_seed: str) -> "subprocess.Popen[str]":
    path = os.pathsep.join(entry for entry in sys.path if entry)
    return subprocess.Popen(  # noqa: S603 - this very module, in this very interpreter
        [sys.executable, "-m", __name__],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, **ELSEWHERE, "PYTHONPATH": path, "PYTHONHASHSEED": hash_seed},
    )


def trial_at(place: Place) -> Trial:
    """The trial of a plugin that a reference names."""
    given = vars(_module(place["module"], place["file"]))[place["attribute"]] if "module" in place else None
    examples = tuple(place["examples"])
    if place["kind"] == Family.__name__:
        return FamilyTrial(Subject(Family, place["name"], given, examples))
    return ModuleTrial(Subject(CostModule, place["name"], given, examples))


def _module(name: str, file: str) -> Any:  # noqa: ANN401 - any module
    """A module by its name, or by its file where a test runner imported it under a name of its own."""
    try:
        return importlib.import_module(name)
    except ModuleNotFoundError:
        spec = importlib.util.spec_from_file_location(name, file)
        if spec is None or spec.loader is None:
            raise
        module = sys.modules[name] = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        return module


def main() -> None:
    """Answer for every plugin named on the standard input."""
    trials = map(trial_at, json.load(sys.stdin))
    json.dump([[told(trial.answer(question)) for question in trial.questions] for trial in trials], sys.stdout)


if __name__ == "__main__":
    main()
