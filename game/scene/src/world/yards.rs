//! What stands where in the yards of the waterworks. All of it is scenery: what
//! stops people is in the level, and stands where the level says.
//!
//! Both yards are corners of the same works: the pump apron looks north to the
//! pump house and east to the settling tank; from the wash-down bay the tank is
//! seen in the south-west, and the workshop closes the north.

use bevy::math::Vec3;

/// Towards the sun where nothing else is said.
pub const SUN: Vec3 = Vec3::new(0.62, 0.42, 0.66);

/// A side of a house: looking out of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Towards -z of its own frame.
    Back,
    /// Towards +z.
    Front,
    /// Towards +x.
    Right,
    /// Towards -x.
    Left,
}

/// An opening of a house.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    /// Where.
    pub side: Side,
    /// Its middle along the side, metres from the middle of the side to the
    /// right of who looks at it.
    pub along: f32,
    /// Lower and upper edge, metres.
    pub between: [f32; 2],
    /// Width, metres.
    pub width: f32,
    /// What closes it.
    pub kind: Closed,
}

/// What closes an opening.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Closed {
    /// Panes in a steel frame: so many across and up.
    Panes(u8, u8),
    /// A roller shutter.
    Shutter,
    /// A door of one leaf.
    Door,
    /// Slats that let air through.
    Slats,
}

/// A piece of scenery.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum What {
    /// A house: length, height to the eaves, depth; brick or rendered.
    House {
        /// Length, height to the eaves, depth, metres.
        size: [f32; 3],
        /// Colour of the walls.
        colour: u32,
        /// Laid bricks, else rendered.
        brick: bool,
        /// Rise of the roof, metres.
        rise: f32,
        /// Openings.
        openings: &'static [Opening],
    },
    /// A hall of corrugated sheet.
    Hall {
        /// Length, height to the eaves, depth, metres.
        size: [f32; 3],
        /// Colour.
        colour: u32,
        /// Openings.
        openings: &'static [Opening],
    },
    /// An open shelter on posts: length, height, depth.
    Shelter([f32; 3]),
    /// A round tank of concrete: radius and height.
    Tank(f32, f32),
    /// A steel silo on legs: radius and height.
    Silo(f32, f32),
    /// A fence of mesh to another point.
    Fence([f32; 2]),
    /// A gate of two leaves in the fence: width.
    Gate(f32),
    /// A kerb to another point.
    Kerb([f32; 2]),
    /// Precast blocks laid in a wall to another point, so many courses high.
    Blocks([f32; 2], u8),
    /// A lamp on a post: height.
    Lamp(f32),
    /// A bare tree: height.
    Tree(f32),
    /// A hydrant.
    Hydrant,
    /// Steel drums, so many.
    Drums(u8, u32),
    /// Pallets, so many on top of each other.
    Pallets(u8),
    /// A plastic tank in a cage.
    Caged,
    /// Pipes on low trestles to another point.
    Pipes([f32; 2]),
    /// Hoses hung up.
    Hoses,
    /// An electric cabinet.
    Cabinet,
    /// A post that cars do not pass.
    Bollard,
    /// A skip: a steel box for waste.
    Skip,
    /// Pipe ends stacked in a frame.
    Stack,
    /// A sign on a post or a wall: which part of the sheet.
    Sign(u8),
    /// A cone.
    Cone,
    /// A wheelie of tools.
    Cart,
    /// A board of heavy timber that takes a jet.
    Target([f32; 2]),
    /// A drain with a grating: length, width.
    Grating([f32; 2]),
    /// A painted line to another point.
    Line([f32; 2]),
    /// Bars painted across a way: length, width.
    Hatched([f32; 2]),
}

/// A piece of scenery in its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Put {
    /// What.
    pub what: What,
    /// Where, x and z.
    pub at: [f32; 2],
    /// Its turn about the upward axis, degrees.
    pub turn: f32,
}

const fn put(what: What, x: f32, z: f32, turn: f32) -> Put {
    Put {
        what,
        at: [x, z],
        turn,
    }
}

/// A stretch of ground of one kind: corners of least and greatest x and z.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// What lies there.
    pub kind: Ground,
    /// Corners.
    pub from: [f32; 2],
    /// Corners.
    pub to: [f32; 2],
}

/// What lies on the ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ground {
    /// Slabs of concrete.
    Slabs,
    /// A tarred road.
    Road,
    /// Loose stones.
    Stones,
}

const fn ground(kind: Ground, from: [f32; 2], to: [f32; 2]) -> Stretch {
    Stretch { kind, from, to }
}

/// A yard.
#[derive(Clone, Copy, Debug)]
pub struct Yard {
    /// Towards the sun.
    pub sun: Vec3,
    /// The ground.
    pub ground: &'static [Stretch],
    /// Puddles: middle, radius, how long drawn out, and the turn of it in
    /// degrees.
    pub puddles: &'static [[f32; 5]],
    /// Scenery.
    pub things: &'static [Put],
    /// Turn of the far scenery, degrees.
    pub far_turn: f32,
    /// Where unevenness begins.
    pub seed: u32,
    /// Where it is looked at from when nobody plays, and what is looked at.
    pub vista: [Vec3; 2],
}

/// The yard of a level. A level that this table does not know is played on the
/// pump apron.
pub fn of(level: &str) -> &'static Yard {
    match level {
        "02_fouled_slab" | "11_loose_end" => &BAY,
        _ => &APRON,
    }
}

const fn opening(side: Side, along: f32, between: [f32; 2], width: f32, kind: Closed) -> Opening {
    Opening {
        side,
        along,
        between,
        width,
        kind,
    }
}

use Closed::{Door, Panes, Shutter, Slats};
use Side::{Front, Left, Right};

const PETROL: u32 = 0x2f5a60;
const SLATE: u32 = 0x4a5560;
const SAND: u32 = 0xcfc8b8;
const CLAY: u32 = 0x9a6a55;
const OCHRE: u32 = 0xb98a3a;
const GREY: u32 = 0x8d9499;

const PUMP_HOUSE: &[Opening] = &[
    opening(Front, -7.2, [1.2, 3.3], 1.3, Panes(2, 4)),
    opening(Front, -1.2, [0.0, 3.1], 3.0, Shutter),
    opening(Front, 2.4, [0.0, 2.15], 1.0, Door),
    opening(Front, 4.9, [1.2, 3.3], 1.3, Panes(2, 4)),
    opening(Front, 7.4, [1.2, 3.3], 1.3, Panes(2, 4)),
    opening(Right, 0.0, [1.6, 3.2], 1.8, Slats),
    opening(Left, 0.0, [1.2, 3.3], 1.3, Panes(2, 4)),
];

const SWITCH_HOUSE: &[Opening] = &[
    opening(Front, -0.7, [0.0, 2.1], 0.95, Door),
    opening(Front, 0.8, [1.5, 2.1], 0.8, Slats),
    opening(Left, 0.0, [1.4, 2.0], 0.9, Panes(2, 1)),
];

const WORKSHOP: &[Opening] = &[
    opening(Front, -5.5, [0.0, 4.2], 4.0, Shutter),
    opening(Front, 0.6, [0.0, 4.2], 4.0, Shutter),
    opening(Front, 4.2, [0.0, 2.15], 1.0, Door),
    opening(Front, 6.9, [3.1, 4.3], 3.4, Panes(5, 2)),
    opening(Left, 0.0, [3.1, 4.3], 4.0, Panes(5, 2)),
];

const STORE: &[Opening] = &[
    opening(Front, -1.5, [0.0, 2.8], 2.6, Shutter),
    opening(Front, 1.8, [0.0, 2.1], 0.95, Door),
    opening(Left, 0.4, [1.3, 2.2], 1.4, Panes(3, 2)),
];

/// The pump apron.
const APRON: Yard = Yard {
    sun: SUN,
    ground: &[
        ground(Ground::Slabs, [-9.0, -6.6], [19.0, 8.4]),
        ground(Ground::Road, [-40.0, 8.55], [60.0, 14.2]),
        ground(Ground::Stones, [19.15, -12.0], [27.5, 8.4]),
        ground(Ground::Stones, [-15.0, -12.0], [-9.15, 8.4]),
    ],
    puddles: &[
        [-1.9, 2.3, 1.25, 1.7, 12.0],
        [3.3, 1.7, 0.75, 1.5, 80.0],
        [4.6, -2.6, 1.7, 1.5, -15.0],
        [8.6, 2.3, 1.5, 2.0, 24.0],
        [13.9, -0.6, 1.1, 1.5, 70.0],
        [12.4, 4.6, 1.3, 1.6, -30.0],
        [1.5, 5.6, 1.5, 2.2, 4.0],
        [-5.6, -2.0, 1.3, 1.5, 50.0],
        [16.2, -4.6, 1.2, 1.4, 10.0],
        [9.6, -4.4, 0.9, 1.7, 5.0],
        [18.0, 11.0, 1.8, 2.4, 3.0],
        [2.0, 12.4, 1.5, 3.0, -2.0],
        [-6.0, 10.2, 1.1, 2.6, 2.0],
    ],
    things: &[
        // North: the pump house and what leans on it.
        put(
            What::House {
                size: [19.0, 4.6, 8.0],
                colour: SAND,
                brick: false,
                rise: 2.3,
                openings: PUMP_HOUSE,
            },
            1.6,
            -11.0,
            0.0,
        ),
        put(
            What::House {
                size: [4.2, 2.7, 3.4],
                colour: CLAY,
                brick: true,
                rise: 0.9,
                openings: SWITCH_HOUSE,
            },
            15.0,
            -9.4,
            0.0,
        ),
        put(What::Cabinet, 5.3, -6.62, 0.0),
        put(What::Cabinet, 6.1, -6.62, 0.0),
        put(What::Hoses, -2.6, -6.72, 0.0),
        put(What::Hydrant, -3.4, -3.4, 0.0),
        put(What::Pipes([12.4, -7.6]), 11.6, -6.9, 0.0),
        put(What::Lamp(6.0), 11.7, -6.2, 0.0),
        put(What::Bollard, -1.6, -6.1, 0.0),
        put(What::Bollard, 2.4, -6.1, 0.0),
        put(What::Drums(3, 0x35586e), 8.4, -6.2, 8.0),
        put(What::Sign(0), 3.3, -6.93, 0.0),
        // East: what takes the jet, gravel, the settling tank.
        put(What::Target([3.4, 2.3]), 18.3, 1.0, -90.0),
        put(What::Tank(7.5, 4.2), 33.5, -7.0, 0.0),
        put(What::Pipes([26.5, -4.0]), 20.2, -4.4, 0.0),
        put(What::Fence([27.6, 8.2]), 27.6, -22.0, 0.0),
        put(What::Tree(9.0), 30.5, 4.5, 0.0),
        put(What::Tree(7.5), 33.0, 11.5, 40.0),
        put(What::Tree(10.0), 24.0, -19.0, 10.0),
        put(What::Blocks([21.6, 6.9], 2), 21.6, 3.7, 0.0),
        // South: kerb, road, fence, gate.
        put(What::Kerb([19.1, 8.5]), -9.1, 8.5, 0.0),
        put(What::Kerb([19.07, 8.5]), 19.07, -6.6, 0.0),
        put(What::Kerb([-9.07, -6.6]), -9.07, 8.5, 0.0),
        put(What::Fence([3.2, 16.2]), -38.0, 16.2, 0.0),
        put(What::Gate(5.6), 6.0, 16.2, 0.0),
        put(What::Fence([58.0, 16.2]), 8.8, 16.2, 0.0),
        put(What::Lamp(6.0), 14.8, 15.3, 180.0),
        put(What::Lamp(6.0), -7.5, 15.3, 180.0),
        put(What::Tree(8.5), -3.0, 20.5, 20.0),
        put(What::Tree(9.5), 13.0, 21.0, 80.0),
        put(What::Tree(7.0), 21.5, 19.5, 120.0),
        put(What::Tree(10.5), -17.0, 22.0, 160.0),
        // West: stores and a silo.
        put(What::Silo(1.6, 8.6), -12.6, -6.8, 0.0),
        put(What::Fence([-16.5, 8.0]), -16.5, -22.0, 0.0),
        put(What::Pallets(6), -10.6, 0.6, 4.0),
        put(What::Pallets(3), -10.7, 2.2, -6.0),
        put(What::Caged, -10.6, -1.5, 2.0),
        put(What::Caged, -10.6, -2.8, -3.0),
        put(What::Drums(5, OCHRE), -10.4, 5.0, 30.0),
        put(What::Stack, -13.4, 2.4, 90.0),
        put(What::Tree(8.0), -20.0, 2.0, 60.0),
        put(What::Tree(9.0), -22.5, -9.0, 200.0),
        put(What::Cart, 3.5, -5.7, 12.0),
        put(What::Cone, 17.3, 3.6, 0.0),
        put(What::Cone, 17.3, -1.6, 0.0),
        // On the ground.
        put(What::Grating([0.5, 3.2]), 1.75, 2.2, 90.0),
        put(What::Line([15.5, 6.6]), -8.0, 6.6, 0.0),
        put(What::Line([15.5, 7.9]), -8.0, 7.9, 0.0),
        put(What::Line([3.15, 6.6]), 3.15, -6.0, 0.0),
        put(What::Line([4.45, 6.6]), 4.45, -6.0, 0.0),
        put(What::Hatched([3.4, 1.2]), 0.4, -5.9, 0.0),
    ],
    far_turn: 0.0,
    seed: 17,
    vista: [Vec3::new(-5.2, 2.15, 5.6), Vec3::new(3.4, 1.25, -1.2)],
};

/// The wash-down bay.
const BAY: Yard = Yard {
    sun: Vec3::new(-0.42, 0.52, 0.74),
    ground: &[
        ground(Ground::Slabs, [-6.0, -6.4], [18.6, 8.6]),
        ground(Ground::Road, [-40.0, 8.75], [60.0, 16.5]),
        ground(Ground::Stones, [-14.0, -14.0], [-6.15, 8.6]),
    ],
    puddles: &[
        [13.0, 0.6, 1.5, 1.5, 80.0],
        [10.4, 2.6, 1.4, 1.9, 12.0],
        [7.4, -1.2, 1.3, 1.8, -22.0],
        [12.2, -3.4, 1.4, 1.6, 40.0],
        [4.2, 2.8, 1.6, 1.6, 8.0],
        [2.2, -3.6, 1.2, 2.0, -8.0],
        [-2.9, 1.2, 1.2, 1.5, 60.0],
        [15.9, 4.6, 1.1, 1.4, 30.0],
        [8.4, 10.6, 1.4, 2.6, 2.0],
        [15.6, 13.8, 1.9, 2.2, -4.0],
        [-1.0, 12.0, 1.2, 3.0, 3.0],
    ],
    things: &[
        // East: the bay itself, three walls of precast blocks under a roof.
        put(What::Blocks([18.0, 6.6], 4), 18.0, -5.8, 0.0),
        put(What::Blocks([18.0, -5.8], 3), 12.6, -5.8, 0.0),
        put(What::Shelter([12.6, 5.0, 5.4]), 14.75, 0.4, -90.0),
        put(What::Hoses, 17.62, -3.2, -90.0),
        put(What::Grating([0.45, 6.4]), 13.1, 0.9, 0.0),
        put(What::Sign(1), 17.66, 3.8, -90.0),
        // North: the workshop.
        put(
            What::Hall {
                size: [18.5, 5.6, 10.0],
                colour: PETROL,
                openings: WORKSHOP,
            },
            2.2,
            -12.2,
            0.0,
        ),
        put(What::Drums(4, OCHRE), 9.4, -6.1, 12.0),
        put(What::Cabinet, 7.2, -6.9, 0.0),
        put(What::Caged, 10.9, -6.0, 4.0),
        put(What::Bollard, -5.6, -6.4, 0.0),
        put(What::Bollard, -1.0, -6.4, 0.0),
        put(What::Bollard, 0.5, -6.4, 0.0),
        put(What::Bollard, 5.1, -6.4, 0.0),
        put(What::Lamp(6.5), 11.7, -6.5, 0.0),
        put(What::Skip, 15.0, -9.6, 12.0),
        put(What::Hydrant, -3.2, -3.4, 0.0),
        put(What::Stack, 16.6, -13.0, 0.0),
        // West: the store, and the settling tank behind it.
        put(
            What::House {
                size: [7.0, 3.2, 5.0],
                colour: CLAY,
                brick: true,
                rise: 1.3,
                openings: STORE,
            },
            -11.5,
            -0.6,
            90.0,
        ),
        put(What::Pallets(7), -7.2, 4.0, 3.0),
        put(What::Pallets(4), -7.3, 5.6, -5.0),
        put(What::Pipes([-7.0, -12.0]), -7.0, -6.0, 0.0),
        put(What::Tank(7.5, 4.2), -23.5, 10.5, 0.0),
        put(What::Tree(9.0), -19.0, -9.0, 0.0),
        put(What::Tree(8.0), -16.0, 20.5, 70.0),
        // South: kerb, road, fence.
        put(What::Kerb([18.7, 8.7]), -6.1, 8.7, 0.0),
        put(What::Kerb([-6.07, -6.4]), -6.07, 8.7, 0.0),
        put(What::Fence([44.0, 18.4]), -36.0, 18.4, 0.0),
        put(
            What::House {
                size: [6.5, 2.9, 4.2],
                colour: SAND,
                brick: false,
                rise: 1.1,
                openings: STORE,
            },
            3.2,
            23.4,
            180.0,
        ),
        put(What::Silo(1.9, 10.0), 22.0, 12.8, 0.0),
        put(What::Silo(1.9, 10.0), 26.4, 12.8, 0.0),
        put(What::Lamp(6.5), -4.6, 17.4, 180.0),
        put(What::Lamp(6.5), 18.6, 17.4, 180.0),
        put(What::Tree(8.5), 13.0, 22.5, 100.0),
        put(What::Tree(10.0), 31.0, 22.0, 130.0),
        put(What::Fence([44.0, -16.0]), 44.0, 18.4, 0.0),
        put(What::Tree(9.5), 25.0, -12.0, 50.0),
        put(What::Tree(8.0), 30.0, -4.0, 10.0),
        put(What::Cart, 16.3, -4.3, -80.0),
        put(What::Cone, 15.9, 2.6, 0.0),
        put(What::Drums(2, 0x35586e), 16.1, 5.6, 0.0),
        // On the ground.
        put(What::Grating([0.5, 3.2]), 1.75, 2.2, 90.0),
        put(What::Line([17.0, 7.7]), -5.0, 7.7, 0.0),
        put(What::Line([-5.0, 7.7]), -5.0, -5.8, 0.0),
        put(What::Hatched([4.0, 1.2]), -3.3, -6.0, 0.0),
        put(What::Hatched([4.0, 1.2]), 2.8, -6.0, 0.0),
    ],
    far_turn: 140.0,
    seed: 43,
    vista: [Vec3::new(4.0, 2.0, 5.0), Vec3::new(13.0, 1.1, 0.6)],
};

/// Colours that scenery shares.
pub mod colours {
    /// Petrol of doors and shutters.
    pub const PETROL: u32 = super::PETROL;
    /// Slate of roofs.
    pub const SLATE: u32 = super::SLATE;
    /// Grey of bare frames.
    pub const GREY: u32 = super::GREY;
    /// Ochre of what people are to see.
    pub const OCHRE: u32 = super::OCHRE;
}
