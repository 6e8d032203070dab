//! `key`: makes and shows the key that seals are signed with.

use super::faults::Refusal;
use super::{Verdict, show};
use clap::ArgMatches;
use std::io::Write;
use std::path::{Path, PathBuf};
use training::recording::{KeyFile, OpenKey};
use training::text::say;

/// The environment variable that a passphrase is read from.
pub const PASSPHRASE: &str = "JETYARD_PASSPHRASE";

/// The command.
pub fn key(m: &ArgMatches) -> Result<Verdict, Refusal> {
    match m.subcommand() {
        Some(("new", m)) => {
            let path = m.get_one::<PathBuf>("out").cloned().unwrap_or_default();
            make(&path, m.get_flag("stick"))
        }
        Some(("show", m)) => {
            let path = m.get_one::<PathBuf>("file").cloned().unwrap_or_default();
            let bytes = std::fs::read(&path).map_err(|e| {
                Refusal::new(say(
                    "cli-not_read",
                    &[
                        ("path", &path.display().to_string()),
                        ("reason", &e.to_string()),
                    ],
                ))
            })?;
            tell(&KeyFile::read(&bytes)?);
            Ok(Verdict::Fine)
        }
        _ => Ok(Verdict::Fine),
    }
}

fn make(path: &Path, stick: bool) -> Result<Verdict, Refusal> {
    let made = OpenKey::make()?;
    let text = if stick {
        made.for_the_stick()
    } else {
        let passphrase = std::env::var(PASSPHRASE)
            .map_err(|_| Refusal::new(say("cli-key-no_passphrase", &[("name", &PASSPHRASE)])))?;
        made.protect(&passphrase)?
    };
    // A key is never written over.
    std::fs::File::options()
        .write(true)
        .create_new(true)
        .open(path)
        .and_then(|mut file| {
            file.write_all(text.as_bytes())?;
            file.sync_all()
        })
        .map_err(|e| Refusal::not_written(path, &e))?;
    tell(&KeyFile::read(text.as_bytes())?);
    Ok(Verdict::Fine)
}

fn tell(key: &KeyFile) {
    let kind = if key.is_protected() {
        "cli-key-protected"
    } else {
        "cli-key-on_stick"
    };
    show::line(&say(
        kind,
        &[("fingerprint", &key.public().fingerprint().to_string())],
    ));
}
