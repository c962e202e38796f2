//! A tab: what a person does with a page, and what can be seen of it.

use super::chromium::Chromium;
use super::line::Line;
use crate::util::fresh;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde_json::{Value, json};
use std::cell::RefCell;
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// How high every screen is.
const HEIGHT: u32 = 740;

/// A tab with storage of its own; it is closed when it is dropped.
#[derive(Debug)]
pub(crate) struct Tab {
    chromium: &'static Chromium,
    line: RefCell<Line>,
    /// Its storage, by the browser's name for it.
    context: Value,
    /// Pages that were shown.
    folder: TempDir,
}

impl Drop for Tab {
    fn drop(&mut self) {
        // While a test fails, a second failure would end the whole run.
        if !std::thread::panicking() {
            self.chromium.ask("Target.disposeBrowserContext", &self.context);
        }
    }
}

impl Tab {
    /// An empty tab; `None`: there is no Chromium here, and none is required.
    pub(crate) fn open() -> Option<Self> {
        let chromium = Chromium::of_this_run()?;
        let context = chromium.ask("Target.createBrowserContext", &json!({}));
        let target = json!({"url": "about:blank", "browserContextId": context["browserContextId"]});
        let target = chromium.ask("Target.createTarget", &target);
        let line = chromium.line_to(target["targetId"].as_str().expect("a tab"));
        let folder = fresh();
        let tab = Self { chromium, line: RefCell::new(line), context, folder };
        for part in ["Page", "Runtime", "Log", "Network"] {
            tab.ask(&format!("{part}.enable"), &json!({}));
        }
        // Several tabs are used at once, and each is as if it were in front.
        tab.ask("Emulation.setFocusEmulationEnabled", &json!({"enabled": true}));
        Some(tab)
    }

    fn ask(&self, method: &str, params: &Value) -> Value {
        self.line.borrow_mut().ask(method, params)
    }

    /// A screen so wide, as of a desk.
    pub(crate) fn screen(&self, width: u32) {
        self.sized(width, false);
    }

    /// A screen so wide, as of a phone: it widens the page where something juts out.
    pub(crate) fn phone(&self, width: u32) {
        self.sized(width, true);
    }

    fn sized(&self, width: u32, is_phone: bool) {
        let size =
            json!({"width": width, "height": HEIGHT, "deviceScaleFactor": 1, "mobile": is_phone});
        self.ask("Emulation.setDeviceMetricsOverride", &size);
    }

    /// As it is printed, or as it is on a screen.
    pub(crate) fn media(&self, media: &str) {
        self.ask("Emulation.setEmulatedMedia", &json!({"media": media}));
    }

    /// Whether scripts of pages may run.
    pub(crate) fn scripts(&self, may_run: bool) {
        self.ask("Emulation.setScriptExecutionDisabled", &json!({"value": !may_run}));
    }

    /// A processor so many times slower.
    pub(crate) fn slowed(&self, times: u32) {
        self.ask("Emulation.setCPUThrottlingRate", &json!({"rate": times}));
    }

    /// No network at all.
    pub(crate) fn offline(&self) {
        let none = json!({"offline": true, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1});
        self.ask("Network.emulateNetworkConditions", &none);
    }

    /// Opens an address, and waits until it is loaded.
    pub(crate) fn go(&self, address: &str) {
        self.until_loaded(|| {
            let went = self.ask("Page.navigate", &json!({"url": address}));
            assert!(went["errorText"].is_null(), "{address}: {}", went["errorText"]);
        });
    }

    /// Opens a page that is written here.
    pub(crate) fn show(&self, page: &str) {
        let path = self.folder.path().join("page.html");
        std::fs::write(&path, page).expect("a file");
        self.go(&format!("file://{}", path.display()));
    }

    pub(crate) fn reload(&self) {
        self.until_loaded(|| drop(self.ask("Page.reload", &json!({}))));
    }

    /// Does what leads to another page, and waits until that is loaded.
    pub(crate) fn until_loaded(&self, leads: impl FnOnce()) {
        self.line.borrow_mut().forget();
        leads();
        self.line.borrow_mut().wait("Page.loadEventFired");
    }

    /// What an expression comes to in the page; a promise is waited for.
    pub(crate) fn value(&self, expression: &str) -> Value {
        let asked = json!({"expression": expression, "returnByValue": true, "awaitPromise": true});
        let mut answer = self.ask("Runtime.evaluate", &asked);
        let wrong = &answer["exceptionDetails"];
        assert!(wrong.is_null(), "{expression}: {wrong}");
        answer["result"]["value"].take()
    }

    /// The same, as text.
    pub(crate) fn text(&self, expression: &str) -> String {
        self.value(expression).as_str().unwrap_or_default().to_owned()
    }

    /// Waits until an expression holds in the page.
    pub(crate) fn wait(&self, expression: &str) {
        let since = Instant::now();
        while self.value(expression) != true {
            assert!(since.elapsed() < Duration::from_mins(1), "never: {expression}");
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// Words of errors since the last page was opened: of its scripts, and what its server or the browser
    /// keeps from it.
    pub(crate) fn errors(&self) -> Vec<String> {
        self.value("0");
        let line = self.line.borrow();
        let told = line.told().iter();
        let error = |told: &Value| {
            let said = &told["params"];
            match told["method"].as_str()? {
                "Runtime.exceptionThrown" => Some(said["exceptionDetails"].to_string()),
                // An icon is asked for by the browser, not by the page.
                "Log.entryAdded" if is_icon(&said["entry"]["url"]) => None,
                "Log.entryAdded" if said["entry"]["level"] == "error" => {
                    Some(said["entry"].to_string())
                }
                _ => None,
            }
        };
        told.filter_map(error).collect()
    }

    /// What the page asked of the network or of files since it was opened.
    pub(crate) fn requests(&self) -> Vec<String> {
        self.value("0");
        let line = self.line.borrow();
        let sent = line.told().iter().filter(|told| told["method"] == "Network.requestWillBeSent");
        let asked = sent.map(|sent| &sent["params"]).filter(|asked| asked["type"] != "Document");
        asked.map(|asked| asked["request"]["url"].as_str().unwrap_or_default().to_owned()).collect()
    }

    /// Status and kind (`Document`, `Image`) of what came from this address since the page was opened.
    pub(crate) fn answers(&self, address: &str) -> Vec<(u64, String)> {
        self.value("0");
        let line = self.line.borrow();
        let came = line.told().iter().filter(|told| told["method"] == "Network.responseReceived");
        let is_from = |url: &Value| url.as_str().is_some_and(|url| url.starts_with(address));
        let came = came.map(|came| &came["params"]).filter(|came| {
            let url = &came["response"]["url"];
            is_from(url) && !is_icon(url)
        });
        let status = |came: &Value| came["response"]["status"].as_u64().unwrap_or_default();
        came.map(|came| (status(came), came["type"].as_str().unwrap_or_default().to_owned()))
            .collect()
    }

    /// Clicks on the first visible element of these that has these words (none: any).
    pub(crate) fn click(&self, css: &str, words: &str) {
        let find = format!("({FIND})({}, {})", json!(css), json!(words));
        let place = self.value(&find);
        assert_eq!(place["wrong"], Value::Null, "{css} {words:?}: {}", place["wrong"]);
        for kind in ["mousePressed", "mouseReleased"] {
            let mouse = json!({
                "type": kind, "x": place["x"], "y": place["y"], "button": "left", "clickCount": 1,
            });
            self.ask("Input.dispatchMouseEvent", &mouse);
        }
    }

    /// Clicks on a link or button, and waits for the page that it leads to.
    pub(crate) fn follow(&self, css: &str, words: &str) {
        self.until_loaded(|| self.click(css, words));
    }

    /// Clicks into a box, and types there in place of what it has.
    pub(crate) fn fill(&self, css: &str, text: &str) {
        self.click(css, "");
        self.value("document.activeElement.select()");
        self.press("Delete");
        self.types(text);
    }

    /// Types letter by letter; a line's end is the Enter key.
    pub(crate) fn types(&self, text: &str) {
        for letter in text.chars() {
            if letter == '\n' {
                self.press("Enter");
                continue;
            }
            let key =
                json!({"type": "keyDown", "text": letter.to_string(), "key": letter.to_string()});
            self.ask("Input.dispatchKeyEvent", &key);
            self.ask(
                "Input.dispatchKeyEvent",
                &json!({"type": "keyUp", "key": letter.to_string()}),
            );
        }
    }

    /// Presses a key by its name.
    pub(crate) fn press(&self, key: &str) {
        let (code, text) = match key {
            "Tab" => (9, ""),
            "Enter" => (13, "\r"),
            " " => (32, " "),
            "Delete" => (46, ""),
            _ => panic!("no key {key}"),
        };
        let mut pressed = json!({"type": "keyDown", "key": key, "windowsVirtualKeyCode": code});
        if !text.is_empty() {
            pressed["text"] = text.into();
        }
        self.ask("Input.dispatchKeyEvent", &pressed);
        pressed["type"] = "keyUp".into();
        self.ask("Input.dispatchKeyEvent", &pressed);
    }

    /// How many sheets of this paper (`A4`, `Letter`) the page takes.
    pub(crate) fn sheets(&self, paper: &str) -> usize {
        // The page leaves the paper to the printer; here it is chosen.
        self.value(&format!(
            "document.getElementById('paper')?.remove(); document.head.insertAdjacentHTML('beforeend', \
             '<style id=paper>@page{{size:{paper} portrait}}</style>')"
        ));
        let printer = json!({"preferCSSPageSize": true, "printBackground": true});
        let bytes = decoded(&self.ask("Page.printToPDF", &printer));
        // Page objects are uncompressed in the files that Chromium writes.
        let page = b"/Type /Page\n";
        bytes.windows(page.len()).filter(|window| window == page).count()
    }

    /// The whole page as it is on the screen, as PNG.
    pub(crate) fn picture(&self) -> Vec<u8> {
        let size = self.ask("Page.getLayoutMetrics", &json!({}))["cssContentSize"].clone();
        let clip =
            json!({"x": 0, "y": 0, "width": size["width"], "height": size["height"], "scale": 1});
        let how = json!({"captureBeyondViewport": true, "clip": clip});
        decoded(&self.ask("Page.captureScreenshot", &how))
    }

    /// What a screen reader is told: the nodes of the accessibility tree, without those that it skips.
    pub(crate) fn read_out(&self) -> Vec<Value> {
        let tree = self.ask("Accessibility.getFullAXTree", &json!({}));
        let nodes = tree["nodes"].as_array().expect("a tree").clone();
        nodes.into_iter().filter(|node| node["ignored"] != true).collect()
    }
}

fn is_icon(url: &Value) -> bool {
    url.as_str().is_some_and(|url| url.ends_with("/favicon.ico"))
}

/// Bytes of an answer.
fn decoded(answer: &Value) -> Vec<u8> {
    STANDARD.decode(answer["data"].as_str().expect("data")).expect("base64")
}

/// Where to click, or why a person could not.
const FIND: &str = "(css, words) => {
  const all = [...document.querySelectorAll(css)].filter((e) => e.getClientRects().length > 0);
  const found = all.find((e) => words === '' || e.textContent.trim() === words);
  if (!found) return {wrong: 'none of ' + all.map((e) => e.textContent.trim()).join(' | ')};
  found.scrollIntoView({block: 'center', behavior: 'instant'});
  const box = found.getClientRects()[0];
  const [x, y] = [box.left + box.width / 2, box.top + box.height / 2];
  const there = document.elementFromPoint(x, y);
  return found.contains(there) ? {x, y} : {wrong: 'covered by ' + there?.outerHTML};
}";
