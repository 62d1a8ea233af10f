//! `quietrail bands`: from a pattern in the picture to what makes it.

use crate::arguments::{BandsArguments, System};
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::{Stop, deliver};
use language::Kind;
use report::picture;
use study::picture::{Counted, Fit, Video};

pub(crate) fn run(arguments: &BandsArguments) -> Result<Exit, Stop> {
    let study = Study::open(&arguments.subject)?;
    let options = study.options(&arguments.subject.points.only, None)?;
    let counted = Counted {
        bands: arguments.count,
        slant: arguments.slant,
        video: arguments.system.map_or_else(|| of_file(&study), video),
        within: arguments.within / 100.0,
    };
    let candidates = study.candidates(&options, &counted)?;
    deliver::tell(
        arguments.telling,
        |style| picture::bands(study.title(), &counted, &candidates, style),
        || picture::bands_json(study.title(), &counted, &candidates),
    )?;
    let fits = candidates.iter().any(|candidate| matches!(candidate.fit, Fit::Off(_)));
    Ok(if fits { Exit::Met } else { Exit::NotMet })
}

fn video(system: System) -> Video {
    match system {
        System::Pal => Video::Pal,
        System::Ntsc => Video::Ntsc,
    }
}

/// The system of the file's first camera that states one.
fn of_file(study: &Study) -> Video {
    let baseline = study.baseline();
    let cameras = baseline.parts.iter().filter(|part| part.kind == Kind::Camera);
    let stated = cameras.filter_map(|part| part.word("video"));
    let known = [Video::Pal, Video::Ntsc];
    stated
        .filter_map(|word| known.into_iter().find(|video| video.word() == word))
        .next()
        .unwrap_or(Video::Pal)
}
