//! What a run shows of time, and where in it a window, an instant or a harmonic lies.

/// Longest list of harmonics that a band may hold.
pub(crate) const MOST_HARMONICS: usize = 4000;
/// Frequencies this close to the edge of a band, as a fraction, lie on it: 1 / (1 / f) is not always f.
const ON_EDGE: f64 = 1e-9;

/// Start and end in seconds; `None` for the whole span.
pub(crate) type Window = Option<(f64, f64)>;

/// The stretch of time that a run shows.
#[derive(Clone, Debug)]
pub(crate) struct Shown {
    /// Its length in seconds.
    pub(crate) length: f64,
    /// Whether it is one period of a waveform that repeats.
    pub(crate) repeats: bool,
    /// Common period of the sources in seconds, where they have one.
    pub(crate) period: Option<f64>,
    /// Drives that switch, with their PWM frequencies in hertz.
    pub(crate) pwm: Vec<(String, f64)>,
}

/// A frequency in hertz, to be read over a stretch of time that holds a whole number of its periods.
pub(crate) type Line = ((f64, f64), f64);

impl Shown {
    /// The stretches of the run that a window covers. A waveform that repeats goes on beyond the period that is shown.
    pub(crate) fn stretches(&self, window: Window) -> Vec<(f64, f64)> {
        let Some((from, to)) = window else { return vec![(0.0, self.length)] };
        if !self.repeats {
            return vec![(from, to)];
        }
        if to - from >= self.length {
            return vec![(0.0, self.length)];
        }
        let start = self.instant(from);
        let end = start + (to - from);
        if end <= self.length {
            vec![(start, end)]
        } else {
            vec![(start, self.length), (0.0, end - self.length)]
        }
    }

    /// The instant of the run that shows a time.
    pub(crate) fn instant(&self, time: f64) -> f64 {
        if self.repeats && time > self.length { time % self.length } else { time }
    }

    /// The n-th harmonic of a drive's PWM, or of the common period.
    pub(crate) fn harmonic(&self, drive: Option<&str>, order: u32, window: Window) -> Option<Line> {
        let base = match drive {
            Some(name) => self.pwm.iter().find(|(part, _)| part == name).map(|(_, frequency)| *frequency)?,
            None => 1.0 / self.period?,
        };
        Some((self.whole_periods(base, window)?, base * f64::from(order)))
    }

    /// Harmonics of the common period inside a band; `None` where there are too many or there is no period.
    pub(crate) fn band(&self, low: f64, high: f64, window: Window) -> Option<Vec<Line>> {
        let base = 1.0 / self.period?;
        let stretch = self.whole_periods(base, window)?;
        let first = (low / base * (1.0 - ON_EDGE)).ceil().max(1.0);
        let last = (high / base * (1.0 + ON_EDGE)).floor();
        if last - first >= MOST_HARMONICS as f64 {
            return None;
        }
        let count = (last - first + 1.0).max(0.0) as usize;
        Some((0..count).map(|k| (stretch, (first + k as f64) * base)).collect())
    }

    /// The last whole periods inside a window. What repeats is read over all that is shown, wherever the window lies.
    fn whole_periods(&self, frequency: f64, window: Window) -> Option<(f64, f64)> {
        if self.repeats {
            return Some((0.0, self.length));
        }
        let (from, to) = window.unwrap_or((0.0, self.length));
        let to = to.min(self.length);
        let periods = ((to - from) * frequency * (1.0 + ON_EDGE)).floor();
        (periods >= 1.0).then(|| ((to - periods / frequency).max(0.0), to))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(length: f64, repeats: bool, period: Option<f64>) -> Shown {
        Shown { length, repeats, period, pwm: vec![("tracks".into(), 1e3)] }
    }

    #[test]
    fn windows_wrap_where_the_run_repeats() {
        let run = shown(40e-6, true, Some(40e-6));
        assert_eq!(run.stretches(Some((30e-6, 60e-6))), [(30e-6, 40e-6), (0.0, 60e-6 - 40e-6)]);
        assert_eq!(run.stretches(Some((0.0, 1.0))), [(0.0, 40e-6)]);
        assert_eq!(shown(1e-3, false, None).stretches(Some((2e-4, 9e-4))), [(2e-4, 9e-4)]);
    }

    /// Every whole kilohertz lies in a band that begins or ends at it.
    #[test]
    fn bands_hold_their_edges() {
        for kilohertz in 1..=200 {
            let frequency = f64::from(kilohertz) * 1e3;
            let run = shown(1.0 / frequency, true, Some(1.0 / frequency));
            let above = run.band(frequency, 1.5 * frequency, None).expect("a band");
            let below = run.band(0.5 * frequency, frequency, None).expect("a band");
            assert_eq!((above.len(), below.len()), (1, 1), "{kilohertz} kHz");
        }
    }

    #[test]
    fn harmonics_are_read_over_whole_periods() {
        let run = shown(1.5e-3, false, None);
        let ((from, to), frequency) = run.harmonic(Some("tracks"), 2, None).expect("a line");
        assert!((from - 0.5e-3).abs() < 1e-15 && to == 1.5e-3 && frequency == 2e3);
        assert!(run.harmonic(Some("tracks"), 1, Some((0.0, 0.9e-3))).is_none());
        assert!(run.harmonic(None, 1, None).is_none());
    }
}
