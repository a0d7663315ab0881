#!/usr/bin/env python3
"""An outside optimiser in twenty lines: a (1+8) evolution strategy that drives `sixtyfold score`."""
import json, random, subprocess, sys

evaluations, program = int(sys.argv[1]), sys.argv[2] if len(sys.argv) > 2 else "sixtyfold"
choice = {"symmetry": "I", "plane": "generic", "family": "radial"}
schema = json.loads(subprocess.check_output(
    [program, "score", "--describe", "--group", "I", "--plane", "generic", "--family", "radial"]))
box = schema["oneOf"][0]["properties"]["parameters"]["oneOf"][0]["properties"]
low, high = [p["minimum"] for p in box.values()], [p["maximum"] for p in box.values()]
judge = subprocess.Popen([program, "score", "--sheet", "600x1200"], text=True, bufsize=1,
                         stdin=subprocess.PIPE, stdout=subprocess.PIPE)
random.seed(1)
best, merit, step = [random.uniform(a, b) for a, b in zip(low, high)], -99.0, 0.2
for _ in range(evaluations // 8):
    children = [[min(b, max(a, x + random.gauss(0, step) * (b - a))) for x, a, b in zip(best, low, high)]
                for _ in range(8)]
    judge.stdin.write("".join(json.dumps({**choice, "parameters": c}) + "\n" for c in children))
    for child in children:
        answer = json.loads(judge.stdout.readline())
        value = answer["quality"] if answer["feasible"] else -answer["violation"]
        best, merit, step = (child, value, step * 1.3) if value > merit else (best, merit, max(0.01, step * 0.96))
print(json.dumps({**choice, "parameters": best, "merit": merit}))
