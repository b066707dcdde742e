//! Licence expressions: whether a package may be used under the licences of a list.

/// Whether `expression` (SPDX, or the older `MIT/Apache-2.0`) can be satisfied with only the `allowed` licences.
///
/// `AND` binds tighter than `OR`; a licence `WITH` an exception must be in the list in full. `None` if the expression
/// cannot be parsed.
pub(crate) fn is_met(expression: &str, allowed: &[String]) -> Option<bool> {
    let spaced = expression.replace('(', " ( ").replace(')', " ) ").replace('/', " OR ");
    let mut words: Vec<&str> = spaced.split_whitespace().collect();
    words.reverse();
    let met = either(&mut words, allowed)?;
    words.is_empty().then_some(met)
}

fn either(words: &mut Vec<&str>, allowed: &[String]) -> Option<bool> {
    let mut met = both(words, allowed)?;
    while words.pop_if(|word| word.eq_ignore_ascii_case("or")).is_some() {
        met |= both(words, allowed)?;
    }
    Some(met)
}

fn both(words: &mut Vec<&str>, allowed: &[String]) -> Option<bool> {
    let mut met = one(words, allowed)?;
    while words.pop_if(|word| word.eq_ignore_ascii_case("and")).is_some() {
        met &= one(words, allowed)?;
    }
    Some(met)
}

fn one(words: &mut Vec<&str>, allowed: &[String]) -> Option<bool> {
    let word = words.pop()?;
    if word == "(" {
        let met = either(words, allowed)?;
        return (words.pop()? == ")").then_some(met);
    }
    if word == ")" || ["and", "or", "with"].iter().any(|w| word.eq_ignore_ascii_case(w)) {
        return None;
    }
    let whole = match words.pop_if(|word| word.eq_ignore_ascii_case("with")) {
        Some(_) => format!("{word} WITH {}", words.pop()?),
        None => word.to_owned(),
    };
    Some(allowed.contains(&whole))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(expression: &str, expected: Option<bool>) {
        let allowed =
            ["MIT", "Apache-2.0", "Apache-2.0 WITH LLVM-exception", "Unicode-3.0"].map(String::from);
        assert_eq!(is_met(expression, &allowed), expected, "{expression}");
    }

    #[test]
    fn reads_expressions() {
        check("MIT", Some(true));
        check("GPL-3.0-only", Some(false));
        check("MIT OR GPL-3.0-only", Some(true));
        check("MIT AND GPL-3.0-only", Some(false));
        check("MIT/Apache-2.0", Some(true));
        check("(MIT OR Apache-2.0) AND Unicode-3.0", Some(true));
        check("GPL-2.0-only OR MIT AND LGPL-3.0-only", Some(false));
        check("Apache-2.0 WITH LLVM-exception OR GPL-3.0-only", Some(true));
        check("MIT WITH LLVM-exception", Some(false));
    }

    #[test]
    fn refuses_what_is_no_expression() {
        check("", None);
        check("MIT OR", None);
        check("(MIT", None);
        check("MIT Apache-2.0", None);
        check("SEE LICENSE IN x", None);
    }
}
