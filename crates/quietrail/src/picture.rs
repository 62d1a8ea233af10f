//! `quietrail picture`: a test card as the camera would show it.

use crate::arguments::PictureArguments;
use crate::compare::{capitalised, folder, list};
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::{Stop, input, output};
use report::{picture, write};
use study::picture::Request;

pub(crate) fn run(arguments: &PictureArguments) -> Result<Exit, Stop> {
    let text = input::read(&arguments.file)?;
    let study = Study::read(&arguments.file, text, &arguments.set)?;
    let options = study.options(&arguments.only, None)?;
    study.examination().takes_long.iter().for_each(|notice| output::complain(notice));
    let pictures = study.pictures(&options, &Request { rejections: arguments.rejection.clone() })?;
    if pictures.seen.is_empty() {
        return Err(Stop::input(format!(
            "{} has no camera here, so there is no picture. Add one, such as\n  camera eye cam -> gnd  current 100 mA, supply 9 V .. 15 V, video pal",
            arguments.file.display()
        )));
    }
    // The words reach the reader even where a file cannot be written.
    let told = output::print(&picture::summary(&pictures));
    let (page, images) = picture::page(&pictures);
    let mut files: Vec<(String, Vec<u8>)> =
        images.into_iter().map(|image| (image.file_name, image.png)).collect();
    files.push(("picture.html".to_owned(), page.into_bytes()));
    if let Some(folder) = folder(&arguments.file, arguments.out.as_deref(), false) {
        let written = write::files(&folder, &files);
        list(&written.map_err(|error| Stop::machine(capitalised(&error.to_string())))?, false)?;
    }
    told?;
    let failed = pictures.seen.iter().any(|seen| seen.shown.is_err());
    Ok(if failed { Exit::ComputationFailed } else { Exit::Met })
}
