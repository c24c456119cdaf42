//! `proof`: a page that holds every sheet, tells what was found where it was found, and follows the kit while it is edited.

use crate::scene::Scene;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// The page in the folder `out` of the first kit.
fn page(scene: &Scene) -> String {
    String::from_utf8(scene.bytes("kit/out/first-kit-0.1.0-proof.html")).unwrap()
}

#[test]
fn every_sheet_of_every_paper_is_on_the_page() {
    let scene = Scene::first_kit();
    let outcome = scene.run(&["proof", "kit"]).expect_code(0);
    assert_eq!(outcome.stdout, "kit/out/first-kit-0.1.0-proof.html\n");
    let page = page(&scene);
    let plan = scene.run(&["plan", "kit", "--format", "json"]).json();
    let layouts = plan["layouts"].as_array().unwrap();
    assert!(layouts.len() > 1);
    for layout in layouts {
        let paper = layout["paper"].as_str().unwrap();
        for sheet in layout["sheets"].as_array().unwrap() {
            let (label, number) = (sheet["label"].as_str().unwrap(), sheet["page"].as_u64().unwrap());
            let button = page.split(&format!("id=\"{paper}-{label}\"")).nth(1).unwrap_or_else(|| panic!("{paper} {label}"));
            assert!(button.split('>').next().unwrap().contains(&format!("data-page=\"{number}\"")), "{paper} {label}");
        }
        for size in layout["sizes"].as_array().unwrap() {
            let pages = size["page_ranges"].as_str().unwrap().replace(',', ", ");
            assert!(page.contains(&format!("<td>{pages}</td>")), "{paper}: {pages}");
        }
    }
    assert!(page.contains("Ready to go out") && page.contains("No findings."));
    // Made again it is the same, and an earlier one is replaced.
    scene.run(&["proof", "kit"]).expect_code(0);
    assert!(page == String::from_utf8(scene.bytes("kit/out/first-kit-0.1.0-proof.html")).unwrap());
}

#[test]
fn every_picture_that_is_called_is_in_the_store_once() {
    let scene = Scene::new().kit("kit", "kits/ropewalk-tote");
    scene.run(&["proof", "kit", "--out", "made"]).expect_code(0);
    let page = String::from_utf8(scene.bytes("made/ropewalk-tote-1.0.0-proof.html")).unwrap();
    let called: Vec<&str> = page.split("<use href=\"#").skip(1).map(|rest| rest.split('"').next().unwrap()).collect();
    assert!(called.len() > 100);
    for id in called {
        assert_eq!(page.matches(&format!(" id=\"{id}\"")).count(), 1, "{id}");
    }
}

#[test]
fn findings_stand_beside_the_sheets_that_they_concern() {
    let scene = Scene::first_kit();
    // A hairline: it is on the sheets that its line of the drawing is on, and on no other.
    scene.change(
        "kit/drawing.svg",
        "<g id=\"grain\">",
        "<g id=\"hair\"><path stroke-width=\".01\" d=\"M 40 40 h 5\"/></g><g id=\"grain\">",
    );
    let outcome = scene.run(&["proof", "kit"]);
    assert!(outcome.stderr.contains("ink-thin"), "{}", outcome.stderr);
    let page = page(&scene);
    assert!(page.contains("May go out, once you have looked") || page.contains("Not ready"));
    let finding = page.split("<code>ink-thin</code>").nth(1).unwrap().split("</li>").next().unwrap();
    assert!(finding.contains("data-opens=\"a4-A1\"") && !finding.contains("data-opens=\"a4-B2\""), "{finding}");
    let about = page.split("id=\"about-a4-A1\"").nth(1).unwrap().split("</div>\n<div class=\"about\"").next().unwrap();
    assert!(about.contains("ink-thin"), "{about}");
}

#[test]
fn blank_sheets_are_shown_too() {
    let manifest = "name: pouch\ntitle: Pouch\npublisher: Ploverfield Paper\nedition: 1.0.0\ndate: 2026-11-20\n\
        copyright: © 2026 Ploverfield Paper\npapers: [a4, a0]\nblank: {rows: 2, columns: 3}\n";
    let scene = Scene::new().file("kit/kit.yaml", manifest);
    scene.run(&["proof", "kit"]).expect_code(0);
    let page = String::from_utf8(scene.bytes("kit/out/pouch-1.0.0-proof.html")).unwrap();
    for label in ["A1", "A2", "A3", "B1", "B2", "B3"] {
        assert!(page.contains(&format!("id=\"a4-{label}\"")) && page.contains(&format!("id=\"a0-{label}\"")), "{label}");
    }
    assert!(!page.contains("Sizes shown"), "a kit of one size has nothing to switch");
}

#[test]
fn strangers_are_left_alone_and_bad_kits_refused() {
    let scene = Scene::first_kit().file("kit/out/first-kit-0.1.0-proof.html", "my own page\n");
    let outcome = scene.run(&["proof", "kit"]).expect_code(3);
    assert!(outcome.stderr.contains("error[cannot-write]"), "{}", outcome.stderr);
    assert_eq!(scene.bytes("kit/out/first-kit-0.1.0-proof.html"), b"my own page\n");
    scene.change("kit/kit.yaml", "edition:", "edition: [");
    scene.run(&["proof", "kit", "--out", "made"]).expect_code(1);
    assert!(!scene.path("made").exists());
    scene.run(&["proof", "kit", "--port", "4711"]).expect_code(2);
    scene.run(&["proof", "kit", "--watch", "--out", "made"]).expect_code(2);
}

/// The program as it watches; it ends with the test.
struct Watching {
    child: Child,
    address: String,
}

impl Watching {
    fn of(scene: &Scene) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_kitwright"))
            .args(["proof", "kit", "--watch", "--quiet"])
            .current_dir(scene.path(""))
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let address = line.trim().strip_prefix("http://").unwrap().trim_end_matches('/').to_owned();
        Self { child, address }
    }

    fn connect(&self, request: &[u8]) -> TcpStream {
        let mut stream = TcpStream::connect(&self.address).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(60))).unwrap();
        stream.write_all(request).unwrap();
        stream
    }

    fn answer(&self, request: &str) -> String {
        let mut answer = String::new();
        self.connect(request.as_bytes()).read_to_string(&mut answer).unwrap();
        answer
    }

    fn page(&self) -> String {
        self.answer(&format!("GET / HTTP/1.1\r\nHost: {}\r\n\r\n", self.address))
    }
}

impl Drop for Watching {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn version(page: &str) -> &str {
    page.split("data-version=\"").nth(1).unwrap().split('"').next().unwrap()
}

#[test]
fn a_watched_page_follows_the_kit_through_good_and_bad() {
    let scene = Scene::first_kit();
    let watching = Watching::of(&scene);
    let page = watching.page();
    assert!(page.starts_with("HTTP/1.1 200 OK\r\n") && page.contains("connect-src 'self'"));
    let mut news =
        BufReader::new(watching.connect(format!("GET /events HTTP/1.1\r\nHost: {}\r\n\r\n", watching.address).as_bytes()));
    let mut next = |wanted: &str| {
        loop {
            let mut line = String::new();
            assert!(news.read_line(&mut line).unwrap() > 0, "the server ended before `{wanted}`");
            if line.starts_with(wanted) {
                return line.trim().to_owned();
            }
        }
    };
    assert_eq!(next("data: "), format!("data: {}", version(&page)));
    let good = String::from_utf8(scene.bytes("kit/kit.yaml")).unwrap();

    scene.write("kit/kit.yaml", &good.replace("title: My first kit", "title: Second thought"));
    next("event: works");
    next("data: ");
    let told = next("data: ");
    let second = watching.page();
    assert_eq!(told, format!("data: {}", version(&second)));
    assert!(second.contains("<h1>Second thought</h1>") && version(&second) != version(&page));

    scene.write("kit/kit.yaml", "title: [");
    next("event: works");
    next("data: ");
    next("data: ");
    let broken = watching.page();
    assert!(broken.contains("Not ready to go out") && broken.contains("yaml-syntax"));
    assert!(broken.contains("<h1>Second thought</h1>") && broken.contains("id=\"a4-A1\"") && broken.contains("are older"));

    scene.write("kit/kit.yaml", &good);
    next("event: works");
    next("data: ");
    next("data: ");
    assert_eq!(version(&watching.page()), version(&page), "the same kit gives the same page");
    assert!(!scene.path("kit/out").exists(), "a watched proof writes nothing");
}

#[test]
fn the_server_refuses_what_is_not_its_own_and_lives_on() {
    let scene = Scene::first_kit();
    let watching = Watching::of(&scene);
    let port = watching.address.rsplit(':').next().unwrap();
    let own = format!("Host: 127.0.0.1:{port}\r\n");
    let cases = [
        (format!("GET / HTTP/1.1\r\nHost: evil.example:{port}\r\n\r\n"), "421"),
        ("GET / HTTP/1.1\r\n\r\n".to_owned(), "421"),
        (format!("POST / HTTP/1.1\r\n{own}Content-Length: 3\r\n\r\nabc"), "405"),
        (format!("GET /../../etc/passwd HTTP/1.1\r\n{own}\r\n"), "404"),
        (format!("GET /kit.yaml HTTP/1.1\r\n{own}\r\n"), "404"),
        ("\u{0}\u{1}\u{2}\r\n\r\n".to_owned(), "400"),
        (format!("GET /{} HTTP/1.1\r\n{own}\r\n", "x".repeat(30_000)), "400"),
    ];
    for (request, status) in cases {
        let mut stream = watching.connect(request.as_bytes());
        let mut answer = Vec::new();
        // A request that is not read to its end may be answered by a reset, once the answer is there.
        let _ = stream.read_to_end(&mut answer);
        let answer = String::from_utf8_lossy(&answer);
        assert!(answer.is_empty() && request.len() > 20_000 || answer.starts_with(&format!("HTTP/1.1 {status}")), "{answer}");
        assert!(!answer.contains("<html"), "{answer}");
    }
    drop(watching.connect(b"GET"));
    assert!(watching.page().contains("Ready to go out"));
    // Nobody else on the network is answered: the address is that of the loopback.
    assert!(watching.address.starts_with("127.0.0.1:"));
    let second = scene.run(&["proof", "kit", "--watch", "--port", port]).expect_code(3);
    assert!(second.stderr.contains("error[cannot-serve]"), "{}", second.stderr);
}

#[test]
fn a_proof_names_the_sheets_that_changed_since_an_edition() {
    let scene = Scene::new().kit("kit", "kits/ropewalk-tote");
    scene.change("kit/kit.yaml", "languages: [en, fr, de, pl]", "languages: [en]");
    scene.run(&["build", "kit", "--out", "before"]).expect_code(0);
    let page = |scene: &Scene| {
        scene.run(&["proof", "kit", "--since", "before/ropewalk-tote-1.0.0.zip", "--out", "proof"]).expect_code(0);
        String::from_utf8(scene.bytes("proof/ropewalk-tote-1.0.0-proof.html")).unwrap()
    };
    let same = page(&scene);
    assert!(same.contains("Since edition 1.0.0") && same.contains("All sheets show the same lines as before."), "{same}");
    // One word of the drawing, which lies on a single sheet.
    scene.change("kit/tote.svg", "3 · Pocket", "3 · Pocket!");
    let other = page(&scene);
    assert!(other.contains("</b></a> anew; the other 5 sheets show the same lines"), "{other}");
    let none = scene.run(&["proof", "kit", "--since", "nowhere.zip"]);
    assert!(none.code == 2 && none.stderr.contains("[package-missing]"), "{}", none.stderr);
}
