//! One request over one connection, and its answer (RFC 9112, the part that a page of our own
//! needs). Every size and every wait has an end: what is longer or slower is refused.

use std::io::{self, Read, Write};
use std::net::{Shutdown, TcpStream};
use std::time::{Duration, Instant};

/// The longest head of a request, in bytes.
const LONGEST_HEAD: usize = 16 << 10;
/// The most headers.
const MOST_HEADERS: usize = 64;
/// How long a request may take to arrive, and an answer to leave.
const PATIENCE: Duration = Duration::from_secs(5);
/// What is read past of a request that was refused, so that its sender sees the answer.
const READ_PAST: usize = 1 << 20;

/// A request as it came.
#[derive(Debug, Default)]
pub(super) struct Request {
    pub method: String,
    pub target: String,
    pub headers: Vec<(String, String)>,
    pub body: Vec<u8>,
}

impl Request {
    /// A header by its name in small letters; none where there is none, or more than one.
    pub(super) fn header(&self, name: &str) -> Option<&str> {
        let mut all = self.headers.iter().filter(|(of, _)| of == name);
        let first = all.next();
        first.filter(|_| all.next().is_none()).map(|(_, value)| value.as_str())
    }

    /// Whether there is such a header at all.
    pub(super) fn has(&self, name: &str) -> bool {
        self.headers.iter().any(|(of, _)| of == name)
    }

    /// What a name behind the question mark stands for, its escapes undone.
    pub(super) fn queried(&self, name: &str) -> Option<String> {
        let (_, query) = self.target.split_once('?')?;
        let value = query.split('&').find_map(|pair| pair.strip_prefix(name)?.strip_prefix('='))?;
        let mut parts = value.split('%');
        let mut bytes = parts.next()?.as_bytes().to_vec();
        for part in parts {
            bytes.push(u8::from_str_radix(part.get(..2)?, 16).ok()?);
            bytes.extend_from_slice(&part.as_bytes()[2..]);
        }
        String::from_utf8(bytes).ok()
    }

    /// The path, without what stands behind a question mark.
    pub(super) fn path(&self) -> &str {
        self.target.split('?').next().unwrap_or_default()
    }
}

/// An answer.
#[derive(Debug)]
pub(super) struct Answer {
    pub status: u16,
    pub kind: &'static str,
    /// What the page may do that this is.
    pub policy: &'static str,
    pub body: Vec<u8>,
}

/// Nothing from elsewhere, nothing inline, nowhere to send a form.
pub(super) const STRICT: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src \
    data:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
/// A page that was made: it plays by itself, and reaches nothing, this address least of all.
pub(super) const MADE: &str = "default-src 'none'; script-src 'unsafe-inline'; style-src \
    'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; \
    sandbox allow-scripts allow-modals allow-downloads";

impl Answer {
    pub(super) fn new(kind: &'static str, body: impl Into<Vec<u8>>) -> Self {
        Self { status: 200, kind, policy: STRICT, body: body.into() }
    }

    /// Why a request is refused.
    pub(super) fn refused(status: u16, why: &str) -> Self {
        Self { status, ..Self::new("text/plain; charset=utf-8", format!("{why}\n")) }
    }

    fn words(&self) -> &'static str {
        match self.status {
            200 => "OK",
            400 => "Bad Request",
            403 => "Forbidden",
            404 => "Not Found",
            405 => "Method Not Allowed",
            408 => "Request Timeout",
            411 => "Length Required",
            413 => "Content Too Large",
            431 => "Request Header Fields Too Large",
            503 => "Service Unavailable",
            _ => "Internal Server Error",
        }
    }
}

/// A connection with the moment at which it has to be done.
struct Waiting<'a> {
    stream: &'a TcpStream,
    until: Instant,
}

impl Read for Waiting<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let left = self.until.saturating_duration_since(Instant::now());
        if left.is_zero() {
            return Err(io::ErrorKind::TimedOut.into());
        }
        self.stream.set_read_timeout(Some(left))?;
        (&mut &*self.stream).read(buffer)
    }
}

/// Reads a request; `longest` says how long its body may be, from its head.
pub(super) fn read(
    stream: &TcpStream,
    longest: impl Fn(&Request) -> Result<usize, Answer>,
) -> Result<Request, Answer> {
    let mut input = Waiting { stream, until: Instant::now() + PATIENCE };
    let (mut request, mut rest) = head(&mut input)?;
    let most = longest(&request)?;
    if request.has("transfer-encoding") || request.has("expect") {
        return Err(Answer::refused(411, "a body comes with its length, in one piece"));
    }
    let length = match (request.header("content-length"), request.has("content-length")) {
        (Some(length), _) if length.bytes().all(|c| c.is_ascii_digit()) => length.parse().ok(),
        (None, false) => Some(0),
        _ => None,
    };
    let length: usize = length.ok_or_else(|| Answer::refused(400, "the length of the body"))?;
    if length > most {
        return Err(Answer::refused(413, "more than is read here"));
    }
    rest.truncate(length);
    request.body = rest;
    let mut part = [0; 1 << 14];
    while request.body.len() < length {
        let want = (length - request.body.len()).min(part.len());
        match input.read(&mut part[..want]) {
            Ok(0) => return Err(Answer::refused(400, "the body is shorter than its length")),
            Ok(count) => request.body.extend_from_slice(&part[..count]),
            Err(e) => return Err(late(&e)),
        }
    }
    Ok(request)
}

fn late(_: &io::Error) -> Answer {
    Answer::refused(408, "the request took too long")
}

/// The head of a request, and what came behind it.
fn head(input: &mut Waiting<'_>) -> Result<(Request, Vec<u8>), Answer> {
    let mut bytes = Vec::new();
    let mut part = [0; 4096];
    loop {
        let mut headers = [httparse::EMPTY_HEADER; MOST_HEADERS];
        let mut parsed = httparse::Request::new(&mut headers);
        match parsed.parse(&bytes) {
            Ok(httparse::Status::Complete(end)) => {
                let text = |value: &[u8]| String::from_utf8_lossy(value).trim().to_string();
                let headers = parsed.headers.iter();
                let request = Request {
                    method: parsed.method.unwrap_or_default().to_string(),
                    target: parsed.path.unwrap_or_default().to_string(),
                    headers: headers
                        .map(|of| (of.name.to_ascii_lowercase(), text(of.value)))
                        .collect(),
                    body: Vec::new(),
                };
                return Ok((request, bytes.split_off(end)));
            }
            Ok(httparse::Status::Partial) if bytes.len() > LONGEST_HEAD => {
                return Err(Answer::refused(431, "a head longer than is read here"));
            }
            Ok(httparse::Status::Partial) => {}
            Err(httparse::Error::TooManyHeaders) => {
                return Err(Answer::refused(431, "more headers than are read here"));
            }
            Err(_) => return Err(Answer::refused(400, "this is no request")),
        }
        match input.read(&mut part) {
            Ok(0) => return Err(Answer::refused(400, "the request has no end")),
            Ok(count) => bytes.extend_from_slice(&part[..count]),
            Err(e) => return Err(late(&e)),
        }
    }
}

/// Writes an answer and ends the connection; a reader that went away is nobody's loss.
pub(super) fn write(mut stream: &TcpStream, answer: &Answer) {
    let head = format!(
        "HTTP/1.1 {} {}\r\nContent-Type: {}\r\nContent-Length: {}\r\nContent-Security-Policy: \
            {}\r\n\
         X-Content-Type-Options: nosniff\r\nX-Frame-Options: DENY\r\nReferrer-Policy: \
         no-referrer\r\n\
         Cross-Origin-Resource-Policy: same-origin\r\nCross-Origin-Opener-Policy: same-origin\r\n\
         Cache-Control: no-store\r\nConnection: close\r\n\r\n",
        answer.status,
        answer.words(),
        answer.kind,
        answer.body.len(),
        answer.policy
    );
    let whole = [head.as_bytes(), &answer.body].concat();
    let sent = stream
        .set_write_timeout(Some(PATIENCE))
        .and_then(|()| stream.write_all(&whole))
        .and_then(|()| stream.shutdown(Shutdown::Write));
    if sent.is_err() || answer.status == 200 {
        return;
    }
    // Unread bytes would make the system break the connection off before the answer is read.
    let soon = Instant::now() + Duration::from_millis(300);
    let mut rest = Waiting { stream, until: soon };
    let (mut part, mut past) = ([0; 1 << 14], 0);
    while past < READ_PAST {
        match rest.read(&mut part) {
            Ok(0) | Err(_) => break,
            Ok(count) => past += count,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_behind_the_question_mark_is_read_or_none_is() {
        let of = |target: &str| {
            Request { target: target.to_string(), ..Request::default() }.queried("name")
        };
        let some = |text: &str| Some(text.to_string());
        assert_eq!(of("/a?name=my%20part%C3%A9.dxf"), some("my part\u{e9}.dxf"));
        assert_eq!(of("/a?other=1&name=b"), some("b"));
        assert_eq!(of("/a?name="), some(""));
        for target in [
            "/a",
            "/a?",
            "/a?names=b",
            "/a?name=%",
            "/a?name=%4",
            "/a?name=%zz",
            "/a?name=%ff",
            "/a?name=%\u{e9}",
        ] {
            assert_eq!(of(target), None, "{target}");
        }
    }
}
