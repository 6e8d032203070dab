//! The window without a picture: keys and mouse go in, an attempt comes out.

mod budget;
mod by_tick;
mod desk;
mod effort;
mod fingers;
mod plain_hand;
mod played;
