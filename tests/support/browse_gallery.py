#!/usr/bin/env python3
"""Uses a gallery page as a class would, in real headless Chromium, by the W3C WebDriver protocol.

browse_gallery.py PAGE DOWNLOADS [SHOTS]

PAGE needs at least five designs; one of them is called "<script>alert(1)</script>". Leaves
approval.csv, ranking.csv and the page's printed command for it, command.txt, in DOWNLOADS. Exit status 0 when everything held, 1 with the first
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
ENTER = "\ue007"

# Schulze 2011 (Social Choice and Welfare 36): 45 voters, tests/sources.md 7. E wins.
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


def holds_soon(condition):
    """A busy machine may draw late: asks for some seconds."""
    for _ in range(60):
        if condition():
            return True
        time.sleep(0.1)
    return False


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
    order = browser.run("return [...document.querySelectorAll('.card')].map(c => +c.dataset.number)")
    browser.click(f".card[data-number='{order[0]}'] .turn-button")
    browser.click("#view-next")
    expect(browser.text("#view-title").startswith(f"{order[1]} "),
           "the next design is not the next one shown")
    browser.click("#view-close")
    browser.choose("#sort", "number")
    browser.choose("#filter-text", "script")
    expect(browser.run(visible) == 1, "the search by name finds one design")
    browser.choose("#filter-text", "")

    browser.click(".card[data-number='1'] .turn-button")
    turn = "return document.querySelector('canvas').dataset.turn"
    expect(browser.run("return document.activeElement.tagName") == "CANVAS",
           "the arrow keys do not turn the view as soon as it is open")
    holds_soon(lambda: browser.run(turn))
    first = browser.run(turn)
    expect(first, "nothing was drawn in three dimensions")
    expect(browser.colours_of("canvas") > 20, "the view in three dimensions is empty")
    browser.shoot(shots and shots + "/view.png")
    seen = [first]
    for act in (lambda: browser.drag("canvas", 80, 30), lambda: browser.press("\ue014"),
                lambda: browser.drag("canvas", -60, 10, "touch"),
                lambda: browser.click("[data-turn='0,1']")):
        act()
        holds_soon(lambda: browser.run(turn) != seen[-1])
        seen.append(browser.run(turn))
    expect(len(set(seen)) == 5, "mouse, key, finger and button do not all turn the view")
    check_contrast(browser, "large view")
    browser.click("#view-reset")
    expect(holds_soon(lambda: browser.run(turn) == first), "reset does not turn the view back")
    browser.press("\ue00c")
    expect(not browser.shown("#view"), "Escape does not close the large view")

    browser.click(".card[data-number='1'] .compare-button")
    browser.click(".card[data-number='2'] .compare-button")
    browser.click("#compare-open")
    time.sleep(0.3)
    expect(browser.run("return document.querySelectorAll('.stage .choose').length") == 2,
           "a design can not be picked while it is compared")
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
        head, *rows, end = file.read().split("\r\n")
    identity = browser.run("return JSON.parse(document.getElementById('data').textContent).id")
    votes = sorted(row.split(",")[2] for row in rows)
    codes = [row.split(",")[0] for row in rows]
    expect(head == "ballot,class,vote,gallery" and not end and votes == ["1 2", "2", "2 3"],
           f"the saved ballots differ: {head} {rows}")
    expect(all(row.endswith("," + identity) for row in rows), "a ballot names another gallery")
    expect(codes == sorted(codes) and len(set(codes)) == 3, "the ballots are not in order of lot")
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
    browser.click("#paper-many summary")
    browser.type("#paper-text", "1>2>1")
    browser.click("#paper-add")
    expect("named twice" in browser.text("#paper-fault"), "a spoiled paper ballot is not refused")
    lines = [">".join(str(ord(letter) - 64) for letter in order)
             for times, order in PROFILE for _ in range(times)]
    browser.run("document.getElementById('paper-text').value = arguments[0]", "\n".join(lines))
    browser.click("#paper-add")
    browser.click("#paper-close")
    expect(browser.text("#voter") == "Voter 46", "45 paper ballots are not all in")
    confirm("#close-vote")
    expect(browser.text("#result-title").endswith("wins (number 5)"),
           "Schulze's E does not win: " + browser.text("#result-title"))
    browser.click("#export-result")
    wait_for(downloads + "/ballots.csv")
    os.rename(downloads + "/ballots.csv", downloads + "/ranking.csv")
    with open(downloads + "/command.txt", "w") as file:
        file.write(browser.text("#result-next code"))

    # The same file again adds nothing; one of another gallery is refused.
    places = "return [...document.querySelectorAll('#result-list li')].map(e => e.textContent)"
    before = browser.run(places)
    browser.type("#files", downloads + "/ranking.csv")
    holds_soon(lambda: browser.shown("#ask"))
    expect("0 ballots were added" in browser.text("#ask-text"), browser.text("#ask-text"))
    browser.click("#ask-yes")
    expect(browser.run(places) == before, "ballots that were read before count twice")
    with open(downloads + "/other.csv", "w") as file:
        file.write("ballot,vote,gallery\n1,2,gffffffffffffffff\n")
    browser.type("#files", downloads + "/other.csv")
    holds_soon(lambda: browser.shown("#ask"))
    expect("another gallery" in browser.text("#ask-text"), "another gallery's ballots are taken")
    browser.click("#ask-yes")


def start_vote(browser, page, **settings):
    """A new vote, all old ones forgotten."""
    browser.run("localStorage.clear(); sessionStorage.clear()")
    browser.open(page)
    browser.click("#vote-open")
    if settings.get("ranking"):
        browser.click("#vote-start input[value=ranking]")
    if "of" in settings:
        browser.type("#start-class", settings["of"])
    if "code" in settings:
        browser.type("#start-code", settings["code"])
    if settings.get("shuffle"):
        browser.click("#start-shuffle")
    browser.press(ENTER) if settings.get("enter") else browser.click("#vote-start-yes")
    browser.settle()


def hold_voting_day(browser, page):
    order = "return [...document.querySelectorAll('.card:not([hidden])')].map(c => +c.dataset.number)"
    start_vote(browser, page, of="5a", code="elm", shuffle=True)
    first = browser.run(order)
    expect(sorted(first) == sorted(set(first)), "shuffling loses designs")
    orders = {tuple(first)}
    for _ in range(4):
        browser.choose("#filter-text", "script")
        browser.choose("#sort", "panels")
        browser.click(".card:not([hidden]) .turn-button")
        browser.click("#view-choose")
        browser.click("#view-close")
        browser.click("#cast")
        browser.press(ENTER)
        browser.settle()
        expect(not browser.shown("#ask"), "Enter does not call the next voter")
        # On a busy machine the dialog tells late that it was closed.
        for _ in range(50):
            if browser.run("return document.activeElement.matches('.card:not([hidden]) .choose')"):
                break
            browser.settle()
        else:
            raise Fault("the focus is not on the next voter's first choice")
        expect(len(browser.run(order)) == len(first), "the filter stays for the next voter")
        orders.add(tuple(browser.run(order)))
    expect(len(orders) > 1, "every voter sees the same order")
    browser.click("#cast")  # nothing picked
    browser.press(ENTER)
    browser.settle()
    browser.click("#ask-yes")
    expect(browser.text("#voter") == "Voter 6, 5a", "a blank ballot is not taken")

    browser.click("#lead summary")
    expect(browser.shown("#code-box"), "the leader's menu asks for no code")
    browser.type("#code-text", "oak")
    browser.press(ENTER)
    browser.settle()
    expect(browser.shown("#code-box") and browser.text("#code-fault"), "a wrong code opens the menu")
    browser.run("document.getElementById('code-text').value = ''")
    browser.type("#code-text", "elm")
    browser.press(ENTER)
    browser.settle()
    expect(browser.shown("#close-vote"), "the right code does not open the menu")
    browser.click("#close-vote")
    browser.click("#ask-yes")
    expect("1 blank" in browser.text("#result-rule"), "the blank ballot is not told")
    hostile = browser.text("#result-title")
    expect(HOSTILE in hostile, f"who was picked by all does not win: {hostile}")

    # Late slips, then a tie, then a run-off among the tied.
    browser.click("#paper-late")
    for _ in range(4):
        browser.click("#slip-fields label:nth-child(1)")
        browser.press(ENTER)
        browser.settle()
    browser.click("#slip-add")
    expect("Nothing stands" in browser.text("#slip-fault"), "an empty slip is taken for a vote")
    browser.click("#paper-close")
    expect("4 added after closing" in browser.text("#result-rule"), browser.text("#result-rule"))
    expect(browser.text("#result-title").startswith("A tie: 1 "), browser.text("#result-title"))
    browser.click("#runoff")
    browser.click("#ask-yes")
    expect(sorted(browser.run(order)) == [1, 4], f"the run-off is among {browser.run(order)}")


def share_between_windows(browser, page):
    start_vote(browser, page, ranking=True, enter=True)
    expect(browser.shown("#bar"), "Enter does not start the vote")
    first = browser.do("GET", "/window")
    second = browser.do("POST", "/window/new", {"type": "tab"})["handle"]

    def go(window):
        browser.do("POST", "/window", {"handle": window})
        time.sleep(0.3)

    def cast(number):
        browser.click(f".card[data-number='{number}'] .choose")
        browser.click("#cast")
        browser.click("#ask-yes")

    go(second)
    browser.open(page)
    go(first)
    cast(1)
    go(second)
    expect(holds_soon(lambda: browser.text("#voter") == "Voter 2"),
           "a second window does not see the ballot of the first")
    cast(2)
    go(first)
    cast(3)
    go(second)
    browser.click(".card[data-number='2'] .choose")
    go(first)
    browser.click("#lead summary")
    browser.click("#close-vote")
    expect(browser.text("#ask-text").startswith("3 ballots"), browser.text("#ask-text"))
    browser.click("#ask-yes")
    expect("3 ballots counted" in browser.text("#result-rule"), "windows do not share their ballots")
    go(second)
    expect(holds_soon(lambda: not browser.shown("#bar")),
           "a second window goes on after the vote was closed")
    browser.do("DELETE", "/window")
    go(first)


def read_as_typed(browser, page):
    """Every line typed or pasted counts as meant, or is refused with a reason."""
    start_vote(browser, page)
    browser.click("#lead summary")
    browser.click("#paper")
    browser.click("#paper-many summary")

    def paste(text):
        browser.run("document.getElementById('paper-text').value = arguments[0]", text)
        browser.click("#paper-add")
        return browser.text("#paper-fault"), browser.text("#paper-said")

    def votes():
        return sorted(browser.run("return Object.keys(localStorage)"
                                  ".filter(key => key.startsWith('sixtyfold-ballot-'))"
                                  ".map(key => localStorage.getItem(key))"))
    for text, numbers in (("1 3", [0, 2]), ("1,3", [0, 2]), ("ballot,vote\n7,1 3", [0, 2]),
                          ("1;1 3", [0, 2]), ('9,"1,3"', [0, 2]),
                          ("vbcdfghjkz\t1+3", [0, 2])):
        browser.run("Object.keys(localStorage).filter(key => key.startsWith('sixtyfold-ballot-'))"
                    ".forEach(key => localStorage.removeItem(key))")
        fault, said = paste(text)
        kept = [json.loads(vote)["places"] for vote in votes()]
        expect(not fault and kept == [[numbers]], f"{text!r} became {kept}: {fault}")
    before = votes()
    for text in ("1,3\n2,5", "ballot,vote\n1,3,5", "1>3", "9", "1 1", "vote\n1\n1>2\n3"):
        fault, said = paste(text)
        expect(fault and votes() == before, f"{text!r} was taken: {votes()}")
    browser.click("#paper-close")


def check_narrow(browser, page, shots):
    for width in (360, 1280, 1920):
        browser.cdp("Emulation.setDeviceMetricsOverride", width=width, height=900,
                    deviceScaleFactor=1, mobile=False)
        wide = browser.run("return document.documentElement.scrollWidth")
        expect(wide <= width, f"at {width} px the page is {wide} px wide")
        cut = browser.run("return [...document.querySelectorAll('.card .facts > div')].filter(e =>"
                          " e.lastChild.getBoundingClientRect().right >"
                          " e.closest('.card').getBoundingClientRect().right).length")
        expect(not cut, f"at {width} px {cut} facts are cut off at the card's edge")
        for dark in (False, True):
            browser.run("if ((document.documentElement.dataset.theme === 'dark') !== arguments[0])"
                        " document.getElementById('theme').click()", dark)
            browser.shoot(shots and f"{shots}/page-{width}-{'dark' if dark else 'light'}.png")
    # On a phone the bar leaves two thirds of the screen, however long the ranking.
    start_vote(browser, page, ranking=True)
    browser.cdp("Emulation.setDeviceMetricsOverride", width=360, height=740, deviceScaleFactor=1,
                mobile=False)
    for number in range(1, 6):
        browser.click(f".card[data-number='{number}'] .choose")
    share = browser.run("return document.getElementById('bar').offsetHeight / innerHeight")
    expect(share <= 1 / 3, f"the bar takes {share:.2f} of a phone's screen")
    browser.shoot(shots and f"{shots}/phone.png")
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
    browser.choose("#price", "2,5")
    cost = float(browser.run(fact, "cost").replace(",", ""))
    expect(cost == 2.5 * int(browser.run(fact, "sheets")), f"a price with a comma makes {cost}")
    browser.choose("#price", "-1")
    expect(browser.run(fact, "cost") == "type a price", "a cost is shown for a price below 0")


def count_pages(browser, width, height):
    """Sheets of paper, in inches, that the page prints on, as browsers print: without backgrounds."""
    pdf = browser.cdp("Page.printToPDF", printBackground=False, paperWidth=width,
                      paperHeight=height)["data"]
    return len(re.findall(rb"/Type\s*/Page\b", base64.b64decode(pdf)))


# What prints, under print's rules: the smallest letters in points, and numbers that are no ink.
PRINTED = r"""
let least = 99, text = "";
const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
for (let node; (node = walker.nextNode());) {
  const e = node.parentElement;
  if (!node.data.trim() || !e.checkVisibility({checkVisibilityCSS: true}) || e.closest("script,style,svg,.unseen")) continue;
  const size = parseFloat(getComputedStyle(e).fontSize) * 0.75;
  if (size < least) { least = size; text = node.data.trim(); }
}
const numbers = [...document.querySelectorAll(".number")].map(e => getComputedStyle(e));
const pale = numbers.filter(s => s.color !== "rgb(0, 0, 0)" || s.backgroundColor !== "rgba(0, 0, 0, 0)").length;
return {least, text, pale};
"""


def check_print(browser):
    count = browser.run("return document.querySelectorAll('.card').length")
    for name, width, height in (("A4", 8.27, 11.69), ("A3", 11.69, 16.54), ("Letter", 8.5, 11)):
        pages = count_pages(browser, width, height)
        expect(count > 24 or pages == 1, f"the poster takes {pages} sheets of {name}")
    for many in (False, True):
        browser.cdp("Emulation.setEmulatedMedia", media="print")
        browser.run("document.body.classList.toggle('many', arguments[0])", many)
        printed = browser.run(PRINTED)
        browser.cdp("Emulation.setEmulatedMedia", media="")
        expect(printed["least"] >= 8, f"{printed['least']} pt is printed: {printed['text']}")
        expect(not printed["pale"], "numbers need background graphics to be seen on paper")
    browser.run("document.body.classList.remove('many')")
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
        hold_voting_day(browser, page)
        share_between_windows(browser, page)
        read_as_typed(browser, page)
        browser.run("localStorage.clear()")
        browser.open(page)
        check_price(browser)
        check_print(browser)
        check_narrow(browser, page, shots)
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
