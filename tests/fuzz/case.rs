//! One file: opened, timed, its memory watched; kept if it failed.

use crate::formats::Format;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::time::{Duration, Instant};

/// The longest that one file may take.
const LONGEST: Duration = Duration::from_secs(1);
/// The most memory that the whole test may ever have taken, in MiB.
const MOST: u64 = 512;
/// Other programs keep a computer busy too: a file is slow only if it is so every time.
const TRIES: usize = 3;

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
    let start = Instant::now();
    let opened = catch_unwind(AssertUnwindSafe(|| (format.open)(bytes)));
    opened.map(|()| start.elapsed()).map_err(|_| "it panics".into())
}

/// Keeps a file that failed, where a person can look at it.
pub fn kept(format: &Format, case: u64, bytes: &[u8]) -> String {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("fuzz");
    std::fs::create_dir_all(&folder).expect("a folder for what failed");
    let path = folder.join(format!("{}-{case}.bin", format.name));
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
