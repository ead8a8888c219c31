//! The faults that can be planted into constants and tables.
//!
//! A constant can't look at a switch, so it is written once more with the fault in it, and every place
//! that uses it chooses. A use inside another constant stays as it was.

use std::collections::BTreeMap;
use std::ops::Range;

use proc_macro2::Span;
use syn::spanned::Spanned as _;
use syn::visit::{self, Visit};
use syn::{Expr, Lit, Pat, Type};

use crate::faults::{Change, Fault, Use, other_literal};
use crate::modules::{File, is_test};

/// Every fault that can be planted into a constant that functions use.
pub fn faults(files: &[File]) -> Vec<Fault> {
    let mut defined: BTreeMap<String, Vec<Defined>> = BTreeMap::new();
    let mut used: BTreeMap<String, Vec<Used>> = BTreeMap::new();
    for (number, file) in files.iter().enumerate() {
        let mut walk = Walk {
            number,
            defined: &mut defined,
            used: &mut used,
        };
        walk.visit_file(&file.syntax);
    }
    let mut faults = Vec::new();
    for (name, one) in &defined {
        // A name that stands for two constants is left alone: a use doesn't say which it means.
        if let ([one], Some(uses)) = (one.as_slice(), used.get(name))
            && files[one.file].is_asked
        {
            faults.extend(
                one.literals
                    .iter()
                    .map(|literal| fault(files, name, one, literal, uses)),
            );
        }
    }
    faults
}

fn fault(
    files: &[File],
    name: &str,
    one: &Defined,
    literal: &(Range<usize>, String),
    uses: &[Used],
) -> Fault {
    let file = &files[one.file];
    let uses = uses.iter().map(|used| Use {
        file: used.file,
        place: used.place.clone(),
        faulty: match &used.owner {
            Some(owner) => format!("{owner}::"),
            None => format!("{}::", file.module),
        },
    });
    Fault {
        file: one.file,
        place: literal.0.clone(),
        function: name.into(),
        kind: format!("as {}", literal.1),
        before: file.text[literal.0.clone()].into(),
        change: Change::Constant {
            name: name.into(),
            definition: one.definition.clone(),
            literal: literal.0.clone(),
            new: literal.1.clone(),
            uses: uses.collect(),
        },
    }
}

/// From the word `const` to the semicolon.
fn whole(first: Span, last: Span) -> Range<usize> {
    first.byte_range().start..last.byte_range().end
}

struct Defined {
    file: usize,
    definition: Range<usize>,
    literals: Vec<(Range<usize>, String)>,
}

struct Used {
    file: usize,
    place: Range<usize>,
    /// What stands before the name, where it belongs to a type.
    owner: Option<String>,
}

struct Walk<'a> {
    number: usize,
    defined: &'a mut BTreeMap<String, Vec<Defined>>,
    used: &'a mut BTreeMap<String, Vec<Used>>,
}

impl Walk<'_> {
    fn define(&mut self, name: String, definition: Range<usize>, value: &Expr) {
        let mut literals = Literals(Vec::new());
        literals.visit_expr(value);
        let one = Defined {
            file: self.number,
            definition,
            literals: literals.0,
        };
        self.defined.entry(name).or_default().push(one);
    }
}

impl<'ast> Visit<'ast> for Walk<'_> {
    fn visit_item_mod(&mut self, item: &'ast syn::ItemMod) {
        if !is_test(&item.attrs) {
            visit::visit_item_mod(self, item);
        }
    }

    fn visit_item_fn(&mut self, item: &'ast syn::ItemFn) {
        if !is_test(&item.attrs) && item.sig.constness.is_none() {
            visit::visit_item_fn(self, item);
        }
    }

    fn visit_impl_item_fn(&mut self, item: &'ast syn::ImplItemFn) {
        if !is_test(&item.attrs) && item.sig.constness.is_none() {
            visit::visit_impl_item_fn(self, item);
        }
    }

    fn visit_item_const(&mut self, item: &'ast syn::ItemConst) {
        if !is_test(&item.attrs) {
            self.define(
                item.ident.to_string(),
                whole(item.const_token.span, item.semi_token.span),
                &item.expr,
            );
        }
    }

    fn visit_impl_item_const(&mut self, item: &'ast syn::ImplItemConst) {
        self.define(
            item.ident.to_string(),
            whole(item.const_token.span, item.semi_token.span),
            &item.expr,
        );
    }

    fn visit_item_static(&mut self, _: &'ast syn::ItemStatic) {}
    fn visit_expr_const(&mut self, _: &'ast syn::ExprConst) {}
    fn visit_item_enum(&mut self, _: &'ast syn::ItemEnum) {}
    fn visit_type(&mut self, _: &'ast Type) {}
    fn visit_attribute(&mut self, _: &'ast syn::Attribute) {}
    fn visit_pat(&mut self, _: &'ast Pat) {}

    fn visit_expr_repeat(&mut self, repeated: &'ast syn::ExprRepeat) {
        self.visit_expr(&repeated.expr);
    }

    fn visit_expr_path(&mut self, path: &'ast syn::ExprPath) {
        let Some(last) = path.path.segments.last() else {
            return;
        };
        let name = last.ident.to_string();
        if path.qself.is_some()
            || !name
                .chars()
                .all(|c| c.is_uppercase() || c == '_' || c.is_ascii_digit())
        {
            return;
        }
        let before: Vec<String> = (path.path.segments.iter().rev().skip(1).rev())
            .map(|segment| segment.ident.to_string())
            .collect();
        let of_a_type = before
            .last()
            .is_some_and(|owner| owner.starts_with(char::is_uppercase));
        let owner = of_a_type.then(|| before.join("::"));
        self.used.entry(name).or_default().push(Used {
            file: self.number,
            place: path.span().byte_range(),
            owner,
        });
    }
}

/// The literals of a constant, each with the one that is nearly the same.
struct Literals(Vec<(Range<usize>, String)>);

impl<'ast> Visit<'ast> for Literals {
    fn visit_type(&mut self, _: &'ast Type) {}
    fn visit_pat(&mut self, _: &'ast Pat) {}
    fn visit_expr_repeat(&mut self, repeated: &'ast syn::ExprRepeat) {
        self.visit_expr(&repeated.expr);
    }
    fn visit_lit(&mut self, literal: &'ast Lit) {
        if let Some(new) = other_literal(literal) {
            self.0.push((literal.span().byte_range(), new));
        }
    }
}
