#!/usr/bin/env bash
# Try the readers on hostile input.
#
#   run.sh [SECONDS [TARGET...]]   so many seconds for each target, 60 unless said; every target unless named
#   run.sh --again FILE TARGET     one input once more
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
-Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table \
-Cllvm-args=-sanitizer-coverage-trace-compares" \
    cargo build --quiet --release --target "$host" || give_up "cargo could not build the targets"

# tried TARGET FLAG-OR-FILE...
tried() {
    nice -n 19 "$CARGO_TARGET_DIR/$host/release/$1" -timeout=5 -rss_limit_mb=1024 -artifact_prefix="failures/$1-" "${@:2}"
}

mkdir -p failures
if [ "${1:-}" = --again ]; then
    tried "${3:?the target}" "${2:?the file}"
    exit
fi

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
    tried "$target" "corpus/$target" "seeds/$target" -max_total_time="$seconds" -seed="${SEED:-0}" -max_len=20000 \
        -print_final_stats=1 "${words[@]}" 2>&1 | grep -v '^#.*\(REDUCE\|NEW\|pulse\)' | tail -n 40
    [ "${PIPESTATUS[0]}" = 0 ] || found=1
done
exit $found
