//! Colours, dashes and letters, once for pictures and page: a light and a dark theme of the same names.
//!
//! The hues follow Okabe and Ito's palette for all kinds of colour vision (2008), darkened on the light theme where their
//! lightness would not carry a thin line. Curves that share a field differ in their dashes too: colour tells nothing alone.

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
];

/// The rules of a picture, a line each; `var(--NAME)` is a colour of the palette.
const RULES: &str = "\
text{font-family:'Source Sans 3','Segoe UI','Helvetica Neue',Arial,'Liberation Sans','DejaVu Sans',sans-serif;fill:var(--ink);font-size:14px}
.title{font-size:24px;font-weight:600}
.subtitle{font-size:15px;fill:var(--muted)}
.head{font-size:15px;font-weight:600}
.name{font-size:17px;font-weight:700}
.figures{font-size:15px}
.tick{font-size:13px;fill:var(--muted)}
.span{font-size:15px;font-weight:700}
.page{fill:var(--page)}
.field{fill:var(--field)}
.window{fill:var(--window);fill-opacity:.12}
.allowed{fill:var(--allowed);fill-opacity:.15}
.limit{stroke:var(--limit);stroke-width:1;stroke-dasharray:2 2}
.grid{stroke:var(--grid);stroke-width:1}
.zero{stroke:var(--zero);stroke-width:1}
.bracket{stroke:var(--ink);stroke-width:1.3}
.curve{fill:none;stroke-width:1.8;stroke-linejoin:round}
.thin{stroke-width:1;stroke-opacity:.7}
.before{fill:none;stroke:var(--before);stroke-width:1.3;stroke-dasharray:5 3;stroke-linejoin:round}
.k{stroke:var(--k)}
.c0{stroke:var(--c0)}
.c1{stroke:var(--c1)}
.c2{stroke:var(--c2)}
.c3{stroke:var(--c3)}
.c4{stroke:var(--c4)}
.c5{stroke:var(--c5)}";

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
        assert!(sheet.contains(".c0{stroke:#0072b2}") && sheet.contains(".c0{stroke:#56b4e9}"), "{sheet}");
        assert!(!sheet.contains("font-size:24px;font-weight:600}\n.title"), "{sheet}");
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
    }
}
