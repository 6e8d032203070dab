//! Puts the exercises and the catalogue into the program, so that it runs without their folder.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn main() -> io::Result<()> {
    let project = PathBuf::from(env::var_os("CARGO_MANIFEST_DIR").unwrap_or_default());
    let levels = project.join("../../levels");
    println!("cargo:rerun-if-changed={}", levels.display());
    let mut files = Vec::new();
    gather(&levels, "", &mut files)?;
    files.sort();
    let mut code = String::from(
        "/// Name and bytes of every file.\npub(super) static FILES: &[(&str, &[u8])] = &[\n",
    );
    for (name, path) in files {
        // Both are written as Rust texts, whatever is in them.
        let _ = writeln!(code, "    ({name:?}, include_bytes!({path:?})),");
    }
    code.push_str("];\n");
    let out = PathBuf::from(env::var_os("OUT_DIR").unwrap_or_default());
    fs::write(out.join("built_in.rs"), code)
}

/// Every `.ron` file in a folder and the folders in it, by its name with `/` between.
fn gather(folder: &Path, prefix: &str, files: &mut Vec<(String, PathBuf)>) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        let Some(name) = path.file_name().and_then(|n| n.to_str()) else {
            continue;
        };
        let name = format!("{prefix}{name}");
        if path.is_dir() {
            gather(&path, &format!("{name}/"), files)?;
        } else if name.ends_with(".ron") {
            files.push((name, path));
        }
    }
    Ok(())
}
