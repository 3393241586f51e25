//! Which mistakes are made, and where: an operator for its opposite, a negation left out, a
//! condition the wrong way round, a function that gives a constant back.

use std::ops::Range;
use syn::spanned::Spanned;
use syn::visit::{self, Visit};
use syn::{BinOp, Expr, ReturnType, UnOp};

/// A place of a text, and what could stand there instead, each with its number.
pub struct Spot {
    pub at: Range<usize>,
    pub others: Vec<(usize, String)>,
    /// Whether the others are put before what stands there, as an early return.
    pub before: bool,
    /// What the place is called, where it is no expression.
    pub place: String,
}

/// Every spot of a file, numbered from `first`.
pub fn of(text: &str, first: usize) -> syn::Result<Vec<Spot>> {
    let file = syn::parse_file(text)?;
    let mut finder = Finder { text, next: first, found: Vec::new() };
    finder.visit_file(&file);
    Ok(finder.found)
}

struct Finder<'t> {
    text: &'t str,
    next: usize,
    found: Vec<Spot>,
}

impl Finder<'_> {
    fn put(&mut self, at: Range<usize>, others: Vec<String>) {
        self.place(at, others, "");
    }

    fn place(&mut self, at: Range<usize>, others: Vec<String>, place: &str) {
        let first = self.next;
        self.next += others.len();
        let others = others.into_iter().enumerate().map(|(i, other)| (first + i, other)).collect();
        self.found.push(Spot { at, others, before: !place.is_empty(), place: place.to_string() });
    }

    fn text_of(&self, spanned: &impl Spanned) -> &str {
        &self.text[spanned.span().byte_range()]
    }

    fn function(&mut self, signature: &syn::Signature, block: &syn::Block) {
        let Some(first) = block.stmts.first() else { return };
        if signature.constness.is_some() {
            return;
        }
        let at = first.span().byte_range().start;
        let name = signature.ident.to_string();
        let values = match &signature.output {
            ReturnType::Default => vec!["()".to_string()],
            ReturnType::Type(_, of) => values(&self.text_of(of).split_whitespace().collect::<String>()),
        };
        let returns = values.into_iter().map(|value| format!("return {value};")).collect();
        self.place(at..at, returns, &name);
    }
}

/// Constants that a function of this type could give back.
fn values(of: &str) -> Vec<String> {
    let known: &[&str] = match of {
        "bool" => &["true", "false"],
        "f64" => &["0.0", "1.0", "-1.0"],
        "usize" | "u32" | "i64" | "i32" => &["0", "1"],
        "Length" => &["Length::ZERO", "Length::mm(1.0)"],
        "String" => &["String::new()"],
        _ if of.starts_with("Option<") => &["None"],
        _ if of.starts_with("Vec<") => &["Vec::new()"],
        _ if of.starts_with("Result<(),") => &["Ok(())"],
        _ => &[],
    };
    known.iter().map(|value| value.to_string()).collect()
}

impl<'ast> Visit<'ast> for Finder<'_> {
    fn visit_item_mod(&mut self, item: &'ast syn::ItemMod) {
        let is_test = |attribute: &syn::Attribute| attribute.path().is_ident("cfg");
        if !item.attrs.iter().any(is_test) {
            visit::visit_item_mod(self, item);
        }
    }

    fn visit_item_const(&mut self, _: &'ast syn::ItemConst) {}
    fn visit_item_static(&mut self, _: &'ast syn::ItemStatic) {}
    fn visit_impl_item_const(&mut self, _: &'ast syn::ImplItemConst) {}
    fn visit_item_macro(&mut self, _: &'ast syn::ItemMacro) {}
    fn visit_pat(&mut self, _: &'ast syn::Pat) {}
    fn visit_type(&mut self, _: &'ast syn::Type) {}
    fn visit_attribute(&mut self, _: &'ast syn::Attribute) {}
    fn visit_variant(&mut self, _: &'ast syn::Variant) {}

    fn visit_item_fn(&mut self, item: &'ast syn::ItemFn) {
        let is_test = item.attrs.iter().any(|a| a.path().is_ident("test") || a.path().is_ident("cfg"));
        if item.sig.constness.is_none() && !is_test {
            self.function(&item.sig, &item.block);
            visit::visit_item_fn(self, item);
        }
    }

    fn visit_impl_item_fn(&mut self, item: &'ast syn::ImplItemFn) {
        if item.sig.constness.is_none() {
            self.function(&item.sig, &item.block);
            visit::visit_impl_item_fn(self, item);
        }
    }

    fn visit_expr_if(&mut self, item: &'ast syn::ExprIf) {
        if matches!(*item.cond, Expr::MethodCall(_) | Expr::Call(_) | Expr::Path(_) | Expr::Macro(_)) {
            let whole = format!("!({})", self.text_of(&item.cond));
            self.put(item.cond.span().byte_range(), vec![whole]);
        }
        visit::visit_expr_if(self, item);
    }

    fn visit_expr_binary(&mut self, item: &'ast syn::ExprBinary) {
        if !has_let(&item.left) && !has_let(&item.right) {
            let (left, right) = (self.text_of(&item.left), self.text_of(&item.right));
            let others = opposites(&item.op).iter().map(|op| format!("({left}) {op} ({right})")).collect();
            self.put(item.span().byte_range(), others);
        }
        visit::visit_expr_binary(self, item);
    }

    fn visit_expr_unary(&mut self, item: &'ast syn::ExprUnary) {
        if matches!(item.op, UnOp::Not(_) | UnOp::Neg(_)) {
            let inner = self.text_of(&item.expr).to_string();
            self.put(item.span().byte_range(), vec![inner]);
        }
        visit::visit_expr_unary(self, item);
    }
}

fn opposites(op: &BinOp) -> &'static [&'static str] {
    match op {
        BinOp::Add(_) => &["-"],
        BinOp::Sub(_) => &["+"],
        BinOp::Mul(_) => &["/"],
        BinOp::Div(_) => &["*"],
        BinOp::Rem(_) => &["*"],
        BinOp::And(_) => &["||"],
        BinOp::Or(_) => &["&&"],
        BinOp::Lt(_) => &[">"],
        BinOp::Le(_) => &[">"],
        BinOp::Gt(_) => &["<"],
        BinOp::Ge(_) => &["<"],
        BinOp::Eq(_) => &["!="],
        BinOp::Ne(_) => &["=="],
        BinOp::AddAssign(_) => &["-="],
        BinOp::SubAssign(_) => &["+="],
        BinOp::MulAssign(_) => &["/="],
        BinOp::DivAssign(_) => &["*="],
        _ => &[],
    }
}

/// Whether a condition binds something, which only a condition may.
fn has_let(of: &Expr) -> bool {
    match of {
        Expr::Let(_) => true,
        Expr::Binary(item) => has_let(&item.left) || has_let(&item.right),
        _ => false,
    }
}
