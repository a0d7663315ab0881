#!/usr/bin/env python3
"""Wanders over a map page as a person would, in real headless Chromium (browse_gallery.py).

browse_map.py PAGE RUN DOWNLOADS [SHOTS]

PAGE was made by `sixtyfold explore RUN`. By mouse, touch and keyboard: comes closer, filters,
compares two numbers, picks one design and rejects another, and saves picks.json in DOWNLOADS.
Prints how long opening and filtering took. Exit status 0 when everything held, 1 with the first
fault. Standard library only.
"""
import json
import os
import pathlib
import sys
import time

sys.dont_write_bytecode = True
from browse_gallery import CONTRAST, ENTER, Browser, Fault, expect

RIGHT, ESCAPE = "\ue014", "\ue00c"
SHEET = "document.getElementById('sheet')"


def wait_for(holds, sentence):
    for _ in range(150):
        if holds():
            return
        time.sleep(0.1)
    raise Fault(sentence)


def count_of(browser):
    return [int(n) for n in browser.text("#count").split() if n.isdigit()]


def wander(browser, page, run, downloads, shots):
    shot = lambda name: browser.shoot(os.path.join(shots, name) if shots else None)
    browser.open("about:blank")
    browser.log("performance")  # what the browser itself loaded before the page
    began = time.time()
    browser.open(pathlib.Path(page).resolve().as_uri())
    print(f"open: {browser.run('return document.documentElement.dataset.ready')} ms by the page's "
          f"clock, {1000 * (time.time() - began):.0f} ms by this one")
    kept = [json.loads(line) for line in open(os.path.join(run, "kept.jsonl"))]
    shown, total = count_of(browser)
    expect(shown == total == len(kept), f"{shown} of {total} shown, {len(kept)} kept")
    tiles = lambda: int(browser.run(f"return +{SHEET}.dataset.tiles"))
    wait_for(lambda: tiles() > 3, "no pictures on the map")
    time.sleep(1)
    expect(browser.colours_of("#sheet") > 20, "the map stays empty")
    shot("map.png")

    # Filters: what one slider leaves is what the numbers say.
    panels = sorted(design["panels"] for design in kept)
    spent = browser.run(
        "const i = document.querySelector('[data-column=panels][data-end=high]'); i.value = 100;"
        "const t = performance.now(); i.dispatchEvent(new Event('input')); return performance.now() - t")
    limit = panels[round(0.5 * (len(panels) - 1))]
    shown, _ = count_of(browser)
    expect(shown == sum(n <= limit for n in panels), f"{shown} designs with at most {limit} panels")
    print(f"filter: {spent:.1f} ms for {total} designs")
    if shown < total:
        expect("left out by this alone" in browser.text("#slider-list"), "nothing is told of it")
    browser.click("#reset")
    expect(count_of(browser)[0] == total, "the filter was not reset")

    # Keyboard: to a picture, pick it; to another, reject it.
    browser.run(f"{SHEET}.focus()")
    browser.press(RIGHT)
    wait_for(lambda: browser.shown("#detail"), "no picture was chosen by key")
    first = browser.text("#detail-name")
    browser.press(" ")
    browser.press(RIGHT)
    expect(browser.text("#detail-name") != first, "the arrow key chose the same again")
    browser.press("x")
    browser.press("+")
    browser.press(ENTER)
    expect(browser.run("return document.activeElement.id") == "chosen", "Enter goes to the numbers")
    expect(browser.run("return document.querySelectorAll('#pick-list li').length") == 2,
           "two decisions, but not two entries")
    before = browser.run("return document.getElementById('model').dataset.turn")
    browser.drag("#model", 60, 20)
    wait_for(lambda: browser.run("return document.getElementById('model').dataset.turn") != before,
             "the model does not turn")
    shot("map-chosen.png")

    # Two numbers, by touch.
    browser.click("[name=way][value=scatter]")
    expect(browser.shown("#across") and browser.shown("#up"), "no axes to choose")
    browser.choose("#across", browser.run(
        "return [...document.getElementById('across').options].find(o => o.text === 'joints to glue').value"))
    time.sleep(1)
    wait_for(lambda: tiles() > 1, "no pictures among the numbers")
    browser.run(f"{SHEET}.scrollIntoView({{block: 'center'}})")
    browser.drag("#sheet", 30, 10, pointer="touch")
    shot("map-numbers.png")

    # Picks outlive a reload, and are saved as recipes of the run's own designs.
    browser.open(pathlib.Path(page).resolve().as_uri())
    expect(browser.run("return document.querySelectorAll('#pick-list li').length") == 2,
           "the picks are gone after a reload")
    browser.click("#save")
    path = os.path.join(downloads, "picks.json")
    wait_for(lambda: os.path.exists(path), "picks.json was not saved")
    picks = json.load(open(path))
    expect(picks["format"] == "sixtyfold-picks" and picks["version"] == 1, "not a file of picks")
    keys = ("symmetry", "plane", "family", "parameters")
    recipes = [{key: design[key] for key in keys} for design in kept]
    for entry in picks["picked"] + picks["rejected"]:
        expect(entry in recipes, f"a pick is none of the run's designs: {entry}")
    expect(len(picks["picked"]) == len(picks["rejected"]) == 1, "one picked, one rejected")

    # Every text can be read, dark and light; nothing is wider than a small phone.
    for theme in ("light", "dark"):
        if browser.run("return document.documentElement.dataset.theme") != theme:
            browser.click("#theme")
        found = browser.run(CONTRAST)
        expect(found["seen"] > 40 and not found["faults"], f"{theme}: {found['faults'][:3]}")
    shot("map-dark.png")
    for width in (360, 1920):
        browser.cdp("Emulation.setDeviceMetricsOverride", width=width, height=800,
                    deviceScaleFactor=1, mobile=False)
        time.sleep(1)
        wide = browser.run("return document.documentElement.scrollWidth")
        expect(wide <= width, f"{wide} pixels wide on a screen of {width}")
        shot(f"map-{width}.png")

    own = 0
    for entry in browser.log("performance"):
        message = json.loads(entry["message"])["message"]
        if message["method"] == "Network.requestWillBeSent":
            url = message["params"]["request"]["url"]
            own += url.startswith("file:")
            expect(url.startswith(("file:", "data:", "blob:")), f"the page asked for {url}")
    expect(own == 2, f"{own} files were opened: the page alone, twice")
    for entry in browser.log("browser"):
        expect(entry["level"] != "SEVERE", entry["message"])


def main():
    page, run, downloads = sys.argv[1:4]
    shots = sys.argv[4] if len(sys.argv) > 4 else None
    browser = Browser(os.path.abspath(downloads), ("--window-size=1400,1000",))
    try:
        wander(browser, page, run, downloads, shots)
    except Fault as fault:
        print(fault)
        return 1
    finally:
        browser.close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
