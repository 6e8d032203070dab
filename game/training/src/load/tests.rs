//! The data that comes with the program, and loading as a whole.

use std::path::Path;

use super::*;

fn library() -> Library {
    Library::at(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../levels"))
}

#[test]
fn every_file_that_comes_with_the_program_is_in_order() {
    let checked = library().check();
    assert!(checked.len() >= 8, "{checked:#?}");
    for file in checked {
        assert!(
            file.problems.is_empty(),
            "{}:\n{}",
            file.file,
            file.problems
        );
    }
}
