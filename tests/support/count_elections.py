#!/usr/bin/env python3
"""Random elections, counted three times: by the gallery page's own files in real Chromium, by
`sixtyfold tally`, and here from what the voters meant, never from the files.

count_elections.py PROGRAM SOURCE_FOLDER SCRATCH_FOLDER [ELECTIONS]

Each election has one to three files as spreadsheets of different countries save them, with classes,
blank and spoiled ballots. All places of all designs, in sum and in each class, have to agree. Exit
status 0 when they do, 1 with the first difference. Standard library only.
"""
import json
import os
import random
import shutil
import subprocess
import sys

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from browser import Browser, Fault, expect  # noqa: E402

IDENTITY = "g0123456789abcdef"


def count_approval(ballots, designs):
    """Brams and Fishburn 1978: who has more picks stands before."""
    picks = {d: sum(n for n, places in ballots for place in places if d in place)
             for d in range(designs)}
    return [1 + sum(picks[other] > picks[d] for other in picks) for d in range(designs)]


def count_schulze(ballots, designs):
    """Schulze 2011 by its definition: for each strength, who reaches whom by majorities as strong."""
    def wins(i, j):
        total = 0
        for n, places in ballots:
            rank = {d: at for at, place in enumerate(places) for d in place}
            total += n * (rank.get(i, designs) < rank.get(j, designs))
        return total
    d = range(designs)
    table = [[wins(i, j) if i != j else 0 for j in d] for i in d]
    strengths = sorted({table[i][j] for i in d for j in d if table[i][j] > table[j][i]})
    best = [[0] * designs for _ in d]
    for strength in strengths:
        for start in d:
            seen, edge = {start}, [start]
            while edge:
                i = edge.pop()
                for j in d:
                    if j not in seen and table[i][j] > table[j][i] and table[i][j] >= strength:
                        seen.add(j)
                        edge.append(j)
            for j in seen - {start}:
                best[start][j] = strength
    beaten_by = [sum(best[j][i] > best[i][j] for j in d if j != i) for i in d]
    return [1 + sum(other < beaten_by[i] for other in beaten_by) for i in d]


def make_vote(lot, ranking, designs):
    """(text, places) of a ballot that counts; places of indices."""
    fewest = 1 if not ranking or lot.random() < 0.2 else 2  # most rankings rank
    order = lot.sample(range(designs), lot.randint(fewest, designs))
    if not ranking:
        gap = lot.choice([" ", "+", ", "])
        return gap.join(str(d + 1) for d in order), [order]
    places = [[order[0]]]
    for d in order[1:]:
        if lot.random() < 0.2:
            places[-1].append(d)
        else:
            places.append([d])
    if len(places) == 1 and len(places[0]) == 1 and lot.random() < 0.5:
        return str(places[0][0] + 1), places
    if lot.random() < 0.3:
        words = [f"{d + 1}:{2 * at + 1}" for at, place in enumerate(places) for d in place]
        lot.shuffle(words)
        return " ".join(words), places
    return lot.choice([">", " > "]).join("=".join(str(d + 1) for d in place)
                                         for place in places), places


def make_spoiled(lot, ranking, designs):
    return lot.choice([f"{designs + 1}", "1>1", "", "x", "1 2" if ranking else "1>2", "1>", "0"])


def make_election(lot, number):
    """(files, truth by class, ranking, designs, spoiled, blank)"""
    designs, ranking = lot.randint(2, 8), number % 2 == 0
    files, truth, spoiled, blank = [], {}, 0, 0
    classes = [f"{year}{letter}" for year in (5, 6) for letter in "abc"]
    for at in range(lot.randint(1, 3)):
        name = f"ballots-{at}.csv"
        separator = lot.choice([",", ";", "\t"])
        header = lot.choice([["ballot", "class", "count", "vote", "gallery"],
                             ["Zettel", "Klasse", "Anzahl", "Stimme", "Galerie"],
                             ["vote", "class", "count"]])
        rows, bad = [], lot.randint(0, 2)
        for i in range(lot.randint(6, 14)):
            of, count = lot.choice(classes), lot.choice([1, 1, 1, 2, 7])
            if i < bad:
                text, spoiled = make_spoiled(lot, ranking, designs), spoiled + 1
            elif lot.random() < 0.08:
                text, blank = lot.choice(["blank", "Leer", "-"]), blank + count
            else:
                text, places = make_vote(lot, ranking, designs)
                truth.setdefault(of, []).append((count, places))
            fields = {"class": of, "count": str(count), "vote": text, "gallery": IDENTITY,
                      "ballot": str(i + 1)}
            names = {"zettel": "ballot", "klasse": "class", "anzahl": "count", "stimme": "vote",
                     "galerie": "gallery"}
            row = [fields[names.get(head.lower(), head.lower())] for head in header]
            rows.append([f'"{f}"' if separator in f or lot.random() < 0.1 else f for f in row])
        lot.shuffle(rows)
        end = lot.choice(["\r\n", "\n"])
        text = lot.choice(["", "\ufeff"]) + lot.choice(["", f"sep={separator}{end}"])
        text += end.join(separator.join(row) for row in [header, *rows]) + end
        files.append((name, text))
    return files, truth, ranking, designs, spoiled, blank


PAGE = r"""
const say = (key, values) => key;
return elections.map(({files, designs}) => {
  const numbers = Array.from({length: designs}, (_, i) => i + 1), names = numbers.map(n => "design " + n);
  const box = readBallots(files, {designs: names, numbers, gallery: identity}, new Set(), say);
  const counted = box.ballots.filter(ballot => ballot.places.length), classes = {};
  const places = ballots => (box.kind === "ranking" ? countSchulze : countApproval)(ballots, designs).map(row => row.place);
  for (const of of new Set(counted.map(ballot => ballot.of))) classes[of] = places(counted.filter(ballot => ballot.of === of));
  const blank = box.ballots.filter(ballot => !ballot.places.length).reduce((sum, ballot) => sum + ballot.count, 0);
  return {kind: box.kind, places: counted.length ? places(counted) : null, classes, spoiled: box.spoiled.length, blank};
});
"""


def count_in_page(source, elections):
    script = "const [elections, identity] = arguments;\n"
    for name in ("count.js", "ballots.js"):
        with open(f"{source}/results/gallery/{name}", encoding="utf-8") as file:
            script += file.read()
    browser = Browser(os.getcwd())
    try:
        browser.open("about:blank")
        return browser.run(script + PAGE, elections, IDENTITY)
    finally:
        browser.close()


def main():
    program, source, scratch = sys.argv[1:4]
    count = int(sys.argv[4]) if len(sys.argv) > 4 else 200
    lot = random.Random(28)
    elections = [make_election(lot, number) for number in range(count)]
    try:
        expect(shutil.which("chromium") and shutil.which("chromedriver"),
               "no chromium or chromedriver here: tools/check installs them")
        pages = count_in_page(source, [
            {"files": [{"name": name, "text": text} for name, text in election[0]],
             "designs": election[3]} for election in elections])
        ties = 0
        for number, (election, page) in enumerate(zip(elections, pages)):
            files, truth, ranking, designs, spoiled, blank = election
            folder = f"{scratch}/{number}"
            os.makedirs(folder)
            with open(f"{folder}/gallery.json", "w") as file:
                json.dump({"format": "sixtyfold-gallery", "version": 1, "identity": IDENTITY,
                           "title": "Which?", "designs": [
                               {"number": d + 1, "name": f"design {d + 1}", "file": f"{d}.json"}
                               for d in range(designs)]}, file)
            for name, text in files:
                with open(f"{folder}/{name}", "w", newline="", encoding="utf-8") as file:
                    file.write(text)
            run = subprocess.run([program, "tally", *(name for name, _ in files), "--json"],
                                 cwd=folder, capture_output=True, text=True)
            expect(run.returncode == 0, f"election {number}: tally says {run.stderr}")
            tally = json.loads(run.stdout)

            def read_places(standing):
                places = {row["design"]: row["place"] for row in standing}
                return [places[d + 1] for d in range(designs)]

            rule = count_schulze if ranking else count_approval
            method = "schulze" if ranking else "approval"
            everybody = rule([ballot for part in truth.values() for ballot in part], designs)
            expect(tally["method"] == method, f"election {number}: counted by {tally['method']}")
            expect(page["kind"] == ("ranking" if ranking else "picks"),
                   f"election {number}: the page takes it for {page['kind']}")
            expect(everybody == read_places(tally["standing"]) == page["places"],
                   f"election {number}: {everybody}, tally {tally['standing']}, page {page}")
            parts = {of: rule(ballots, designs) for of, ballots in truth.items()}
            told = {part["name"]: read_places(part["standing"]) for part in tally["classes"]
                    if "standing" in part}
            expect(parts == told == page["classes"],
                   f"election {number}: classes {parts}, tally {told}, page {page['classes']}")
            expect(len(tally["spoiled"]) == page["spoiled"] == spoiled,
                   f"election {number}: {spoiled} spoiled, tally {tally['spoiled']}, page {page}")
            expect(tally["blank"] == page["blank"] == blank, f"election {number}: blank {page}")
            ties += len(set(everybody)) < designs
        expect(ties > count / 10, f"only {ties} elections had a tie to share")
    except Fault as fault:
        print(fault)
        return 1
    print(f"{count} elections, {ties} with shared places: page, tally and own count agree")
    return 0


if __name__ == "__main__":
    sys.exit(main())
