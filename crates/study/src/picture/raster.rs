//! A waveform laid out over the pixels of a frame.

use super::capture::Captured;
use parts::video::Video;

/// What a waveform adds to each pixel of a frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Raster {
    /// Pixels of a row.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Departure from the mean in volt, row by row from the top.
    pub values: Vec<f32>,
}

/// Seconds from the start of line 1 of a frame to the leading edge of sync of the line that a row of [`Video::frame`] shows.
///
/// Even rows, counted from 0, are of the first field, odd rows of the second.
#[must_use]
pub fn row_time(video: Video, row: usize) -> f64 {
    let line = video.first_lines()[row % 2] as usize + row / 2 - 1;
    line as f64 / video.line_rate()
}

impl Raster {
    /// The first frame of a waveform that repeats, line 1 beginning at t = 0. Each pixel shows the mean over its time: what is faster
    /// than pixels doesn't show.
    pub(super) fn of(video: Video, waveform: &Captured) -> Self {
        let (width, height) = video.frame();
        let pixel = (1.0 / video.line_rate() - video.blanking()) / width as f64;
        let mut values = Vec::with_capacity(width * height);
        for row in 0..height {
            let start = row_time(video, row) + video.picture_start();
            values.extend(waveform.means(start, pixel, width).map(|value| value as f32));
        }
        Self { width, height, values }
    }

    /// The departure in volt at a pixel.
    #[must_use]
    pub fn at(&self, x: usize, row: usize) -> f32 {
        self.values[row * self.width + x]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ITU-R BT.1700: a frame is 40 ms of 625 lines; the second field's rows lie half a frame later, less or more half a line.
    #[test]
    fn rows_of_both_fields_stand_between_each_other() {
        let line = 64e-6;
        let time = |row| row_time(Video::Pal, row);
        assert!((time(0) - 22.0 * line).abs() < 1e-12);
        assert!((time(575) - 622.0 * line).abs() < 1e-12);
        assert!((time(2) - time(0) - line).abs() < 1e-12);
        // Half a line lower down in its own field.
        assert!((time(1) - time(0) - 20e-3 - 0.5 * line).abs() < 1e-12);
        let (time, line) = (|row| row_time(Video::Ntsc, row), 286.0 / 4.5e6);
        assert!((time(1) - time(0) - 262.5 * line - 0.5 * line).abs() < 1e-12);
        assert!(time(479) + line <= 525.0 * line + 1e-12);
    }
}
