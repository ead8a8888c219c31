//! The faults that can be planted into functions.

use std::ops::Range;

use syn::spanned::Spanned as _;
use syn::visit::{self, Visit};
use syn::{BinOp, Expr, GenericArgument, Lit, Pat, PathArguments, ReturnType, Type, UnOp};

use crate::modules::{File, is_test};

/// A small fault.
pub struct Fault {
    /// The file it is in, by its number.
    pub file: usize,
    /// The bytes it takes the place of.
    pub place: Range<usize>,
    /// The function it is in.
    pub function: String,
    /// What is done, in a few words.
    pub kind: String,
    /// What was there.
    pub before: String,
    /// How it is written.
    pub change: Change,
}

/// How a fault is written.
pub enum Change {
    /// Two operands with another operator between them; whether it assigns.
    Operator {
        left: Range<usize>,
        right: Range<usize>,
        new: String,
        assigns: bool,
    },
    /// The operand without its sign.
    WithoutSign { operand: Range<usize> },
    /// Another literal.
    Literal { new: String },
    /// The function returns this at once.
    Returns { value: String },
    /// The arm, whose pattern ends at the place's end, is passed over.
    ArmPassedOver,
    /// The guard is always true, or never.
    Guard { always: bool },
    /// A constant: where it is defined it stands once more with the fault; where it is used, one or the other is.
    Constant {
        name: String,
        definition: Range<usize>,
        literal: Range<usize>,
        new: String,
        uses: Vec<Use>,
    },
}

/// A place where a constant is used.
pub struct Use {
    /// The file, by its number.
    pub file: usize,
    /// The bytes of the path.
    pub place: Range<usize>,
    /// The path of the constant with the fault.
    pub faulty: String,
}

/// Every fault that can be planted into the functions of a file.
pub fn in_file(number: usize, file: &File) -> Vec<Fault> {
    let mut walk = Walk {
        number,
        file,
        functions: Vec::new(),
        faults: Vec::new(),
    };
    walk.visit_file(&file.syntax);
    walk.faults
}

struct Walk<'a> {
    number: usize,
    file: &'a File,
    functions: Vec<String>,
    faults: Vec<Fault>,
}

impl Walk<'_> {
    fn add(&mut self, place: Range<usize>, kind: String, change: Change) {
        let before = self.file.text[place.clone()].to_owned();
        let function = self.functions.last().cloned().unwrap_or_default();
        self.faults.push(Fault {
            file: self.number,
            place,
            function,
            kind,
            before,
            change,
        });
    }

    fn function(&mut self, signature: &syn::Signature, block: &syn::Block) {
        if signature.constness.is_some() {
            return;
        }
        self.functions.push(signature.ident.to_string());
        let open = block.brace_token.span.open().byte_range();
        for value in returned(&signature.output) {
            let kind = format!("returns {value}");
            self.add(open.clone(), kind, Change::Returns { value });
        }
        visit::visit_block(self, block);
        self.functions.pop();
    }
}

impl<'ast> Visit<'ast> for Walk<'_> {
    fn visit_item_mod(&mut self, item: &'ast syn::ItemMod) {
        if !is_test(&item.attrs) {
            visit::visit_item_mod(self, item);
        }
    }

    fn visit_item_fn(&mut self, item: &'ast syn::ItemFn) {
        if !is_test(&item.attrs) {
            self.function(&item.sig, &item.block);
        }
    }

    fn visit_item_impl(&mut self, item: &'ast syn::ItemImpl) {
        if !is_test(&item.attrs) {
            visit::visit_item_impl(self, item);
        }
    }

    fn visit_impl_item_fn(&mut self, item: &'ast syn::ImplItemFn) {
        if !is_test(&item.attrs) {
            self.function(&item.sig, &item.block);
        }
    }

    fn visit_trait_item_fn(&mut self, item: &'ast syn::TraitItemFn) {
        if let Some(block) = &item.default {
            self.function(&item.sig, block);
        }
    }

    // What is computed while compiling can't look at a switch.
    fn visit_item_const(&mut self, _: &'ast syn::ItemConst) {}
    fn visit_item_static(&mut self, _: &'ast syn::ItemStatic) {}
    fn visit_impl_item_const(&mut self, _: &'ast syn::ImplItemConst) {}
    fn visit_expr_const(&mut self, _: &'ast syn::ExprConst) {}
    fn visit_item_enum(&mut self, _: &'ast syn::ItemEnum) {}
    fn visit_type(&mut self, _: &'ast Type) {}
    fn visit_generic_argument(&mut self, _: &'ast GenericArgument) {}
    fn visit_attribute(&mut self, _: &'ast syn::Attribute) {}
    fn visit_pat(&mut self, _: &'ast Pat) {}

    fn visit_expr_repeat(&mut self, repeated: &'ast syn::ExprRepeat) {
        self.visit_expr(&repeated.expr);
    }

    fn visit_expr_match(&mut self, matched: &'ast syn::ExprMatch) {
        let has_rest = matched
            .arms
            .iter()
            .any(|arm| matches!(arm.pat, Pat::Wild(_)) && arm.guard.is_none());
        for arm in &matched.arms {
            if let Some((_, guard)) = &arm.guard {
                let place = guard.span().byte_range();
                for always in [true, false] {
                    let kind = if always {
                        "guard always true"
                    } else {
                        "guard never true"
                    };
                    self.add(place.clone(), kind.into(), Change::Guard { always });
                }
            } else if has_rest && !matches!(arm.pat, Pat::Wild(_)) {
                self.add(
                    arm.pat.span().byte_range(),
                    "arm passed over".into(),
                    Change::ArmPassedOver,
                );
            }
        }
        visit::visit_expr_match(self, matched);
    }

    fn visit_expr(&mut self, expression: &'ast Expr) {
        let place = expression.span().byte_range();
        match expression {
            Expr::Binary(binary) if !holds_let(expression) => {
                let old = self.file.text[binary.op.span().byte_range()].to_owned();
                for new in others(&binary.op) {
                    let change = Change::Operator {
                        left: binary.left.span().byte_range(),
                        right: binary.right.span().byte_range(),
                        new: (*new).into(),
                        assigns: new.ends_with('=') && !["==", "!=", "<=", ">="].contains(new),
                    };
                    self.add(place.clone(), format!("{old} as {new}"), change);
                }
            }
            Expr::Unary(unary) if matches!(unary.op, UnOp::Not(_) | UnOp::Neg(_)) => {
                let operand = unary.expr.span().byte_range();
                self.add(
                    place,
                    "without its sign".into(),
                    Change::WithoutSign { operand },
                );
            }
            Expr::Lit(literal) => {
                if let Some(new) = other_literal(&literal.lit) {
                    self.add(place, format!("as {new}"), Change::Literal { new });
                }
            }
            _ => {}
        }
        visit::visit_expr(self, expression);
    }
}

/// Whether an expression is a chain with `let`, in which every part must hold.
fn holds_let(expression: &Expr) -> bool {
    match expression {
        Expr::Let(_) => true,
        Expr::Binary(binary) => holds_let(&binary.left) || holds_let(&binary.right),
        _ => false,
    }
}

/// What may stand in the place of an operator.
fn others(operator: &BinOp) -> &'static [&'static str] {
    match operator {
        BinOp::And(_) => &["||"],
        BinOp::Or(_) => &["&&"],
        BinOp::Eq(_) => &["!="],
        BinOp::Ne(_) => &["=="],
        BinOp::Lt(_) => &["<=", ">"],
        BinOp::Le(_) => &["<", ">="],
        BinOp::Gt(_) => &[">=", "<"],
        BinOp::Ge(_) => &[">", "<="],
        BinOp::Add(_) => &["-"],
        BinOp::Sub(_) => &["+"],
        BinOp::Mul(_) => &["+"],
        BinOp::Div(_) => &["*"],
        BinOp::Rem(_) => &["/"],
        BinOp::BitAnd(_) => &["|"],
        BinOp::BitOr(_) | BinOp::BitXor(_) => &["&"],
        BinOp::Shl(_) => &[">>"],
        BinOp::Shr(_) => &["<<"],
        BinOp::AddAssign(_) => &["-="],
        BinOp::SubAssign(_) => &["+="],
        BinOp::MulAssign(_) => &["+="],
        BinOp::BitAndAssign(_) => &["|="],
        BinOp::BitOrAssign(_) | BinOp::BitXorAssign(_) => &["&="],
        _ => &[],
    }
}

/// A literal that is nearly the same: the next number, the other truth.
pub fn other_literal(literal: &Lit) -> Option<String> {
    match literal {
        Lit::Int(number) => {
            let next = number.base10_parse::<u128>().ok()? + 1;
            Some(format!("{next}{}", number.suffix()))
        }
        Lit::Bool(truth) => Some((!truth.value).to_string()),
        _ => None,
    }
}

/// What a function could return at once instead.
fn returned(output: &ReturnType) -> Vec<String> {
    let ReturnType::Type(_, kind) = output else {
        return vec![String::new()];
    };
    plain_values(kind).into_iter().map(str::to_owned).collect()
}

fn plain_values(kind: &Type) -> Vec<&'static str> {
    match kind {
        Type::ImplTrait(_) => vec![],
        Type::Reference(reference) => match &*reference.elem {
            Type::Path(path) if path.path.is_ident("str") => vec!["\"\""],
            Type::Slice(_) => vec!["&[]"],
            _ => vec![],
        },
        Type::Path(path) => path.path.segments.last().map_or_else(Vec::new, of_a_name),
        _ => vec!["Default::default()"],
    }
}

fn of_a_name(last: &syn::PathSegment) -> Vec<&'static str> {
    match last.ident.to_string().as_str() {
        "bool" => vec!["true", "false"],
        "u8" | "u16" | "u32" | "u64" | "u128" | "usize" | "i8" | "i16" | "i32" | "i64" | "i128"
        | "isize" => {
            vec!["0", "1"]
        }
        "Option" => vec!["None"],
        "Result" => match &last.arguments {
            PathArguments::AngleBracketed(of) => match of.args.first() {
                Some(GenericArgument::Type(Type::Tuple(unit))) if unit.elems.is_empty() => {
                    vec!["Ok(())"]
                }
                _ => vec!["Ok(Default::default())"],
            },
            _ => vec!["Ok(Default::default())"],
        },
        _ => vec!["Default::default()"],
    }
}
