//! `quietrail picture`: a test card as the camera would show it.

use crate::arguments::PictureArguments;
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::progress::while_working;
use crate::{Stop, deliver};
use report::picture;
use report::table::Style;
use study::picture::{Pictures, Request};

pub(crate) fn run(arguments: &PictureArguments) -> Result<Exit, Stop> {
    let asked = &arguments.study;
    let (subject, quiet) = (&asked.subject, asked.telling.quiet.on);
    let study = Study::open(subject)?;
    let options = study.options(&subject.points.only, None)?;
    study.warn_of_time(quiet);
    let request = Request { rejections: arguments.rejection.clone() };
    let pictures = while_working("Pictures of the cameras", quiet, || study.pictures(&options, &request))?;
    if pictures.seen.is_empty() {
        return Err(Stop::input(format!(
            "{} has no camera here, so there is no picture. Add one, such as\n  camera eye cam -> gnd  current 100 mA, supply 9 V .. 15 V, video pal",
            subject.file.display()
        )));
    }
    let told =
        deliver::tell(asked.telling, |style| picture::summary(&pictures, style), || picture::json(&pictures));
    deliver::keep(asked, || files(&pictures))?;
    told?;
    let failed = pictures.seen.iter().any(|seen| seen.shown.is_err());
    Ok(if failed { Exit::ComputationFailed } else { Exit::Met })
}

fn files(pictures: &Pictures) -> Vec<(String, Vec<u8>)> {
    let (page, images) = picture::page(pictures);
    let mut files: Vec<(String, Vec<u8>)> =
        images.into_iter().map(|image| (image.file_name, image.png)).collect();
    let texts = [
        ("picture.html", page),
        ("picture.txt", picture::summary(pictures, Style::default())),
        ("picture.json", picture::json(pictures)),
        ("picture.csv", picture::csv(pictures)),
        ("picture_lines.csv", picture::lines_csv(pictures)),
    ];
    files.extend(texts.map(|(name, text)| (name.to_owned(), text.into_bytes())));
    files
}
