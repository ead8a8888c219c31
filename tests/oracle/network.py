"""A planned chart as the JSON states it: the choices of every slot and the steps between them.

Reads the JSON of `compline voice --to json --candidates` and nothing else; how
motion is measured is in motion.py, how the least is found in milp.py.
"""

from collections import Counter

from motion import off_centre, step


class Network:
    """Slots with their candidate rows, how often each is played, and how often each step is taken."""

    def __init__(self, chart):
        settings = chart["settings"]
        if settings["plan"] != "as-written":
            raise ValueError(f"plan {settings['plan']!r} has no model here, only as-written")
        self.low, self.high = settings["low"], settings["high"]
        self.rows, self.charges, self.chosen = {}, {}, {}
        for slot in chart["slots"]:
            if slot["voicing"] is not None:
                self._include(slot)
        # Silence keeps the hand where it was: its slots drop out of the walk.
        walk = [index for index in chart["played"] if index in self.rows]
        self.visits = Counter(walk)
        steps = list(zip(walk, walk[1:]))
        if settings["loop"] and walk:
            steps.append((walk[-1], walk[0]))
        # A slot that follows itself has one voicing: nothing moves.
        self.steps = Counter((min(s), max(s)) for s in steps if s[0] != s[1])

    def _include(self, slot):
        index, voicing = slot["index"], slot["voicing"]
        chosen = tuple(note["midi"] for note in voicing["notes"])
        given = voicing["given"]
        charged = sum(voicing["surcharges"].values())
        listed = [(tuple(one["notes"]), one["surcharge"]) for one in slot["candidates"]]
        listed = [(chosen, charged)] if given else listed
        rows = [row for row, _ in listed]
        if len(set(rows)) != len(rows):
            raise ValueError(f"slot {index} lists a candidate twice")
        if chosen not in rows:
            raise ValueError(f"slot {index} has a voicing that is not among its candidates")
        self.rows[index], self.chosen[index] = rows, rows.index(chosen)
        self.charges[index] = [charge for _, charge in listed]

    def charged(self, slot, candidate):
        """What a candidate is charged over the whole performance, besides motion."""
        return self.visits[slot] * self.charges[slot][candidate]

    def off_centre(self, slot, candidate):
        """What a candidate's distance from the middle adds to the whole performance."""
        row = self.rows[slot][candidate]
        return self.visits[slot] * off_centre(row, self.low, self.high)

    def plan(self, voicings):
        """The candidates' numbers of a voicing for every slot, or None if one is no candidate."""
        numbers = {}
        for slot, rows in self.rows.items():
            if tuple(voicings[slot]) not in rows:
                return None
            numbers[slot] = rows.index(tuple(voicings[slot]))
        return numbers

    def cost(self, choice):
        """(effort, largest steps, off centre) of a plan: a candidate's number for every slot."""
        motion = largest = 0
        for (a, b), times in self.steps.items():
            moved, farthest = step(self.rows[a][choice[a]], self.rows[b][choice[b]])
            motion += times * moved
            largest += times * farthest
        effort = motion + sum(self.charged(s, choice[s]) for s in self.rows)
        return effort, largest, sum(self.off_centre(s, choice[s]) for s in self.rows)
