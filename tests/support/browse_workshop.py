#!/usr/bin/env python3
"""From an empty folder to a printed kit in the workshop, in real headless Chromium
(browser.py), with no command typed.

browse_workshop.py PROGRAM FOLDER mouse|touch|keyboard [SHOTS]

FOLDER is not there yet. Whatever is done is done by mouse, by a finger or by keys alone. By mouse
also all else the page has. Exit status 0 when everything held, 1 with the first fault.
"""
import json
import os
import re
import signal
import subprocess
import sys
import time
import urllib.request

sys.dont_write_bytecode = True
from browser import (BACK, ENTER, ESCAPE, SPACE, TAB, Fault, expect, expect_contrast, run_checks,
                     wait_for)


class Mouse:
    def __init__(self, browser):
        self.browser = browser

    def press(self, css):
        self.browser.click(css)

    def type(self, css, text):
        self.browser.click(css)
        self.browser.run("document.querySelector(arguments[0]).select()", css)
        self.browser.type(css, text)


class Touch(Mouse):
    def __init__(self, browser):
        super().__init__(browser)
        browser.set_screen(390, 844, mobile=True, ratio=2)
        browser.cdp("Emulation.setTouchEmulationEnabled", enabled=True, maxTouchPoints=5)

    def press(self, css):
        browser = self.browser
        browser.run("document.querySelector(arguments[0]).scrollIntoView({block: 'center'})", css)
        time.sleep(0.2)
        box = browser.run("const b = document.querySelector(arguments[0]).getBoundingClientRect();"
                          "return [b.left, b.top, b.width, b.height]", css)
        expect(min(box[2:]) >= 44 or css.startswith("summary"),
               f"{css} is {box[2]:.0f} x {box[3]:.0f} pixels: too small for a finger")
        at = [{"x": box[0] + box[2] / 2, "y": box[1] + box[3] / 2}]
        browser.cdp("Input.dispatchTouchEvent", type="touchStart", touchPoints=at)
        browser.cdp("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])
        browser.settle()

    def type(self, css, text):
        self.press(css)
        self.browser.run("document.querySelector(arguments[0]).select()", css)
        for letter in text:
            self.browser.press(letter)


class Keyboard(Mouse):
    def go(self, css):
        """By Tab alone, and what has the focus shows it."""
        at = "return document.activeElement === document.querySelector(arguments[0])"
        for _ in range(250):
            if self.browser.run(at, css):
                shown = self.browser.run("const s = getComputedStyle(document.activeElement);"
                                         "return s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2")
                expect(shown, f"{css} has the focus and does not show it")
                return
            self.browser.press(TAB)
        raise Fault(f"Tab does not reach {css}")

    def press(self, css):
        self.go(css)
        tag = self.browser.run("return document.activeElement.tagName")
        self.browser.press(SPACE if tag in ("BUTTON", "INPUT", "SUMMARY") else ENTER)
        self.browser.settle()

    def type(self, css, text):
        self.go(css)
        for _ in range(12):
            self.browser.press(BACK)
        for letter in text:
            self.browser.press(letter)


def start(program, folder):
    process = subprocess.Popen([program, "workshop", folder, "--no-browser"], text=True,
                               stdout=subprocess.PIPE)
    for line in process.stdout:
        found = re.search(r"http://127\.0\.0\.1:\d+/[0-9a-f]{32}/", line)
        if found:
            return process, found.group(0)
    raise Fault("the workshop did not open")


def state_of(address):
    with urllib.request.urlopen(address + "state", timeout=20) as reply:
        return json.load(reply)


def fetch(address, path):
    with urllib.request.urlopen(address + path, timeout=20) as reply:
        return reply.read()


def has_ended(address, kind):
    thing = state_of(address)["things"][-1]
    return thing["kind"] == kind and thing["ending"] not in ("waiting", "working")


def count(browser, css):
    return browser.run("return document.querySelectorAll(arguments[0]).length", css)


def to_kit(browser, hand, address, shot):
    browser.open(address)
    wait_for(lambda: browser.run("return document.documentElement.dataset.ready") == "yes",
             "the page does not hear from its server")
    shot("1-empty")
    hand.type("[name=people]", "20")
    hand.press("#more-fields summary")
    hand.type("[name=seconds]", "4")
    hand.type("[name=count]", "4")
    hand.press("#find")
    wait_for(lambda: count(browser, ".card svg") >= 1, "no design appeared")
    shot("2-first")
    wait_for(lambda: has_ended(address, "find"), "the search does not end", 120)
    wait_for(lambda: not browser.shown("#now") and count(browser, ".card svg") == 4,
             "not four designs")
    time.sleep(0.5)  # the last list has its last order
    form = state_of(address)["form"]
    expect((form["people"], form["seconds"]) == ("20", "4"), f"what was typed is not kept: {form}")
    key = browser.run("return document.querySelector('.card h2').textContent")
    hand.press(".card:nth-child(1) .pick")
    hand.press(".card:nth-child(2) .reject")
    wait_for(lambda: len(state_of(address)["marks"]) == 2, "pick and reject were not kept")
    hand.press("#undo")
    wait_for(lambda: len(state_of(address)["marks"]) == 1, "undo took nothing back")
    hand.press("#redo")
    wait_for(lambda: len(state_of(address)["marks"]) == 2, "redo did nothing")
    shot("3-picked")
    hand.press(".card:nth-child(1) [aria-label^='Build it']")
    wait_for(lambda: browser.shown("#ready"), "no kit was made", 120)
    expect(key in browser.text("#ready"), "it is another design's kit")
    shot("4-kit")
    # Everything a builder prints is there, and really a document.
    links = browser.run("return [...document.querySelectorAll('#ready a')].map(a => a.getAttribute('href'))")
    for name in ("guide.html", "guide.pdf", "day.pdf", "template.pdf", "coupon.pdf"):
        expect(f"files/kit-001/{name}" in links, f"{name} is not offered: {links}")
        begin = fetch(address, f"files/kit-001/{name}")[:5]
        expect(begin == (b"%PDF-" if name.endswith("pdf") else b"<!DOC"), f"{name} is {begin}")
    before = browser.do("GET", "/window/handles")
    hand.press("#ready a")
    wait_for(lambda: len(browser.do("GET", "/window/handles")) == 2, "the guide did not open")
    new = [one for one in browser.do("GET", "/window/handles") if one not in before][0]
    browser.do("POST", "/window", {"handle": new})
    wait_for(lambda: "guide" in browser.run("return document.title").lower(), "this is no guide")
    time.sleep(1)
    shot("5-guide")
    browser.do("DELETE", "/window")
    browser.do("POST", "/window", {"handle": before[0]})
    commands = [thing["command"] for thing in state_of(address)["things"]]
    shown = browser.run("return [...document.querySelectorAll('#history > li > code')].map(e => e.textContent)")
    expect(shown == commands[::-1], f"the commands shown are others: {shown}")


def the_rest(browser, hand, address, shot):
    def end(kind, seconds=180):
        wait_for(lambda: has_ended(address, kind), f"{kind} does not end", seconds)
        thing = state_of(address)["things"][-1]
        expect(thing["ending"] == "done", f"{kind}: {thing['ending']}, {thing['told']}")
        return thing
    hand.press("#more")
    more = end("more")
    wait_for(lambda: count(browser, ".card svg") == more["designs"] > 0, "nothing like the pick")
    shot("6-more")
    browser.click(".card:nth-child(1) .compare-button")
    if more["designs"] > 1:
        browser.click(".card:nth-child(2) .compare-button")
    else:
        browser.click("#which [data-folder=find-001]")
        browser.click(".card:nth-child(1) .compare-button")
    browser.click("#compare-open")
    wait_for(lambda: count(browser, ".stage canvas") == 2, "two do not stand side by side")
    time.sleep(1)
    expect(browser.colours_of("canvas") > 20, "the view in three dimensions is empty")
    shot("7-compare")
    browser.press(ESCAPE)
    browser.click("#which [data-folder=find-001]")
    wait_for(lambda: count(browser, ".card svg") == 4, "the first list is gone")
    browser.click("#map")
    end("map")
    wait_for(lambda: browser.shown("#ready") and "map.html" in
             browser.run("return document.querySelector('#ready a').href"), "no map is offered")
    expect(b"sixtyfold" in fetch(address, "files/find-001/map.html"), "this is no map")
    browser.click("#gallery")
    end("gallery")
    wait_for(lambda: "index.html" in browser.run("return document.querySelector('#ready a').href"),
             "no gallery is offered")
    browser.click(".card:nth-child(1) [aria-label^='Tune']")
    browser.click("#tune [value=stiffness]")
    shot("8-tune")
    browser.click("#tune [value=yes]")
    wait_for(lambda: has_ended(address, "tune"), "tuning does not end", 300)
    tuned = state_of(address)["things"][-1]
    expect(tuned["kind"] == "tune" and tuned["status"] in (0, 1, 5), f"tune: {tuned['told']}")
    shot("9-tuned")
    # What is put away is gone from the view and not from the disk; undo brings it back.
    things = count(browser, "#history > li")
    browser.click("#history > li:last-child .line .button")
    wait_for(lambda: count(browser, "#history > li") == things - 1, "it was not put away")
    browser.click("#undo")
    wait_for(lambda: count(browser, "#history > li") == things, "it does not come back")
    # A wrong number is told beside the form, and nothing begins.
    browser.click("#which [data-folder=find-001]")
    hand.type("[name=people]", "many")
    browser.click("#find")
    wait_for(lambda: "people" in browser.text("#form-fault"), "the fault is not told")
    expect(browser.run("return document.activeElement.name") == "people", "nor where it is")
    shot("10-fault")
    hand.type("[name=people]", "20")
    browser.press(TAB)
    wait_for(lambda: not browser.text("#form-fault"), "the fault stays")
    # A reload loses nothing.
    browser.open(address)
    wait_for(lambda: count(browser, "#tray li") == 1, "the pick is gone after a reload")
    # Every text can be read, dark and light, in both languages; nothing is too wide.
    for language in ("en", "de"):
        if browser.run("return document.documentElement.lang") != language:
            browser.run("const e = document.getElementById('language'); e.value = arguments[0];"
                        "e.dispatchEvent(new Event('change'))", language)
            wait_for(lambda: browser.run("return document.documentElement.lang") == language,
                     f"the page does not speak {language}")
            wait_for(lambda: count(browser, ".card svg") > 0, "no cards in German")
        for theme in ("dark", "light"):
            browser.set_theme(theme)
            time.sleep(0.3)
            expect_contrast(browser, f"{language}, {theme}", 60)
            shot(f"11-{language}-{theme}")
        for width in (360, 768, 1920):
            browser.set_screen(width, 900)
            time.sleep(0.7)
            wide = browser.run("return document.documentElement.scrollWidth")
            expect(wide <= width, f"{language}: {wide} pixels wide on a screen of {width}")
            shot(f"12-{language}-{width}")
        browser.cdp("Emulation.clearDeviceMetricsOverride")


def check_page(browser, way, process, address, shots):
    hand = {"mouse": Mouse, "touch": Touch, "keyboard": Keyboard}[way](browser)
    shot = lambda name: browser.shoot(os.path.join(shots, f"{way}-{name}.png") if shots else None)
    to_kit(browser, hand, address, shot)
    if way == "mouse":
        the_rest(browser, hand, address, shot)
    for entry in browser.log("browser"):
        is_own = "act - Failed to load" in entry["message"] or "status of 400" in entry["message"]
        expect(entry["level"] != "SEVERE" or is_own, entry["message"])
    process.send_signal(signal.SIGINT)
    told, _ = process.communicate(timeout=60)
    expect(process.returncode == 0 and "Kept in" in told, f"it does not say what it kept: {told}")
    wait_for(lambda: browser.shown("#gone"), "the page does not say that it is closed")


def main():
    program, folder, way = sys.argv[1:4]
    shots = sys.argv[4] if len(sys.argv) > 4 else None
    process, address = start(os.path.abspath(program), folder)
    try:
        return run_checks(os.path.abspath("."), [
            (lambda browser: check_page(browser, way, process, address, shots), [])], shots,
            ["--window-size=1400,1000"])
    finally:
        if process.poll() is None:
            process.kill()


if __name__ == "__main__":
    sys.exit(main())
