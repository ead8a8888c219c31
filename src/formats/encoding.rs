//! Bytes as text: UTF-8, UTF-16 and Latin-1, told by the byte order mark or by what the file says.

use std::borrow::Cow;

use super::unreadable::UnreadableFile;

/// The text of an XML file. Its encoding is that of its byte order mark, else what its first line
/// declares, else UTF-8.
///
/// # Errors
///
/// An encoding that isn't known; bytes that aren't what the file says.
pub fn of_xml(bytes: &[u8]) -> Result<Cow<'_, str>, UnreadableFile> {
    match bytes {
        [0xef, 0xbb, 0xbf, rest @ ..] => utf8(rest),
        [0xff, 0xfe, rest @ ..] => utf16(rest, u16::from_le_bytes).map(Cow::Owned),
        [0xfe, 0xff, rest @ ..] => utf16(rest, u16::from_be_bytes).map(Cow::Owned),
        [b'<', 0, ..] => utf16(bytes, u16::from_le_bytes).map(Cow::Owned),
        [0, b'<', ..] => utf16(bytes, u16::from_be_bytes).map(Cow::Owned),
        _ => match declared(bytes).to_ascii_lowercase().as_str() {
            "" | "utf-8" | "utf8" | "us-ascii" | "ascii" => utf8(bytes),
            "iso-8859-1" | "latin1" | "latin-1" | "windows-1252" => Ok(Cow::Owned(latin1(bytes))),
            other => Err(
                UnreadableFile::new(format!("its encoding, `{other}`, is not known"))
                    .help("save it as UTF-8"),
            ),
        },
    }
}

/// The text of a file that may be UTF-8, and is Latin-1 otherwise; UTF-16 with a byte order mark.
///
/// # Errors
///
/// Broken UTF-16.
pub fn of_text(bytes: &[u8]) -> Result<Cow<'_, str>, UnreadableFile> {
    match bytes {
        [0xef, 0xbb, 0xbf, rest @ ..] => utf8(rest),
        [0xff, 0xfe, rest @ ..] => utf16(rest, u16::from_le_bytes).map(Cow::Owned),
        [0xfe, 0xff, rest @ ..] => utf16(rest, u16::from_be_bytes).map(Cow::Owned),
        _ => Ok(match std::str::from_utf8(bytes) {
            Ok(text) => Cow::Borrowed(text),
            Err(_) => Cow::Owned(latin1(bytes)),
        }),
    }
}

fn utf8(bytes: &[u8]) -> Result<Cow<'_, str>, UnreadableFile> {
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let at = error.valid_up_to();
        UnreadableFile::new(format!("it says it is UTF-8, and byte {at} is not"))
            .help("save it as UTF-8")
    })?;
    Ok(Cow::Borrowed(text))
}

fn utf16(bytes: &[u8], unit: fn([u8; 2]) -> u16) -> Result<String, UnreadableFile> {
    let broken = || UnreadableFile::new("it is UTF-16, and broken").help("save it as UTF-8");
    if bytes.len() % 2 == 1 {
        return Err(broken());
    }
    let units = bytes.chunks_exact(2).map(|pair| match pair {
        [a, b] => unit([*a, *b]),
        _ => 0,
    });
    char::decode_utf16(units)
        .collect::<Result<_, _>>()
        .map_err(|_| broken())
}

fn latin1(bytes: &[u8]) -> String {
    bytes.iter().copied().map(char::from).collect()
}

/// What stands behind `encoding=` in the first line.
fn declared(bytes: &[u8]) -> String {
    let head = bytes.get(..bytes.len().min(200)).unwrap_or_default();
    let head = latin1(head);
    let line = head
        .split("?>")
        .next()
        .filter(|line| line.starts_with("<?xml"));
    let value = line.and_then(|line| line.split_once("encoding"));
    let value = value.map(|(_, rest)| rest.trim_start_matches([' ', '=', '"', '\'']));
    let end = |c: char| c == '"' || c == '\'' || c.is_whitespace();
    value
        .and_then(|value| value.split(end).next())
        .unwrap_or("")
        .to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn encodings_are_told() {
        let xml = "<?xml version=\"1.0\" encoding=\"ENC\"?><a>é</a>";
        let latin: Vec<u8> = xml
            .replace("ENC", "ISO-8859-1")
            .chars()
            .map(|c| c as u8)
            .collect();
        assert!(of_xml(&latin).unwrap().ends_with("<a>é</a>"));
        let wide: Vec<u8> = xml.encode_utf16().flat_map(u16::to_le_bytes).collect();
        assert_eq!(of_xml(&wide).unwrap(), xml);
        let marked: Vec<u8> = [0xfe, 0xff]
            .into_iter()
            .chain(xml.encode_utf16().flat_map(u16::to_be_bytes))
            .collect();
        assert_eq!(of_xml(&marked).unwrap(), xml);
        assert!(of_xml(xml.as_bytes()).unwrap_err().why.contains("`enc`"));
        assert!(of_xml(b"<a>\xe9</a>").is_err());
        assert_eq!(of_text(b"T:caf\xe9").unwrap(), "T:café");
    }
}
