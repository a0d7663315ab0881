"use strict";
(() => {
{{basics}}
{{view}}
const store = makeStore("localStorage", () => {});
// Numbers lie in streams of typed arrays, little-endian, in base64.
const open64 = (text, Kind) => new Kind(Uint8Array.from(atob(text), c => c.charCodeAt(0)).buffer);
const {items, columns, branches} = data, count = items.count, width = columns.length;
const numbers = open64(items.numbers, Float32Array), frames = open64(items.frames, Float32Array);
const branchOf = open64(items.branches, Uint16Array), cells = open64(items.cells, Uint16Array);
const ringStream = open64(items.rings, Uint16Array), points = open64(items.points, Int16Array);
const triangleStream = open64(items.triangles, Uint16Array), parameters = open64(items.parameters, Float64Array);
const rigid = open64(items.rigid, Uint8Array);
const columnAt = Object.fromEntries(columns.map((column, k) => [column.name, k]));
const valueOf = (i, k) => numbers[i * width + k];
// Where each design begins in the streams of changing length.
const ringAt = new Uint32Array(count), pointAt = new Uint32Array(count), triangleAt = new Uint32Array(count), parameterAt = new Uint32Array(count);
for (let i = 0, r = 0, p = 0, t = 0, q = 0; i < count; ++i) {
  ringAt[i] = r; pointAt[i] = p; triangleAt[i] = t; parameterAt[i] = q;
  for (let k = 1; k <= ringStream[r]; ++k) p += 2 * ringStream[r + k];
  r += 1 + ringStream[r];
  t += 1 + 3 * triangleStream[t];
  q += branches[branchOf[i]].dimension;
}
const copiesOf = new Map();
const shapeOf = i => {  // as the view wants it; lengths in radii
  const branch = branches[branchOf[i]], rings = [], corners = [];
  for (let k = 1; k <= ringStream[ringAt[i]]; ++k) rings.push(ringStream[ringAt[i] + k]);
  const total = rings.reduce((a, b) => a + b, 0), first = triangleAt[i] + 1;
  for (let k = 0; k < 2 * total; ++k) corners.push(points[pointAt[i] + k] / 32767);
  const frame = [...frames.subarray(12 * i, 12 * i + 12)], outer = rings[0] || 1;
  let x = 0, y = 0;
  for (let k = 0; k < outer; ++k) { x += corners[2 * k] / outer; y += corners[2 * k + 1] / outer; }
  const middle = [0, 1, 2].map(k => frame[k] + x * frame[3 + k] + y * frame[6 + k]);
  const radius = 500 * valueOf(i, columnAt.diameter);
  if (!copiesOf.has(branch)) copiesOf.set(branch, branch.copies.map((copy, k) => k % 4));
  return {radius: 1, thickness: radius > 0 ? data.thickness / radius : 0, coloured: false, bare: true, palette: [], eye: branch.eye, axes: branch.axes,
    orbits: [{points: corners, rings, triangles: triangleStream.subarray(first, first + 3 * triangleStream[triangleAt[i]]), frame, middle, copies: branch.copies, colours: copiesOf.get(branch)}]};
};

// Words and numbers of a column.
const nameOf = k => say("map_column_" + columns[k].name), unitOf = k => say("map_unit_" + columns[k].name);
const digitsOf = value => { const size = Math.abs(value); return size >= 100 || Number.isInteger(value) ? 0 : size >= 10 ? 1 : size >= 0.1 ? 2 : 4; };
const write = value => value.toLocaleString(language, {maximumFractionDigits: digitsOf(value), useGrouping: false});
const writeWithUnit = (value, k) => `${write(value)} ${unitOf(k)}`.trim();
const titleOf = i => say("map_design", {n: i + 1, panels: valueOf(i, columnAt.panels), symmetry: branches[branchOf[i]].words});

// The range of each column; sliders go in equal steps of rank, so that a long tail does not swallow
// the rest.
const sorted = columns.map((_, k) => { const all = new Float32Array(count); for (let i = 0; i < count; ++i) all[i] = valueOf(i, k); return all.sort(); });
const steps = 200, atStep = (k, step) => sorted[k][Math.min(count - 1, Math.round(step / steps * (count - 1)))];
const varies = columns.map((_, k) => sorted[k][0] < sorted[k][count - 1]);
const bounds = columns.map(() => [0, steps]);

// What was decided: kept by the browser for this run.
const key = "sixtyfold-map-" + data.run, picked = new Set(), rejected = new Set();
try {
  const kept = JSON.parse(store.get(key) ?? "{}"), valid = i => Number.isInteger(i) && i >= 0 && i < count;
  for (const i of kept.picked ?? []) if (valid(i)) picked.add(i);
  for (const i of kept.rejected ?? []) if (valid(i) && !picked.has(i)) rejected.add(i);
} catch (damaged) { /* then nothing was decided */ }

// Which designs pass the filters.
const passes = new Uint8Array(count);
let passing = 0, chosen = -1;
const ranges = () => bounds.map(([low, high], k) => [low === 0 ? -Infinity : atStep(k, low), high === steps ? Infinity : atStep(k, high)]);
const filter = () => {
  const range = ranges(), symmetry = $("symmetry").value, mine = $("mine").value, narrowed = range.map(([low, high]) => low !== -Infinity || high !== Infinity);
  const active = columns.map((_, k) => k).filter(k => narrowed[k]), alone = new Uint32Array(width);
  passing = 0;
  for (let i = 0; i < count; ++i) {
    let faults = 0, last = 0;
    for (const k of active) { const v = numbers[i * width + k]; if (!(v >= range[k][0] && v <= range[k][1])) { ++faults; last = k; } }
    const others = (!symmetry || branches[branchOf[i]].symmetry === symmetry) && (mine !== "picked" || picked.has(i)) && (mine !== "open" || !picked.has(i) && !rejected.has(i));
    if (others && faults === 1) ++alone[last];
    passing += passes[i] = others && !faults ? 1 : 0;
  }
  $("count").textContent = say("designs_of", {n: count, shown: passing});
  showSliders(range, alone);
  place();
};

// How far along its axis a value lies, 0 to 1. What has a long tail is drawn in equal ratios beyond
// its middle.
const bend = columns.map((_, k) => { const all = sorted[k], middle = all[count >> 1]; return all[0] >= 0 && middle > 0 && middle < 0.2 * all[count - 1] ? middle : 0; });
const stretch = (k, v) => bend[k] ? Math.log1p(v / bend[k]) : v;
const shareOf = (k, v) => { const low = stretch(k, sorted[k][0]), high = stretch(k, sorted[k][count - 1]); return high > low ? (stretch(k, v) - low) / (high - low) : 0.5; };
const valueAt = (k, share) => { const low = stretch(k, sorted[k][0]), high = stretch(k, sorted[k][count - 1]), at = low + share * (high - low); return bend[k] ? bend[k] * Math.expm1(at) : at; };

// Places on the sheet, 0 to 1 both ways.
const across = new Float32Array(count), up = new Float32Array(count);
let front = [];
const isScatter = () => document.querySelector("[name=way]:checked").value === "scatter";
const place = () => {
  if (!isScatter()) {
    for (let i = 0; i < count; ++i) { across[i] = (cells[2 * i] + 0.5) / items.columns; up[i] = (cells[2 * i + 1] + 0.5) / items.rows; }
    front = [];
  } else {
    const kx = +$("across").value, ky = +$("up").value;
    for (let i = 0; i < count; ++i) { across[i] = 0.06 + 0.88 * shareOf(kx, valueOf(i, kx)); up[i] = 0.94 - 0.88 * shareOf(ky, valueOf(i, ky)); }
    const sx = columns[kx].better, sy = columns[ky].better;
    front = [];
    if (sx && sy && kx !== ky) {  // not beaten in both
      const order = [];
      for (let i = 0; i < count; ++i) if (passes[i]) order.push(i);
      order.sort((a, b) => sx * (valueOf(b, kx) - valueOf(a, kx)) || sy * (valueOf(b, ky) - valueOf(a, ky)) || a - b);
      let best = -Infinity;
      for (const i of order) if (sy * valueOf(i, ky) > best) { best = sy * valueOf(i, ky); front.push(i); }
    }
  }
  draw();
};

// Pictures: drawn by the gallery's own 3D program when they are looked at, a few at a time.
const pictures = new Map(), most = 600, wanted = [];
let sketch = null, sketchState = null, drawing = 0;
const picture = i => {
  const known = pictures.get(i);
  if (known) { pictures.delete(i); pictures.set(i, known); return known; }
  if (!wanted.includes(i)) wanted.push(i);
  if (!drawing) drawing = requestAnimationFrame(drawSome);
  return null;
};
const makePicture = i => {
  const shape = shapeOf(i);
  if (!sketch) {
    sketchState = {turn: turnTowards(shape.eye), zoom: 1, pan: [0, 0], apart: 0, bare: true, radius: 1, draw() {}, snap() {}, turnBy() {}, zoomBy() {}, panBy() {}};
    sketch = new View($("sketch"), shape, sketchState);
  } else sketch.show(shape);
  sketchState.turn = turnTowards(shape.eye);
  sketch.draw();
  const copy = document.createElement("canvas");
  copy.width = copy.height = 160;
  copy.getContext("2d").drawImage(sketch.canvas, 0, 0, 160, 160);
  pictures.set(i, copy);
  if (pictures.size > most) pictures.delete(pictures.keys().next().value);
  return copy;
};
let canDraw = true;
const drawSome = () => {
  drawing = 0;
  const until = performance.now() + 24;
  try {
    while (wanted.length && performance.now() < until) makePicture(wanted.shift());
  } catch (unable) { canDraw = false; wanted.length = 0; }  // no WebGL here: dots alone
  draw();
  if (wanted.length) drawing = requestAnimationFrame(drawSome);
};

// The sheet. `view` says which of its points lies in the middle, and how often it is enlarged.
const sheet = $("sheet"), pen = sheet.getContext("2d"), view = {x: 0.5, y: 0.5, zoom: 1};
let shownTiles = [], asked = 0;
const draw = () => { if (!asked) asked = requestAnimationFrame(() => { asked = 0; paint(); }); };
const clampView = () => {
  view.zoom = Math.min(Math.max(6, Math.sqrt(count) / 4), Math.max(1, view.zoom));
  view.x = Math.min(1, Math.max(0, view.x)); view.y = Math.min(1, Math.max(0, view.y));
};
const wideOf = () => (sheet.clientWidth - 16) * view.zoom, highOf = () => (sheet.clientHeight - 16) * view.zoom;
const toScreen = (x, y) => [(x - view.x) * wideOf() + sheet.clientWidth / 2, (y - view.y) * highOf() + sheet.clientHeight / 2];
const paint = () => {
  const ratio = Math.min(window.devicePixelRatio || 1, 2), wide = sheet.clientWidth, high = sheet.clientHeight;
  if (!wide || !high) return;
  if (sheet.width !== Math.round(wide * ratio) || sheet.height !== Math.round(high * ratio)) { sheet.width = Math.round(wide * ratio); sheet.height = Math.round(high * ratio); }
  clampView();
  const style = getComputedStyle(document.documentElement), ink = style.getPropertyValue("--ink"), accent = style.getPropertyValue("--accent"), quiet = style.getPropertyValue("--quiet"), line = style.getPropertyValue("--line"), warn = style.getPropertyValue("--warn"), card = style.getPropertyValue("--card");
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  pen.clearRect(0, 0, wide, high);
  if (isScatter()) drawAxes(ink, line, quiet);
  // Dots of what is left out, then of what passes.
  for (const pass of [0, 1]) {
    pen.fillStyle = pass ? quiet : line; pen.globalAlpha = pass && !isScatter() ? 0.4 : 1;
    for (let i = 0; i < count; ++i) {
      if (passes[i] !== pass) continue;
      const [x, y] = toScreen(across[i], up[i]);
      if (x > -2 && y > -2 && x < wide + 2 && y < high + 2) pen.fillRect(x - 1, y - 1, 2, 2);
    }
  }
  pen.globalAlpha = 1;
  // The sheet in tiles of about a hundred pixels, halved as one comes closer; each shows the first
  // of those that pass in it.
  const want = Math.max(64, Math.min(104, wide / 9)), level = 2 ** (Math.round(Math.log2(view.zoom) * 2) / 2);
  const columnsOf = Math.max(1, Math.round(wide / want * level)), rowsOf = Math.max(1, Math.round(high / want * level)), tile = Math.min(wideOf() / columnsOf, highOf() / rowsOf);
  const order = $("first").value, k = Math.abs(+order) - 1, sign = +order < 0 ? -1 : 1, best = new Map();
  for (let i = 0; i < count; ++i) {
    if (!passes[i]) continue;
    const cell = Math.floor(across[i] * columnsOf) * 65536 + Math.floor(up[i] * rowsOf), other = best.get(cell);
    if (other === undefined || i === chosen || other !== chosen && sign * (valueOf(i, k) - valueOf(other, k)) > 0) best.set(cell, i);
  }
  shownTiles = [];
  for (const [cell, i] of best) {
    const scatter = isScatter();
    const [x, y] = scatter ? toScreen(across[i], up[i]) : toScreen((Math.floor(cell / 65536) + 0.5) / columnsOf, (cell % 65536 + 0.5) / rowsOf);
    if (x < -tile || y < -tile || x > wide + tile || y > high + tile) continue;
    shownTiles.push({i, x, y, size: (scatter ? 0.8 : 0.94) * Math.min(tile, 150)});
  }
  if (isScatter()) {  // pictures stand where their numbers are: of two that overlap the first stays
    shownTiles.sort((a, b) => a.i === chosen ? -1 : b.i === chosen ? 1 : sign * (valueOf(b.i, k) - valueOf(a.i, k)) || a.i - b.i);
    const apart = [];
    for (const t of shownTiles) if (apart.every(o => Math.max(Math.abs(o.x - t.x), Math.abs(o.y - t.y)) > 0.8 * t.size)) apart.push(t);
    shownTiles = apart;
  }
  shownTiles.sort((a, b) => a.i === chosen ? 1 : b.i === chosen ? -1 : a.i - b.i);
  for (const {i, x, y, size} of shownTiles) {
    const image = canDraw ? picture(i) : null;
    if (image) pen.drawImage(image, x - size / 2, y - size / 2, size, size);
    else { pen.fillStyle = quiet; pen.beginPath(); pen.arc(x, y, size / 10, 0, 7); pen.fill(); }
    if (picked.has(i) || rejected.has(i) || i === chosen) {
      pen.lineWidth = i === chosen ? 3 : 2;
      pen.strokeStyle = rejected.has(i) ? warn : accent;
      pen.setLineDash(rejected.has(i) ? [4, 4] : []);
      pen.strokeRect(x - size / 2, y - size / 2, size, size);
      pen.setLineDash([]);
      if (picked.has(i)) { pen.fillStyle = accent; pen.font = "bold 16px sans-serif"; pen.textAlign = "left"; pen.textBaseline = "top"; pen.fillText("✓", x - size / 2 + 4, y - size / 2 + 3); }
    }
  }
  if (front.length > 1) {
    pen.strokeStyle = accent; pen.lineWidth = 2; pen.beginPath();
    front.forEach((i, n) => { const [x, y] = toScreen(across[i], up[i]); n ? pen.lineTo(x, y) : pen.moveTo(x, y); });
    pen.stroke();
  }
  for (let n = wanted.length; n-- > 0;) if (!shownTiles.some(t => t.i === wanted[n])) wanted.splice(n, 1);
  sheet.dataset.tiles = shownTiles.length;
};
const drawAxes = (ink, line, quiet) => {
  const kx = +$("across").value, ky = +$("up").value, high = sheet.clientHeight, wide = sheet.clientWidth;
  pen.strokeStyle = line; pen.lineWidth = 1; pen.font = "13px sans-serif"; pen.fillStyle = quiet;
  for (let n = 0; n <= 5; ++n) {
    const [x, y] = toScreen(0.06 + 0.88 * n / 5, 0.94 - 0.88 * n / 5);
    pen.beginPath(); pen.moveTo(x, 0); pen.lineTo(x, high); pen.moveTo(0, y); pen.lineTo(wide, y); pen.stroke();
    pen.textAlign = "center"; pen.textBaseline = "bottom";
    if (x > 60) pen.fillText(write(valueAt(kx, n / 5)), x, high - 24);
    pen.textAlign = "left"; pen.textBaseline = "bottom";
    if (y > 40 && y < high - 40) pen.fillText(write(valueAt(ky, n / 5)), 6, y - 2);
  }
  pen.fillStyle = ink; pen.font = "bold 14px sans-serif";
  const label = k => nameOf(k) + (unitOf(k) ? ` (${unitOf(k)})` : "");
  pen.textAlign = "center"; pen.textBaseline = "bottom";
  pen.fillText(label(kx) + " →", wide / 2, high - 5);
  pen.textAlign = "left"; pen.textBaseline = "top";
  pen.fillText("↑ " + label(ky), 8, 8);
};

// Looking closer at one.
const choose = (i, tellIt = true) => {
  chosen = i;
  $("nothing").hidden = i >= 0; $("detail").hidden = i < 0;
  if (i < 0) return draw();
  $("detail-name").textContent = titleOf(i);
  $("model").setAttribute("aria-label", say("canvas_label", {name: titleOf(i)}));
  const shape = shapeOf(i);
  shared.begin(shape); shared.radius = 1; shared.zoom = 1; shared.pan = [0, 0];
  try {
    if (shared.views.length) shared.views[0].show(shape); else shared.views = [new View($("model"), shape, shared)];
    shared.draw();
  } catch (unable) { $("model").parentElement.hidden = true; }
  const branch = branches[branchOf[i]], rows = columns.map((_, k) => [nameOf(k), writeWithUnit(valueOf(i, k), k)]);
  rows.push([say("fact_symmetry"), branch.words], [say("map_made"), `${branch.plane}, ${branch.family}`]);
  if (!rigid[i]) rows.push([say("map_moves"), say("map_yes")]);
  $("numbers").replaceChildren(...rows.map(([name, value]) => { const row = element("div"); row.append(element("dt", "", name), element("dd", "", value)); return row; }));
  showDecision();
  if (tellIt) $("told").textContent = `${titleOf(i)}: ${["appeal", "joints", "sheets"].map(name => `${nameOf(columnAt[name])} ${write(valueOf(i, columnAt[name]))}`).join(", ")}`;
  draw();
};
const showDecision = () => {
  $("pick").setAttribute("aria-pressed", picked.has(chosen)); $("reject").setAttribute("aria-pressed", rejected.has(chosen));
};
const decide = (into, from) => {
  if (chosen < 0) return;
  if (!into.delete(chosen)) { into.add(chosen); from.delete(chosen); }
  store.set(key, JSON.stringify({picked: [...picked], rejected: [...rejected]}));
  showDecision(); showPicks();
  $("told").textContent = say(picked.has(chosen) ? "map_is_picked" : rejected.has(chosen) ? "map_is_rejected" : "map_is_open", {name: titleOf(chosen)});
  if ($("mine").value) filter(); else draw();
};
const recipeOf = i => ({symmetry: branches[branchOf[i]].symmetry, plane: branches[branchOf[i]].plane, family: branches[branchOf[i]].family,
  parameters: [...parameters.subarray(parameterAt[i], parameterAt[i] + branches[branchOf[i]].dimension)]});
const showPicks = () => {
  const list = [...[...picked].map(i => [i, true]), ...[...rejected].map(i => [i, false])];
  $("picks-none").hidden = list.length > 0; $("picks-next").hidden = !picked.size;
  $("pick-list").replaceChildren(...list.map(([i, yes]) => {
    const entry = element("li", yes ? "" : "no"), button = element("button"), image = document.createElement("canvas");
    button.type = "button";
    image.width = image.height = 160;
    try { image.getContext("2d").drawImage(pictures.get(i) ?? makePicture(i), 0, 0); } catch (unable) { /* dots alone */ }
    button.append(image, element("span", "", `${yes ? "✓" : "✗"} ${i + 1}`));
    button.setAttribute("aria-label", `${titleOf(i)}, ${say(yes ? "map_picked" : "map_rejected")}`);
    button.addEventListener("click", () => { choose(i); $("chosen").scrollIntoView({block: "nearest"}); });
    entry.append(button);
    return entry;
  }));
  $("command").textContent = data.command;
};

// Sliders, each with how the designs spread.
const sliders = [];
const showSliders = (range, alone) => {
  const style = getComputedStyle(document.documentElement), accent = style.getPropertyValue("--accent"), line = style.getPropertyValue("--edge");
  for (const {k, bars, said, out, low, high} of sliders) {
    const bins = 40, all = new Uint32Array(bins), inside = new Uint32Array(bins);
    const [first, last] = [sorted[k][0], sorted[k][count - 1]];
    for (let i = 0; i < count; ++i) { const bin = Math.min(bins - 1, Math.floor(bins * (valueOf(i, k) - first) / (last - first))); ++all[bin]; inside[bin] += passes[i]; }
    const brush = bars.getContext("2d"), tallest = Math.max(...all);
    brush.clearRect(0, 0, bars.width, bars.height);
    for (let b = 0; b < bins; ++b) {
      const w = bars.width / bins, h = n => n ? Math.max(2, bars.height * Math.sqrt(n / tallest)) : 0;
      brush.globalAlpha = 0.35; brush.fillStyle = line; brush.fillRect(b * w, bars.height - h(all[b]), w - 1, h(all[b]));
      brush.globalAlpha = 1; brush.fillStyle = accent; brush.fillRect(b * w, bars.height - h(inside[b]), w - 1, h(inside[b]));
    }
    const text = `${writeWithUnit(Math.max(first, range[k][0]), k)} – ${writeWithUnit(Math.min(last, range[k][1]), k)}`;
    said.textContent = text;
    low.setAttribute("aria-valuetext", writeWithUnit(Math.max(first, range[k][0]), k)); high.setAttribute("aria-valuetext", writeWithUnit(Math.min(last, range[k][1]), k));
    out.textContent = alone[k] ? say("map_excludes", {n: alone[k]}) : "";
  }
};
columns.forEach((column, k) => {
  if (!varies[k]) return;
  const box = element("fieldset", "slider"), bars = document.createElement("canvas"), two = element("div", "two"), line = element("p");
  bars.width = 400; bars.height = 60;
  bars.setAttribute("aria-hidden", "true");
  const ends = ["low", "high"].map((end, side) => {
    const input = element("input");
    input.type = "range"; input.min = 0; input.max = steps; input.value = side ? steps : 0; input.dataset.column = column.name; input.dataset.end = end;
    input.setAttribute("aria-label", say("map_" + end, {name: nameOf(k)}));
    input.addEventListener("input", () => {
      const other = bounds[k][1 - side];
      bounds[k][side] = side ? Math.max(+input.value, other) : Math.min(+input.value, other);
      input.value = bounds[k][side];
      filter();
    });
    return input;
  });
  const said = element("span"), out = element("span");
  two.append(...ends); line.append(said, out); box.append(element("legend", "", nameOf(k)), bars, two, line);
  $("slider-list").append(box);
  sliders.push({k, bars, said, out, low: ends[0], high: ends[1]});
});
$("reset").addEventListener("click", () => {
  bounds.forEach(pair => { pair[0] = 0; pair[1] = steps; });
  for (const {low, high} of sliders) { low.value = 0; high.value = steps; }
  $("symmetry").value = ""; $("mine").value = "";
  filter();
});

// What is shown, and how.
const addChoice = (select, value, text) => { const o = element("option", "", text); o.value = value; select.append(o); };
columns.forEach((column, k) => {
  if (!varies[k]) return;
  for (const id of ["across", "up"]) addChoice($(id), k, nameOf(k));
  if (column.better >= 0) addChoice($("first"), k + 1, say("map_most", {name: nameOf(k)}));
  if (column.better <= 0) addChoice($("first"), -(k + 1), say("map_least", {name: nameOf(k)}));
});
if (varies[columnAt.joints]) $("across").value = columnAt.joints;
if (varies[columnAt.stiffness]) $("up").value = columnAt.stiffness;
for (const [symbol, name] of [...new Map([...branchOf].map(b => [branches[b].symmetry, branches[b].words]))].sort()) addChoice($("symmetry"), symbol, name);
const goWhole = () => { view.x = view.y = 0.5; view.zoom = 1; draw(); };
for (const input of document.querySelectorAll("[name=way]")) input.addEventListener("change", () => {
  for (const label of document.querySelectorAll(".axis")) label.hidden = !isScatter();
  goWhole(); place();
});
for (const id of ["across", "up"]) $(id).addEventListener("input", () => { place(); });
$("first").addEventListener("input", draw);
for (const id of ["symmetry", "mine"]) $(id).addEventListener("input", filter);
$("pick").addEventListener("click", () => decide(picked, rejected));
$("reject").addEventListener("click", () => decide(rejected, picked));

// Moving about: wheel, drag, two fingers, keys.
const zoomAt = (factor, x = sheet.clientWidth / 2, y = sheet.clientHeight / 2) => {
  const dx = x - sheet.clientWidth / 2, dy = y - sheet.clientHeight / 2, wx = view.x + dx / wideOf(), wy = view.y + dy / highOf();
  view.zoom *= factor; clampView();
  view.x = wx - dx / wideOf(); view.y = wy - dy / highOf();
  draw();
};
const spot = event => { const box = sheet.getBoundingClientRect(); return [event.clientX - box.left, event.clientY - box.top]; };
sheet.addEventListener("wheel", event => { event.preventDefault(); zoomAt(Math.exp(-event.deltaY * 0.0015), ...spot(event)); }, {passive: false});
const fingers = new Map();
let moved = 0;
sheet.addEventListener("pointerdown", event => { sheet.setPointerCapture(event.pointerId); if (!fingers.size) moved = 0; fingers.set(event.pointerId, spot(event)); });
sheet.addEventListener("pointermove", event => {
  const last = fingers.get(event.pointerId);
  if (!last) return;
  const now = spot(event), two = fingers.size === 2 ? [...fingers.entries()].find(([id]) => id !== event.pointerId)[1] : null;
  if (two) { const gap = p => Math.hypot(p[0] - two[0], p[1] - two[1]); if (gap(last) > 1) zoomAt(gap(now) / gap(last), (now[0] + two[0]) / 2, (now[1] + two[1]) / 2); }
  const share = fingers.size > 1 ? 0.5 : 1;
  view.x -= share * (now[0] - last[0]) / wideOf(); view.y -= share * (now[1] - last[1]) / highOf();
  moved += Math.hypot(now[0] - last[0], now[1] - last[1]);
  fingers.set(event.pointerId, now);
  draw();
});
const lift = event => {
  if (!fingers.delete(event.pointerId) || fingers.size || moved > 6 || event.type === "pointercancel") return;
  const [x, y] = spot(event);
  let best = null;
  for (const tile of shownTiles) if (Math.abs(tile.x - x) < tile.size / 2 && Math.abs(tile.y - y) < tile.size / 2) best = tile;
  if (best) choose(best.i);
};
sheet.addEventListener("pointerup", lift);
sheet.addEventListener("pointercancel", lift);
const step = (dx, dy) => {  // to the nearest picture that way
  const from = shownTiles.find(t => t.i === chosen) ?? {x: sheet.clientWidth / 2, y: sheet.clientHeight / 2, i: -1};
  let best = null, least = Infinity;
  for (const t of shownTiles) {
    const along = (t.x - from.x) * dx + (t.y - from.y) * dy, aside = Math.abs((t.x - from.x) * dy) + Math.abs((t.y - from.y) * dx);
    if (t.i === from.i || from.i >= 0 && along < 4) continue;
    const far = from.i < 0 ? Math.hypot(t.x - from.x, t.y - from.y) : along + 2 * aside;
    if (far < least) { least = far; best = t; }
  }
  if (!best) return;
  if (view.zoom > 1) {
    view.x += (Math.max(0, best.x - sheet.clientWidth + 60) - Math.max(0, 60 - best.x)) / wideOf();
    view.y += (Math.max(0, best.y - sheet.clientHeight + 60) - Math.max(0, 60 - best.y)) / highOf();
  }
  choose(best.i);
};
sheet.addEventListener("keydown", event => {
  const keys = {ArrowLeft: () => step(-1, 0), ArrowRight: () => step(1, 0), ArrowUp: () => step(0, -1), ArrowDown: () => step(0, 1), "+": () => zoomAt(1.4), "-": () => zoomAt(1 / 1.4), "0": goWhole,
    Enter: () => { if (chosen >= 0) $("chosen").focus(); }, " ": () => decide(picked, rejected), x: () => decide(rejected, picked)};
  const act = event.ctrlKey || event.metaKey || event.altKey ? null : keys[event.key];
  if (act) { event.preventDefault(); act(); }
});
$("model").addEventListener("keydown", event => { followKey(shared, event); });
$("closer").addEventListener("click", () => zoomAt(1.5));
$("farther").addEventListener("click", () => zoomAt(1 / 1.5));
$("whole").addEventListener("click", goWhole);
$("save").addEventListener("click", () => save("picks.json", JSON.stringify({format: "sixtyfold-picks", version: 1, run: data.run, picked: [...picked].map(recipeOf), rejected: [...rejected].map(recipeOf)}, null, 1) + "\n", "application/json"));
$("copy").addEventListener("click", async () => {
  try { await navigator.clipboard.writeText($("command").textContent); $("told").textContent = say("map_copied"); }
  catch (refused) { getSelection().selectAllChildren($("command")); }
});
new ResizeObserver(draw).observe(sheet);
followTheme(store, () => { filter(); shared.draw(); });
showPicks();
document.documentElement.dataset.ready = Math.round(performance.now());
})();
