//! The pattern on every camera's picture, for each pick of the builder at its worst.

use super::capture::{Captured, Recorder};
use super::pattern::Pattern;
use super::raster::Raster;
use super::rhythms::{self, SourceLine};
use crate::options::{Options, OptionsError, product};
use crate::point::repeats_after;
use engine::Method;
use language::description::{Axis, Harness, Start};
use language::{Description, Kind};
use network::lowered::Lowered;
use network::primitive::{Probe, Signal};
use parts::video::Video;
use rayon::prelude::*;

/// Rejections in decibel to show where nothing is known: what cameras have lies between (common practice, no source).
const LEVELS: [f64; 3] = [20.0, 40.0, 60.0];
/// Span in seconds that is run where nothing moves.
const STILL: f64 = 1e-3;
/// Harmonics of each rhythm among which the strongest are looked for.
const HARMONICS: u32 = 10;
/// Lines that are told.
const STRONGEST: usize = 3;
/// Lines weaker than this share of the strongest are not told.
const WEAK: f64 = 0.05;
/// Volts that are rounding.
const ROUNDING: f64 = 1e-12;

/// What is asked for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Request {
    /// Rejections in decibel, the same at every frequency, in place of what the file says; empty for that, and for 20, 40 and 60 dB where
    /// it says nothing.
    pub rejections: Vec<f64>,
}

/// Every picture.
#[derive(Clone, Debug)]
pub struct Pictures {
    /// Title of the harness.
    pub harness: String,
    /// Its axes.
    pub axes: Vec<Axis>,
    /// One for each pick of the builder and camera, in the file's order.
    pub seen: Vec<Seen>,
}

/// What one camera shows with one pick.
#[derive(Clone, Debug)]
pub struct Seen {
    /// Index on each axis of the point that is shown.
    pub at: Vec<usize>,
    /// The pick in words, `coil_cap`; empty where there is no choice.
    pub option: String,
    /// Whether others are compared with it.
    pub baseline: bool,
    /// The case in which its supply is worst, in words: `battery_state soft, throttle cruise`.
    pub case: String,
    /// Name of the camera.
    pub camera: String,
    /// The system of video.
    pub video: Video,
    /// Whether the file says so; 625 lines are taken otherwise.
    pub video_stated: bool,
    /// What is seen, or why nothing could be computed.
    pub shown: Result<Shown, String>,
}

/// A pattern with its levels.
#[derive(Clone, Debug)]
pub struct Shown {
    /// What each pixel departs by, in volt, before the levels' shares are taken.
    pub raster: Raster,
    /// Rejections to show it with.
    pub levels: Vec<Level>,
    /// What it is mostly made of, the strongest first; of the same volts as the raster.
    pub strongest: Vec<StrongLine>,
}

/// A rejection to show a pattern with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Level {
    /// Rejection in decibel; that of slow ripple, where it falls with frequency.
    pub decibel: f64,
    /// Frequency in hertz from which it falls, where the file gives one.
    pub corner: Option<f64>,
    /// Whether the file says so.
    pub stated: bool,
    /// Share of the raster that is seen.
    pub share: f64,
}

/// A harmonic that a pattern is made of.
#[derive(Clone, Debug, PartialEq)]
pub struct StrongLine {
    /// The rhythm.
    pub line: SourceLine,
    /// Its harmonic.
    pub harmonic: u32,
    /// Peak amplitude in volt.
    pub amplitude: f64,
    /// What it shows as.
    pub pattern: Pattern,
}

/// Computes what every camera shows, for each pick that the options leave: in the case in which its supply's ripple is greatest.
///
/// A pick that fails carries its reason. The first frame after t = 0 is shown; where in the pattern a frame begins is chance in a real
/// vehicle.
///
/// # Errors
/// An option that names an axis or a point that the harness does not have; too many points.
pub fn pictures(
    description: &Description,
    options: &Options,
    request: &Request,
) -> Result<Pictures, OptionsError> {
    let axes = description.axes();
    let points = options.points(description)?;
    let split = |choice: bool| -> Vec<Vec<usize>> {
        let each = axes.iter().zip(&points);
        // What belongs to the other half stands still at its first point.
        each.map(
            |(axis, all)| {
                if axis.kind.takes_worst_case() == choice { all[..1].to_vec() } else { all.clone() }
            },
        )
        .collect()
    };
    let (picks, cases): (Vec<_>, Vec<_>) =
        (product(&split(true)).collect(), product(&split(false)).collect());
    let seen: Vec<Vec<Seen>> = picks
        .par_iter()
        .map(|pick| {
            let mut best: Vec<Found> = Vec::new();
            for case in &cases {
                let at: Vec<usize> = axes
                    .iter()
                    .enumerate()
                    .map(|(axis, one)| if one.kind.takes_worst_case() { case[axis] } else { pick[axis] })
                    .collect();
                keep_worst(&mut best, run(description, &at, options, request));
            }
            best.into_iter().map(|found| found.seen(axes)).collect()
        })
        .collect();
    Ok(Pictures {
        harness: description.title().to_owned(),
        axes: axes.to_vec(),
        seen: seen.into_iter().flatten().collect(),
    })
}

/// What one point gave for one camera.
struct Found {
    at: Vec<usize>,
    camera: String,
    video: Option<Video>,
    /// How strong it is, and what is needed to draw it.
    ripple: Result<(f64, Ripple), String>,
}

struct Ripple {
    waveform: Captured,
    levels: Vec<Level>,
    lines: Vec<SourceLine>,
}

fn keep_worst(best: &mut Vec<Found>, found: Vec<Found>) {
    let strength = |found: &Found| found.ripple.as_ref().map_or(-1.0, |(rms, _)| *rms);
    for found in found {
        match best.iter_mut().find(|known| known.camera == found.camera) {
            Some(known) if strength(known) < strength(&found) => *known = found,
            Some(_) => {}
            None => best.push(found),
        }
    }
}

fn run(description: &Description, at: &[usize], options: &Options, request: &Request) -> Vec<Found> {
    let harness = match description.check_at(at) {
        Ok(harness) => harness,
        Err(mistakes) => {
            let reason = mistakes.into_iter().map(|mistake| mistake.message).collect::<Vec<_>>().join("; ");
            return failed(&description.at(at), at, &reason);
        }
    };
    let cameras = cameras(&harness);
    if cameras.is_empty() {
        return Vec::new();
    }
    match capture(&harness, &cameras, options, request) {
        Ok(ripples) => cameras
            .into_iter()
            .zip(ripples)
            .map(|((camera, video), ripple)| Found {
                at: at.to_vec(),
                camera,
                video,
                ripple: Ok((ripple.waveform.rms(), ripple)),
            })
            .collect(),
        Err(reason) => failed(&harness, at, &reason),
    }
}

fn failed(harness: &Harness, at: &[usize], reason: &str) -> Vec<Found> {
    let each = cameras(harness).into_iter();
    each.map(|(camera, video)| Found { at: at.to_vec(), camera, video, ripple: Err(reason.to_owned()) })
        .collect()
}

/// The cameras of a point, each with the system of video that the file states.
fn cameras(harness: &Harness) -> Vec<(String, Option<Video>)> {
    let cameras = harness.parts.iter().filter(|part| part.kind == Kind::Camera);
    let video = |word: &str| [Video::Pal, Video::Ntsc].into_iter().find(|video| video.word() == word);
    cameras.map(|part| (part.name.clone(), part.word("video").and_then(video))).collect()
}

/// Runs a point and keeps the ripple of every camera.
fn capture(
    harness: &Harness,
    cameras: &[(String, Option<Video>)],
    options: &Options,
    request: &Request,
) -> Result<Vec<Ripple>, String> {
    let mut lowered = network::lowering::lower(harness, Start::Steady)
        .map_err(|errors| errors.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "))?;
    let period = repeats_after(&lowered, STILL)?;
    let mut levels = Vec::new();
    for (camera, _) in cameras {
        let (signal, of_camera) = watched(harness, &lowered, camera, request)
            .ok_or_else(|| format!("{camera} has no supply voltage to look at"))?;
        lowered.network.probes.push(Probe { signal, bandwidth: None });
        levels.push(of_camera);
    }
    let mut recorder = Recorder::new(cameras.len());
    let request = engine::Request {
        start: engine::Start::Steady { period: Some(period) },
        span: STILL,
        accuracy: options.accuracy,
        method: Method::Automatic,
    };
    engine::run(&lowered.network, &request, &mut recorder).map_err(|failure| failure.to_string())?;
    let waveforms = recorder.finish().ok_or(
        "one period of the waveform is too long to be kept; give frequencies that share a large divisor",
    )?;
    let lines = rhythms::of_point(harness, &lowered);
    let each = waveforms.into_iter().zip(levels);
    Ok(each.map(|(waveform, levels)| Ripple { waveform, levels, lines: lines.clone() }).collect())
}

/// What is probed for a camera, and with which rejections it is shown: what the file says of the camera's regulator lies in the network
/// already.
fn watched(
    harness: &Harness,
    lowered: &Lowered,
    camera: &str,
    request: &Request,
) -> Option<(Signal, Vec<Level>)> {
    let part = harness.parts.iter().find(|part| part.name == camera)?;
    let entered = lowered.part(camera)?;
    let stated = part.number("rejection").filter(|_| request.rejections.is_empty());
    if let Some(decibel) = stated {
        let corner = part.number("rejection_corner");
        let level = Level { decibel, corner, stated: true, share: 1.0 };
        return Some((Signal::Linear(entered.picture.clone()?), vec![level]));
    }
    let asked = if request.rejections.is_empty() { LEVELS.as_slice() } else { &request.rejections };
    let level = |decibel: &f64| Level {
        decibel: *decibel,
        corner: None,
        stated: false,
        share: 10f64.powf(-decibel / 20.0),
    };
    Some((Signal::Linear(entered.voltage.clone()), asked.iter().map(level).collect()))
}

impl Found {
    fn seen(self, axes: &[Axis]) -> Seen {
        let words = |worst: bool, named: bool| {
            let each = axes.iter().zip(&self.at).filter(|(axis, _)| axis.kind.takes_worst_case() == worst);
            let word = |(axis, index): (&Axis, &usize)| {
                let point = &axis.points[*index];
                if named { format!("{} {point}", axis.name) } else { point.clone() }
            };
            each.map(word).collect::<Vec<_>>().join(", ")
        };
        let baseline = |(axis, index): (&Axis, &usize)| axis.baseline.is_none_or(|base| base == *index);
        let video = self.video.unwrap_or(Video::Pal);
        Seen {
            at: self.at.clone(),
            option: words(false, false),
            baseline: axes.iter().zip(&self.at).all(baseline),
            case: words(true, true),
            camera: self.camera,
            video,
            video_stated: self.video.is_some(),
            shown: self.ripple.map(|(_, ripple)| ripple.shown(video)),
        }
    }
}

impl Ripple {
    fn shown(self, video: Video) -> Shown {
        Shown {
            raster: Raster::of(video, &self.waveform),
            strongest: self.strongest(video),
            levels: self.levels,
        }
    }

    fn strongest(&self, video: Video) -> Vec<StrongLine> {
        let mut found: Vec<StrongLine> = Vec::new();
        for line in &self.lines {
            for harmonic in 1..=HARMONICS {
                let frequency = line.frequency * f64::from(harmonic);
                if found.iter().any(|known| (known.pattern.frequency / frequency - 1.0).abs() < 1e-9) {
                    continue;
                }
                let amplitude = self.waveform.amplitude(frequency);
                let pattern = Pattern::of(video, frequency);
                found.push(StrongLine { line: line.clone(), harmonic, amplitude, pattern });
            }
        }
        found.sort_by(|one, other| other.amplitude.total_cmp(&one.amplitude));
        let greatest = found.first().map_or(0.0, |line| line.amplitude);
        found.retain(|line| line.amplitude > (WEAK * greatest).max(ROUNDING));
        found.truncate(STRONGEST);
        found
    }
}
