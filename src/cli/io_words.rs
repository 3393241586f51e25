//! What the system says of a file, in words without its numbers.

use std::io::{Error, ErrorKind};

/// Why a file could not be read or written.
pub(super) fn why(error: &Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "there is no such file".to_string(),
        ErrorKind::PermissionDenied => "you have no permission for it".to_string(),
        ErrorKind::IsADirectory => "this is a folder".to_string(),
        ErrorKind::AlreadyExists => "there is a file of this name already".to_string(),
        _ => {
            let said = error.to_string();
            said.split(" (os error").next().unwrap_or(&said).to_lowercase()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_systems_numbers_are_left_out() {
        for number in 1..40 {
            let said = why(&Error::from_raw_os_error(number));
            assert!(!said.is_empty() && !said.contains("os error"), "{number}: {said}");
        }
        assert_eq!(why(&Error::from(ErrorKind::NotFound)), "there is no such file");
    }
}
