//! What every single candidate costs: the least cost of a whole plan that
//! takes it. These numbers are known as min-marginals.

use super::chain::Chain;
use super::cost::{IMPOSSIBLE, Key, unpack};
use super::passes::{Passes, Toward};
use super::{Cost, Unsolvable};

impl Chain<'_> {
    /// For every candidate of every slot, the cost of the best plan that
    /// takes it; `None` where the rules leave no such plan. The least number
    /// in each slot is the cost of [`Chain::solve`].
    ///
    /// V(t, i) of [`Chain::solve`] is the best continuation of candidate i.
    /// The same recurrence run from the front gives its best beginning, and a
    /// plan through i is a beginning and a continuation that share only i: the sum
    /// of both, with i's own distance from the centre counted once. A loop is
    /// cut open at every candidate of its smallest layer.
    ///
    /// ```
    /// use compline::plan::{Chain, Layer, Row};
    ///
    /// let layer = |rows: &[i16]| -> Layer {
    ///     rows.iter().filter_map(|&entry| Row::new(vec![entry])).collect()
    /// };
    /// let layers = [layer(&[0]), layer(&[2, -3]), layer(&[-5])];
    /// let prices = Chain::new(&layers, 0).prices()?;
    /// let motion = |slot: usize, index: usize| prices[slot][index].unwrap().motion;
    /// assert_eq!((motion(1, 0), motion(1, 1)), (9, 5));
    /// # Ok::<(), compline::plan::Unsolvable>(())
    /// ```
    ///
    /// # Errors
    ///
    /// Those of [`Chain::solve`].
    pub fn prices(&self) -> Result<Vec<Vec<Option<Cost>>>, Unsolvable> {
        let passes = self.passes()?;
        let totals = match passes.packed.len() {
            0 => return Ok(Vec::new()),
            _ if self.is_loop() => passes.loop_totals()?,
            _ => passes.open_totals()?,
        };
        let layers = 0..passes.packed.len();
        let costs = layers.map(|layer| {
            let totals = &totals[passes.packed.span(layer)];
            totals
                .iter()
                .map(|&key| (key < IMPOSSIBLE).then(|| unpack(key)))
                .collect()
        });
        Ok(costs.collect())
    }
}

impl Passes<'_> {
    fn open_totals(&self) -> Result<Vec<Key>, Unsolvable> {
        let last = self.packed.len() - 1;
        let mut onward = self.values();
        let mut back = self.values();
        // In the order of `solve`, so that both report the same gap.
        self.open(last, &mut back);
        self.carry(&mut back, last, last, Toward::First)?;
        self.open(0, &mut onward);
        self.carry(&mut onward, 0, last, Toward::Last)?;
        for (index, total) in onward.iter_mut().enumerate() {
            *total = self.join(index, *total, back[index]);
        }
        Ok(onward)
    }

    fn loop_totals(&self) -> Result<Vec<Key>, Unsolvable> {
        let smallest = self.smallest_layer();
        let mut totals = self.values();
        for candidate in 0..self.packed.span(smallest).len() {
            self.loop_totals_through(smallest, candidate, &mut totals);
        }
        if totals.iter().all(|&total| total >= IMPOSSIBLE) {
            // A gap on the way is the better news than no way back.
            self.open_totals()?;
            return Err(Unsolvable::NoRoundTrip);
        }
        Ok(totals)
    }

    /// Lowers the totals of all candidates on loops through the one held.
    fn loop_totals_through(&self, layer: usize, candidate: usize, totals: &mut [Key]) {
        let steps = self.packed.len() - 1;
        let (mut onward, mut back) = (self.values(), self.values());
        self.hold(layer, candidate, &mut onward);
        self.hold(layer, candidate, &mut back);
        let round = self.carry(&mut onward, layer, steps, Toward::Last).is_ok()
            && self.carry(&mut back, layer, steps, Toward::First).is_ok();
        if !round {
            return;
        }
        let span = self.packed.span(layer);
        let held = self.packed.off_centre(span.start + candidate);
        let mut best = IMPOSSIBLE;
        for index in (0..totals.len()).filter(|index| !span.contains(index)) {
            let total = (self.join(index, onward[index], back[index]) + held).min(IMPOSSIBLE);
            totals[index] = totals[index].min(total);
            best = best.min(total);
        }
        totals[span.start + candidate] = best;
    }

    /// A beginning and a continuation, both of which end at this candidate.
    fn join(&self, candidate: usize, onward: Key, back: Key) -> Key {
        if onward >= IMPOSSIBLE || back >= IMPOSSIBLE {
            return IMPOSSIBLE;
        }
        onward + back - self.packed.off_centre(candidate)
    }
}
