//! A sink that is written to by a thread of its own: a disk takes tens of
//! milliseconds to make something last, and whoever draws pictures has not got
//! them.

use std::io;
use std::sync::Mutex;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread::{Builder, JoinHandle};
use training::recording::Sink;

/// What has begun to be synced and is not done, at most. With the half second
/// that is being gathered and the half second on its way to the disk, no more
/// than a second of an attempt can be lost, however slow the disk is.
const OPEN_MOST: usize = 1;

/// Hands what it is given on to another sink, in order, and does not wait.
#[derive(Debug)]
pub struct Behind {
    /// Gone when there is nothing more to write.
    jobs: Option<Sender<Job>>,
    /// What came of each sync. Nobody else ever locks it.
    done: Mutex<Receiver<io::Result<()>>>,
    /// Syncs that are not done.
    open: usize,
    writer: Option<JoinHandle<()>>,
}

#[derive(Debug)]
enum Job {
    Write(Vec<u8>),
    Sync,
}

impl Behind {
    /// Writes into a sink.
    ///
    /// # Errors
    /// The system has no thread to give.
    pub fn over(sink: impl Sink + Send + 'static) -> io::Result<Self> {
        let (jobs, taken) = channel();
        let (tell, done) = channel();
        let writer = Builder::new()
            .name(String::from("journal"))
            .spawn(move || write(sink, &taken, &tell))?;
        Ok(Behind {
            jobs: Some(jobs),
            done: Mutex::new(done),
            open: 0,
            writer: Some(writer),
        })
    }

    fn send(&mut self, job: Job) -> io::Result<()> {
        let jobs = self.jobs.as_ref();
        if jobs.is_some_and(|jobs| jobs.send(job).is_ok()) {
            return Ok(());
        }
        // The thread has gone, and has said why.
        self.wait(0)?;
        Err(io::ErrorKind::BrokenPipe.into())
    }

    /// Waits until no more than so many syncs are open.
    fn wait(&mut self, most: usize) -> io::Result<()> {
        let done = self.done.get_mut().unwrap_or_else(|e| e.into_inner());
        while self.open > 0 {
            let told = if self.open > most {
                done.recv().map_err(|_| io::ErrorKind::BrokenPipe)?
            } else {
                match done.try_recv() {
                    Ok(told) => told,
                    Err(_) => return Ok(()),
                }
            };
            self.open -= 1;
            told?;
        }
        Ok(())
    }
}

/// What the writing thread does. After a fault nothing more is written, so that
/// no hole is left with something behind it.
fn write(mut sink: impl Sink, jobs: &Receiver<Job>, tell: &Sender<io::Result<()>>) {
    let mut fault = None;
    for job in jobs {
        match job {
            Job::Write(bytes) if fault.is_none() => fault = sink.write_all(&bytes).err(),
            Job::Write(_) => {}
            Job::Sync => {
                let synced = match fault.take() {
                    Some(fault) => Err(fault),
                    None => sink.sync(),
                };
                let broken = synced.is_err();
                if tell.send(synced).is_err() || broken {
                    return;
                }
            }
        }
    }
}

impl Sink for Behind {
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.send(Job::Write(bytes.to_vec()))
    }

    fn sync(&mut self) -> io::Result<()> {
        self.send(Job::Sync)?;
        self.open += 1;
        self.wait(0)
    }

    fn begin_sync(&mut self) -> io::Result<usize> {
        self.send(Job::Sync)?;
        self.open += 1;
        self.wait(OPEN_MOST)?;
        Ok(self.open)
    }
}

impl Drop for Behind {
    /// All that was given to it is written before it goes.
    fn drop(&mut self) {
        self.jobs = None;
        if let Some(writer) = self.writer.take() {
            writer.join().ok();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;
    use std::time::{Duration, Instant};

    /// A disk that is slow, and takes only so much.
    #[derive(Clone, Default)]
    struct Disk {
        written: Arc<Mutex<Vec<u8>>>,
        room: Option<usize>,
        slow: Duration,
    }

    impl Sink for Disk {
        fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
            let mut written = self.written.lock().expect("nobody fails with it");
            if self
                .room
                .is_some_and(|room| written.len() + bytes.len() > room)
            {
                return Err(io::ErrorKind::StorageFull.into());
            }
            written.extend_from_slice(bytes);
            Ok(())
        }

        fn sync(&mut self) -> io::Result<()> {
            std::thread::sleep(self.slow);
            Ok(())
        }
    }

    #[test]
    fn it_does_not_wait_for_one_sync_and_waits_for_two() {
        let disk = Disk {
            slow: Duration::from_millis(800),
            ..Disk::default()
        };
        let mut behind = Behind::over(disk.clone()).expect("a thread");
        let began = Instant::now();
        behind.write_all(b"one").expect("it takes it");
        assert_eq!(behind.begin_sync().expect("it begins"), 1);
        assert!(began.elapsed() < Duration::from_millis(700));
        behind.write_all(b"two").expect("it takes it");
        assert_eq!(behind.begin_sync().expect("it begins"), 1);
        assert!(began.elapsed() >= Duration::from_millis(800));
        behind.sync().expect("it lasts");
        assert!(began.elapsed() >= Duration::from_millis(2400));
        assert_eq!(*disk.written.lock().expect("no fault"), b"onetwo");
    }

    #[test]
    fn a_full_disk_is_told_when_the_next_goes_out_and_stays_told() {
        let disk = Disk {
            room: Some(4),
            ..Disk::default()
        };
        let mut behind = Behind::over(disk.clone()).expect("a thread");
        behind.write_all(b"one").expect("it takes it");
        behind.write_all(b"two").expect("it takes it");
        behind.write_all(b"!").expect("it takes it");
        let told = behind.begin_sync().and_then(|_| behind.begin_sync());
        assert_eq!(
            told.expect_err("it is full").kind(),
            io::ErrorKind::StorageFull
        );
        assert!(behind.sync().is_err());
        // Nothing stands behind a hole.
        assert_eq!(*disk.written.lock().expect("no fault"), b"one");
    }

    #[test]
    fn nothing_is_lost_by_going() {
        let disk = Disk::default();
        let mut behind = Behind::over(disk.clone()).expect("a thread");
        for n in 0..100_u8 {
            behind.write_all(&[n]).expect("it takes it");
        }
        drop(behind);
        assert_eq!(disk.written.lock().expect("no fault").len(), 100);
    }
}
