//! What is to be solved: variables, the values each may take, and the steps between them.
//!
//! Nothing is searched here. The rows of all values lie in one allocation, one after the other, so that
//! a long model stays in the processor's caches as long as it can.

use super::columns::{ByteColumns, LONGEST, Origin};
use super::cost::Cost;
use super::edge::Edge;
use super::extremes::{Extremes, span};
use super::motion::step;
use super::sides::{self, Side};
use super::totals::TermTotals;
use super::unsolvable::Unsolvable;
use super::value::Value;
use std::borrow::Cow;
use std::ops::Range;

/// Variables with values, and steps between them. The methods that solve it are in
/// [the module's](crate::optimise) table of contents.
#[derive(Clone, Debug, Default)]
pub struct Model {
    entries: Vec<i16>,
    /// Where each row ends among the entries.
    row_ends: Vec<u32>,
    /// What each row costs: in effort, and off the centre.
    own: Vec<(u32, u32)>,
    /// The weight and the boundary numbers of each row; empty while all of them are 0.
    marks: Vec<RowLabels>,
    /// The rows of each domain whose rows have one length, by column.
    sides: Vec<Side>,
    /// The same in bytes, where there are enough of them.
    columns: Vec<ByteColumns>,
    /// For rows of each length from where their columns are counted.
    origins: [Option<Origin>; LONGEST + 1],
    domains: Vec<Domain>,
    variables: Vec<Variable>,
    edges: Vec<Edge>,
    totals: TermTotals,
    /// Whether the totals don't hold: something was added before what it names.
    unsummed: bool,
    /// Whether an edge leads elsewhere than from each variable to the next.
    crooked: bool,
    /// Whether a domain has no values at all.
    has_empty: bool,
    /// All rows of all domains together.
    extremes: Extremes,
    /// Whether rows have different lengths.
    uneven: bool,
    too_large: bool,
}

/// Weight and boundary numbers of a row.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(in crate::optimise) struct RowLabels {
    pub weight: u32,
    pub into: u32,
    pub out: u32,
}

/// Values that variables may take.
#[derive(Clone, Debug)]
pub(in crate::optimise) struct Domain {
    /// Its rows among all rows of the model.
    pub rows: Range<u32>,
    /// Where its rows lie by column; nowhere if lengths differ or rows are long.
    sides: Range<u32>,
    /// Where they lie by column in bytes, if they do.
    columns: Option<u32>,
    /// The number of entries of its rows; 0 if it is not the same for all.
    pub length: u32,
    pub extremes: Extremes,
}

#[derive(Clone, Copy, Debug)]
pub(in crate::optimise) struct Variable {
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
        let mut extremes = Extremes::NONE;
        let mut shortest = usize::MAX;
        for value in values {
            extremes.include(&value);
            shortest = shortest.min(value.row.entries().len());
            self.push(&value);
        }
        let same = shortest as u64 == extremes.longest;
        let length = if same { shortest } else { 0 };
        let rows = first as u32..self.row_ends.len() as u32;
        let start = self.sides.len() as u32;
        let entries = Model::entries(&self.entries, &self.row_ends, &rows);
        if (1..=sides::LONGEST).contains(&length) {
            sides::lay_out(entries.chunks_exact(length), length, &mut self.sides);
        }
        let columns = self.lay_out(&rows, length);
        self.has_empty |= rows.is_empty();
        self.uneven |= length == 0
            || self
                .domains
                .last()
                .is_some_and(|last| last.length != length as u32);
        self.extremes.join(&extremes);
        self.domains.push(Domain {
            rows,
            sides: start..self.sides.len() as u32,
            columns,
            length: length as u32,
            extremes,
        });
        self.domains.len() - 1
    }

    /// Lays rows out in bytes, if they fit.
    fn lay_out(&mut self, rows: &Range<u32>, length: usize) -> Option<u32> {
        let origin = self.origins.get_mut(length)?;
        let entries = Model::entries(&self.entries, &self.row_ends, rows);
        let own = &self.own[rows.start as usize..rows.end as usize];
        let efforts = own.iter().map(|own| own.0);
        self.columns
            .push(ByteColumns::of(entries, efforts, length, origin)?);
        Some(self.columns.len() as u32 - 1)
    }

    fn push(&mut self, value: &Value) {
        let mark = RowLabels {
            weight: value.weight,
            into: value.into,
            out: value.out,
        };
        if self.marks.is_empty() && mark != RowLabels::default() {
            self.marks.resize(self.own.len(), RowLabels::default());
        }
        if mark != RowLabels::default() || !self.marks.is_empty() {
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
        match self.domains.get(domain) {
            Some(known) => self.totals.add_variable(visits, &known.extremes),
            None => self.unsummed = true,
        }
        self.variables.push(Variable { domain, visits });
        self.variables.len() - 1
    }

    /// Adds an edge. Several between the same two variables, in either direction, are added up, and all
    /// their rules and boundaries hold. An edge from a variable to itself costs nothing and forbids
    /// nothing.
    pub fn edge(&mut self, edge: Edge) {
        let known = edge.from.max(edge.to) < self.variables.len() && !self.unsummed;
        if known {
            let [from, to] = [edge.from, edge.to].map(|end| self.variables[end].domain);
            let [from, to] = [from, to].map(|domain| &self.domains[domain].extremes);
            self.totals.add_edge(&edge, from, to);
        }
        self.unsummed |= !known;
        self.crooked |= (edge.from, edge.to) != (self.edges.len(), self.edges.len() + 1);
        self.edges.push(edge);
    }

    /// The most that all terms can add up to. Every variable and every edge must be known.
    pub(in crate::optimise) fn totals(&self) -> Cow<'_, TermTotals> {
        if !self.unsummed {
            return Cow::Borrowed(&self.totals);
        }
        let mut totals = TermTotals::default();
        let extremes = |variable: usize| &self.domain_of(variable as u32).extremes;
        for (index, variable) in self.variables.iter().enumerate() {
            totals.add_variable(variable.visits, extremes(index));
        }
        for edge in &self.edges {
            totals.add_edge(edge, extremes(edge.from), extremes(edge.to));
        }
        Cow::Owned(totals)
    }

    /// The length of all rows of the model, if it is one and any two rows may meet on every edge; and how
    /// far their entries lie apart.
    pub(in crate::optimise) fn even(&self) -> Option<(usize, u64)> {
        let free = !self.unsummed && self.totals.free && !self.uneven;
        let length = self.domains.first()?.length as usize;
        free.then(|| (length, span(&self.extremes, &self.extremes)))
    }

    /// Whether one edge leads from each variable to the next, in this order, and nothing else.
    pub(in crate::optimise) fn is_straight(&self) -> bool {
        !self.crooked && self.edges.len() + 1 == self.variables.len()
    }

    /// The variables, in the order in which they were added.
    pub(in crate::optimise) fn variables(&self) -> &[Variable] {
        &self.variables
    }

    /// The edges, in the order in which they were added.
    pub fn edges(&self) -> &[Edge] {
        &self.edges
    }

    #[inline(always)]
    pub(in crate::optimise) fn domain_of(&self, variable: u32) -> &Domain {
        &self.domains[self.variables[variable as usize].domain]
    }

    /// The entries of a row, by its number among all rows of the model.
    #[inline(always)]
    pub(in crate::optimise) fn row(&self, row: u32) -> &[i16] {
        let start = row.checked_sub(1).map_or(0, |r| self.row_ends[r as usize]);
        &self.entries[start as usize..self.row_ends[row as usize] as usize]
    }

    /// The entries of neighbouring rows, row after row.
    #[inline(always)]
    pub(in crate::optimise) fn entries_of(&self, rows: &Range<u32>) -> &[i16] {
        Model::entries(&self.entries, &self.row_ends, rows)
    }

    #[inline(always)]
    fn entries<'e>(entries: &'e [i16], ends: &[u32], rows: &Range<u32>) -> &'e [i16] {
        let end = |row: u32| row.checked_sub(1).map_or(0, |r| ends[r as usize]);
        &entries[end(rows.start) as usize..end(rows.end) as usize]
    }

    /// The rows of a domain by column; none if lengths differ or rows are long.
    #[inline(always)]
    pub(in crate::optimise) fn sides_of(&self, domain: &Domain) -> &[Side] {
        &self.sides[domain.sides.start as usize..domain.sides.end as usize]
    }

    /// The rows of a domain by column in bytes, where they are laid out so.
    #[inline(always)]
    pub(in crate::optimise) fn columns_of(&self, domain: &Domain) -> Option<&ByteColumns> {
        Some(&self.columns[domain.columns? as usize])
    }

    /// What neighbouring rows cost by themselves.
    #[inline(always)]
    pub(in crate::optimise) fn own_of(&self, rows: &Range<u32>) -> &[(u32, u32)] {
        &self.own[rows.start as usize..rows.end as usize]
    }

    /// What a row costs by itself: in effort, and off the centre.
    #[inline(always)]
    pub(in crate::optimise) fn own(&self, row: u32) -> (u32, u32) {
        self.own[row as usize]
    }

    #[inline(always)]
    pub(in crate::optimise) fn mark(&self, row: u32) -> RowLabels {
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
    pub(in crate::optimise) fn check(&self) -> Result<(), Unsolvable> {
        if self.unsummed {
            self.check_names()?;
        }
        if let Some(variable) = self.empty() {
            return Err(Unsolvable::NoValues { variable });
        }
        let fits = !self.too_large && !self.totals().too_large;
        fits.then_some(()).ok_or(Unsolvable::TooLarge)
    }

    /// The first variable that has no values.
    fn empty(&self) -> Option<usize> {
        let variables = self.has_empty.then_some(&self.variables)?;
        let mut domains = variables
            .iter()
            .map(|variable| &self.domains[variable.domain]);
        domains.position(|domain| domain.rows.is_empty())
    }

    fn check_names(&self) -> Result<(), Unsolvable> {
        let mut domains = self.variables.iter().map(|variable| variable.domain);
        let mut ends = self.edges.iter().flat_map(|edge| [edge.from, edge.to]);
        let domain = domains.find(|&domain| domain >= self.domains.len());
        let unknown = domain.or_else(|| ends.find(|&end| end >= self.variables.len()));
        unknown.map_or(Ok(()), |number| Err(Unsolvable::Unknown { number }))
    }
}
