"""Hold the program's plans and prices against an integer-programming solver.

    solve.py --binary PATH [--prices N] [--alternatives N] --charts FOLDER N...

`N` is the most charts of that folder to hold, 0 for all of them.

Every chart is held in several ways (variants.py); a line for each says what
both found. Exit status: 0 all equal, 1 something differs,
2 it could not be tried, or every chart was refused.
"""

import argparse
import json
import os
import subprocess
import sys
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from compare import compare
from milp import Model, Unproved
from network import Network
from variants import variants

# The program's exit statuses where a chart has no legal voicing or cannot be read.
REFUSALS = {1: "no legal voicing", 2: "not read"}


class Refused(Exception):
    """The program has no plan for this chart, and says so."""


def main():
    options = arguments()
    tasks = [
        ((chart.stem + way, text, flags), options)
        for folder, sample in options.charts
        for chart in charts(Path(folder), int(sample))
        for way, text, flags in variants(chart.read_text(encoding="utf-8"))
    ]
    counts = {"passed": 0, "failed": 0, "refused": 0}
    heads = "".join(f" {head:>6}" for head in ("slots", "steps", "prices", "ranks"))
    print(f"{'chart':<36}{heads}  {'ours':<16} {'solver':<16}")
    with ProcessPoolExecutor(os.cpu_count(), initializer=hush) as pool:
        for outcome, line in pool.map(hold, tasks):
            counts[outcome] += 1
            print(line, flush=True)
    if counts["refused"]:
        print(f"{counts['refused']} not counted: the program refused them")
    print(f"{counts['passed']} passed, {counts['failed']} failed")
    if not counts["passed"] + counts["failed"]:
        sys.exit(2)
    sys.exit(1 if counts["failed"] else 0)


def hush():
    """Only the first process prints: the solver greets on the standard output of the others."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)


def arguments():
    parser = argparse.ArgumentParser()
    parser.add_argument("--binary", required=True)
    parser.add_argument("--prices", type=int, default=3, help="slots per chart whose prices are solved")
    parser.add_argument("--alternatives", type=int, default=5, help="how many of the best plans")
    parser.add_argument("--charts", nargs=2, action="append", required=True, metavar=("FOLDER", "N"))
    return parser.parse_args()


def charts(folder, sample):
    """The charts of a folder in the order of their names, or every k-th of them."""
    found = sorted(folder.glob("*.chart"))
    if not found:
        print(f"solve.py: no *.chart in {folder}", file=sys.stderr)
        sys.exit(2)
    every = -(-len(found) // sample) if sample else 1
    return found[::every]


def hold(task):
    """What became of one chart, and the line that says so."""
    (name, chart, flags), options = task
    name = f"{name:<36}"
    try:
        more = ["--candidates", "--alternatives", str(options.alternatives)]
        planned = json.loads(run(options.binary, "voice", chart, flags + more))
        listed = run(options.binary, "options", chart, flags).splitlines()
        network = Network(planned)
        answers = [json.loads(line) for line in listed]
        found = compare(
            planned, answers, network, Model(network), options.prices, options.alternatives
        )
    except Refused as refusal:
        return "refused", f"{name} refused: {refusal}"
    except (Unproved, ValueError, LookupError, OSError) as error:
        return "failed", f"{name} FAILED: {type(error).__name__}: {error}"
    ours, solved, counts, differences = found
    figures = [len(network.rows), sum(network.steps.values()), *counts]
    line = name + "".join(f" {figure:>6}" for figure in figures)
    line += f"  {shown(ours):<16} {shown(solved):<16} "
    if differences:
        return "failed", line + "DIFFERENT: " + "; ".join(differences)
    return "passed", line + "equal"


def run(binary, command, chart, flags):
    """What the program writes as JSON."""
    command_line = [binary, command, *flags, "--to", "json", "-"]
    done = subprocess.run(command_line, input=chart, capture_output=True, text=True)
    # A chart that `voice` takes, `options` must take too.
    if command == "voice" and done.returncode in REFUSALS and not done.stdout:
        first = (done.stderr.splitlines() or [""])[0]
        raise Refused(f"{REFUSALS[done.returncode]}: {first}")
    if done.returncode:
        raise ValueError(f"{command}: exit status {done.returncode}: {done.stderr.strip()}")
    return done.stdout


def shown(cost):
    return "/".join(map(str, cost))


if __name__ == "__main__":
    main()
