//! Inductance over current as a picture, readable on a light and on a dark page.

use std::fmt::Write as _;

const WIDTH: f64 = 860.0;
const HEIGHT: f64 = 470.0;
/// Left, top, right and bottom of the field.
const FIELD: [f64; 4] = [78.0, 78.0, 826.0, 396.0];
/// Ends of the axes: ampere by powers of ten, microhenry from 0.
const CURRENTS: [f64; 2] = [0.01, 10.0];
const INDUCTANCES: [f64; 2] = [0.0, 220.0];

/// Hues after Okabe and Ito (2008), as the program's own pictures have them; the curves differ in their dashes too.
const STYLE: &str = "\
text{font-family:'Source Sans 3','Segoe UI','Helvetica Neue',Arial,'Liberation Sans','DejaVu Sans',sans-serif;fill:#1c1c1c;font-size:14px}
.title{font-size:20px;font-weight:600}.name{font-size:15px;font-weight:700}.tick{font-size:13px;fill:#444}
.page{fill:#fff}.field{fill:#f7f7f5}.grid{stroke:#dcdcd8;stroke-width:1}.load{stroke:#4a5a52;stroke-width:1;stroke-dasharray:2 3}
.curve{fill:none;stroke-width:2.4;stroke-linejoin:round}.key{stroke-width:2.4}
.c0{stroke:#d55e00}.c1{stroke:#0072b2}.c2{stroke:#00805d}.c1{stroke-dasharray:9 4}.c2{stroke-dasharray:3 3}
@media (prefers-color-scheme:dark){
text{fill:#ececec}.tick{fill:#b9b9b9}.page{fill:#161618}.field{fill:#1f1f22}.grid{stroke:#34343a}.load{stroke:#b4c6bd}
.c0{stroke:#ff8c42}.c1{stroke:#56b4e9}.c2{stroke:#2fc79b}
}";

fn x(ampere: f64) -> f64 {
    let share = (ampere / CURRENTS[0]).log10() / (CURRENTS[1] / CURRENTS[0]).log10();
    FIELD[0] + share * (FIELD[2] - FIELD[0])
}

fn y(microhenry: f64) -> f64 {
    let share = (microhenry - INDUCTANCES[0]) / (INDUCTANCES[1] - INDUCTANCES[0]);
    FIELD[3] - share * (FIELD[3] - FIELD[1])
}

/// The document; each curve with its name and its points of ampere and microhenry.
pub(super) fn draw(curves: &[(&str, Vec<(f64, f64)>)]) -> String {
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" width=\"{WIDTH}\" height=\"{HEIGHT}\" role=\"img\">\n\
         <title>Three coils of 202.5 uH: inductance over current</title>\n<style>{STYLE}</style>\n\
         <rect class=\"page\" width=\"{WIDTH}\" height=\"{HEIGHT}\"/>\n\
         <text class=\"title\" x=\"{0}\" y=\"34\">Three coils that an LC meter calls equal</text>\n\
         <text class=\"tick\" x=\"{0}\" y=\"56\">Inductance for small changes, at each direct current</text>\n\
         <rect class=\"field\" x=\"{0}\" y=\"{1}\" width=\"{2}\" height=\"{3}\"/>\n",
        FIELD[0],
        FIELD[1],
        FIELD[2] - FIELD[0],
        FIELD[3] - FIELD[1]
    );
    axes(&mut svg);
    for (index, (_, points)) in curves.iter().enumerate() {
        let places: Vec<String> = points
            .iter()
            .map(|&(ampere, microhenry)| format!("{:.1},{:.1}", x(ampere), y(microhenry)))
            .collect();
        let _ = writeln!(svg, "<polyline class=\"curve c{index}\" points=\"{}\"/>", places.join(" "));
    }
    for (index, (name, _)) in curves.iter().enumerate() {
        let (left, line) = (FIELD[0] + 20.0, FIELD[3] - 74.0 + 22.0 * index as f64);
        let _ = writeln!(
            svg,
            "<line class=\"key c{index}\" x1=\"{left}\" x2=\"{}\" y1=\"{line}\" y2=\"{line}\"/><text class=\"name\" x=\"{}\" y=\"{}\">{name}</text>",
            left + 40.0,
            left + 50.0,
            line + 5.0
        );
    }
    svg.push_str("</svg>\n");
    svg
}

fn axes(svg: &mut String) {
    for decade in [0.01, 0.1, 1.0] {
        for digit in 1..10 {
            let ampere = decade * f64::from(digit);
            let at = x(ampere);
            let _ = writeln!(
                svg,
                "<line class=\"grid\" x1=\"{at:.1}\" x2=\"{at:.1}\" y1=\"{}\" y2=\"{}\"/>",
                FIELD[1], FIELD[3]
            );
        }
    }
    for (ampere, text) in [(0.01, "10 mA"), (0.1, "100 mA"), (1.0, "1 A"), (10.0, "10 A")] {
        let _ = writeln!(
            svg,
            "<text class=\"tick\" x=\"{:.1}\" y=\"{}\" text-anchor=\"middle\">{text}</text>",
            x(ampere),
            FIELD[3] + 20.0
        );
    }
    for microhenry in [0.0, 50.0, 100.0, 150.0, 200.0] {
        let at = y(microhenry);
        let _ = writeln!(
            svg,
            "<line class=\"grid\" x1=\"{}\" x2=\"{}\" y1=\"{at:.1}\" y2=\"{at:.1}\"/><text class=\"tick\" x=\"{}\" y=\"{:.1}\" text-anchor=\"end\">{microhenry} uH</text>",
            FIELD[0],
            FIELD[2],
            FIELD[0] - 8.0,
            at + 4.5
        );
    }
    for (ampere, text) in [(0.1, "camera"), (0.5, "and transmitter"), (2.0, "and lamp")] {
        let at = x(ampere);
        let _ = writeln!(
            svg,
            "<line class=\"load\" x1=\"{at:.1}\" x2=\"{at:.1}\" y1=\"{0}\" y2=\"{1}\"/><text class=\"tick\" x=\"{at:.1}\" y=\"{2}\" text-anchor=\"middle\">{text}</text>",
            FIELD[1],
            FIELD[3],
            FIELD[1] - 6.0
        );
    }
    let middle = f64::midpoint(FIELD[0], FIELD[2]);
    let _ = writeln!(
        svg,
        "<text x=\"{middle}\" y=\"{}\" text-anchor=\"middle\">direct current through the coil</text>",
        FIELD[3] + 48.0
    );
    let height = f64::midpoint(FIELD[1], FIELD[3]);
    let _ = writeln!(
        svg,
        "<text transform=\"translate(20 {height}) rotate(-90)\" text-anchor=\"middle\">inductance</text>"
    );
}
