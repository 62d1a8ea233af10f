//! The project's own test card: colour bars, steps of grey, and a grey field in which faint patterns show best.

/// The bars of ITU-R BT.471, 100/0/75/0: white at full level, colours at three quarters, black.
const BARS: [[f64; 3]; 8] = [
    [1.0, 1.0, 1.0],
    [0.75, 0.75, 0.0],
    [0.0, 0.75, 0.75],
    [0.0, 0.75, 0.0],
    [0.75, 0.0, 0.75],
    [0.75, 0.0, 0.0],
    [0.0, 0.0, 0.75],
    [0.0, 0.0, 0.0],
];
/// Steps of grey from black to white, equally far from one to the next.
const STEPS: usize = 11;
/// Tenths of the height at which the bars and the steps end.
const BARS_END: usize = 4;
const STEPS_END: usize = 6;

/// Red, green and blue of the card at a pixel of a frame of `size`, as shares of full level: whole levels of 255, so that rounding alone
/// makes no pattern.
#[must_use]
pub fn colour(x: usize, row: usize, (width, height): (usize, usize)) -> [f64; 3] {
    let exact = if row * 10 < height * BARS_END {
        BARS[x * BARS.len() / width]
    } else if row * 10 < height * STEPS_END {
        [(x * STEPS / width) as f64 / (STEPS - 1) as f64; 3]
    } else {
        [0.5; 3]
    };
    exact.map(|part| (255.0 * part).round() / 255.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ITU-R BT.471: luminance (ITU-R BT.601: 0.299 R + 0.587 G + 0.114 B) falls from bar to bar.
    #[test]
    fn bars_fall_in_luminance_and_greys_rise() {
        let size = (768, 576);
        let luminance = |x, row| {
            let [red, green, blue] = colour(x, row, size);
            0.299 * red + 0.587 * green + 0.114 * blue
        };
        let bars: Vec<f64> = (0..8).map(|bar| luminance(bar * 96 + 48, 0)).collect();
        assert!(bars.windows(2).all(|pair| pair[0] > pair[1]), "{bars:?}");
        // 75 % of 0.886, the luminance of yellow; half a level of 255 is rounding.
        assert!((bars[0] - 1.0).abs() < 1e-12 && (bars[1] - 0.6645).abs() < 2e-3 && bars[7] == 0.0);
        assert!(luminance(0, 300) == 0.0 && (luminance(767, 300) - 1.0).abs() < 1e-12);
        assert!((luminance(400, 500) - 0.5).abs() < 2e-3);
    }
}
