//! An archive with one file in it, stored, as the ZIP application note has it.

/// The archive.
pub fn stored(name: &str, content: &[u8]) -> Vec<u8> {
    let size = (content.len() as u32).to_le_bytes();
    let mut common = vec![20, 0, 0, 0, 0, 0, 0, 0, 0, 0];
    common.extend(checksum(content).to_le_bytes());
    common.extend(size);
    common.extend(size);
    common.extend((name.len() as u16).to_le_bytes());
    common.extend([0, 0]);
    let file = [b"PK\x03\x04", &common[..], name.as_bytes(), content].concat();
    let list = [b"PK\x01\x02\x14\0", &common[..], &[0; 14], name.as_bytes()].concat();
    let sizes = [list.len() as u32, file.len() as u32].map(u32::to_le_bytes);
    let end = b"PK\x05\x06\0\0\0\0\x01\0\x01\0";
    [&file[..], &list, end, &sizes.concat(), b"\0\0"].concat()
}

/// CRC-32 (ISO 3309), a bit at a time.
fn checksum(bytes: &[u8]) -> u32 {
    let step = |sum: u32, _| (sum >> 1) ^ (0xedb8_8320 & (sum & 1).wrapping_neg());
    let add = |sum: u32, byte: &u8| (0..8).fold(sum ^ u32::from(*byte), step);
    !bytes.iter().fold(u32::MAX, add)
}
