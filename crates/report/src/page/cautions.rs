//! What can hurt somebody, picked by what is in the harness.

use super::{Section, Subject};
use crate::words::page::CAUTIONS;
use maud::html;

pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let cautions = &subject.comparison.cautions;
    let body = html! { ul class="cautions" { @for caution in cautions { li { (caution) } } } };
    (!cautions.is_empty()).then(|| Section::new("cautions", CAUTIONS, body))
}
