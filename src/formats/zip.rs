//! Zip archives, as far as compressed scores need them: finding a file by its name and unpacking it.
//!
//! Follows the *.ZIP File Format Specification* (APPNOTE, from memory): the central directory at the end
//! says where every file is. Only stored and deflated files are read; what is unpacked is limited.

use miniz_oxide::inflate::decompress_to_vec_with_limit;

use super::unreadable::UnreadableFile;
use crate::chart::sizes::MOST_FOREIGN_BYTES;

/// The most files an archive may list.
const MOST_FILES: usize = 10_000;

/// Whether the bytes begin as a zip archive does.
pub fn is_zip(bytes: &[u8]) -> bool {
    bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06")
}

/// An archive.
pub struct Zip<'a> {
    bytes: &'a [u8],
    entries: Vec<ZipEntry>,
}

struct ZipEntry {
    name: String,
    encrypted: bool,
    method: u16,
    checksum: u32,
    packed: usize,
    unpacked: usize,
    at: usize,
}

impl<'a> Zip<'a> {
    /// Reads the list of an archive's files.
    ///
    /// # Errors
    ///
    /// A damaged archive.
    pub fn open(bytes: &'a [u8]) -> Result<Self, UnreadableFile> {
        let end = end_record(bytes).ok_or_else(|| broken("its list of files is missing"))?;
        let count = usize::from(short(bytes, end + 10)?);
        let mut at = long(bytes, end + 16)?;
        if count > MOST_FILES {
            return Err(broken("it lists too many files"));
        }
        let mut entries = Vec::new();
        for _ in 0..count {
            let (entry, next) = entry(bytes, at)?;
            entries.push(entry);
            at = next;
        }
        Ok(Self { bytes, entries })
    }

    /// The names of the files, in the order of the list.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.entries.iter().map(|entry| entry.name.as_str())
    }

    /// A file's bytes, unpacked.
    ///
    /// # Errors
    ///
    /// No such file; an encrypted one; a way of packing that isn't known; damage; more than 64 MiB.
    pub fn file(&self, name: &str) -> Result<Vec<u8>, UnreadableFile> {
        let missing = || broken(&format!("it has no file `{name}`"));
        let entry = self.entries.iter().find(|entry| entry.name == name);
        let entry = entry.ok_or_else(missing)?;
        if entry.encrypted {
            return Err(UnreadableFile::new("the compressed file is encrypted")
                .help("save it again without a password"));
        }
        if entry.unpacked > MOST_FOREIGN_BYTES {
            return Err(too_large());
        }
        let packed = self.packed(entry)?;
        let bytes = match entry.method {
            0 => packed.to_vec(),
            8 => decompress_to_vec_with_limit(packed, MOST_FOREIGN_BYTES).map_err(|error| {
                match error.status {
                    miniz_oxide::inflate::TINFLStatus::HasMoreOutput => too_large(),
                    _ => broken("what is packed in it is damaged"),
                }
            })?,
            other => return Err(broken(&format!("method {other} of packing is not known"))),
        };
        if bytes.len() != entry.unpacked || checksum(&bytes) != entry.checksum {
            return Err(broken("what is packed in it is damaged"));
        }
        Ok(bytes)
    }

    fn packed(&self, entry: &ZipEntry) -> Result<&'a [u8], UnreadableFile> {
        if self.bytes.get(entry.at..entry.at + 4) != Some(b"PK\x03\x04") {
            return Err(broken("its list of files points nowhere"));
        }
        let name = usize::from(short(self.bytes, entry.at + 26)?);
        let extra = usize::from(short(self.bytes, entry.at + 28)?);
        let start = entry.at + 30 + name + extra;
        let bytes = self.bytes.get(start..start.saturating_add(entry.packed));
        bytes.ok_or_else(|| broken("it is cut off"))
    }
}

fn broken(why: &str) -> UnreadableFile {
    UnreadableFile::new(format!(
        "this is a compressed file that can't be unpacked: {why}"
    ))
}

fn too_large() -> UnreadableFile {
    UnreadableFile::new(format!(
        "the compressed file unpacks to more than {} MiB",
        MOST_FOREIGN_BYTES >> 20
    ))
}

/// Where the record at the end of the list stands: within the last 64 KiB, behind it only a comment.
fn end_record(bytes: &[u8]) -> Option<usize> {
    let last = bytes.len().checked_sub(22)?;
    let first = last.saturating_sub(0xffff);
    let mut places = (first..=last).rev();
    places.find(|at| bytes.get(*at..at + 4) == Some(b"PK\x05\x06"))
}

fn entry(bytes: &[u8], at: usize) -> Result<(ZipEntry, usize), UnreadableFile> {
    if bytes.get(at..at.saturating_add(4)) != Some(b"PK\x01\x02") {
        return Err(broken("its list of files is damaged"));
    }
    let length = |offset| short(bytes, at + offset).map(usize::from);
    let (name, extra, comment) = (length(28)?, length(30)?, length(32)?);
    let start = at + 46;
    let text = bytes.get(start..start + name);
    let text = text.ok_or_else(|| broken("it is cut off"))?;
    let entry = ZipEntry {
        name: String::from_utf8_lossy(text).into_owned(),
        encrypted: short(bytes, at + 8)? & 1 == 1,
        method: short(bytes, at + 10)?,
        checksum: u32::try_from(long(bytes, at + 16)?).unwrap_or(0),
        packed: long(bytes, at + 20)?,
        unpacked: long(bytes, at + 24)?,
        at: long(bytes, at + 42)?,
    };
    Ok((entry, start + name + extra + comment))
}

fn short(bytes: &[u8], at: usize) -> Result<u16, UnreadableFile> {
    match bytes.get(at..at.saturating_add(2)) {
        Some([a, b]) => Ok(u16::from_le_bytes([*a, *b])),
        _ => Err(broken("it is cut off")),
    }
}

fn long(bytes: &[u8], at: usize) -> Result<usize, UnreadableFile> {
    match bytes.get(at..at.saturating_add(4)) {
        Some([a, b, c, d]) => Ok(u32::from_le_bytes([*a, *b, *c, *d]) as usize),
        _ => Err(broken("it is cut off")),
    }
}

/// CRC-32 as zip archives have it (ISO 3309), a byte at a time from a table.
fn checksum(bytes: &[u8]) -> u32 {
    const TABLE: [u32; 256] = table();
    let sum = bytes.iter().fold(u32::MAX, |sum, byte| {
        let at = (sum ^ u32::from(*byte)) & 0xff;
        TABLE.get(at as usize).copied().unwrap_or(0) ^ (sum >> 8)
    });
    !sum
}

const fn table() -> [u32; 256] {
    let mut table = [0; 256];
    let mut at = 0;
    while at < 256 {
        let mut sum = at as u32;
        let mut bit = 0;
        while bit < 8 {
            sum = if sum & 1 == 1 {
                (sum >> 1) ^ 0xedb8_8320
            } else {
                sum >> 1
            };
            bit += 1;
        }
        table[at] = sum;
        at += 1;
    }
    table
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// A file as it stands in an archive.
    struct Packed<'a> {
        name: &'a str,
        method: u8,
        bytes: Vec<u8>,
        checksum: u32,
        unpacked: usize,
    }

    /// An archive of these files, packed where `pack` says.
    pub(crate) fn archive<'a>(files: &[(&'a str, &[u8])], pack: bool) -> Vec<u8> {
        let packed = |file: &(&'a str, &[u8])| {
            let (name, content) = *file;
            Packed {
                name,
                method: if pack { 8 } else { 0 },
                bytes: match pack {
                    true => miniz_oxide::deflate::compress_to_vec(content, 6),
                    false => content.to_vec(),
                },
                checksum: checksum(content),
                unpacked: content.len(),
            }
        };
        archive_of(&files.iter().map(packed).collect::<Vec<_>>())
    }

    fn archive_of(files: &[Packed]) -> Vec<u8> {
        let mut bytes = Vec::new();
        let mut list = Vec::new();
        for file in files {
            let (name, packed) = (file.name, &file.bytes);
            let at = u32::try_from(bytes.len()).unwrap();
            let mut common = vec![20, 0, 0, 0, file.method, 0, 0, 0, 0, 0];
            common.extend(file.checksum.to_le_bytes());
            common.extend(u32::try_from(packed.len()).unwrap().to_le_bytes());
            common.extend(u32::try_from(file.unpacked).unwrap().to_le_bytes());
            common.extend(u16::try_from(name.len()).unwrap().to_le_bytes());
            common.extend([0, 0]);
            bytes.extend(b"PK\x03\x04");
            bytes.extend(&common);
            bytes.extend(name.as_bytes());
            bytes.extend(packed);
            list.extend(b"PK\x01\x02\x14\x00");
            list.extend(&common);
            list.extend([0; 10]);
            list.extend(at.to_le_bytes());
            list.extend(name.as_bytes());
        }
        let (start, size) = (bytes.len(), list.len());
        bytes.extend(list);
        bytes.extend(b"PK\x05\x06\0\0\0\0");
        let count = u16::try_from(files.len()).unwrap().to_le_bytes();
        bytes.extend(count);
        bytes.extend(count);
        bytes.extend(u32::try_from(size).unwrap().to_le_bytes());
        bytes.extend(u32::try_from(start).unwrap().to_le_bytes());
        bytes.extend([0, 0]);
        bytes
    }

    #[test]
    fn files_come_out_as_they_went_in() {
        for pack in [false, true] {
            let bytes = archive(&[("a", b"first"), ("b/c", &[7; 5000])], pack);
            let zip = Zip::open(&bytes).unwrap();
            assert_eq!(zip.names().collect::<Vec<_>>(), ["a", "b/c"]);
            assert_eq!(zip.file("b/c").unwrap(), [7; 5000]);
            assert!(zip.file("d").unwrap_err().why.contains("no file `d`"));
        }
    }

    /// The check value that CRC-32 is published with.
    #[test]
    fn the_checksum_is_the_published_one() {
        assert_eq!(checksum(b"123456789"), 0xcbf4_3926);
    }

    /// An archive of a file of more zeros than are unpacked. Its stream is laid by hand, in the fixed codes of
    /// deflate (RFC 1951, 3.2.6): a zero, then copies of the 258 bytes before, 13 bits each. Packing the
    /// zeros takes an unoptimised build seconds.
    fn bomb() -> Vec<u8> {
        const COPIES: usize = MOST_FOREIGN_BYTES / 258 + 1;
        let codes = ["110", "00110000"].into_iter();
        let copies = std::iter::repeat_n("1100010100000", COPIES);
        let bits: Vec<u8> = codes
            .chain(copies)
            .chain(["0000000"])
            .flat_map(str::bytes)
            .collect();
        let byte = |bits: &[u8]| bits.iter().rev().fold(0, |byte, bit| byte << 1 | (bit & 1));
        archive_of(&[Packed {
            name: "a",
            method: 8,
            bytes: bits.chunks(8).map(byte).collect(),
            checksum: 0,
            unpacked: 1 + 258 * COPIES,
        }])
    }

    #[test]
    fn bombs_and_damage_are_refused() {
        let bomb = bomb();
        let zip = Zip::open(&bomb).unwrap();
        assert!(zip.file("a").unwrap_err().why.contains("16 MiB"));
        let mut lying = bomb.clone();
        let at = lying.windows(4).position(|w| w == b"PK\x01\x02").unwrap();
        lying[at + 24..at + 28].copy_from_slice(&5u32.to_le_bytes());
        assert!(
            Zip::open(&lying)
                .unwrap()
                .file("a")
                .unwrap_err()
                .why
                .contains("16 MiB")
        );
        let mut locked = archive(&[("a", b"x")], true);
        let at = locked.windows(4).position(|w| w == b"PK\x01\x02").unwrap();
        locked[at + 8] = 1;
        assert!(
            Zip::open(&locked)
                .unwrap()
                .file("a")
                .unwrap_err()
                .why
                .contains("encrypted")
        );
        let sound = archive(&[("a", b"some text that is long enough")], true);
        for cut in 0..sound.len() {
            let read = Zip::open(&sound[..cut]).and_then(|zip| zip.file("a"));
            assert!(read.is_err(), "cut at {cut}");
        }
        let mut damaged = sound.clone();
        damaged[34] ^= 0xff;
        assert!(Zip::open(&damaged).unwrap().file("a").is_err());
    }
}
