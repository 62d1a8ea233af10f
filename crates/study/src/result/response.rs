//! Responses over frequency as plain data.

use super::Comparison;
use quantity::Dimension;

/// Every response at every point.
#[derive(Clone, Debug)]
pub struct Responses {
    /// The points as runs without readings, requirements and waveforms; with their warnings and errors.
    pub points: Comparison,
    /// Responses in the file's order.
    pub responses: Vec<ResponseInfo>,
    /// Frequencies at which drives shake the harness at some point, rising.
    pub lines: Vec<Line>,
    /// Where the rhythms of the drives run over all points and the throttle, by rising greatest frequency.
    pub bands: Vec<Band>,
    /// For each run of the points, for each response, its curve; `None` where it names a part or a node that is absent there, or
    /// where the point failed.
    pub curves: Vec<Vec<Option<Curve>>>,
    /// For each run what resonates, by rising frequency, with its height in the first response; empty where that has no curve.
    pub resonances: Vec<Vec<ListedResonance>>,
    /// For each run, for each response, the top at each of the run's resonances: `None` where the response has
    /// no value there.
    pub tops: Vec<Vec<Tops>>,
    /// For each run the losses of the assemblies fitted there.
    pub losses: Vec<Vec<InstanceLoss>>,
}

/// The tops of a response at each resonance of a point: frequency in hertz and magnitude in the response's unit.
pub type Tops = Vec<Option<(f64, f64)>>;

/// A response's heading.
#[derive(Clone, Debug, PartialEq)]
pub struct ResponseInfo {
    /// Its name.
    pub name: String,
    /// What it is, in the words of the language: `transfer(voltage(cam), tracks)`.
    pub words: String,
    /// Its dimension.
    pub dimension: Dimension,
}

/// A frequency at which a drive shakes the harness.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Name of the drive.
    pub drive: String,
    /// What happens that often.
    pub what: Rhythm,
    /// Frequency in hertz.
    pub frequency: f64,
}

/// Between which frequencies a rhythm of a drive runs.
#[derive(Clone, Debug, PartialEq)]
pub struct Band {
    /// Name of the drive.
    pub drive: String,
    /// What happens that often.
    pub what: Rhythm,
    /// Least frequency in hertz; 0 for what turns, which starts from standstill.
    pub low: f64,
    /// Greatest frequency in hertz, at the points computed.
    pub high: f64,
}

/// What a drive repeats.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rhythm {
    /// Its pulse-width modulation.
    Pwm,
    /// The commutation of its motors.
    Commutation,
    /// The revolutions of its motors.
    Rotation,
}

impl Rhythm {
    /// As people say it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Pwm => "PWM",
            Self::Commutation => "commutation",
            Self::Rotation => "rotation",
        }
    }
}

/// A complex amplitude e^(j omega t) in SI units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Amplitude {
    /// Real part.
    pub re: f64,
    /// Imaginary part.
    pub im: f64,
}

impl Amplitude {
    /// Its absolute value.
    #[must_use]
    pub fn magnitude(self) -> f64 {
        self.re.hypot(self.im)
    }
}

/// A curve over frequency: one response at one study point.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// Frequencies in hertz, as the file states them.
    pub frequencies: Vec<f64>,
    /// One value a frequency; `None` where there is no finite one.
    pub values: Vec<Option<Amplitude>>,
    /// Frequency and magnitude at each whole power of ten within the frequencies.
    pub decades: Vec<(f64, Option<f64>)>,
    /// Magnitude at each of the lines.
    pub at_lines: Vec<Option<f64>>,
    /// Frequency and magnitude of the highest peak between the ends; `None` where the curve has none.
    pub peak: Option<(f64, f64)>,
}

/// A resonance as it stands out of a response.
#[derive(Clone, Debug, PartialEq)]
pub struct ListedResonance {
    /// Natural frequency in hertz.
    pub frequency: f64,
    /// Height in dB of the response's top there, against one of the response's unit; `None` where it is not finite.
    pub height: Option<f64>,
    /// Quality; infinite without loss.
    pub quality: f64,
    /// Parts that hold at least a tenth of its energy.
    pub parts: Vec<String>,
}

/// Insertion loss of a fitted assembly by CISPR 17, between resistances.
#[derive(Clone, Debug, PartialEq)]
pub struct InstanceLoss {
    /// Name of the instance.
    pub instance: String,
    /// Resistance of the source in ohm.
    pub source: f64,
    /// Resistance of the load in ohm.
    pub load: f64,
    /// Frequency and |V20 / V2| at each whole power of ten within the stated frequencies.
    pub decades: Vec<(f64, Option<f64>)>,
    /// |V20 / V2| at each of the lines.
    pub at_lines: Vec<Option<f64>>,
}
