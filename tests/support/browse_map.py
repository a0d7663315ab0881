#!/usr/bin/env python3
"""Wanders over a map page as a person would, in real headless Chromium (browser.py).

browse_map.py PAGE RUN DOWNLOADS [SHOTS]

PAGE was made by `sixtyfold explore RUN`. By mouse, touch and keyboard: comes closer, filters,
compares two numbers, picks one design and rejects another, and saves picks.json in DOWNLOADS.
Prints how long opening and filtering took. Exit status 0 when everything held, 1 with the first
fault.
"""
import json
import os
import pathlib
import sys
import time

sys.dont_write_bytecode = True
from browser import (ENTER, RIGHT, SHIFT, check_quiet, expect, expect_contrast, run_checks, wait_for,
                     wait_for_file)

SHEET = "document.getElementById('sheet')"


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
    turn = lambda: browser.run("return document.getElementById('model').dataset.turn")
    browser.run("document.getElementById('model').focus()")
    dragged = turn()
    browser.press(SHIFT, RIGHT)
    browser.press("+")
    time.sleep(0.3)
    expect(turn() == dragged, "Shift and an arrow turn the model, where they move it")
    browser.press(RIGHT)
    wait_for(lambda: turn() != dragged, "an arrow does not turn the model")
    browser.press("0")
    wait_for(lambda: turn() == before, "0 does not turn the model back")
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
    wait_for_file(path)
    picks = json.load(open(path))
    expect(picks["format"] == "sixtyfold-picks" and picks["version"] == 1, "not a file of picks")
    keys = ("symmetry", "plane", "family", "parameters")
    recipes = [{key: design[key] for key in keys} for design in kept]
    for entry in picks["picked"] + picks["rejected"]:
        expect(entry in recipes, f"a pick is none of the run's designs: {entry}")
    expect(len(picks["picked"]) == len(picks["rejected"]) == 1, "one picked, one rejected")

    # Every text can be read, dark and light; nothing is wider than a small phone.
    for theme in ("light", "dark"):
        browser.set_theme(theme)
        expect_contrast(browser, theme, 40)
    shot("map-dark.png")
    for width in (360, 1920):
        browser.set_screen(width, 800)
        time.sleep(1)
        wide = browser.run("return document.documentElement.scrollWidth")
        expect(wide <= width, f"{wide} pixels wide on a screen of {width}")
        shot(f"map-{width}.png")

    check_quiet(browser, allowed=("file:", "data:", "blob:"), opened=2)


def main():
    page, run, downloads = sys.argv[1:4]
    shots = sys.argv[4] if len(sys.argv) > 4 else None
    return run_checks(os.path.abspath(downloads), [
        (lambda browser: wander(browser, page, run, downloads, shots), [])], shots,
        ["--window-size=1400,1000"])


if __name__ == "__main__":
    sys.exit(main())
