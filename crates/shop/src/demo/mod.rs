//! An invented shop to try things on.
