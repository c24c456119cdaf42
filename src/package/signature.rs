//! Signatures over the checksums, in the form of minisign: whoever has the publisher's public key can tell an altered package.

use crate::diagnostic::Diagnostic;
use minisign::{KeyPair, PublicKey, SecretKey, SecretKeyBox};

/// A key for signing.
pub struct Signer {
    secret: SecretKey,
    public: PublicKey,
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
            (Err(error), Password::None) => Err(error),
        };
        let secret = secret.map_err(unusable)?;
        let public = PublicKey::from_secret_key(&secret).map_err(unusable)?;
        Ok(Self { secret, public })
    }

    /// The signature of some checksums; `about` is signed with them. The same key and text give the same signature.
    pub fn sign(&self, sums: &str, about: &str) -> Result<String, Diagnostic> {
        let signed = minisign::sign(Some(&self.public), &self.secret, sums.as_bytes(), Some(about), Some(about));
        signed.map(|signature| signature.into_string()).map_err(|error| error!("key-unusable/sign", error))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_key_signs_the_same_sums_alike() {
        let keys = new_keys(Password::None).unwrap();
        let signer = Signer::read(&keys.secret, Password::None).unwrap();
        let signature = signer.sign("abc", "tote 1.0.0").unwrap();
        assert_eq!(signature, signer.sign("abc", "tote 1.0.0").unwrap());
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
