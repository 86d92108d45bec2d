"""The compose file against the image and the service."""

import json
import re

from tallyplate.cli.main import _parser
from tallyplate.http.limits import read_limits
from tests.deploy.manifests import CARDS, DEPLOY, ROOT, dockerfile, pod, read

COMPOSE = read(DEPLOY / "compose.yaml")
SERVICE = COMPOSE["services"]["tallyplate"]
ARGUMENTS = _parser().parse_args(SERVICE["command"])


def test_it_is_the_same_image_and_user_with_the_same_health_check() -> None:
    assert (DEPLOY / SERVICE["build"]).resolve() == ROOT
    assert SERVICE["user"] == dockerfile("USER")
    _, _, check = dockerfile("HEALTHCHECK").partition("CMD ")
    assert SERVICE["healthcheck"]["test"] == ["CMD", *json.loads(check)]
    assert f"http://127.0.0.1:{ARGUMENTS.port}/" in check


def test_every_path_of_the_command_is_in_the_container() -> None:
    (source, target, mode) = re.fullmatch(r"\$\{TALLYPLATE_DATA:-(.*)\}:(.*):(.*)", SERVICE["volumes"][0]).groups()  # type: ignore[union-attr]
    assert (DEPLOY / source).resolve() == CARDS
    assert (target, mode) == (str(ARGUMENTS.data), "ro")
    secrets = {f"/run/secrets/{name}" for name in SERVICE["secrets"]}
    assert secrets == {str(ARGUMENTS.access), str(ARGUMENTS.quote_keys)}
    assert set(SERVICE["secrets"]) == set(COMPOSE["secrets"])
    assert [entry["target"] for entry in SERVICE["configs"]] == [str(ARGUMENTS.limits)]


def test_it_listens_on_this_machine_alone() -> None:
    assert SERVICE["ports"] == [f"127.0.0.1:{ARGUMENTS.port}:{ARGUMENTS.port}"]


def test_it_may_do_nothing_that_it_need_not() -> None:
    assert SERVICE["read_only"] is True
    assert SERVICE["cap_drop"] == ["ALL"]
    assert SERVICE["security_opt"] == ["no-new-privileges:true"]


def test_it_has_time_to_drain_and_to_finish() -> None:
    limits = read_limits(DEPLOY / COMPOSE["configs"]["limits"]["file"])
    assert int(SERVICE["stop_grace_period"].removesuffix("s")) >= limits.drain_seconds + limits.finish_seconds + 5
    assert SERVICE["stop_grace_period"] == f"{pod()['terminationGracePeriodSeconds']}s"
