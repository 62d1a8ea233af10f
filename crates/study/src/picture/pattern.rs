//! What one frequency shows as in an interlaced picture.

use parts::video::Video;

/// Nearer than this to standing still, in hertz, a pattern moves by one spacing in a quarter of a minute or slower.
const STANDING: f64 = 0.07;

/// A frequency split into what fits a line and what is left: `f = stripes * line rate + residual`.
///
/// The phase at line n and x seconds into it is `f (n H + x)`; whole cycles a line fall out, so that down the picture only the residual
/// counts and along a line the frequency itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pattern {
    /// The system of video.
    pub video: Video,
    /// The frequency in hertz.
    pub frequency: f64,
    /// The nearest whole number of cycles a line; 0 where the bands lie level.
    pub cycles_a_line: f64,
    /// What is left of the frequency in hertz, within half a line rate either way.
    pub residual: f64,
}

impl Pattern {
    /// Of a frequency in hertz, not negative.
    #[must_use]
    pub fn of(video: Video, frequency: f64) -> Self {
        let cycles_a_line = (frequency / video.line_rate()).round();
        Self { video, frequency, cycles_a_line, residual: frequency - cycles_a_line * video.line_rate() }
    }

    /// Cycles down one field period, blanking included.
    #[must_use]
    pub fn bands_a_field(&self) -> f64 {
        self.residual.abs() / self.video.field_rate()
    }

    /// Bands that one counts from the top of the picture to its bottom: what the visible lines show of them.
    #[must_use]
    pub fn visible_bands(&self) -> f64 {
        self.bands_a_field() * self.video.active_lines() / self.video.lines_a_field()
    }

    /// Stripes that one counts along a line, from the left edge to the right: how many spacings a band climbs or falls over the width.
    #[must_use]
    pub fn visible_stripes(&self) -> f64 {
        self.frequency * (1.0 / self.video.line_rate() - self.video.blanking())
    }

    /// Band spacings a second by which the picture rolls: up where positive, down where negative.
    ///
    /// From field to field the phase of a place moves on by the residual over the field rate, of which whole cycles don't show.
    #[must_use]
    pub fn roll(&self) -> f64 {
        let fields = self.video.field_rate();
        let beat = self.residual - (self.residual / fields).round() * fields;
        if self.residual < 0.0 { -beat } else { beat }
    }

    /// Whether the pattern stands still to the eye.
    #[must_use]
    pub fn stands(&self) -> bool {
        self.roll().abs() < STANDING
    }

    /// Whether the bands lie level, all of a line being much the same.
    #[must_use]
    pub fn is_level(&self) -> bool {
        self.cycles_a_line == 0.0 && self.visible_stripes() < 0.5
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: f64, expected: f64) {
        assert!((found - expected).abs() < 1e-4 * expected.abs().max(0.1), "{found}, expected {expected}");
    }

    /// Stroboscopic identity; 60 Hz on 59.94 fields rolls once in 16.7 s, as public pages say.
    #[test]
    fn slow_ripple_makes_bands_that_roll() {
        for (video, frequency, bands, roll) in [
            (Video::Pal, 100.0, 2.0, 0.0),
            (Video::Ntsc, 60.0, 1.001, 0.059_94),
            (Video::Ntsc, 120.0, 2.002, 0.119_88),
            (Video::Ntsc, 50.0, 0.834_167, -9.940_06),
            (Video::Ntsc, 400.0, 6.673_33, -19.580_42),
        ] {
            let pattern = Pattern::of(video, frequency);
            near(pattern.bands_a_field(), bands);
            near(pattern.roll(), roll);
            assert_eq!(pattern.stands(), roll.abs() < 0.07);
        }
        // 287.5 of 312.5 lines are seen.
        near(Pattern::of(Video::Pal, 500.0).visible_bands(), 9.2);
    }

    /// Raster identity, 625 lines: 31.25 kHz stands upright, 20 kHz repeats every 3.5714 lines, 62.6 kHz every 156.25.
    #[test]
    fn fast_ripple_makes_stripes() {
        for (frequency, lines, visible) in
            [(31.25e3, f64::INFINITY, 1.625), (20e3, 3.571_4, 1.04), (62.6e3, 156.25, 3.2552)]
        {
            let pattern = Pattern::of(Video::Pal, frequency);
            let repeats = Video::Pal.line_rate() / pattern.residual.abs();
            assert!(repeats == lines || (repeats / lines - 1.0).abs() < 1e-4, "{repeats}");
            near(pattern.visible_stripes(), visible);
        }
        // A cycle a line and one a field besides: a slant of one spacing over a field that stands.
        let slanted = Pattern::of(Video::Pal, 15_625.0 + 50.0);
        near(slanted.bands_a_field(), 1.0);
        assert!(slanted.stands() && slanted.cycles_a_line == 1.0);
        // The line rate itself is 312.5 cycles a field and yet stands: every line is alike.
        assert!(Pattern::of(Video::Pal, 15_625.0).stands());
    }
}
