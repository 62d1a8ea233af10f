//! Assemblies that would hold themselves.

use super::Circles;
use crate::mistake::{Mistake, Sink, chain};
use crate::syntax::{AssemblyNode, FitNode};

/// Finds and tells every fit that closes a circle, by a search in depth: such a fit names an assembly that is being looked
/// into at the time.
pub(super) fn circles(assemblies: &[AssemblyNode], sink: &mut Sink) -> Circles {
    #[derive(Clone, Copy, PartialEq)]
    enum State {
        Unseen,
        Open,
        Done,
    }
    let fits: Vec<Vec<&FitNode>> = assemblies.iter().map(|assembly| assembly.fits().collect()).collect();
    let mut states = vec![State::Unseen; assemblies.len()];
    let mut circles = Circles::default();
    for start in 0..assemblies.len() {
        if states[start] != State::Unseen {
            continue;
        }
        states[start] = State::Open;
        // Each assembly with the number of its fits that have been followed.
        let mut path = vec![(start, 0)];
        while let Some((index, followed)) = path.last_mut() {
            let Some(fit) = fits[*index].get(*followed) else {
                states[*index] = State::Done;
                path.pop();
                continue;
            };
            *followed += 1;
            let Some(target) = fit.target else { continue };
            match states[target] {
                State::Unseen => {
                    states[target] = State::Open;
                    path.push((target, 0));
                }
                State::Open => {
                    let from = path.iter().position(|(index, _)| *index == target).unwrap_or(0);
                    let chain = path[from..].iter().map(|(index, _)| *index).chain([target]);
                    let chain: Vec<&str> = chain.map(|index| assemblies[index].name.text.as_str()).collect();
                    tell(fit, &chain, sink);
                    circles.insert(fit.assembly.span);
                }
                State::Done => {}
            }
        }
    }
    circles
}

fn tell(fit: &FitNode, names: &[&str], sink: &mut Sink) {
    sink.push(
        Mistake::new(
            "assembly_in_itself",
            fit.assembly.span,
            format!("`{}` would hold itself: {}", fit.assembly.text, chain(names)),
        )
        .label("an assembly can hold others, never itself"),
    );
}
