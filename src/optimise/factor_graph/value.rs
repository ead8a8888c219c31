//! What a variable may be: a row, and what it costs to take it.

use super::row::Row;

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
    /// The number of the boundary on its near side: a [bounded](super::edge::Edge::bounded) edge that arrives here
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
