//! What is to be solved: variables, the values each may take, and the steps between them.
//!
//! Nothing is searched here. The rows of all values lie in one allocation, one after the other, so that
//! a long model stays in the processor's caches as long as it can.

use super::columns::Columns;
use super::plain::{self, Side};
use super::{Cost, Row, StepRule, Unsolvable, step};
use std::ops::Range;

/// One value that a variable may take: a row, and what it costs to take it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Value {
    /// The row.
    pub row: Row,
    /// What the value costs by itself, in the first component: whole units of motion, paid at every
    /// visit.
    pub effort: u32,
    /// What it costs in the third component, paid at every visit. See [`Row::off_centre`].
    pub off_centre: u32,
    /// What it adds to the total weight, once.
    pub weight: u32,
    /// The number of the boundary on its near side: a [bounded](Edge::bounded) edge that arrives here
    /// must have left a value whose `out` is the same.
    pub into: u32,
    /// The number of the boundary on its far side.
    pub out: u32,
}

impl Value {
    /// A value that costs nothing by itself and weighs nothing, with boundary number 0 on both sides.
    pub fn new(row: Row) -> Value {
        Value {
            row,
            effort: 0,
            off_centre: 0,
            weight: 0,
            into: 0,
            out: 0,
        }
    }
}

/// An edge of the model: a step from one variable to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Edge {
    /// The variable it leaves, counted from 0.
    pub from: usize,
    /// The variable it reaches.
    pub to: usize,
    /// How often it is taken. A step taken 0 times costs nothing, but its rule and its boundary hold all
    /// the same.
    pub count: u64,
    /// What the two rows must fulfil.
    pub rule: StepRule,
    /// Whether `out` of the value left must equal `into` of the value reached.
    pub bounded: bool,
}

impl Edge {
    /// A step taken once, on which any two values may meet.
    pub fn new(from: usize, to: usize) -> Edge {
        Edge {
            from,
            to,
            count: 1,
            rule: StepRule::FREE,
            bounded: false,
        }
    }
}

/// Variables with values, and steps between them. The methods that solve it are in
/// [the module's](super) table of contents.
#[derive(Clone, Debug, Default)]
pub struct Model {
    entries: Vec<i16>,
    /// Where each row ends among the entries.
    row_ends: Vec<u32>,
    /// What each row costs: in effort, and off the centre.
    own: Vec<(u32, u32)>,
    /// The weight and the boundary numbers of each row; empty while all of them are 0.
    marks: Vec<Mark>,
    /// The rows of each domain whose rows have one length, by column.
    sides: Vec<Side>,
    domains: Vec<Domain>,
    variables: Vec<Variable>,
    edges: Vec<Edge>,
    too_large: bool,
}

/// Weight and boundary numbers of a row.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Mark {
    pub weight: u32,
    pub into: u32,
    pub out: u32,
}

/// Values that variables may take.
#[derive(Clone, Debug)]
pub(super) struct Domain {
    /// Its rows among all rows of the model.
    pub rows: Range<u32>,
    /// The number of entries of its rows, if it is the same for all.
    pub length: Option<usize>,
    /// Where its rows lie by column; nowhere if lengths differ or rows are long.
    pub sides: Range<usize>,
    pub extremes: Extremes,
    /// The rows by column, where there are enough of them.
    pub columns: Option<Columns>,
}

/// The largest that the rows of a domain have.
#[derive(Clone, Copy, Debug)]
pub(super) struct Extremes {
    pub lowest: i16,
    pub highest: i16,
    pub longest: u64,
    pub effort: u64,
    pub off_centre: u64,
    pub weight: u64,
}

impl Extremes {
    fn include(&mut self, value: &Value) {
        let entries = value.row.entries();
        if let (Some(&low), Some(&high)) = (entries.first(), entries.last()) {
            (self.lowest, self.highest) = (self.lowest.min(low), self.highest.max(high));
        }
        self.longest = self.longest.max(entries.len() as u64);
        self.effort = self.effort.max(value.effort.into());
        self.off_centre = self.off_centre.max(value.off_centre.into());
        self.weight = self.weight.max(value.weight.into());
    }
}

#[derive(Clone, Copy, Debug)]
pub(super) struct Variable {
    pub domain: usize,
    pub visits: u64,
}

impl Model {
    /// A model without variables; its only plan is empty.
    pub fn new() -> Model {
        Model::default()
    }

    /// Adds a set of values and returns its number. Variables may share it. Among plans of equal cost
    /// the order of the values decides.
    pub fn domain(&mut self, values: impl IntoIterator<Item = Value>) -> usize {
        let first = self.row_ends.len();
        let mut extremes = Extremes {
            lowest: i16::MAX,
            highest: i16::MIN,
            longest: 0,
            effort: 0,
            off_centre: 0,
            weight: 0,
        };
        let mut shortest = usize::MAX;
        for value in values {
            extremes.include(&value);
            shortest = shortest.min(value.row.entries().len());
            self.push(&value);
        }
        let length = Some(shortest).filter(|&length| length as u64 == extremes.longest);
        let rows = first as u32..self.row_ends.len() as u32;
        let columns = length.and_then(|length| Columns::of(self.entries_of(&rows), length));
        let start = self.sides.len();
        if let Some(length) = length.filter(|&length| length <= plain::LONGEST) {
            let rows = Model::entries(&self.entries, &self.row_ends, &rows);
            plain::lay_out(rows.chunks_exact(length), length, &mut self.sides);
        }
        self.domains.push(Domain {
            sides: start..self.sides.len(),
            rows,
            length,
            extremes,
            columns,
        });
        self.domains.len() - 1
    }

    fn push(&mut self, value: &Value) {
        let mark = Mark {
            weight: value.weight,
            into: value.into,
            out: value.out,
        };
        if self.marks.is_empty() && mark != Mark::default() {
            self.marks.resize(self.own.len(), Mark::default());
        }
        if mark != Mark::default() || !self.marks.is_empty() {
            self.marks.push(mark);
        }
        self.entries.extend_from_slice(value.row.entries());
        // Rows are counted in 32 bits; 2^31 leaves room for every sum of two places.
        self.too_large |= self.entries.len() >= 1 << 31;
        self.row_ends.push(self.entries.len() as u32);
        self.own.push((value.effort, value.off_centre));
    }

    /// Adds a variable that takes one value of a domain and is visited so often; returns its number.
    pub fn variable(&mut self, domain: usize, visits: u64) -> usize {
        self.variables.push(Variable { domain, visits });
        self.variables.len() - 1
    }

    /// Adds an edge. Several between the same two variables, in either direction, are added up, and all
    /// their rules and boundaries hold. An edge from a variable to itself costs nothing and forbids
    /// nothing.
    pub fn edge(&mut self, edge: Edge) {
        self.edges.push(edge);
    }

    /// The same where every value costs a toll more for each unit of its weight, at every visit.
    ///
    /// With a toll greater than any effort, the least effort with a value tells how much weight that takes
    /// at the least, and what it costs besides.
    #[must_use]
    pub fn with_toll(mut self, toll: u32) -> Model {
        for (own, mark) in self.own.iter_mut().zip(&self.marks) {
            own.0 = own.0.saturating_add(toll.saturating_mul(mark.weight));
        }
        for domain in &mut self.domains {
            let rows = domain.rows.start as usize..domain.rows.end as usize;
            let efforts = self.own[rows].iter().map(|(effort, _)| u64::from(*effort));
            domain.extremes.effort = efforts.max().unwrap_or(0);
        }
        self
    }

    /// The variables, in the order in which they were added.
    pub(super) fn variables(&self) -> &[Variable] {
        &self.variables
    }

    /// The edges, in the order in which they were added.
    pub fn edges(&self) -> &[Edge] {
        &self.edges
    }

    #[inline(always)]
    pub(super) fn domain_of(&self, variable: u32) -> &Domain {
        &self.domains[self.variables[variable as usize].domain]
    }

    /// The entries of a row, by its number among all rows of the model.
    #[inline(always)]
    pub(super) fn row(&self, row: u32) -> &[i16] {
        let start = row.checked_sub(1).map_or(0, |r| self.row_ends[r as usize]);
        &self.entries[start as usize..self.row_ends[row as usize] as usize]
    }

    /// The entries of neighbouring rows, row after row.
    #[inline(always)]
    pub(super) fn entries_of(&self, rows: &Range<u32>) -> &[i16] {
        Model::entries(&self.entries, &self.row_ends, rows)
    }

    #[inline(always)]
    fn entries<'e>(entries: &'e [i16], ends: &[u32], rows: &Range<u32>) -> &'e [i16] {
        let end = |row: u32| row.checked_sub(1).map_or(0, |r| ends[r as usize]);
        &entries[end(rows.start) as usize..end(rows.end) as usize]
    }

    /// The rows of a domain by column; none if lengths differ or rows are long.
    #[inline(always)]
    pub(super) fn sides_of(&self, domain: &Domain) -> &[Side] {
        &self.sides[domain.sides.clone()]
    }

    /// What neighbouring rows cost by themselves.
    #[inline(always)]
    pub(super) fn own_of(&self, rows: &Range<u32>) -> &[(u32, u32)] {
        &self.own[rows.start as usize..rows.end as usize]
    }

    /// What a row costs by itself: in effort, and off the centre.
    #[inline(always)]
    pub(super) fn own(&self, row: u32) -> (u32, u32) {
        self.own[row as usize]
    }

    #[inline(always)]
    pub(super) fn mark(&self, row: u32) -> Mark {
        self.marks.get(row as usize).copied().unwrap_or_default()
    }

    /// What a choice costs over all visits and steps, one value for every variable by its place in the
    /// domain; `None` if it breaks a rule or a boundary.
    ///
    /// # Panics
    ///
    /// If the choice names a value that does not exist.
    pub fn cost(&self, choice: &[usize]) -> Option<Cost> {
        let row = |variable: usize| {
            let domain = &self.domains[self.variables[variable].domain];
            domain.rows.start + choice[variable] as u32
        };
        let mut cost = Cost::default();
        for (index, variable) in self.variables.iter().enumerate() {
            let (effort, off_centre) = self.own(row(index));
            cost.effort += variable.visits * u64::from(effort);
            cost.off_centre += variable.visits * u64::from(off_centre);
        }
        for taken in self.edges.iter().filter(|edge| edge.from != edge.to) {
            let (from, to) = (row(taken.from), row(taken.to));
            let (a, b) = (self.row(from), self.row(to));
            let moved = step(a, b);
            let meets = !taken.bounded || self.mark(from).out == self.mark(to).into;
            if !meets || !taken.rule.allows(a, b, moved) {
                return None;
            }
            cost.effort += taken.count * u64::from(moved.motion);
            cost.largest += taken.count * u64::from(moved.largest);
        }
        Some(cost)
    }

    /// What a choice weighs.
    pub fn weight(&self, choice: &[usize]) -> usize {
        let variables = self.variables.iter().zip(choice);
        let weights = variables.map(|(variable, &place)| {
            let row = self.domains[variable.domain].rows.start + place as u32;
            self.mark(row).weight as usize
        });
        weights.sum()
    }

    /// Whether every edge and variable names something that exists, and every domain has values.
    pub(super) fn check(&self) -> Result<(), Unsolvable> {
        let unknown = |number: usize| Err(Unsolvable::Unknown { number });
        for (index, variable) in self.variables.iter().enumerate() {
            match self.domains.get(variable.domain) {
                None => return unknown(variable.domain),
                Some(domain) if domain.rows.is_empty() => {
                    return Err(Unsolvable::NoValues { variable: index });
                }
                Some(_) => {}
            }
        }
        let mut ends = self.edges.iter().flat_map(|edge| [edge.from, edge.to]);
        if let Some(number) = ends.find(|&end| end >= self.variables.len()) {
            return unknown(number);
        }
        let counts = self.edges.iter().map(|edge| edge.count);
        let visits = self.variables.iter().map(|variable| variable.visits);
        let sum = counts.chain(visits).try_fold(0, u64::checked_add);
        let fits = sum.is_some() && !self.too_large;
        fits.then_some(()).ok_or(Unsolvable::TooLarge)
    }
}
