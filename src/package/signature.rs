//! Signatures over the checksums, in the form of minisign: whoever has the publisher's public key can tell an altered package.

use crate::diagnostic::Diagnostic;
use base64::{Engine, engine::general_purpose::STANDARD};
use blake2::{Blake2b512, Digest};
use minisign::{KeyPair, SecretKeyBox};

/// Where number and key stand in the bytes of a secret key (minisign, "Secret key format").
const NUMBER: std::ops::Range<usize> = 54..62;
const KEY: std::ops::Range<usize> = 62..126;
/// Says that what is signed is the BLAKE2b hash of a text, not the text itself (minisign, "Signature format").
const HASHED: &[u8] = b"ED";

/// A key for signing.
///
/// Keys come from the crate minisign, signatures do not: its own differ each time they are made, and the same kit is to give the
/// same bytes. Ed25519 as in RFC 8032 needs no chance.
pub struct Signer {
    number: Vec<u8>,
    key: ed25519_compact::SecretKey,
}

/// A new pair of keys as the texts of their two files.
pub struct NewKeys {
    /// To be kept; encrypted if a password was given.
    pub secret: String,
    /// To be given away.
    pub public: String,
}

/// How a key is protected.
#[derive(Clone, Debug)]
pub enum Password {
    /// By this password.
    Known(String),
    /// By one that is asked for at the terminal.
    Asked,
    /// Not at all.
    None,
}

/// Makes a pair of keys. Fails if the system gives no random numbers, or no terminal to ask for a password.
pub fn new_keys(password: Password) -> Result<NewKeys, Diagnostic> {
    let pair = match password {
        Password::Known(password) => KeyPair::generate_encrypted_keypair(Some(password)),
        Password::Asked => KeyPair::generate_encrypted_keypair(None),
        Password::None => KeyPair::generate_unencrypted_keypair(),
    };
    let texts = pair.and_then(|pair| {
        let secret = pair.sk.to_box(Some("kitwright secret key: keep it to yourself"))?.into_string();
        Ok(NewKeys { secret, public: pair.pk.to_box()?.into_string() })
    });
    texts.map_err(|error| error!("key-unusable", error))
}

impl Signer {
    /// Reads a secret key; a password is needed only if the key is encrypted.
    pub fn read(text: &str, password: Password) -> Result<Self, Diagnostic> {
        let unusable = |error: minisign::PError| error!("key-unusable/read", error);
        let open = || SecretKeyBox::from_string(text);
        let plain = open().and_then(SecretKeyBox::into_unencrypted_secret_key);
        let secret = match (plain, password) {
            (Ok(secret), _) => Ok(secret),
            (Err(_), Password::Known(password)) => open().and_then(|sealed| sealed.into_secret_key(Some(password))),
            (Err(_), Password::Asked) => open().and_then(|sealed| sealed.into_secret_key(None)),
            (Err(_), Password::None) => return Err(error!("key-unusable/sealed")),
        };
        let bytes = secret.map_err(unusable)?.to_bytes();
        let part = |range: std::ops::Range<usize>| bytes.get(range).unwrap_or_default();
        let key = ed25519_compact::SecretKey::from_slice(part(KEY)).map_err(|error| error!("key-unusable/read", error))?;
        Ok(Self { number: part(NUMBER).to_vec(), key })
    }

    /// The signature of some checksums; `about` is signed with them. The same key and text give the same signature.
    pub fn sign(&self, sums: &str, about: &str) -> String {
        let signature = self.key.sign(Blake2b512::digest(sums), None);
        // The comment is signed together with the signature, so that neither can be exchanged.
        let whole = self.key.sign([signature.as_ref(), about.as_bytes()].concat(), None);
        let first = STANDARD.encode([HASHED, self.number.as_slice(), signature.as_ref()].concat());
        format!("untrusted comment: {about}\n{first}\ntrusted comment: {about}\n{}\n", STANDARD.encode(whole.as_ref()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_key_signs_the_same_sums_alike() {
        let keys = new_keys(Password::None).unwrap();
        let signer = Signer::read(&keys.secret, Password::None).unwrap();
        let signature = signer.sign("abc", "tote 1.0.0");
        assert_eq!(signature, signer.sign("abc", "tote 1.0.0"));
        // Checked by another implementation, that of the crate minisign-verify.
        let public = minisign_verify::PublicKey::decode(&keys.public).unwrap();
        let read = minisign_verify::Signature::decode(&signature).unwrap();
        assert!(public.verify(b"abc", &read, false).is_ok());
        assert!(public.verify(b"abd", &read, false).is_err());
        assert_eq!(read.trusted_comment(), "tote 1.0.0");
    }

    #[test]
    fn a_sealed_key_needs_its_password() {
        let keys = new_keys(Password::Known("sesame".into())).unwrap();
        assert!(Signer::read(&keys.secret, Password::Known("sesame".into())).is_ok());
        for wrong in [Password::Known("open".into()), Password::None] {
            assert_eq!(Signer::read(&keys.secret, wrong).err().unwrap().code, "key-unusable");
        }
        assert_eq!(Signer::read("no key", Password::None).err().unwrap().code, "key-unusable");
    }
}
