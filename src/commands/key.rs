//! `key`: a pair of keys for signing packages; and how keys are read for `build --sign`.

use super::args;
use super::screen::Screen;
use super::texts::MANIFEST;
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::files;
use crate::package::{Password, Signer, new_keys};
use std::io::IsTerminal;
use std::path::{Path, PathBuf};

/// Largest key file that is read: such files have two lines.
const KEY_BYTES: u64 = 10_000;
/// Holds the password of the secret key, for machines without a terminal.
const PASSWORD: &str = "KITWRIGHT_KEY_PASSWORD";

/// Writes a secret key and, beside it, the public one; nothing is overwritten.
pub(super) fn run(wish: &args::Key, screen: &Screen) -> Result<Findings, Diagnostic> {
    refuse_kits(&wish.file)?;
    let public = public_name(&wish.file);
    let password = if wish.no_password { Password::None } else { password().ok_or_else(|| error!("key-unusable/sealed"))? };
    let keys = new_keys(password)?;
    files::write_new(&public, keys.public.as_bytes())?;
    files::write_new(&wish.file, keys.secret.as_bytes())?;
    screen.say(&say!("secret-key-kept", secret = wish.file.display(), public = public.display()));
    Ok(Findings::new())
}

/// The signer of a secret key's file, which must lie outside all kits, so that it is never packed or sent with one.
pub(super) fn signer(path: &Path) -> Result<Signer, Diagnostic> {
    refuse_kits(path)?;
    let text = text(path)?;
    Signer::read(&text, password().unwrap_or(Password::None))
        .map_err(|finding| finding.at(Place::file(path.display().to_string())))
}

/// The text of a key's file.
pub(super) fn text(path: &Path) -> Result<String, Diagnostic> {
    let bytes = files::read(path, KEY_BYTES, code!("key-unusable"))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// From the environment, or from whoever sits at the terminal, if there is one.
fn password() -> Option<Password> {
    let asked = || std::io::stdin().is_terminal().then_some(Password::Asked);
    std::env::var(PASSWORD).ok().map(Password::Known).or_else(asked)
}

fn public_name(secret: &Path) -> PathBuf {
    let mut name = secret.as_os_str().to_owned();
    name.push(".pub");
    name.into()
}

fn refuse_kits(path: &Path) -> Result<(), Diagnostic> {
    // A folder that cannot be found is told when the file is read or written.
    let whole = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
    let Some(kit) = whole.ancestors().skip(1).find(|folder| folder.join(MANIFEST).exists()) else { return Ok(()) };
    Err(error!("key-in-kit", file = path.display(), kit = kit.display()).at(Place::file(path.display().to_string())))
}
