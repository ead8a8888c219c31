//! Findings as SARIF 2.1.0 (OASIS Standard, 2020), written as they come: a head, results one by one,
//! a tail. Section numbers below are that standard's.

use serde_json::{Map, Value, json};

use super::{Region, Shown};
use crate::check::{RULES, Rule, RuleSettings, Severity};

/// Where the schema is (3.13.3).
const SCHEMA: &str =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

/// Where the program and its rules are told of (3.19.2, 3.49.12): the manual that it prints itself. It has no
/// page on the web to name, so the address is a name and no place (RFC 8141).
const INFORMATION: &str = "urn:x-compline:check";

/// The name of the folder that relative paths start from (3.14.14).
const ROOT: &str = "%SRCROOT%";

/// The file findings are in (3.4).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Artifact<'a> {
    /// A path below the folder the check was started in, its parts joined by `/`.
    Relative(&'a str),
    /// A path from the root of the file system, its parts joined by `/`.
    Absolute(&'a str),
    /// Standard input.
    Stdin,
}

/// A log being written: [`Sarif::head`], any number of [`Sarif::result`], [`Sarif::tail`].
#[derive(Debug, Default)]
pub struct Sarif {
    notifications: Vec<Value>,
    left_out: usize,
    begun: bool,
}

/// No log lists more failures than this; the rest are counted.
const MOST_NOTIFICATIONS: usize = 1_000;

impl Sarif {
    /// The beginning of the log, up to its results. `version` is the program's.
    pub fn head(version: &str, settings: &RuleSettings) -> String {
        let rules: Vec<Value> = RULES
            .iter()
            .map(|rule| descriptor(rule, settings))
            .collect();
        let driver = json!({
            "name": "Compline",
            "version": version,
            "semanticVersion": version,
            "informationUri": INFORMATION,
            "rules": rules,
        });
        let base =
            json!({(ROOT): {"description": {"text": "The folder the check was started in"}}});
        // The results stay open, so this level is written by hand.
        format!(
            "{{\"$schema\":\"{SCHEMA}\",\"version\":\"2.1.0\",\"runs\":[{{\"tool\":{{\"driver\":{driver}}},\
             \"columnKind\":\"unicodeCodePoints\",\"newlineSequences\":[\"\\r\\n\",\"\\n\",\"\\r\"],\
             \"originalUriBaseIds\":{base},\"results\":["
        )
    }

    /// One result (3.27), without what parts it from others.
    pub fn result(artifact: Artifact<'_>, shown: &Shown<'_>) -> String {
        result(artifact, shown).to_string()
    }

    /// What stands before the next result.
    pub fn comma(&mut self) -> &'static str {
        if std::mem::replace(&mut self.begun, true) {
            ",\n"
        } else {
            "\n"
        }
    }

    /// A chart that could not be checked (3.20.21, 3.58).
    pub fn failure(&mut self, place: Option<(Artifact<'_>, Option<Region>)>, message: &str) {
        if self.notifications.len() == MOST_NOTIFICATIONS {
            self.left_out += 1;
            return;
        }
        let place = place.map(|(artifact, region)| {
            let mut physical = json!({"artifactLocation": location(artifact)});
            if let (Some(physical), Some(region)) = (physical.as_object_mut(), region) {
                physical.insert("region".to_owned(), stretch(region));
            }
            json!({"physicalLocation": physical})
        });
        self.notifications.push(json!({
            "level": "error",
            "message": {"text": message},
            "locations": Vec::from_iter(place),
        }));
    }

    /// The end of the log, with what could not be checked.
    pub fn tail(mut self) -> String {
        if self.left_out > 0 {
            let text = format!("{} more charts could not be checked", self.left_out);
            let more = json!({"level": "error", "message": {"text": text}});
            self.notifications.push(more);
        }
        let invocation = json!({
            "executionSuccessful": self.notifications.is_empty(),
            "toolExecutionNotifications": self.notifications,
        });
        format!("\n],\"invocations\":[{invocation}]}}]}}\n")
    }
}

/// A rule (3.49).
fn descriptor(rule: &Rule, settings: &RuleSettings) -> Value {
    let severity = settings.severity(rule);
    // A rule that is off still says what it would be worth.
    let level = severity.or(rule.severity).unwrap_or(Severity::Note);
    let help = if rule.mends {
        "`compline check --mend` replans what breaks this rule."
    } else {
        "Mend it by hand, waive it in the chart with a comment `; waive RULE: reason`, or turn the \
         rule off in compline.toml."
    };
    json!({
        "id": rule.name,
        "name": pascal(rule.name),
        "helpUri": format!("{INFORMATION}#{}", rule.name),
        "shortDescription": {"text": rule.name.replace('-', " ")},
        "fullDescription": {"text": rule.why},
        "defaultConfiguration": {"enabled": severity.is_some(), "level": level.name()},
        "help": {"text": help},
    })
}

/// A rule's name as the standard has names of rules (3.49.7): `MinorNinth`.
fn pascal(name: &str) -> String {
    let words = name.split('-').map(|word| {
        let (first, rest) = word.split_at(word.len().min(1));
        format!("{}{rest}", first.to_ascii_uppercase())
    });
    words.collect()
}

fn result(artifact: Artifact<'_>, shown: &Shown<'_>) -> Value {
    let finding = shown.finding;
    let index = RULES.iter().position(|rule| *rule == finding.rule);
    let mut result = Map::new();
    let mut put = |name: &str, value: Value| result.insert(name.to_owned(), value);
    put("ruleId", json!(finding.rule.name));
    put("ruleIndex", json!(index));
    put("level", json!(finding.severity.name()));
    put("message", json!({"text": message(shown)}));
    put("locations", json!([place(artifact, shown)]));
    put(
        "partialFingerprints",
        json!({"complineFinding/v1": fingerprint(shown)}),
    );
    if let Some(reason) = &finding.suppressed {
        let waiver = json!({"kind": "inSource", "status": "accepted", "justification": reason});
        put("suppressions", json!([waiver]));
    }
    if let Some(known) = shown.known {
        put(
            "baselineState",
            json!(if known { "unchanged" } else { "new" }),
        );
    }
    // What is meant as it is is not to be mended.
    if !shown.replacements.is_empty() && finding.suppressed.is_none() {
        put("fixes", json!([fix(artifact, shown)]));
    }
    Value::Object(result)
}

/// What is wrong, and what would do (3.11).
fn message(shown: &Shown<'_>) -> String {
    let finding = shown.finding;
    let mut text = format!("{}.", finding.message);
    let mend = shown.mend();
    if !mend.is_empty() {
        text.push_str(&format!(" Mend: {mend}."));
    }
    if let Some(caution) = finding.caution {
        text.push_str(&format!(" {caution}"));
    }
    text
}

/// Where it is (3.28): in the file, and in the music.
fn place(artifact: Artifact<'_>, shown: &Shown<'_>) -> Value {
    let mut physical = json!({"artifactLocation": location(artifact)});
    if let Some(physical) = physical.as_object_mut() {
        // What is about the whole chart is shown at its beginning.
        let region = shown.region.unwrap_or(Region::line(1));
        physical.insert("region".to_owned(), stretch(region));
    }
    let words = shown.place();
    if words.is_empty() {
        return json!({"physicalLocation": physical});
    }
    let section = shown.finding.place.section.as_deref().unwrap_or_default();
    let section = if section.is_empty() {
        String::new()
    } else {
        format!("{section}, ")
    };
    let in_file = shown.in_file.as_ref();
    let in_file = in_file.map_or(String::new(), |place| format!("{place}: "));
    let logical = json!({
        "name": shown.finding.place.symbol,
        "fullyQualifiedName": format!("{in_file}{section}{words}"),
        "kind": "chord",
    });
    json!({"physicalLocation": physical, "logicalLocations": [logical]})
}

/// The file (3.4).
fn location(artifact: Artifact<'_>) -> Value {
    match artifact {
        Artifact::Relative(path) => json!({"uri": encoded(path), "uriBaseId": ROOT}),
        Artifact::Absolute(path) => {
            let path = encoded(path);
            let slash = if path.starts_with('/') { "" } else { "/" };
            json!({"uri": format!("file://{slash}{path}")})
        }
        Artifact::Stdin => json!({"description": {"text": "standard input"}}),
    }
}

/// Lines and columns (3.30).
fn stretch(region: Region) -> Value {
    match (region.column, region.end_column) {
        (Some(column), Some(end)) => json!({
            "startLine": region.line,
            "startColumn": column,
            "endLine": region.end_line,
            "endColumn": end,
        }),
        _ => json!({"startLine": region.line, "endLine": region.end_line}),
    }
}

/// The mend as text in the place of text (3.55 to 3.57).
fn fix(artifact: Artifact<'_>, shown: &Shown<'_>) -> Value {
    let replacements = shown.replacements.iter().map(|replacement| {
        json!({
            "deletedRegion": stretch(replacement.region),
            "insertedContent": {"text": replacement.text},
        })
    });
    let replacements: Vec<Value> = replacements.collect();
    json!({
        "description": {"text": shown.mend()},
        "artifactChanges": [{
            "artifactLocation": location(artifact),
            "replacements": replacements,
        }],
    })
}

/// The same for the same finding after bars were put in elsewhere (3.27.17): 64 bits of FNV-1a, which
/// never changes, as a hash of the standard library might.
fn fingerprint(shown: &Shown<'_>) -> String {
    let same = shown.fingerprint();
    let number = shown.ordinal.to_string();
    let parts = [
        &same.rule,
        &same.section,
        &same.symbol,
        &same.notes,
        &number,
    ];
    let bytes = parts
        .into_iter()
        .flat_map(|part| part.bytes().chain([0xff]));
    let hash = bytes.fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    });
    format!("{hash:016x}")
}

/// A path as it stands in a URI (RFC 3986, 3.3): everything but unreserved characters and `/` encoded.
fn encoded(path: &str) -> String {
    let mut uri = String::with_capacity(path.len());
    for byte in path.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' | b'/' => {
                uri.push(char::from(byte));
            }
            _ => uri.push_str(&format!("%{byte:02X}")),
        }
    }
    uri
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_with_anything_in_it_is_a_uri() {
        assert_eq!(
            encoded("sets/a b#1 é:%.chart"),
            "sets/a%20b%231%20%C3%A9%3A%25.chart"
        );
        let absolute = location(Artifact::Absolute("/q/x.chart"));
        assert_eq!(absolute["uri"], "file:///q/x.chart");
    }

    #[test]
    fn an_empty_log_is_json() {
        let mut log = Sarif::head("1.2.3", &RuleSettings::default());
        log.push_str(&Sarif::default().tail());
        let log: Value = serde_json::from_str(&log).unwrap();
        assert_eq!(log["runs"][0]["results"], json!([]));
        assert_eq!(
            log["runs"][0]["invocations"][0]["executionSuccessful"],
            true
        );
    }

    #[test]
    fn failures_are_listed_up_to_a_thousand() {
        let mut sarif = Sarif::default();
        for _ in 0..1_002 {
            sarif.failure(Some((Artifact::Stdin, None)), "can't be read");
        }
        let log = Sarif::head("1.2.3", &RuleSettings::default()) + &sarif.tail();
        let log: Value = serde_json::from_str(&log).unwrap();
        let invocation = &log["runs"][0]["invocations"][0];
        let told = invocation["toolExecutionNotifications"].as_array().unwrap();
        assert_eq!(told.len(), 1_001);
        assert_eq!(
            told[1_000]["message"]["text"],
            "2 more charts could not be checked"
        );
        assert_eq!(invocation["executionSuccessful"], false);
    }
}
