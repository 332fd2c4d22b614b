//! From a written size to a product.

use crate::job::SizeRequest;
use physics::tube::Tube;
use tables::{
    Grade, Library, Source,
    tubes::{DimensionUnit, Form, Temper, TubeProduct, matching, nearest_outside},
};

/// A product found for a written size.
#[derive(Clone, Debug, PartialEq)]
pub struct Picked {
    /// The product.
    pub product: TubeProduct,
    /// What was assumed where the size left the wall open.
    pub assumption: Option<String>,
}

/// Why no product was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotPicked {
    /// What is wrong.
    pub message: String,
    /// What to write instead.
    pub help: String,
}

/// The product that a written size means: of the stock first, of all tables then, or a tube of its own wall.
///
/// An outside diameter alone does not fix the bore. Where products of several walls have it, soft coil is taken, else the
/// first of the stock, and the assumption says so.
///
/// # Errors
/// [`NotPicked`] where no product has the size and no wall is given to make one of.
pub fn pick(request: &SizeRequest, stock: &[TubeProduct], library: &Library) -> Result<Picked, NotPicked> {
    let all = library.tubes().products();
    let wanted = request.standard.as_deref().map(squeezed);
    let of_standard = |products: &[TubeProduct]| -> Vec<TubeProduct> {
        let found = matching(products, request.outside, request.wall).into_iter();
        found
            .filter(|product| {
                wanted.as_ref().is_none_or(|wanted| squeezed(&product.standard).contains(wanted))
            })
            .cloned()
            .collect()
    };
    let mut found = of_standard(stock);
    if found.is_empty() {
        found = of_standard(all);
    }
    let chosen = found.iter().find(|product| product.form == Form::Coil).or(found.first()).cloned();
    if let Some(product) = chosen {
        let other = found.iter().find(|other| (other.tube.wall() - product.tube.wall()).value.abs() > 1e-5);
        let assumption = other.map(|other| {
            format!(
                "{} is taken as {} (other walls are made: write for instance \"{}\")",
                request.as_written,
                product.printed_name(),
                other.printed_size()
            )
        });
        return Ok(Picked { product, assumption });
    }
    match request.wall.map(|wall| Tube::new(request.outside, wall)) {
        Some(Ok(tube)) => Ok(Picked { product: own_product(request, tube), assumption: None }),
        _ => {
            let offers = nearest_outside(all, request.outside, 3);
            let offers: Vec<_> =
                offers.iter().map(|product| format!("\"{}\"", product.printed_outside())).collect();
            Err(NotPicked {
                message: format!("no tube in the tables has the size {}", request.as_written),
                help: format!(
                    "write {}, or give the wall of your own tube: \"{} wall 0.045 in\"",
                    offers.join(", "),
                    request.as_written
                ),
            })
        }
    }
}

fn own_product(request: &SizeRequest, tube: Tube) -> TubeProduct {
    let written = request.as_written.split(" wall").next().unwrap_or_default();
    TubeProduct {
        standard: "own tube".into(),
        form: Form::Straight,
        temper: Temper::AnnealedOrDrawn,
        designation: written.trim_end_matches("OD").trim().into(),
        nominal: None,
        unit: DimensionUnit::Inch,
        tube,
        listed_weight: None,
        tolerances: None,
        note: None,
        source: Source { text: "the job file".into(), grade: Grade::Stated },
    }
}

fn squeezed(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}
