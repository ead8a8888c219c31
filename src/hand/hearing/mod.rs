//! How rough a handful of notes sounds: a second opinion on mud, from psychoacoustics.
//!
//! [`roughness`] and [`critical_band`] are of one model, Hutchinson and Knopoff's (1978).
//! Both are *beside* the low-interval limits and never in their place: at the limits of the arranging
//! books the model's roughness runs from 0.49 (a minor second on E3) to 0.10 (a fourth on Bb2), so no
//! single threshold reproduces the arrangers' table, and none is given here. It also assumes eleven
//! harmonics of fixed strength, which no piano has. Nothing here judges; [`crate::hand::Hand`] does.
//!
//! These are the only floating-point figures of the library. They never reach a plan: what leaves
//! this module is a [`Rounded`] whole number, so results are compared and printed exactly. (`exp` and
//! `powf` may differ in their last bit from one mathematics library to another, some twelve digits
//! below what is kept.)
//!
//! ```
//! use compline::hand::{key, roughness, spacing};
//!
//! let third = |low, high| [key(low).unwrap(), key(high).unwrap()];
//! let (c4, c3) = (third("C4", "E4"), third("C3", "E3"));
//! assert_eq!(roughness(&c4).total.to_string(), "0.070");
//! assert_eq!(roughness(&c3).total.to_string(), "0.128");
//! assert_eq!(spacing(c3[0], c3[1]).to_string(), "0.77");
//! ```

mod bandwidth;
mod roughness;
mod rounded;

pub use bandwidth::{Hertz, critical_band, spacing};
pub use roughness::{Roughest, Roughness, roughness};
pub use rounded::{Hundredths, Rounded, Thousandths};
