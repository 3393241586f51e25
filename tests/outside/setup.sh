#!/bin/sh
# Makes target/outside-venv with the pinned packages; does nothing if it is there already.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "$here/../.." && pwd)
venv="$root/target/outside-venv"
stamp="$venv/requirements.sha256"
wanted=$(sha256sum "$here/requirements.txt" | cut -d' ' -f1)

if [ -f "$stamp" ] && [ "$(cat "$stamp")" = "$wanted" ]; then
    exit 0
fi

as_root() {
    if [ "$(id -u)" = 0 ]; then "$@"; else sudo "$@"; fi
}

rm -rf "$venv"
mkdir -p "$root/target"
if ! python3 -c 'import venv, ensurepip' 2>/dev/null; then
    as_root apt-get update -qq
    as_root apt-get install -y -qq python3 python3-venv >/dev/null
fi
python3 -m venv "$venv"
"$venv/bin/pip" install --quiet --disable-pip-version-check --no-input --no-deps -r "$here/requirements.txt"
said=$("$venv/bin/pip" check --disable-pip-version-check) || { echo "$said" >&2; exit 1; }
echo "$wanted" > "$stamp"
