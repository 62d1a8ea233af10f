//! Colours, dashes and letters, once for pictures and page: a light and a dark theme of the same names.
//!
//! The hues follow Okabe and Ito's palette for all kinds of colour vision (2008), darkened on the light theme where their
//! lightness would not carry a thin line. Curves that share a field differ in their dashes too: colour tells nothing alone.
//! The steps of a heat map go from blue to orange, which stay apart for all kinds of colour vision, and within each from pale
//! to strong, which stays apart in print without colour.

use std::fmt;

/// Number of colours before they come round again.
pub(crate) const COLOURS: usize = 6;

/// Dashes of the curves that share a field, in pixels on and off: the baseline's, then those of the colours in their order.
pub(crate) const DASHES: [&[u8]; COLOURS + 1] =
    [&[], &[10, 3], &[3, 3], &[12, 3, 3, 3], &[6, 2], &[2, 2, 8, 2], &[14, 5]];

/// Name, light and dark of every colour.
const PALETTE: &[(&str, &str, &str)] = &[
    ("ink", "#1c1c1c", "#ececec"),
    ("muted", "#444444", "#b9b9b9"),
    ("page", "#ffffff", "#161618"),
    ("field", "#f7f7f5", "#1f1f22"),
    ("window", "#000000", "#ffffff"),
    ("allowed", "#00805d", "#2fc79b"),
    ("limit", "#4a5a52", "#b4c6bd"),
    ("grid", "#dcdcd8", "#34343a"),
    ("zero", "#a9a9a4", "#66666e"),
    ("before", "#7d7d78", "#a3a3a0"),
    ("k", "#333333", "#e4e4e4"),
    ("c0", "#0072b2", "#56b4e9"),
    ("c1", "#d55e00", "#ff8c42"),
    ("c2", "#00805d", "#2fc79b"),
    ("c3", "#b0538c", "#e29bc7"),
    ("c4", "#8f6500", "#e6b800"),
    ("c5", "#5546a8", "#a89bf0"),
    ("link", "#005a8f", "#7cc4f2"),
    ("good", "#00664a", "#2fc79b"),
    ("bad", "#a3300b", "#ff9d66"),
    ("unsure", "#6b4c00", "#e6b800"),
    ("edge", "#8a8a84", "#77777f"),
    ("band", "#8f6500", "#e6b800"),
    ("stem", "#b4b4ae", "#5c5c60"),
    ("m0", "#2f7fc1", "#4aa3ea"),
    ("m1", "#6ba6d9", "#2f78b4"),
    ("m2", "#a5caea", "#22547e"),
    ("m3", "#d7e7f6", "#1b3650"),
    ("x0", "#fde3c8", "#4d3115"),
    ("x1", "#f8bd85", "#744313"),
    ("x2", "#ec8f45", "#a85c12"),
    ("x3", "#c85a0c", "#ff9d3c"),
    ("none", "#b9b9b4", "#55555a"),
    ("cell", "#111111", "#f2f2f2"),
    ("on", "#ffffff", "#0d0d0d"),
];

/// The rules of a picture, a line each; `var(--NAME)` is a colour of the palette. Every class begins with `qr-` and nothing
/// else is styled, so that pictures can stand in a page whatever classes it has itself.
const RULES: &str = "\
.qr-chart{font-family:'Source Sans 3','Segoe UI','Helvetica Neue',Arial,'Liberation Sans','DejaVu Sans',sans-serif;font-size:16px;fill:var(--ink)}
.qr-title{font-size:26px;font-weight:600}
.qr-subtitle{font-size:17px;fill:var(--muted)}
.qr-head{font-size:17px;font-weight:600}
.qr-name{font-size:18px;font-weight:700}
.qr-figures{font-size:17px}
.qr-tick{font-size:16px;fill:var(--muted)}
.qr-label{font-size:16px;stroke:var(--field);stroke-width:5;stroke-linejoin:round;paint-order:stroke}
.qr-span{font-size:17px;font-weight:700}
.qr-page{fill:var(--page)}
.qr-field{fill:var(--field)}
.qr-window{fill:var(--window);fill-opacity:.12}
.qr-band{fill:var(--band);fill-opacity:.12}
.qr-allowed{fill:var(--allowed);fill-opacity:.15}
.qr-limit{stroke:var(--limit);stroke-width:1.2;stroke-dasharray:3 3}
.qr-grid{stroke:var(--grid);stroke-width:1}
.qr-zero{stroke:var(--zero);stroke-width:1}
.qr-bracket{stroke:var(--ink);stroke-width:1.3}
.qr-curve{fill:none;stroke-width:2;stroke-linejoin:round}
.qr-strong{stroke-width:2.6}
.qr-thin{stroke-width:1;stroke-opacity:.7}
.qr-stem{fill:none;stroke-width:1.6}
.qr-before{fill:none;stroke:var(--before);stroke-width:1.4;stroke-dasharray:5 3;stroke-linejoin:round}
.qr-before-stem{fill:none;stroke:var(--stem);stroke-width:1.6}
.qr-dot{fill:var(--page);stroke-width:2.4}
.qr-ring{fill:none;stroke:var(--ink);stroke-width:3}
.qr-halo{fill:none;stroke:var(--page);stroke-width:6}
.qr-area{stroke:none;fill-opacity:.14}
.qr-bar{stroke:var(--field);stroke-width:.6;fill-opacity:.75}
.qr-k{stroke:var(--k)}
.qr-c0{stroke:var(--c0)}
.qr-c1{stroke:var(--c1)}
.qr-c2{stroke:var(--c2)}
.qr-c3{stroke:var(--c3)}
.qr-c4{stroke:var(--c4)}
.qr-c5{stroke:var(--c5)}
.qr-fk{fill:var(--k)}
.qr-f0{fill:var(--c0)}
.qr-f1{fill:var(--c1)}
.qr-f2{fill:var(--c2)}
.qr-f3{fill:var(--c3)}
.qr-f4{fill:var(--c4)}
.qr-f5{fill:var(--c5)}
.qr-d0{stroke-dasharray:10 3}
.qr-d1{stroke-dasharray:3 3}
.qr-d2{stroke-dasharray:12 3 3 3}
.qr-d3{stroke-dasharray:6 2}
.qr-d4{stroke-dasharray:2 2 8 2}
.qr-d5{stroke-dasharray:14 5}
.qr-m0{fill:var(--m0)}
.qr-m1{fill:var(--m1)}
.qr-m2{fill:var(--m2)}
.qr-m3{fill:var(--m3)}
.qr-x0{fill:var(--x0)}
.qr-x1{fill:var(--x1)}
.qr-x2{fill:var(--x2)}
.qr-x3{fill:var(--x3)}
.qr-none{fill:var(--none)}
.qr-cell{font-size:16px;fill:var(--cell)}
.qr-on{fill:var(--on)}";

/// What winding sheets have beside it: drawn in copper and ferrite, and white on paper.
pub(crate) const WINDING: &str = "\
.qr-sheet-title{font-size:24px;font-weight:600}.qr-sheet-subtitle{font-size:15px;fill:#444}
.qr-sheet-name{font-size:17px;font-weight:700}.qr-sheet-fine{font-size:13px}
.qr-core{fill:#8b8f96;stroke:#3c3f44;stroke-width:1}
.qr-copper{stroke:#d98c3f;stroke-linecap:round;fill:none}.qr-over{stroke:#eeb476;stroke-linecap:round;fill:none}
.qr-enamel{stroke:#5f3512;stroke-linecap:round;fill:none}
.qr-under{stroke:#d98c3f;stroke-dasharray:5 5;fill:none}
.qr-outline{fill:none;stroke:#1c1c1c;stroke-width:1}.qr-box{fill:none;stroke:#1c1c1c;stroke-width:1.2}
.qr-can{fill:#2f4f80;stroke:#16263f;stroke-width:1}.qr-stripe{fill:#dfe4ec}.qr-minus{stroke:#16263f;stroke-width:2}.qr-lead{stroke:#8b8f96;stroke-width:2.5}
.qr-measure{stroke:#444;stroke-width:1}.qr-tip{fill:#444}
@media (prefers-color-scheme:dark){.qr-outline,.qr-box{stroke:#ececec}.qr-measure{stroke:#b9b9b9}.qr-tip,.qr-sheet-subtitle{fill:#b9b9b9}}
@media print{.qr-page{fill:#fff}}";

/// The style sheet of a picture that stands alone, shown as text. Its colours are plain values, since some viewers of pictures
/// know no variables.
pub(crate) struct Style;

/// See [`Style`].
pub(crate) const STYLE: Style = Style;

impl fmt::Display for Style {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let light = PALETTE.iter().fold(RULES.to_owned(), |rules, (name, light, _)| put(&rules, name, light));
        writeln!(formatter, "{light}\n@media (prefers-color-scheme:dark){{")?;
        for rule in RULES.lines() {
            let Some((selector, declarations)) = rule.trim_end_matches('}').split_once('{') else { continue };
            let coloured: Vec<&str> = declarations.split(';').filter(|one| one.contains("var(--")).collect();
            if !coloured.is_empty() {
                let dark =
                    PALETTE.iter().fold(coloured.join(";"), |text, (name, _, dark)| put(&text, name, dark));
                writeln!(formatter, "{selector}{{{dark}}}")?;
            }
        }
        formatter.write_str("}")
    }
}

fn put(rules: &str, name: &str, colour: &str) -> String {
    rules.replace(&format!("var(--{name})"), colour)
}

/// The palette as variables of a page: light, dark where the reader's system or `data-theme` says so, light on paper.
pub(crate) fn variables() -> String {
    let all = |dark: bool| -> String {
        let one = |(name, light, shaded): &(&str, &str, &str)| {
            format!("--{name}:{}", if dark { shaded } else { light })
        };
        PALETTE.iter().map(one).collect::<Vec<_>>().join(";")
    };
    let (light, dark) = (all(false), all(true));
    format!(
        ":root{{color-scheme:light;{light}}}\n\
         @media screen{{\n:root[data-theme=dark]{{color-scheme:dark;{dark}}}\n\
         @media (prefers-color-scheme:dark){{:root:not([data-theme=light]){{color-scheme:dark;{dark}}}}}\n}}\n"
    )
}

/// The rules of pictures for a page that has [`variables`]. They cannot be kept to the pictures by a selector of descendants:
/// what a picture uses twice is matched apart from what stands around it.
pub(crate) const PAGE_RULES: &str = RULES;

#[cfg(test)]
mod tests {
    use super::*;

    /// Every name that the rules use is in the palette, and nothing of a variable is left in a picture's own sheet.
    #[test]
    fn a_picture_alone_has_plain_colours() {
        let sheet = STYLE.to_string();
        assert!(!sheet.contains("var("), "{sheet}");
        assert!(
            sheet.contains(".qr-c0{stroke:#0072b2}") && sheet.contains(".qr-c0{stroke:#56b4e9}"),
            "{sheet}"
        );
        assert!(!sheet.contains("font-size:26px;font-weight:600}\n.qr-title"), "{sheet}");
    }

    #[test]
    fn dashes_of_pictures_are_those_of_the_page() {
        for (at, dash) in DASHES[1..].iter().enumerate() {
            let lengths: Vec<String> = dash.iter().map(ToString::to_string).collect();
            let rule = format!(".qr-d{at}{{stroke-dasharray:{}}}", lengths.join(" "));
            assert!(RULES.contains(&rule), "{rule}");
        }
    }

    /// WCAG 2.2, success criteria 1.4.3 and 1.4.11: 4.5 to 1 for text, 3 to 1 for lines that mean something.
    #[test]
    fn colours_stand_out_from_the_page() {
        let luminance = |colour: &str| -> f64 {
            let channel = |at: usize| {
                let value = f64::from(u8::from_str_radix(&colour[at..at + 2], 16).unwrap()) / 255.0;
                if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
            };
            0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
        };
        let contrast = |one: &str, other: &str| {
            let (a, b) = (luminance(one), luminance(other));
            (a.max(b) + 0.05) / (a.min(b) + 0.05)
        };
        let of = |wanted: &str| PALETTE.iter().find(|(name, ..)| *name == wanted).unwrap();
        let needs = [
            (["ink", "muted", "link", "good", "bad", "unsure"].as_slice(), 4.5),
            (&["k", "c0", "c1", "c2", "c3", "c4", "c5", "before", "limit", "edge"], 3.0),
        ];
        for ground in ["page", "field"] {
            for (names, least) in needs {
                for name in names {
                    let light = contrast(of(name).1, of(ground).1);
                    let dark = contrast(of(name).2, of(ground).2);
                    assert!(light >= least && dark >= least, "{name} on {ground}: {light:.2} {dark:.2}");
                }
            }
        }
        // The strongest steps of a heat map bear light words on a light page and dark ones on a dark page, the others not. Their
        // words are large and stand in the tables too, so that 4 to 1 will do.
        for step in ["m0", "m1", "m2", "m3", "x0", "x1", "x2", "x3"] {
            let word = of(if ["m0", "x3"].contains(&step) { "on" } else { "cell" });
            let (light, dark) = (contrast(of(step).1, word.1), contrast(of(step).2, word.2));
            assert!(light >= 4.0 && dark >= 4.0, "{step}: {light:.2} {dark:.2}");
        }
    }
}
