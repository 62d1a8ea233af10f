//! Preferred numbers against the tables of IEC 60063, typed in.

use quietrail_quantity::Series;

/// IEC 60063, table of E192: every second number is E96, every fourth E48.
const E192: &str = "\
100 101 102 104 105 106 107 109 110 111 113 114 115 117 118 120 121 123 124 126 127 129 130 132 133 135 137 138 140 142 143 145
147 149 150 152 154 156 158 160 162 164 165 167 169 172 174 176 178 180 182 184 187 189 191 193 196 198 200 203 205 208 210 213
215 218 221 223 226 229 232 234 237 240 243 246 249 252 255 258 261 264 267 271 274 277 280 284 287 291 294 298 301 305 309 312
316 320 324 328 332 336 340 344 348 352 357 361 365 370 374 379 383 388 392 397 402 407 412 417 422 427 432 437 442 448 453 459
464 470 475 481 487 493 499 505 511 517 523 530 536 542 549 556 562 569 576 583 590 597 604 612 619 626 634 642 649 657 665 673
681 690 698 706 715 723 732 741 750 759 768 777 787 796 806 816 825 835 845 856 866 876 887 898 909 920 931 942 953 965 976 988";

/// The same standard's coarse series.
const E24: &str =
    "100 110 120 130 150 160 180 200 220 240 270 300 330 360 390 430 470 510 560 620 680 750 820 910";
const E12: &str = "100 120 150 180 220 270 330 390 470 560 680 820";
const E6: &str = "100 150 220 330 470 680";
const E3: &str = "100 220 470";

fn table(text: &str) -> Vec<u16> {
    text.split_whitespace().map(|number| number.parse().expect("a number")).collect()
}

#[test]
fn every_number_is_the_standards() {
    let e192 = table(E192);
    let every = |step: usize| e192.iter().copied().step_by(step).collect::<Vec<_>>();
    let expected = [table(E3), table(E6), table(E12), table(E24), every(4), every(2), every(1)];
    for (series, expected) in Series::ALL.into_iter().zip(expected) {
        assert_eq!(series.numbers().collect::<Vec<_>>(), expected, "{}", series.name());
        assert_eq!(expected.len(), series.count());
        assert_eq!(Series::named(series.name()), Some(series));
    }
    assert_eq!(Series::named("E7"), None);
    assert_eq!(Series::named("e6"), None);
}

#[test]
fn values_in_a_range_hold_its_ends_and_are_the_decimals_that_one_writes() {
    let found = |series: Series, low: f64, high: f64| series.between(low, high).collect::<Vec<_>>();
    assert_eq!(
        found(Series::E6, 4.7e-6, 100e-6),
        [4.7e-6, 6.8e-6, 10e-6, 15e-6, 22e-6, 33e-6, 47e-6, 68e-6, 100e-6]
    );
    assert_eq!(found(Series::E3, 0.9, 22.0), [1.0, 2.2, 4.7, 10.0, 22.0]);
    assert_eq!(found(Series::E12, 3.3e3, 3.3e3), [3300.0]);
    // An end that arithmetic has moved by its rounding still counts; one that is off by a millionth does not.
    assert_eq!(found(Series::E3, 47.0 * (1.0 + 1e-12), 99.0), [47.0]);
    assert!(found(Series::E3, 47.0 * (1.0 + 1e-6), 99.0).is_empty());
    assert_eq!(found(Series::E192, 1.0, 9.99).len(), 192);
    assert_eq!(found(Series::E24, 1e-12, 0.99e12).len(), 24 * 24);
    for (low, high) in [(0.0, 1.0), (-1.0, 1.0), (2.0, 1.0), (1.0, f64::INFINITY), (f64::NAN, 1.0)] {
        assert!(found(Series::E6, low, high).is_empty(), "{low} .. {high}");
    }
}
