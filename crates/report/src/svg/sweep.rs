//! The pictures of a sweep: a heat map and a histogram for each thing that is asked.

use super::document::Ids;
use super::{Picture, heat_map, histogram};
use crate::sweep::Summary;

pub(super) fn pictures(summary: &Summary) -> Vec<Picture> {
    let title = &summary.outline.title;
    let mut pictures = Vec::new();
    for (index, asked) in summary.asked.iter().enumerate() {
        let mut put = |kind: &str, draw: &dyn Fn(&Ids) -> Option<String>| {
            let name = format!("{kind}_{}", asked.name);
            let text = draw(&Ids::new(&name));
            pictures.extend(text.map(|text| Picture {
                subject: asked.text.clone(),
                file_name: format!("{name}.svg"),
                text,
            }));
        };
        put("heat_map", &|ids| heat_map::draw(title, summary, index, ids));
        // Corners are no sample of anything.
        if !summary.corners() {
            put("histogram", &|ids| histogram::draw(title, summary, index, ids));
        }
    }
    pictures
}
