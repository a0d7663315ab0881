"""A page in real headless Chromium, driven by the W3C WebDriver protocol: what all browse_*.py share.

Standard library only; Chromium and ChromeDriver are installed by tools/check.
"""
import base64
import json
import os
import re
import shutil
import struct
import subprocess
import tempfile
import time
import urllib.error
import urllib.request
import zlib

HOSTILE = "<script>alert(1)</script>"  # a name that the tests give to a design

# Keys as WebDriver names them (W3C WebDriver, 17.4.2).
BACK, TAB, ENTER, ESCAPE, PAGE_DOWN = "\ue003", "\ue004", "\ue007", "\ue00c", "\ue00f"
LEFT, UP, RIGHT, SHIFT, SPACE = "\ue012", "\ue013", "\ue014", "\ue008", " "

# WCAG 2.2, success criterion 1.4.3: 4.5 to 1, large text 3 to 1. Text on a part's drawing and on
# buttons included; what is not shown is passed over.
CONTRAST = r"""
const channel = v => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; };
const read = text => { const m = text.match(/[\d.]+/g).map(Number); return [m[0], m[1], m[2], m.length > 3 ? m[3] : 1]; };
const over = (top, under) => [0, 1, 2].map(i => top[i] * top[3] + under[i] * (1 - top[3]));
const light = c => 0.2126 * channel(c[0]) + 0.7152 * channel(c[1]) + 0.0722 * channel(c[2]);
const faults = []; let seen = 0, least = 99;
const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
for (let node; (node = walker.nextNode());) {
  const e = node.parentElement, style = getComputedStyle(e);
  if (!node.data.trim() || !e.checkVisibility({checkVisibilityCSS: true}) || e.closest("script,style,title,desc,option,.unseen")) continue;
  const layers = [];
  for (let a = e; a; a = a.parentElement) { const c = read(getComputedStyle(a).backgroundColor); if (c[3] > 0) layers.push(c); if (c[3] === 1) break; }
  let under = [255, 255, 255];
  for (const layer of layers.reverse()) under = over(layer, under);
  const ink = over(read(e instanceof SVGElement ? style.fill : style.color), under);
  const a = light(ink), b = light(under), ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
  const size = parseFloat(style.fontSize), large = size >= 24 || (size >= 18.66 && +style.fontWeight >= 700);
  ++seen; least = Math.min(least, ratio);
  if (!(ratio >= (large ? 3 : 4.5))) faults.push(`${node.data.trim().slice(0, 40)}: ${ratio.toFixed(2)}`);
}
return {faults: [...new Set(faults)], seen, least};
"""


class Fault(Exception):
    pass


def expect(holds, sentence):
    if not holds:
        raise Fault(sentence)


class Browser:
    def __init__(self, downloads, flags=()):
        expect(shutil.which("chromium") and shutil.which("chromedriver"),
               "no chromium or chromedriver here: tools/check installs them")
        self.profile = tempfile.mkdtemp(prefix="sixtyfold-browser-")
        self.driver = subprocess.Popen([shutil.which("chromedriver"), "--port=0"],
                                       stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        port = None
        for line in self.driver.stdout:
            found = re.search(r"successfully on port (\d+)", line)
            if found:
                port = int(found.group(1))
                break
        expect(port, "ChromeDriver did not start")
        self.base = f"http://127.0.0.1:{port}"
        self.session = ""
        args = ["--headless=new", "--no-sandbox", "--disable-gpu", "--use-gl=angle",
                "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--disable-quic",
                "--no-first-run", "--disable-background-networking", "--disable-component-update",
                "--disable-sync", "--disable-dev-shm-usage", "--window-size=1280,900",
                f"--user-data-dir={self.profile}", *flags]
        reply = self.call("POST", "/session", {"capabilities": {"alwaysMatch": {
            "browserName": "chrome",
            "goog:loggingPrefs": {"browser": "ALL", "performance": "ALL"},
            "goog:chromeOptions": {"binary": shutil.which("chromium"), "args": args,
                                   "prefs": {"download.default_directory": downloads,
                                             "download.prompt_for_download": False}}}}})
        self.session = "/session/" + reply["sessionId"]

    def call(self, verb, path, body=None):
        data = json.dumps(body).encode() if body is not None else None
        request = urllib.request.Request(self.base + path, data=data, method=verb,
                                         headers={"Content-Type": "application/json"})
        try:
            with urllib.request.urlopen(request, timeout=120) as reply:
                return json.load(reply)["value"]
        except urllib.error.HTTPError as error:
            raise Fault(f"{path}: {json.load(error)['value']['message'].splitlines()[0]}")

    def do(self, verb, path, body=None):
        return self.call(verb, self.session + path, body)

    def open(self, url):
        self.do("POST", "/url", {"url": url})

    def run(self, script, *arguments):
        return self.do("POST", "/execute/sync", {"script": script, "args": list(arguments)})

    def cdp(self, command, **parameters):
        return self.do("POST", "/goog/cdp/execute", {"cmd": command, "params": parameters})

    def find(self, css):
        return list(self.do("POST", "/element", {"using": "css selector", "value": css}).values())[0]

    def click(self, css):
        # The page may still be laying itself out, or put a new list in an old one's place: a person
        # looks again and clicks where it is now.
        for attempt in range(5):
            self.run("document.querySelector(arguments[0]).scrollIntoView({block: 'center'})", css)
            try:
                self.do("POST", f"/element/{self.find(css)}/click", {})
                return self.settle()
            except (Exception, SystemExit) as fault:
                late = any(word in str(fault) for word in ("intercepted", "stale element"))
                if attempt == 4 or not late:
                    raise
                time.sleep(0.3)

    def settle(self):
        # A dialog tells that it was closed in a task of its own, after the click that closed it.
        self.do("POST", "/execute/async", {"script": "setTimeout(arguments[0], 40)", "args": []})

    def text(self, css):
        return self.run("return document.querySelector(arguments[0]).textContent.trim()", css)

    def shown(self, css):
        return self.run("const e = document.querySelector(arguments[0]);"
                        "return !!e && e.checkVisibility()", css)

    def type(self, css, text):
        self.do("POST", f"/element/{self.find(css)}/value", {"text": text})

    def choose(self, css, value):
        self.run("const e = document.querySelector(arguments[0]); e.value = arguments[1];"
                 "e.dispatchEvent(new Event('input', {bubbles: true}))", css, value)

    def press(self, *keys):
        """All down in this order, then up."""
        self.do("POST", "/actions", {"actions": [{"type": "key", "id": "keys", "actions": [
            *({"type": "keyDown", "value": key} for key in keys),
            *({"type": "keyUp", "value": key} for key in reversed(keys))]}]})

    def drag(self, css, dx, dy, pointer="mouse"):
        element = {"element-6066-11e4-a52e-4f735466cecf": self.find(css)}
        self.do("POST", "/actions", {"actions": [{"type": "pointer", "id": pointer,
                "parameters": {"pointerType": pointer}, "actions": [
                    {"type": "pointerMove", "origin": element, "x": 0, "y": 0, "duration": 0},
                    {"type": "pointerDown", "button": 0},
                    {"type": "pointerMove", "origin": element, "x": dx, "y": dy, "duration": 80},
                    {"type": "pointerUp", "button": 0}]}]})

    def shoot(self, path):
        if path:
            with open(path, "wb") as file:
                file.write(base64.b64decode(self.do("GET", "/screenshot")))

    def set_screen(self, width, height, mobile=False, ratio=1):
        self.cdp("Emulation.setDeviceMetricsOverride", width=width, height=height,
                 deviceScaleFactor=ratio, mobile=mobile)

    def set_theme(self, theme, behind_dialog=False):
        """By a click on the page's button, which a dialog may cover."""
        if self.run("return document.documentElement.dataset.theme") == theme:
            return
        if behind_dialog:
            self.run("document.getElementById('theme').click()")
        else:
            self.click("#theme")

    def colours_of(self, css):
        png = base64.b64decode(self.do("GET", f"/element/{self.find(css)}/screenshot"))
        return count_colours(png)

    def log(self, kind):
        """What was logged since this was asked last."""
        return self.do("POST", "/se/log", {"type": kind})

    def find_requests(self):
        """The URLs asked for since this was asked last."""
        messages = [json.loads(entry["message"])["message"] for entry in self.log("performance")]
        return [message["params"]["request"]["url"] for message in messages
                if message["method"] == "Network.requestWillBeSent"]

    def close(self):
        session, self.session = self.session, ""
        try:
            if session:
                self.call("DELETE", session)
        finally:
            self.driver.terminate()
            self.driver.wait(timeout=20)
            shutil.rmtree(self.profile, ignore_errors=True)


def count_colours(png):
    """Distinct colours of an 8-bit PNG, coarsely: enough to tell a picture from an empty box."""
    at, data, width, depth = 8, b"", 0, 4
    while at < len(png):
        length, kind = struct.unpack(">I4s", png[at:at + 8])
        body = png[at + 8:at + 8 + length]
        if kind == b"IHDR":
            width, _, _, colour = struct.unpack(">IIBB", body[:10])
            depth = {2: 3, 6: 4}[colour]
        data += body if kind == b"IDAT" else b""
        at += 12 + length
    raw, stride = zlib.decompress(data), width * depth
    last, colours = bytearray(stride), set()
    for start in range(0, len(raw), stride + 1):
        row, filter_type = bytearray(raw[start + 1:start + 1 + stride]), raw[start]
        for i in range(stride):
            a = row[i - depth] if i >= depth else 0
            b, c = last[i], last[i - depth] if i >= depth else 0
            if filter_type == 1:
                row[i] = (row[i] + a) & 255
            elif filter_type == 2:
                row[i] = (row[i] + b) & 255
            elif filter_type == 3:
                row[i] = (row[i] + (a + b) // 2) & 255
            elif filter_type == 4:
                pa, pb, pc = abs(b - c), abs(a - c), abs(a + b - 2 * c)
                row[i] = (row[i] + (a if pa <= pb and pa <= pc else b if pb <= pc else c)) & 255
        colours.update(tuple(v >> 4 for v in row[i:i + 3]) for i in range(0, stride, depth * 7))
        last = row
    return len(colours)


def holds_soon(condition, seconds=6):
    """A busy machine may draw late: asks for some seconds."""
    for _ in range(20 * seconds):
        if condition():
            return True
        time.sleep(0.05)
    return False


def wait_for(condition, sentence, seconds=60):
    if not holds_soon(condition, seconds):
        raise Fault(sentence)


def wait_for_file(path):
    wait_for(lambda: os.path.exists(path) and os.path.getsize(path), f"{path} was not saved")


def expect_contrast(browser, where, least_seen=10):
    found = browser.run(CONTRAST)
    expect(found["seen"] > least_seen, f"{where}: too little text was seen to judge its contrast")
    expect(not found["faults"], f"{where}: too little contrast: {found['faults'][:5]}")


def check_contrast(browser, where, least_seen=10, behind_dialog=True):
    """Dark and light; it is light afterwards."""
    for theme in ("dark", "light"):
        browser.set_theme(theme, behind_dialog)
        expect_contrast(browser, f"{where}, {theme}", least_seen)


def check_quiet(browser, allowed=("file:", "data:", "blob:", "chrome:"), opened=None):
    """Nothing was asked for but what is allowed (chrome: is the browser's own, such as the bubble
    that tells of a download), `opened` files where it is given, and nothing failed."""
    urls = browser.find_requests()
    strange = [url for url in urls if not url.startswith(allowed)]
    expect(not strange, f"the page asked for {strange[:3]}")
    files = sum(url.startswith("file:") for url in urls)
    expect(opened in (None, files), f"{files} files were opened: the page alone, {opened} times")
    errors = [entry["message"] for entry in browser.log("browser") if entry["level"] == "SEVERE"]
    expect(not errors, f"the console has errors: {errors[:3]}")


def run_checks(downloads, checks, shots=None, flags=()):
    """Calls each check with a browser of its own, by (check, flags of this one); prints the first
    fault, a picture of which goes into the folder `shots`. The exit status: 0 or 1."""
    for check, more in checks:
        browser = None
        try:
            browser = Browser(downloads, [*flags, *more])
            check(browser)
        except Fault as fault:
            print(fault)
            if browser and shots:
                browser.shoot(os.path.join(shots, "fault.png"))
            return 1
        finally:
            if browser:
                browser.close()
    print("everything held")
    return 0
