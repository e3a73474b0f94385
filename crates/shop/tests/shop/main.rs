//! The shop as its callers use it.

// Marked as tests so that helpers, too, may unwrap.
#[cfg(test)]
mod bad_files;
#[cfg(test)]
mod common;
#[cfg(test)]
mod database;
#[cfg(test)]
mod export;
#[cfg(test)]
mod fresh_lists;
#[cfg(test)]
mod import;
#[cfg(test)]
mod lots;
#[cfg(test)]
mod overwritten;
#[cfg(test)]
mod parts;
#[cfg(test)]
mod real_lists;
#[cfg(test)]
mod safety;
