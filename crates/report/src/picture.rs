//! What a camera would show: a test card with the ripple of its supply, as PNG, and the arithmetic of patterns in words.

mod bands;
mod card;
mod csv;
mod encode;
mod json;
mod page;
mod words;

pub use bands::{bands, bands_json};
pub use card::colour;
pub use csv::{csv, lines_csv};
pub use json::json;
pub use page::page;
pub use words::{LABEL, explained, is_anything_seen, pattern, summary};

use study::picture::{Level, Pictures, Raster, Seen, Shown, Video};

/// A picture ready to be written or embedded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Image {
    /// The pick that it shows, `coil_cap`; empty where there is no choice.
    pub option: String,
    /// The camera that it shows.
    pub camera: String,
    /// A name for its file: `picture_coil_cap_40dB.png`.
    pub file_name: String,
    /// The rejection in words: `rejection 40 dB (assumed)`.
    pub rejection: String,
    /// What it shows, in a sentence or two, for below it.
    pub caption: String,
    /// Width and height in pixels.
    pub size: (usize, usize),
    /// The PNG file.
    pub png: Vec<u8>,
}

/// An image for each pick, camera and rejection, in that order; picks that failed have none.
#[must_use]
pub fn images(pictures: &Pictures) -> Vec<Image> {
    let several = several_cameras(pictures);
    pictures.seen.iter().flat_map(|seen| of_seen(seen, several)).collect()
}

/// Whether each pick and camera has one picture at most, so that they are best seen side by side.
pub(crate) fn one_each(pictures: &Pictures) -> bool {
    pictures.seen.iter().all(|seen| seen.shown.as_ref().map_or(0, |shown| shown.levels.len()) <= 1)
}

/// `none (before)`, `coil_cap`; the camera's name where nothing is picked.
pub(crate) fn heading(pictures: &Pictures, seen: &Seen) -> String {
    let before = if seen.baseline && pictures.seen.len() > 1 { " (before)" } else { "" };
    let option = if seen.option.is_empty() { &seen.camera } else { &seen.option };
    format!("{option}{before}")
}

fn several_cameras(pictures: &Pictures) -> bool {
    pictures.seen.iter().any(|seen| seen.camera != pictures.seen[0].camera)
}

/// `picture_coil_cap_40dB.png`; the camera stands in it where there are several.
fn file_name(seen: &Seen, shown: &Shown, level: &Level, several_cameras: bool) -> String {
    let mut name = vec!["picture".to_owned()];
    name.extend(several_cameras.then(|| seen.camera.clone()));
    name.extend((!seen.option.is_empty()).then(|| seen.option.replace(", ", "_")));
    name.extend((shown.levels.len() > 1).then(|| format!("{}dB", level.decibel)));
    format!("{}.png", name.join("_"))
}

fn of_seen(seen: &Seen, several_cameras: bool) -> Vec<Image> {
    let Ok(shown) = &seen.shown else { return Vec::new() };
    let image = |level: &Level| Image {
        option: seen.option.clone(),
        camera: seen.camera.clone(),
        file_name: file_name(seen, shown, level, several_cameras),
        rejection: words::rejection(level),
        caption: words::caption(seen, shown, level),
        size: (shown.raster.width, shown.raster.height),
        png: encode::png(
            shown.raster.width,
            shown.raster.height,
            &pixels(&shown.raster, level.share, seen.video),
        ),
    };
    shown.levels.iter().map(image).collect()
}

/// The test card with a share of a raster added to its luminance, as red, green and blue bytes row by row.
///
/// 0 is black and 255 the white of 0.7 V (0.714 V with 525 lines): what goes beyond is cut off, as a screen does.
#[must_use]
pub fn pixels(raster: &Raster, share: f64, video: Video) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(raster.values.len() * 3);
    for row in 0..raster.height {
        for x in 0..raster.width {
            // More luminance with the same colour differences is as much more of each colour.
            let added = share * f64::from(raster.at(x, row)) / video.picture_level();
            let colour = colour(x, row, (raster.width, raster.height));
            bytes.extend(colour.map(|part| (255.0 * (part + added)).round().clamp(0.0, 255.0) as u8));
        }
    }
    bytes
}
