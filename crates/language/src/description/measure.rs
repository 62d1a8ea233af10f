//! What readings measure.

/// Something measured; names are test points unless said otherwise.
#[derive(Clone, Debug, PartialEq)]
pub enum Measure {
    /// Time average.
    Mean(String),
    /// Least value.
    Minimum(String),
    /// Greatest value.
    Maximum(String),
    /// Greatest absolute value.
    Peak(String),
    /// Greatest less least value.
    PeakToPeak(String),
    /// Root of the mean square.
    Rms(String),
    /// Root of the mean square of the departure from the mean.
    RmsAc(String),
    /// Value at a time in seconds.
    At(String, f64),
    /// Time in seconds of the greatest value.
    TimeOfMaximum(String),
    /// Peak amplitude of the n-th harmonic, of the common period or of the named drive's PWM.
    Harmonic {
        /// Test point.
        testpoint: String,
        /// Drive whose PWM frequency is the first harmonic; the common period's where `None`.
        drive: Option<String>,
        /// Order, from 1.
        order: u32,
    },
    /// Rms inside a band of frequencies in hertz.
    Band(String, f64, f64),
    /// 20 log10(rms_ac(p) / rms_ac(q)) in dB.
    Attenuation(String, String),
    /// Share of a coil's inductance that is gone at its peak current; the name is a part's.
    Saturation(String),
    /// Greatest magnitude of a response in dB against one of its unit; the name is the response's.
    PeakGain {
        /// Response.
        response: String,
        /// Frequencies in hertz between which it is sought; every stated frequency where `None`.
        band: Option<(f64, f64)>,
    },
    /// Least insertion loss of an instance of an assembly in dB, between its first two terminals.
    InsertionLoss {
        /// Name of the instance; it may be absent here.
        instance: String,
        /// Resistance of the source in ohm.
        source: f64,
        /// Resistance of the load in ohm.
        load: f64,
        /// Frequencies in hertz between which it is sought (both the same: at that one); every stated frequency where `None`.
        band: Option<(f64, f64)>,
    },
    /// Height in dB of the tallest resonance of a response, of the first one where `None`.
    Resonances(Option<String>),
    /// How far in dB the impedance that feeds a load or camera stays under the load's own; the name is the part's.
    ImpedanceMargin(String),
}

impl Measure {
    /// Whether it is read from a run in time.
    #[must_use]
    pub fn in_time(&self) -> bool {
        !matches!(
            self,
            Self::PeakGain { .. }
                | Self::InsertionLoss { .. }
                | Self::Resonances(_)
                | Self::ImpedanceMargin(_)
        )
    }
}
