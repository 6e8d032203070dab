use super::*;
use std::cell::RefCell;
use std::io;
use std::rc::Rc;

/// A disk that keeps what was synced, and takes only so many bytes.
#[derive(Debug, Default)]
struct Disk {
    written: Vec<u8>,
    synced: usize,
    room: Option<usize>,
    syncs: usize,
}

#[derive(Clone, Debug, Default)]
struct Shared(Rc<RefCell<Disk>>);

impl Sink for Shared {
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        let mut disk = self.0.borrow_mut();
        let room = disk
            .room
            .map_or(usize::MAX, |room| room - disk.written.len());
        let fits = bytes.len().min(room);
        disk.written.extend_from_slice(&bytes[..fits]);
        if fits < bytes.len() {
            return Err(io::ErrorKind::StorageFull.into());
        }
        Ok(())
    }

    fn sync(&mut self) -> io::Result<()> {
        let mut disk = self.0.borrow_mut();
        disk.synced = disk.written.len();
        disk.syncs += 1;
        Ok(())
    }
}

/// A slow disk: what it is asked to sync is synced when it is asked again.
#[derive(Debug, Default)]
struct Slow {
    disk: Shared,
    asked: Option<usize>,
}

impl Sink for Slow {
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.disk.write_all(bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        self.asked = None;
        self.disk.sync()
    }

    fn begin_sync(&mut self) -> io::Result<usize> {
        let mut disk = self.disk.0.borrow_mut();
        let asked = self.asked.replace(disk.written.len());
        disk.synced = asked.unwrap_or(disk.synced);
        Ok(1)
    }
}

const SECOND: u32 = 120;

#[test]
fn a_power_cut_at_any_moment_loses_less_than_a_second_and_reads_unfinished() {
    let moments = attempt(2400, 9);
    let mut rng = ChaCha8Rng::seed_from_u64(10);
    for n in 0..50 {
        let done = rng.random_range(1..=moments.len());
        let disk = Shared::default();
        let slow = Slow {
            disk: disk.clone(),
            asked: None,
        };
        let sink: Box<dyn Sink> = if n % 2 == 0 {
            Box::new(disk.clone())
        } else {
            Box::new(slow)
        };
        let mut journal = Journal::begin(sink, header(), opened()).unwrap();
        write(&mut journal, &moments[..done], 600).unwrap();
        let safe_until = journal.safe_until();
        drop(journal);

        // What was not synced is gone, or some of it is there, or there is
        // only room for it.
        let disk = disk.0.borrow();
        let unsynced = disk.written.len() - disk.synced;
        let mut kept = disk.written[..disk.synced + rng.random_range(0..=unsynced)].to_vec();
        if rng.random() {
            kept.resize(disk.written.len(), 0);
        }
        let recording = Recording::read(kept).unwrap();
        let until = recording.until();
        assert_eq!(recording.status(), Status::Unfinished { until });
        assert!(done as u32 - until.0 < SECOND, "{} of {done}", until.0);
        assert!(safe_until <= until, "more was called safe than was");
        shows(&recording, &moments);
    }
}

#[test]
fn a_power_cut_while_bytes_are_being_written_loses_less_than_a_second() {
    let moments = attempt(1200, 11);
    let whole = record(&moments, Some(&key())).0.len();
    let mut rng = ChaCha8Rng::seed_from_u64(12);
    let begun = {
        let disk = Shared::default();
        Journal::begin(disk.clone(), header(), opened()).unwrap();
        disk.0.borrow().written.len()
    };
    for _ in 0..50 {
        let disk = Shared::default();
        let room = rng.random_range(begun..whole);
        disk.0.borrow_mut().room = Some(room);
        let mut journal = Journal::begin(disk.clone(), header(), opened()).unwrap();
        let mut done = 0;
        for m in &moments {
            done = m.tick.0 + 1;
            if write(&mut journal, std::slice::from_ref(m), 120).is_err() {
                break;
            }
        }
        if done as usize == moments.len() {
            journal.seal(end(&moments), closed(), Some(&key())).ok();
        }
        let disk = disk.0.borrow();
        let recording = Recording::read(&disk.written[..disk.synced]).unwrap();
        let until = recording.until();
        assert_eq!(recording.status(), Status::Unfinished { until });
        assert!(done - until.0 < SECOND, "{} of {done}", until.0);
        shows(&recording, &moments);
    }
}

#[test]
fn every_chunk_is_synced() {
    let disk = Shared::default();
    let mut journal = Journal::begin(disk.clone(), header(), opened()).unwrap();
    let begun = disk.0.borrow().syncs;
    write(&mut journal, &attempt(600, 13), 1000).unwrap();
    assert_eq!(disk.0.borrow().syncs - begun, 10);
    assert_eq!(disk.0.borrow().synced, disk.0.borrow().written.len());
    assert_eq!(journal.safe_until(), Tick(600));
}

#[test]
fn a_full_disk_is_told_with_what_is_safe_and_the_file_reads_up_to_there() {
    let moments = attempt(1200, 14);
    let whole = record(&moments, None).0.len();
    let disk = Shared::default();
    disk.0.borrow_mut().room = Some(whole / 2);
    let mut journal = Journal::begin(disk.clone(), header(), opened()).unwrap();
    let fault = write(&mut journal, &moments, 120).unwrap_err();
    let JournalFault::DiskFull { safe_until } = fault else {
        panic!("{fault:?}");
    };
    assert!(safe_until > Tick(0) && safe_until < Tick(1200));
    assert_eq!(fault.id(), "journal_disk_full");
    assert_eq!(
        fault.arguments(),
        [("safe_until", safe_until.0.to_string())]
    );
    let recording = Recording::read(disk.0.borrow().written.clone()).unwrap();
    assert_eq!(recording.status(), Status::Unfinished { until: safe_until });
    shows(&recording, &moments);

    // It stays faulty, also when there is room again: what is missing in the
    // middle cannot be written behind.
    disk.0.borrow_mut().room = None;
    let m = &moments[1199];
    assert_eq!(tick(&mut journal, m), Err(fault.clone()));
    assert_eq!(journal.seal(end(&moments), closed(), None), Err(fault));
}

#[test]
fn a_full_disk_at_the_seal_leaves_the_attempt_unfinished_and_whole() {
    let moments = attempt(130, 15);
    let whole = record(&moments, None).0.len();
    let disk = Shared::default();
    disk.0.borrow_mut().room = Some(whole - 3);
    let mut journal = Journal::begin(disk.clone(), header(), opened()).unwrap();
    write(&mut journal, &moments, 120).unwrap();
    let fault = journal.seal(end(&moments), closed(), None).unwrap_err();
    let safe_until = Tick(130);
    assert_eq!(fault, JournalFault::DiskFull { safe_until });
    let recording = Recording::read(disk.0.borrow().written.clone()).unwrap();
    assert_eq!(recording.status(), Status::Unfinished { until: safe_until });
    shows(&recording, &moments);
}

#[test]
fn a_file_is_never_overwritten_and_holds_what_memory_holds() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("attempt.rec");
    let moments = attempt(300, 16);
    let sink = FileSink::create(&path).unwrap();
    let mut journal = Journal::begin(sink, header(), opened()).unwrap();
    write(&mut journal, &moments, 120).unwrap();
    let unfinished = Recording::load(&path).unwrap();
    assert_eq!(unfinished.status(), Status::Unfinished { until: Tick(300) });
    journal.seal(end(&moments), closed(), Some(&key())).unwrap();
    let (in_memory, _) = record(&moments, Some(&key()));
    assert_eq!(std::fs::read(&path).unwrap(), in_memory);
    assert!(Recording::load(&path).unwrap().status().is_sealed());

    let fault = FileSink::create(&path).unwrap_err();
    assert_eq!(fault.id(), "journal_already_there");
    assert_eq!(std::fs::read(&path).unwrap(), in_memory);
    let nowhere = FileSink::create(&folder.path().join("no/such/folder")).unwrap_err();
    assert_eq!(nowhere.id(), "journal_not_made");
    let missing = Recording::load(&folder.path().join("none")).unwrap_err();
    assert_eq!(missing.id(), "recording_not_read");
}
