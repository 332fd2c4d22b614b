//! The frame of the page: head, contents, fitter's sheets, parts.

use super::{LOCAL_CODE, Part};
use crate::{document::verdict_words, view::PackView};
use maud::{DOCTYPE, Markup, PreEscaped, html};

const STYLE: &str = include_str!("style.css");

pub(super) fn write(view: &PackView, fitter: &Markup, parts: &[Part]) -> String {
    let contents = html! {
        ol { @for part in parts { li { a href={ "#" (part.id) } { (part.title) } } } }
    };
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (view.job) ": line set pack" }
                // Only the style sheet of this program goes in unescaped; it holds no text of a user.
                style { (PreEscaped(STYLE)) }
            }
            body {
                header #top {
                    h1 { (view.job) }
                    p.verdict data-verdict=(verdict_words(view.verdict)) {
                        "All checks together: " strong { (verdict_words(view.verdict)) }
                    }
                    @if let Some(layout) = &view.built_as {
                        p { "Built as the layout " strong { (layout) } ", the recommended one: routes, charge and material lead there." }
                    }
                }
                nav.screen aria-label="Contents" {
                    p { a href="#fitter" { "For the fitter: two printed sheets" } }
                    (contents)
                }
                main {
                    section #fitter { (fitter) }
                    section #file {
                        h2 { "The long file" }
                        p.print { "In the order of the work:" }
                        div.print.contents { (contents) }
                    }
                    @for part in parts {
                        section.part id=(part.id) {
                            h2 { (part.title) }
                            (part.body)
                            p.screen { a href="#top" { "Back to the top" } }
                        }
                    }
                }
                footer { p { "Written by lineset. " (LOCAL_CODE) } }
            }
        }
    };
    page.into_string()
}
