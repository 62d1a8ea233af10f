//! Sections that are pictures alone: what waveforms are made of, and what coils are worth at their currents.

use super::{Section, Subject, pictures};
use crate::svg;
use crate::words::page::{COILS, SPECTRA};
use maud::html;

pub(super) fn spectra(subject: &Subject<'_>) -> Option<Section> {
    let all = svg::spectra(subject.comparison);
    let body = html! {
        @for picture in &all {
            @if all.len() > 1 { h3 { (picture.subject) } }
            (pictures::inline(&picture.text, &format!("spectrum of {}", picture.subject)))
        }
    };
    (!all.is_empty()).then(|| Section::new("spectra", SPECTRA, body))
}

pub(super) fn coils(subject: &Subject<'_>) -> Option<Section> {
    let picture = svg::inductances(subject.comparison)?;
    Some(Section::new("coils", COILS, pictures::inline(&picture.text, "inductance over current")))
}
