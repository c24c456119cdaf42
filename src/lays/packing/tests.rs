//! Whole lays: what the search promises for any parts, and small cases whose shortest lay is known.

use super::*;

fn part(points: &[(f64, f64)]) -> Part {
    Part { outline: points.iter().map(|&point| point.into()).collect(), may_turn: true, on_fold: false }
}

fn rectangle(length: f64, width: f64) -> Part {
    part(&[(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)])
}

fn job(parts: Vec<Part>, width: f64, gap: f64) -> Job {
    Job { parts, width: Length::mm(width), gap: Length::mm(gap), evaluations: 100_000, seed: 1, start: None }
}

fn laid(job: &Job) -> Lay {
    let lay = lay(job).unwrap_or_else(|refused| panic!("{refused:?}"));
    assert_eq!(proven(job, &lay), Ok(()), "{lay:?}");
    lay
}

/// A piece with a straight fold edge and a curved side, as a bodice or an apron has; the curve is a polygon of many points.
fn curved(length: f64, width: f64, points: usize) -> Part {
    let side = |index: usize| {
        let along = 1.0 - index as f64 / points as f64;
        (length * along, width * (0.4 + 2.4 * along * (1.0 - along)))
    };
    let outline: Vec<(f64, f64)> = [(0.0, 0.0), (length, 0.0)].into_iter().chain((0..=points).map(side)).collect();
    part(&outline)
}

#[test]
fn rectangles_that_fill_the_cloth_fill_it() {
    let lay = laid(&job(vec![rectangle(50.0, 30.0), rectangle(50.0, 30.0), rectangle(50.0, 40.0)], 100.0, 0.0));
    assert_eq!((lay.length, lay.bound, lay.bound_by), (Length::mm(50.0), Length::mm(50.0), Bound::Longest(0)));
    assert!(lay.is_shortest() && (lay.utilisation(Length::mm(100.0)) - 1.0).abs() < 1e-9);
}

#[test]
fn what_is_too_wide_to_lie_side_by_side_is_known_to_lie_one_behind_the_other() {
    let two = laid(&job(vec![rectangle(50.0, 55.0), rectangle(40.0, 52.0), rectangle(20.0, 20.0)], 100.0, 3.0));
    assert_eq!((two.length, two.bound_by, two.is_shortest()), (Length::mm(93.0), Bound::Beside, true));
    // Of three beside each other one takes a third of the width, so that seven take three rows.
    let seven = laid(&job(vec![rectangle(30.0, 26.0); 7], 100.0, 3.0));
    assert!(seven.bound_by == Bound::Beside && seven.bound > Length::mm(74.0) && seven.bound <= Length::mm(96.0), "{seven:?}");
}

/// Beside the wide end of the first piece only two of the straps find room, and all are too long to go past it.
#[test]
fn what_cannot_slide_past_is_known_to_lie_behind() {
    let wide =
        part(&[(0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (90.0, 20.0), (90.0, 60.0), (60.0, 60.0), (60.0, 80.0), (0.0, 80.0)]);
    let strap = rectangle(70.0, 7.0);
    let lay = laid(&job(vec![wide, strap.clone(), strap.clone(), strap], 100.0, 3.0));
    assert!(lay.bound_by == Bound::Beside && lay.bound > Length::mm(128.0), "{lay:?}");
}

/// Whatever a bound says: a length on which the pieces were laid is not refuted.
#[test]
fn no_lay_is_refuted() {
    let bay =
        part(&[(0.0, 0.0), (90.0, 0.0), (90.0, 70.0), (60.0, 70.0), (50.0, 20.0), (30.0, 20.0), (30.0, 70.0), (0.0, 70.0)]);
    let corner = part(&[(0.0, 0.0), (80.0, 0.0), (0.0, 60.0)]);
    for (gap, width) in [(0.0, 130.0), (3.0, 130.0), (3.0, 200.0), (8.0, 170.0)] {
        let upright = Part { may_turn: false, ..corner.clone() };
        let folded = Part { on_fold: true, ..curved(120.0, 50.0, 30) };
        let parts =
            [folded, bay.clone(), corner.clone(), upright, corner.clone(), rectangle(100.0, 20.0), curved(90.0, 40.0, 12)];
        for count in 2..=parts.len() {
            let job = job(parts[..count].to_vec(), width, gap);
            let lay = laid(&job);
            let shapes = check::shapes(&job).unwrap();
            assert!(!bound::slide(&job, &shapes).refuted(lay.length.to_mm()), "{lay:?}");
        }
    }
}

/// A piece between two lines that go up and down by steps, slopes or both, so that what is beside it lies above or below.
fn ragged(random: &mut random::Random, length: f64, width: f64) -> Part {
    let mut line = |from: f64, to: f64| -> Vec<(f64, f64)> {
        let steps = [0.0, 0.3, 0.3, 0.6, 0.8, 1.0].map(|at| (at * length, random.between(from, to)));
        steps.to_vec()
    };
    let (low, high) = (line(0.0, 0.3 * width), line(0.6 * width, width));
    let points: Vec<_> = low.into_iter().chain(high.into_iter().rev()).collect();
    Part { may_turn: random.between(0.0, 1.0) < 0.8, ..part(&points) }
}

/// A large piece that divides the cloth and up to five others, some of them with a bay, some of them twice and mirrored.
fn about_a_large_piece(seed: u64) -> Job {
    let mut random = random::Random::new(seed);
    let mut parts = vec![ragged(&mut random, 200.0, 90.0)];
    while parts.len() < 3 + seed as usize % 4 {
        let (length, width) = (random.between(40.0, 190.0), random.between(8.0, 40.0));
        let bay = |x: f64| [(0.0, 0.0), (x, 0.0), (x, 9.0), (x * 0.4, 12.0), (x, 15.0), (x, 30.0), (0.0, 30.0)];
        let next = match random.below(4) {
            0 => rectangle(length, width),
            1 => part(&bay(length)),
            _ => ragged(&mut random, length, width),
        };
        let mirrored = next.outline.iter().rev().map(|point| Point::new(point.x, -point.y)).collect();
        parts.extend([Part { outline: mirrored, ..next.clone() }].into_iter().filter(|_| seed.is_multiple_of(3)));
        parts.push(next);
    }
    let job = job(parts, random.between(95.0, 170.0), [0.0, 3.0, 3.0, 7.0][random.below(4)]);
    Job { evaluations: 10_000, seed, ..job }
}

/// What no lay goes below is never more than a lay that was found takes, though it is sought from above that.
#[test]
fn no_lay_about_a_large_piece_is_refuted() {
    for seed in 0..16 {
        let job = about_a_large_piece(seed);
        let lay = laid(&job);
        let shapes = check::shapes(&job).unwrap();
        let bound = bound::slide(&job, &shapes).above(Length::ZERO, lay.length * 1.3);
        assert!(bound <= lay.length, "{seed}: no shorter than {bound}, but {} do", lay.length);
    }
}

/// Beside the wide end of the first piece the second finds room, and beside its narrow end the third, but on neither side both.
#[test]
fn what_lies_beside_a_piece_is_known_to_lie_on_one_side_of_it() {
    let step = [(0.0, 0.0), (50.0, 0.0), (50.0, 20.0), (100.0, 20.0), (100.0, 40.0), (50.0, 40.0), (50.0, 60.0), (0.0, 60.0)];
    let lay = laid(&job(vec![part(&step), rectangle(100.0, 35.0), rectangle(50.0, 40.0)], 100.0, 3.0));
    assert!(
        lay.is_close() && lay.bound_by == Bound::Beside && lay.length.within(Length::mm(153.0), Length::mm(0.3)),
        "{lay:?}"
    );
}

/// A piece in another's bay, and one about whose step another goes only once it is turned; both lays were put together by hand.
#[test]
fn bays_and_half_turns_are_not_forgotten() {
    let bay = [(0.0, 0.0), (100.0, 0.0), (100.0, 30.0), (30.0, 30.0), (30.0, 60.0), (100.0, 60.0), (100.0, 90.0), (0.0, 90.0)];
    let step = [(0.0, 0.0), (50.0, 0.0), (50.0, 40.0), (100.0, 40.0), (100.0, 80.0), (0.0, 80.0)];
    let arm = [(0.0, 0.0), (30.0, 0.0), (30.0, 45.0), (75.0, 45.0), (75.0, 80.0), (0.0, 80.0)];
    let place = |turned, x, y| Place { turned, x: Length::mm(x), y: Length::mm(y) };
    let upright = Part { may_turn: false, ..part(&arm) };
    for (parts, width, length, places) in [
        (vec![part(&bay), rectangle(60.0, 20.0)], 90.0, 100.0, [place(false, 0.0, 0.0), place(false, 35.0, 35.0)]),
        (vec![part(&step), upright], 80.0, 133.0, [place(true, 133.0, 80.0), place(false, 0.0, 0.0)]),
    ] {
        let job = Job { start: Some(places.to_vec()), ..job(parts, width, 3.0) };
        let lay = laid(&job);
        assert_eq!((lay.length, &lay.places[..]), (Length::mm(length), &places[..]));
        assert!(!bound::slide(&job, &check::shapes(&job).unwrap()).refuted(length));
    }
}

#[test]
fn the_gap_is_kept_between_pieces_but_not_to_the_edges() {
    let beside = laid(&job(vec![rectangle(50.0, 48.5), rectangle(50.0, 48.5)], 100.0, 3.0));
    assert_eq!(beside.length, Length::mm(50.0));
    // 2.8 mm are left across, so that two corners must be √(3² - 2.8²) mm apart along the cloth.
    let behind = laid(&job(vec![rectangle(50.0, 48.6), rectangle(50.0, 48.6)], 100.0, 3.0));
    assert!(behind.length.within(Length::mm(101.077), Length::mm(0.02)), "{}", behind.length);
}

#[test]
fn what_belongs_on_the_fold_stays_there() {
    let folded = |length| Part { on_fold: true, ..curved(length, 200.0, 30) };
    let parts = vec![folded(500.0), curved(300.0, 150.0, 30), folded(400.0), rectangle(80.0, 80.0)];
    let lay = laid(&job(parts, 350.0, 3.0));
    assert!([0, 2].iter().all(|&part| lay.places[part].y == Length::ZERO && !lay.places[part].turned));
}

#[test]
fn nap_allows_no_turn() {
    let parts = vec![Part { may_turn: false, ..part(&[(0.0, 0.0), (100.0, 0.0), (0.0, 100.0)]) }; 4];
    assert!(laid(&job(parts, 120.0, 2.0)).places.iter().all(|place| !place.turned));
}

#[test]
fn an_earlier_lay_is_kept_as_long_as_it_holds() {
    let mut job = job(vec![curved(300.0, 150.0, 20), curved(200.0, 120.0, 20), rectangle(80.0, 80.0)], 250.0, 3.0);
    let first = laid(&job);
    job.start = Some(first.places.clone());
    job.seed = 99;
    let kept = laid(&job);
    assert_eq!((kept.length, &kept.places, kept.evaluations), (first.length, &first.places, 0));
    // A piece that has grown a little is given room, and the length stays.
    job.parts[2] = rectangle(83.0, 81.0);
    let mended = laid(&job);
    assert!(mended.length <= first.length && mended.places != first.places, "{mended:?} {first:?}");
    // What is no lay of these pieces is as good as none.
    let places = |x, y| vec![Place { turned: true, x: Length::mm(x), y: Length::mm(y) }; 3];
    job.start = None;
    let fresh = laid(&job);
    for start in [vec![], places(f64::NAN, 0.0), places(1e300, -1e300), places(0.0, f64::INFINITY)] {
        job.start = Some(start);
        assert_eq!(laid(&job), fresh);
    }
}

#[test]
fn an_outline_of_ten_thousand_points_is_laid() {
    let parts = vec![curved(800.0, 400.0, 10_000), curved(800.0, 400.0, 10_000)];
    let lay = laid(&job(parts, 900.0, 3.0));
    assert_eq!(lay.length, Length::mm(800.0));
}

#[test]
fn a_lay_that_breaks_a_promise_is_not_proven() {
    let job = job(vec![rectangle(50.0, 40.0), Part { may_turn: false, ..rectangle(50.0, 40.0) }], 100.0, 3.0);
    let good = laid(&job);
    let with = |change: &dyn Fn(&mut Lay)| {
        let mut lay = good.clone();
        change(&mut lay);
        proven(&job, &lay).unwrap_err()
    };
    let across = |y| {
        move |lay: &mut Lay| lay.places[1] = Place { x: lay.places[0].x, y: lay.places[0].y + Length::mm(y), ..lay.places[1] }
    };
    assert!(matches!(with(&across(42.0))[..], [Fault::Near(0, 1, near)] if near.within(Length::mm(2.0), Length::mm(1e-9))));
    assert_eq!(with(&across(39.0)), [Fault::Overlap(0, 1)]);
    assert_eq!(with(&across(0.0)), [Fault::Overlap(0, 1)]);
    assert_eq!(with(&|lay| lay.length -= Length::mm(0.1)), [Fault::Outside(0), Fault::Outside(1), Fault::Figures]);
    assert_eq!(with(&|lay| lay.area += 1.0), [Fault::Figures]);
    assert_eq!(with(&|lay| lay.places.truncate(1)), [Fault::Count]);
    assert_eq!(with(&|lay| lay.places[0].x = Length::mm(f64::NAN)), [Fault::Nowhere(0)]);
    assert!(with(&|lay| lay.places[1].turned = true).contains(&Fault::Turned(1)));
}

#[test]
fn a_piece_inside_another_or_off_its_fold_is_not_proven() {
    let job = job(vec![rectangle(90.0, 90.0), Part { on_fold: true, ..rectangle(10.0, 10.0) }], 100.0, 0.0);
    let mut lay = laid(&job);
    let [x, y] = [lay.places[0].x, lay.places[0].y].map(|at| at + Length::mm(40.0));
    lay.places[1] = Place { turned: false, x, y };
    assert_eq!(proven(&job, &lay), Err(vec![Fault::OffFold(1), Fault::Overlap(0, 1)]));
}
