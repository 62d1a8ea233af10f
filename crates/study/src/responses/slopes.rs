//! Measures over frequency against values: each is the height of a curve at one frequency, and where that is a top, or stays in its
//! place, the frequency's own motion weighs nothing (the envelope theorem).

use super::loss::Loss;
use super::margin::{Margin, law_of, margin};
use super::measured::band_of;
use super::peak::{Magnitudes, between, highest, refine};
use super::resonances::{of_note, top};
use super::view::View;
use engine::Complex;
use engine::frequency::{Bias, Neighbours, Path, Sloped, frequency_response, slopes as slopes_of_path};
use language::description::Measure;
use network::primitive::BranchIndex;
use std::f64::consts::LN_10;

/// A top is sought once more within so much of its frequency.
const NEAR: f64 = 1e-3;

/// A point with a value a little lower and higher, and the difference of the value.
pub(crate) struct Beside<'a> {
    pub(crate) views: [View<'a>; 2],
    pub(crate) width: f64,
}

/// The curve whose height a measure is.
enum Curve {
    Response(usize),
    /// The inverse of this loss.
    Loss(Box<Loss>, String, [f64; 2]),
    /// What feeds a load: its branch, and the bias without it.
    Feeding(BranchIndex, Bias),
}

/// A measure over frequency in dB and its slope by each value, or why it has none.
pub(crate) fn slopes(
    view: &View<'_>,
    measure: &Measure,
    others: &[Beside<'_>],
) -> Result<(f64, Vec<f64>), String> {
    let (curve, frequency) = locate(view, measure)?;
    let frequency =
        if is_at_top(view, &curve, frequency)? { nearer(view, &curve, frequency)? } else { frequency };
    // In nepers: the logarithm's real part.
    let (value, by_value) = match &curve {
        Curve::Response(index) => of_response(view, *index, frequency, others)?,
        Curve::Loss(loss, instance, ends) => of_loss(loss, instance, *ends, frequency, others)?,
        Curve::Feeding(branch, bias) => of_feeding(view, *branch, bias, frequency, others)?,
    };
    let decibels = 20.0 / LN_10;
    Ok((decibels * value, by_value.into_iter().map(|slope| decibels * slope).collect()))
}

fn locate(view: &View<'_>, measure: &Measure) -> Result<(Curve, f64), String> {
    const ABSENT: &str = "it looks at what is absent here";
    const NOTHING: &str = "it has no value here";
    match measure {
        Measure::PeakGain { response, band } => {
            let index = view.response(response).ok_or(ABSENT)?;
            let (low, high) = band_of(view.harness, *band)?;
            let curve = |frequencies: &[f64]| view.magnitudes(index, frequencies);
            let found = highest(&curve, between(low, high, &view.resonances()?))?.ok_or(NOTHING)?;
            Ok((Curve::Response(index), found.0))
        }
        Measure::InsertionLoss { instance, source, load, band } => {
            let ends = [*source, *load];
            let loss = Loss::new(view.harness, view.lowered, &view.bias, instance, ends).ok_or(ABSENT)?;
            let found = loss.lowest(band_of(view.harness, *band)?)?.ok_or(NOTHING)?;
            Ok((Curve::Loss(Box::new(loss), instance.clone(), ends), found.0))
        }
        Measure::Resonances(response) => {
            let first = || view.harness.responses.first().map(|first| first.name.as_str());
            let name = response.as_deref().or_else(first).ok_or(ABSENT)?;
            let index = view.response(name).ok_or(ABSENT)?;
            let curve = |frequencies: &[f64]| view.magnitudes(index, frequencies);
            let resonances = view.resonances()?;
            let tops = of_note(&resonances).map(|resonance| top(&curve, resonance));
            let tops = tops.collect::<Result<Vec<_>, String>>()?;
            let tallest = tops.into_iter().flatten().max_by(|one, other| one.1.total_cmp(&other.1));
            let (frequency, _) = tallest.ok_or(NOTHING)?;
            let found = Curve::Response(index);
            if !is_at_top(view, &found, frequency)? {
                return Err("its curve has no top at the resonance".to_owned());
            }
            Ok((found, frequency))
        }
        Measure::ImpedanceMargin(part) => match margin(view, part)? {
            Margin::Decibels { frequency, .. } => {
                let (branch, _) = law_of(view, part).ok_or(ABSENT)?;
                Ok((Curve::Feeding(branch, view.bias.without_load(branch)), frequency))
            }
            Margin::FollowsNothing => Err(ABSENT.to_owned()),
            Margin::Unfed => Err(NOTHING.to_owned()),
        },
        _ => Err("it is read in time".to_owned()),
    }
}

impl Curve {
    fn magnitudes(&self, view: &View<'_>, frequencies: &[f64]) -> Result<Vec<Option<f64>>, String> {
        match self {
            Self::Response(index) => view.magnitudes(*index, frequencies),
            Self::Loss(loss, ..) => {
                Ok(loss.at(frequencies)?.iter().map(|ratio| ratio.map(|ratio| 1.0 / ratio.norm())).collect())
            }
            Self::Feeding(branch, bias) => {
                let network = &view.lowered.network;
                let path = feeding(view, *branch);
                let found = frequency_response(network, bias, &[path], frequencies)
                    .map_err(|failure| failure.to_string())?;
                Ok(found.values[0].iter().map(|value| value.map(Complex::norm)).collect())
            }
        }
    }
}

fn feeding(view: &View<'_>, branch: BranchIndex) -> Path {
    let ends = &view.lowered.network.branches[branch];
    Path::impedance(ends.left, ends.right)
}

/// Whether the curve is lower on both sides; at the end of a band it need not be.
fn is_at_top(view: &View<'_>, curve: &Curve, frequency: f64) -> Result<bool, String> {
    let around = curve.magnitudes(view, &[frequency * (1.0 - NEAR), frequency, frequency * (1.0 + NEAR)])?;
    Ok(matches!(around.as_slice(), [Some(before), Some(here), Some(after)] if before < here && after < here))
}

/// The top, closer than a height needs to know it.
fn nearer(view: &View<'_>, curve: &Curve, frequency: f64) -> Result<f64, String> {
    let magnitudes: Magnitudes<'_> = &|frequencies: &[f64]| curve.magnitudes(view, frequencies);
    let here = magnitudes(&[frequency])?.first().copied().flatten().unwrap_or(0.0);
    Ok(refine(magnitudes, frequency * (1.0 - NEAR), (frequency, here), frequency * (1.0 + NEAR))?.0)
}

fn of_response(
    view: &View<'_>,
    response: usize,
    frequency: f64,
    others: &[Beside<'_>],
) -> Result<(f64, Vec<f64>), String> {
    const NO_ANSWER: &str = "the network has no answer at its frequency";
    let neighbours: Vec<Neighbours<'_>> = others
        .iter()
        .map(|beside| Neighbours {
            networks: beside.views.each_ref().map(|view| (&view.lowered.network, &view.bias)),
            width: beside.width,
        })
        .collect();
    let mut paths = Vec::new();
    for path in &view.paths {
        let found = slopes_of_path(&view.lowered.network, &view.bias, path, frequency, &neighbours);
        paths.push(found.map_err(|failure| failure.to_string())?);
    }
    let mut losses = Vec::new();
    for (index, loss) in view.losses.iter().enumerate() {
        let others: Option<Vec<([&Loss; 2], f64)>> = others
            .iter()
            .map(|beside| {
                let [low, high] = beside.views.each_ref().map(|view| view.losses.get(index));
                Some(([low?, high?], beside.width))
            })
            .collect();
        losses.push(loss.slopes(frequency, &others.ok_or(NO_ANSWER)?)?);
    }
    let value_of = |view: &View<'_>, column: Option<usize>, by: f64| -> Option<Complex<f64>> {
        let at = |found: &Option<Sloped>| {
            let (value, slopes) = found.as_ref()?;
            Some(value + column.map_or(Complex::new(0.0, 0.0), |column| slopes[column] * by))
        };
        view.work_out(&|index| at(&paths[index]), &|index| at(&losses[index]))[response]
    };
    let value = value_of(view, None, 0.0).ok_or(NO_ANSWER)?;
    // The arithmetic of a response, beside its own values: a difference of a closed form.
    let slope = |(column, beside): (usize, &Beside<'_>)| {
        let by = 0.5 * beside.width;
        let low = value_of(&beside.views[0], Some(column), -by).ok_or(NO_ANSWER)?;
        let high = value_of(&beside.views[1], Some(column), by).ok_or(NO_ANSWER)?;
        Ok(((high - low) / beside.width / value).re)
    };
    let by_value = others.iter().enumerate().map(slope).collect::<Result<Vec<f64>, String>>()?;
    Ok((value.norm().ln(), by_value))
}

fn of_loss(
    loss: &Loss,
    instance: &str,
    ends: [f64; 2],
    frequency: f64,
    others: &[Beside<'_>],
) -> Result<(f64, Vec<f64>), String> {
    const ABSENT: &str = "it looks at what is absent beside this value";
    let losses = others.iter().map(|beside| {
        let of = |view: &View<'_>| Loss::new(view.harness, view.lowered, &view.bias, instance, ends);
        Some(([of(&beside.views[0])?, of(&beside.views[1])?], beside.width))
    });
    let losses: Vec<([Loss; 2], f64)> = losses.collect::<Option<Vec<_>>>().ok_or(ABSENT)?;
    let pairs: Vec<([&Loss; 2], f64)> =
        losses.iter().map(|(pair, width)| (pair.each_ref(), *width)).collect();
    let (value, by_value) = loss.slopes(frequency, &pairs)?.ok_or(ABSENT)?;
    Ok((value.norm().ln(), by_value.into_iter().map(|slope| (slope / value).re).collect()))
}

/// The margin: the logarithm of the load's own impedance 1/g by that which feeds it.
fn of_feeding(
    view: &View<'_>,
    branch: BranchIndex,
    without: &Bias,
    frequency: f64,
    others: &[Beside<'_>],
) -> Result<(f64, Vec<f64>), String> {
    let biases: Vec<[Bias; 2]> = others
        .iter()
        .map(|beside| beside.views.each_ref().map(|view| view.bias.without_load(branch)))
        .collect();
    let neighbours: Vec<Neighbours<'_>> = others
        .iter()
        .zip(&biases)
        .map(|(beside, [low, high])| {
            let [first, second] = beside.views.each_ref().map(|view| &view.lowered.network);
            Neighbours { networks: [(first, low), (second, high)], width: beside.width }
        })
        .collect();
    let path = feeding(view, branch);
    let found = slopes_of_path(&view.lowered.network, without, &path, frequency, &neighbours)
        .map_err(|failure| failure.to_string())?;
    let (impedance, by_value) = found.ok_or("the network has no answer at its frequency")?;
    let own = view.bias.slope(branch);
    let slope = |(beside, slope): (&Beside<'_>, Complex<f64>)| {
        let [low, high] = beside.views.each_ref().map(|view| view.bias.slope(branch));
        -(slope / impedance).re - (high - low) / (beside.width * own)
    };
    let value = -(own.abs() * impedance.norm()).ln();
    Ok((value, others.iter().zip(by_value).map(slope).collect()))
}
