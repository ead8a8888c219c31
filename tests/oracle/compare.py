"""Everything in which the program's answer and the solver's may differ.

Each check yields a sentence for every difference, and nothing where there is none.
"""

from itertools import count

FIELDS = ("effort", "largest_steps", "off_centre")


def compare(planned, options, network, model, prices, alternatives):
    """(the program's cost, the solver's, how much else was solved, the differences)."""
    totals = planned["totals"]
    ours = tuple(totals[field] for field in FIELDS)
    priced = [(slot, motions(model, slot)) for slot in to_price(network, prices)]
    ranked = model.best(alternatives)
    solved = ranked[0]
    differences = [*claims(totals, solved[0]), *option_rows(network, options)]
    if network.cost(network.chosen) != ours:
        differences.append(f"its own voicings cost {network.cost(network.chosen)}")
    if ours != solved:
        differences.append("the totals are not the least")
    for slot, least in priced:
        differences += price_differences(options[slot], least, solved[0])
    differences += ranking(network, planned.get("alternatives", []), ranked if alternatives else [])
    counts = sum(len(least) for _, least in priced), len(ranked)
    return ours, solved, counts, differences


def claims(totals, least):
    """`optimal` and `lower_bound` may claim no more than is true."""
    bound, motion = totals["lower_bound"], totals["effort"]
    if bound > least:
        yield f"lower bound {bound} is above {least}"
    if totals["optimal"] and bound != motion:
        yield f"called optimal with the bound {bound}"


def to_price(network, most):
    """Up to `most` slots with a choice, evenly spread over the chart."""
    choices = [slot for slot, rows in network.rows.items() if len(rows) > 1]
    return choices[:: max(1, -(-len(choices) // most))]


def motions(model, slot):
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


def price_differences(slot, solved, least):
    """A price is the least motion with that voicing, less the least of all."""
    for option in slot["options"]:
        motion = solved.get(notes(option))
        if motion is None or (option["effort"], option["price"]) != (motion, motion - least):
            yield (
                f"slot {slot['index']}: {notes(option)} is priced {option['price']} of"
                f" {option['effort']}, solved {motion}, the least of all {least}"
            )


def ranking(network, alternatives, ranked):
    """The N best plans are different, cost what they claim, and no others cost less."""
    plans = [network.plan(alternative["voicings"]) for alternative in alternatives]
    if None in plans:
        yield "an alternative takes a voicing that is not a candidate"
        return
    if len(plans) != len(ranked):
        yield f"{len(plans)} alternatives, solved {len(ranked)}"
    if any(plan in plans[:at] for at, plan in enumerate(plans)):
        yield "two alternatives are the same"
    if plans and plans[0] != network.chosen:
        yield "the first alternative is not the plan"
    for rank, alternative, plan, solved in zip(count(1), alternatives, plans, ranked):
        claimed = tuple(alternative[field] for field in FIELDS)
        if claimed != network.cost(plan):
            yield f"alternative {rank} claims {claimed}, but costs {network.cost(plan)}"
        if claimed != solved:
            yield f"alternative {rank} costs {claimed}, solved {solved}"
