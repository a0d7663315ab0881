#!/usr/bin/env python3
"""Uses a gallery page as a class would, in real headless Chromium, by the W3C WebDriver protocol.

browse_gallery.py PAGE DOWNLOADS [SHOTS]

PAGE needs at least five designs; one of them is called "<script>alert(1)</script>". Leaves
approval.csv and ranking.csv in DOWNLOADS. Exit status 0 when everything held, 1 with the first
fault, also when there is no Chromium or ChromeDriver here. Standard library only.
"""
import base64
import json
import os
import re
import shutil
import struct
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
import zlib

HOSTILE = "<script>alert(1)</script>"

# Schulze 2011 (Social Choice and Welfare 36): 45 voters, design/check-values.md section 7. E wins.
PROFILE = [(5, "ACBED"), (5, "ADECB"), (8, "BEDAC"), (3, "CABED"), (7, "CAEBD"), (2, "CBADE"),
           (7, "DCEBA"), (8, "EBADC")]

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
        # The page may still be laying itself out: a person looks again and clicks where it is now.
        for attempt in range(5):
            self.run("document.querySelector(arguments[0]).scrollIntoView({block: 'center'})", css)
            try:
                self.do("POST", f"/element/{self.find(css)}/click", {})
                return self.settle()
            except (Exception, SystemExit) as fault:
                if attempt == 4 or "intercepted" not in str(fault):
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

    def press(self, key):
        self.do("POST", "/actions", {"actions": [{"type": "key", "id": "keys", "actions": [
            {"type": "keyDown", "value": key}, {"type": "keyUp", "value": key}]}]})

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

    def colours_of(self, css):
        png = base64.b64decode(self.do("GET", f"/element/{self.find(css)}/screenshot"))
        return count_colours(png)

    def log(self, kind):
        return self.do("POST", "/se/log", {"type": kind})

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


def wait_for(path):
    for _ in range(100):
        if os.path.exists(path) and os.path.getsize(path):
            return
        time.sleep(0.1)
    raise Fault(f"{path} was not saved")


def check_contrast(browser, where):
    for dark in (False, True):
        if (browser.run("return document.documentElement.dataset.theme") == "dark") != dark:
            browser.run("document.getElementById('theme').click()")
        found = browser.run(CONTRAST)
        expect(found["seen"] > 10, f"{where}: too little text was seen to judge its contrast")
        expect(not found["faults"], f"{where}, {'dark' if dark else 'light'}: too little contrast: "
                                    f"{found['faults'][:5]}")
    browser.run("document.getElementById('theme').click()")


def look(browser, shots):
    count = browser.run("return document.querySelectorAll('.card').length")
    expect(count >= 5, "the page needs at least five designs")
    names = browser.run("return [...document.querySelectorAll('.card h2')].map(e => e.textContent)")
    expect(HOSTILE in names, "the hostile name is not shown as it is")
    check_contrast(browser, "cards")

    symmetries = browser.run("return [...document.querySelectorAll('#filter-symmetry option')]"
                             ".map(o => o.value).filter(Boolean)")
    visible = "return [...document.querySelectorAll('.card')].filter(c => !c.hidden).length"
    parts = []
    for symmetry in symmetries:
        browser.choose("#filter-symmetry", symmetry)
        parts.append(browser.run(visible))
    expect(sum(parts) == count and all(0 < part for part in parts),
           f"the symmetries do not divide the {count} designs: {parts}")
    browser.choose("#filter-symmetry", "")
    browser.choose("#sort", "panels")
    panels = browser.run("return [...document.querySelectorAll('.card dd:first-of-type')]"
                         ".filter(e => e.previousSibling.textContent === 'panels').map(e => +e.textContent)")
    expect(len(panels) == count and panels == sorted(panels), f"not sorted by panels: {panels}")
    browser.choose("#sort", "number")
    browser.choose("#filter-text", "script")
    expect(browser.run(visible) == 1, "the search by name finds one design")
    browser.choose("#filter-text", "")

    browser.click(".card[data-number='1'] .turn-button")
    turn = "return document.querySelector('canvas').dataset.turn"
    time.sleep(0.4)
    expect(browser.run("return document.activeElement.tagName") == "CANVAS",
           "the arrow keys do not turn the view as soon as it is open")
    first = browser.run(turn)
    expect(first, "nothing was drawn in three dimensions")
    expect(browser.colours_of("canvas") > 20, "the view in three dimensions is empty")
    browser.shoot(shots and shots + "/view.png")
    seen = [first]
    for act in (lambda: browser.drag("canvas", 80, 30), lambda: browser.press("\ue014"),
                lambda: browser.drag("canvas", -60, 10, "touch"),
                lambda: browser.click("[data-turn='0,1']")):
        act()
        time.sleep(0.15)
        seen.append(browser.run(turn))
    expect(len(set(seen)) == 5, "mouse, key, finger and button do not all turn the view")
    check_contrast(browser, "large view")
    browser.click("#view-reset")
    time.sleep(0.15)
    expect(browser.run(turn) == first, "reset does not turn the view back")
    browser.press("\ue00c")
    expect(not browser.shown("#view"), "Escape does not close the large view")

    browser.click(".card[data-number='1'] .compare-button")
    browser.click(".card[data-number='2'] .compare-button")
    browser.click("#compare-open")
    time.sleep(0.3)
    expect(browser.run("return document.querySelectorAll('.stage canvas').length") == 2,
           "two designs do not stand side by side")
    browser.shoot(shots and shots + "/compare.png")
    browser.click("#view-close")


def vote(browser, page, downloads, shots):
    def cast(numbers):
        for number in numbers:
            browser.click(f".card[data-number='{number}'] .choose")
        browser.click("#cast")
        browser.click("#ask-yes")

    def lead(button):
        if not browser.shown(button):
            browser.click("#lead summary")
        browser.click(button)

    def confirm(button):
        lead(button)
        browser.click("#ask-yes")

    browser.click("#vote-open")
    check_contrast(browser, "start of a vote")
    browser.click("#vote-start-yes")
    cast([1, 2])
    cast([3])
    confirm("#undo")
    expect(browser.text("#voter") == "Voter 2", "undo does not take one ballot back")
    cast([2])
    browser.click(".card[data-number='3'] .choose")
    browser.open(page)
    expect(browser.text("#voter") == "Voter 3", "the ballots do not survive a reload")
    expect(browser.run("return document.querySelector('.card.picked').dataset.number") == "3",
           "the open ballot does not survive a reload")
    check_contrast(browser, "voting")
    expect(not browser.shown("#result"), "the standing is shown before the vote is closed")
    expect("wins" not in browser.run("return document.body.innerText"), "the standing is told early")
    cast([2])
    browser.shoot(shots and shots + "/vote.png")
    lead("#export")
    wait_for(downloads + "/ballots.csv")
    os.rename(downloads + "/ballots.csv", downloads + "/approval.csv")
    with open(downloads + "/approval.csv", newline="") as file:
        expect(file.read() == "ballot,vote\r\n1,1 2\r\n2,2\r\n3,2 3\r\n", "the saved ballots differ")
    confirm("#close-vote")
    expect(browser.text("#result-title").endswith("wins (number 2)"),
           "the design with three picks of three does not win: " + browser.text("#result-title"))
    check_contrast(browser, "result")
    browser.shoot(shots and shots + "/result.png")

    browser.click("#vote-new")
    browser.click("#ask-yes")
    browser.click("#vote-open")
    browser.click("input[value=ranking]")
    browser.click("#vote-start-yes")
    lead("#paper")
    browser.type("#paper-text", "1>2>1")
    browser.click("#paper-add")
    expect("named twice" in browser.text("#paper-fault"), "a spoiled paper ballot is not refused")
    lines = [">".join(str(ord(letter) - 64) for letter in order)
             for times, order in PROFILE for _ in range(times)]
    browser.run("document.getElementById('paper-text').value = arguments[0]", "\n".join(lines))
    browser.click("#paper-add")
    expect(browser.text("#voter") == "Voter 46", "45 paper ballots are not all in")
    confirm("#close-vote")
    expect(browser.text("#result-title").endswith("wins (number 5)"),
           "Schulze's E does not win: " + browser.text("#result-title"))
    browser.click("#export-result")
    wait_for(downloads + "/ballots.csv")
    os.rename(downloads + "/ballots.csv", downloads + "/ranking.csv")


def check_narrow(browser, shots):
    for width in (360, 1280, 1920):
        browser.cdp("Emulation.setDeviceMetricsOverride", width=width, height=900,
                    deviceScaleFactor=1, mobile=False)
        wide = browser.run("return document.documentElement.scrollWidth")
        expect(wide <= width, f"at {width} px the page is {wide} px wide")
        for dark in (False, True):
            browser.run("if ((document.documentElement.dataset.theme === 'dark') !== arguments[0])"
                        " document.getElementById('theme').click()", dark)
            browser.shoot(shots and f"{shots}/page-{width}-{'dark' if dark else 'light'}.png")
    browser.cdp("Emulation.clearDeviceMetricsOverride")


def check_price(browser):
    """The cost on a card is its sheets times the price of a sheet."""
    fact = ("return [...document.querySelectorAll('.card[data-number=\"1\"] .facts div')]"
            ".find(e => e.firstChild.textContent === arguments[0]).lastChild.textContent")
    browser.choose("#price", "")
    expect(browser.run(fact, "cost") == "type a price", "a cost is shown without a price")
    browser.choose("#price", "250")
    cost = int(re.sub(r"\D", "", browser.run(fact, "cost")))
    expect(cost == 250 * int(browser.run(fact, "sheets")), f"the cost is {cost}")
    browser.choose("#price", "-1")
    expect(browser.run(fact, "cost") == "type a price", "a cost is shown for a price below 0")


def count_pages(browser, width, height):
    """Sheets of paper, in inches, that the page prints on."""
    pdf = browser.cdp("Page.printToPDF", printBackground=True, paperWidth=width,
                      paperHeight=height)["data"]
    return len(re.findall(rb"/Type\s*/Page\b", base64.b64decode(pdf)))


def check_print(browser):
    count = browser.run("return document.querySelectorAll('.card').length")
    for name, width, height in (("A4", 8.27, 11.69), ("Letter", 8.5, 11)):
        pages = count_pages(browser, width, height)
        expect(count > 24 or pages == 1, f"the poster takes {pages} sheets of {name}")
    browser.run("window.print = () => {}")
    browser.click("#print-slips")
    browser.run("document.getElementById('slip-count').value = 7")
    browser.click("#slips-yes")
    time.sleep(0.2)
    slips = browser.run("return document.querySelectorAll('.slip').length")
    expect(slips == 7, f"{slips} ballot slips were made for 7 voters")
    expect(count_pages(browser, 8.27, 11.69) >= 1, "the ballot slips do not print")
    browser.run("window.dispatchEvent(new Event('afterprint'))")


def check_quiet(browser):
    asked = set()
    for entry in browser.log("performance"):
        message = json.loads(entry["message"])["message"]
        if message["method"] == "Network.requestWillBeSent":
            asked.add(message["params"]["request"]["url"].split(":", 1)[0])
    # chrome: is the browser's own, such as the bubble that tells of a download.
    expect(asked <= {"file", "data", "blob", "chrome"}, f"the page asked the network: {asked}")
    errors = [entry["message"] for entry in browser.log("browser") if entry["level"] == "SEVERE"]
    expect(not errors, f"the console has errors: {errors[:3]}")


def main():
    if not shutil.which("chromium") or not shutil.which("chromedriver"):
        print("no chromium or chromedriver here: tools/check installs them")
        return 1
    page, downloads = "file://" + os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    shots = os.path.abspath(sys.argv[3]) if len(sys.argv) > 3 else ""
    browser = None
    try:
        browser = Browser(downloads)
        browser.log("performance")  # what the browser itself loaded before the page
        browser.open(page)
        look(browser, shots)
        vote(browser, page, downloads, shots)
        browser.run("localStorage.clear()")
        browser.open(page)
        check_price(browser)
        check_print(browser)
        check_narrow(browser, shots)
        check_quiet(browser)
        browser.close()
        browser = Browser(downloads, ["--disable-3d-apis"])
        browser.open(page)
        browser.click(".card[data-number='1'] .turn-button")
        expect(browser.shown(".stage .still svg"), "without WebGL the drawing is not shown instead")
    except Fault as fault:
        if browser and shots:
            browser.shoot(shots + "/fault.png")
        print(fault)
        return 1
    finally:
        if browser:
            browser.close()
    print("everything held")
    return 0


if __name__ == "__main__":
    sys.exit(main())
