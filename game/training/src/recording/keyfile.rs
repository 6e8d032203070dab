//! The file that a signing key is kept in: plain text, one `name: value` to
//! the line.
//!
//! ```text
//! jetyard signing key 1
//! public: <64 hex digits>
//! protection: passphrase
//! kdf: argon2id
//! memory_kib: 65536
//! passes: 3
//! lanes: 4
//! salt: <32 hex digits>
//! cipher: chacha20poly1305
//! nonce: <24 hex digits>
//! secret: <96 hex digits>
//! check: <16 hex digits>
//! ```
//!
//! The Ed25519 secret is sealed with ChaCha20-Poly1305 (RFC 8439) under the
//! key of 32 bytes that Argon2id (RFC 9106, version 0x13) makes of the
//! passphrase, with all lines above `secret` as additional data. `check` is the
//! first 8 bytes of the SHA-256 of all lines above it, so that a damaged file
//! is told from a wrong passphrase. Lines end in a line feed; the hash and the
//! additional data include it.
//!
//! A key that lies on the instructor's stick, and is protected by the stick
//! being in a pocket, says so and holds its secret as it is:
//!
//! ```text
//! jetyard signing key 1
//! public: <64 hex digits>
//! protection: none, keep this file on the instructor's stick
//! secret: <64 hex digits>
//! check: <16 hex digits>
//! ```

use super::key::{OpenKey, PublicKey};
use super::sum::{Sum, from_hex, hex};
use argon2::{Algorithm, Argon2, Params, Version};
use chacha20poly1305::aead::{Aead, KeyInit, Payload};
use chacha20poly1305::{ChaCha20Poly1305, Key, Nonce};
use thiserror::Error;

const FIRST_LINE: &str = "jetyard signing key ";
const FORMAT: &str = "1";
const BY_PASSPHRASE: &str = "passphrase";
const BY_STICK: &str = "none, keep this file on the instructor's stick";

/// Most bytes of a key file.
const FILE_MOST: usize = 4096;

/// Fewest characters of a passphrase (common practice, no source).
pub const PASSPHRASE_LEAST: usize = 12;

/// What it costs to try one passphrase.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Cost {
    memory_kib: u32,
    passes: u32,
    lanes: u32,
}

/// The second recommended option of RFC 9106 section 4: 64 MiB, 3 passes,
/// 4 lanes.
const COST: Cost = Cost {
    memory_kib: 1 << 16,
    passes: 3,
    lanes: 4,
};

/// What a file may ask for at most, so that opening a hostile one ends.
const COST_MOST: Cost = Cost {
    memory_kib: 1 << 20,
    passes: 64,
    lanes: 64,
};

/// A key cannot be made, kept or opened.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum KeyFault {
    /// The system gives no randomness to make a key of.
    #[error("the system gives no randomness to make a key of")]
    NoRandomness,
    /// The passphrase is too short to protect anything.
    #[error("the passphrase has fewer than {least} characters")]
    PassphraseTooShort {
        /// Fewest characters.
        least: usize,
    },
    /// The key is protected and no passphrase was given.
    #[error("the key is protected by a passphrase")]
    PassphraseNeeded,
    /// The passphrase is not the one the key was protected with.
    #[error("this is not the passphrase of the key")]
    WrongPassphrase,
    /// There is not enough memory to try a passphrase.
    #[error("there is not enough memory to open the key: {memory_kib} KiB are needed")]
    NoMemory {
        /// Memory that is needed.
        memory_kib: u32,
    },
    /// The file is no key file.
    #[error("this is not a signing key")]
    NotAKey,
    /// A key file of a format that this release does not read.
    #[error("this signing key has format {found}; this release reads format {known}")]
    UnknownFormat {
        /// Format of the file.
        found: String,
        /// Format of this release.
        known: String,
    },
    /// The file was changed since it was written.
    #[error("the signing key is damaged at {field}")]
    Damaged {
        /// The line that does not fit.
        field: &'static str,
    },
}

impl KeyFault {
    /// Stable name.
    pub fn id(&self) -> &'static str {
        match self {
            KeyFault::NoRandomness => "key_no_randomness",
            KeyFault::PassphraseTooShort { .. } => "key_passphrase_too_short",
            KeyFault::PassphraseNeeded => "key_passphrase_needed",
            KeyFault::WrongPassphrase => "key_wrong_passphrase",
            KeyFault::NoMemory { .. } => "key_no_memory",
            KeyFault::NotAKey => "key_not_one",
            KeyFault::UnknownFormat { .. } => "key_unknown_format",
            KeyFault::Damaged { .. } => "key_damaged",
        }
    }

    /// Arguments of the text, by name.
    pub fn arguments(&self) -> Vec<(&'static str, String)> {
        match self {
            KeyFault::PassphraseTooShort { least } => vec![("least", least.to_string())],
            KeyFault::NoMemory { memory_kib } => vec![("memory_kib", memory_kib.to_string())],
            KeyFault::UnknownFormat { found, known } => {
                vec![("found", found.clone()), ("known", known.clone())]
            }
            KeyFault::Damaged { field } => vec![("field", (*field).to_owned())],
            _ => Vec::new(),
        }
    }
}

/// A key file that was read, not yet opened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeyFile {
    public: PublicKey,
    kept: Kept,
}

#[derive(Clone, PartialEq, Eq)]
enum Kept {
    Sealed {
        cost: Cost,
        salt: [u8; 16],
        nonce: [u8; 12],
        /// The lines above the secret.
        above: String,
        secret: [u8; 48],
    },
    Open([u8; 32]),
}

/// Shows no secret.
impl std::fmt::Debug for Kept {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Kept::Sealed { .. } => f.write_str("Sealed"),
            Kept::Open(_) => f.write_str("Open"),
        }
    }
}

impl OpenKey {
    /// The text of a key file protected by a passphrase. Takes about a quarter
    /// of a second and 64 MiB, on purpose.
    ///
    /// # Errors
    /// A short passphrase, or a system without randomness or memory.
    pub fn protect(&self, passphrase: &str) -> Result<String, KeyFault> {
        let mut salt = [0; 16];
        let mut nonce = [0; 12];
        getrandom::fill(&mut salt).map_err(|_| KeyFault::NoRandomness)?;
        getrandom::fill(&mut nonce).map_err(|_| KeyFault::NoRandomness)?;
        self.protect_at(passphrase, COST, salt, nonce)
    }

    fn protect_at(
        &self,
        passphrase: &str,
        cost: Cost,
        salt: [u8; 16],
        nonce: [u8; 12],
    ) -> Result<String, KeyFault> {
        if passphrase.chars().count() < PASSPHRASE_LEAST {
            let least = PASSPHRASE_LEAST;
            return Err(KeyFault::PassphraseTooShort { least });
        }
        let Cost {
            memory_kib,
            passes,
            lanes,
        } = cost;
        let above = format!(
            "{FIRST_LINE}{FORMAT}\npublic: {}\nprotection: {BY_PASSPHRASE}\nkdf: argon2id\n\
             memory_kib: {memory_kib}\npasses: {passes}\nlanes: {lanes}\nsalt: {}\n\
             cipher: chacha20poly1305\nnonce: {}\n",
            self.public(),
            hex(&salt),
            hex(&nonce),
        );
        let plain = self.secret();
        let payload = Payload {
            msg: &plain,
            aad: above.as_bytes(),
        };
        // Sealing fails only for messages of many gigabytes.
        let secret = cipher(passphrase, cost, &salt)?
            .encrypt(&Nonce::from(nonce), payload)
            .map_err(|_| KeyFault::NoMemory { memory_kib })?;
        Ok(checked(format!("{above}secret: {}\n", hex(&secret))))
    }

    /// The text of a key file that anybody who has it can sign with. Only for
    /// a stick that the instructor carries; the file says so.
    pub fn for_the_stick(&self) -> String {
        checked(format!(
            "{FIRST_LINE}{FORMAT}\npublic: {}\nprotection: {BY_STICK}\nsecret: {}\n",
            self.public(),
            hex(&self.secret()),
        ))
    }
}

impl KeyFile {
    /// Reads the text of a key file.
    ///
    /// # Errors
    /// Bytes that are no key file, of another format, or damaged.
    pub fn read(bytes: &[u8]) -> Result<Self, KeyFault> {
        let text = str::from_utf8(bytes)
            .ok()
            .filter(|text| text.len() <= FILE_MOST)
            .ok_or(KeyFault::NotAKey)?
            .replace("\r\n", "\n");
        let first = text.lines().next().unwrap_or("");
        let found = first.strip_prefix(FIRST_LINE).ok_or(KeyFault::NotAKey)?;
        if found != FORMAT {
            return Err(KeyFault::UnknownFormat {
                found: found.to_owned(),
                known: FORMAT.to_owned(),
            });
        }
        let damaged = KeyFault::Damaged { field: "check" };
        let (body, check) = text.rsplit_once("check: ").ok_or(damaged.clone())?;
        if check.trim_end() != check_of(body) {
            return Err(damaged);
        }

        let mut lines = Lines {
            rest: body.strip_prefix(first).unwrap_or(body),
        };
        lines.rest = lines.rest.strip_prefix('\n').unwrap_or(lines.rest);
        let public = PublicKey(lines.hex("public")?);
        let protection = lines.value("protection")?;
        let kept = if protection == BY_STICK {
            Kept::Open(lines.hex("secret")?)
        } else if protection == BY_PASSPHRASE {
            lines.exactly("kdf", "argon2id")?;
            let cost = Cost {
                memory_kib: lines.number("memory_kib", COST_MOST.memory_kib)?,
                passes: lines.number("passes", COST_MOST.passes)?,
                lanes: lines.number("lanes", COST_MOST.lanes)?,
            };
            let salt = lines.hex("salt")?;
            lines.exactly("cipher", "chacha20poly1305")?;
            let nonce = lines.hex("nonce")?;
            let above = body[..body.len() - lines.rest.len()].to_owned();
            let secret = lines.hex("secret")?;
            Kept::Sealed {
                cost,
                salt,
                nonce,
                above,
                secret,
            }
        } else {
            let field = "protection";
            return Err(KeyFault::Damaged { field });
        };
        Ok(KeyFile { public, kept })
    }

    /// The half that may be known to all; needs no passphrase.
    pub fn public(&self) -> PublicKey {
        self.public
    }

    /// Whether the key opens with a passphrase only.
    pub fn is_protected(&self) -> bool {
        matches!(self.kept, Kept::Sealed { .. })
    }

    /// Opens the key, with the passphrase if it is protected by one.
    ///
    /// # Errors
    /// No passphrase, a wrong one, or a file whose halves do not fit.
    pub fn open(&self, passphrase: Option<&str>) -> Result<OpenKey, KeyFault> {
        let secret = match &self.kept {
            Kept::Open(secret) => *secret,
            Kept::Sealed {
                cost,
                salt,
                nonce,
                above,
                secret,
            } => {
                let passphrase = passphrase.ok_or(KeyFault::PassphraseNeeded)?;
                let payload = Payload {
                    msg: secret,
                    aad: above.as_bytes(),
                };
                cipher(passphrase, *cost, salt)?
                    .decrypt(&Nonce::from(*nonce), payload)
                    .ok()
                    .and_then(|plain| plain.try_into().ok())
                    .ok_or(KeyFault::WrongPassphrase)?
            }
        };
        let key = OpenKey::from_secret(secret);
        if key.public() != self.public {
            let field = "public";
            return Err(KeyFault::Damaged { field });
        }
        Ok(key)
    }
}

fn cipher(passphrase: &str, cost: Cost, salt: &[u8; 16]) -> Result<ChaCha20Poly1305, KeyFault> {
    let Cost {
        memory_kib,
        passes,
        lanes,
    } = cost;
    let params =
        Params::new(memory_kib, passes, lanes, Some(32)).map_err(|_| KeyFault::Damaged {
            field: "memory_kib",
        })?;
    let mut key = [0; 32];
    Argon2::new(Algorithm::Argon2id, Version::V0x13, params)
        .hash_password_into(passphrase.as_bytes(), salt, &mut key)
        .map_err(|_| KeyFault::NoMemory { memory_kib })?;
    Ok(ChaCha20Poly1305::new(&Key::from(key)))
}

fn check_of(body: &str) -> String {
    hex(&Sum::of(body.as_bytes()).0[..8])
}

fn checked(body: String) -> String {
    let check = check_of(&body);
    format!("{body}check: {check}\n")
}

/// Lines of a key file, in their order.
struct Lines<'a> {
    rest: &'a str,
}

impl<'a> Lines<'a> {
    fn value(&mut self, field: &'static str) -> Result<&'a str, KeyFault> {
        let damaged = KeyFault::Damaged { field };
        let (line, rest) = self.rest.split_once('\n').ok_or(damaged.clone())?;
        let value = line
            .strip_prefix(field)
            .and_then(|line| line.strip_prefix(": "))
            .ok_or(damaged)?;
        self.rest = rest;
        Ok(value)
    }

    fn hex<const N: usize>(&mut self, field: &'static str) -> Result<[u8; N], KeyFault> {
        from_hex(self.value(field)?)
            .and_then(|bytes| bytes.try_into().ok())
            .ok_or(KeyFault::Damaged { field })
    }

    fn number(&mut self, field: &'static str, most: u32) -> Result<u32, KeyFault> {
        self.value(field)?
            .parse()
            .ok()
            .filter(|number| (1..=most).contains(number))
            .ok_or(KeyFault::Damaged { field })
    }

    fn exactly(&mut self, field: &'static str, value: &str) -> Result<(), KeyFault> {
        if self.value(field)? == value {
            Ok(())
        } else {
            Err(KeyFault::Damaged { field })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PASSPHRASE: &str = "three grey buckets";

    /// The dear cost would make every test of a damaged file take its time.
    const CHEAP: Cost = Cost {
        memory_kib: 64,
        passes: 1,
        lanes: 1,
    };

    fn key() -> OpenKey {
        OpenKey::from_secret([9; 32])
    }

    fn cheap_file() -> String {
        key()
            .protect_at(PASSPHRASE, CHEAP, [3; 16], [4; 12])
            .unwrap()
    }

    #[test]
    fn a_protected_key_opens_with_its_passphrase_and_no_other() {
        let file = KeyFile::read(key().protect(PASSPHRASE).unwrap().as_bytes()).unwrap();
        assert!(file.is_protected());
        assert_eq!(file.public(), key().public());
        let open = file.open(Some(PASSPHRASE)).unwrap();
        assert_eq!(open.secret(), key().secret());
        assert_eq!(file.open(None).unwrap_err(), KeyFault::PassphraseNeeded);
        let wrong = file.open(Some("three grey bucket")).unwrap_err();
        assert_eq!(wrong, KeyFault::WrongPassphrase);
    }

    #[test]
    fn two_files_of_one_key_and_passphrase_have_nothing_secret_in_common() {
        let line = |text: &str, field: &str| {
            let line = text.lines().find(|line| line.starts_with(field));
            line.unwrap().to_owned()
        };
        let (a, b) = (
            key().protect(PASSPHRASE).unwrap(),
            key().protect(PASSPHRASE).unwrap(),
        );
        for field in ["salt", "nonce", "secret"] {
            assert_ne!(line(&a, field), line(&b, field));
        }
        assert!(!a.contains(&hex(&key().secret())));
    }

    #[test]
    fn a_key_for_the_stick_says_so_and_needs_no_passphrase() {
        let text = key().for_the_stick();
        assert!(text.contains("keep this file on the instructor's stick"));
        let file = KeyFile::read(text.replace('\n', "\r\n").as_bytes()).unwrap();
        assert!(!file.is_protected());
        assert_eq!(file.open(None).unwrap().secret(), key().secret());
    }

    #[test]
    fn every_flipped_byte_of_a_key_file_is_told_and_none_opens_another_key() {
        for text in [cheap_file(), key().for_the_stick()] {
            for at in 0..text.len() {
                for bit in [0x01, 0x20, 0x80] {
                    let mut bytes = text.clone().into_bytes();
                    bytes[at] ^= bit;
                    // White space behind the last line is nobody's damage.
                    if let Ok(file) = KeyFile::read(&bytes) {
                        assert!(at == text.len() - 1, "byte {at} of {text}");
                        assert_eq!(file.public(), key().public());
                    }
                }
            }
            for cut in 0..text.len() - 1 {
                assert!(KeyFile::read(&text.as_bytes()[..cut]).is_err());
            }
        }
    }

    #[test]
    fn a_file_made_to_look_whole_with_other_parameters_does_not_open() {
        let forged = |from: &str, to: &str| {
            let (body, _) = cheap_file()
                .rsplit_once("check: ")
                .map(|(b, c)| (b.replace(from, to), c.to_owned()))
                .unwrap();
            KeyFile::read(checked(body).as_bytes()).and_then(|f| f.open(Some(PASSPHRASE)))
        };
        let other = OpenKey::from_secret([8; 32]).public().to_string();
        let public = key().public().to_string();
        assert_eq!(
            forged("passes: 1", "passes: 2").unwrap_err(),
            KeyFault::WrongPassphrase
        );
        assert_eq!(
            forged(&public, &other).unwrap_err(),
            KeyFault::WrongPassphrase
        );
        assert_eq!(
            forged("memory_kib: 64", "memory_kib: 4000000000").unwrap_err(),
            KeyFault::Damaged {
                field: "memory_kib"
            }
        );
        assert_eq!(
            forged("argon2id", "argon2d").unwrap_err(),
            KeyFault::Damaged { field: "kdf" }
        );
    }

    #[test]
    fn a_stick_file_with_somebody_elses_public_half_does_not_open() {
        let other = OpenKey::from_secret([8; 32]).public().to_string();
        let text = key().for_the_stick();
        let (body, _) = text.rsplit_once("check: ").unwrap();
        let body = body.replace(&key().public().to_string(), &other);
        let file = KeyFile::read(checked(body).as_bytes()).unwrap();
        assert_eq!(
            file.open(None).unwrap_err(),
            KeyFault::Damaged { field: "public" }
        );
    }

    #[test]
    fn other_files_and_later_formats_are_called_what_they_are() {
        assert_eq!(KeyFile::read(b"").unwrap_err(), KeyFault::NotAKey);
        assert_eq!(KeyFile::read(&[0xff; 64]).unwrap_err(), KeyFault::NotAKey);
        assert_eq!(
            KeyFile::read(&vec![b'j'; 1 << 20]).unwrap_err(),
            KeyFault::NotAKey
        );
        let later = cheap_file().replace("key 1\n", "key 2\n");
        assert!(matches!(
            KeyFile::read(later.as_bytes()).unwrap_err(),
            KeyFault::UnknownFormat { found, .. } if found == "2"
        ));
        let short = key().protect("bucket").unwrap_err();
        assert_eq!(short.id(), "key_passphrase_too_short");
    }
}
