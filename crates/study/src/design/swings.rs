//! How far the waveforms of a filter swing at a study point at least, from their lines.

use super::candidate::Candidate;
use super::ladder::{Ladder, answer};
use super::placed::Placed;
use super::screen::{Asked, Rule};
use super::surroundings::{MOMENTS, Surroundings};
use engine::Complex;
use std::f64::consts::FRAC_PI_2;

/// A filter at a point.
pub(super) struct Around<'s> {
    pub(super) surroundings: &'s Surroundings,
    pub(super) rules: &'s [Rule],
    pub(super) candidate: &'s Candidate,
    pub(super) placed: &'s [&'s Placed],
}

/// What lines come to as if nothing bent.
pub(super) struct Swings {
    /// For each rule a lower bound of its swing.
    pub(super) rules: Vec<f64>,
    /// For each slot about the most that rides on what bends in it.
    pub(super) ripples: [f64; 4],
    /// For each slot a lower bound of how far what bends in it rises above its mean.
    pub(super) above: [f64; 4],
}

impl Around<'_> {
    pub(super) fn swings(&self, scales: &[f64; 4]) -> Swings {
        let Surroundings { lines, drawing, .. } = self.surroundings;
        let count = lines.first().map_or(0, |line| line.seen.len());
        let (mut greatest, mut squares) = (vec![0.0_f64; count], vec![0.0_f64; count]);
        let mut seen_drawn = vec![[0.0_f64; MOMENTS]; count];
        let mut bent_drawn = [[0.0_f64; MOMENTS]; 4];
        let mut ripples = [0.0; 4];
        let bends = self.placed.iter().any(|placed| placed.bends());
        for (index, line) in lines.iter().enumerate().skip(1) {
            let mut chosen = [Complex::new(0.0, 0.0); 4];
            for ((slot, placed), scale) in chosen.iter_mut().zip(self.placed).zip(scales) {
                *slot = placed.admittance(index, *scale);
            }
            let ladder = Ladder::new(self.candidate, &chosen);
            let answer = answer(line, &ladder.ports);
            let turns = drawing.turns.get(index - 1);
            if bends {
                let drops = ladder.drops(self.candidate, &answer.ports);
                for (slot, placed) in self.placed.iter().enumerate() {
                    let Some(value) = placed.bending(index, chosen[slot] * drops[slot]) else { continue };
                    // What is not drawn may add up.
                    ripples[slot] += value.norm() * (1.0 - turns.map_or(0.0, |turns| turns.weight));
                    if let Some(turns) = turns {
                        turns.add(value, &mut bent_drawn[slot]);
                    }
                }
            }
            for testpoint in 0..count {
                let seen = answer.seen(line, testpoint);
                let square = seen.norm_sqr();
                greatest[testpoint] = greatest[testpoint].max(square);
                squares[testpoint] += square;
                if let Some(turns) = turns {
                    turns.add(seen, &mut seen_drawn[testpoint]);
                }
            }
        }
        let mut above = [0.0; 4];
        for slot in 0..self.placed.len() {
            let (least, most) = ends(&bent_drawn[slot]);
            above[slot] = most;
            ripples[slot] += most.max(-least);
        }
        let swing = |rule: &Rule| match rule.asked {
            Asked::PeakToPeak => {
                let (least, most) = ends(&seen_drawn[rule.seen]);
                let line = FRAC_PI_2 * greatest[rule.seen].sqrt();
                line.max((2.0 * squares[rule.seen]).sqrt()).max(most - least)
            }
            Asked::RmsAc => (0.5 * squares[rule.seen]).sqrt(),
            Asked::Minimum => 0.0,
        };
        Swings { rules: self.rules.iter().map(swing).collect(), ripples, above }
    }
}

fn ends(drawn: &[f64; MOMENTS]) -> (f64, f64) {
    drawn.iter().fold((0.0, 0.0), |(least, most), value| (f64::min(least, *value), f64::max(most, *value)))
}
