//! Small cases against an exhaustive search: pieces of squares on a grid, every place and every half turn tried.

use super::laid;
use kitwright::lays::packing::{Job, Part};
use kitwright::units::Length;
use kurbo::Point;

/// The side of a square, in millimetres.
const SQUARE: f64 = 20.0;

/// A piece of squares: its outline's corners, going round from x towards y, and the squares themselves.
struct Piece {
    corners: &'static [(i32, i32)],
    squares: &'static [(i32, i32)],
}

const L: Piece =
    Piece { corners: &[(0, 0), (3, 0), (3, 1), (1, 1), (1, 2), (0, 2)], squares: &[(0, 0), (1, 0), (2, 0), (0, 1)] };
const T: Piece = Piece {
    corners: &[(0, 0), (3, 0), (3, 1), (2, 1), (2, 2), (1, 2), (1, 1), (0, 1)],
    squares: &[(0, 0), (1, 0), (2, 0), (1, 1)],
};
const U: Piece = Piece {
    corners: &[(0, 0), (3, 0), (3, 2), (2, 2), (2, 1), (1, 1), (1, 2), (0, 2)],
    squares: &[(0, 0), (1, 0), (2, 0), (0, 1), (2, 1)],
};
const S: Piece = Piece {
    corners: &[(0, 0), (2, 0), (2, 1), (3, 1), (3, 2), (1, 2), (1, 1), (0, 1)],
    squares: &[(0, 0), (1, 0), (1, 1), (2, 1)],
};
const BAR: Piece = Piece { corners: &[(0, 0), (1, 0), (1, 3), (0, 3)], squares: &[(0, 0), (0, 1), (0, 2)] };

/// The squares that a piece takes, as bits of a cloth of that width, for each place and half turn on that length.
fn masks(piece: &Piece, width: i32, length: i32) -> Vec<u64> {
    let (far_x, far_y) = piece.squares.iter().fold((0, 0), |far, square| (far.0.max(square.0), far.1.max(square.1)));
    let turned = |(x, y): (i32, i32)| (far_x - x, far_y - y);
    let places = (0..length - far_x).flat_map(|x| (0..width - far_y).map(move |y| (x, y)));
    let mask = |(x, y): (i32, i32), turn: bool| {
        let squares = piece.squares.iter().map(|&square| if turn { turned(square) } else { square });
        squares.map(|(a, b)| 1u64 << ((x + a) * width + y + b)).sum()
    };
    places.flat_map(|place| [mask(place, false), mask(place, true)]).collect()
}

fn fits(all: &[Vec<u64>], taken: u64) -> bool {
    let Some((first, rest)) = all.split_first() else { return true };
    first.iter().any(|mask| mask & taken == 0 && fits(rest, mask | taken))
}

/// The least length, in squares, on which all pieces lie.
fn least(pieces: &[&Piece], width: i32) -> i32 {
    let fit = |length: &i32| fits(&pieces.iter().map(|piece| masks(piece, width, *length)).collect::<Vec<_>>(), 0);
    (1..64 / width).find(fit).unwrap()
}

fn part(piece: &Piece) -> Part {
    let corner = |&(x, y): &(i32, i32)| Point::new(f64::from(x) * SQUARE, f64::from(y) * SQUARE);
    Part { outline: piece.corners.iter().map(corner).collect(), may_turn: true, on_fold: false }
}

#[test]
fn small_lays_are_no_longer_than_the_exhaustive_search_finds() {
    let sets: [(&[&Piece], i32); 8] = [
        (&[&L, &L], 3),
        (&[&L, &L, &T], 4),
        (&[&U, &BAR, &T], 4),
        (&[&U, &T, &L, &BAR], 5),
        (&[&S, &S, &L, &BAR], 4),
        (&[&S, &U, &U, &T], 4),
        (&[&L, &S, &T, &U, &BAR], 5),
        (&[&T, &T, &T, &T], 4),
    ];
    for (pieces, width) in sets {
        // A hair of room, since exact fits are not what cloth is cut by.
        let parts = pieces.iter().map(|piece| part(piece)).collect();
        let cloth = Length::mm(f64::from(width) * SQUARE + 0.4);
        let job = Job { parts, width: cloth, gap: Length::ZERO, evaluations: 150_000, seed: 3, start: None };
        let goal = f64::from(least(pieces, width)) * SQUARE;
        let lay = laid(&job);
        assert!(lay.length.to_mm() <= goal + 0.4, "{} instead of {goal} mm", lay.length);
        assert!(lay.bound.to_mm() <= goal, "no shorter than {}, but {goal} mm do", lay.bound);
    }
}
