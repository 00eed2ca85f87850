//! A tree of boxes with four children a node, so that a ray meets few of many bodies.

use glam::Vec3;

/// An upright box, m.
#[derive(Clone, Copy, Debug)]
pub struct Box3 {
    pub lo: Vec3,
    pub hi: Vec3,
}

impl Box3 {
    pub const EMPTY: Self = Self {
        lo: Vec3::INFINITY,
        hi: Vec3::NEG_INFINITY,
    };

    pub fn add(&mut self, p: Vec3) {
        self.lo = self.lo.min(p);
        self.hi = self.hi.max(p);
    }

    fn join(self, o: Self) -> Self {
        Self {
            lo: self.lo.min(o.lo),
            hi: self.hi.max(o.hi),
        }
    }

    /// Grown a little, so that a flat body isn't lost to rounding.
    pub fn padded(self) -> Self {
        Self {
            lo: self.lo - 1e-3,
            hi: self.hi + 1e-3,
        }
    }
}

/// A ray with what the box tests need of it.
#[derive(Clone, Copy, Debug)]
pub struct Ray {
    pub from: Vec3,
    /// Unit vector.
    pub dir: Vec3,
    inverse: Vec3,
}

impl Ray {
    pub fn new(from: Vec3, dir: Vec3) -> Self {
        // Bounded, so that a ray along a box's side gives no NaN.
        let inverse = dir
            .to_array()
            .map(|d| if d.abs() < 1e-9 { 1e9 } else { 1.0 / d });
        Self {
            from,
            dir,
            inverse: Vec3::from_array(inverse),
        }
    }
}

const NONE: u32 = u32::MAX;
const LEAF: u32 = 1 << 31;

#[derive(Clone, Debug)]
struct Node {
    lo: [[f32; 4]; 3],
    hi: [[f32; 4]; 3],
    child: [u32; 4],
}

#[derive(Clone, Debug, Default)]
pub struct Bvh {
    nodes: Vec<Node>,
}

impl Bvh {
    pub fn of(boxes: &[Box3]) -> Self {
        let mut tree = Self::default();
        let mut items: Vec<u32> = (0..boxes.len() as u32).collect();
        if !items.is_empty() {
            tree.grow(boxes, &mut items);
        }
        tree
    }

    fn grow(&mut self, boxes: &[Box3], items: &mut [u32]) -> u32 {
        let at = self.nodes.len();
        self.nodes.push(Node {
            lo: [[f32::INFINITY; 4]; 3],
            hi: [[f32::NEG_INFINITY; 4]; 3],
            child: [NONE; 4],
        });
        let mut groups: Vec<&mut [u32]> = Vec::with_capacity(4);
        if items.len() <= 4 {
            groups.extend(items.chunks_mut(1));
        } else {
            let (left, right) = halves(boxes, items);
            for half in [left, right] {
                if half.len() > 1 {
                    let (a, b) = halves(boxes, half);
                    groups.push(a);
                    groups.push(b);
                } else {
                    groups.push(half);
                }
            }
        }
        for (k, group) in groups.into_iter().enumerate() {
            let bounds = group
                .iter()
                .fold(Box3::EMPTY, |b, i| b.join(boxes[*i as usize]));
            let child = if let [one] = group {
                LEAF | *one
            } else {
                self.grow(boxes, group)
            };
            let node = &mut self.nodes[at];
            for axis in 0..3 {
                node.lo[axis][k] = bounds.lo[axis];
                node.hi[axis][k] = bounds.hi[axis];
            }
            node.child[k] = child;
        }
        at as u32
    }

    /// Hands every item whose box the ray meets before `reach` to `meet`, which may shorten `reach`, or end the
    /// search by answering true.
    #[inline]
    pub fn walk(&self, ray: &Ray, reach: &mut f32, mut meet: impl FnMut(usize, &mut f32) -> bool) {
        if self.nodes.is_empty() {
            return;
        }
        let mut stack = [0_u32; 64];
        let mut depth = 1;
        while depth > 0 {
            depth -= 1;
            let node = &self.nodes[stack[depth] as usize];
            let mut enter = [0.0_f32; 4];
            let mut leave = [*reach; 4];
            for axis in 0..3 {
                let (o, i) = (ray.from[axis], ray.inverse[axis]);
                for k in 0..4 {
                    let (a, b) = ((node.lo[axis][k] - o) * i, (node.hi[axis][k] - o) * i);
                    let (near, far) = if a < b { (a, b) } else { (b, a) };
                    enter[k] = if near > enter[k] { near } else { enter[k] };
                    leave[k] = if far < leave[k] { far } else { leave[k] };
                }
            }
            for k in 0..4 {
                if enter[k] <= leave[k] {
                    let child = node.child[k];
                    if child == NONE {
                        continue;
                    }
                    if child & LEAF == 0 {
                        if depth < stack.len() {
                            stack[depth] = child;
                            depth += 1;
                        }
                    } else if meet((child & !LEAF) as usize, reach) {
                        return;
                    }
                }
            }
        }
    }
}

/// Two halves along the axis in which the middles lie farthest apart.
fn halves<'a>(boxes: &[Box3], items: &'a mut [u32]) -> (&'a mut [u32], &'a mut [u32]) {
    let middle = |i: u32| boxes[i as usize].lo + boxes[i as usize].hi;
    let mut spread = Box3::EMPTY;
    for i in items.iter() {
        spread.add(middle(*i));
    }
    let size = spread.hi - spread.lo;
    let axis = (0..3)
        .max_by(|a, b| size[*a].total_cmp(&size[*b]))
        .unwrap_or(0);
    items.sort_by(|a, b| middle(*a)[axis].total_cmp(&middle(*b)[axis]).then(a.cmp(b)));
    let half = items.len() / 2;
    items.split_at_mut(half)
}
