#!/usr/bin/env bash
# Try the readers on hostile input.
#
#   run.sh [SECONDS [TARGET...]]   so many seconds for each target, 60 unless said; every target unless named
#   run.sh --again FILE TARGET     one input once more
#
# RUNS=N ends a target after so many executions, SEED=N makes the same choices again, TIMEOUT=N lets an input take so
# many seconds instead of five. The last line of a target says how many executions there were, and after how many new
# code was reached for the last time.
#
# Exit status: 0 nothing was found; 1 something was (kept in failures); 2 it could not be built.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")"

give_up() {
    printf 'run.sh: %s\n' "$*" >&2
    exit 2
}

# What libFuzzer has to see of a program, on the stable toolchain. With --target build scripts are left as they are.
host=$(rustc -vV | sed -n 's/^host: //p')
export CARGO_TARGET_DIR=${FUZZ_TARGET_DIR:-$PWD/target}
RUSTFLAGS="--cfg fuzzing -Ccodegen-units=1 -Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 \
-Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table" \
    cargo build --quiet --release --target "$host" || give_up "cargo could not build the targets"

# tried TARGET FLAG-OR-FILE...
tried() {
    nice -n 19 "$CARGO_TARGET_DIR/$host/release/$1" -timeout="${TIMEOUT:-5}" -rss_limit_mb=1024 -artifact_prefix="failures/$1-" "${@:2}"
}

mkdir -p failures
if [ "${1:-}" = --again ]; then
    tried "${3:?the target}" "${2:?the file}"
    exit
fi

# How long inputs are: twice as long as the longest seed, which is enough for two of everything, and quick; from 256 to
# 20,000 bytes.
# longest TARGET
longest() {
    find "seeds/$1" -type f -printf '%s\n' | sort -n | tail -n 1 | awk '{ n = 2 * $1; print (n < 256) ? 256 : (n > 20000) ? 20000 : n }'
}

# What the engine says but for its progress, and a line about the whole.
# summed_up TARGET
summed_up() {
    awk -v target="$1" '
        /^#[0-9]/ {
            for (i = 2; i < NF; i++) if ($i == "cov:" && $(i + 1) > reached) { reached = $(i + 1); at = substr($1, 2) }
            next
        }
        /^stat::number_of_executed_units:/ { ran = $2 }
        /^(stat::|###|")/ { next }
        { print; fflush() }
        END {
            last = (at <= 0.9 * ran) ? "no new coverage in the last tenth" : "new coverage in the last tenth"
            printf "%s: %d executions, coverage %d, the last of it new at %d: %s\n", target, ran, reached, at, last
        }'
}

seconds=${1:-60}
targets=("${@:2}")
if [ ${#targets[@]} = 0 ]; then
    for file in src/bin/*.rs; do targets+=("$(basename "$file" .rs)"); done
fi

found=0
for target in "${targets[@]}"; do
    mkdir -p "corpus/$target"
    words=()
    [ -f "words/$target.dict" ] && words=("-dict=words/$target.dict")
    printf '== %s\n' "$target"
    tried "$target" "corpus/$target" "seeds/$target" -max_total_time="$seconds" -runs="${RUNS:--1}" \
        -seed="${SEED:-0}" -max_len="$(longest "$target")" -print_final_stats=1 "${words[@]}" 2>&1 | summed_up "$target"
    [ "${PIPESTATUS[0]}" = 0 ] || found=1
done
exit $found
