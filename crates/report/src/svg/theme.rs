//! Colours, lines and letters, for a light and a dark page.

/// Number of colours before they come round again.
pub(crate) const COLOURS: usize = 6;

/// The style sheet. The hues follow Okabe and Ito's palette for all kinds of colour vision (2008), darkened on the light
/// page where their lightness would not carry a thin line.
pub(crate) const STYLE: &str = "\
text{font-family:'Source Sans 3','Segoe UI','Helvetica Neue',Arial,'Liberation Sans','DejaVu Sans',sans-serif;fill:#1c1c1c;font-size:14px}
.title{font-size:24px;font-weight:600}
.subtitle{font-size:15px;fill:#444}
.head{font-size:15px;font-weight:600}
.name{font-size:17px;font-weight:700}
.figures{font-size:15px}
.tick{font-size:13px;fill:#444}
.span{font-size:15px;font-weight:700}
.page{fill:#fff}
.field{fill:#f7f7f5}
.window{fill:#000;fill-opacity:.1}
.allowed{fill:#00805d;fill-opacity:.13}
.limit{stroke:#4a5a52;stroke-width:1;stroke-dasharray:2 2}
.grid{stroke:#dcdcd8;stroke-width:1}
.zero{stroke:#a9a9a4;stroke-width:1}
.bracket{stroke:#1c1c1c;stroke-width:1.3}
.curve{fill:none;stroke-width:1.8;stroke-linejoin:round}
.thin{stroke-width:1;stroke-opacity:.7}
.before{fill:none;stroke:#7d7d78;stroke-width:1.3;stroke-dasharray:5 3;stroke-linejoin:round}
.k{stroke:#333}.c0{stroke:#0072b2}.c1{stroke:#d55e00}.c2{stroke:#00805d}.c3{stroke:#b0538c}.c4{stroke:#8f6500}.c5{stroke:#5546a8}
@media (prefers-color-scheme:dark){
text{fill:#ececec}.subtitle,.tick{fill:#b9b9b9}
.page{fill:#161618}.field{fill:#1f1f22}.window{fill:#fff;fill-opacity:.14}
.allowed{fill:#2fc79b;fill-opacity:.17}.limit{stroke:#b4c6bd}
.grid{stroke:#34343a}.zero{stroke:#66666e}.bracket{stroke:#ececec}
.before{stroke:#a3a3a0}
.k{stroke:#e4e4e4}.c0{stroke:#56b4e9}.c1{stroke:#ff8c42}.c2{stroke:#2fc79b}.c3{stroke:#e29bc7}.c4{stroke:#e6b800}.c5{stroke:#a89bf0}
}";
