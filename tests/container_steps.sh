#!/usr/bin/env bash
# Runs the Dockerfile's steps in their order under an empty directory, where no container engine is at
# hand, and then does what an engine does: starts the command and asks for its health.
# tests/test_dockerfile.py holds the two files together.
#
# usage: tests/container_steps.sh DIRECTORY
#
# PYTHON names the interpreter that stands in for the base image's (python3 by default).
set -euo pipefail

repository=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
mkdir -p "${1:?usage: $0 DIRECTORY}"
root=$(cd "$1" && pwd)
if [[ -n $(ls -A "$root") ]]; then
  echo "$root is not empty" >&2
  exit 2
fi

interpreter=$("${PYTHON:-python3}" -c 'import sys; print(sys.executable)')
python() { "$interpreter" "$@"; }

# COPY brings files from the build context, which holds no compiled code (see .dockerignore).
copy() {
  tar --create --directory "$repository" --exclude=__pycache__ -- "${@:1:$#-1}" |
    tar --extract --directory "${*: -1}"
}

# ENV
export VENV=$root/opt/venv TOOLS=$root/opt/tools DIST=$root/opt/dist
export PIP_DISABLE_PIP_VERSION_CHECK=1 PIP_ONLY_BINARY=:all: PIP_ROOT_USER_ACTION=ignore

# WORKDIR
mkdir "$root/src"
cd "$root/src"

copy requirements.lock requirements-build.lock ./
python -m venv "$VENV" && \
    "$VENV/bin/pip" install --quiet --no-cache-dir --require-hashes --no-deps -r requirements.lock && \
    python -m venv "$TOOLS" && \
    "$TOOLS/bin/pip" install --quiet --no-cache-dir --require-hashes --no-deps -r requirements-build.lock

copy pyproject.toml README.md LICENSE ./
copy service .
copy plugins .
"$TOOLS/bin/hatchling" build --target wheel --directory "$DIST" && \
    "$VENV/bin/pip" install --quiet --no-cache-dir --no-index --no-deps "$DIST"/*.whl && \
    "$VENV/bin/pip" check && \
    "$VENV/bin/pip" uninstall --yes setuptools pip

# The second stage takes the environment alone: nothing below may need the sources or the tools.
cd /
rm -rf "$root/src" "$TOOLS"

# Not a function: in the background that would be a shell, which would take the signal meant for the service.
in_image=(env -i PATH="$VENV/bin:/usr/bin:/bin" PYTHONDONTWRITEBYTECODE=1 PYTHONUNBUFFERED=1)

# A free port, since the one in the Dockerfile may be taken outside a container.
port=$(python -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])')
health=$(sed -nE 's/^ *CMD \["python", "-c", "(.*)"\]$/\1/p' "$repository/Dockerfile")
health=${health/:8080/:$port}
[[ $health == *":$port/health/ready"* ]] || { echo "no health check found in the Dockerfile" >&2; exit 1; }

"${in_image[@]}" tallyplate --help > /dev/null
# On loopback, since nobody else is to reach it.
command=$(sed -nE 's/^CMD \[(.*)\]$/\1/p' "$repository/Dockerfile" | tr -d '",')
[[ $command == *"--host 0.0.0.0 --port 8080"* ]] || { echo "no command found in the Dockerfile" >&2; exit 1; }
command=${command/--host 0.0.0.0 --port 8080/--host 127.0.0.1 --port $port}
# shellcheck disable=SC2086 # one word an argument
"${in_image[@]}" tallyplate $command &
service=$!
trap 'kill "$service" 2>/dev/null || true' EXIT

for _ in {1..20}; do
  sleep 0.5
  kill -0 "$service" 2>/dev/null || { echo "the service ended before it was ready" >&2; exit 1; }
  if "${in_image[@]}" python -c "$health" 2>/dev/null; then
    # An engine stops a container by this signal and kills what has not ended after ten seconds.
    kill -TERM "$service"
    for _ in {1..20}; do
      kill -0 "$service" 2>/dev/null || break
      sleep 0.5
    done
    kill -KILL "$service" 2>/dev/null && { echo "the service did not stop within ten seconds" >&2; exit 1; }
    code=0
    wait "$service" || code=$?
    trap - EXIT
    # 143 is an end by the signal itself.
    [[ $code == 0 || $code == 143 ]] || { echo "the service ended with $code" >&2; exit 1; }
    echo "the Dockerfile's steps give a service that starts, is ready and stops"
    exit 0
  fi
done
echo "the service was not ready within ten seconds" >&2
exit 1
