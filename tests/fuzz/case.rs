//! One file: opened, timed, its memory watched; kept if it failed.

use crate::formats::Format;
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::{Mutex, Once};
use std::time::{Duration, Instant};

/// The longest that one file may take, of the processor or of the clock, whichever is less.
const LONGEST: Duration = Duration::from_secs(1);
/// The most memory that the whole test may ever have taken, in MiB.
const MOST: u64 = 512;
/// Other tests of this process are busy too: a file is slow only if it is so every time.
const TRIES: usize = 3;
/// After so long a file is taken to be opened for ever.
const ENDLESS: Duration = Duration::from_secs(60);

/// A file that is being opened: since when, the case and its bytes.
type Opening = (Instant, u64, Vec<u8>);

/// All of them, by format.
static OPEN: Mutex<BTreeMap<&str, Opening>> = Mutex::new(BTreeMap::new());

/// Opens one of many files. One that never ends is kept all the same, and ends the whole test.
pub fn open_watched(format: &Format, case: u64, bytes: &[u8]) -> Result<Duration, String> {
    static WATCH: Once = Once::new();
    WATCH.call_once(|| drop(std::thread::spawn(watch)));
    OPEN.lock().expect("a list").insert(format.name, (Instant::now(), case, bytes.to_vec()));
    let opened = open(format, bytes);
    OPEN.lock().expect("a list").remove(format.name);
    opened
}

fn watch() {
    loop {
        std::thread::sleep(Duration::from_secs(1));
        for (name, (since, case, bytes)) in OPEN.lock().expect("a list").iter() {
            if since.elapsed() > ENDLESS {
                eprintln!("{name}: it never ends: {}", kept(name, *case, bytes));
                std::process::abort();
            }
        }
    }
}

/// Opens a file; gives the time that it took, or what went wrong.
pub fn open(format: &Format, bytes: &[u8]) -> Result<Duration, String> {
    let took = (0..TRIES).map(|_| once(format, bytes)).find(|took| took.as_ref().map_or(true, |took| *took <= LONGEST));
    let took = took.unwrap_or_else(|| Err(format!("it takes more than {LONGEST:?}")))?;
    match memory() {
        Some(most) if most > MOST => {
            forget_peak();
            Err(format!("it takes {most} MiB"))
        }
        _ => Ok(took),
    }
}

fn once(format: &Format, bytes: &[u8]) -> Result<Duration, String> {
    let (start, worked) = (Instant::now(), processor());
    let opened = catch_unwind(AssertUnwindSafe(|| (format.open)(bytes)));
    // On a computer that others keep busy the clock goes on while nothing is done.
    let took = processor().zip(worked).map_or(Duration::MAX, |(now, then)| now.saturating_sub(then)).min(start.elapsed());
    opened.map(|()| took).map_err(|_| "it panics".into())
}

/// Processor time of this process so far, as Linux tells it (proc(5): fields 14 and 15 of `stat`, in ticks, of which a second has 100).
fn processor() -> Option<Duration> {
    let stat = std::fs::read_to_string("/proc/self/stat").ok()?;
    let mut fields = stat.rsplit_once(')')?.1.split_whitespace().skip(11).map(str::parse::<u64>);
    let ticks = fields.next()?.ok()? + fields.next()?.ok()?;
    Some(Duration::from_millis(ticks * 10))
}

/// Keeps a file that failed, where a person can look at it.
pub fn kept(format: &str, case: u64, bytes: &[u8]) -> String {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("fuzz");
    std::fs::create_dir_all(&folder).expect("a folder for what failed");
    let path = folder.join(format!("{format}-{case}.bin"));
    std::fs::write(&path, bytes).expect("what failed is kept");
    path.display().to_string()
}

/// The most memory that this process ever took, in words.
pub fn peak() -> String {
    memory().map_or_else(|| "memory is not measured on this system".into(), |most| format!("at most {most} MiB of memory"))
}

/// The same in MiB, as Linux tells it (proc(5): `VmHWM`, in KiB).
fn memory() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.trim().trim_end_matches(" kB").parse::<u64>().ok().map(|kib| kib / 1024)
}

/// Measures anew from here on, so that one hungry file is not laid to the next (proc(5): 5 in `clear_refs`).
fn forget_peak() {
    let _ = std::fs::write("/proc/self/clear_refs", "5");
}
