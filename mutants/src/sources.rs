//! What could be changed in a Rust source, and where it takes in data files.

use std::ops::Range;

use proc_macro2::Span;
use syn::spanned::Spanned;
use syn::visit::{self, Visit};
use syn::{Attribute, BinOp, Expr, Lit};

use crate::mutant::{Edit, Keys, Mutant, Piece};

/// Names of which one stands for the other: ends of bands and brackets, and what picks among them.
const SWAPS: [(&str, &str); 15] = [
    ("min", "max"),
    ("low", "high"),
    ("lower", "upper"),
    ("any", "all"),
    ("ceil", "floor"),
    ("is_some", "is_none"),
    ("first", "last"),
    ("br_min", "br_max"),
    ("hcj_min", "hcj_max"),
    ("hottest", "coldest"),
    ("warmest", "coldest"),
    ("least", "most"),
    ("find", "rfind"),
    ("is_le", "is_lt"),
    ("is_ge", "is_gt"),
];

/// What was found in one file.
#[derive(Default)]
pub struct Found {
    pub mutants: Vec<Mutant>,
    /// `include_str!` outside constants: where, and the path as written.
    pub taken_in: Vec<(Range<usize>, String)>,
    pub constants: Vec<Constant>,
    /// What is written like a constant in code: name, and where.
    pub uses: Vec<(String, Range<usize>)>,
}

/// A constant of one value.
pub struct Constant {
    pub name: String,
    pub line: usize,
    /// A whole number, rather than a measure.
    pub whole: bool,
}

/// Looks through a source. `tests` says that the whole file is tests, in which nothing is changed.
pub fn look(file: &str, text: &str, tests: bool) -> syn::Result<Found> {
    let tree = syn::parse_file(text)?;
    let mut finder = Finder {
        file,
        keys: Keys::default(),
        place: Vec::new(),
        tests: usize::from(tests),
        found: Found::default(),
    };
    finder.visit_file(&tree);
    Ok(finder.found)
}

struct Finder<'a> {
    file: &'a str,
    keys: Keys,
    place: Vec<String>,
    /// How many enclosing items are tests.
    tests: usize,
    found: Found,
}

impl Finder<'_> {
    fn add(&mut self, whole: Span, at: Span, change: &str, changed: Vec<Piece>) {
        if self.tests > 0 {
            return;
        }
        let place = self.place.join("::");
        self.found.mutants.push(Mutant {
            key: self.keys.next(self.file, &place, change),
            line: at.start().line,
            edits: vec![Edit {
                file: self.file.to_owned(),
                range: whole.byte_range(),
                changed,
            }],
        });
    }

    fn within(&mut self, name: String, attributes: &[Attribute], go: impl FnOnce(&mut Self)) {
        let test = attributes.iter().any(is_test);
        self.tests += usize::from(test);
        self.place.push(name);
        go(self);
        self.place.pop();
        self.tests -= usize::from(test);
    }
}

fn is_test(attribute: &Attribute) -> bool {
    attribute.path().is_ident("test")
        || attribute.path().is_ident("cfg")
            && attribute
                .parse_args::<syn::Ident>()
                .is_ok_and(|argument| argument == "test")
}

fn text(text: &str) -> Piece {
    Piece::Text(text.to_owned())
}

fn source(of: &impl Spanned) -> Piece {
    Piece::Source(of.span().byte_range())
}

/// What an operator is changed to.
fn instead(operator: &BinOp) -> Option<(&'static str, &'static str)> {
    Some(match operator {
        BinOp::Lt(_) => ("<", "<="),
        BinOp::Le(_) => ("<=", "<"),
        BinOp::Gt(_) => (">", ">="),
        BinOp::Ge(_) => (">=", ">"),
        BinOp::Eq(_) => ("==", "!="),
        BinOp::Ne(_) => ("!=", "=="),
        BinOp::And(_) => ("&&", "||"),
        BinOp::Or(_) => ("||", "&&"),
        BinOp::Add(_) => ("+", "-"),
        BinOp::Sub(_) => ("-", "+"),
        BinOp::Mul(_) => ("*", "/"),
        BinOp::Div(_) => ("/", "*"),
        BinOp::AddAssign(_) => ("+=", "-="),
        BinOp::SubAssign(_) => ("-=", "+="),
        BinOp::MulAssign(_) => ("*=", "/="),
        _ => return None,
    })
}

fn other_name(name: &str) -> Option<&'static str> {
    SWAPS.iter().find_map(|(one, other)| match name {
        name if name == *one => Some(*other),
        name if name == *other => Some(*one),
        _ => None,
    })
}

/// Whether a `let` stands in a chain of conditions.
fn has_let(expr: &Expr) -> bool {
    match expr {
        Expr::Let(_) => true,
        Expr::Binary(binary) => has_let(&binary.left) || has_let(&binary.right),
        _ => false,
    }
}

impl<'ast> Visit<'ast> for Finder<'_> {
    fn visit_item_mod(&mut self, item: &'ast syn::ItemMod) {
        self.within(item.ident.to_string(), &item.attrs, |s| visit::visit_item_mod(s, item));
    }

    fn visit_item_fn(&mut self, item: &'ast syn::ItemFn) {
        if item.sig.constness.is_none() {
            self.within(item.sig.ident.to_string(), &item.attrs, |s| {
                visit::visit_item_fn(s, item)
            });
        }
    }

    fn visit_impl_item_fn(&mut self, item: &'ast syn::ImplItemFn) {
        if item.sig.constness.is_none() {
            self.within(item.sig.ident.to_string(), &item.attrs, |s| {
                visit::visit_impl_item_fn(s, item)
            });
        }
    }

    fn visit_item_impl(&mut self, item: &'ast syn::ItemImpl) {
        let name = match &*item.self_ty {
            syn::Type::Path(path) => path
                .path
                .segments
                .last()
                .map_or_else(String::new, |s| s.ident.to_string()),
            _ => "impl".to_owned(),
        };
        self.within(name, &item.attrs, |s| visit::visit_item_impl(s, item));
    }

    fn visit_item_const(&mut self, item: &'ast syn::ItemConst) {
        let kind = match &*item.ty {
            syn::Type::Path(path) => path.path.get_ident().map(ToString::to_string),
            _ => None,
        };
        if let Some(kind) = kind.filter(|kind| kind != "bool" && self.tests == 0) {
            self.found.constants.push(Constant {
                name: item.ident.to_string(),
                line: item.ident.span().start().line,
                whole: ["usize", "u8", "u16", "u32", "u64", "i32", "i64", "i128"].contains(&kind.as_str()),
            });
        }
    }

    fn visit_impl_item_const(&mut self, _: &'ast syn::ImplItemConst) {}
    fn visit_trait_item_const(&mut self, _: &'ast syn::TraitItemConst) {}
    fn visit_variant(&mut self, _: &'ast syn::Variant) {}
    fn visit_type(&mut self, _: &'ast syn::Type) {}
    fn visit_pat(&mut self, _: &'ast syn::Pat) {}
    fn visit_attribute(&mut self, _: &'ast Attribute) {}
    fn visit_generic_argument(&mut self, _: &'ast syn::GenericArgument) {}
    fn visit_expr_const(&mut self, _: &'ast syn::ExprConst) {}

    fn visit_item_static(&mut self, item: &'ast syn::ItemStatic) {
        // Only what a closure in it does happens at run time.
        struct Closures<'a, 'b>(&'a mut Finder<'b>);
        impl<'ast> Visit<'ast> for Closures<'_, '_> {
            fn visit_expr_closure(&mut self, closure: &'ast syn::ExprClosure) {
                self.0.visit_expr(&closure.body);
            }
        }
        self.within(item.ident.to_string(), &item.attrs, |s| {
            Closures(s).visit_expr(&item.expr)
        });
    }

    fn visit_expr_repeat(&mut self, repeat: &'ast syn::ExprRepeat) {
        self.visit_expr(&repeat.expr);
    }

    fn visit_expr_path(&mut self, path: &'ast syn::ExprPath) {
        let name = path
            .path
            .segments
            .last()
            .map_or_else(String::new, |s| s.ident.to_string());
        let constant = name
            .chars()
            .all(|c| c.is_ascii_uppercase() || c == '_' || c.is_ascii_digit());
        if constant && name.len() > 1 && self.tests == 0 {
            self.found.uses.push((name, path.span().byte_range()));
        }
    }

    fn visit_expr_macro(&mut self, expr: &'ast syn::ExprMacro) {
        if expr.mac.path.is_ident("include_str") {
            if let Ok(path) = expr.mac.parse_body::<syn::LitStr>() {
                self.found.taken_in.push((expr.span().byte_range(), path.value()));
            }
        }
    }

    fn visit_expr_binary(&mut self, binary: &'ast syn::ExprBinary) {
        let chain =
            matches!(binary.op, BinOp::And(_) | BinOp::Or(_)) && (has_let(&binary.left) || has_let(&binary.right));
        if let Some((was, now)) = instead(&binary.op).filter(|_| !chain) {
            // The left side of an assignment is a place, not a value.
            let left = match now.ends_with('=') && now.len() == 2 && !"<>=!".contains(&now[..1]) {
                true => [text(""), source(&binary.left), text("")],
                false => [text("("), source(&binary.left), text(")")],
            };
            let mut changed = left.to_vec();
            changed.extend([text(&format!(" {now} (")), source(&binary.right), text(")")]);
            self.add(binary.span(), binary.op.span(), &format!("`{was}` to `{now}`"), changed);
        }
        visit::visit_expr_binary(self, binary);
    }

    fn visit_expr_unary(&mut self, unary: &'ast syn::ExprUnary) {
        if matches!(unary.op, syn::UnOp::Not(_)) {
            self.add(unary.span(), unary.span(), "`!` left out", vec![source(&unary.expr)]);
        }
        visit::visit_expr_unary(self, unary);
    }

    fn visit_expr_method_call(&mut self, call: &'ast syn::ExprMethodCall) {
        let name = call.method.to_string();
        if let Some(other) = other_name(&name) {
            let range = call.span().byte_range();
            let at = call.method.span().byte_range();
            let changed = vec![
                Piece::Source(range.start..at.start),
                text(other),
                Piece::Source(at.end..range.end),
            ];
            self.add(
                call.span(),
                call.method.span(),
                &format!("`{name}` to `{other}`"),
                changed,
            );
        }
        visit::visit_expr_method_call(self, call);
    }

    fn visit_expr_field(&mut self, field: &'ast syn::ExprField) {
        if let syn::Member::Named(member) = &field.member {
            let name = member.to_string();
            if let Some(other) = other_name(&name) {
                let changed = vec![source(&field.base), text("."), text(other)];
                self.add(
                    field.span(),
                    member.span(),
                    &format!("`.{name}` to `.{other}`"),
                    changed,
                );
            }
        }
        visit::visit_expr_field(self, field);
    }

    fn visit_expr_lit(&mut self, literal: &'ast syn::ExprLit) {
        match &literal.lit {
            Lit::Bool(value) => {
                let other = if value.value { "false" } else { "true" };
                self.add(
                    literal.span(),
                    literal.span(),
                    &format!("`{}` to `{other}`", value.value),
                    vec![text(other)],
                );
            }
            Lit::Float(value) if value.base10_parse::<f64>().is_ok_and(|v| v != 0.0) => {
                let change = format!("`{value}` a third more");
                self.add(
                    literal.span(),
                    literal.span(),
                    &change,
                    vec![text("1.34 * "), source(literal)],
                );
            }
            Lit::Int(value) if value.suffix().is_empty() && value.base10_parse::<u32>().is_ok_and(|v| v > 1) => {
                let change = format!("`{value}` one more");
                self.add(
                    literal.span(),
                    literal.span(),
                    &change,
                    vec![source(literal), text(" + 1")],
                );
            }
            _ => {}
        }
    }

    fn visit_expr_assign(&mut self, assign: &'ast syn::ExprAssign) {
        self.visit_expr(&assign.right);
    }

    fn visit_expr_reference(&mut self, reference: &'ast syn::ExprReference) {
        if reference.mutability.is_none() {
            visit::visit_expr_reference(self, reference);
        }
    }
}
