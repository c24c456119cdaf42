//! What a browser asks of the server, and whether it may: only reading, only what there is, and only by the server's own name.

/// The most headers that a request may have.
const HEADERS: usize = 64;

/// Something that is answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Request {
    /// The page itself.
    Page,
    /// News of it, for as long as it is open.
    Events,
}

/// The head of an answer, and what a refusal says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Answer {
    status: &'static str,
    kind: &'static str,
    more: &'static str,
    pub(super) says: &'static str,
}

impl Answer {
    /// What every answer says: it is not kept, not guessed at, not framed, and not handed to other sites.
    const RULES: &'static str = "Cache-Control: no-store\r\nX-Content-Type-Options: nosniff\r\nX-Frame-Options: DENY\r\n\
        Cross-Origin-Resource-Policy: same-origin\r\nReferrer-Policy: no-referrer\r\nConnection: close\r\n";
    /// The page.
    pub(super) const PAGE: Self = Self { status: "200 OK", kind: "text/html; charset=utf-8", more: "", says: "" };
    /// Head and first words of a stream of events.
    pub(super) const EVENTS: &'static str = "HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\nCache-Control: no-store\r\n\
        X-Content-Type-Options: nosniff\r\nCross-Origin-Resource-Policy: same-origin\r\nConnection: close\r\n\r\nretry: 1000\n\n";

    const fn refusal(status: &'static str, more: &'static str, says: &'static str) -> Self {
        Self { status, kind: "text/plain; charset=utf-8", more, says }
    }

    /// The head of an answer with a body of that many bytes.
    pub(super) fn head(&self, bytes: usize) -> String {
        let Self { status, kind, more, .. } = self;
        let rules = Self::RULES;
        format!("HTTP/1.1 {status}\r\nContent-Type: {kind}\r\nContent-Length: {bytes}\r\n{more}{rules}\r\n")
    }
}

impl Request {
    /// Reads the head of a request. Pages of other sites can make a browser ask for a name of theirs that leads here; such
    /// names are refused, so that they never read an answer.
    pub(super) fn read(head: &[u8], port: u16) -> Result<Self, Answer> {
        let mut headers = [httparse::EMPTY_HEADER; HEADERS];
        let mut request = httparse::Request::new(&mut headers);
        let unclear = Answer::refusal("400 Bad Request", "", "this is no request that can be read\n");
        let read = request.parse(head).map_err(|_| unclear)?;
        let (httparse::Status::Complete(_), Some(method), Some(path)) = (read, request.method, request.path) else {
            return Err(unclear);
        };
        let own = [format!("127.0.0.1:{port}"), format!("localhost:{port}")];
        let mut hosts = request.headers.iter().filter(|header| header.name.eq_ignore_ascii_case("host"));
        let is_own = |host: &httparse::Header| own.iter().any(|own| own.as_bytes().eq_ignore_ascii_case(host.value));
        match (hosts.next(), hosts.next()) {
            (Some(host), None) if is_own(host) => {}
            _ => return Err(Answer::refusal("421 Misdirected Request", "", "this server has another name\n")),
        }
        // A page of another site cannot read the news, but could ask for them until nobody else is served (Fetch Metadata).
        let site = request.headers.iter().find(|header| header.name.eq_ignore_ascii_case("sec-fetch-site"));
        let foreign = site.is_some_and(|site| site.value != b"same-origin" && site.value != b"none");
        match (method, path) {
            ("GET", "/") => Ok(Self::Page),
            ("GET", "/events") if foreign => Err(Answer::refusal("403 Forbidden", "", "the news are for the proof alone\n")),
            ("GET", "/events") => Ok(Self::Events),
            ("GET", _) => Err(Answer::refusal("404 Not Found", "", "there is nothing here but the proof, at /\n")),
            _ => Err(Answer::refusal("405 Method Not Allowed", "Allow: GET\r\n", "this server only shows\n")),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn read(text: &str) -> Result<Request, &'static str> {
        Request::read(text.as_bytes(), 4711).map_err(|answer| answer.status.split(' ').next().unwrap())
    }

    #[test]
    fn only_the_page_and_its_news_are_given() {
        let get = |path: &str| read(&format!("GET {path} HTTP/1.1\r\nHost: 127.0.0.1:4711\r\n\r\n"));
        assert_eq!((get("/"), get("/events")), (Ok(Request::Page), Ok(Request::Events)));
        for path in ["/index.html", "/../etc/passwd", "/events/", "//", "http://127.0.0.1:4711/", "/?x"] {
            assert_eq!(get(path), Err("404"), "{path}");
        }
        for method in ["POST", "HEAD", "OPTIONS", "PUT", "DELETE", "CONNECT"] {
            assert_eq!(read(&format!("{method} / HTTP/1.1\r\nHost: localhost:4711\r\n\r\n")), Err("405"), "{method}");
        }
    }

    #[test]
    fn other_names_of_this_computer_are_refused() {
        let with = |hosts: &str| read(&format!("GET / HTTP/1.1\r\n{hosts}\r\n"));
        assert_eq!(with("HOST: LocalHost:4711\r\n"), Ok(Request::Page));
        let others = [
            "",
            "Host: evil.example:4711\r\n",
            "Host: 127.0.0.1\r\n",
            "Host: 127.0.0.1:80\r\n",
            "Host: 127.0.0.1:4711.evil.example\r\n",
            "Host: 127.0.0.1:4711\r\nHost: evil.example\r\n",
            "Host: [::1]:4711\r\n",
        ];
        for hosts in others {
            assert_eq!(with(hosts), Err("421"), "{hosts:?}");
        }
    }

    #[test]
    fn pages_of_other_sites_get_no_news() {
        let from =
            |site: &str| read(&format!("GET /events HTTP/1.1\r\nHost: localhost:4711\r\nSec-Fetch-Site: {site}\r\n\r\n"));
        assert_eq!((from("same-origin"), from("none")), (Ok(Request::Events), Ok(Request::Events)));
        assert_eq!((from("cross-site"), from("same-site")), (Err("403"), Err("403")));
    }

    #[test]
    fn what_is_no_request_is_refused() {
        let many: String = (0..100).map(|n| format!("X-{n}: y\r\n")).collect();
        let many = format!("GET / HTTP/1.1\r\n{many}\r\n");
        for text in ["", "GET", "GET /\r\n\r\n", "GET / HTTP/1.1\r\n", "\0\0\0", "GET / HTTP/1.1\r\nHost\r\n\r\n", &many] {
            assert_eq!(read(text), Err("400"), "{text:?}");
        }
    }

    proptest! {
        #[test]
        fn no_bytes_make_it_panic(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
            let _ = Request::read(&bytes, 4711);
        }
    }
}
