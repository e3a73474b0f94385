//! Prints the invented shelf of ten thousand items on which questions are measured, as JSON.

fn main() -> Result<(), serde_json::Error> {
    #[cfg(not(target_arch = "wasm32"))]
    serde_json::to_writer(std::io::stdout().lock(), &shop::demo::generate(10_000, 1))?;
    Ok(())
}
