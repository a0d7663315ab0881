#!/usr/bin/env python3
"""tests/fuzz/attack.py PROGRAM [--seconds 60] [--seed 1] [--kinds check,kit,...] [--keep FOLDER]
tests/fuzz/attack.py PROGRAM --replay FOLDER [--gentle]

Runs the program on files that are valid in form and changed in meaning: designs of many groups with
joints swapped, copies removed, planes moved, ragged outlines, thick board; state files, whole runs,
ballots, votes, workshops, tastes, materials, drawings, options and lines for `score` alike. What
must hold for every run:

- it ends by itself, with a status of 0 to 5 (4 only where a system refuses), not by a signal;
- within 5 s of processor time and 1 GB of memory (a search and a tuning have their own budget);
- a mistake is told in one line `sixtyfold: ...` without words of a library;
- kit, nest and gallery do not end with 0 where `check` finds a fault of the geometry.

What breaks a rule is kept as a file in FOLDER, with the command in a file beside it. --replay runs
every file of a corpus, so named that its first word is the kind: `check-ragged.json`.
"""
import argparse
import copy
import json
import math
import os
import random
import re
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time

MOST_CPU_S = 5.0
MOST_BYTES = 1 << 30
MOST_WALL_S = 60
GENTLE = False  # for sanitizers and busy machines: no limit on memory, eight times the time
FOREIGN_WORDS = ("Could not convert", "filesystem error", "Assertion", "json.exception", "what():",
                 "terminate called", "std::", "_mm is", "_deg is", "basic_string")
# Faults of the geometry, by the words that check uses for them.
GEOMETRY = ("pass through each other", "overlap in one plane", "run into each other",
            "no two copies are joined", "that no joint holds together", "the symmetry",
            "off the panel", "crosses itself", "leave nothing of the part")
GROUPS = ("I", "O", "T", "D2", "D3", "D5", "D7", "C3", "C6", "Ih", "Oh", "Td", "Th", "D3d", "D4h",
          "C4v", "C3h", "S6")


def patience():
    return 8 if GENTLE else 1


class Run:
    """`serves`: the program goes on until Ctrl-C, which it gets once it has said so."""

    def __init__(self, program, arguments, folder, stdin=b"", serves=False):
        self.arguments = arguments
        begun = time.time()
        with open(os.path.join(folder, ".in"), "wb") as file:
            file.write(stdin)
        with open(os.path.join(folder, ".in"), "rb") as source, \
                open(os.path.join(folder, ".out"), "wb") as out, \
                open(os.path.join(folder, ".err"), "wb") as err:
            child = subprocess.Popen([program] + arguments, cwd=folder, stdin=source, stdout=out,
                                     stderr=err, preexec_fn=self.limit)
            self.timed_out = False
            # wait4 tells what this child alone used.
            signal.signal(signal.SIGALRM, lambda *_: self.stop(child))
            signal.alarm(patience() * MOST_WALL_S)
            ended, told = 0, not serves
            while ended == 0:
                ended, status, usage = os.wait4(child.pid, 0 if told else os.WNOHANG)
                if ended == 0:
                    time.sleep(0.01)
                    with open(os.path.join(folder, ".out"), "rb") as file:
                        told = b"Ctrl-C" in file.read()
                    if told:
                        child.send_signal(signal.SIGINT)
            signal.alarm(0)
            child.returncode = 0
        self.status = -os.WTERMSIG(status) if os.WIFSIGNALED(status) else os.WEXITSTATUS(status)
        self.cpu_s = usage.ru_utime + usage.ru_stime
        self.bytes = usage.ru_maxrss * 1024
        self.wall_s = time.time() - begun
        with open(os.path.join(folder, ".out"), "rb") as file:
            self.out = file.read().decode("utf-8", "replace")
        with open(os.path.join(folder, ".err"), "rb") as file:
            self.err = file.read().decode("utf-8", "replace")

    def stop(self, child):
        self.timed_out = True
        child.kill()

    @staticmethod
    def limit():
        resource.setrlimit(resource.RLIMIT_CPU, (50 * patience(), 60 * patience()))
        if not GENTLE:
            resource.setrlimit(resource.RLIMIT_AS, (4 << 30, 4 << 30))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))

    def faults(self, slow=False):
        found = []
        if self.timed_out:
            found.append("did not end")
        elif self.status < 0:
            found.append("signal %d" % -self.status)
        elif self.status not in (0, 1, 2, 3, 5):
            found.append("status %d" % self.status)
        if not slow and self.cpu_s > patience() * MOST_CPU_S:
            found.append("%.1f s of processor time" % self.cpu_s)
        if self.bytes > MOST_BYTES and not GENTLE:
            found.append("%d MB" % (self.bytes >> 20))
        if self.status == 2:
            lines = [line for line in self.err.splitlines() if not line.startswith("Note: ")]
            if len(lines) != 1 or not lines[0].startswith("sixtyfold: "):
                found.append("a mistake is not told in one line")
            elif len(lines[0]) > 2000:
                found.append("a mistake is told in %d characters" % len(lines[0]))
        for word in FOREIGN_WORDS:
            if word in self.err:
                found.append("says '%s'" % word)
        if re.search("[\x00-\x08\x0b-\x1f\x7f\u202a-\u202e\u2066-\u2069]", self.err + self.out):
            found.append("prints control characters")
        return found


# ---------------------------------------------------------------- designs

def turn_about(axis, angle):
    x, y, z = axis
    c, s = math.cos(angle), math.sin(angle)
    return [[c + x * x * (1 - c), x * y * (1 - c) - z * s, x * z * (1 - c) + y * s],
            [y * x * (1 - c) + z * s, c + y * y * (1 - c), y * z * (1 - c) - x * s],
            [z * x * (1 - c) - y * s, z * y * (1 - c) + x * s, c + z * z * (1 - c)]]


def times(matrix, vector):
    return [sum(matrix[i][k] * vector[k] for k in range(3)) for i in range(3)]


def product(a, b):
    return [[sum(a[i][k] * b[k][j] for k in range(3)) for j in range(3)] for i in range(3)]


def unit(rng):
    while True:
        v = [rng.gauss(0, 1) for _ in range(3)]
        length = math.sqrt(sum(x * x for x in v))
        if length > 0.1:
            return [x / length for x in v]


def set_plane(panel, normal, distance):
    """The plane with this normal and distance; the outline keeps its coordinates."""
    helper = [0, 0, 1] if abs(normal[2]) < 0.9 else [1, 0, 0]
    x = [helper[1] * normal[2] - helper[2] * normal[1], helper[2] * normal[0] - helper[0] * normal[2],
         helper[0] * normal[1] - helper[1] * normal[0]]
    length = math.sqrt(sum(v * v for v in x))
    x = [v / length for v in x]
    y = [normal[1] * x[2] - normal[2] * x[1], normal[2] * x[0] - normal[0] * x[2],
         normal[0] * x[1] - normal[1] * x[0]]
    panel.update(origin_mm=[distance * v for v in normal], x_axis=x, y_axis=y, normal=normal)


def ring(rng, corners, radius, ragged):
    """Star-shaped about the foot, with teeth."""
    points = []
    for k in range(corners):
        angle = 2 * math.pi * (k + 0.3 * rng.random()) / corners
        r = radius * (1 - ragged * (k % 2) * rng.uniform(0.5, 1) - 0.02 * rng.random())
        points.append([r * math.cos(angle), r * math.sin(angle)])
    return points


def comb(corners, width, height):
    """Long teeth side by side: many corners that look into each other."""
    teeth = max(2, corners // 4)
    points = [[width / 2, -height], [width / 2, -0.9 * height]]
    step = width / teeth
    for k in range(teeth):
        right = width / 2 - k * step
        points += [[right, height], [right - 0.5 * step, height],
                   [right - 0.5 * step, -0.9 * height], [right - 0.98 * step, -0.9 * height]]
    points += [[-width / 2, -height]]
    return points


def add_teeth(rng, outline, count, depth):
    """One edge becomes a saw, cut into the part: what is joined elsewhere stays as it is."""
    k = rng.randrange(len(outline))
    a, b = outline[k], outline[(k + 1) % len(outline)]
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = math.hypot(dx, dy)
    depth *= length
    inward = [-dy / length * depth, dx / length * depth]
    teeth = []
    for i in range(1, 2 * count):
        share = i / (2.0 * count)
        deep = i % 2
        teeth.append([a[0] + share * dx + deep * inward[0], a[1] + share * dy + deep * inward[1]])
    return outline[:k + 1] + teeth + outline[k + 1:]


def scale(design, factor):
    panel = design["panel"]
    panel["origin_mm"] = [factor * v for v in panel["origin_mm"]]
    panel["outline_mm"] = [[factor * v for v in p] for p in panel["outline_mm"]]
    for hole in panel.get("holes_mm", []):
        for p in hole:
            p[:] = [factor * v for v in p]


def spread(rng, low, high):
    return math.exp(rng.uniform(math.log(low), math.log(high)))


def change_design(rng, design):
    """One change of meaning; the file stays a design, or nearly."""
    panel = design["panel"]
    radius = max(math.hypot(*p) for p in panel["outline_mm"])
    choice = rng.randrange(27)
    if choice == 0 and design.get("joints"):
        for joint in design["joints"]:
            joint["panels"].reverse()
    elif choice == 1:
        design.pop("copies", None)
        design.pop("joints", None)
    elif choice == 2 and len(design.get("copies", [])) > 1:
        for _ in range(rng.randint(1, 3)):
            if len(design["copies"]) > 1:
                design["copies"].pop(rng.randrange(len(design["copies"])))
        design.pop("joints", None)
    elif choice == 3:
        design["symmetry"] = rng.choice(GROUPS + ("C1", "Cs", "Ci", "D60h", "C60", "D30d", "S8"))
        if rng.random() < 0.5:
            design.pop("copies", None)
            design.pop("joints", None)
    elif choice == 4:
        distance = math.sqrt(sum(v * v for v in panel["origin_mm"]))
        set_plane(panel, unit(rng), distance * spread(rng, 0.05, 3))
    elif choice == 5:  # nearly parallel copies: small angles between planes
        axis = [0, 0, 1]
        tilt = spread(rng, 1e-6, 0.1)
        normal = times(turn_about([1, 0, 0], tilt), axis)
        set_plane(panel, normal, rng.choice([0, spread(rng, 1, 1000)]))
    elif choice == 6:
        scale(design, spread(rng, 0.001, 1000))
    elif choice == 7:
        panel["outline_mm"] = ring(rng, rng.choice([3, 5, 24, 100, 500, 500, 1000]),
                                   radius, rng.random())
    elif choice == 8:
        panel["outline_mm"] = comb(rng.choice([16, 64, 256, 500, 1000]), radius, radius)
    elif choice == 9:
        for p in panel["outline_mm"]:
            p[0] += rng.gauss(0, 0.01 * radius)
            p[1] += rng.gauss(0, 0.01 * radius)
    elif choice == 10:
        design["thickness_mm"] = rng.choice([0.05, 0.1, 50, 100, spread(rng, 0.05, 100)])
    elif choice == 11:
        limits = design.setdefault("limits", {})
        limits[rng.choice(["min_angle_deg"])] = 0
        limits["max_angle_deg"] = 180
        limits["min_joint_mm"] = 0
        limits["min_width_mm"] = 0
    elif choice == 12:
        limits = design.setdefault("limits", {})
        limits["sheet_width_mm"] = spread(rng, 50, 2000)
        limits["sheet_height_mm"] = limits["sheet_width_mm"] * spread(rng, 1, 10)
        limits["edge_margin_mm"] = rng.choice([0, 1, 20])
        limits["gap_mm"] = rng.choice([0, 1e-3, 3, 1000])
    elif choice == 13:
        design.setdefault("limits", {})["joints_by"] = rng.choice(["slot", "both", "tab"])
    elif choice == 14:
        design.setdefault("limits", {})["tab_depth_mm"] = rng.choice([2, 3, 8, 500])
    elif choice == 15 and "copies" in design:
        whole = turn_about(unit(rng), rng.uniform(0, 6))
        for item in design["copies"]:
            item["rotation"] = product(whole, item["rotation"])
        design.pop("joints", None)
    elif choice == 16:
        holes = panel.setdefault("holes_mm", [])
        for _ in range(rng.choice([1, 3, 50, 300])):
            x, y, r = rng.uniform(-radius, radius), rng.uniform(-radius, radius), radius * 0.01
            holes.append([[x, y], [x + r, y], [x, y + r]])
    elif choice == 17 and "copies" in design:
        other = copy.deepcopy(panel)
        set_plane(other, unit(rng), radius * rng.random())
        first = {"panel": panel, "copies": design.pop("copies")}
        design["orbits"] = [first] + [{"panel": copy.deepcopy(other)}
                                      for _ in range(rng.choice([1, 2, 40]))]
        del design["panel"]
        design.pop("joints", None)
        return False
    elif choice == 18:
        panel["outline_mm"] = [[3 * p[0], p[1] / 3] for p in panel["outline_mm"]]
    elif choice == 19:
        design["symmetry"] = "D60h"
        design.pop("copies", None)
        design.pop("joints", None)
        panel["outline_mm"] = ring(rng, rng.choice([8, 60, 400]), radius, 0.3 * rng.random())
    elif choice == 20:
        limits = design.setdefault("limits", {})
        limits["tool"] = rng.choice(["knife", "scroll-saw"])
        limits["feed_mm_per_min"] = rng.choice([1, 1e5])
        limits["throat_mm"] = rng.choice([10, 5000])
        limits["cutting_height_mm"] = rng.choice([0.05, 200])
    elif choice == 21:
        k = rng.randrange(len(panel["outline_mm"]))
        p = panel["outline_mm"][k]
        panel["outline_mm"].insert(k, [p[0] * (1 + 1e-9), p[1] + 1e-7])
    elif choice == 22:
        design["name"] = rng.choice(["\u202eevil", "x" * 200, "<b>&\"'", "\u00e9\u4e2d", ""])
    elif choice >= 24:
        room = 1024 - len(panel["outline_mm"])
        count = min(rng.choice([3, 30, 100, 200, 480]), max(1, room // 2))
        panel["outline_mm"] = add_teeth(rng, panel["outline_mm"], count,
                                        rng.choice([0.01, 0.1, 0.5]))
    elif choice == 23:
        key = rng.choice(list(design))
        design[key] = rng.choice([None, [], {}, -1, 1e300, "x", True, [[[]]]])
        return False
    return "panel" in design and isinstance(design["panel"], dict)


def make_design(rng, bases):
    design = copy.deepcopy(rng.choice(bases))
    for _ in range(rng.choice([1, 1, 1, 2, 3])):
        if not change_design(rng, design):
            break
    return design


# ---------------------------------------------------------------- other files

def change_bytes(rng, data):
    data = bytearray(data)
    for _ in range(rng.choice([1, 1, 2, 8])):
        at = rng.randrange(len(data) + 1)
        what = rng.randrange(4)
        if what == 0 and data:
            data[at % len(data)] ^= 1 << rng.randrange(8)
        elif what == 1:
            data[at:at] = bytes(rng.randrange(256) for _ in range(rng.randint(1, 9)))
        elif what == 2:
            del data[at:at + rng.randint(1, 40)]
        else:
            data[at:at] = data[at:at + rng.randint(1, 200)]
    return bytes(data)


def change_json(rng, data):
    """A value somewhere in it becomes another, or goes, or comes twice."""
    if rng.random() < 0.3:
        return change_bytes(rng, data)
    whole = json.loads(data)
    for _ in range(rng.choice([1, 1, 3])):
        at = whole
        while True:
            keys = list(at) if isinstance(at, dict) else list(range(len(at)))
            if not keys:
                break
            key = rng.choice(keys)
            if isinstance(at[key], (dict, list)) and at[key] and rng.random() < 0.8:
                at = at[key]
                continue
            what = rng.randrange(4)
            if what == 0:
                del at[key]
            elif what == 1 and isinstance(at, list):
                at.append(copy.deepcopy(at[key]))
            elif what == 2 and isinstance(at[key], (int, float)):
                at[key] = at[key] * rng.choice([-1, 2, 1e9, 1e300]) + rng.choice([0, 1, 0.5])
            else:
                at[key] = rng.choice([None, True, -1, 0, 1e300, 10 ** 12, "", "x" * 3000, "\u202e",
                                      "../x", "/etc/passwd", [], {}, [[[]]], "<b>", "0"])
            break
    return json.dumps(whole).encode()


def checksum(data):
    value = 0xcbf29ce484222325
    for byte in data:
        value = ((value ^ byte) * 0x100000001b3) & 0xffffffffffffffff
    return value


def change_state(rng, data):
    """A state file with changed values and, half the time, the checksum that belongs to them."""
    first, rest = data.split(b"\n", 1)
    if rng.random() < 0.4:
        return change_bytes(rng, data)
    header, state = rest.split(b"\n", 1)
    state = bytearray(state)
    for _ in range(rng.choice([1, 1, 4])):
        if not state:
            break
        at = rng.randrange(len(state))
        if rng.random() < 0.5:
            at -= at % 8
            state[at:at + 8] = rng.choice([b"\xff" * 8, b"\0" * 8, b"\0" * 6 + b"\xf8\x7f",
                                           b"\0" * 6 + b"\xf0\x7f", b"\1" + b"\0" * 7])
        else:
            state[at] ^= 1 << rng.randrange(8)
    rest = header + b"\n" + bytes(state)
    words = first.split(b" ")
    return b" ".join(words[:2] + [b"%016x" % checksum(rest)]) + b"\n" + rest


def make_ballots(rng):
    lines = [rng.choice(["vote", "voter,vote", "vote,count", "\ufeffvote", "Vote;count", ""])]
    for _ in range(rng.choice([0, 1, 5, 200])):
        marks = [str(rng.choice([1, 2, 3, 7, 99, -1, 0, 10 ** 20, "x", ""])) for _ in
                 range(rng.randint(0, 6))]
        lines.append(rng.choice([" ", ">", "=", ",", "  ", ">="]).join(marks) +
                     rng.choice(["", ",1", ",0", ",-1", ",99999999999999", ',"', "\u202e"]))
    return "\n".join(lines).encode("utf-8", "replace")


def make_svg(rng):
    def number():
        return rng.choice(["0", "10", "-5", "1e3", "1e99", "nan", "", "3.5mm", "100%", "1e-9"])
    shapes = []
    for _ in range(rng.choice([1, 1, 2, 50])):
        path = "M0 0 " + " ".join(
            rng.choice("LCQAHVSTlcqahvstZz") + " ".join(number() for _ in range(rng.randint(0, 7)))
            for _ in range(rng.choice([1, 4, 30, 600])))
        shapes.append(rng.choice([
            '<path d="%s"/>' % path,
            '<path d="M0 0 L%d 0 L%d %d L0 %d Z"/>' % tuple(rng.randint(10, 400) for _ in range(4)),
            '<rect width="%s" height="%s" rx="%s"/>' % (number(), number(), number()),
            '<circle r="%d"/>' % rng.randint(1, 300), '<ellipse rx="%s" ry="4"/>' % number(),
            '<polygon points="%s"/>' % " ".join(number() for _ in range(rng.randint(0, 40))),
            '<use href="#a"/>', '<g id="a" transform="scale(%s) rotate(%s)"><use href="#a"/></g>' %
            (number(), number()), "<text>x</text>"]))
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="%s" height="%s" viewBox="0 0 %s %s">' % (
        rng.choice(["200mm", "10in", "50%", number()]), rng.choice(["200mm", number()]), number(),
        number())
    return (head + "".join(shapes) + "</svg>").encode()


def make_option_words(rng):
    words = ["0", "-1", "010", "1e400", "nan", "inf", "3.7", "x", "", " ", "1..0", "..", "1..2..3",
             "600x1200", "0x0", "1e308in", "\u202e", "x" * 5000, "%s%n", "true", "1,2,,3", "-",
             "a=b", "I", "D99", "Ih,any", "joints", "joints=2", "joints<=3", "mass<=", "0s", "9d"]
    options = ["--sheet", "--thickness", "--gap", "--tab-depth", "--angles", "--diameter",
               "--panels", "--joints", "--openness", "--price", "--feed", "--material", "--count",
               "--seed", "--threads", "--weight", "--limit", "--pareto", "--group", "--family",
               "--plane", "--budget", "--time", "--checkpoint", "--streams", "--shard", "--quiet",
               "--stats", "--json", "--grain", "--tool", "--joints-by", "--hang", "--stand",
               "--people", "--saws", "--spares", "--colours", "--module", "--kerf", "--paper",
               "--curve", "--most-sheets", "--least-diameter", "--effort", "--first-cut", "--for",
               "--keep-look", "--normal", "--also", "--method", "--unknown", "-x"]
    arguments = []
    for _ in range(rng.randint(1, 3)):
        option = rng.choice(options)
        if rng.random() < 0.15:
            arguments.append(option + "=" + rng.choice(words))
        else:
            arguments.append(option)
            if rng.random() < 0.9:
                arguments.append(rng.choice(words))
    return [a.replace("\0", "") for a in arguments]


# ---------------------------------------------------------------- the attacks

class Attacker:
    def __init__(self, program, seed, keep):
        self.program, self.rng, self.keep = os.path.abspath(program), random.Random(seed), keep
        self.folder = tempfile.mkdtemp(prefix="attack-")
        self.totals, self.kept = {}, 0
        self.bases, self.materials = [], []

    def prepare(self, with_runs=True):
        """Designs of many groups, a folder with a run, shards and a checkpoint."""
        if not with_runs:
            return
        for number, group in enumerate(GROUPS):
            out = "base-%d" % number
            for extra in ([], ["--allow-flexible", "--min-joint", "10", "--min-width", "2",
                               "--openness", "0..1", "--angles", "5..175"]):
                shutil.rmtree(os.path.join(self.folder, out), ignore_errors=True)
                Run(self.program, ["find", "--group", group, "--budget", "4000", "--count", "3",
                                   "--seed", "3", "--quiet", "--out", out] + extra, self.folder)
                path = os.path.join(self.folder, out)
                files = [f for f in os.listdir(path) if f[0].isdigit() and f.endswith(".json")] \
                    if os.path.isdir(path) else []
                if files:
                    break
            for name in files:
                with open(os.path.join(path, name)) as file:
                    self.bases.append(json.load(file))
        for shard in (1, 2):
            Run(self.program, ["find", "--group", "T", "--budget", "1000", "--shard",
                               "%d/2" % shard, "--quiet", "--out", "shard-%d" % shard], self.folder)
        Run(self.program, ["gallery", "--group", "T", "--budget", "1000", "--count", "4", "--out",
                           "voting"], self.folder)
        Run(self.program, ["vote", "voting", "--no-browser", "--address", "127.0.0.1", "--voters",
                           "5"], self.folder, serves=True)
        self.prepare_workshop()
        self.write("votes.csv", b"ballot,vote\n1,1\n2,1\n3,3\n")
        Run(self.program, ["taste", "voting", "--ballots", "votes.csv", "--out", "learnt.json"],
            self.folder)
        with open(self.path("learnt.json"), "rb") as file:
            self.taste = file.read()
        names = Run(self.program, ["materials"], self.folder).out.split()
        for name in names:
            shown = Run(self.program, ["materials", name], self.folder)
            if shown.status == 0 and shown.out.startswith("{"):
                self.materials.append(shown.out.encode())
        print("%d designs of %d groups" % (len(self.bases), len({b["symmetry"] for b in self.bases})))

    def prepare_workshop(self):
        """A folder in which a search was carried out, a design picked and a field changed."""
        Run(self.program, ["workshop", "desk", "--no-browser"], self.folder, serves=True)
        with open(self.path("desk/workshop.json"), "rb") as file:
            state = json.load(file)
        shutil.copytree(self.path("shard-1"), self.path("desk/find-001"))
        state["things"].append({"number": 1, "kind": "find", "folder": "find-001", "about": "",
                                "command": ["find", "--group", "T", "--out", "find-001"],
                                "started": "10:00", "seconds": 1.0, "status": 0, "ending": "done",
                                "told": ["Board 600 x 1200 mm"], "resumed": False, "away": False})
        state["marks"].append({"key": "0123abcd", "word": "pick", "folder": "find-001",
                               "file": "001.json", "name": "one"})
        state["done"] = [{"what": "field", "of": "people", "before": "12", "after": "20"},
                         {"what": "mark", "of": "0123abcd", "before": "", "after": "pick"}]
        state["form"]["people"] = "20"
        self.write("desk/workshop.json", json.dumps(state).encode())
        opened = Run(self.program, ["workshop", "desk", "--no-browser"], self.folder, serves=True)
        if opened.status != 0:
            raise SystemExit("the workshop to attack does not open: " + opened.err)

    def path(self, name):
        return os.path.join(self.folder, name)

    def write(self, name, data):
        with open(self.path(name), "wb") as file:
            file.write(data)
        return name

    def change_file(self, name, change):
        with open(self.path(name), "rb") as file:
            data = change(self.rng, file.read())
        self.write(name, data)
        return data

    def copy_folder(self, source):
        shutil.rmtree(self.path("changed"), ignore_errors=True)
        shutil.copytree(self.path(source), self.path("changed"))

    def run(self, kind, arguments, data=b"", stdin=b"", slow=False, more=(), serves=False):
        run = Run(self.program, arguments, self.folder, stdin, serves)
        total = self.totals.setdefault(kind, {"runs": 0, "faults": 0, "cpu_s": 0.0, "mb": 0,
                                              "status": {}})
        total["runs"] += 1
        total["status"][run.status] = total["status"].get(run.status, 0) + 1
        if not slow:
            total["cpu_s"] = max(total["cpu_s"], run.cpu_s)
        total["mb"] = max(total["mb"], run.bytes >> 20)
        faults = run.faults(slow) + list(more(run) if callable(more) else more)
        if faults:
            total["faults"] += 1
            self.kept += 1
            print("%s: %s: %s | %s" % (kind, "; ".join(faults), " ".join(arguments)[:200],
                                       run.err.strip()[:200]), flush=True)
            if self.keep:
                os.makedirs(self.keep, exist_ok=True)
                name = os.path.join(self.keep, "%s-%04d" % (kind, self.kept))
                with open(name, "wb") as file:
                    file.write(data or stdin)
                with open(name + ".txt", "w") as file:
                    file.write("; ".join(faults) + "\n" + repr(arguments) + "\n" + run.err[:2000])
        return run

    def geometry_faults(self, arguments):
        checked = Run(self.program, ["check", "given.json", "--json"] + arguments, self.folder)
        try:
            faults = json.loads(checked.out)["faults"]
        except ValueError:
            return []
        return [f for f in faults if any(word in f for word in GEOMETRY)]

    def attack_design(self, kind, data):
        shutil.rmtree(self.path("out"), ignore_errors=True)
        self.write("given.json", data)
        if kind == "check":
            more = self.rng.choice([[], [], ["--json"], ["--hang", "0"], ["--angles", "0..180"],
                                    ["--motion", "m.svg"]])
            self.run(kind, ["check", "given.json"] + more, data)
            return
        arguments = self.rng.choice([[], [], ["--angles", "0..180"], ["--thickness", "12"],
                                     ["--sheet", "3000x3000"]])

        def agrees(run):
            if run.status != 0 or kind == "tune":
                return
            broken = self.geometry_faults(arguments)
            if broken:
                yield "status 0 where check says: " + broken[0]
        if kind == "kit":
            self.run(kind, ["kit", "given.json", "--out", "out"] + arguments, data, more=agrees)
        elif kind == "nest":
            extra = self.rng.choice([[], ["--svg", "s.svg"], ["--json"], ["--effort", "1"]])
            self.run(kind, ["nest", "given.json"] + extra + arguments, data, more=agrees)
        elif kind == "gallery":
            shutil.rmtree(self.path("some"), ignore_errors=True)
            os.mkdir(self.path("some"))
            self.write("some/1.json", data)
            self.run(kind, ["gallery", "--from", "some", "--out", "out"] + arguments, data,
                     more=agrees)
        elif kind == "tune":
            budget = "8" if GENTLE else "120"
            self.run(kind, ["tune", "given.json", "--budget", budget, "--out", "out"] + arguments,
                     data, slow=True)

    def attack(self, kind):
        rng = self.rng
        if kind in ("check", "kit", "nest", "gallery", "tune"):
            data = json.dumps(make_design(rng, self.bases)).encode()
            if rng.random() < 0.05:
                data = change_bytes(rng, data)
            self.attack_design(kind, data)
        elif kind == "score":
            lines = []
            for _ in range(rng.randint(1, 4)):
                line = json.dumps(make_design(rng, self.bases)).encode() if rng.random() < 0.7 else \
                    json.dumps({"symmetry": rng.choice(GROUPS), "plane": "generic",
                                "family": "radial", "parameters": [rng.uniform(-1, 2)] * 9}).encode()
                lines.append(line if rng.random() < 0.9 else change_bytes(rng, line))
            text = b"\n".join(lines) + b"\n"

            def answers(run):
                if run.status == 0 and run.out.count("\n") != text.count(b"\n"):
                    yield "%d answers to %d lines" % (run.out.count("\n"), text.count(b"\n"))
            self.run(kind, ["score", "--threads", "1"], stdin=text, more=answers)
        elif kind in ("merge", "resume"):
            source = "shard-%d" % rng.randint(1, 2)
            self.copy_folder(source)
            data = self.change_file("changed/finds.state", change_state)
            shutil.rmtree(self.path("out"), ignore_errors=True)
            self.run(kind, ["merge", "changed"] + rng.choice([[], ["shard-1"], ["shard-2"]]) +
                     ["--out", "out"], data, slow=True)
        elif kind == "svg":
            shutil.rmtree(self.path("out"), ignore_errors=True)
            data = make_svg(rng)
            if rng.random() < 0.3:
                data = change_bytes(rng, data)
            self.write("part.svg", data)
            self.run(kind, ["tune", "--outline", "part.svg", "--symmetry", rng.choice(GROUPS),
                            "--distance", rng.choice(["0", "100", "400"]), "--budget", "1000",
                            "--out", "out"], data, slow=True)
        elif kind == "run":
            self.copy_folder("shard-1")
            name = rng.choice(["kept.jsonl", "search.json", "run.json", "ranking.json", "001.json"])
            one_line = {"kept.jsonl": change_bytes}.get(name, change_json)
            data = self.change_file("changed/" + name, one_line)
            self.run(kind, rng.choice([["explore", "changed"], ["gallery", "--from", "changed"]]),
                     data)
        elif kind == "vote":
            self.copy_folder("voting")
            name = rng.choice(["vote/vote.json", "vote/ballots.kept", "gallery.json"])
            data = self.change_file("changed/" + name,
                                    change_bytes if name.endswith("kept") else change_json)
            self.run(kind, ["vote", "changed", "--no-browser"], data, serves=True)
        elif kind == "workshop":
            self.copy_folder("desk")
            data = self.change_file("changed/workshop.json", change_json)
            self.run(kind, ["workshop", "changed", "--no-browser"], data, serves=True)
        elif kind == "taste":
            self.write("taste.json", change_json(rng, self.taste))
            shutil.rmtree(self.path("out"), ignore_errors=True)
            self.run(kind, ["find", "--taste", "taste.json", "--budget", "100", "--count", "2",
                            "--quiet", "--out", "out"])
        elif kind == "ballots":
            data = make_ballots(rng)
            self.write("votes.csv", data)
            shutil.rmtree(self.path("out"), ignore_errors=True)
            self.run(kind, ["tally", "votes.csv", "--out", "out"], data)
        elif kind == "materials":
            data = change_bytes(rng, rng.choice(self.materials))
            self.write("board.json", data)
            self.write("given.json", json.dumps(rng.choice(self.bases)).encode())
            self.run(kind, ["check", "given.json", "--material", "./board.json"], data)
        elif kind == "options":
            self.write("given.json", json.dumps(rng.choice(self.bases)).encode())
            shutil.rmtree(self.path("out"), ignore_errors=True)
            command = rng.choice([["find", "--budget", "50", "--out", "out"], ["check", "given.json"],
                                  ["nest", "given.json"], ["kit", "given.json", "--out", "out"],
                                  ["score"], ["gallery", "--budget", "50", "--out", "out"],
                                  ["tally", "votes.csv"], ["materials"], ["merge", "shard-1"]])
            self.run(kind, command + make_option_words(rng), slow=True)
        else:
            raise SystemExit("no such kind: " + kind)

    def replay(self, folder):
        for name in sorted(os.listdir(folder)):
            kind = name.split("-")[0]
            with open(os.path.join(folder, name), "rb") as file:
                data = file.read()
            if kind == "design":
                for each in ("check", "kit", "nest", "gallery"):
                    self.rng.seed(0)
                    self.attack_design(each, data)
            elif kind == "tune":
                self.rng.seed(0)
                self.attack_design(kind, data)
            elif kind == "score":
                self.run(kind, ["score", "--threads", "1"], stdin=data)
            elif kind == "ballots":
                self.run(kind, ["tally", self.write("votes.csv", data), "--out", "out"], data)
            elif kind == "svg":
                shutil.rmtree(self.path("out"), ignore_errors=True)
                self.run(kind, ["tune", "--outline", self.write("part.svg", data), "--distance",
                                "400", "--budget", "1000", "--out", "out"], data, slow=True)
            elif kind == "state":
                os.makedirs(self.path("changed"), exist_ok=True)
                self.write("changed/finds.state", data)
                self.run(kind, ["merge", "changed", "--out", "out"], data)

    def report(self):
        for kind, total in sorted(self.totals.items()):
            print("%-10s %6d runs, %d faults, most %.1f s, %d MB, by status %s" %
                  (kind, total["runs"], total["faults"], total["cpu_s"], total["mb"],
                   dict(sorted(total["status"].items()))))
        shutil.rmtree(self.folder, ignore_errors=True)
        return 1 if self.kept else 0


KINDS = ("check", "kit", "nest", "gallery", "tune", "score", "merge", "run", "svg", "ballots", "vote",
         "workshop", "taste", "materials", "options")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--kinds", default=",".join(KINDS))
    parser.add_argument("--keep")
    parser.add_argument("--replay")
    parser.add_argument("--gentle", action="store_true")
    given = parser.parse_args()
    global GENTLE
    GENTLE = given.gentle
    attacker = Attacker(given.program, given.seed, given.keep)
    attacker.prepare(with_runs=not given.replay)
    if given.replay:
        attacker.replay(given.replay)
        return attacker.report()
    kinds = given.kinds.split(",")
    for kind in kinds:
        end = time.time() + given.seconds / len(kinds)
        while time.time() < end:
            attacker.attack(kind)
    return attacker.report()


if __name__ == "__main__":
    sys.exit(main())
