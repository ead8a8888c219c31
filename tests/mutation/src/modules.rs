//! The files of the crate, found by its `mod` declarations, without those of its tests.

use std::error::Error;
use std::fs;
use std::path::Path;

use syn::{Attribute, Item, Meta};

/// One file of the crate.
pub struct File {
    /// Its path below `src`.
    pub path: String,
    /// Its module, as `crate::hand::limits`.
    pub module: String,
    /// Whether faults are asked of it.
    pub is_asked: bool,
    /// Its text.
    pub text: String,
    /// Its text, parsed.
    pub syntax: syn::File,
}

impl File {
    /// The line of a byte, from 1.
    pub fn line(&self, byte: usize) -> usize {
        1 + self.text[..byte].matches('\n').count()
    }
}

/// Every file of the library in `src`; faults are asked of those in `parts`.
pub fn of_the_crate(src: &Path, parts: &[String]) -> Result<Vec<File>, Box<dyn Error>> {
    let mut files = Vec::new();
    add(src, "lib.rs", "crate", parts, &mut files)?;
    Ok(files)
}

fn add(
    src: &Path,
    path: &str,
    module: &str,
    parts: &[String],
    files: &mut Vec<File>,
) -> Result<(), Box<dyn Error>> {
    let text = fs::read_to_string(src.join(path))?;
    let syntax = syn::parse_file(&text)?;
    let folder = match path.strip_suffix(".rs").unwrap_or(path) {
        "lib" => String::new(),
        other => format!("{}/", other.strip_suffix("/mod").unwrap_or(other)),
    };
    let below: Vec<String> = (syntax.items.iter())
        .filter_map(|item| match item {
            Item::Mod(item) if item.content.is_none() && !is_test(&item.attrs) => {
                Some(item.ident.to_string())
            }
            _ => None,
        })
        .collect();
    let part = module.split("::").nth(1).unwrap_or_default();
    let is_asked = parts.iter().any(|asked| asked == part);
    files.push(File {
        path: path.into(),
        module: module.into(),
        is_asked,
        text,
        syntax,
    });
    for name in below {
        let beside = format!("{folder}{name}.rs");
        let path = if src.join(&beside).exists() {
            beside
        } else {
            format!("{folder}{name}/mod.rs")
        };
        add(src, &path, &format!("{module}::{name}"), parts, files)?;
    }
    Ok(())
}

/// Whether something is there in tests only.
pub fn is_test(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|attribute| match &attribute.meta {
        Meta::List(list) => {
            list.path.is_ident("cfg")
                && list
                    .tokens
                    .to_string()
                    .split_whitespace()
                    .any(|word| word == "test")
        }
        Meta::Path(path) => path.is_ident("test"),
        Meta::NameValue(_) => false,
    })
}
