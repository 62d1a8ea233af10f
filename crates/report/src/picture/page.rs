//! A page that sets the pictures side by side: all in one row where each pick has one, else before in the first row and each pick below.

use super::words::LABEL;
use super::{Image, heading, images, one_each};
use crate::svg::canvas::escape;
use study::picture::{Pictures, Seen};

const STYLE: &str = "\
body{font-family:'Source Sans 3','Segoe UI','Helvetica Neue',Arial,'Liberation Sans','DejaVu Sans',sans-serif;margin:20px;color:#1c1c1c;background:#fff}
h1{font-size:24px}h2{font-size:17px;margin:24px 0 6px}p{margin:6px 0;max-width:75em}
.row{display:flex;flex-wrap:wrap;gap:14px}figure{margin:0;flex:1 1 300px;max-width:768px}img{width:100%;height:auto;display:block}
figcaption{font-size:14px;margin-top:4px;color:#444}
@media (prefers-color-scheme:dark){body{color:#ececec;background:#161618}figcaption{color:#b9b9b9}}";

/// The page, for beside the images that it names, and the images.
#[must_use]
pub fn page(pictures: &Pictures) -> (String, Vec<Image>) {
    let images = images(pictures);
    let row = |shown: &[&Image]| {
        format!("<div class=\"row\">\n{}</div>\n", shown.iter().map(|one| figure(one)).collect::<String>())
    };
    let failed = |seen: &Seen| {
        let reason = seen.shown.as_ref().err();
        reason.map_or_else(String::new, |reason| format!("<p>No picture: {}</p>\n", escape(reason)))
    };
    let title_of = |seen: &Seen| format!("<h2>{}</h2>\n", escape(&heading(pictures, seen)));
    let rows: String = if one_each(pictures) {
        let without = pictures.seen.iter().filter(|seen| seen.shown.is_err());
        let without = without.map(|seen| format!("{}{}", title_of(seen), failed(seen)));
        std::iter::once(row(&images.iter().collect::<Vec<_>>())).chain(without).collect()
    } else {
        let each = |seen: &Seen| {
            let own = images.iter().filter(|one| one.option == seen.option && one.camera == seen.camera);
            format!("{}{}{}", title_of(seen), row(&own.collect::<Vec<_>>()), failed(seen))
        };
        pictures.seen.iter().map(each).collect()
    };
    let title = escape(&pictures.harness);
    let page = format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>{title}: the picture</title>\n<style>\n{STYLE}\n</style>\n</head>\n\
         <body>\n<h1>{title}: what the ripple does to the picture</h1>\n<p><strong>{LABEL}.</strong> Where cameras' rejection is unknown, three are assumed; \
         where in the pattern a frame begins is chance. The frame is the first after the drives' phase 0; in the next ones the pattern rolls on.</p>\n{rows}</body>\n</html>\n"
    );
    (page, images)
}

fn figure(image: &Image) -> String {
    let (width, height) = image.size;
    let [file, caption] = [&image.file_name, &image.caption].map(|text| escape(text));
    format!(
        "<figure><a href=\"{file}\"><img src=\"{file}\" width=\"{width}\" height=\"{height}\" alt=\"{caption}\"></a><figcaption>{caption}</figcaption></figure>\n"
    )
}
