//! Third and seventh alone, either way up.
//!
//! In a sixth chord the 6 stands for the seventh, in a suspended one the 4 for the third (method
//! chapter "Three positions of the left hand"). Two notes do not tell a diminished seventh chord, so
//! there the b5 joins them. A bare triad has no seventh to guide: its third goes with root or fifth, for an
//! added 6 under a b3 would be a bare tritone, which is no tonic (common practice, no source).

use crate::pitch::Degree;

use super::{Form, Layout, Material, Shape, form_of};

pub(in crate::voicing) static SHAPE: Shape = Shape {
    name: "guide-tones",
    about: "third and seventh alone, either way up (DeGreg ch. 2)",
    layouts,
};

fn layouts(material: &Material<'_>) -> Vec<Layout> {
    let mut found = Vec::with_capacity(2);
    if let Some([third, fifth, seventh]) = material.diminished() {
        let tones = [third, fifth, seventh];
        for (at, lowest) in tones.iter().enumerate() {
            Layout::inversion(&tones, at, form_of(*lowest, third, seventh)).add_to(&mut found);
        }
    } else if let (true, None, Some(third)) =
        (material.only.is_empty(), material.seventh, material.third)
    {
        for other in [Degree::ROOT, Degree::FIFTH] {
            Layout::close(&[third, other], Some(Form::A)).add_to(&mut found);
            Layout::close(&[other, third], None).add_to(&mut found);
        }
    } else if let Some((third, seventh)) = material.frame() {
        Layout::close(&[third, seventh], Some(Form::A)).add_to(&mut found);
        Layout::close(&[seventh, third], Some(Form::B)).add_to(&mut found);
    }
    found
}
