#!/usr/bin/env bash
# Hold the program's plans and prices against an integer-programming solver.
#
#   make.sh [--charts FOLDER] [--sample N] [--prices N] [--binary PATH]
#
#   --charts FOLDER  these charts; without it the demo charts, and where COMPLINE_DATA
#                    is set also a sample of $COMPLINE_DATA/charts-billboard
#   --sample N       at most N charts of the folder, every k-th (of the data: 12)
#   --prices N       slots per chart whose prices are solved anew (3)
#   --binary PATH    the program ($COMPLINE, or target/release/compline, built if it is missing)
#
# Exit status: 0 all equal; 1 something differs (the line says what); 2 it could not be
# tried: a wrong argument, a tool missing, PyPI out of reach.
set -euo pipefail

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
root=$(cd "$here/../.." && pwd)
charts= sample= prices=3 binary=${COMPLINE:-}

. "$here/../tools.sh"

whole_number() {
    case "$2" in "" | *[!0-9]* | 0) give_up "$1 wants a whole number from 1, not '$2'" ;; esac
}

while [ $# -gt 0 ]; do
    [ $# -ge 2 ] || give_up "unknown argument '$1', or its value is missing"
    case "$1" in
        --charts) charts=$2 ;;
        --sample) whole_number "$1" "$2"; sample=$2 ;;
        --prices) whole_number "$1" "$2"; prices=$2 ;;
        --binary) binary=$2 ;;
        *) give_up "unknown argument '$1'" ;;
    esac
    shift 2
done

need_python

if [ -z "$binary" ]; then
    binary=$root/target/release/compline
    [ -x "$binary" ] || cargo build --release --manifest-path "$root/Cargo.toml" >&2 ||
        give_up "the program could not be built (see above)"
fi
[ -x "$binary" ] || give_up "no program at $binary"

temporary=$(mktemp -d)
trap 'rm -rf "$temporary"' EXIT
python=$(python_with "$here/requirements.txt" "$temporary" --no-deps) || exit

# With another home the program is asked without anybody's settings.
solve() {
    with_python "$here/solve.py" --binary "$binary" --prices "$prices" "$@"
}

if [ -n "$charts" ]; then
    [ -d "$charts" ] || give_up "no folder $charts"
    solve --charts "$charts" "${sample:-0}"
    exit
fi
data=${COMPLINE_DATA:+$COMPLINE_DATA/charts-billboard}
[ -z "$data" ] || [ -d "$data" ] || give_up "COMPLINE_DATA is set, but there is no $data"
solve --charts "$root/charts" 0 ${data:+--charts "$data" "${sample:-12}"}
