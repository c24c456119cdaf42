//! Tests on a real folder: whole files or none, and no path that leads out.

use super::{Key, below, create_folder, read, read_text, remove_from, replace, replace_all, replace_soon, write_new};
use std::fs;
use tempfile::tempdir;

/// Names in a folder, sorted.
fn listing(folder: &std::path::Path) -> Vec<String> {
    let names = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let mut names: Vec<String> = names.collect();
    names.sort();
    names
}

#[test]
fn a_file_is_replaced_whole_and_nothing_else_is_left() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("kit.zip");
    replace(&path, b"one").unwrap();
    replace(&path, b"two").unwrap();
    assert_eq!(fs::read(&path).unwrap(), b"two");
    assert_eq!(listing(folder.path()), ["kit.zip"]);
}

#[test]
fn what_stood_there_survives_a_failure() {
    // No file can come to lie below a plain file, not even for an administrator.
    let folder = tempdir().unwrap();
    let plain = folder.path().join("plain");
    fs::write(&plain, "kept").unwrap();
    let finding = replace(&plain.join("kit.zip"), b"new").unwrap_err();
    assert_eq!(finding.code, "cannot-write");
    assert!(create_folder(&plain.join("out")).is_err());
    assert_eq!(fs::read(&plain).unwrap(), b"kept");
    // Nor can a file take the place of a folder with something in it.
    let full = folder.path().join("full");
    fs::create_dir(&full).unwrap();
    fs::write(full.join("inside"), "kept").unwrap();
    assert_eq!(replace(&full, b"new").unwrap_err().code, "cannot-write");
    assert_eq!(fs::read(full.join("inside")).unwrap(), b"kept");
    assert_eq!(listing(folder.path()), ["full", "plain"]);
}

#[test]
fn of_several_files_none_is_replaced_if_one_cannot_be_written() {
    let folder = tempdir().unwrap();
    let (path, none) = (folder.path().join("kit.zip"), folder.path().join("nowhere/kit.zip"));
    replace(&path, b"old").unwrap();
    assert_eq!(replace_all(&[(&path, b"new"), (&none, b"new")]).unwrap_err().code, "cannot-write");
    assert_eq!(fs::read(&path).unwrap(), b"old");
    assert_eq!(listing(folder.path()), ["kit.zip"]);
}

#[test]
fn what_a_killed_run_left_is_swept_and_what_another_run_writes_is_not() {
    let folder = tempdir().unwrap();
    let (dead, alive) = (folder.path().join(".kitwright-dead.part"), folder.path().join(".kitwright-alive.part"));
    fs::write(&dead, "half").unwrap();
    let writing = fs::File::create(&alive).unwrap();
    writing.lock().unwrap();
    fs::write(folder.path().join(".kitwright-notes"), "mine").unwrap();
    fs::create_dir(folder.path().join(".kitwright-folder.part")).unwrap();
    replace(&folder.path().join("kit.zip"), b"new").unwrap();
    let left = [".kitwright-alive.part", ".kitwright-folder.part", ".kitwright-notes", "kit.zip"];
    assert_eq!(listing(folder.path()), left);
}

#[test]
fn only_plain_files_of_certain_names_are_removed() {
    let folder = tempdir().unwrap();
    for name in ["old", "kept"] {
        replace_soon(&folder.path().join(name), b"x").unwrap();
    }
    fs::create_dir(folder.path().join("old folder")).unwrap();
    remove_from(folder.path(), |name| name.starts_with("old"));
    assert_eq!(listing(folder.path()), ["kept", "old folder"]);
    remove_from(&folder.path().join("not there"), |_| true);
}

#[test]
fn a_key_tells_its_parts_apart() {
    let keys = [
        Key::default(),
        Key::default().bytes(b""),
        Key::default().bytes(b"ab"),
        Key::default().bytes(b"a").bytes(b"b"),
        Key::default().bytes(b"b").bytes(b"a"),
        Key::default().value(&"ab"),
        Key::default().value(&("a", "b")),
        Key::default().value(&1.0),
        Key::default().value(&(1.0 + f64::EPSILON)),
    ];
    let found: std::collections::BTreeSet<String> = keys.iter().cloned().map(Key::hex).collect();
    assert_eq!(found.len(), keys.len());
}

#[test]
fn a_new_file_never_overwrites() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("kit.yaml");
    write_new(&path, b"mine").unwrap();
    assert!(write_new(&path, b"other").is_err());
    assert_eq!(fs::read(&path).unwrap(), b"mine");
    assert_eq!(listing(folder.path()), ["kit.yaml"]);
}

#[test]
fn paths_stay_below_the_folder_or_one_level_above() {
    let shelf = tempdir().unwrap();
    let kit = shelf.path().join("kit");
    fs::create_dir_all(kit.join("fonts")).unwrap();
    fs::write(shelf.path().join("shared.yaml"), "").unwrap();
    for fine in ["tote.svg", "fonts/own.ttf", "./tote.svg", "../shared.yaml", "not-there.svg"] {
        assert_eq!(below(&kit, fine), Some(kit.join(fine)), "{fine}");
    }
    for bad in ["../../etc/passwd", "fonts/../../x", "fonts/../tote.svg", "..", "../..", "/etc/passwd", "fonts/../../../x"] {
        assert_eq!(below(&kit, bad), None, "{bad}");
    }
}

#[cfg(unix)]
#[test]
fn links_lead_nowhere_else() {
    let (shelf, other) = (tempdir().unwrap(), tempdir().unwrap());
    let kit = shelf.path().join("kit");
    fs::create_dir(&kit).unwrap();
    fs::write(other.path().join("secret"), "s").unwrap();
    std::os::unix::fs::symlink(other.path(), kit.join("out")).unwrap();
    std::os::unix::fs::symlink(other.path().join("secret"), kit.join("file")).unwrap();
    std::os::unix::fs::symlink(other.path().join("secret"), shelf.path().join("shared.yaml")).unwrap();
    for bad in ["out/secret", "file", "../shared.yaml"] {
        assert_eq!(below(&kit, bad), None, "{bad}");
    }
    // A link to a place below the folder is as good as the place.
    fs::write(kit.join("tote.svg"), "").unwrap();
    std::os::unix::fs::symlink("tote.svg", kit.join("link.svg")).unwrap();
    assert_eq!(below(&kit, "link.svg"), Some(kit.join("link.svg")));
}

#[test]
fn reading_has_a_limit_and_takes_plain_files_only() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("kit.yaml");
    fs::write(&path, b"12345").unwrap();
    assert_eq!(read(&path, 5, code!("x")).unwrap(), b"12345");
    assert_eq!(read(&path, 4, code!("too-large")).unwrap_err().code, "too-large");
    assert_eq!(read(folder.path(), 100, code!("folder")).unwrap_err().code, "folder");
    assert_eq!(read(&folder.path().join("none"), 100, code!("none")).unwrap_err().code, "none");
    fs::write(&path, b"caf\xe9").unwrap();
    assert!(read(&path, 9, code!("x")).is_ok() && read_text(&path, 9, code!("text")).unwrap_err().code == "text");
}
