//! A ball as a mesh, closed.

use std::f64::consts::PI;

/// The text STL of a whole ball about the origin, from pole to pole.
pub(crate) fn whole_ball(radius: f64) -> String {
    let (rings, sectors) = (64, 128);
    let at = |ring: i32, k: i32| {
        let up = PI * (f64::from(ring) / f64::from(rings) - 0.5);
        let round = 2.0 * PI * f64::from(k % sectors) / f64::from(sectors);
        // The poles are one point each, whatever the cosine of a quarter turn is.
        let out = if ring == 0 || ring == rings { 0.0 } else { radius * up.cos() };
        format!("vertex {} {} {}\n", out * round.cos(), out * round.sin(), radius * up.sin())
    };
    let mut text = String::from("solid ball\n");
    let mut facet = |corners: [(i32, i32); 3]| {
        text.push_str("facet normal 0 0 1\nouter loop\n");
        corners.iter().for_each(|&(ring, k)| text.push_str(&at(ring, k)));
        text.push_str("endloop\nendfacet\n");
    };
    for k in 0..sectors {
        for ring in 0..rings {
            if ring > 0 {
                facet([(ring, k), (ring, k + 1), (ring + 1, k + 1)]);
            }
            if ring + 1 < rings {
                // From the lower pole, or the other half of the four corners.
                facet([(ring, k), (ring + 1, k + 1), (ring + 1, k)]);
            }
        }
    }
    text.push_str("endsolid ball\n");
    text
}
