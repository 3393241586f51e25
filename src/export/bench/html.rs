//! Text into HTML: every character that means something there is escaped.

/// A text for use between tags and inside quoted attributes; control characters become spaces.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// JSON for use inside a script element: nothing in it can end the element or begin a comment.
pub(super) fn json_in_html(json: &str) -> String {
    json.replace('<', "\\u003c").replace('>', "\\u003e").replace('&', "\\u0026")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_of_a_text_becomes_markup() {
        assert_eq!(escaped("<b title=\"x\">'&'</b>\n"), "&lt;b title=&quot;x&quot;&gt;&#39;&amp;&#39;&lt;/b&gt; ");
        let hostile = json_in_html("[\"</script><!--&\"]");
        assert!(!hostile.contains('<') && !hostile.contains('>') && !hostile.contains('&'));
        assert_eq!(serde_json::from_str::<Vec<String>>(&hostile).ok(), Some(vec!["</script><!--&".to_string()]));
    }
}
