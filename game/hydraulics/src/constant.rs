//! Constants of the core that are no data of a machine: all of them by name, so that a check can
//! bend one and see that the table which proves the physics notices.
//!
//! A bend holds for the thread that sets it and changes nothing else: without one every constant is
//! what stands at its definition, to the bit.

use core::cell::Cell;

/// Constants of one kind, told apart by their place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Group {
    /// Name, as messages have it.
    pub name: &'static str,
    /// How many there are.
    pub len: usize,
    number: u8,
}

macro_rules! groups {
    ($($(#[$doc:meta])* $name:ident = $len:expr;)*) => {
        #[allow(non_camel_case_types, clippy::upper_case_acronyms)]
        #[repr(u8)]
        enum Number { $($name),* }

        $(
            $(#[$doc])*
            pub(crate) const $name: Group = Group {
                name: stringify!($name),
                len: $len,
                number: Number::$name as u8,
            };
        )*

        /// All groups.
        pub const GROUPS: &[Group] = &[$($name),*];
    };
}

groups! {
    /// Coefficients of the specific volume of water.
    WATER_VOLUME = 64;
    /// Coefficients of its heat capacity at one atmosphere.
    WATER_HEAT = 9;
    /// Critical temperature and pressure, then power and factor of each term of the vapour
    /// pressure.
    VAPOUR = 14;
    /// Reference temperature and density of the viscosity, then its dilute part.
    VISCOSITY_DILUTE = 6;
    /// The part of the viscosity that depends on density, row by row.
    VISCOSITY_FINITE = 42;
    /// Kelvin at zero degrees Celsius.
    KELVIN = 1;
    /// Friction after Churchill, in the order in which its equation reads.
    CHURCHILL = 8;
    /// Weights and rates of the layer at the wall.
    LAYER = 6;
    /// Where the square-root law bends.
    BEND = 1;
    /// Stiffness of a volume that is not full.
    VOID = 1;
    /// Ratio of the heat capacities of air.
    AIR_GAMMA = 1;
    /// Loss of the thick tube's formula: its leading 2.
    THICK_TUBE = 1;
    /// Share of the velocity head that a torn end keeps.
    TORN = 1;
    /// Coefficients of the impact profile: its 3 and its 2, then the share that a footprint bears.
    IMPACT = 3;
    /// Decibels for ten times the distance.
    SPREADING = 1;
    /// Shift of the viscosity in the equation of oils.
    WALTHER = 1;
    /// Acceleration of free fall.
    GRAVITY = 1;
}

/// A constant of a group, with a factor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bend {
    /// Its group.
    pub group: Group,
    /// Its place in the group.
    pub place: usize,
    /// What it is taken by.
    pub factor: f64,
}

thread_local! {
    /// Number of a group, place, factor; no group has the number of none.
    static BENT: Cell<(u8, usize, f64)> = const { Cell::new((u8::MAX, 0, 1.0)) };
}

/// Bends a constant while something is done on this thread, and puts it back, also if that panics.
pub fn while_bent<T>(bend: &Bend, does: impl FnOnce() -> T) -> T {
    struct PutBack((u8, usize, f64));
    impl Drop for PutBack {
        fn drop(&mut self) {
            BENT.set(self.0);
        }
    }
    let _back = PutBack(BENT.get());
    BENT.set((bend.group.number, bend.place, bend.factor));
    does()
}

impl Group {
    /// A constant of this group as it counts now.
    pub(crate) fn at(self, place: usize, value: f64) -> f64 {
        self.now().of(place, value)
    }

    /// What of this group is bent now, for whoever reads many of it.
    pub(crate) fn now(self) -> Now {
        let (number, place, factor) = BENT.get();
        if number == self.number {
            Now(place, factor)
        } else {
            Now(usize::MAX, 1.0)
        }
    }
}

/// A bent place and its factor.
#[derive(Clone, Copy)]
pub(crate) struct Now(usize, f64);

impl Now {
    /// A constant of the group as it counts now.
    pub fn of(self, place: usize, value: f64) -> f64 {
        if place == self.0 {
            value * self.1
        } else {
            value
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::water::Water;

    #[test]
    fn a_bend_is_felt_while_it_holds_and_gone_afterwards() {
        let density = || Water::at_celsius(20.0).density(1.0e5);
        let straight = density();
        let bend = Bend {
            group: WATER_VOLUME,
            place: 0,
            factor: 1.03,
        };
        let bent = while_bent(&bend, density);
        assert!((straight / bent - 1.03).abs() < 0.01, "{straight} {bent}");
        assert_eq!(density(), straight);
        let outcome = std::panic::catch_unwind(|| while_bent(&bend, || panic!("within")));
        assert!(outcome.is_err());
        assert_eq!(density(), straight);
    }
}
