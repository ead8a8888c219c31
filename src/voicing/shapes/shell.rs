//! Shells: the root with third and seventh, R-3-7 and R-7-10, or of two notes, R-7, R-3 and R-6.
//!
//! Form A has the third below the seventh, form B the seventh below the third (method chapter "Three
//! positions of the left hand"; Powell's two-note shells from memory, Levine ch. 17). R-7-10 spans a
//! tenth, 15 or 16 semitones: more than the default reach. Two notes are taken where three don't fit.
//!
//! A shell sounds the root, which a symbol only implies. So a chord that names more than its seventh
//! (C9, Cm7b5, G7alt) has no shell: what it names would be silent.

use crate::pitch::Degree;

use super::{Form, Layout, Material, Shape};

pub(in crate::voicing) static SHAPE: Shape = Shape {
    name: "shell",
    about: "the root with third and seventh, R-3-7 or R-7-10, or with one of them (DeGreg ch. 1)",
    layouts,
};

fn layouts(material: &Material<'_>) -> Vec<Layout> {
    let root = Degree::known(1, 0);
    let mut found = Vec::with_capacity(4);
    if let Some((third, seventh)) = material.frame() {
        Layout::close(&[root, third, seventh], Some(Form::A)).add_to(&mut found);
        Layout::upward(&[root, seventh, third], Some(Form::B)).add_to(&mut found);
    }
    let lone = [material.third, material.seventh];
    for lone in lone
        .into_iter()
        .flatten()
        .filter(|_| material.only.is_empty())
    {
        Layout::close(&[root, lone], None).add_to(&mut found);
    }
    found
}
