//! Where a chord stands in its tune.
//!
//! For now the local look that the voicing's colour needs: where a chord goes next, and whether a
//! minor chord is a tonic ([`place()`], [`places`]).

mod place;

pub use place::{Place, Resolution, place, places};
