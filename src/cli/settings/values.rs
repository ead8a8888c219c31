//! A value of a settings file as it would be typed.

use toml::de::DeValue;

use super::setting::{Kind, Setting};

/// Why a value can't be used.
pub struct Refused {
    /// What is wrong with it.
    pub message: String,
    /// What was expected in its place.
    pub expected: String,
}

/// The value of a setting as it would be typed.
///
/// # Errors
///
/// A value of another kind.
pub fn typed(setting: &Setting, value: &DeValue<'_>) -> Result<String, Refused> {
    let (text, what) = match &setting.kind {
        Kind::Truth => (value.as_bool().map(|it| it.to_string()), "true or false"),
        Kind::Whole(_, bounds) => {
            let number = whole(value).filter(|number| bounds.contains(number));
            (number.map(|it| it.to_string()), "such a number")
        }
        Kind::Word(..) | Kind::Text(..) | Kind::File(..) => (text(value), "a text in quotes"),
        Kind::TextOrNumber(..) => (text_or_number(value), "a text in quotes or a whole number"),
        Kind::List(..) => (
            text(value).or_else(|| list(value)),
            "a list of texts in quotes",
        ),
    };
    text.ok_or_else(|| not(value, what, setting.expected()))
}

/// The value of a row of a table as it would be typed.
///
/// # Errors
///
/// A value that is neither a text nor a number, where numbers are understood.
pub fn typed_row(numbers: bool, value: &DeValue<'_>, expected: &str) -> Result<String, Refused> {
    let (text, what) = match numbers {
        true => (text_or_number(value), "a text in quotes or a whole number"),
        false => (text(value), "a text in quotes"),
    };
    text.ok_or_else(|| not(value, what, expected.to_owned()))
}

fn text(value: &DeValue<'_>) -> Option<String> {
    value.as_str().map(str::to_owned)
}

fn text_or_number(value: &DeValue<'_>) -> Option<String> {
    text(value).or_else(|| whole(value).map(|number| number.to_string()))
}

fn list(value: &DeValue<'_>) -> Option<String> {
    let texts = value.as_array()?.iter().map(|one| one.get_ref().as_str());
    Some(texts.collect::<Option<Vec<_>>>()?.join(","))
}

fn whole(value: &DeValue<'_>) -> Option<i64> {
    let number = value.as_integer()?;
    i64::from_str_radix(&number.as_str().replace('_', ""), number.radix()).ok()
}

fn not(value: &DeValue<'_>, what: &str, expected: String) -> Refused {
    Refused {
        message: format!("this {} is not {what}", value.type_str()),
        expected,
    }
}
