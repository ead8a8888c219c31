#!/usr/bin/env bash
# Hold what `compline check --to sarif` writes against the JSON Schema of SARIF 2.1.0.
#
#   make.sh [--check]   install the schema and a validator, both pinned, in a temporary folder; write
#                       logs of the faulty songbook (alone; with a record; with charts that can't be
#                       read; from standard input and from elsewhere) and of the demo charts; validate
#
# The program is $COMPLINE, else target/release/compline, else target/debug/compline.
# Exit status: 0 all valid; 1 some log is not; 2 it could not be tried: a tool missing, a registry out
# of reach.
set -euo pipefail

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
root=$(cd "$here/../.." && pwd)

. "$here/../tools.sh"

case "${1---check}" in
    --check) ;;
    *) give_up "unknown argument '$1' (only --check is known)" ;;
esac

command -v npm >/dev/null || give_up "npm is not installed"
need_python

program=${COMPLINE:-}
for build in release debug; do
    if [ -z "$program" ] && [ -x "$root/target/$build/compline" ]; then
        program=$root/target/$build/compline
    fi
done
[ -n "$program" ] || give_up "build the program first: cargo build"

temporary=$(mktemp -d)
trap 'rm -rf "$temporary"' EXIT

python=$(python_with "$here/requirements.txt" "$temporary" --no-deps) || exit

node_with "$here/package.json" "$temporary"
schema=$temporary/node/node_modules/@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json
[ -f "$schema" ] || give_up "the package no longer carries the schema"

# A log is written whatever the findings: only the log is judged here.
write() {
    log=$temporary/$1.sarif
    shift
    status=0
    "$program" check --to sarif "$@" >"$log" 2>"$temporary/told" || status=$?
    [ "$status" -le 2 ] || { cat "$temporary/told" >&2; give_up "the program broke off with status $status"; }
    logs+=("$log")
}

cd "$root"
logs=()
faulty=tests/suite/faulty
write faulty "$faulty"
"$program" check "$faulty" --record "$temporary/known.json" 2>/dev/null
write known "$faulty" --known "$temporary/known.json"
printf '| Zz |\n' >"$temporary/a b#ä%.chart"
write unreadable "$temporary/a b#ä%.chart" missing.chart "$temporary/no charts" "$faulty"
write stdin - <"$(printf '%s\n' "$faulty"/*.chart | head -1)"
"$program" voice "$faulty" --to json 2>/dev/null >"$temporary/voiced.json" || true
write json "$temporary/voiced.json"
write well charts
write everything charts "$faulty" --rule untidy=error --high C4

with_python "$here/validate.py" "$schema" "${logs[@]}"
