//! A small server for one page on this computer alone: it answers browsers here, and tells them when the page is another.

use super::request::{Answer, Request};
use crate::diagnostic::Diagnostic;
use std::io::{Read, Write};
use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// How long a browser may take to ask, and to take an answer.
const PATIENCE: Duration = Duration::from_secs(10);
/// How often a waiting page is told that the server still lives.
const PULSE: Duration = Duration::from_secs(15);
/// How many browsers are served at a time; a page that stays open counts as one.
const MOST: usize = 40;
/// Longest request that is read.
const REQUEST_BYTES: usize = 16_384;

/// What all connections share.
#[derive(Default)]
struct Shared {
    shown: Mutex<Shown>,
    news: Condvar,
    served: AtomicUsize,
}

/// What there is to see.
#[derive(Clone, Default)]
struct Shown {
    html: Arc<Vec<u8>>,
    version: String,
    works: bool,
    /// Grows with every change.
    turn: u64,
}

/// A server that listens on the loopback address.
pub(super) struct Server {
    listener: TcpListener,
    port: u16,
    shared: Arc<Shared>,
}

impl Server {
    /// Takes a port, a free one if none is named; nothing is answered yet.
    pub(super) fn bind(port: Option<u16>) -> Result<Self, Diagnostic> {
        let bound = TcpListener::bind(SocketAddr::from((Ipv4Addr::LOCALHOST, port.unwrap_or(0))));
        let bound = bound.and_then(|listener| Ok((listener.local_addr()?.port(), listener)));
        let (port, listener) = bound.map_err(|error| match port {
            Some(port) => error!("cannot-serve", port, error),
            None => error!("cannot-serve/free", error),
        })?;
        Ok(Self { listener, port, shared: Arc::default() })
    }

    /// The address for a browser.
    pub(super) fn address(&self) -> String {
        format!("http://{}:{}/", Ipv4Addr::LOCALHOST, self.port)
    }

    /// Shows a page from now on; open pages are told its version.
    pub(super) fn show(&self, html: &str, version: &str) {
        let (html, version) = (Arc::new(html.as_bytes().to_vec()), version.to_owned());
        self.shared.change(|shown| *shown = Shown { html, version, works: false, turn: shown.turn });
    }

    /// Tells open pages that a new one is being made.
    pub(super) fn works(&self) {
        self.shared.change(|shown| shown.works = true);
    }

    /// Begins to answer, beside whatever else the program does.
    pub(super) fn start(&self) {
        let (Ok(listener), port, shared) = (self.listener.try_clone(), self.port, Arc::clone(&self.shared)) else { return };
        std::thread::spawn(move || {
            for stream in listener.incoming().flatten() {
                let shared = Arc::clone(&shared);
                if shared.served.fetch_add(1, Ordering::SeqCst) >= MOST {
                    shared.served.fetch_sub(1, Ordering::SeqCst);
                    continue;
                }
                std::thread::spawn(move || {
                    // A browser that goes away in the middle is no fault.
                    let _ = serve(stream, port, &shared);
                    shared.served.fetch_sub(1, Ordering::SeqCst);
                });
            }
        });
    }
}

impl Shared {
    fn shown(&self) -> MutexGuard<'_, Shown> {
        self.shown.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn change(&self, change: impl FnOnce(&mut Shown)) {
        let mut shown = self.shown();
        change(&mut shown);
        shown.turn += 1;
        drop(shown);
        self.news.notify_all();
    }

    /// What there is after a turn, or after a while.
    fn after(&self, turn: u64) -> Shown {
        let waited = self.news.wait_timeout_while(self.shown(), PULSE, |shown| shown.turn == turn);
        waited.unwrap_or_else(PoisonError::into_inner).0.clone()
    }
}

fn serve(mut stream: TcpStream, port: u16, shared: &Shared) -> std::io::Result<()> {
    stream.set_read_timeout(Some(PATIENCE))?;
    stream.set_write_timeout(Some(PATIENCE))?;
    let asked = head(&mut stream)?;
    match Request::read(&asked, port) {
        Ok(Request::Page) => {
            let html = Arc::clone(&shared.shown().html);
            stream.write_all(Answer::PAGE.head(html.len()).as_bytes())?;
            stream.write_all(&html)
        }
        Ok(Request::Events) => events(&mut stream, shared),
        Err(refusal) => {
            stream.write_all(refusal.head(refusal.says.len()).as_bytes())?;
            stream.write_all(refusal.says.as_bytes())
        }
    }
}

/// The bytes up to the empty line behind the head of a request, or as many as are read of a longer one.
fn head(stream: &mut TcpStream) -> std::io::Result<Vec<u8>> {
    let (mut asked, mut part) = (Vec::new(), [0; 2048]);
    while asked.len() < REQUEST_BYTES && !asked.windows(4).any(|end| end == b"\r\n\r\n") {
        let count = stream.read(&mut part)?;
        if count == 0 {
            break;
        }
        asked.extend(part.iter().take(count));
    }
    Ok(asked)
}

/// Tells the version of the page, now and whenever it changes, as events (HTML Living Standard, server-sent events).
fn events(stream: &mut TcpStream, shared: &Shared) -> std::io::Result<()> {
    stream.write_all(Answer::EVENTS.as_bytes())?;
    let mut shown = shared.shown().clone();
    loop {
        let event = if shown.works { "event: works\ndata: \n\n".to_owned() } else { format!("data: {}\n\n", shown.version) };
        stream.write_all(event.as_bytes())?;
        let turn = shown.turn;
        loop {
            shown = shared.after(turn);
            if shown.turn != turn {
                break;
            }
            stream.write_all(b": still here\n\n")?;
        }
    }
}
