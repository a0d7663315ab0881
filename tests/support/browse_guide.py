#!/usr/bin/env python3
"""Builds with a guide page as a group would, in real headless Chromium (browser.py).

browse_guide.py PAGE GUIDE_PDF DOWNLOADS [SHOTS]

PAGE and GUIDE_PDF are guide.html and guide.pdf of one kit, whose design is called
"<script>alert(1)</script>". By buttons, keys, touch and mouse: goes through all steps forward and
back, ticks, filters, saves, opens, prints. Where the file that AXE_CORE names is axe-core's
axe.min.js, its rules are asked, too. Exit status 0 when everything held, 1 with the first fault.
"""
import base64
import json
import os
import pathlib
import re
import subprocess
import sys
import time

sys.dont_write_bytecode = True
from browser import (HOSTILE, LEFT, PAGE_DOWN, RIGHT, SHIFT, UP, check_quiet, expect, expect_contrast,
                     holds_soon, run_checks, wait_for_file)

DATA = "JSON.parse(document.getElementById('data').textContent)"


def title(browser):
    return browser.text("#step-title")


def model(browser, name):
    return browser.run("return document.getElementById('model').dataset[arguments[0]]", name)


def boxes(browser):
    return browser.run("return [...document.querySelectorAll('#joints input')].map(e => e.checked)")


def walk_through(browser, data):
    """Forward and back by buttons and keys: every joint is made once, every panel placed."""
    shown = browser.run("return [...document.getElementById('where').options].map(o => o.text)")
    pieces = data["pieces"]
    inside = sum(max(1, len(piece["inside"]) - 1) for piece in pieces if piece["inside"])
    last = data["dryFrom"] < len(pieces)
    expect(len(shown) == 1 + inside + len(pieces) + last, f"{len(shown)} steps")
    made, seen = [], [title(browser)]
    for k in range(1, len(shown)):
        if k % 3 == 0:
            browser.run("document.getElementById('next').click()")
        else:
            browser.press(RIGHT if k % 3 == 1 else PAGE_DOWN)
        seen.append(title(browser))
        if not (last and k == len(shown) - 1):
            made += browser.run("return [...document.querySelectorAll('#joints li')].map(e => +e.dataset.joint)")
    expect(seen == shown, f"steps shown are not the steps listed: {seen[:5]} {shown[:5]}")
    expect(sorted(made) == list(range(len(data["joints"]))),
           "not every joint is made at exactly one step")
    expect(browser.run("return document.getElementById('next').disabled"), "there is a step more")
    for k in reversed(range(len(shown) - 1)):
        browser.press(LEFT)
        expect(title(browser) == shown[k], f"back from step {k + 1} is {title(browser)}")
    return shown


def fly_in(browser):
    """The piece comes along its way, and only by its way; the model can be turned."""
    browser.choose("#where", "p1")
    expect(float(model(browser, "way")) < 1, "the piece does not fly in")
    expect(holds_soon(lambda: model(browser, "way") == "1.00"), "the piece never arrives")
    first = rest = model(browser, "turn")
    browser.run("const e = document.getElementById('way'); e.value = 30;"
                "e.dispatchEvent(new Event('input'))")
    expect(model(browser, "way") == "0.30", "the slider does not move it")
    browser.click("#again")
    expect(holds_soon(lambda: model(browser, "way") == "1.00"), "the way is not shown again")
    expect(browser.colours_of("#model") > 20, "the model is empty")
    for act in (lambda: browser.drag("#model", 80, 30),
                lambda: browser.drag("#model", -60, 10, "touch"),
                lambda: browser.click("[data-turn='0,1']")):
        act()
        expect(holds_soon(lambda: model(browser, "turn") != first), "the model does not turn")
        first = model(browser, "turn")
    browser.run("document.getElementById('model').focus()")
    here = title(browser)
    for act in (lambda: browser.press(UP), lambda: browser.press(SHIFT, RIGHT)):
        act()
        expect(holds_soon(lambda: model(browser, "turn") != first), "keys do not turn the model")
        first = model(browser, "turn")
    browser.press("0")
    expect(holds_soon(lambda: model(browser, "turn") == rest), "0 does not turn the model back")
    expect(title(browser) == here, "a key that turns the model goes to another step")
    labels = browser.run("return [...document.querySelectorAll('#labels .panel')].map(e => e.textContent)")
    return labels


def tick(browser, page, data):
    """Ticks: one implies the other, the model shows what is dry, a reload keeps them."""
    step = next(p for p, piece in enumerate(data["pieces"]) if piece["joints"])
    browser.choose("#where", f"p{step}")
    count = len(data["pieces"][step]["joints"])
    marks = lambda: json.loads(model(browser, "marks"))
    expect(marks()["open"] == count, "the joints of the step do not light up")
    browser.click("#joints li:first-child [data-set=dry]")
    expect(marks()["dry"] == 1 and boxes(browser)[:2] == [True, False], "dry is not shown")
    expect("1 joint is fitted" in browser.text("#waiting-title"), "what is dry is not told")
    browser.click("#joints li:first-child [data-set=glued]")
    expect(marks()["glued"] == 1 and marks()["dry"] == 0, "glued is not shown")
    browser.click("#joints li:first-child [data-set=dry]")
    expect(boxes(browser)[:2] == [False, False], "a joint that is not fitted stays glued")
    browser.click("#all-dry")
    expect(marks()["dry"] == count, "not all joints are dry")
    browser.choose("#where", f"p{len(data['pieces']) - 1}")
    expect(marks()["dry"] == count, "what is dry is not shown on the model at a later step")
    browser.click("#show-dry")
    expect(marks()["open"] == 0 and marks()["dry"] == count, "not only what is dry is shown")
    browser.click("#show-dry")
    browser.open(page)
    expect(title(browser) == browser.run(
        "return [...document.getElementById('where').options].find(o => o.selected).text"),
        "the step is lost")
    expect(f"{count} joint" in browser.text("#waiting-title"), "the ticks do not outlive a reload")
    browser.click("#waiting button")
    expect(all(boxes(browser)[::2]) and not any(boxes(browser)[1::2]), "other boxes are ticked")
    return step, count


def share(browser, downloads, data, count):
    """Ticks go into a file and come back; another design's are refused."""
    browser.click("#ticks-open")
    browser.click("#save")
    path = os.path.join(downloads, f"ticks-{data['design']}.json")
    wait_for_file(path)
    kept = json.load(open(path))
    expect(len(kept["dry"]) == count and kept["glued"] == [], f"saved: {kept}")
    browser.click("#clear")
    browser.click("#clear-yes")
    expect("No joint waits" in browser.text("#waiting-title"), "the ticks are not cleared")
    other = os.path.join(downloads, "other.json")
    json.dump({**kept, "design": "00000000"}, open(other, "w"))
    browser.type("#open", other)
    expect(holds_soon(lambda: "no file of ticks" in browser.text("#ticks-said")),
           "another design's ticks are taken")
    json.dump({**kept, "dry": kept["dry"] + [1e9, -1, "x", None, 0.5]}, open(other, "w"))
    browser.type("#open", other)
    expect(holds_soon(lambda: f"{count} joint" in browser.text("#waiting-title")),
           "the saved ticks do not come back")
    browser.click("#ticks-close")


def by_team(browser, data):
    """Each step belongs to one team; all teams together have all."""
    ids = lambda: browser.run("return [...document.getElementById('where').options].map(o => o.value)")
    everything = set(ids())
    met = []
    for team in range(1, min(data["teams"], len(data["pieces"])) + 1):
        browser.choose("#who", str(team))
        met += [step for step in ids() if step not in ("start", "glue")]
    expect(len(met) == len(set(met)), "two teams have the same step")
    expect(set(met) == everything - {"start", "glue"}, "a step belongs to no team")
    browser.choose("#who", "all")


def swipe(browser):
    browser.choose("#where", "start")
    browser.run("window.scrollTo(0, 0)")
    first = title(browser)
    browser.drag("#step-title", -150, 4, "touch")
    expect(holds_soon(lambda: title(browser) != first), "a swipe does not go on")
    browser.drag("#step-title", 150, 4, "touch")
    expect(holds_soon(lambda: title(browser) == first), "a swipe does not go back")


def print_it(browser, guide_pdf, downloads):
    """On paper it is the paper guide: as many pages, the same words in the same order."""
    browser.set_theme("dark")
    pdf = browser.cdp("Page.printToPDF", printBackground=False, preferCSSPageSize=True,
                      paperWidth=8.27, paperHeight=11.69)["data"]
    printed = os.path.join(downloads, "printed.pdf")
    open(printed, "wb").write(base64.b64decode(pdf))
    words = lambda path: sorted(subprocess.run(["pdftotext", path, "-"], capture_output=True,
                                               text=True, check=True).stdout.split())
    pages = lambda path: int(re.search(r"Pages:\s+(\d+)", subprocess.run(
        ["pdfinfo", path], capture_output=True, text=True, check=True).stdout).group(1))
    expect(pages(printed) == pages(guide_pdf), f"{pages(printed)} pages for {pages(guide_pdf)}")
    expect(words(printed) == words(guide_pdf), "other words are printed than stand in guide.pdf")
    expect(len(words(printed)) > 500, "hardly a word is printed")
    browser.click("#theme")


def check_looks(browser, shots, late):
    for theme in ("light", "dark"):
        browser.set_theme(theme)
        for step in ("start", late):
            browser.choose("#where", step)
            expect_contrast(browser, f"{theme}, {step}", 20)
            ask_axe(browser, f"{theme}, {step}")
        for width, height in ((360, 740), (768, 1024), (1366, 768), (1920, 1080)):
            browser.set_screen(width, height)
            for large in (False, True):
                if browser.run("return document.documentElement.hasAttribute('data-large')") != large:
                    browser.run("document.getElementById('large').click()")
                wide = browser.run("return document.documentElement.scrollWidth")
                expect(wide <= width, f"{wide} pixels wide on a screen of {width}, large: {large}")
                high = browser.run("return document.getElementById('model').clientHeight")
                expect(high >= 120, f"the model is {high} pixels high on {width} x {height}")
                if shots:
                    time.sleep(2.5)
                    browser.shoot(f"{shots}/guide-{theme}-{width}{'-large' if large else ''}.png")
            browser.run("document.getElementById('large').click()")
        browser.cdp("Emulation.clearDeviceMetricsOverride")


def ask_axe(browser, where):
    path = os.environ.get("AXE_CORE")
    if not path:
        return
    browser.run(open(path).read() + "; window.axe = axe;")
    found = browser.do("POST", "/execute/async", {"args": [], "script":
        "const done = arguments[0]; axe.run(document).then(r => done(r.violations.map(v =>"
        "`${v.id}: ${v.nodes.slice(0, 2).map(n => n.html.slice(0, 120)).join(' | ')}`)))"})
    expect(not found, f"axe-core, {where}: {found}")


def check_page(browser, page, guide_pdf, downloads, shots):
    browser.open("about:blank")
    browser.log("performance")  # what the browser itself loaded before the page
    browser.open(page)
    expect(browser.run("return document.documentElement.dataset.ready") == "1", "not ready")
    data = browser.run(f"return {DATA}")
    late = f"p{min(2, len(data['pieces']) - 1)}"
    expect(HOSTILE in browser.text("h1"), "the hostile name is not shown as it is")
    expect(not browser.shown("#forgets"), "it says that it forgets, and does not")
    walk_through(browser, data)
    fly_in(browser)
    _, count = tick(browser, page, data)
    share(browser, downloads, data, count)
    by_team(browser, data)
    swipe(browser)
    print_it(browser, guide_pdf, downloads)
    check_looks(browser, shots, late)
    check_quiet(browser, opened=2)
    # Where storage is refused it says so, and ticks all the same.
    browser.cdp("Page.addScriptToEvaluateOnNewDocument", source=
                "Object.defineProperty(window, 'localStorage', {get() { throw new Error('no'); }})")
    browser.open(page)
    expect(browser.shown("#forgets"), "it does not say that nothing is kept")
    browser.choose("#where", late)
    browser.click("#all-dry")
    expect("still dry" in browser.text("#waiting-title"), "nothing can be ticked without storage")


def check_without_webgl(browser, page):
    browser.open(page)
    expect(browser.shown("#no-webgl"), "without WebGL it does not say so")
    browser.click("#next")
    browser.click("#as-paper")
    expect(browser.shown("#paper svg"), "the guide as on paper is not shown")


def main():
    page = pathlib.Path(sys.argv[1]).resolve().as_uri()
    downloads = os.path.abspath(sys.argv[3])
    shots = os.path.abspath(sys.argv[4]) if len(sys.argv) > 4 else None
    return run_checks(downloads, [
        (lambda browser: check_page(browser, page, sys.argv[2], downloads, shots), []),
        (lambda browser: check_without_webgl(browser, page), ["--disable-3d-apis"])], shots)


if __name__ == "__main__":
    sys.exit(main())
