//! Timing and levels of analogue video.

use crate::fact::Fact;
use quantity::Dimension;

/// A system of analogue video.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Video {
    /// 625 lines, 50 fields a second.
    Pal,
    /// 525 lines, 59.94 fields a second.
    Ntsc,
}

impl Video {
    /// Lines a second in hertz. ITU-R BT.470, SMPTE 170M: 625 x 25 Hz, and 4.5 MHz over 286.
    #[must_use]
    pub fn line_rate(self) -> f64 {
        match self {
            Self::Pal => 15_625.0,
            Self::Ntsc => 4.5e6 / 286.0,
        }
    }

    /// Lines of a field: half of 625 or 525.
    #[must_use]
    pub fn lines_a_field(self) -> f64 {
        match self {
            Self::Pal => 312.5,
            Self::Ntsc => 262.5,
        }
    }

    /// Fields a second in hertz.
    #[must_use]
    pub fn field_rate(self) -> f64 {
        self.line_rate() / self.lines_a_field()
    }

    /// Part of a line in seconds that shows nothing: 12 us, and 10.9 us (ITU-R BT.470).
    #[must_use]
    pub fn blanking(self) -> f64 {
        match self {
            Self::Pal => 12e-6,
            Self::Ntsc => 10.9e-6,
        }
    }

    /// Seconds from the leading edge of a line's sync pulse to the picture: 10.5 us, and 9.4 us (ITU-R BT.470, BT.1700).
    #[must_use]
    pub fn picture_start(self) -> f64 {
        match self {
            Self::Pal => 10.5e-6,
            Self::Ntsc => 9.4e-6,
        }
    }

    /// The line of each field that stands first in a frame of [`Video::frame`], numbered from 1 as ITU-R BT.1700 does: 23 and 336, and
    /// 23 and 286. The second field's lines begin half a line later in their field, so each stands below its fellow of the first.
    ///
    /// The 480 rows are an own choice out of the some 485 lines that 525 lines show; 576 rows take both half lines in.
    #[must_use]
    pub fn first_lines(self) -> [u32; 2] {
        match self {
            Self::Pal => [23, 336],
            Self::Ntsc => [23, 286],
        }
    }

    /// Width and height of a frame in square pixels, as stills of both systems usually have: 768 x 576, and 640 x 480.
    #[must_use]
    pub fn frame(self) -> (usize, usize) {
        match self {
            Self::Pal => (768, 576),
            Self::Ntsc => (640, 480),
        }
    }

    /// The system as the file says it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Pal => "pal",
            Self::Ntsc => "ntsc",
        }
    }

    /// Lines of a frame and fields a second as people say them: `625/50`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Pal => "625/50",
            Self::Ntsc => "525/59.94",
        }
    }

    /// Lines of a field that show the picture: 287.5 of 575, and about 242.5 of 485 (practice of ITU-R BT.601; 525 lines from memory).
    #[must_use]
    pub fn active_lines(self) -> f64 {
        match self {
            Self::Pal => 287.5,
            Self::Ntsc => 242.5,
        }
    }

    /// Volts from black to white: 0.7 V, and 0.714 V (CCITT N.60); the sync pulses take what is left of 1 V.
    #[must_use]
    pub fn picture_level(self) -> f64 {
        match self {
            Self::Pal => 0.7,
            Self::Ntsc => 0.714,
        }
    }

    /// What a camera's video comes to.
    #[must_use]
    pub fn facts(self) -> Vec<Fact> {
        let line = 1.0 / self.line_rate();
        vec![
            Fact::new("line_rate", self.line_rate(), Dimension::FREQUENCY),
            Fact::new("field_rate", self.field_rate(), Dimension::FREQUENCY),
            Fact::new("line_period", line, Dimension::TIME),
            Fact::new("active_line", line - self.blanking(), Dimension::TIME),
            Fact::plain("lines_a_field", self.lines_a_field()),
            Fact::plain("active_lines_a_field", self.active_lines()),
            Fact::new("picture_level", self.picture_level(), Dimension::VOLTAGE),
            Fact::new("sync_level", 1.0 - self.picture_level(), Dimension::VOLTAGE),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Checks 6.01, 6.02 and 6.03: ITU-R BT.470, SMPTE 170M, CCITT N.60.
    #[test]
    fn systems_have_their_published_numbers() {
        let fact = |video: Video, name: &str| {
            video.facts().iter().find(|fact| fact.name == name).map(|fact| fact.value).unwrap()
        };
        for (video, name, expected, relative) in [
            (Video::Ntsc, "line_rate", 15_734.265_7, 1e-6),
            (Video::Ntsc, "field_rate", 59.940_06, 1e-6),
            (Video::Ntsc, "line_period", 63.555_56e-6, 1e-6),
            (Video::Ntsc, "active_line", 52.656e-6, 1e-5),
            (Video::Ntsc, "active_lines_a_field", 242.5, 1e-12),
            (Video::Ntsc, "picture_level", 0.714, 1e-12),
            (Video::Ntsc, "sync_level", 0.286, 1e-12),
            (Video::Pal, "line_rate", 15_625.0, 1e-12),
            (Video::Pal, "field_rate", 50.0, 1e-12),
            (Video::Pal, "line_period", 64e-6, 1e-12),
            (Video::Pal, "active_line", 52e-6, 1e-12),
            (Video::Pal, "active_lines_a_field", 287.5, 1e-12),
            (Video::Pal, "picture_level", 0.7, 1e-12),
            (Video::Pal, "sync_level", 0.3, 1e-12),
        ] {
            let found = fact(video, name);
            assert!((found / expected - 1.0).abs() < relative, "{video:?} {name}: {found}");
        }
    }
}
