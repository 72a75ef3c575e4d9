//! A real browser without a screen, driven over the `WebDriver` protocol (W3C) by plain HTTP.
#![allow(dead_code, reason = "each test binary uses a part")]
use serde_json::{Value, json};
use std::io::{Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use tempfile::TempDir;

const DRIVER: &str = "chromedriver";
/// Marks a page that is to be left, so that the next one is told from it.
const MARK: &str = "document.documentElement.setAttribute('data-left', '1');";
/// Brings what an `XPath` finds to the middle of the window and gives the spot to touch, and whether it leads away.
const SPOT: &str = "const e = document.evaluate(arguments[0], document, null, 9, null).singleNodeValue;
    if (!e) return null;
    for (let d = e.parentElement.closest('details'); d; d = d.parentElement.closest('details')) if (!d.open && !e.matches('summary')) return 'folded';
    e.scrollIntoView({block: 'center', behavior: 'instant'});
    const r = e.getBoundingClientRect();
    return [r.left + Math.min(r.width, 240) / 2, r.top + r.height / 2, e.matches('a, button')];";
/// What has the focus: its words, its label, its value, its outline.
const ACTIVE: &str = "const e = document.activeElement;
    const label = [...(e.labels || [])].map(l => l.innerText).join(' ');
    return [(e.textContent || '').replace(/\\s+/g, ' '), label, e.value || '', getComputedStyle(e).outlineStyle];";

pub struct Browser {
    driver: Child,
    port: u16,
    session: String,
    profile: TempDir,
}

/// The checker of accessibility, as `.ci/run` fetches it.
pub fn axe() -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("target/axe/node_modules/axe-core/axe.min.js");
    std::fs::read_to_string(&path).unwrap_or_else(|e| {
        panic!(
            "{}: {e}; fetch it once: npm install --prefix target/axe axe-core@4",
            path.display()
        )
    })
}

impl Browser {
    /// The window of a phone that is touched; its pages cannot run any script.
    pub fn phone() -> Self {
        let metrics =
            json!({"width": 390, "height": 844, "pixelRatio": 2.0, "touch": true, "mobile": true});
        let browser = Self::begin(&json!({"deviceMetrics": metrics}));
        browser.own_command(
            "Emulation.setScriptExecutionDisabled",
            &json!({"value": true}),
        );
        browser
    }

    /// A window that takes any width.
    pub fn window() -> Self {
        Self::begin(&Value::Null)
    }

    fn begin(phone: &Value) -> Self {
        // Asking the system for a free port and letting it go again; the driver takes it at once.
        let port = TcpListener::bind("127.0.0.1:0")
            .and_then(|l| l.local_addr())
            .expect("a port")
            .port();
        let driver = Command::new(DRIVER)
            .arg(format!("--port={port}"))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap_or_else(|e| {
                panic!("{DRIVER} does not start: {e}; the browser tests need Debian's packages chromium and chromium-driver")
            });
        let profile = tempfile::tempdir().expect("a folder");
        let mut browser = Self {
            driver,
            port,
            session: String::new(),
            profile,
        };
        browser.wait_for_driver();
        let folder = format!("--user-data-dir={}", browser.profile.path().display());
        let mut arguments: Vec<&str> = "--headless --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking --disable-component-update --disable-sync --disable-dev-shm-usage".split(' ').collect();
        arguments.push(&folder);
        let mut options = json!({"args": arguments});
        if !phone.is_null() {
            options["mobileEmulation"] = phone.clone();
        }
        let wanted = json!({"browserName": "chrome", "pageLoadStrategy": "none", "goog:chromeOptions": options, "goog:loggingPrefs": {"performance": "ALL"}});
        let begun = browser.call(
            "POST",
            "/session",
            &json!({"capabilities": {"alwaysMatch": wanted}}),
        );
        begun["sessionId"]
            .as_str()
            .expect("a session")
            .clone_into(&mut browser.session);
        browser
    }

    fn wait_for_driver(&self) {
        let begun = Instant::now();
        while TcpStream::connect(("127.0.0.1", self.port)).is_err() {
            assert!(
                begun.elapsed() < Duration::from_secs(20),
                "{DRIVER} does not answer"
            );
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// One command; a fault of the protocol ends the test with its words.
    pub fn call(&self, method: &str, path: &str, body: &Value) -> Value {
        match self.tried(method, path, body) {
            Ok(value) => value,
            Err(fault) => panic!("{method} {path}: {fault}"),
        }
    }

    fn tried(&self, method: &str, path: &str, body: &Value) -> Result<Value, String> {
        let body = if method == "POST" {
            body.to_string()
        } else {
            String::new()
        };
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).map_err(|e| e.to_string())?;
        let request = format!(
            "{method} {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
            self.port,
            body.len()
        );
        stream
            .write_all(request.as_bytes())
            .map_err(|e| e.to_string())?;
        stream
            .set_read_timeout(Some(Duration::from_secs(60)))
            .map_err(|e| e.to_string())?;
        // The driver keeps its connections, so the length tells where the answer ends.
        let mut answer = Vec::new();
        let mut piece = vec![0; 64 * 1024];
        let text = loop {
            let n = stream.read(&mut piece).map_err(|e| e.to_string())?;
            answer.extend_from_slice(&piece[..n]);
            if let Some(text) = body_of(&answer) {
                break text;
            }
            if n == 0 {
                return Err("half an answer".to_owned());
            }
        };
        let value: Value = serde_json::from_str(&text).map_err(|e| format!("{e}: {text}"))?;
        match value["value"]["error"].as_str() {
            Some(error) => Err(format!("{error}: {}", value["value"]["message"])),
            None => Ok(value["value"].clone()),
        }
    }

    fn own(&self, path: &str) -> String {
        format!("/session/{}{path}", self.session)
    }

    pub fn open(&self, address: &str) {
        if self.address().starts_with("http") {
            self.run(MARK, &[]);
        }
        self.call("POST", &self.own("/url"), &json!({"url": address}));
        self.wait();
    }

    pub fn address(&self) -> String {
        let at = self.call("GET", &self.own("/url"), &Value::Null);
        at.as_str().unwrap_or_default().to_owned()
    }

    /// Waits until the page that was marked is left and the next one is whole.
    fn wait(&self) {
        let whole = "return document.readyState === 'complete' && !document.documentElement.hasAttribute('data-left')";
        let begun = Instant::now();
        while self.tried_run(whole) != Ok(json!(true)) {
            assert!(
                begun.elapsed() < Duration::from_secs(20),
                "stays at {}\n{}",
                self.address(),
                self.text()
            );
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// Goes back to the page before.
    pub fn back(&self) {
        self.run(MARK, &[]);
        self.call("POST", &self.own("/back"), &json!({}));
        std::thread::sleep(Duration::from_millis(100));
    }

    fn spot(&self, xpath: &str) -> Value {
        let spot = self.run(SPOT, &[json!(xpath)]);
        assert!(
            spot.is_array(),
            "{xpath} at {}: {spot}\n{}",
            self.address(),
            self.text()
        );
        spot
    }

    /// Touches what an `XPath` finds, and follows where it leads. Script of the page is not needed for it.
    pub fn tap(&self, xpath: &str) {
        let spot = self.spot(xpath);
        let leads = spot[2] == json!(true);
        if leads {
            self.run(MARK, &[]);
        }
        let point = json!([{"x": spot[0], "y": spot[1]}]);
        self.own_command(
            "Input.dispatchTouchEvent",
            &json!({"type": "touchStart", "touchPoints": point}),
        );
        self.own_command(
            "Input.dispatchTouchEvent",
            &json!({"type": "touchEnd", "touchPoints": []}),
        );
        if leads {
            self.wait();
        }
    }

    /// Touches a button or a link by its words.
    pub fn tap_words(&self, words: &str) {
        self.tap(&format!(
            "//*[self::button or self::a or self::label or self::summary][contains(normalize-space(.), \"{words}\")]"
        ));
    }

    /// Types into the field that an `XPath` finds, behind what stands there.
    pub fn fill(&self, xpath: &str, text: &str) {
        self.tap(xpath);
        self.run(
            "const e = document.activeElement; e.setSelectionRange(e.value.length, e.value.length)",
            &[],
        );
        self.write(text);
    }

    /// Types where the focus is.
    pub fn write(&self, text: &str) {
        self.own_command("Input.insertText", &json!({"text": text}));
    }

    /// Gives a file to the field of the page that takes one.
    pub fn choose_file(&self, path: &str) {
        let field = self.call(
            "POST",
            &self.own("/element"),
            &json!({"using": "css selector", "value": "input[type=file]"}),
        );
        let sent = self.own(&format!("/element/{}/value", id(&field)));
        self.call("POST", &sent, &json!({"text": path}));
    }

    /// What stands on the page.
    pub fn text(&self) -> String {
        let text = self.tried_run("return document.body.innerText");
        text.ok()
            .and_then(|t| t.as_str().map(str::to_owned))
            .unwrap_or_default()
    }

    /// Presses a key.
    pub fn key(&self, key: &str) {
        let (code, number, text) = match key {
            "Tab" => ("Tab", 9, ""),
            "Enter" => ("Enter", 13, "\r"),
            _ => ("Space", 32, " "),
        };
        let down = json!({"type": "keyDown", "key": key, "code": code, "windowsVirtualKeyCode": number, "text": text});
        self.own_command("Input.dispatchKeyEvent", &down);
        let up =
            json!({"type": "keyUp", "key": key, "code": code, "windowsVirtualKeyCode": number});
        self.own_command("Input.dispatchKeyEvent", &up);
    }

    /// Presses Enter and follows where it leads.
    pub fn enter(&self) {
        self.run(MARK, &[]);
        self.key("Enter");
        self.wait();
    }

    /// Presses Tab until what has the focus holds these words or has this value, and asserts that the focus is seen.
    pub fn tab_to(&self, words: &str) {
        for _ in 0..160 {
            self.key("Tab");
            let active = self.run(ACTIVE, &[]);
            let read = |n: usize| active[n].as_str().unwrap_or_default();
            if read(0).contains(words) || read(1).contains(words) || read(2) == words {
                assert_eq!(read(3), "solid", "the focus on {words} is not seen");
                return;
            }
        }
        panic!(
            "{words} is never reached by Tab at {}\n{}",
            self.address(),
            self.text()
        );
    }

    /// Runs a piece of script as the driver, not the page.
    pub fn run(&self, script: &str, arguments: &[Value]) -> Value {
        self.call(
            "POST",
            &self.own("/execute/sync"),
            &json!({"script": script, "args": arguments}),
        )
    }

    fn tried_run(&self, script: &str) -> Result<Value, String> {
        self.tried(
            "POST",
            &self.own("/execute/sync"),
            &json!({"script": script, "args": []}),
        )
    }

    /// The same, for a piece that calls its last argument when it is done.
    pub fn run_later(&self, script: &str) -> Value {
        self.call(
            "POST",
            &self.own("/execute/async"),
            &json!({"script": script, "args": []}),
        )
    }

    /// A command of the browser's own protocol.
    pub fn own_command(&self, command: &str, parameters: &Value) -> Value {
        let body = json!({"cmd": command, "params": parameters});
        self.call("POST", &self.own("/goog/cdp/execute"), &body)
    }

    /// Every address that pages asked for since this was called last, their own among them, whether an answer came or not.
    pub fn requested(&self) -> Vec<String> {
        let kind = json!({"type": "performance"});
        let log = self.call("POST", &self.own("/se/log"), &kind);
        let events = log.as_array().expect("a log").iter();
        let told =
            events.filter_map(|e| serde_json::from_str::<Value>(e["message"].as_str()?).ok());
        told.filter(|e| e["message"]["method"] == "Network.requestWillBeSent")
            .filter_map(|e| {
                e["message"]["params"]["request"]["url"]
                    .as_str()
                    .map(str::to_owned)
            })
            .collect()
    }

    /// Paper and ink, or ink and paper.
    pub fn scheme(&self, scheme: &str) {
        let features = json!({"features": [{"name": "prefers-color-scheme", "value": scheme}]});
        self.own_command("Emulation.setEmulatedMedia", &features);
    }

    /// Width of the window in pixels.
    pub fn width(&self, width: u32) {
        self.own_command(
            "Emulation.setDeviceMetricsOverride",
            &json!({"width": width, "height": 844, "deviceScaleFactor": 1, "mobile": width < 600}),
        );
    }
}

/// The body of an answer, once all of it is there.
fn body_of(answer: &[u8]) -> Option<String> {
    let end = answer.windows(4).position(|w| w == b"\r\n\r\n")?;
    let head = String::from_utf8_lossy(&answer[..end]).to_lowercase();
    let length = head
        .lines()
        .find_map(|l| l.strip_prefix("content-length:"))?;
    let length: usize = length.trim().parse().ok()?;
    let body = answer.get(end + 4..end + 4 + length)?;
    Some(String::from_utf8_lossy(body).into_owned())
}

fn id(element: &Value) -> String {
    let first = element.as_object().and_then(|o| o.values().next());
    first.and_then(Value::as_str).unwrap_or_default().to_owned()
}

impl Drop for Browser {
    fn drop(&mut self) {
        if !self.session.is_empty() {
            let _ = self.tried("DELETE", &self.own(""), &Value::Null);
        }
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}
