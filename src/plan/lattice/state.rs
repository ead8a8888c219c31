//! What a lattice is made of: points, their states, and the passages between
//! them. Nothing is computed here beyond whether two states may meet.

use crate::plan::{Row, StepRule};

/// How many independent sets of labels a state has on either side.
pub const CHANNELS: usize = 2;

/// A set of labels, or all of them.
///
/// Two sets fit if they share a label. What a label stands for is the
/// caller's business.
///
/// ```
/// use compline::plan::Labels;
///
/// let (goes_on, either) = (Labels::of([7]), Labels::of([3, 7]));
/// assert!(goes_on.fits(&either));
/// assert!(!goes_on.fits(&Labels::of([3])));
/// assert!(goes_on.fits(&Labels::ANY));
/// assert!(!Labels::of([]).fits(&Labels::ANY));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Labels(Option<Vec<u32>>);

impl Labels {
    /// All labels: fits every set that is not empty.
    pub const ANY: Labels = Labels(None);

    /// The set of these labels. Without any it fits nothing.
    pub fn of(labels: impl IntoIterator<Item = u32>) -> Labels {
        let mut labels: Vec<u32> = labels.into_iter().collect();
        labels.sort_unstable();
        labels.dedup();
        Labels(Some(labels))
    }

    /// Whether the two sets share a label.
    pub fn fits(&self, other: &Labels) -> bool {
        match (&self.0, &other.0) {
            (None, None) => true,
            (Some(labels), None) | (None, Some(labels)) => !labels.is_empty(),
            (Some(a), Some(b)) => {
                let (few, many) = if a.len() <= b.len() { (a, b) } else { (b, a) };
                few.iter().any(|label| many.binary_search(label).is_ok())
            }
        }
    }

    /// The labels, rising; `None` for [`Labels::ANY`].
    pub fn listed(&self) -> Option<&[u32]> {
        self.0.as_deref()
    }
}

impl Default for Labels {
    /// [`Labels::ANY`].
    fn default() -> Labels {
        Labels::ANY
    }
}

/// The two sides of a state in one channel.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Joint {
    /// What the state before must offer one of.
    pub into: Labels,
    /// What is offered to the state after.
    pub out: Labels,
}

/// One thing that may be chosen at a point.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct State {
    /// What sounds.
    pub row: Row,
    /// Whether it begins here. A row that merely goes on has paid for its
    /// distance from the centre where it began, and costs nothing by itself.
    pub fresh: bool,
    /// What it adds to the total weight, say the changes that begin with it.
    pub weight: u32,
    /// What it fits before and behind, channel by channel.
    pub joints: [Joint; CHANNELS],
}

impl State {
    /// A state that begins here, weighs nothing and fits everything.
    pub fn new(row: Row) -> State {
        State {
            row,
            fresh: true,
            weight: 0,
            joints: Default::default(),
        }
    }

    /// The same with another weight.
    pub fn weighing(self, weight: u32) -> State {
        State { weight, ..self }
    }

    /// The same, but going on instead of beginning here.
    pub fn held(self) -> State {
        State {
            fresh: false,
            ..self
        }
    }

    /// The same with these labels in one channel.
    ///
    /// # Errors
    ///
    /// Channels from [`CHANNELS`] on do not exist; the state then stays as it is.
    pub fn joined(mut self, channel: usize, into: Labels, out: Labels) -> State {
        if let Some(joint) = self.joints.get_mut(channel) {
            *joint = Joint { into, out };
        }
        self
    }
}

/// A place where one state is chosen.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Point {
    /// What may be chosen, in order of preference among equals.
    pub states: Vec<State>,
    /// How often the performance comes here, and counts a fresh state's
    /// distance from the centre.
    pub visits: u64,
}

/// A way of the performance from one point to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Passage {
    /// The point it leaves, counted from 0.
    pub from: usize,
    /// The point it reaches.
    pub to: usize,
    /// How often it is taken. A passage taken 0 times costs nothing, but its
    /// rule and its labels hold all the same.
    pub times: u64,
    /// What the two rows must fulfil.
    pub rule: StepRule,
    /// In which channels `out` of the one state must fit `into` of the other.
    pub checks: [bool; CHANNELS],
}

impl Passage {
    /// A passage taken once, on which any two states may meet.
    pub fn loose(from: usize, to: usize) -> Passage {
        Passage {
            from,
            to,
            times: 1,
            rule: StepRule::FREE,
            checks: [false; CHANNELS],
        }
    }

    /// A passage taken once that checks all channels.
    pub fn strict(from: usize, to: usize) -> Passage {
        Passage {
            checks: [true; CHANNELS],
            ..Passage::loose(from, to)
        }
    }

    /// The same, taken so many times.
    pub fn taken(self, times: u64) -> Passage {
        Passage { times, ..self }
    }

    /// The same with this rule.
    pub fn ruled(self, rule: StepRule) -> Passage {
        Passage { rule, ..self }
    }

    /// Whether the labels let `before` be followed by `after` here.
    pub fn joins(&self, before: &State, after: &State) -> bool {
        let joints = before.joints.iter().zip(&after.joints);
        let mut checked = joints.zip(self.checks).filter(|(_, check)| *check);
        checked.all(|((before, after), _)| before.out.fits(&after.into))
    }
}
