"""Hold the program's plans and prices against an integer-programming solver.

    solve.py --binary PATH [--prices N] --charts FOLDER N...

`N` is the most charts of that folder to hold, 0 for all of them.

Every chart is planned by the program once through and with `--loop`; a line
for each says what both found. Exit status: 0 all equal, 1 something differs,
2 it could not be tried.
"""

import argparse
import json
import os
import subprocess
import sys
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from milp import Model, Unproved
from network import Network

NO_VOICING = 1  # the program's exit status where a chart has no legal voicing


class Refused(Exception):
    """The program has no plan for this chart, and says so."""


def main():
    options = arguments()
    tasks = [
        (options.binary, chart, flags, options.prices)
        for folder, sample in options.charts
        for chart in charts(Path(folder), int(sample))
        for flags in ([], ["--loop"])
    ]
    counts = {"passed": 0, "failed": 0, "refused": 0}
    print(f"{'chart':<36} {'slots':>5} {'steps':>6} {'prices':>6}  {'ours':<18} {'solver':<18}")
    with ProcessPoolExecutor(os.cpu_count(), initializer=hush) as pool:
        for outcome, line in pool.map(hold, tasks):
            counts[outcome] += 1
            print(line, flush=True)
    if counts["refused"]:
        print(f"{counts['refused']} not counted: the program found no legal voicing")
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
    binary, chart, flags, prices = task
    name = " ".join([chart.stem, *flags])
    try:
        planned = json.loads(run(binary, "voice", chart, *flags, "--candidates"))
        options = run(binary, "options", chart, *flags).splitlines()
        line, differences = compare(planned, [json.loads(line) for line in options], prices)
    except Refused:
        return "refused", f"{name:<36} no legal voicing"
    except (Unproved, ValueError, KeyError, OSError) as error:
        return "failed", f"{name:<36} FAILED: {type(error).__name__}: {error}"
    verdict = "equal" if not differences else "DIFFERENT: " + "; ".join(differences)
    return "failed" if differences else "passed", f"{name:<36} {line} {verdict}"


def run(binary, command, chart, *flags):
    """What the program writes as JSON."""
    done = subprocess.run(
        [binary, command, *flags, "--to", "json", "--", chart], capture_output=True, text=True
    )
    if done.returncode == NO_VOICING and not done.stdout:
        raise Refused
    if done.returncode:
        raise ValueError(f"{command}: exit status {done.returncode}: {done.stderr.strip()}")
    return done.stdout


def compare(planned, options, prices):
    """The line's figures, and everything in which the program and the solver differ."""
    network, totals = Network(planned), planned["totals"]
    ours = tuple(totals[field] for field in ("motion", "largest_steps", "off_centre"))
    model, differences = Model(network), []
    solved_prices = [(slot, price_of(model, slot)) for slot in to_price(network, prices)]
    solved = model.least()
    if network.cost(network.chosen) != ours:
        differences.append(f"its own voicings cost {network.cost(network.chosen)}")
    if ours != solved:
        differences.append("the totals are not the least")
    differences += claims(totals, solved[0])
    differences += option_rows(network, options)
    for slot, motions in solved_prices:
        differences += price_differences(options[slot], motions, solved[0])
    walked = sum(network.steps.values())
    tried = sum(len(motions) for _, motions in solved_prices)
    figures = f"{len(network.rows):>5} {walked:>6} {tried:>6}  {shown(ours):<18} {shown(solved):<18}"
    return figures, differences


def shown(cost):
    return "/".join(map(str, cost))


def claims(totals, least):
    """`optimal` and `lower_bound` may claim no more than is true."""
    bound, motion = totals["lower_bound"], totals["motion"]
    if bound > least:
        yield f"lower bound {bound} is above {least}"
    if totals["optimal"] and bound != motion:
        yield f"called optimal with the bound {bound}"


def to_price(network, count):
    """Up to `count` slots with a choice, evenly spread over the chart."""
    open_slots = [slot for slot, rows in network.rows.items() if len(rows) > 1]
    every = max(1, -(-len(open_slots) // count)) if count else 1
    return open_slots[::every] if count else []


def price_of(model, slot):
    """The least motion with each candidate of a slot."""
    rows = model.network.rows[slot]
    return {row: model.motion_with(slot, at) for at, row in enumerate(rows)}


def notes(option):
    return tuple(note["midi"] for note in option["voicing"]["notes"])


def option_rows(network, options):
    """Every slot's options are its candidates, and the planned one is the plan's."""
    for slot, rows in network.rows.items():
        listed = options[slot]["options"]
        if sorted(map(notes, listed)) != sorted(rows):
            yield f"slot {slot}: the options are not the candidates"
        if [notes(o) for o in listed if o["planned"]] != [rows[network.chosen[slot]]]:
            yield f"slot {slot}: another option is called planned"


def price_differences(slot, motions, least):
    for option in slot["options"]:
        solved = motions.get(notes(option))
        if (option["motion"], option["price"]) != (solved, solved - least):
            yield (
                f"slot {slot['index']}: {notes(option)} is priced {option['price']} of"
                f" {option['motion']}, solved {solved - least} of {solved}"
            )


if __name__ == "__main__":
    main()
