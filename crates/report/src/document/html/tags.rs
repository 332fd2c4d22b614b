//! Tags for both ends of every line.

use super::{Pack, Part, sheet};
use crate::{
    document::sheet::{ABSENT, Grid},
    view::SetSizeView,
};
use maud::{Markup, html};

/// What stands on the tags of one line.
struct Tag<'a> {
    tag: &'a str,
    set: &'a SetSizeView,
    service: &'a str,
    tube: &'a str,
}

fn all<'a>(pack: Pack<'a>) -> impl Iterator<Item = Tag<'a>> {
    pack.view.size.sets.iter().flat_map(|set| {
        set.isometric.lines.iter().map(move |line| Tag {
            tag: &line.tag,
            set,
            service: &line.service,
            tube: &line.tube_name,
        })
    })
}

/// One row a line, for the fitter's sheet.
pub(super) fn short(pack: Pack<'_>) -> Markup {
    let mut grid = Grid::new(&["tag, at both ends", "set", "line", "tube"]);
    for tag in all(pack) {
        let tube = if tag.tube.is_empty() { ABSENT } else { tag.tube };
        grid.row([tag.tag, &tag.set.name, tag.service, tube].map(str::to_owned));
    }
    sheet::table(&grid)
}

/// Boxes to cut out.
pub(super) fn part(pack: Pack<'_>) -> Part {
    let body = html! {
        p { "Cut out along the dashes; one at each end of every line, before the first joint is brazed." }
        div.tags {
            @for tag in all(pack) {
                @for end in ["head", "condenser"] {
                    div.tag {
                        p.name { (tag.tag) }
                        p { (tag.set.name) ", " (tag.service) " line" }
                        p { (tag.tube) ", " (tag.set.refrigerant) }
                        p { "end at the " (end) }
                    }
                }
            }
        }
    };
    Part { id: "tags", title: "Tags", body }
}
