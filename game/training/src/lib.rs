//! training
