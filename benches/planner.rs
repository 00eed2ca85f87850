//! How long a plan takes and how near to the best it is proven to be: small, usual and large collections on
//! invented values.

use criterion::{Criterion, criterion_group, criterion_main};
use sillward::{
    base::{Id, Progress},
    planner::{Budget, PlantRow, Problem, SpotRow, solve},
};

/// A small congruential generator: the instances must not change with any library.
struct Numbers(u64);

impl Numbers {
    /// 0..1
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// Plants with a yearly wave of liking for each spot, pots of four sizes, room for about a sixth more than there is.
fn invented(plants: usize, spots: usize, weeks: usize) -> Problem {
    let mut n = Numbers(plants as u64 * 1000 + spots as u64);
    let footprints: Vec<u32> = (0..plants)
        .map(|_| [225, 400, 576, 784][(n.next() * 4.0) as usize])
        .collect();
    let total: u32 = footprints.iter().sum();
    let share = f64::from(total) * 1.15 / spots as f64;
    let spot_rows = (0..spots)
        .map(|s| SpotRow {
            id: Id::new(&format!("s{s:02}")),
            capacity: ((share * (0.4 + 1.2 * n.next())) as u32).max(784),
            open: vec![true; weeks],
        })
        .collect();
    let plant_rows = footprints
        .into_iter()
        .enumerate()
        .map(|(p, footprint)| {
            let mut value = Vec::with_capacity(spots * weeks);
            for _ in 0..spots {
                let (mean, swing, phase) = (
                    0.3 + 0.5 * n.next(),
                    0.4 * n.next(),
                    std::f64::consts::TAU * n.next(),
                );
                for t in 0..weeks {
                    let wave = (std::f64::consts::TAU * t as f64 / 52.0 + phase).cos();
                    value.push((mean + swing * wave + 0.04 * n.next()).clamp(0.0, 1.0) as f32);
                }
            }
            let move_cost = (0..spots * spots)
                .map(|_| (0.5 + n.next()) as f32)
                .collect();
            let shock = (0..spots * spots * weeks)
                .map(|_| {
                    if n.next() < 0.2 {
                        (2.0 * n.next()) as f32
                    } else {
                        0.0
                    }
                })
                .collect();
            PlantRow {
                id: Id::new(&format!("p{p:02}")),
                footprint,
                value,
                start: Some((n.next() * spots as f64) as usize),
                move_cost,
                shock,
                min_stay_weeks: 3,
                pinned: vec![None; weeks],
            }
        })
        .collect();
    Problem {
        weeks,
        spots: spot_rows,
        plants: plant_rows,
        absent: (0..weeks).map(|t| (30..33).contains(&t)).collect(),
    }
}

fn plans(c: &mut Criterion) {
    let mut group = c.benchmark_group("plan");
    group.sample_size(10);
    for (plants, spots) in [(10, 8), (30, 20), (60, 30)] {
        let problem = invented(plants, spots, 60);
        let budget = Budget::default();
        let first = solve(&problem, &budget, None, &Progress::new()).expect("no pins");
        println!(
            "{plants} plants, {spots} spots: worth {:.3}, bound {:.3}, gap {:.3} %, {} iterations, without room {:?}",
            first.objective,
            first.upper_bound,
            100.0 * first.gap(),
            first.iterations,
            first.without_room,
        );
        group.bench_function(format!("cold {plants}x{spots}"), |b| {
            b.iter(|| solve(&problem, &budget, None, &Progress::new()));
        });
        let mut dragged = problem.clone();
        dragged.plants[0].pinned[10..16].fill(Some(1));
        let second = solve(&dragged, &budget, Some(&first), &Progress::new()).expect("one pin");
        println!(
            "  after a drag: gap {:.3} %, {} iterations",
            100.0 * second.gap(),
            second.iterations
        );
        group.bench_function(format!("after a drag {plants}x{spots}"), |b| {
            b.iter(|| solve(&dragged, &budget, Some(&first), &Progress::new()));
        });
    }
    group.finish();
}

criterion_group!(benches, plans);
criterion_main!(benches);
