#!/usr/bin/env python3
"""A vote in real headless Chromium: the leader's page and a handful of phones (browser.py).

browse_vote.py PROGRAM GALLERY METHOD LANGUAGE [SHOTS]

Begins `PROGRAM vote GALLERY` on loopback, casts by touch, by keyboard and by mouse, kills the
program (SIGKILL) while a phone casts and starts it again, changes ballots, types paper ballots in,
closes, and compares the page's result with `PROGRAM tally` and, for approval, with a count of its
own. METHOD is approval or ranking. Exit status 0 when everything held, 1 with the first fault.
Standard library only.
"""
import collections
import json
import os
import pathlib
import re
import signal
import socket
import subprocess
import sys
import time

sys.dont_write_bytecode = True
from browser import ENTER, ESCAPE, check_contrast, expect, run_checks, wait_for


class Server:
    """The program, which may be killed and started again."""

    def __init__(self, command):
        with socket.socket() as probe:  # a port of its own: others look for free ones meanwhile
            probe.bind(("127.0.0.1", 0))
            port = probe.getsockname()[1]
        self.command = [*command, "--port", str(port)]
        self.start()

    def start(self):
        self.process = subprocess.Popen(self.command, stdout=subprocess.PIPE,
                                        stderr=subprocess.STDOUT, text=True)
        self.said = ""
        for line in self.process.stdout:
            self.said += line
            if "Ctrl-C" in line:
                break
        found = re.findall(r"http://\S+", self.said)
        expect(len(found) == 2, f"the program did not start: {self.said}")
        self.desk, self.phones = found

    def kill(self):
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def end(self):
        self.process.send_signal(signal.SIGINT)
        said = self.process.stdout.read()
        expect(self.process.wait(timeout=20) == 0, "the program did not end well by Ctrl-C")
        return said


class Windows:
    """Tabs of one browser, each a phone of its own: what a tab keeps is its own."""

    def __init__(self, browser):
        self.browser = browser
        self.first = browser.do("GET", "/window")

    def new(self, url, width=390, height=844):
        handle = self.browser.do("POST", "/window/new", {"type": "window"})["handle"]
        self.to(handle)
        self.size(width, height)
        self.browser.open(url)
        return handle

    def to(self, handle):
        self.browser.do("POST", "/window", {"handle": handle})

    def size(self, width, height, dark=False):
        self.browser.set_screen(width, height, mobile=width < 600)
        self.browser.cdp("Emulation.setEmulatedMedia", features=[
            {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}])


def check_page(browser, where, widths=(360, 1920)):
    check_contrast(browser, where)
    wide = browser.run("return [document.documentElement.scrollWidth, innerWidth]")
    expect(wide[0] <= wide[1], f"{where}: {wide[0]} pixels wide on a screen of {wide[1]}")
    small = browser.run(
        "return [...document.querySelectorAll('button,a,input,select,summary')].filter(e => "
        "e.checkVisibility() && !e.matches('.skip, li a') && e.getBoundingClientRect().height < 24)"
        ".map(e => e.id || e.textContent)")
    expect(not small, f"{where}: too small for a finger (WCAG 2.2, 2.5.8): {small[:4]}")


def pick(browser, numbers):
    for number in numbers:
        browser.click(f".card[data-number='{number}'] .choose")


def cast(browser, numbers, code=None):
    pick(browser, numbers)
    browser.click("#cast")
    if code:
        browser.run("document.getElementById('code-text').value = ''")
        browser.type("#code-text", code)
    browser.click("#code-yes")


def is_taken(browser):
    wait_for(lambda: browser.shown("#receipt") or browser.text("#code-fault"), "no answer was shown")
    expect(browser.shown("#receipt"), f"not taken: {browser.text('#code-fault')}")


def read_words(language):
    path = pathlib.Path(__file__).parents[2] / f"results/gallery/words/{language}.json"
    return json.load(open(path))["words"]


def vote(browser, server, program, gallery, method, language, shots):
    windows = Windows(browser)
    shoot = lambda name: browser.shoot(os.path.join(shots, name) if shots else None)
    words = read_words(language)
    folder = os.path.join(gallery, "vote")
    slips = [slip["code"] for slip in json.load(open(os.path.join(folder, "vote.json")))["slips"]]
    expect(len(set(slips)) == 12, "not twelve different codes")

    # The leader's page: address, square, count; nothing of a standing.
    desk = windows.new(server.desk, 1280, 720)
    wait_for(lambda: browser.text("#cast-of"), "the count does not appear")
    expect(browser.text("#address") == server.phones.split("//")[1], "another address is shown")
    expect(browser.text("#more-counts") == words["desk_no_visitor"], "somebody visited already?")
    check_page(browser, "desk")
    shoot("desk.png")
    windows.size(1920, 1080)
    shoot("desk-1920.png")
    browser.run("document.getElementById('theme').click()")
    shoot("desk-dark.png")
    browser.run("document.getElementById('theme').click()")
    windows.size(360, 740)
    check_page(browser, "desk at 360")
    shoot("desk-360.png")
    windows.size(1280, 720)

    # The first phone: by the address of its slip, which brings the code along.
    phones = [windows.new(server.phones + "/#" + slips[0], 360, 740)]
    expect(browser.run("return location.hash") == "", "the code stays in the address")
    check_page(browser, "ballot at 360")
    expect(browser.shown("#bar"), "the vote is not open")
    shoot("ballot.png")
    browser.click(".card[data-number='2'] .turn-button")
    time.sleep(0.5)
    shoot("ballot-view.png")
    browser.click("#view-choose")
    browser.click("#view-close")
    pick(browser, [3])
    shoot("ballot-picked.png")
    browser.click("#cast")
    expect(browser.run("return document.getElementById('code-text').value") == slips[0],
           "the code of the slip's square is not filled in")
    shoot("ballot-cast.png")
    browser.press(ENTER)
    is_taken(browser)
    check_page(browser, "receipt")
    shoot("ballot-receipt.png")
    browser.click("#receipt-done")
    expect(browser.text("#voter") == words["phone_is_cast"], "the bar does not say it is in")
    expected = {slips[0]: [2, 3]}

    # The second: types its code as a person might; first a wrong one.
    phones.append(windows.new(server.phones, 1280, 800))
    shoot("ballot-1280.png")
    cast(browser, [1, 3], "bbbbbb")
    wait_for(lambda: browser.text("#code-fault"), "a wrong code is not told")
    expect(browser.text("#code-fault") == words["phone_fault_unknown_code"], "told otherwise")
    shoot("ballot-wrong-code.png")
    browser.run("document.getElementById('code-text').value = ''")
    browser.type("#code-text", slips[1][:3].upper() + " - " + slips[1][3:])
    browser.click("#code-yes")
    is_taken(browser)
    browser.click("#receipt-next")
    expected[slips[1]] = [1, 3]
    # The same device goes on to the next voter: nothing of the last is left.
    expect(browser.run("return document.querySelectorAll('.card.picked').length") == 0, "picks stay")
    cast(browser, [], slips[2])
    is_taken(browser)
    browser.click("#receipt-done")
    expected[slips[2]] = []

    # The third casts while the program is killed and started again: it is asked again by itself.
    phones.append(windows.new(server.phones))
    server.kill()
    cast(browser, [3, 2], slips[3])
    time.sleep(0.5)
    server.start()
    is_taken(browser)
    browser.click("#receipt-done")
    expected[slips[3]] = [3, 2]
    # A replayed code from elsewhere changes the ballot and adds none.
    windows.to(phones[1])
    cast(browser, [2], slips[0])
    is_taken(browser)
    expect(browser.text("#receipt-title") == words["phone_changed"], "not told that it changed")
    browser.click("#receipt-done")
    expected[slips[0]] = [2]
    # By keyboard alone.
    keyboard = windows.new(server.phones, 1024, 768)
    browser.run("document.querySelector(\".card[data-number='3'] .choose\").focus()")
    browser.press(" ")
    browser.run("document.getElementById('cast').focus()")
    browser.press(ENTER)
    expect(browser.run("return document.activeElement.id") == "code-text", "the code has no focus")
    browser.type("#code-text", slips[4])
    browser.press(ENTER)
    is_taken(browser)
    expect(browser.run("return document.activeElement.id") == "receipt-title", "focus is lost")
    browser.press(ESCAPE)
    expected[slips[4]] = [3]
    # Nobody answers at all: told, and the choice is kept.
    server.kill()
    cast(browser, [1], slips[4])
    wait_for(lambda: browser.text("#code-fault"), "that nobody answers is not told")
    expect(browser.text("#code-fault") == words["phone_fault_no_answer"], "told otherwise")
    windows.to(desk)
    wait_for(lambda: browser.shown("#alarm"), "the leader's page does not say the program is gone")
    shoot("desk-alarm.png")
    server.start()
    windows.to(keyboard)
    browser.click("#code-yes")
    is_taken(browser)
    expected[slips[4]] = [3, 1] if method == "ranking" else [1, 3]
    browser.click("#receipt-done")

    # The leader sees five ballots and no standing; types two on paper, one of them twice by mistake.
    windows.to(desk)
    wait_for(lambda: browser.text("#cast-count") == "5", "not five ballots are counted")
    expect(not browser.shown("#result"), "a standing is shown before the vote is closed")
    shoot("desk-counting.png")
    browser.click("#lead summary")
    check_page(browser, "leader's menu")
    shoot("desk-menu.png")
    browser.run("scrollTo(0, document.body.scrollHeight)")
    shoot("desk-menu-end.png")
    browser.click("#paper")
    paper = [[2], [4], [4]]
    for number, in paper:
        field = f"#slip-fields input[data-number='{number}']"
        browser.type(field, "1") if method == "ranking" else browser.click(field)
        if number == 2:
            shoot("desk-paper.png")
        browser.click("#slip-add")
    browser.click("#paper-close")
    browser.click("#paper-back")
    paper.pop()
    wait_for(lambda: "2" in browser.text("#more-counts").split(), "two paper ballots are not told")
    browser.click("#close-vote")
    check_page(browser, "closing")
    browser.click("#ask-yes")
    wait_for(lambda: browser.shown("#result-title"), "no result is shown")
    # One more on paper, late.
    browser.run("document.getElementById('lead').open = true")
    browser.click("#paper")
    field = "#slip-fields input[data-number='3']"
    browser.type(field, "1") if method == "ranking" else browser.click(field)
    browser.click("#slip-add")
    browser.click("#paper-close")
    paper.append([3])
    browser.run("document.getElementById('lead').open = false")
    wait_for(lambda: words["late"].split("|")[0] in browser.text("#result-rule"), "not told as late")
    check_page(browser, "result")
    browser.run("scrollTo(0, 0)")
    shoot("desk-result.png")
    shown = [[int(row[0]), int(row[1])] for row in browser.run(
        "return [...document.querySelectorAll('#result-list li')].map(e => "
        "[e.dataset.number, e.dataset.place])")]

    # A phone that comes late is refused, and its page says why; what it has casts nothing.
    windows.to(phones[0])
    browser.click(".card[data-number='1'] .choose")
    browser.click("#cast")
    browser.click("#code-yes")
    wait_for(lambda: browser.shown("#over"), "the page does not say that the vote is closed")
    expect(browser.text("#ask-text") == words["phone_fault_closed"], "not told that it is closed")
    shoot("ballot-refused.png")
    browser.click("#ask-yes")
    windows.new(server.phones, 360, 740)
    expect(browser.shown("#over") and not browser.shown("#bar"), "a closed vote looks open")
    check_page(browser, "closed ballot")

    # The same count by the command, and by hand.
    said = server.end()
    expect("ballots.csv" in said, f"it does not say where the ballots are: {said}")
    ballots = os.path.join(folder, "ballots.csv")
    result = json.loads(subprocess.run([program, "tally", ballots, "--gallery", gallery, "--json"],
                                       capture_output=True, text=True, check=True).stdout)
    counted = [[row["design"], row["place"]] for row in result["standing"]]
    expect(counted == shown, f"tally says {counted}, the page {shown}")
    votes = list(expected.values()) + paper
    if method == "approval":
        hand = collections.Counter(number for ballot in votes for number in ballot)
        for row in result["standing"]:
            expect(row["score"] == hand[row["design"]], f"{row} against {hand[row['design']]} by hand")
    lines = open(ballots, newline="").read().split("\r\n")[1:-1]
    write = lambda b: "blank" if not b else (f"{b[0]}:1" if len(b) == 1 else ">".join(map(str, b))) \
        if method == "ranking" else " ".join(map(str, sorted(b)))
    expect(sorted(line.split(",")[2] for line in lines) == sorted(map(write, votes)),
           f"the file holds {lines}")
    record = open(os.path.join(folder, "vote.json")).read()
    expect(not any(code in record for code in slips), "the codes are still there after closing")

    for url in browser.find_requests():
        expect(url.startswith((server.phones, server.desk, "data:", "blob:", "about:", "chrome")),
               f"a page asked for {url}")


def main():
    program, gallery, method, language = sys.argv[1:5]
    shots = sys.argv[5] if len(sys.argv) > 5 else None
    program = os.path.abspath(program)
    server = Server([program, "vote", gallery, "--address", "127.0.0.1", "--voters", "12",
                     "--method", method, "--language", language, "--no-browser"])
    try:
        return run_checks(os.path.abspath(gallery), [
            (lambda browser: vote(browser, server, program, gallery, method, language, shots), [])],
            shots, ["--window-size=1400,1000"])
    finally:
        if server.process.poll() is None:
            server.kill()


if __name__ == "__main__":
    sys.exit(main())
