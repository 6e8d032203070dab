//! Places for the numbers of findings, so that none hides another.

/// Half the width of a number's shape.
pub(super) const HALF: f64 = 8.0;

/// Rows that numbers can stand in.
pub(super) const ROWS: usize = 3;

/// Where a number stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Place {
    /// Middle of its shape.
    pub x: f64,
    /// Its row, from the bottom up.
    pub row: usize,
}

/// Finds a place for a number at each `x`, as near as can be, between `left`
/// and `right`. Where there is no room at all, a number gets none.
pub(super) fn places(at: &[f64], left: f64, right: f64) -> Vec<Option<Place>> {
    let gap = 2.0 * HALF + 2.0;
    let mut rows: Vec<Vec<f64>> = vec![Vec::new(); ROWS];
    let most = ((right - left) / gap).max(0.0) as u32 + 1;
    at.iter()
        .map(|x| {
            for shift in 0..=most {
                for side in [-1.0, 1.0] {
                    let x = x + side * f64::from(shift) * gap;
                    if x < left || x > right {
                        continue;
                    }
                    let free = |row: &Vec<f64>| row.iter().all(|other| (other - x).abs() >= gap);
                    if let Some(row) = rows.iter().position(free) {
                        rows[row].push(x);
                        return Some(Place { x, row });
                    }
                }
            }
            None
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn overlap(a: &Place, b: &Place) -> bool {
        a.row == b.row && (a.x - b.x).abs() < 2.0 * HALF
    }

    #[test]
    fn numbers_of_one_moment_stand_apart() {
        let at = [700.0; 14];
        let found: Vec<Place> = places(&at, 100.0, 700.0).into_iter().flatten().collect();
        assert_eq!(found.len(), at.len());
        for (i, a) in found.iter().enumerate() {
            assert!(a.x >= 100.0 && a.x <= 700.0);
            assert!(found[..i].iter().all(|b| !overlap(a, b)), "{a:?}");
        }
    }

    #[test]
    fn numbers_of_moments_close_together_stand_apart() {
        let at: Vec<f64> = (0..60_u32).map(|i| 300.0 + 3.0 * f64::from(i)).collect();
        let found: Vec<Place> = places(&at, 100.0, 700.0).into_iter().flatten().collect();
        assert_eq!(found.len(), at.len());
        for (i, a) in found.iter().enumerate() {
            assert!(found[..i].iter().all(|b| !overlap(a, b)), "{a:?}");
        }
    }

    #[test]
    fn a_number_with_room_stands_over_its_moment() {
        assert_eq!(
            places(&[100.0, 300.0], 0.0, 700.0),
            [
                Some(Place { x: 100.0, row: 0 }),
                Some(Place { x: 300.0, row: 0 })
            ]
        );
    }

    #[test]
    fn more_numbers_than_room_do_no_harm() {
        let found = places(&[50.0; 500], 0.0, 100.0);
        assert!(found.iter().flatten().count() < 500);
        assert!(found[0].is_some());
    }
}
