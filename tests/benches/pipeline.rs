//! Benchmarks: a 14-tread job through every stage, and the proof as the number of treads grows.
//!
//! `cargo bench -p seatcut-benches` runs them; figures are compared within one run on one machine.

#[path = "../it/common/stair.rs"]
mod stair;

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use seatcut::geometry::tolerance::PROOF_MM;
use seatcut::job::Job;
use seatcut::output::Stamp;
use seatcut::output::gcode::gcode;
use seatcut::pipeline::workup::Workup;
use seatcut::stair::Flight;
use seatcut::stair::outline::Outline;
use seatcut::verify::verify_program;
use stair::Stair;

/// An invented stair of this many treads on a machine and a sheet as long as it takes.
fn stair_of(treads: usize) -> Job {
    let mut job =
        Stair { rise: format!("total = \"{} in\"\nrisers = 7", 49), ..Stair::default() }.job();
    let huge = seatcut::units::Length::mm(1e9);
    job.rise.total = seatcut::units::Length::inches(7.0) * (treads as f64 + 1.0);
    job.rise.risers = seatcut::job::RiserChoice::Forced(treads + 1);
    job.rules.limits.clear();
    job.cut.machine.travel = [huge, huge, huge];
    (job.cut.material.length, job.cut.material.width) = (huge, huge);
    job
}

fn stages(c: &mut Criterion) {
    let job = stair_of(14);
    let toml = Stair { rise: "total = \"98 in\"\nrisers = 14".into(), ..Stair::default() }.toml();
    c.bench_function("measure", |b| {
        b.iter(|| {
            seatcut::job::read_job("job.toml", black_box(&toml), &|_| unreachable!()).unwrap()
        });
    });
    c.bench_function("solve and outline", |b| {
        b.iter(|| Outline::new(&Flight::new(black_box(&job), 15), None).unwrap());
    });
    c.bench_function("work up", |b| b.iter(|| Workup::of(black_box(&job))));
}

fn proof(c: &mut Criterion) {
    let mut group = c.benchmark_group("proof by treads");
    for treads in [14_usize, 100, 1000, 10_000] {
        let job = stair_of(treads);
        let flight = Flight::new(&job, treads + 1);
        let outline = Outline::new(&flight, None).unwrap();
        let path = seatcut::cam::compensate::compensate(&job, &outline).unwrap().value;
        let program = seatcut::cam::plan::plan(&job, &outline, &path).unwrap().value.cut;
        let text = gcode(
            &Stamp::of(&Workup::of(&stair_of(14))),
            &job.cut.machine,
            path.ledger(),
            &program,
        );
        let expectation = seatcut::pipeline::proof::planned(&job, &outline, &program);
        group.sample_size(10);
        group.bench_with_input(BenchmarkId::from_parameter(treads), &treads, |b, _| {
            b.iter(|| {
                let verdict =
                    verify_program(black_box(text.as_bytes()), "program.nc", &expectation).unwrap();
                assert!(verdict.gouge_mm <= PROOF_MM);
            });
        });
    }
    group.finish();
}

criterion_group!(benches, stages, proof);
criterion_main!(benches);
