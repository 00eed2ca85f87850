//! What the window writes follows the grower's locale and the system.

use super::source::files;

/// The part of a source file that is no test.
fn without_tests(text: &str) -> &str {
    text.split("#[cfg(test)]").next().unwrap_or(text)
}

/// A placeholder that writes decimals: `{x:.1}`, `{:.2}`, `{v:.decimals$}`; whole figures have no decimal sign.
fn writes_decimals(line: &str) -> bool {
    line.split(":.").skip(1).any(|rest| {
        let format = rest.split('}').next().unwrap_or("");
        let digits = format.bytes().all(|b| b.is_ascii_digit());
        let whole = format == "0" || !rest.contains('}');
        !whole && (digits || format.ends_with('$') || format == "*")
    })
}

#[test]
fn decimals_are_written_with_the_growers_sign() {
    assert!(writes_decimals(r#"format!("{v:.1} m")"#));
    assert!(writes_decimals(r#"format!("{:.decimals$}", v)"#));
    assert!(!writes_decimals(r#"format!("{v:.0} %")"#));
    let mut faults = Vec::new();
    for (file, text) in files("src/app", &["rs"]) {
        // The one place that asks the locale.
        if file == "src/app/parts/figures.rs" || file.ends_with("tests.rs") {
            continue;
        }
        for (n, line) in without_tests(&text).lines().enumerate() {
            if writes_decimals(line) {
                faults.push(format!("{file}:{}: {}", n + 1, line.trim()));
            }
        }
    }
    assert!(
        faults.is_empty(),
        "write figures by parts::figures, or Quantity::words:\n{}",
        faults.join("\n")
    );
}

#[test]
fn keys_are_written_as_the_system_does() {
    let mut faults = Vec::new();
    for (file, text) in files("src/app", &["rs"]) {
        for (n, line) in without_tests(&text).lines().enumerate() {
            let code = line.split("//").next().unwrap_or("");
            if code.contains("Ctrl+") {
                faults.push(format!("{file}:{}: {}", n + 1, line.trim()));
            }
        }
    }
    assert!(
        faults.is_empty(),
        "on a Mac it is another key; write it by parts::keys:\n{}",
        faults.join("\n")
    );
}
