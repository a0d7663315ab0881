#!/usr/bin/env python3
"""Uses a gallery page as a class would, in real headless Chromium (browser.py).

browse_gallery.py PAGE DOWNLOADS [SHOTS]

PAGE needs at least five designs; one of them is called "<script>alert(1)</script>". Leaves
approval.csv, ranking.csv and the page's printed command for it, command.txt, in DOWNLOADS. Exit
status 0 when everything held, 1 with the first fault, also when there is no Chromium or
ChromeDriver here.
"""
import base64
import json
import os
import re
import sys
import time

sys.dont_write_bytecode = True
from browser import (ENTER, ESCAPE, HOSTILE, RIGHT, Fault, check_contrast, check_quiet, expect,
                     holds_soon, run_checks, wait_for_file)

# Schulze 2011 (Social Choice and Welfare 36): 45 voters, tests/sources.md 7. E wins.
PROFILE = [(5, "ACBED"), (5, "ADECB"), (8, "BEDAC"), (3, "CABED"), (7, "CAEBD"), (2, "CBADE"),
           (7, "DCEBA"), (8, "EBADC")]

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
    for act in (lambda: browser.drag("canvas", 80, 30), lambda: browser.press(RIGHT),
                lambda: browser.drag("canvas", -60, 10, "touch"),
                lambda: browser.click("[data-turn='0,1']")):
        act()
        holds_soon(lambda: browser.run(turn) != seen[-1])
        seen.append(browser.run(turn))
    expect(len(set(seen)) == 5, "mouse, key, finger and button do not all turn the view")
    check_contrast(browser, "large view")
    browser.click("#view-reset")
    expect(holds_soon(lambda: browser.run(turn) == first), "reset does not turn the view back")
    browser.press(ESCAPE)
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
    wait_for_file(downloads + "/ballots.csv")
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
    wait_for_file(downloads + "/ballots.csv")
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
        browser.set_screen(width, 900)
        wide = browser.run("return document.documentElement.scrollWidth")
        expect(wide <= width, f"at {width} px the page is {wide} px wide")
        cut = browser.run("return [...document.querySelectorAll('.card .facts > div')].filter(e =>"
                          " e.lastChild.getBoundingClientRect().right >"
                          " e.closest('.card').getBoundingClientRect().right).length")
        expect(not cut, f"at {width} px {cut} facts are cut off at the card's edge")
        for theme in ("light", "dark"):
            browser.set_theme(theme, behind_dialog=True)
            browser.shoot(shots and f"{shots}/page-{width}-{theme}.png")
    # On a phone the bar leaves two thirds of the screen, however long the ranking.
    start_vote(browser, page, ranking=True)
    browser.set_screen(360, 740)
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


def check_page(browser, page, downloads, shots):
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


def check_without_webgl(browser, page):
    browser.open(page)
    browser.click(".card[data-number='1'] .turn-button")
    expect(browser.shown(".stage .still svg"), "without WebGL the drawing is not shown instead")


def main():
    page, downloads = "file://" + os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    shots = os.path.abspath(sys.argv[3]) if len(sys.argv) > 3 else ""
    return run_checks(downloads, [
        (lambda browser: check_page(browser, page, downloads, shots), []),
        (lambda browser: check_without_webgl(browser, page), ["--disable-3d-apis"])], shots)


if __name__ == "__main__":
    sys.exit(main())
