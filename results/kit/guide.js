"use strict";
(() => {
{{basics}}
{{view}}
const {pieces, joints, panels, shape} = data, hasModules = pieces[0].inside.length > 0, dryFrom = data.dryFrom;
const key = name => `sixtyfold-guide-${data.design}-${name}`;
const store = makeStore("localStorage", () => { $("forgets").hidden = false; });
$("forgets").hidden = store.lasting;

// The steps: the panels of each module, the modules (or single panels), the glue for what waits.
const steps = [{kind: "start", id: "start", joints: [], panels: panels.map((_, i) => i), fresh: []}];
if (hasModules)
  pieces.forEach((piece, m) => piece.inside.forEach((one, k) => {
    if (k < 1 && piece.inside.length > 1) return;
    const there = piece.inside.slice(0, k + 1).map(o => o.panel);
    steps.push({kind: "module", id: `m${m}-${k}`, piece: m, k, joints: one.joints, panels: there, fresh: k > 1 ? [one.panel] : there, moving: k ? [one.panel] : [], way: one.way, push: one.push, whole: k + 1 === piece.inside.length});
  }));
pieces.forEach((piece, p) => steps.push({kind: "place", id: `p${p}`, piece: p, joints: piece.joints, panels: pieces.slice(0, p + 1).flatMap(o => o.panels), fresh: piece.panels, moving: p ? piece.panels : [], way: piece.way, push: piece.push}));
if (dryFrom < pieces.length)
  steps.push({kind: "glue", id: "glue", joints: pieces.slice(dryFrom).flatMap(piece => piece.joints), panels: panels.map((_, i) => i), fresh: []});
const stepOf = new Map();  // where a joint is made
for (const step of steps) if (step.kind !== "glue") for (const n of step.joints) stepOf.set(n, step);

const nameOf = i => {
  const {over, colour} = panels[i], number = colour === undefined ? `${i + 1}` : say("guide_coloured", {n: i + 1, colour: say("guide_colour_" + colour % 10)});
  return over ? say("guide_over", {name: number}) : number;
};
const numbers = list => list.map(i => i + 1).join(", ");
const jointName = n => { const {letter, panels: [a, b], kind} = joints[n]; return say("guide_joint_" + kind, {letter, a: a + 1, b: b + 1}); };
const titleOf = step => step.kind === "start" ? say("guide_start")
  : step.kind === "module" ? say(step.k < 2 ? "guide_in_module_first" : "guide_in_module", {module: step.piece + 1, n: step.k + 1, all: pieces[step.piece].inside.length})
  : step.kind === "place" ? say("guide_step", {n: step.piece + 1}) : say("guide_glue_step", {n: pieces.length + 1});

// Ticks: a joint that is glued has been dry.
const dry = new Set(), glued = new Set();
const addTicks = kept => {
  const valid = n => Number.isInteger(n) && n >= 0 && n < joints.length, before = dry.size + glued.size;
  for (const n of Array.isArray(kept?.dry) ? kept.dry : []) if (valid(n)) dry.add(n);
  for (const n of Array.isArray(kept?.glued) ? kept.glued : []) if (valid(n)) { glued.add(n); dry.add(n); }
  return dry.size + glued.size - before;
};
const readTicks = () => { dry.clear(); glued.clear(); try { addTicks(JSON.parse(store.get(key("ticks")) ?? "{}")); } catch (damaged) { /* then nothing is ticked */ } };
const writeTicks = () => { const inOrder = set => [...set].sort((a, b) => a - b); return {dry: inOrder(dry), glued: inOrder(glued)}; };
const tick = (list, set, on) => {
  for (const n of list) {
    if (set === dry && on) dry.add(n);
    if (set === dry && !on) { dry.delete(n); glued.delete(n); }
    if (set === glued && on) { dry.add(n); glued.add(n); }
    if (set === glued && !on) glued.delete(n);
  }
  store.set(key("ticks"), JSON.stringify(writeTicks()));
  showTicks();
};
const stateOf = n => glued.has(n) ? "glued" : dry.has(n) ? "dry" : "open";
readTicks();
window.addEventListener("storage", event => { if (event.key === key("ticks")) { readTicks(); showTicks(); } });

// Who reads it: everybody, one team, or those who put it together.
const teamCount = () => Math.min(20, Math.max(1, Math.round(+$("teams").value) || 1));
$("teams").value = store.get(key("teams")) ?? data.teams;
const listReaders = wanted => {
  const choices = [["all", say("guide_all")], ...Array.from({length: teamCount()}, (_, t) => [`${t + 1}`, say("guide_team", {n: t + 1})]), ...hasModules ? [["together", say("guide_together")]] : []];
  $("who").replaceChildren(...choices.map(([value, text]) => { const option = element("option", "", text); option.value = value; return option; }));
  $("who").value = choices.some(([value]) => value === wanted) ? wanted : "all";
};
const isFor = (step, who) => who === "all" || step.kind === "start" || step.kind === "glue" ||
  (who === "together" ? step.kind === "place" : step.piece % teamCount() === who - 1);
let walk = [], now = steps[0];
const arrange = () => {
  const who = $("who").value;
  walk = steps.filter(step => isFor(step, who));
  $("where").replaceChildren(...walk.map(step => { const option = element("option", "", titleOf(step)); option.value = step.id; return option; }));
  go(walk.includes(now) ? now : walk.find(step => steps.indexOf(step) > steps.indexOf(now)) ?? walk[0]);
};

// What a step says.
const wordsOfWay = (way, push) => {
  const said = [];
  if (way === "hard") return [say("guide_push_hard")];
  if (way === "straight") said.push(say(data.folds ? "guide_push_tabs" : "guide_push_slots"));
  if (way === "open") said.push(say("guide_push_open"));
  if (way === "spring") said.push(say("guide_push_spring"));
  const up = push[2];
  said.push(say(up > 0.8 ? "guide_from_above" : up > 0.3 ? "guide_from_above_slanting" : up > -0.3 ? "guide_from_side" : up > -0.8 ? "guide_from_below_slanting" : "guide_from_below"));
  return said;
};
const wordsOf = step => {
  const piece = pieces[step.piece];
  if (step.kind === "glue") return [say(data.tabs ? "guide_walk_tabs" : "guide_walk_slots")];
  if (step.kind === "module") {
    const said = step.k < 2 ? [say("guide_table", {n: piece.inside[0].panel + 1})] : [];
    if (step.k) said.push(...wordsOfWay(step.way, step.push).slice(0, 1));
    if (!step.joints.length && step.k) said.push(say("guide_meets_nothing"));
    if (step.whole) said.push(say("guide_module_dries"));
    return said;
  }
  const said = [];
  if (step.piece === 0) said.push(say("guide_floor"), ...piece.panels.length === 1 ? [say("guide_hold_first")] : []);
  else {
    said.push(...wordsOfWay(step.way, step.push), ...piece.bends.map(bend => say("guide_bend", bend)));
    if (!piece.guided.length) said.push(say("guide_meets_nothing"));
    else if (piece.held < 0) said.push(say("guide_hold_end"));
    else { const [one, many] = words.guide_hold.split("|"); said.push((piece.guided.length > 1 ? many ?? one : one).replace("{n}", piece.held + 1).replace("{list}", numbers(piece.guided))); }
  }
  if (step.piece === 0 && piece.panels.length === 1) return said;
  said.push(piece.loose === 0 ? say("guide_stiff") : piece.loosest < 0 ? say("guide_moves_all") : say("guide_moves", {n: piece.loosest + 1}));
  return said;
};
const range = (from, to) => say(from === to ? "guide_step_one" : from + 1 === to ? "guide_step_two" : "guide_step_range", {from, to});
// An example of each way in which the joints are written.
const explainNames = () => ["tab", "edge", "slot"].flatMap(kind => {
  const n = joints.findIndex(joint => joint.kind === kind);
  if (n < 0) return [];
  const {letter, panels: [a, b]} = joints[n], paired = kind === "slot" && data.pairs ? "_pairs" : "";
  return [say(`guide_joint_help_${kind}${paired}`, {joint: jointName(n), letter, a: a + 1, b: b + 1})];
});
const tellStart = box => {
  const list = (tag, className, lines) => { const e = element(tag, className); e.append(...lines.map(line => element("li", "", line))); return e; };
  const facts = [say("guide_panels", {n: panels.length}), ...hasModules ? [say("guide_modules", {n: pieces.length, panels: pieces[0].inside.length})] : [], say("guide_joints", {n: joints.length}), say("guide_across", {n: data.across})];
  const how = [say(data.tabs ? "guide_how_parts_tabs" : "guide_how_parts"), ...hasModules ? [say("guide_how_modules")] : []];
  if (dryFrom >= pieces.length) how.push(say("guide_how_glue", {steps: range(1, pieces.length)}));
  else {
    if (dryFrom > 1) how.push(say("guide_how_glue", {steps: range(1, dryFrom)}));
    how.push(say("guide_how_dry", {steps: range(dryFrom + 1, pieces.length)}), say("guide_how_last", {n: pieces.length + 1}));
  }
  const help = [say("guide_how_ticks"), ...explainNames()];
  box.replaceChildren(element("p", "", say("guide_lead")), list("ul", "", facts), ...data.faults.length ? [list("ul", "cautions", data.faults.map(fault => say("guide_limits", {fault})))] : [],
    element("h3", "", say("guide_how")), list("ol", "", how), ...help.map(line => element("p", "", line)), element("h3", "", say("guide_cautions")),
    list("ul", "cautions", ["saws", "ladders", "overhead", "glue", "fire", "codes"].map(name => say("guide_caution_" + name))));
};
const tellWhen = step => {
  const said = [];
  if (step.kind === "place") {
    if (hasModules) said.push([say("guide_module_name", {n: step.piece + 1})]);
    if (step.way === "hard" && step.piece) said.push([say("guide_closing"), 1]);
    if (step.way === "spring") said.push([say("guide_spring"), 1]);
    if (step.joints.length) said.push(step.piece < dryFrom ? [say("guide_fit_glue")] : [say("guide_fit_dry"), 1]);
  }
  if (step.kind === "module" && step.joints.length) said.push([say("guide_fit_glue")]);
  $("step-when").replaceChildren(...said.map(([text, care]) => element("span", care ? "care" : "", text)));
};
const showStep = () => {
  const title = titleOf(now), at = walk.indexOf(now);
  $("step-title").textContent = title;
  tellWhen(now);
  $("step-pieces").textContent = now.fresh.length ? say("guide_panel_list", {n: now.fresh.length, list: joinWords(now.fresh.map(nameOf))}) : "";
  if (now.kind === "start") tellStart($("step-words"));
  else $("step-words").replaceChildren(element("p", "", wordsOf(now).join(" ")));
  $("where").value = now.id;
  $("back").disabled = at <= 0; $("next").disabled = at === walk.length - 1;
  $("told").textContent = `${say("guide_of", {n: at + 1, all: walk.length})}: ${title}`;
  $("way-row").hidden = !now.moving?.length;
  listJoints();
  showTicks();
};
const listJoints = () => {
  $("step-joints").hidden = !now.joints.length;
  $("joints").replaceChildren(...now.joints.map(n => {
    const row = element("li"), name = jointName(n);
    row.dataset.joint = n;
    row.append(element("span", "name", name));
    for (const [set, word] of [[dry, "dry"], [glued, "glued"]]) {
      const label = element("label"), box = element("input");
      box.type = "checkbox"; box.dataset.set = word;
      box.setAttribute("aria-label", say(`guide_${word}_label`, {joint: name}));
      box.addEventListener("change", () => tick([n], set, box.checked));
      label.append(box, element("span", "", say("guide_" + word)));
      row.append(label);
    }
    if (joints[n].reach) row.append(element("span", "reach", say("guide_" + joints[n].reach)));
    return row;
  }));
};
const showTicks = () => {
  for (const row of $("joints").children) {
    const n = +row.dataset.joint;
    row.className = stateOf(n);
    row.querySelector("[data-set=dry]").checked = dry.has(n);
    row.querySelector("[data-set=glued]").checked = glued.has(n);
  }
  const said = say("guide_progress", {glued: glued.size, all: joints.length});
  $("progress").setAttribute("aria-valuemax", joints.length); $("progress").setAttribute("aria-valuenow", glued.size);
  $("progress").setAttribute("aria-label", said);
  $("progress").firstChild.style.width = `${100 * glued.size / joints.length}%`;
  $("progress-text").textContent = said;
  // What waits, by the step where its boxes stand.
  const waiting = new Map();
  for (const n of dry) if (!glued.has(n)) waiting.set(stepOf.get(n), (waiting.get(stepOf.get(n)) ?? 0) + 1);
  const count = [...waiting.values()].reduce((a, b) => a + b, 0);
  $("waiting-title").textContent = count ? say("guide_still_dry", {n: count}) : glued.size === joints.length ? say("guide_done") : say("guide_none_dry");
  $("waiting").replaceChildren(...steps.filter(step => waiting.has(step)).map(step => {
    const item = element("li"), button = element("button", "button", `${titleOf(step)} (${waiting.get(step)})`);
    button.type = "button";
    button.addEventListener("click", () => { if (!walk.includes(step)) { $("who").value = "all"; arrange(); } go(step); });
    item.append(button);
    return item;
  }));
  const missed = standingJoints().filter(n => !dry.has(n) && !now.joints.includes(n)).length;
  $("missed").hidden = !missed || now.kind === "start";
  $("missed").textContent = missed ? say("guide_missed", {n: missed}) : "";
  showMarks();
};

// The model.
const orbitOf = [], copyOf = [];
for (const orbit of shape.orbits) for (const copy of orbit.copies) { orbitOf.push(orbit); copyOf.push(copy); }
const cornersOf = i => {
  const {points, frame: f} = orbitOf[i], m = copyOf[i], list = [];
  for (let k = 0; k < points.length; k += 2) {
    const p = [0, 1, 2].map(c => f[c] + points[k] * f[3 + c] + points[k + 1] * f[6 + c]);
    list.push([0, 1, 2].map(c => m[c] * p[0] + m[3 + c] * p[1] + m[6 + c] * p[2]));
  }
  return list;
};
const standingJoints = () => { const there = new Set(now.panels); return joints.map((_, n) => n).filter(n => joints[n].panels.every(i => there.has(i))); };
const unit = v => { const size = Math.hypot(...v); return size > 1e-9 ? v.map(x => x / size) : [0, 0, 0]; };
const middleOf = list => [0, 1, 2].map(c => list.reduce((sum, i) => sum + panels[i].label[c], 0) / list.length);
const mixed = (a, b, share) => { const [p, q] = [numbersOf(a), numbersOf(b)]; return "#" + p.map((v, k) => Math.round(255 * (v + share * (q[k] - v))).toString(16).padStart(2, "0")).join(""); };
const calm = matchMedia("(prefers-reduced-motion: reduce)");
const colourOf = state => getComputedStyle(document.documentElement).getPropertyValue(state === "way" ? "--accent" : "--m-" + state).trim();
let fresh = new Set(), moving = new Set(), there = new Set(), towards = [0, 0, 0], far = 0, way = 1, onlyDry = false, labels = [], running = 0;
shared.look = i => {
  if (!there.has(i)) return null;
  const {colour} = panels[i], own = colour === undefined ? "#dcc6a0" : shape.palette[colour % shape.palette.length];
  const slow = (1 - way) ** 2, shift = moving.has(i) ? towards.map(v => v * far * slow) : [0, 0, 0];
  return {shift, colour: onlyDry ? "#f4efe3" : fresh.has(i) ? colour === undefined ? "#f0a63a" : own : mixed(own, "#f1ece0", colour === undefined ? 0.55 : 0.72)};
};
// As large as the canvas allows, with the tail of the way in.
const fit = (goal, step) => {
  const canvas = $("model"), small = Math.min(canvas.clientWidth, canvas.clientHeight) || 1, room = [canvas.clientWidth / small || 1, canvas.clientHeight / small || 1];
  const low = [1e9, 1e9], high = [-1e9, -1e9], tail = middleOf(step.moving?.length ? step.moving : step.panels).map((v, k) => v + (step.push ?? [0, 0, 0])[k] * goal.radius * 0.9);
  for (const p of [...step.panels.flatMap(cornersOf), tail]) {
    const d = p.map((v, k) => v - goal.centre[k]), [x, y, z] = [0, 1, 2].map(row => goal.turn[row] * d[0] + goal.turn[3 + row] * d[1] + goal.turn[6 + row] * d[2]), depth = 4.2 * goal.radius - z;
    if (depth < goal.radius) continue;
    [x, y].forEach((v, k) => { low[k] = Math.min(low[k], 3.7 * v / depth); high[k] = Math.max(high[k], 3.7 * v / depth); });
  }
  const zoom = Math.min(2.5, Math.max(0.6, 1.72 * Math.min(room[0] / (high[0] - low[0]), room[1] / (high[1] - low[1]))));
  return {...goal, zoom, pan: [0, 1].map(k => -zoom * (low[k] + high[k]) / 2)};
};
// Where the builder stands: outside, before what is new and a little aside of its way; before a
// module on the table along its own axis.
const lookAt = step => {
  if (step.kind === "start" || step.kind === "glue") return {turn: turnTowards(shape.eye), centre: [0, 0, 0], radius: shape.radius, zoom: 1, pan: [0, 0]};
  const low = [1e9, 1e9, 1e9], high = [-1e9, -1e9, -1e9];
  for (const i of step.panels) for (const p of cornersOf(i)) for (let k = 0; k < 3; ++k) { low[k] = Math.min(low[k], p[k]); high[k] = Math.max(high[k], p[k]); }
  const centre = low.map((v, k) => (v + high[k]) / 2);
  let radius = 0;
  for (const i of step.panels) for (const p of cornersOf(i)) radius = Math.max(radius, Math.hypot(...p.map((v, k) => v - centre[k])));
  radius = Math.max(1.12 * radius, 0.25 * shape.radius);
  let eye = unit(middleOf(step.kind === "module" ? pieces[step.piece].panels : step.fresh));
  if (Math.hypot(...eye) < 0.5) eye = unit(shape.eye);
  if (step.kind === "place") {
    const around = Math.atan2(eye[1], eye[0]) + 0.4, rise = Math.min(0.8, Math.max(0.17, Math.asin(eye[2]) + 0.14));
    eye = [Math.cos(around) * Math.cos(rise), Math.sin(around) * Math.cos(rise), Math.sin(rise)];
  } else {
    const aside = unit([-eye[1], eye[0], 0]);
    eye = unit(eye.map((v, k) => v + 0.3 * (Math.hypot(...aside) ? aside[k] : [1, 0, 0][k])));
  }
  return fit({turn: turnTowards(eye), centre, radius}, step);
};
const between = (a, b, share) => {  // of two turns, made a turn again
  const m = a.map((v, k) => v + share * (b[k] - v)), x = unit([m[0], m[3], m[6]]);
  let y = [m[1], m[4], m[7]];
  const d = x[0] * y[0] + x[1] * y[1] + x[2] * y[2];
  y = unit(y.map((v, k) => v - d * x[k]));
  const z = [x[1] * y[2] - x[2] * y[1], x[2] * y[0] - x[0] * y[2], x[0] * y[1] - x[1] * y[0]];
  return Math.hypot(...x) && Math.hypot(...y) ? [x[0], y[0], z[0], x[1], y[1], z[1], x[2], y[2], z[2]] : b;
};
const setWay = value => { way = value; $("way").value = Math.round(100 * value); canvasState(); shared.draw(); };
const canvasState = () => { $("model").dataset.way = way.toFixed(2); $("model").dataset.there = there.size; };
// Whether nobody has turned the model since the step began.
const atRest = () => shared.turn === shared.first;
const fly = (turnFirst = true) => {
  const run = ++running, goal = lookAt(now), from = {turn: shared.turn, centre: shared.centre, radius: shared.radius, zoom: shared.zoom, pan: shared.pan};
  shared.first = goal.turn;
  const arrive = share => {
    if (!turnFirst) return;
    shared.turn = share < 1 ? between(from.turn, goal.turn, share) : goal.turn;
    shared.centre = goal.centre.map((v, k) => from.centre[k] + share * (v - from.centre[k]));
    for (const name of ["radius", "zoom"]) shared[name] = from[name] + share * (goal[name] - from[name]);
    shared.pan = goal.pan.map((v, k) => from.pan[k] + share * (v - from.pan[k]));
  };
  if (calm.matches || !shared.views.length) { arrive(1); setWay(1); return; }
  const began = performance.now(), turning = turnFirst ? 450 : 0, flying = moving.size ? now.kind === "module" ? 1000 : 1700 : 0;
  setWay(moving.size ? 0 : 1);
  const frame = time => {
    if (run !== running) return;
    const spent = time - began;
    arrive(Math.min(1, Math.max(0, spent / (turning || 1))));
    if (moving.size) setWay(Math.min(1, Math.max(0, (spent - turning) / (flying || 1)))); else shared.draw();
    if (spent < turning + flying) requestAnimationFrame(frame);
    else { arrive(1); setWay(1); }
  };
  requestAnimationFrame(frame);
};
const showMarks = () => {
  const thick = Math.max(0.006 * shape.radius * (now.kind === "module" ? 0.6 : 1), 0.5 * shape.thickness), marks = [];
  labels = [];
  const put = (n, wide) => { const {from, to} = joints[n], state = stateOf(n); marks.push({from, to, state, colour: colourOf(state), thick: (state === "glued" ? 0.6 : 1) * wide * thick}); };
  const letter = n => labels.push({place: joints[n].from.map((v, k) => (v + joints[n].to[k]) / 2), text: joints[n].letter + {open: "", dry: " ○", glued: " ●"}[stateOf(n)], className: "joint " + stateOf(n)});
  const standing = now.kind === "start" ? joints.map((_, n) => n) : standingJoints(), own = new Set(now.joints);
  for (const n of standing) {
    const waits = stateOf(n) === "dry";
    if (onlyDry ? waits : own.has(n) && now.kind !== "glue" || waits || now.kind === "glue" && own.has(n)) put(n, own.has(n) ? 1.4 : 1);
  }
  const lettered = onlyDry ? standing.filter(n => stateOf(n) === "dry") : now.joints;
  if (lettered.length <= 40) lettered.forEach(letter);
  if (!onlyDry && moving.size && Math.hypot(...towards)) {  // the way in
    const middle = middleOf([...moving]);
    marks.push({from: middle.map((v, k) => v + towards[k] * far * 0.53), to: middle.map((v, k) => v + towards[k] * far * 0.2), colour: colourOf("way"), thick: 0.9 * thick, pointed: true});
  }
  const named = new Set(now.fresh);
  for (const n of lettered.length <= 40 ? lettered : []) for (const i of joints[n].panels) named.add(i);
  for (const i of named) labels.push({panel: i, text: `${i + 1}`, className: fresh.has(i) ? "panel new" : "panel"});
  shared.marks = marks;
  $("labels").replaceChildren(...labels.map(label => label.element = element("span", label.className, label.text)));
  $("model").dataset.marks = JSON.stringify(Object.fromEntries(["open", "dry", "glued"].map(state => [state, marks.filter(mark => mark.state === state).length])));
  shared.draw();
};
const placeLabels = () => {
  const view = shared.views[0];
  if (!view) return;
  const placed = [], slow = (1 - way) ** 2;
  for (const label of [...labels].sort((a, b) => (a.panel === undefined) - (b.panel === undefined))) {
    const place = label.place ?? panels[label.panel].label.map((v, k) => v + (moving.has(label.panel) ? towards[k] * far * slow : 0)), spot = view.project(place);
    for (let k = 0; k < 4 && placed.some(o => Math.abs(o.x - spot.x) < 30 && Math.abs(o.y - spot.y) < 22); ++k) spot.y += 24;
    placed.push(spot);
    label.element.style.left = `${spot.x}px`; label.element.style.top = `${spot.y}px`;
    label.element.hidden = !spot.seen;
  }
};
let asked = 0;
shared.draw = () => { if (!asked) asked = requestAnimationFrame(() => { asked = 0; shared.views.forEach(view => view.draw()); placeLabels(); }); };
shared.reset = () => { const goal = lookAt(now); Object.assign(shared, goal); shared.first = goal.turn; shared.draw(); };
shared.begin(shape);
shared.radius = shape.radius; shared.centre = [0, 0, 0]; shared.shade = 0.2;
try {
  shared.views = [new View($("model"), shape, shared)];
  new ResizeObserver(() => { if (atRest()) shared.reset(); else shared.draw(); }).observe($("model"));
} catch (unable) { $("no-webgl").hidden = false; $("tools").hidden = true; $("model").parentElement.hidden = true; }
$("model").addEventListener("pointerdown", () => { if (way >= 1) ++running; });

const go = step => {
  now = step;
  store.set(key("step"), step.id);
  fresh = new Set(step.fresh); moving = new Set(step.moving ?? []); there = new Set(step.panels);
  const push = step.push ?? [0, 0, 0], goal = lookAt(step);
  towards = moving.size ? Math.hypot(...push) > 0.5 ? push : unit(middleOf([...moving]).map((v, k) => v - goal.centre[k])) : [0, 0, 0];
  far = 1.7 * goal.radius;
  showStep();
  fly();
};
const walkBy = by => { const next = walk[walk.indexOf(now) + by]; if (next) { go(next); $("step").scrollTop = 0; } };

// Hands: buttons, keys, swipes.
$("back").addEventListener("click", () => walkBy(-1));
$("next").addEventListener("click", () => walkBy(1));
$("where").addEventListener("input", () => go(steps.find(step => step.id === $("where").value)));
$("who").addEventListener("input", () => { store.set(key("who"), $("who").value); arrange(); });
$("teams").addEventListener("input", () => { store.set(key("teams"), teamCount()); listReaders($("who").value); arrange(); });
$("all-dry").addEventListener("click", () => tick(now.joints, dry, true));
$("all-glued").addEventListener("click", () => tick(now.joints, glued, true));
$("again").addEventListener("click", () => fly(false));
$("way").addEventListener("input", () => { ++running; setWay($("way").value / 100); });
$("show-dry").addEventListener("click", () => { onlyDry = !onlyDry; $("show-dry").setAttribute("aria-pressed", onlyDry); showMarks(); });
// Whoever turns the model does not wait until what flies has arrived.
const stopFlying = what => { ++running; if (what === "turn") setWay(1); };
listenToButtons(shared, stopFlying);
document.addEventListener("keydown", event => {
  if (event.target.matches("input, select, textarea") || event.ctrlKey || event.altKey || event.metaKey || $("ticks").open || document.body.classList.contains("on-paper")) return;
  const onModel = event.target === $("model"), walks = {PageDown: 1, PageUp: -1, ArrowRight: event.shiftKey ? 0 : 1, ArrowLeft: event.shiftKey ? 0 : -1}[event.key];
  if (walks) walkBy(walks);
  else if (onModel && event.key === " ") fly(false);
  else { if (onModel || event.shiftKey && arrowKeys[event.key]) followKey(shared, event, stopFlying, false); return; }
  event.preventDefault();
});
let finger = null;
$("step").addEventListener("pointerdown", event => { finger = event.pointerType === "touch" ? event : null; });
$("step").addEventListener("pointerup", event => {
  if (!finger || event.pointerId !== finger.pointerId) return;
  const dx = event.clientX - finger.clientX, dy = event.clientY - finger.clientY;
  finger = null;
  if (Math.abs(dx) > 60 && Math.abs(dx) > 2 * Math.abs(dy)) walkBy(dx < 0 ? 1 : -1);
});

// Large letters for a projector; as on paper; ticks as a file.
const setLarge = on => { document.documentElement.toggleAttribute("data-large", on); $("large").setAttribute("aria-pressed", on); shared.draw(); };
$("large").addEventListener("click", () => { const on = !document.documentElement.hasAttribute("data-large"); store.set(key("large"), on ? "1" : "0"); setLarge(on); });
setLarge(store.get(key("large")) === "1");
$("as-paper").addEventListener("click", () => {
  const on = document.body.classList.toggle("on-paper");
  $("as-paper").setAttribute("aria-pressed", on);
  shared.draw();
});
$("print").addEventListener("click", () => window.print());
$("ticks-open").addEventListener("click", () => { $("clear-sure").hidden = true; $("ticks-said").textContent = ""; $("ticks").showModal(); });
$("ticks-close").addEventListener("click", () => $("ticks").close());
$("save").addEventListener("click", () => save(`ticks-${data.design}.json`, JSON.stringify({format: "sixtyfold-ticks", version: 1, design: data.design, ...writeTicks()}), "application/json"));
$("open").addEventListener("change", async () => {
  const file = $("open").files[0];
  if (!file) return;
  try {
    if (file.size > 1e6) throw new Error("too large");
    const kept = JSON.parse(await file.text());
    if (kept?.format !== "sixtyfold-ticks" || kept.design !== data.design) throw new Error("another file");
    const added = addTicks(kept);
    tick([], dry, true);
    $("ticks-said").textContent = say("guide_opened", {n: added});
  } catch (wrong) { $("ticks-said").textContent = say("guide_not_ticks"); }
  $("open").value = "";
});
$("clear").addEventListener("click", () => { $("clear-text").textContent = say("guide_clear_sure", {n: dry.size + glued.size}); $("clear-sure").hidden = false; $("clear-yes").focus(); });
$("clear-yes").addEventListener("click", () => { dry.clear(); glued.clear(); tick([], dry, true); $("clear-sure").hidden = true; $("clear").focus(); });

followTheme(store, () => showMarks());
listReaders(store.get(key("who")) ?? "all");
now = steps.find(step => step.id === store.get(key("step"))) ?? steps[0];
arrange();
document.documentElement.dataset.ready = "1";
})();
