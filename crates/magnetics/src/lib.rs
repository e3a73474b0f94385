//! magnetics
