//! Attempts that are cut off.

use crate::support::LEVEL;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};
use training::recording::{Recording, Status};

/// The recordings in a folder.
fn recordings(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return Vec::new();
    };
    entries
        .filter_map(|e| Some(e.ok()?.path()))
        .filter(|p| p.extension().is_some_and(|e| e == "jetyard"))
        .collect()
}

#[test]
fn a_killed_process_takes_back_nothing_that_was_written_and_leaves_no_mark() {
    let folder = tempfile::tempdir().unwrap();
    // A spread of moments over the run; the first ones fall into its start.
    let mut cut = 0;
    for n in 0..50_u64 {
        let out = folder.path().join(n.to_string());
        let mut child = Command::new(env!("CARGO_BIN_EXE_jetyard"))
            .args(["run", LEVEL, "--out"])
            .arg(&out)
            .current_dir(folder.path())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let began = Instant::now();
        while recordings(&out).is_empty() {
            assert!(began.elapsed() < Duration::from_secs(60), "no recording");
            std::thread::sleep(Duration::from_millis(1));
        }
        // Moments that do not repeat, from 0 to 1.5 s into the run.
        std::thread::sleep(Duration::from_millis(n * 7919 % 1500));
        // How far the attempt was on the disk just before the kill.
        let before = std::fs::read(&recordings(&out)[0]).unwrap_or_default();
        child.kill().unwrap();
        child.wait().unwrap();
        let after = std::fs::read(&recordings(&out)[0]).unwrap();
        // What was written is never taken back.
        assert!(after.starts_with(&before), "round {n}");
        let Ok(recording) = Recording::read(after) else {
            // Cut within the header: there was no attempt yet.
            continue;
        };
        match recording.status() {
            Status::Unfinished { until } => {
                cut += 1;
                if let Ok(earlier) = Recording::read(before) {
                    assert!(until >= earlier.until(), "round {n}");
                }
                assert_eq!(recording.end(), None);
                let level = training::load::Bundle::from_bytes(recording.header().bundle.bytes())
                    .and_then(|b| b.load())
                    .unwrap_or_else(|p| panic!("{p}"));
                assert_eq!(yard::attempt::mark(&level, &recording), None);
            }
            status => panic!("round {n}: {status:?}"),
        }
    }
    assert!(cut >= 40, "{cut} attempts were cut off while they ran");
}
