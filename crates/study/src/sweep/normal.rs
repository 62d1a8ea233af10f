//! The inverse of the normal distribution.

#![allow(clippy::excessive_precision, reason = "coefficients with the digits that the algorithm states")]

/// The value below which a standard normal variable lies with probability `p`, inside 0 to 1.
///
/// Wichura, Algorithm AS 241, Applied Statistics 37 (1988), PPND16: about 16 digits (coefficients from memory, held by a test
/// against tables).
pub(super) fn quantile(p: f64) -> f64 {
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180_625 - q * q;
        return q * ratio(r, &NEAR);
    }
    let tail = if q < 0.0 { p } else { 1.0 - p };
    let r = (-tail.ln()).sqrt();
    let size = if r <= 5.0 { ratio(r - 1.6, &MIDDLE) } else { ratio(r - 5.0, &FAR) };
    size.copysign(q)
}

/// Coefficients of numerator and denominator, by rising power.
type Ratio = [[f64; 8]; 2];

fn ratio(x: f64, [above, below]: &Ratio) -> f64 {
    let polynomial =
        |coefficients: &[f64; 8]| coefficients.iter().rev().fold(0.0, |sum, each| sum * x + each);
    polynomial(above) / polynomial(below)
}

const NEAR: Ratio = [
    [
        3.387_132_872_796_366_5,
        1.331_416_678_917_843_8e2,
        1.971_590_950_306_551_3e3,
        1.373_169_376_550_946_1e4,
        4.592_195_393_154_987e4,
        6.726_577_092_700_87e4,
        3.343_057_558_358_813e4,
        2.509_080_928_730_122_7e3,
    ],
    [
        1.0,
        4.231_333_070_160_091e1,
        6.871_870_074_920_579e2,
        5.394_196_021_424_751e3,
        2.121_379_430_158_659_7e4,
        3.930_789_580_009_271e4,
        2.872_908_573_572_194_3e4,
        5.226_495_278_852_854e3,
    ],
];
const MIDDLE: Ratio = [
    [
        1.423_437_110_749_683_5,
        4.630_337_846_156_545,
        5.769_497_221_460_691,
        3.647_848_324_763_204_5,
        1.270_458_252_452_368_4,
        2.417_807_251_774_506e-1,
        2.272_384_498_926_918_4e-2,
        7.745_450_142_783_414e-4,
    ],
    [
        1.0,
        2.053_191_626_637_759,
        1.676_384_830_183_803_8,
        6.897_673_349_851e-1,
        1.481_039_764_274_800_8e-1,
        1.519_866_656_361_645_7e-2,
        5.475_938_084_995_345e-4,
        1.050_750_071_644_416_9e-9,
    ],
];
const FAR: Ratio = [
    [
        6.657_904_643_501_103,
        5.463_784_911_164_114,
        1.784_826_539_917_291_3,
        2.965_605_718_285_048_7e-1,
        2.653_218_952_657_612_4e-2,
        1.242_660_947_388_078_4e-3,
        2.711_555_568_743_487_6e-5,
        2.010_334_399_292_288_1e-7,
    ],
    [
        1.0,
        5.998_322_065_558_88e-1,
        1.369_298_809_227_358e-1,
        1.487_536_129_085_061_5e-2,
        7.868_691_311_456_133e-4,
        1.846_318_317_510_054_8e-5,
        1.421_511_758_316_446e-7,
        2.044_263_103_389_939_8e-15,
    ],
];

#[cfg(test)]
mod tests {
    use super::quantile;

    /// Quantiles of the standard normal distribution from published tables (Abramowitz and Stegun, Handbook of Mathematical
    /// Functions, table 26.5 and common practice for the far ones), to the digits printed there.
    #[test]
    fn tables() {
        for (p, x) in [
            (0.5, 0.0),
            (0.75, 0.674_489_750_2),
            (0.9, 1.281_551_565_5),
            (0.975, 1.959_963_984_5),
            (0.995, 2.575_829_303_5),
            (0.999, 3.090_232_306_2),
            (0.999_999, 4.753_424_308_8),
            (1e-9, -5.997_807_015_0),
        ] {
            assert!((quantile(p) - x).abs() < 1e-9, "{p}: {}", quantile(p));
            assert!((quantile(1.0 - p) + x).abs() < 1e-7, "{p}");
        }
    }

    /// The error function's integral, by Simpson's rule, undoes it across both changes of formula.
    #[test]
    fn the_distribution_undoes_it() {
        let density = |x: f64| (-x * x / 2.0).exp() / std::f64::consts::TAU.sqrt();
        for k in 1..40 {
            let p = f64::from(k) / 40.0;
            let (x, n) = (quantile(p), 2000);
            let h = x / f64::from(n);
            let weight = |j: i32| if j == 0 || j == n { 1.0 } else { f64::from(2 + 2 * (j % 2)) };
            let area: f64 = (0..=n).map(|j| weight(j) * density(h * f64::from(j))).sum::<f64>() * h / 3.0;
            assert!((area + 0.5 - p).abs() < 1e-12, "{p}");
        }
    }
}
