//! Files that point outside the kit: nothing there is read, and nobody on the network is asked.

use super::{check, kit, refused, svg};
use std::net::TcpListener;

/// A port of this machine on which nobody must knock.
fn listener() -> (TcpListener, String) {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    listener.set_nonblocking(true).unwrap();
    let address = format!("http://{}", listener.local_addr().unwrap());
    (listener, address)
}

#[test]
fn nothing_is_fetched_and_no_file_outside_is_read() {
    let (listener, net) = listener();
    let secret = "file:///etc/passwd";
    for from in [net.as_str(), secret, "../../secret.svg", "/etc/passwd", "\\\\server\\share", "//server/share"] {
        let cases = [
            (format!("<image href=\"{from}/a.png\" width=\"9\" height=\"9\"/>"), "image-missing"),
            (format!("<use href=\"{from}/a.svg#x\"/>"), "reference-missing"),
            (format!("<use xlink:href=\"{from}\"/>"), "reference-missing"),
            (format!("<path d=\"M0 0h9v9z\" fill=\"url({from}/a.svg#x)\"/>"), "colour-bad"),
            (format!("<path d=\"M0 0h9v9z\" style=\"clip-path:url('{from}/a.svg#x')\"/>"), "reference-missing"),
            (format!("<style>@import url({from}/a.css);</style>"), "unsupported-import"),
            (format!("<style>.a{{fill:url({from}/a.svg#x)}}</style><path class=\"a\" d=\"M0 0h9v9z\"/>"), "colour-bad"),
            (
                format!(
                    "<style>@font-face{{font-family:F;src:url({from}/f.ttf)}}</style><text font-family=\"F\" y=\"9\">a</text>"
                ),
                "font-missing",
            ),
        ];
        for (body, code) in cases {
            let findings = check(&kit(svg(&body)), &[]);
            let told = findings.iter().any(|finding| finding.code == code && finding.is_error);
            assert!(told && findings.iter().all(|finding| finding.code == code), "{body}: {findings:?}");
        }
        let entity = format!("<!DOCTYPE svg [<!ENTITY x SYSTEM \"{from}\">]>{}", svg("<text>&x;</text>"));
        refused(&kit(entity), "xml-entity");
        let sheet = format!("<?xml-stylesheet href=\"{from}/a.css\"?>{}", svg(""));
        refused(&kit(sheet), "unsupported-import");
        // Nobody needs what stands there to read the drawing.
        assert_eq!(check(&kit(format!("<!DOCTYPE svg SYSTEM \"{from}/a.dtd\">{}", svg(""))), &[]), []);
    }
    assert!(listener.accept().is_err(), "somebody was asked on the network");
}

#[test]
fn paths_of_the_manifest_stay_in_the_kit_or_beside_it() {
    for path in [
        "/etc/passwd",
        "../../secret",
        "file:///etc/passwd",
        "C:\\secret",
        "..\\secret",
        "http://example.org/a.svg",
        "a/../../../b",
    ] {
        for key in ["logo: ", "shared: ", "guide:\n  chapters:\n    - file: ", "fonts:\n  - file: "] {
            let findings = check(&kit(svg("")).file("kit/kit.yaml", &super::manifest(&format!("{key}{path:?}\n"))), &[]);
            assert!(findings.iter().any(|finding| finding.code == "path-outside"), "{key}{path}: {findings:?}");
        }
    }
}
