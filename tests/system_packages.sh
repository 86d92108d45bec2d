#!/usr/bin/env bash
# Installs the Debian packages that the tests need beside Python, where they are missing: what draws letters on
# paper, for quotes as PDF, and the browser that the desk is tried in. Whoever may not install is told what to.
set -euo pipefail

missing=()
for library in libpango-1.0-0:libpango-1.0.so.0 libpangoft2-1.0-0:libpangoft2-1.0.so.0 \
  libharfbuzz-subset0:libharfbuzz-subset.so.0; do
  ldconfig -p | grep -q "${library#*:}" || missing+=("${library%%:*}")
done
command -v chromium > /dev/null || missing+=(chromium)
((${#missing[@]})) || exit 0

install="apt-get install --yes --no-install-recommends ${missing[*]}"
as_root=()
if ((UID)); then
  if ! sudo --non-interactive true 2> /dev/null; then
    echo "The tests need Debian packages that only root can install; run this, then try again: $install" >&2
    exit 1
  fi
  as_root=(sudo DEBIAN_FRONTEND=noninteractive)
fi
export DEBIAN_FRONTEND=noninteractive
"${as_root[@]}" apt-get update
"${as_root[@]}" $install
