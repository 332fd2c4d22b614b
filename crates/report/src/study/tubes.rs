//! From a written size to a product.

use crate::job::{SizeRequest, TubeForm};
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

/// Whether two products have the same outside diameter: what a maker's charge per length is stated for.
pub(super) fn same_outside(one: &TubeProduct, other: &TubeProduct) -> bool {
    (one.tube.outside().get() - other.tube.outside().get()).value.abs() < 2e-5
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
    let mut found = meant(request, stock);
    if found.is_empty() {
        found = meant(request, all);
    }
    let chosen = found.iter().find(|product| product.form == Form::Coil).or(found.first()).cloned();
    if let Some(product) = chosen {
        let other = found.iter().find(|other| (other.tube.wall() - product.tube.wall()).value.abs() > 1e-5);
        let assumption = other.map(|other| {
            format!(
                "{} is taken as {} (other walls are made: write for instance \"{}\")",
                request.as_written,
                product.printed_name(),
                other.printed_among(&found)
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

/// The products that have the size, standard and form of a request.
pub(super) fn meant(request: &SizeRequest, products: &[TubeProduct]) -> Vec<TubeProduct> {
    let wanted = request.standard.as_deref().map(squeezed);
    matching(products, request.outside, request.wall)
        .into_iter()
        .filter(|product| wanted.as_ref().is_none_or(|wanted| squeezed(&product.standard).contains(wanted)))
        .filter_map(|product| in_form(product, request.form))
        .collect()
}

/// The product in the form asked for; one that is made in either is delivered in that.
fn in_form(product: &TubeProduct, form: Option<TubeForm>) -> Option<TubeProduct> {
    let asked = match form {
        None => return Some(product.clone()),
        Some(TubeForm::Coil) => Form::Coil,
        Some(TubeForm::Straight) => Form::Straight,
    };
    [asked, Form::CoilOrStraight]
        .contains(&product.form)
        .then(|| TubeProduct { form: asked, ..product.clone() })
}

fn own_product(request: &SizeRequest, tube: Tube) -> TubeProduct {
    let written = request.as_written.split(" wall").next().unwrap_or_default();
    TubeProduct {
        standard: "own tube".into(),
        form: if request.form == Some(TubeForm::Coil) { Form::Coil } else { Form::Straight },
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::size;

    #[test]
    fn every_printed_name_reads_back_to_its_product() {
        let library = Library::embedded().unwrap();
        let mut stock = library.tubes().stock("ASTM B280 coil").unwrap();
        stock.extend(library.tubes().stock("ASTM B280 straight").unwrap());
        let all = library.tubes().products();
        // Printed among a stock that `picked` looks through first; what is not in it comes from the tables.
        for (printed, among) in [(&stock[..], &stock[..]), (all, all)] {
            for product in printed {
                for name in [product.printed_among(among), product.printed_name()] {
                    let request = size::read(&name).unwrap_or_else(|error| panic!("{name}: {error}"));
                    let picked =
                        pick(&request, &stock, &library).unwrap_or_else(|no| panic!("{name}: {no:?}"));
                    assert_eq!(picked.product.printed_name(), product.printed_name(), "{name}");
                    assert_eq!(picked.assumption, None, "{name} names one product");
                }
            }
        }
    }

    #[test]
    fn the_form_decides_the_wall_and_its_absence_is_told() {
        let library = Library::embedded().unwrap();
        let mut stock = library.tubes().stock("ASTM B280 coil").unwrap();
        stock.extend(library.tubes().stock("ASTM B280 straight").unwrap());
        let picked = |written: &str| pick(&size::read(written).unwrap(), &stock, &library).unwrap();
        assert_eq!(picked("1/2 in OD straight").product.printed_size(), "1/2 in OD wall 0.035 in");
        let open = picked("1/2 in OD");
        assert_eq!(open.product.printed_size(), "1/2 in OD wall 0.032 in");
        assert_eq!(
            open.assumption.as_deref(),
            Some(
                "1/2 in OD is taken as 1/2 in OD wall 0.032 in, ASTM B280 coil (other walls are made: write for \
                 instance \"1/2 in OD straight\")"
            )
        );
        let own = picked("1/2 in OD wall 0.06 in coil").product;
        assert_eq!((&*own.standard, own.form), ("own tube", Form::Coil));
    }
}
