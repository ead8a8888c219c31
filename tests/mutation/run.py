#!/usr/bin/env python3
"""Asks the tests about small faults that are planted into the library.

    run.py --seed N [--count N] [--folder FOLDER] [--parts chord,hand] [--only 3,17]

A copy of the source gets `count` faults, chosen by the seed, each behind a switch that is set when the
tests run; one build serves for all. What the compiler doesn't take is left out. Every test is run once to
see which faults it reaches. Then, for every fault, the tests that reach it run with it switched on,
those of what is on record first, then the nearest and quickest, until one fails. A fault that makes a test compute past its limit is caught.

FOLDER keeps the copy, the build and `results.tsv`; run again with the same folder, what is there is kept.
"""

import argparse
import json
import math
import os
import random
import re
import resource
import subprocess
import sys
import tempfile
from collections import defaultdict
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
# A fault that makes a test fill the memory fails it before the machine suffers: 6 GiB.
MEMORY = 6 << 30
LIGHTLY = "\n[profile.dev.package.compline]\nopt-level = 1\n"
PARTS = "chord,hand,voicing,optimise,harmony,check,arrange,reharm"


def arguments():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seed", type=int, required=True)
    parser.add_argument("--count", type=int, default=400)
    parser.add_argument("--folder", type=Path, default=Path(tempfile.gettempdir(), "compline-mutation"))
    parser.add_argument("--parts", default=PARTS)
    parser.add_argument("--only", default="")
    return parser.parse_args()


def environment(folder, **more):
    """The environment of the repository's own settings, with a build folder apart."""
    env = dict(os.environ, INSTA_UPDATE="no")
    env.setdefault("CARGO_TARGET_DIR", str(folder / "target"))
    env.setdefault("CARGO_PROFILE_DEV_DEBUG", "0")
    env.pop("COMPLINE_DATA", None)
    config = (ROOT / ".cargo/config.toml").read_text()
    env.update(re.findall(r'^(\w+) = "(.*)"$', config, re.M))
    env.update({key: str(value) for key, value in more.items()})
    return env


def copy_source(copy):
    listed = subprocess.run(["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"], cwd=ROOT, capture_output=True, check=True).stdout
    for name in filter(None, listed.decode().split("\0")):
        if (ROOT / name).is_file():
            to = copy / name
            to.parent.mkdir(parents=True, exist_ok=True)
            text = (ROOT / name).read_bytes()
            if not to.exists() or to.read_bytes() != text:
                to.write_bytes(text)
    # A fault may break a lint, which is not what is asked about. The tests run many times: only what they test
    # is worth optimising, and lightly.
    manifest = copy / "Cargo.toml"
    text = re.sub(r"\[lints\.\w+\]\n(.+\n)*", "", manifest.read_text())
    if LIGHTLY not in text:
        manifest.write_text(text + LIGHTLY)
    # A constant with a fault in it must be reachable from wherever the constant is used.
    for path in (copy / "src").rglob("*.rs"):
        text = path.read_text()
        opened = re.sub(r"^mod (\w+);", r"pub mod \1;", text, flags=re.M)
        if opened != text:
            path.write_text(opened)


def plant(options, copy, without):
    planter = ["cargo", "run", "--quiet", "--release", "--manifest-path", HERE / "Cargo.toml", "--"]
    planter += [copy, copy, str(options.seed), str(options.count), ",".join(map(str, sorted(without))) or "-"]
    env = dict(os.environ, CARGO_TARGET_DIR=str(options.folder / "planter"))
    told = subprocess.run(planter + options.parts.split(","), env=env, stdout=subprocess.PIPE, text=True, check=True)
    return {int(line.split("\t")[0]): line.split("\t") for line in told.stdout.splitlines()}


def blamed(text, start, end):
    """The fault that encloses a span most closely; else those within it."""
    depth, within = [], set()
    for mark in re.finditer(rb"/\*<(\d+)\*/|/\*(\d+)>\*/", text):
        if mark.start() > start and depth:
            break
        if mark.start() > end:
            break
        if mark[1] and mark.start() > start:
            within.add(int(mark[1]))
        elif mark[1]:
            depth.append(int(mark[1]))
        elif depth:
            depth.pop()
    return set(depth[-1:]) or within


def refused(copy, env):
    """The faults that the compiler doesn't take; None where it takes all."""
    told = subprocess.run(["cargo", "check", "--lib", "--message-format=json"], cwd=copy, env=env,
                          capture_output=True, text=True)
    if told.returncode == 0:
        return None
    bad, lost = set(), []
    for line in told.stdout.splitlines():
        message = json.loads(line).get("message")
        if not message or message.get("level") != "error" or not message["spans"]:
            continue
        spans = sorted(message["spans"], key=lambda span: not span["is_primary"])
        for span in spans:
            text = (copy / span["file_name"]).read_bytes()
            found = blamed(text, span["byte_start"], span["byte_end"])
            if found:
                bad |= found
                break
        else:
            lost.append(message["rendered"])
    if not bad:
        sys.exit("an error of the compiler belongs to no fault:\n" + "\n".join(lost)[:4000] + told.stderr[-2000:])
    return bad


def prepare(options, copy):
    """Copies the source and plants what the compiler takes."""
    kept = options.folder / "faults.json"
    if kept.exists():
        return {int(key): value for key, value in json.loads(kept.read_text()).items()}
    without = set()
    while True:
        copy_source(copy)
        faults = plant(options, copy, without)
        bad = refused(copy, environment(options.folder))
        if bad is None:
            kept.write_text(json.dumps(faults))
            return faults
        without |= bad
        print(f"{len(without)} are left out", file=sys.stderr)


def build(copy, env):
    told = subprocess.run(["cargo", "test", "--no-run", "--lib", "--test", "suite", "--message-format=json"],
                          cwd=copy, env=env, stdout=subprocess.PIPE, text=True, check=True)
    built = {}
    for line in told.stdout.splitlines():
        message = json.loads(line)
        if message.get("executable") and message["profile"]["test"]:
            built[message["target"]["kind"][0]] = message["executable"]
    return {"lib": built["lib"], "suite": built["test"]}


def spent():
    """The seconds of computing that all finished tests took so far; other work on the machine counts nothing."""
    usage = resource.getrusage(resource.RUSAGE_CHILDREN)
    return usage.ru_utime + usage.ru_stime


def run(executable, names, copy, env, limit):
    """Whether the tests pass; a test that computes longer than the limit, or waits for ever, doesn't."""
    def bound():
        resource.setrlimit(resource.RLIMIT_CPU, (limit, limit + 1))
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))

    process = subprocess.Popen([executable, "--exact", "--test-threads", "1", *names], cwd=copy, env=env,
                               stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
                               start_new_session=True, preexec_fn=bound)
    try:
        out, _ = process.communicate(timeout=300 + 20 * limit)
        failed = re.search(rb"^test (\S+) .*FAILED$", out, re.M)
        late = " (time)" if process.returncode in (-9, -24) else ""
        return process.returncode == 0, (failed[1].decode() if failed else names[0]) + late
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, 9)
        process.communicate()
        return False, names[0] + " (time)"


def reached(options, copy, built):
    """For every test its time and the faults it reaches."""
    kept = options.folder / "reached.json"
    known = json.loads(kept.read_text()) if kept.exists() else {}
    notes = options.folder / "notes"
    for binary, executable in built.items():
        listed = subprocess.run([executable, "--list", "--format=terse"], cwd=copy, capture_output=True, text=True)
        for name in re.findall(r"^(\S+): test$", listed.stdout, re.M):
            if f"{binary} {name}" in known:
                continue
            notes.unlink(missing_ok=True)
            began = spent()
            passes, _ = run(executable, [name], copy, environment(options.folder, COMPLINE_REACHED=notes), 300)
            took = spent() - began
            ids = sorted(set(map(int, notes.read_text().split()))) if notes.exists() else []
            known[f"{binary} {name}"] = {"passes": passes, "seconds": took, "faults": ids}
        kept.write_text(json.dumps(known))
    return known


def chunks(tests):
    """The tests in groups of one binary each, small ones first: most faults are caught by the first few tests."""
    group, took, seconds = [], 0.0, 0.2
    for binary, name, time_of in tests:
        if group and (binary != group[0][0] or took + time_of > seconds):
            yield group
            group, took, seconds = [], 0.0, min(2 * seconds, 2.0)
        group.append((binary, name, time_of))
        took += time_of
    if group:
        yield group


def ask(fault, number, tests, options, copy, built):
    """What becomes of a fault: which test catches it, or that none does."""
    part = fault[1].split("/")[0].removesuffix(".rs")
    # What is on record reaches most of the library and takes little time.
    place = lambda test: (not test[1].startswith("recorded::"), test[0] != "lib", not test[1].startswith(part), test[2])
    order = sorted(tests, key=place)
    env = environment(options.folder, COMPLINE_FAULT=number)
    for group in chunks(order):
        limit = 10 + round(10 * sum(test[2] for test in group))
        passes, name = run(built[group[0][0]], [test[1] for test in group], copy, env, limit)
        if not passes:
            return "caught", f"{group[0][0]} {name}"
    return ("survived" if tests else "unreached"), ""


def wilson(caught, asked):
    """The interval in which the share lies with 95 % confidence (Wilson 1927)."""
    share, z = caught / asked, 1.96
    middle = (share + z * z / (2 * asked)) / (1 + z * z / asked)
    half = z * math.sqrt(share * (1 - share) / asked + z * z / (4 * asked * asked)) / (1 + z * z / asked)
    return middle - half, middle + half


def main():
    options = arguments()
    copy = options.folder / "copy"
    copy.mkdir(parents=True, exist_ok=True)
    faults = prepare(options, copy)
    print(f"{len(faults)} faults", file=sys.stderr)
    built = build(copy, environment(options.folder))
    known = reached(options, copy, built)
    broken = [name for name, one in known.items() if not one["passes"]]
    print(f"{len(known)} tests, {len(broken)} fail without a fault: {broken}", file=sys.stderr)
    of_fault = defaultdict(list)
    for name, one in known.items():
        for fault in one["faults"] if one["passes"] else []:
            of_fault[fault].append((*name.split(" "), one["seconds"]))
    results = options.folder / "results.tsv"
    done = {}
    if results.exists():
        done = {int(line.split("\t")[0]): line.split("\t")[1] for line in results.read_text().splitlines()}
    asked = [int(one) for one in options.only.split(",") if one] or sorted(faults)
    random.Random(options.seed).shuffle(asked)
    for number in asked:
        if number in done and not options.only:
            continue
        state, by = ask(faults[number], number, of_fault[number], options, copy, built)
        done[number] = state
        with results.open("a") as file:
            file.write("\t".join([str(number), state, by, *faults[number][1:]]) + "\n")
    caught = sum(state == "caught" for state in done.values())
    low, high = wilson(caught, len(done))
    print(f"{caught} of {len(done)} caught: {caught / len(done):.1%}, between {low:.1%} and {high:.1%}")
    tally = defaultdict(lambda: [0, 0])
    for number, state in done.items():
        tally[faults[number][1].split("/")[0]][state == "caught"] += 1
    for part, (missed, got) in sorted(tally.items()):
        print(f"  {part:10} {got} of {got + missed}")


main()
