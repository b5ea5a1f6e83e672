//! Checks that colours stay apart for every kind of sight and in grey.

use crate::power::CONSUMERS;
use crate::style::{Colour, series_colour, stack_colour};

/// Full colour sight, then lack of red, green and blue cones, on linear RGB.
/// Source: Machado et al. 2009, doi:10.1109/TVCG.2009.113, table for severity 1, as carried by colorspacious 1.1.2.
const SIGHTS: [[[f64; 3]; 3]; 4] = [
    [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
    [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
    [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
];

/// Linear sRGB to XYZ over the white point D65. Source: IEC 61966-2-1.
const XYZ: [[f64; 3]; 3] = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]];
const WHITE: [f64; 3] = [0.9505, 1.0, 1.089];

fn times(matrix: &[[f64; 3]; 3], vector: [f64; 3]) -> [f64; 3] {
    matrix.map(|row| row.iter().zip(vector).map(|(a, b)| a * b).sum())
}

fn linear(part: u8) -> f64 {
    let part = f64::from(part) / 255.0;
    if part <= 0.04045 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) }
}

/// CIELAB (1976) of a colour as seen.
fn lab(Colour(red, green, blue): Colour, sight: &[[f64; 3]; 3]) -> [f64; 3] {
    let seen = times(sight, [red, green, blue].map(linear)).map(|part| part.clamp(0.0, 1.0));
    let xyz = times(&XYZ, seen);
    let bend = |t: f64| if t > 216.0 / 24389.0 { t.cbrt() } else { (24389.0 / 27.0 * t + 16.0) / 116.0 };
    let [x, y, z] = [0, 1, 2].map(|i| bend(xyz[i] / WHITE[i]));
    [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
}

#[test]
fn any_two_trays_differ_for_every_sight() {
    for sight in &SIGHTS {
        for one in 0..8 {
            for other in 0..one {
                let (a, b) = (lab(series_colour(one), sight), lab(series_colour(other), sight));
                let apart = a.iter().zip(b).map(|(p, q)| (p - q).powi(2)).sum::<f64>().sqrt();
                assert!(apart >= 29.0, "colours {one} and {other} differ by {apart:.1} only");
            }
        }
    }
}

#[test]
fn each_stacked_area_is_lighter_than_the_one_below() {
    let lightness = CONSUMERS.each_ref().map(|consumer| lab(consumer.colour, &SIGHTS[0])[0]);
    assert!(lightness.windows(2).all(|pair| pair[1] - pair[0] > 12.0), "{lightness:?}");
    let lightness = [0, 1, 2, 3, 4, 5, 6].map(|index| lab(stack_colour(index), &SIGHTS[0])[0]);
    assert!(lightness.windows(2).all(|pair| pair[1] - pair[0] > 12.0), "{lightness:?}");
}
