//! The page of a draft is for this computer's user alone: whatever else asks is refused, and
//! nothing is written.

use crate::common::{code, seatcut};
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// A draft that is served, and its folder.
struct Draft {
    child: Child,
    folder: tempfile::TempDir,
    port: u16,
    token: String,
}

impl Drop for Draft {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn served(folder: &Path, job: &str) -> (Child, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_seatcut"));
    command.args(["draft", job, "--no-open"]).current_dir(folder);
    let mut child = command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn().unwrap();
    let mut line = String::new();
    BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
    (child, line)
}

impl Draft {
    fn of(job: &str, text: Option<&str>) -> Self {
        let folder = tempfile::tempdir().unwrap();
        if let Some(text) = text {
            fs::write(folder.path().join(job), text).unwrap();
        }
        let (child, line) = served(folder.path(), job);
        let address = line.split("http://127.0.0.1:").nth(1).unwrap_or_else(|| panic!("{line}"));
        let (port, rest) = address.split_once('/').unwrap();
        let (port, token) = (port.parse().unwrap(), rest.trim().trim_end_matches('/').to_string());
        Self { child, folder, port, token }
    }

    fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
        stream
    }

    fn raw(&self, request: &[u8]) -> String {
        let mut stream = self.connect();
        // A refusal may come before everything is sent.
        let _ = stream.write_all(request);
        let mut answer = Vec::new();
        let _ = stream.read_to_end(&mut answer);
        String::from_utf8_lossy(&answer).into_owned()
    }

    /// As the page asks.
    fn get(&self, what: &str) -> String {
        let (port, token) = (self.port, &self.token);
        self.raw(
            format!("GET /{token}/{what} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n").as_bytes(),
        )
    }

    fn head(&self, what: &str, length: usize) -> String {
        let (port, token) = (self.port, &self.token);
        format!(
            "POST /{token}/{what} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: \
                http://127.0.0.1:{port}\r\n\
             Sec-Fetch-Site: same-origin\r\nContent-Type: application/json\r\nContent-Length: \
             {length}\r\n\r\n"
        )
    }

    fn post(&self, what: &str, body: &str) -> String {
        self.raw((self.head(what, body.len()) + body).as_bytes())
    }

    fn set(&self, key: &str, value: &str) -> serde_json::Value {
        let body = serde_json::json!({ "key": key, "value": value }).to_string();
        json(&self.post("set", &body))
    }

    fn names(&self) -> Vec<String> {
        let there = fs::read_dir(self.folder.path()).unwrap();
        let mut names: Vec<String> =
            there.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.retain(|name| !name.ends_with(".draft-lock"));
        names.sort();
        names
    }
}

fn json(answer: &str) -> serde_json::Value {
    let (head, body) = answer.split_once("\r\n\r\n").unwrap_or_else(|| panic!("{answer}"));
    assert!(head.starts_with("HTTP/1.1 200"), "{head}");
    serde_json::from_str(body).unwrap()
}

fn status(answer: &str) -> &str {
    answer.get(9..12).unwrap_or("none")
}

#[test]
fn what_does_not_come_from_the_page_is_refused_and_nothing_is_written() {
    let draft = Draft::of("stair.toml", None);
    let port = draft.port;
    let body = r#"{"key":"rise.total","value":"50 in"}"#;
    let good = draft.head("set", body.len());
    let of = |from: &str, to: &str| {
        assert!(good.contains(from), "{from}");
        draft.raw((good.replace(from, to) + body).as_bytes())
    };
    let host = format!("Host: 127.0.0.1:{port}");
    let origin = format!("Origin: http://127.0.0.1:{port}");
    for (answer, wanted) in [
        (of(&host, "Host: elsewhere.example"), "403"),
        (of(&host, &format!("Host: localhost:{port}")), "403"),
        (of(&host, "Host: 127.0.0.1"), "403"),
        (of(&host, &format!("{host}\r\n{host}")), "403"),
        (of(&origin, "Origin: http://elsewhere.example"), "403"),
        (of(&origin, "Origin: null"), "403"),
        (of(&format!("{origin}\r\n"), ""), "403"),
        (of("Sec-Fetch-Site: same-origin", "Sec-Fetch-Site: cross-site"), "403"),
        (of("Sec-Fetch-Site: same-origin", "Sec-Fetch-Site: none"), "403"),
        (of("application/json", "text/plain"), "400"),
        (of("POST", "PUT"), "405"),
        (of("POST", "OPTIONS"), "405"),
        (of(&draft.token, &"0".repeat(draft.token.len())), "404"),
        (of(&draft.token, &draft.token[1..]), "404"),
        (of(&draft.token, ""), "404"),
        (of("Content-Length: 36", "Content-Length: 36\r\nContent-Length: 36"), "400"),
        (of("Content-Length: 36", "Content-Length: +36"), "400"),
        (of("Content-Length: 36", "Transfer-Encoding: chunked"), "411"),
        (of("Content-Length: 36", "Content-Length: 99999999999999999999999"), "400"),
        (of("HTTP/1.1", "HTTP/9"), "400"),
        (of("Content-Length", &format!("{}: x\r\nContent-Length", "x".repeat(40_000))), "431"),
        (of("Content-Length", &format!("{}Content-Length", "a: b\r\n".repeat(100))), "431"),
        (draft.raw(b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03\r\n\r\n"), "400"),
    ] {
        assert_eq!(status(&answer), wanted, "{answer}");
    }
    assert_eq!(draft.names(), [] as [&str; 0]);
    // A page elsewhere can neither read nor frame this one, nor run anything in it.
    let page = draft.get("");
    for header in
        ["default-src 'none'", "frame-ancestors 'none'", "nosniff", "no-referrer", "same-origin"]
    {
        assert!(page.contains(header), "{header}: {page}");
    }
    assert!(
        !page.contains("Access-Control") && !page.contains("http://") && !page.contains("https://")
    );
    let state = json(&draft.raw((good.clone() + body).as_bytes()));
    assert_eq!(state["verdict"]["kind"], "clear", "the page itself is answered");
    assert_eq!(draft.names(), [".stair.toml.draft"]);
}

#[test]
fn no_path_comes_from_the_page() {
    let draft = Draft::of("stair.toml", None);
    fs::write(draft.folder.path().join("beside.txt"), "mine").unwrap();
    for path in [
        "../stair.toml",
        "made/../beside.txt",
        "made/%2e%2e/beside.txt",
        "made//etc/passwd",
        "beside.txt",
    ] {
        assert_eq!(status(&draft.get(path)), "404", "{path}");
    }
    for name in [
        "../stair.toml",
        "/etc/passwd",
        "..\\stair.toml",
        "beside.txt",
        "",
        ".stair.toml.draft",
        "\u{0}",
    ] {
        let body = serde_json::json!({ "name": name }).to_string();
        let state = json(&draft.post("open", &body));
        assert!(state["wrong"].as_str().unwrap().contains("no job of this name"), "{name}");
        let state = draft.set(name, "50 in");
        assert!(!state["wrong"].as_str().unwrap().is_empty(), "{name}");
        let state = draft.set(&format!("{name}.total"), "50 in");
        assert!(!state["wrong"].as_str().unwrap().is_empty(), "{name}");
    }
    for body in [
        "",
        "{",
        "[]",
        "{\"key\":\"rise.total\"}",
        "{\"name\":1}",
        "{\"key\":\"a\",\"value\":\"b\",\"path\":\"c\"}",
    ] {
        for what in ["set", "open", "new"] {
            let state = json(&draft.post(what, body));
            assert!(!state["wrong"].as_str().unwrap().is_empty(), "{what} {body}");
        }
    }
    assert_eq!(draft.names(), ["beside.txt"]);
    // A profile is chosen from the list: no other file is read.
    let secret = draft.folder.path().join("secret.toml");
    fs::write(&secret, "word = \"sesame\"\n").unwrap();
    draft.set("rise.total", "51 3/8 in");
    draft.set("cut.makes", "pattern");
    for path in [secret.to_str().unwrap(), "secret.toml", "./secret.toml"] {
        let state = draft.set("cut.machine", path);
        assert!(
            !state["wrong"].as_str().unwrap().is_empty() && !state.to_string().contains("sesame")
        );
    }
}

#[test]
fn who_is_slow_or_many_or_too_much_is_refused_and_the_page_goes_on() {
    let draft = Draft::of("stair.toml", None);
    let begun = Instant::now();
    let mut slow: Vec<TcpStream> = (0..60).map(|_| draft.connect()).collect();
    for stream in &mut slow {
        let _ = stream.write_all(b"GET / HTTP/1.1\r\nHost: ");
    }
    // 50 MB are refused by what the head says, before they are read.
    let mut large = draft.head("set", 50 << 20).into_bytes();
    large.resize(large.len() + (4 << 20), b' ');
    // As long as the slow ones hold every place, others are turned away; then they are gone.
    let mut answer = draft.raw(&large);
    while answer.is_empty() && begun.elapsed() < Duration::from_secs(20) {
        std::thread::sleep(Duration::from_millis(250));
        answer = draft.raw(&large);
    }
    assert_eq!(status(&answer), "413");
    for stream in &mut slow {
        let mut answer = String::new();
        let _ = stream.read_to_string(&mut answer);
        assert!(answer.is_empty() || status(&answer) == "408", "{answer}");
    }
    assert!(begun.elapsed() < Duration::from_secs(30), "nobody is waited for");
    assert_eq!(json(&draft.get("state"))["verdict"]["kind"], "open");
    assert_eq!(draft.names(), [] as [&str; 0]);
}

#[test]
fn what_is_made_from_the_page_is_to_the_byte_what_the_command_makes() {
    let draft = Draft::of("stair.toml", None);
    draft.set("rise.total", "51 3/8 in");
    draft.set("cut.makes", "pattern");
    let made = json(&draft.post("make", r#"{"replace":false}"#));
    assert!(made["said"].as_str().unwrap().contains("PROVEN"), "{made}");
    let path = |name: &str| draft.folder.path().join(name);
    let text = |name: &str| path(name).to_str().unwrap().to_string();
    let (job, own) = (text("stair.toml"), text("own"));
    assert_eq!(code(&seatcut(&["make", &job, "-o", &own])), 0);
    let files = |folder: &str| -> Vec<(String, Vec<u8>)> {
        let there = fs::read_dir(path(folder)).unwrap().map(Result::unwrap);
        let mut files: Vec<_> = there
            .map(|of| (of.file_name().into_string().unwrap(), fs::read(of.path()).unwrap()))
            .collect();
        files.sort();
        files
    };
    assert!(files("own") == files("stair"), "another set");
    // Its files are to be had by their names, the page without a way back to this address.
    let page = draft.get("made/bench.html");
    assert!(status(&page) == "200" && page.contains("sandbox allow-scripts"), "{}", &page[..900]);
    let names = files("stair").into_iter().map(|(name, _)| name);
    assert_eq!(made["made"].as_array().unwrap().len(), names.len());
    // A file that is dropped is held against the job as it stands.
    let held = |name: &str, bytes: &[u8]| {
        let head = draft.head(&format!("verify?name={name}"), bytes.len());
        let head = head.replace("application/json", "application/octet-stream");
        let state = json(&draft.raw(&[head.as_bytes(), bytes].concat()));
        let told = ["said", "wrong"].map(|of| state[of].as_str().unwrap().to_string());
        told.concat()
    };
    let cut = fs::read(path("stair/program-2.nc")).unwrap();
    let said = held("..%2f..%2fprogram-2.nc", &cut);
    assert!(said.starts_with("program-2.nc: is this job's part"), "{said}");
    let other = String::from_utf8(cut).unwrap().replace("X6", "X7");
    assert!(held("a.nc", other.as_bytes()).contains("NOT this job's part"));
    assert!(held("%1b%5b2J.dxf", b"\xff\xfe").contains("\\x1b[2J.dxf"), "spelled out");
    // An order lies beside it, and another's set is not touched.
    assert!(
        json(&draft.post("order", r#"{"replace":false}"#))["said"]
            .as_str()
            .unwrap()
            .contains("SHA256SUMS")
    );
    assert!(path("stair-order/order.pdf").exists());
    draft.set("rise.total", "52 in");
    let refused = json(&draft.post("make", r#"{"replace":false}"#));
    let wrong = refused["wrong"].as_str().unwrap();
    // Said in the words of the page: no command is typed here.
    assert!(wrong.contains("tick Replace below") && !wrong.contains("--force"), "{wrong}");
    assert!(files("own") == files("stair"), "the set of another job stays");
    let replaced = json(&draft.post("make", r#"{"replace":true}"#));
    assert!(replaced["said"].as_str().unwrap().contains("PROVEN"), "{replaced}");
    assert!(files("own") != files("stair"));
}

#[test]
fn two_drafts_do_not_meet_and_what_is_typed_is_there_again() {
    let draft = Draft::of("stair.toml", None);
    draft.set("rise.total", "51 3/8");
    let again =
        seatcut(&["draft", draft.folder.path().join("stair.toml").to_str().unwrap(), "--no-open"]);
    assert_eq!(code(&again), 7);
    assert!(String::from_utf8_lossy(&again.stderr).contains("open in another draft"));
    // Another job's draft has a token of its own, which opens nothing here.
    let other = Draft::of("stair.toml", None);
    assert_ne!(other.token, draft.token);
    let foreign = draft.get("state").len();
    assert!(foreign > 1000);
    let (port, token) = (draft.port, &other.token);
    let asked = format!("GET /{token}/state HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n");
    assert_eq!(status(&draft.raw(asked.as_bytes())), "404");
    let typed = draft.folder.path().join(".stair.toml.draft");
    assert!(fs::read_to_string(&typed).unwrap().contains("total = \"51 3/8\""));
}

#[test]
fn a_job_of_somebody_keeps_his_comments_and_is_saved_whole() {
    let mine = "# mine\nboard = \"2x12\"   # from the yard\n[rise]\ntotal = \"51 3/8 in\" # \
        plumb\naim = \"7 in\"\n\
                [tread]\ncut = \"10 1/4 in\"\nthickness = \"1 in\"\n# the head\n[head]\nfinish \
                = \"1 in\"\n";
    let draft = Draft::of("mine.toml", Some(mine));
    let state = draft.set("tread.cut", "10 1/2");
    let field = |key: &str| {
        let fields = state["fields"].as_array().unwrap();
        fields.iter().find(|of| of["key"] == key).cloned().unwrap()
    };
    assert_eq!(field("tread.cut")["read"], "10 1/2 in (266.7 mm)");
    assert_eq!(field("board.width")["value"], "11 1/4 in");
    let state = json(&draft.post("save", "{}"));
    assert_eq!(state["unsaved"], false, "{state}");
    let saved = fs::read_to_string(draft.folder.path().join("mine.toml")).unwrap();
    assert_eq!(saved, mine.replace("\"10 1/4 in\"", "\"10 1/2 in\""));
    assert_eq!(draft.names(), ["mine.toml"]);
    // What cannot be read key by key is shown, told with its line, and left alone.
    fs::write(draft.folder.path().join("mine.toml"), "[rise\ntotal = \n").unwrap();
    let state = json(&draft.get("state"));
    assert_eq!(state["verdict"]["kind"], "open");
    assert!(!draft.set("tread.cut", "9 in")["wrong"].as_str().unwrap().is_empty());
    assert_eq!(
        fs::read_to_string(draft.folder.path().join("mine.toml")).unwrap(),
        "[rise\ntotal = \n"
    );
}

/// An invented porch, with what its owner wrote beside it.
const RAILED: &str = "# mine\nboard = \"2x12\"\n[rise]\ntotal = \"51 3/8 in\" # plumb\nrisers = \
    7\n[tread]\ncut = \"10 1/4 in\"\n\
     thickness = \"1 in\"\n\n# asked for by the owner\n[rail]\nheight = \"36 in\"   # to the \
     top\npost = \"3 1/2 in\"\n\n\
     # the head\n[head]\nfinish = \"1 in\"\n";

fn part(state: &serde_json::Value, table: &str) -> serde_json::Value {
    let parts = state["parts"].as_array().unwrap();
    parts.iter().find(|of| of["table"] == table).cloned().unwrap()
}

fn slips_at(state: &serde_json::Value) -> Vec<&str> {
    let slips = state["slips"].as_array().unwrap();
    slips.iter().map(|slip| slip["field"].as_str().unwrap_or_else(|| panic!("{slip}"))).collect()
}

#[test]
fn a_part_of_the_whole_stair_is_there_with_a_tick_and_gone_without_it() {
    let draft = Draft::of("porch.toml", Some(RAILED));
    let state = json(&draft.get("state"));
    assert_eq!(part(&state, "rail")["is_there"], true);
    assert_eq!(part(&state, "steps")["is_there"], false);
    // Without it, what its owner wrote stays; with it again, what is usual is there.
    let state = draft.set("rail", "");
    let text = state["text"].as_str().unwrap();
    assert_eq!(part(&state, "rail")["is_there"], false, "{text}");
    assert!(!text.contains("[rail]") && !text.contains("post"), "{text}");
    for kept in ["# mine\n", "# plumb\n", "# asked for by the owner\n", "# the head\n[head]"] {
        assert!(text.contains(kept), "{kept}: {text}");
    }
    assert_eq!(draft.set("rail", "there")["verdict"]["kind"], "clear");
    json(&draft.post("undo", "{}"));
    let state = json(&draft.post("undo", "{}"));
    assert_eq!(state["text"], RAILED);
    // What a part cannot do without is asked for beside its own field.
    let state = draft.set("steps", "there");
    assert_eq!(slips_at(&state), ["stair.width"], "{state}");
    assert_eq!(draft.set("stair.width", "36")["verdict"]["kind"], "clear");
    let state = draft.set("skirts", "there");
    assert_eq!(slips_at(&state), ["skirts.left"], "{state}");
    let state = draft.set("skirts.left", "wall");
    assert_eq!(slips_at(&state), ["skirts.width"], "{state}");
    draft.set("skirts.width", "11 1/4");
    let state = draft.set("opening", "there");
    assert_eq!(slips_at(&state), ["opening.length", "opening.depth"], "{state}");
    draft.set("opening.length", "96");
    let state = draft.set("opening.depth", "high");
    assert_eq!(slips_at(&state), ["opening.depth"], "{state}");
    // A field that is emptied leaves its part there, to be typed anew.
    draft.set("opening.length", "");
    let state = draft.set("opening.depth", "");
    assert_eq!(part(&state, "opening")["is_there"], true, "{}", state["text"]);
    // What is found of a part is told beside its field.
    draft.set("opening.length", "60");
    let state = draft.set("opening.depth", "11");
    let found = state["shown"]["findings"].as_array().unwrap();
    let low = found.iter().find(|of| of["from"].as_str().unwrap().starts_with("headroom-low"));
    assert_eq!(low.unwrap_or_else(|| panic!("{found:?}"))["field"], "opening.length");
    let state = draft.set("landing", "there");
    assert_eq!(slips_at(&state), ["landing.after", "landing.depth"], "{state}");
    draft.set("landing.after", "4");
    let state = draft.set("landing.depth", "20");
    let found = state["shown"]["findings"].as_array().unwrap();
    let short = found.iter().find(|of| of["from"].as_str().unwrap().starts_with("landing-short"));
    assert_eq!(short.unwrap_or_else(|| panic!("{found:?}"))["field"], "landing.depth");
    // No other table is put in or taken out so.
    for (key, value) in [("board", ""), ("rise", ""), ("waive", "there"), ("cut", "there")] {
        assert!(!draft.set(key, value)["wrong"].as_str().unwrap().is_empty(), "{key}");
    }
    assert!(draft.set("rail", "")["text"].as_str().unwrap().contains("board = \"2x12\""));
}

#[test]
fn several_landings_are_shown_and_left_as_they_are() {
    let several = "# above the door\n[[landing]]\nafter = 3\ndepth = \"40 in\"\nfinish = \"1 \
        in\"\nturn = \"left\"\n\
                   [[landing]]\nafter = 5\ndepth = \"40 in\"\nfinish = \"1 in\"\nturn \
                   = \"left\"\n[stair]\nwidth = \"36 in\"\n";
    let draft = Draft::of("porch.toml", Some(&(RAILED.to_string() + several)));
    let state = json(&draft.get("state"));
    let apart = part(&state, "landing")["apart"].clone();
    assert_eq!(apart.as_array().unwrap().len(), 2, "{apart}");
    assert!(apart[1].as_str().unwrap().starts_with("after 5, depth 40 in"), "{apart}");
    for (key, value) in [("landing", ""), ("landing", "there"), ("landing.after", "4")] {
        let state = draft.set(key, value);
        assert!(state["wrong"].as_str().unwrap().contains("cannot be changed from here"), "{key}");
        assert!(state["text"].as_str().unwrap().ends_with(several), "{}", state["text"]);
    }
    let state = draft.set("tread.cut", "10 1/2");
    assert!(state["text"].as_str().unwrap().ends_with(several), "{}", state["text"]);
}

#[test]
fn a_job_is_drafted_by_its_name_alone() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("porch.toml"), RAILED).unwrap();
    // The folder of its set has the name alone.
    fs::create_dir(folder.path().join("porch")).unwrap();
    for (typed, drafted) in
        [("porch", "porch.toml"), ("porch/", "porch.toml"), ("deck", "deck.toml")]
    {
        let (mut child, line) = served(folder.path(), typed);
        let _ = child.kill();
        let _ = child.wait();
        assert!(line.starts_with(&format!("{drafted}: http://127.0.0.1:")), "{typed}: {line}");
    }
    for (typed, told) in
        [("porch.tmol", "porch.tmol.toml"), ("..", "stair.toml"), ("/", "stair.toml")]
    {
        let run = seatcut(&["draft", typed, "--no-open"]);
        assert_eq!(code(&run), 2, "{typed}");
        assert!(String::from_utf8_lossy(&run.stderr).contains(told), "{typed}: {run:?}");
    }
}
