//! Console blocks of README.md and of `cases/`: each command with the stable part of what it prints.

use crate::command::repo;

/// `TRYCMD=overwrite cargo test -p report --test cli console` writes the blocks as they are now; read them then.
#[test]
fn console_blocks_run_as_printed() {
    // The blocks are read by people who stand in the repository. The other tests use full paths.
    std::env::set_current_dir(repo(".")).unwrap();
    trycmd::TestCases::new().case("README.md").case("tests/cli/cases/*.md");
}
