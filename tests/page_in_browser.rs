//! The page of a program in a browser: it opens without network and without an error, and time,
//! turning and findings change what is seen. Chromium does the looking; `.ci/run` installs it.
#![allow(clippy::unwrap_used)]

use serde_json::{Value, json};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use tungstenite::{Message, WebSocket};

const BINARY: &str = env!("CARGO_BIN_EXE_ovolo");

/// How long a page may take to be ready on a loaded machine without a graphics card.
const PATIENCE: Duration = Duration::from_secs(120);

struct Browser {
    child: Child,
    socket: WebSocket<TcpStream>,
    session: String,
    next: u64,
    /// Errors that the page threw or wrote.
    errors: Vec<String>,
    _profile: tempfile::TempDir,
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Browser {
    fn start() -> Browser {
        let profile = tempfile::tempdir().unwrap();
        let child = ["chromium", "chromium-browser"]
            .iter()
            .find_map(|name| {
                Command::new(name)
                    .args(["--headless=new", "--no-sandbox", "--use-angle=swiftshader"])
                    .args(["--enable-unsafe-swiftshader", "--window-size=900,640"])
                    .args(["--remote-debugging-port=0", "--disable-gpu-sandbox", "about:blank"])
                    .arg(format!("--user-data-dir={}", profile.path().display()))
                    .stdout(Stdio::null())
                    .stderr(Stdio::null())
                    .spawn()
                    .ok()
            })
            .expect("chromium is not installed: apt-get install chromium");
        let told = profile.path().join("DevToolsActivePort");
        let start = Instant::now();
        let (port, path) = loop {
            let text = std::fs::read_to_string(&told).unwrap_or_default();
            if let Some((port, path)) = text.trim().split_once('\n') {
                break (port.trim().to_string(), path.trim().to_string());
            }
            assert!(start.elapsed() < PATIENCE, "the browser does not start");
            std::thread::sleep(Duration::from_millis(50));
        };
        let stream = TcpStream::connect(format!("127.0.0.1:{port}")).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        let address = format!("ws://127.0.0.1:{port}{path}");
        let (socket, _) = tungstenite::client(address, stream).unwrap();
        let mut browser = Browser {
            child,
            socket,
            session: String::new(),
            next: 0,
            errors: Vec::new(),
            _profile: profile,
        };
        let target = browser.call("Target.createTarget", json!({ "url": "about:blank" }));
        let attached = json!({ "targetId": target["targetId"], "flatten": true });
        let session = browser.call("Target.attachToTarget", attached);
        browser.session = session["sessionId"].as_str().unwrap().to_string();
        for domain in ["Page", "Runtime", "Log"] {
            browser.call(&format!("{domain}.enable"), json!({}));
        }
        browser
    }

    fn call(&mut self, method: &str, params: Value) -> Value {
        self.next += 1;
        let mut message = json!({ "id": self.next, "method": method, "params": params });
        if !self.session.is_empty() {
            message["sessionId"] = json!(self.session);
        }
        self.socket.send(Message::text(message.to_string())).unwrap();
        loop {
            let Message::Text(text) = self.socket.read().unwrap() else { continue };
            let answer: Value = serde_json::from_str(&text).unwrap();
            match answer["method"].as_str() {
                Some("Runtime.exceptionThrown") => self.errors.push(answer["params"].to_string()),
                Some("Log.entryAdded") if answer["params"]["entry"]["level"] == "error" => {
                    self.errors.push(answer["params"]["entry"].to_string());
                }
                _ => {}
            }
            if answer["id"] == json!(self.next) {
                assert!(answer["error"].is_null(), "{method}: {answer}");
                return answer["result"].clone();
            }
        }
    }

    fn ask(&mut self, script: &str) -> Value {
        let params = json!({ "expression": script, "returnByValue": true, "awaitPromise": true });
        let answer = self.call("Runtime.evaluate", params);
        assert!(answer["exceptionDetails"].is_null(), "{script}: {answer}");
        answer["result"]["value"].clone()
    }

    fn wait(&mut self, script: &str) {
        let start = Instant::now();
        while self.ask(script) != json!(true) {
            assert!(start.elapsed() < PATIENCE, "never true: {script}; {:?}", self.errors);
            std::thread::sleep(Duration::from_millis(50));
        }
    }

    fn open(&mut self, page: &Path) {
        let url = format!("file://{}", page.canonicalize().unwrap().display());
        self.call("Page.navigate", json!({ "url": url }));
        self.wait("document.body?.dataset.ready === 'yes'");
        assert_eq!(self.ask("document.getElementById('trouble').hidden"), json!(true));
    }

    /// A sum over the pixels of the drawn stock: it differs when the picture does.
    fn pixels(&mut self) -> i64 {
        let drawn = "new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => {\
             const c = document.getElementById('canvas'), gl = c.getContext('webgl2');\
             const p = new Uint8Array(4 * c.width * c.height);\
             gl.readPixels(0, 0, c.width, c.height, gl.RGBA, gl.UNSIGNED_BYTE, p);\
             let s = 7; for (let i = 0; i < p.length; i++) s = (s * 31 + p[i]) % 1000000007;\
             done(s); })))";
        self.ask(drawn).as_i64().unwrap()
    }

    fn mouse(&mut self, kind: &str, x: f64, y: f64, down: bool) {
        let buttons = i32::from(down);
        let params = json!({
            "type": kind, "x": x, "y": y, "button": "left", "buttons": buttons, "clickCount": 1,
        });
        self.call("Input.dispatchMouseEvent", params);
    }

    fn drag(&mut self, from: (f64, f64), to: (f64, f64)) {
        self.mouse("mousePressed", from.0, from.1, true);
        self.mouse("mouseMoved", (from.0 + to.0) / 2.0, (from.1 + to.1) / 2.0, true);
        self.mouse("mouseMoved", to.0, to.1, true);
        self.mouse("mouseReleased", to.0, to.1, false);
    }

    fn key(&mut self, key: &str) {
        for kind in ["keyDown", "keyUp"] {
            self.call("Input.dispatchKeyEvent", json!({ "type": kind, "key": key }));
        }
    }
}

fn ovolo(args: &[&str]) {
    let run = Command::new(BINARY).args(args).output().unwrap();
    assert!(run.status.success(), "{args:?}: {}", String::from_utf8_lossy(&run.stderr));
}

/// The pages of a sample's programs, in a folder of their own.
fn pages(sample: &str, out: &Path) -> Vec<PathBuf> {
    let job = format!("{}/sample-parts/{sample}", env!("CARGO_MANIFEST_DIR"));
    ovolo(&["preview", &job, "--html", "--out", &out.display().to_string()]);
    let mut all: Vec<PathBuf> = std::fs::read_dir(out)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "html"))
        .collect();
    all.sort();
    assert!(!all.is_empty());
    all
}

#[test]
fn pages_open_scrub_turn_and_show_their_findings() {
    let mut browser = Browser::start();
    for sample in ["arched-cap.toml", "door-header.toml", "door-header-metric.toml"] {
        let out = tempfile::tempdir().unwrap();
        for page in pages(sample, out.path()) {
            assert!(std::fs::metadata(&page).unwrap().len() < 10_000_000, "{page:?}");
            browser.open(&page);
            let end = browser.pixels();
            browser.key("Home");
            browser.wait("document.body.dataset.time === '0.000'");
            let start = browser.pixels();
            assert_ne!(start, end, "nothing is cut in {page:?}");
            browser.ask(
                "{const t = document.getElementById('time'); t.value = 500;\
                 t.dispatchEvent(new Event('input'));}",
            );
            browser.wait("document.body.dataset.time !== '0.000'");
            let middle = browser.pixels();
            assert_ne!(middle, start, "scrubbing shows nothing in {page:?}");
            browser.drag((200.0, 250.0), (300.0, 290.0));
            assert_ne!(browser.pixels(), middle, "turning shows nothing in {page:?}");
            browser.key("ArrowRight");
            browser.ask(
                "document.getElementById('colour').value = 'cutter';\
                 document.getElementById('colour').dispatchEvent(new Event('change'));",
            );
            browser.pixels();
        }
    }
    // A program with a fault: its mark leads to its line.
    let out = tempfile::tempdir().unwrap();
    let text = "G21 G90 G17 G94 G54\nT1 M6\nS18000 M3\nG4 P5\nG0 X50 Y20 Z20\nG0 Z2\nG1 Z-3 F300\n\
                G1 X120 F2000\nG0 X160\nG0 Z20\nM5\nM30\n";
    let program = out.path().join("fault.nc");
    std::fs::write(&program, text).unwrap();
    let [program, folder] = [&program, out.path()].map(|p| p.display().to_string());
    ovolo(&["preview", &program, "--stock", "200,60,18", "--html", "--out", &folder]);
    browser.open(&out.path().join("fault.html"));
    browser.key("Home");
    browser.ask(
        "[...document.querySelectorAll('#finding-list button')]\
         .find(b => b.textContent.includes('line 9')).click()",
    );
    browser.wait("document.querySelector('#rows .now')?.dataset.line === '9'");
    assert_eq!(browser.errors, Vec::<String>::new());
}

/// A small panel, cut coarsely: quick to make.
const ROSETTE: &str = r#"
title   = "Reading-room press: rosette"
units   = "mm"
species = "yellow-poplar"
[stock]
length    = 80
width     = 80
thickness = 20
[hold]
bed = "vacuum"
[[part]]
kind   = "panel"
name   = "rosette"
length = 44
width  = 44
border = [{ stage = "level", width = 4 }, { stage = "step", drop = 6 }]
finish = { cutter = 4, scallop = 0.3 }
[part.outline]
cutter = 2
[[part.carving]]
carve    = "rosette"
at       = [22, 22]
diameter = 24
petals   = 6
depth    = 5
"#;

#[test]
fn a_carving_stands_beside_its_program_and_opens_large() {
    let out = tempfile::tempdir().unwrap();
    let job = out.path().join("rosette.toml");
    std::fs::write(&job, ROSETTE).unwrap();
    let [job, folder] = [&job, out.path()].map(|p| p.display().to_string());
    ovolo(&["preview", &job, "--html", "--out", &folder]);
    let mut browser = Browser::start();
    browser.open(&out.path().join("rosette-top.html"));
    browser.wait("document.querySelector('#relief-open img').naturalWidth > 300");
    let wide = "document.querySelector('#large img')?.getBoundingClientRect().width || 0";
    assert_eq!(browser.ask(wide), json!(0));
    browser.ask("document.getElementById('relief-open').click()");
    let small = "document.querySelector('#relief-open img').getBoundingClientRect().width";
    browser.wait(&format!("({wide}) > {small}"));
    browser.ask("document.getElementById('large').click()");
    browser.wait("!document.getElementById('large').open");
    assert_eq!(browser.errors, Vec::<String>::new());
}
