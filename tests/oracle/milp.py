"""The least plan of a network, by the mixed-integer solver HiGHS.

A 0/1 variable for every candidate of a slot, exactly one of them 1; for every
step a variable for every pair of candidates, whose sums over either end are
the variables of that end. Costs are compared in order, so there is one solve
for each field, the fields before it held at their least.
"""

import highspy
import numpy as np

from motion import step


class Unproved(Exception):
    """The solver did not prove its plan to be the least."""


class Model:
    """A network as a mixed-integer program."""

    def __init__(self, network):
        self.network = network
        self.costs, self.integer = ([], [], []), []
        self.rows = []  # (columns, values, right-hand side): equations
        self.choice = {slot: self._choices(slot) for slot in network.rows}
        for pair, times in network.steps.items():
            self._pairs(*pair, times)
        self.solver = self._load() if self.rows else None

    def _column(self, motion, largest, off_centre, integer):
        for costs, cost in zip(self.costs, (motion, largest, off_centre)):
            costs.append(cost)
        self.integer.append(integer)
        return len(self.integer) - 1

    def _choices(self, slot):
        candidates = range(len(self.network.rows[slot]))
        columns = [self._column(self.network.charged(slot, c), 0, self.network.off_centre(slot, c), True) for c in candidates]
        self.rows.append((columns, [1] * len(columns), 1))
        return columns

    def _pairs(self, a, b, times):
        pairs = []
        for x in self.network.rows[a]:
            steps = [step(x, y) for y in self.network.rows[b]]
            pairs.append([self._column(times * m, times * l, 0, False) for m, l in steps])
        ends = list(zip(self.choice[a], pairs)) + list(zip(self.choice[b], zip(*pairs)))
        for end, columns in ends:
            self.rows.append(([*columns, end], [1] * len(columns) + [-1], 0))

    def _load(self):
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.integer), len(self.rows)
        lp.col_cost_ = np.array(self.costs[0], dtype=float)
        lp.col_lower_, lp.col_upper_ = np.zeros(lp.num_col_), np.ones(lp.num_col_)
        lp.row_lower_ = lp.row_upper_ = np.array([row[2] for row in self.rows], dtype=float)
        kinds = highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger
        lp.integrality_ = [kinds[integer] for integer in self.integer]
        matrix = lp.a_matrix_
        matrix.format_ = highspy.MatrixFormat.kRowwise
        matrix.start_ = np.cumsum([0] + [len(row[0]) for row in self.rows], dtype=np.int32)
        matrix.index_ = np.concatenate([row[0] for row in self.rows]).astype(np.int32)
        matrix.value_ = np.concatenate([row[1] for row in self.rows]).astype(float)
        solver = highspy.Highs()
        solver.silent()
        solver.setOptionValue("threads", 1)
        solver.setOptionValue("mip_rel_gap", 0.0)
        # All costs are whole numbers: within less than 1 of the bound is the least.
        solver.setOptionValue("mip_abs_gap", 0.5)
        solver.passModel(lp)
        return solver

    def motion_with(self, slot, candidate):
        """The least motion of the plans that take this candidate."""
        column = self.choice[slot][candidate]
        self.solver.changeColBounds(column, 1.0, 1.0)
        plan = self._solve(0)
        self.solver.changeColBounds(column, 0.0, 1.0)
        return self.network.cost(plan)[0]

    def best(self, count):
        """The least (effort, largest steps, off centre), then those of the next best plans.

        The least is always among them. Fewer than `count` if there are no more plans.
        """
        if self.solver is None:  # all silent: one plan, and nothing moves
            return [(0, 0, 0)]
        found = []
        while not found or len(found) < count:
            plan = self._least()
            if plan is None:
                break
            found.append(self.network.cost(plan))
            columns = [self.choice[slot][candidate] for slot, candidate in plan.items()]
            self._limit(columns, [1] * len(columns), len(columns) - 1)
        return found

    def _least(self):
        """A plan that is least in the first field, then in the second, then in the third."""
        rows = self.solver.getNumRow()
        held = []
        for field in range(3):
            plan = self._solve(field)
            if plan is None and not held:
                return None
            cost = self.network.cost(plan) if plan else None
            if cost is None or list(cost[:field]) != held:
                raise Unproved(f"held {held}, but found {cost}")
            held.append(cost[field])
            columns = np.flatnonzero(self.costs[field])
            self._limit(columns, np.array(self.costs[field])[columns], cost[field])
        added = np.arange(rows, rows + 3, dtype=np.int32)
        self.solver.deleteRows(len(added), added)
        return plan

    def _limit(self, columns, values, most):
        """Allows only plans whose weighted sum is at most `most`."""
        columns, values = np.array(columns, dtype=np.int32), np.array(values, dtype=float)
        self.solver.addRow(-highspy.kHighsInf, float(most), len(columns), columns, values)

    def _solve(self, field):
        """A plan that is least in this field, or None if none is allowed."""
        columns = np.arange(len(self.integer), dtype=np.int32)
        costs = np.array(self.costs[field], dtype=float)
        self.solver.changeColsCost(len(columns), columns, costs)
        self.solver.run()
        status = self.solver.getModelStatus()
        if status == highspy.HighsModelStatus.kInfeasible:
            return None
        if status != highspy.HighsModelStatus.kOptimal:
            raise Unproved(f"the solver ended with {self.solver.modelStatusToString(status)}")
        return self._proved(field)

    def _proved(self, field):
        """The plan that the solver ended with, if its bound shows that none is less.

        The plan is read off and added up again in whole numbers, so no rounding
        is in its cost; a bound less than 1 below it then makes it the least.
        """
        values = self.solver.getSolution().col_value
        plan = {
            slot: max(range(len(columns)), key=lambda c: values[columns[c]])
            for slot, columns in self.choice.items()
        }
        cost, bound = self.network.cost(plan)[field], self.solver.getInfo().mip_dual_bound
        if not cost - 0.999 < bound < cost + 0.001:
            raise Unproved(f"found {cost}, but the bound is {bound}")
        return plan
