//! A smoother field than the elements give: means at the nodes, part by part, and how far the elements are from it.
//!
//! The distance estimates the error of the field (O. C. Zienkiewicz and J. Z. Zhu, International Journal for Numerical Methods in Engineering 24 (1987) 337).

use super::response::response;
use super::space::{NODES, RULE, Space, shapes};
use super::system::material;
use crate::drawing::Drawing;

/// Where the nodes of every element keep their mean; a node on a wall has one on each side.
#[derive(Clone, Debug)]
pub(crate) struct Slots {
    slots: Vec<[u32; 6]>,
    count: usize,
}

impl Slots {
    pub(crate) fn new(space: &Space) -> Self {
        const NONE: u32 = u32::MAX;
        // For every node a chain of (region, next) entries.
        let mut first = vec![NONE; space.len()];
        let mut chain: Vec<(u16, u32)> = Vec::with_capacity(space.len());
        let slots = space
            .nodes
            .iter()
            .zip(&space.mesh.region)
            .map(|(nodes, &region)| {
                nodes.map(|id| {
                    let head = &mut first[id as usize];
                    let mut slot = *head;
                    while let Some(&(r, next)) = chain.get(slot as usize) {
                        if r == region {
                            return slot;
                        }
                        slot = next;
                    }
                    chain.push((region, *head));
                    *head = chain.len() as u32 - 1;
                    *head
                })
            })
            .collect();
        Self {
            slots,
            count: chain.len(),
        }
    }

    /// Mean flux densities at the slots.
    pub(crate) fn recover(&self, space: &Space, u: &[f64]) -> Vec<[f64; 2]> {
        let mut sums = vec![[0.0; 3]; self.count];
        for (t, slots) in self.slots.iter().enumerate() {
            let values = space.values(t, u);
            for (slot, l) in slots.iter().zip(NODES) {
                let at = space.at(t, l);
                let b = at.flux(&values);
                let sum = &mut sums[*slot as usize];
                for (sum, add) in sum.iter_mut().zip([b[0] * at.area, b[1] * at.area, at.area]) {
                    *sum += add;
                }
            }
        }
        sums.into_iter().map(|[r, z, w]| [r / w, z / w]).collect()
    }

    /// The recovered field of an element at a barycentric point.
    pub(crate) fn at(&self, recovered: &[[f64; 2]], t: usize, l: [f64; 3]) -> [f64; 2] {
        let mut b = [0.0; 2];
        for (slot, n) in self.slots[t].iter().zip(shapes(l)) {
            let mean = recovered[*slot as usize];
            b[0] += n * mean[0];
            b[1] += n * mean[1];
        }
        b
    }
}

/// A field with its means.
pub(crate) struct Recovered<'a> {
    pub(crate) u: &'a [f64],
    pub(crate) means: &'a [[f64; 2]],
}

/// Energy norms, element by element, of the errors of a field and of its weight, the dual field, with the tangent of the materials at the field.
pub(crate) fn errors(
    drawing: &Drawing,
    space: &Space,
    slots: &Slots,
    field: &Recovered<'_>,
    weight: &Recovered<'_>,
) -> Vec<[f64; 2]> {
    (0..space.nodes.len())
        .map(|t| {
            let material = material(drawing, space.mesh.region[t]);
            let (mine, dual) = (space.values(t, field.u), space.values(t, weight.u));
            let mut sums = [0.0; 2];
            for (l, w) in RULE {
                let at = space.at(t, l);
                let b = at.flux(&mine);
                let [rr, rz, zz] = response(material, b).slope;
                let measure = w * at.area * at.r;
                for (sum, (b, means)) in sums.iter_mut().zip([(b, field.means), (at.flux(&dual), weight.means)]) {
                    let mean = slots.at(means, t, l);
                    let e = [mean[0] - b[0], mean[1] - b[1]];
                    *sum += measure * (rr * e[0] * e[0] + 2.0 * rz * e[0] * e[1] + zz * e[1] * e[1]);
                }
            }
            sums.map(f64::sqrt)
        })
        .collect()
}
