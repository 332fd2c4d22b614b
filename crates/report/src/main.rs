//! The command `lineset`.
fn main() {}
