"use strict";
(() => {
{{basics}}
{{view}}
const store = makeStore("localStorage", () => {});
const fields = [...document.querySelectorAll("#form [name]")];
let state = null, version = 0, shown = "", list = {version: 0, designs: []}, closed = false, seen = new Set();

// The server: one question at a time for actions, so that what was typed first is there first.
const ask = async path => { const answer = await fetch(path, {cache: "no-store"}); if (!answer.ok) throw new Error((await answer.json()).fault); return answer; };
let queue = Promise.resolve();
const act = (action, values = {}) => {
  const sent = queue.then(async () => {
    let answer;
    try { answer = await fetch("act", {method: "POST", headers: {"Content-Type": "application/json"}, body: JSON.stringify({action, ...values})}); }
    catch (lost) { showClosed(); throw new Error(say("shop_closed")); }
    const told = await answer.json();
    if (!answer.ok) throw new Error(told.fault ?? answer.statusText);
    await take(told);
    wake();
  });
  queue = sent.catch(() => {});
  return sent;
};
const tell = text => { $("told").textContent = text; };
const tryTo = (action, values, place = $("fault")) => act(action, values).then(() => { place.textContent = ""; return true; }, fault => { place.textContent = fault.message; return false; });
const showClosed = () => { closed = true; $("gone").hidden = false; $("gone").textContent = say("shop_closed"); };

// Pictures as the gallery has them: lines that change with the theme.
const pictures = new Map();
const picture = (folder, design) => {
  const key = design.key + "/" + folder;
  if (!pictures.has(key)) pictures.set(key, ask(`picture/${folder}/${design.file}`).then(answer => answer.text()).then(text => {
    const svg = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
    svg.removeAttribute("width"); svg.removeAttribute("height"); svg.setAttribute("aria-hidden", "true");
    svg.querySelectorAll("title, desc").forEach(e => e.remove());
    return svg;
  }).catch(() => { pictures.delete(key); return null; }));
  return pictures.get(key);
};
const putPicture = async (place, folder, design) => { const svg = await picture(folder, design); if (svg) place.replaceChildren(document.importNode(svg, true)); };

const button = (text, classes, press) => { const b = element("button", "button " + classes, text); b.type = "button"; b.addEventListener("click", press); return b; };
const thingOf = folder => state.things.find(thing => thing.folder === folder && thing.kind !== "map");
const makesDesigns = thing => ["find", "more", "tune"].includes(thing.kind);
const nameOf = thing => say("shop_kind_" + thing.kind, {name: thing.about, folder: thing.folder});
const wordOf = key => state.marks[key]?.word ?? "";

// Cards.
const cards = new Map();
let compared = [];
const makeFacts = facts => {
  const dl = element("dl", "facts");
  for (const [word, text] of facts) {
    const row = element("div", ["mass", "stiffness", "symmetry"].includes(word) ? "minor" : "");
    row.append(element("dt", "", say("fact_" + word)), element("dd", "", text));
    dl.append(row);
  }
  return dl;
};
const mark = (design, word) => tryTo("mark", {folder: design.folder ?? shown, key: design.key, word: wordOf(design.key) === word ? "" : word}).then(done => { if (done) tell(say({pick: "shop_told_pick", reject: "shop_told_reject", "": "shop_told_open"}[wordOf(design.key)], {name: design.name})); });
const makeCard = (folder, design) => {
  const card = element("li", "card young"), look = element("button", "picture"), body = element("div", "body"), head = element("div", "name"), actions = element("div", "actions");
  look.type = "button";
  look.setAttribute("aria-label", say("turn_label", {name: design.name}));
  look.addEventListener("click", () => showViews([{folder, ...design}]));
  putPicture(look, folder, design);
  head.append(element("span", "number"), element("h2", "", design.name));
  const flat = (word, press) => { const b = button(say(word), "flat", press); b.setAttribute("aria-label", say(word + "_label", {name: design.name})); return b; };
  const pick = button(say("shop_pick"), "wide pick", () => mark(design, "pick")), not = button(say("shop_reject"), "wide reject", () => mark(design, "reject"));
  pick.setAttribute("aria-label", say("shop_pick_label", {name: design.name})); not.setAttribute("aria-label", say("shop_reject_label", {name: design.name}));
  const compare = flat("compare", () => { const at = compared.findIndex(one => one.key === design.key); if (at >= 0) compared.splice(at, 1); else { if (compared.length > 1) compared.shift(); compared.push({folder, ...card.design}); } showMarks(); });
  compare.classList.add("compare-button");
  actions.append(pick, not, flat("shop_build", () => tryTo("kit", {folder, key: design.key})), flat("shop_tune", () => openTune(folder, design)), compare);
  body.append(head, makeFacts(design.facts));
  if (design.looks) body.append(element("p", "looks", design.looks));
  if (design.flexible) body.append(element("p", "note", say("flexible", {n: design.flexible})));
  body.append(actions);
  card.append(look, body);
  card.design = design;
  return card;
};
const showList = () => {
  const order = list.designs.map(design => {
    const key = shown + "/" + design.key;
    if (!cards.has(key)) cards.set(key, makeCard(shown, design));
    const card = cards.get(key);
    card.design = design;
    return card;
  });
  order.forEach((card, i) => { card.querySelector(".number").textContent = i + 1; });
  // Moved only where the order changed: what has the focus keeps it.
  const place = $("cards"), wanted = new Set(order);
  for (const card of [...place.children]) if (!wanted.has(card)) card.remove();
  order.forEach((card, i) => { if (place.children[i] !== card) place.insertBefore(card, place.children[i] ?? null); });
  const young = list.designs.filter(design => !seen.has(shown + "/" + design.key));
  for (const design of young) seen.add(shown + "/" + design.key);
  if (young.length && state.progress) tell(say("shop_told_new", {n: young.length, name: young[0].name}));
  showMarks();
};
const showMarks = () => {
  for (const card of $("cards").children) {
    const word = wordOf(card.design.key);
    card.classList.toggle("picked", word === "pick");
    card.classList.toggle("no", word === "reject");
    card.querySelector(".pick").setAttribute("aria-pressed", word === "pick");
    card.querySelector(".reject").setAttribute("aria-pressed", word === "reject");
    card.querySelector(".compare-button").setAttribute("aria-pressed", compared.some(one => one.key === card.design.key));
  }
  const picks = Object.entries(state.marks).filter(([, one]) => one.word === "pick");
  $("bar").hidden = !picks.length && !compared.length;
  $("bar-count").textContent = say("shop_picked", {n: picks.length});
  const tray = $("tray");
  const wanted = picks.map(([key]) => key);
  for (const entry of [...tray.children]) if (!wanted.includes(entry.dataset.key)) entry.remove();
  for (const [key, one] of picks) if (![...tray.children].some(entry => entry.dataset.key === key)) {
    const entry = element("li"), look = element("button"), still = element("span");
    entry.dataset.key = key; look.type = "button";
    look.setAttribute("aria-label", say("turn_label", {name: one.name}));
    look.append(still, element("span", "", one.name));
    look.addEventListener("click", () => showViews([{folder: one.folder, key, file: one.file, name: one.name, facts: cards.get(one.folder + "/" + key)?.design.facts ?? []}]));
    putPicture(still, one.folder, {key, file: one.file});
    entry.append(look);
    tray.append(entry);
  }
  $("more").disabled = $("gallery").disabled = !picks.length;
  $("compare-open").hidden = !compared.length;
  $("compare-open").disabled = compared.length !== 2;
  $("compare-open").textContent = compared.length === 2 ? say("compare_these", {first: compared[0].name, second: compared[1].name}) : compared.length ? say("compare_one_more") : say("compare_two");
};

// What was made.
const link = (folder, name, main) => { const a = element("a", "button" + (main ? " main" : ""), say("shop_document_" + name.replace(/\W/g, "_"))); a.href = `files/${folder}/${name}`; a.target = "_blank"; a.rel = "noopener"; return a; };
const documentsOf = thing => thing.kind === "map" ? ["map.html"] : thing.kind === "gallery" ? ["index.html"] : thing.kind === "kit" ? (thing.documents ?? []).filter(name => !["index.html", "map.html"].includes(name)) : [];
const isReady = thing => thing.ending === "done" && thing.status === 0 && documentsOf(thing).length > 0;
let showingAway = false, readyNumber = 0, wasWorking = new Set();
const showHistory = () => {
  const away = state.things.filter(thing => thing.away).length;
  $("history-none").hidden = state.things.length > 0;
  $("show-away").hidden = !away;
  $("show-away").textContent = say("shop_show_away", {n: away});
  $("show-away").setAttribute("aria-pressed", showingAway);
  const opened = new Set([...document.querySelectorAll("#history details[open]")].map(e => e.dataset.number));
  $("history").replaceChildren(...[...state.things].reverse().filter(thing => showingAway || !thing.away).map(thing => {
    const entry = element("li", thing.away ? "away" : ""), line = element("div", "line");
    line.append(element("strong", "", nameOf(thing)), element("span", "small", `${say("shop_ending_" + thing.ending)} · ${new Date(thing.started.replace(/(\d\d)(\d\d)$/, "$1:$2")).toLocaleString(language, {dateStyle: "medium", timeStyle: "short"})} · ${thing.folder}`));
    if (["waiting", "working"].includes(thing.ending)) line.append(button(say("shop_stop_this"), "", () => tryTo("stop", {number: thing.number})));
    else line.append(button(say(thing.away ? "shop_back" : "shop_away"), "", () => tryTo(thing.away ? "back" : "away", {number: thing.number})));
    entry.append(line, element("code", "", thing.command));
    if (thing.again) entry.append(element("code", "", thing.again));
    if (isReady(thing)) { const row = element("div", "documents"); row.append(...documentsOf(thing).map((name, i) => link(thing.folder, name, i === 0))); entry.append(row); }
    if (thing.told && thing.ending !== "working") {
      const more = element("details");
      more.dataset.number = thing.number; more.open = opened.has(String(thing.number));
      const text = element("pre", "", thing.told); text.lang = "en"; text.tabIndex = 0;
      more.append(element("summary", "", say("shop_said")), text);
      entry.append(more);
    }
    return entry;
  }));
  // What has just become ready is offered at once.
  for (const thing of state.things) {
    if (["waiting", "working"].includes(thing.ending)) wasWorking.add(thing.number);
    else if (wasWorking.delete(thing.number)) {
      if (isReady(thing)) readyNumber = thing.number;
      if (thing.ending === "failed") $("fault").textContent = say("shop_failed", {name: nameOf(thing)}) + " " + thing.told.replace(/^sixtyfold: /, "");
      else tell(say("shop_told_end", {name: nameOf(thing), ending: say("shop_ending_" + thing.ending)}));
    }
  }
  const ready = state.things.find(thing => thing.number === readyNumber);
  $("ready").hidden = !ready;
  if (ready && $("ready").dataset.number !== String(readyNumber)) {
    $("ready").dataset.number = readyNumber;
    const close = button("×", "round", () => { readyNumber = 0; showHistory(); });
    close.setAttribute("aria-label", say("close"));
    const row = element("div", "documents");
    row.append(...documentsOf(ready).map((name, i) => link(ready.folder, name, i === 0)));
    $("ready").replaceChildren(element("strong", "", say("shop_is_ready", {name: nameOf(ready)})), close, row);
  }
};

// Lists to look at.
const showWhich = () => {
  const lists = state.things.filter(thing => makesDesigns(thing) && !thing.away && (thing.designs || !["done", "failed"].includes(thing.ending) || thing.folder === shown));
  $("which").hidden = lists.length < 2;
  const focus = document.activeElement?.dataset?.folder;
  $("which").replaceChildren(...lists.map(thing => {
    const b = button("", "", () => show(thing.folder));
    b.dataset.folder = thing.folder;
    b.append(nameOf(thing) + " ", element("small", "", `${thing.folder} · ${thing.designs}`));
    b.setAttribute("aria-pressed", thing.folder === shown);
    return b;
  }));
  if (focus) document.querySelector(`#which [data-folder="${focus}"]`)?.focus();
  const thing = shown && thingOf(shown), working = thing && ["waiting", "working"].includes(thing.ending);
  $("empty").hidden = !!thing;
  $("about-list").hidden = !thing;
  if (!thing) return;
  const sentence = thing.designs ? "" : working ? say("shop_still_nothing") : thing.told.trim();
  $("list-told").textContent = [thing.designs ? say("shop_designs", {n: thing.designs}) : "", working ? "" : say("shop_ending_" + thing.ending), sentence].filter(Boolean).join(" · ");
  $("resume").hidden = !thing.resumable;
  $("map").hidden = !(thing.kind !== "tune" && thing.designs && !working && ["done", "stopped"].includes(thing.ending));
};
const show = folder => { shown = folder; list = {version: 0, designs: []}; showWhich(); showList(); return refreshList(); };
const refreshList = async () => {
  const folder = shown, thing = folder && thingOf(folder);
  if (!thing || thing.list === list.version) return;
  if (!thing.list) { list = {version: 0, designs: []}; return showList(); }
  try { const told = await (await ask("list/" + folder)).json(); if (folder === shown) { list = told; showList(); } } catch (fault) { /* asked again with the next state */ }
};

// The state.
const showForm = () => { for (const field of fields) if (document.activeElement !== field || field.tagName === "SELECT" || !field.dirty) { field.value = state.form[field.name]; } $("language").value = state.form.language; };
const showNow = () => {
  const now = state.progress, thing = now && state.things.find(one => one.number === now.number);
  $("now").hidden = !thing;
  if (!thing) return;
  const isSearch = thing.kind === "find" || thing.kind === "more", waiting = state.things.filter(one => one.ending === "waiting").length;
  $("now-what").textContent = nameOf(thing);
  $("now-far").textContent = [`${now.seconds.toLocaleString(language, {minimumFractionDigits: 1, maximumFractionDigits: 1})} s`, isSearch && now.variants ? say("shop_far", {n: now.variants.toLocaleString(language), fit: now.feasible.toLocaleString(language)}) : "", waiting ? say("shop_waiting", {n: waiting}) : ""].filter(Boolean).join(" · ");
  if (isSearch && now.share) $("now-share").value = now.share; else $("now-share").removeAttribute("value");
  $("now-command").textContent = thing.again ?? thing.command;
  $("ask").hidden = thing.kind !== "find";
};
const take = async told => {
  if (told.form) {
    if (state && told.version < state.version) return;  // an older answer that was late
    const before = state;
    state = told; version = told.version;
    if (before && before.form.language !== state.form.language) return location.reload();
    showForm();
    // The newest list, when there is a new one.
    const lists = state.things.filter(thing => makesDesigns(thing) && !thing.away), newest = lists.at(-1);
    const known = before ? before.things.length : 0;
    if (newest && (!before || state.things.length > known && state.things.slice(known).some(thing => thing.folder === newest.folder)) || shown && !lists.some(thing => thing.folder === shown)) await Promise.all([show(newest?.folder ?? "")]);
    showHistory(); showWhich(); showMarks();
    $("undo").disabled = !state.undo; $("redo").disabled = !state.redo;
    $("find").textContent = say("shop_find");
    await refreshList();
  } else if (state) {
    state.progress = told.progress;
  }
  showNow();
};
// Asked often while something is at work, above all for the first designs.
let wake = () => {};
const isBusy = () => state?.things?.some(thing => ["waiting", "working"].includes(thing.ending));
const listen = async () => {
  for (;;) {
    try { await take(await (await ask("state?since=" + version)).json()); closed = false; $("gone").hidden = true; document.documentElement.dataset.ready = "yes"; }
    catch (lost) { if (lost instanceof TypeError) showClosed(); }
    const pause = closed ? 1500 : document.hidden ? 1000 : !isBusy() ? 500 : (state.progress?.seconds ?? 0) < 3 ? 30 : 120;
    await new Promise(go => { wake = go; setTimeout(go, pause); });
  }
};

// What is typed.
let typed = Promise.resolve();
const send = async field => {
  field.dirty = false;
  const good = await tryTo("set", {field: field.name, value: field.value.trim().replace(/^(\d+),(\d+)$/, "$1.$2")}, $("form-fault"));
  if (good) { field.removeAttribute("aria-invalid"); field.removeAttribute("aria-describedby"); }
  else { field.setAttribute("aria-invalid", "true"); field.setAttribute("aria-describedby", "form-fault"); field.dirty = true; }
};
for (const field of fields) {
  field.addEventListener("input", () => { field.dirty = true; });
  field.addEventListener("change", () => { typed = send(field); });
}
$("form").addEventListener("submit", async event => {
  event.preventDefault();
  const focused = document.activeElement;
  if (fields.includes(focused) && focused.dirty) typed = send(focused);
  await typed;
  if (document.querySelector("#form [aria-invalid]")) { document.querySelector("#form [aria-invalid]").focus(); return; }
  if (await tryTo("find", {}, $("form-fault"))) { tell(say("shop_told_begun")); if (innerWidth < 900) $("lists").scrollIntoView(); }
});
$("undo").addEventListener("click", () => tryTo("undo").then(done => done && tell(say("shop_told_undo"))));
$("redo").addEventListener("click", () => tryTo("redo").then(done => done && tell(say("shop_told_redo"))));
document.addEventListener("keydown", event => {
  if (!(event.ctrlKey || event.metaKey) || event.target.matches("input, textarea, select")) return;
  const key = event.key.toLowerCase(), again = key === "y" || key === "z" && event.shiftKey;
  if (again || key === "z") { event.preventDefault(); $(again ? "redo" : "undo").click(); }
});
$("language").addEventListener("change", event => tryTo("set", {field: "language", value: event.target.value}));
$("ask").addEventListener("click", () => tryTo("ask"));
$("stop").addEventListener("click", () => state.progress && tryTo("stop", {number: state.progress.number}));
$("resume").addEventListener("click", () => tryTo("resume", {number: thingOf(shown).number}));
$("map").addEventListener("click", () => tryTo("map", {number: thingOf(shown).number}));
$("more").addEventListener("click", () => tryTo("more"));
$("gallery").addEventListener("click", () => tryTo("gallery"));
$("show-away").addEventListener("click", () => { showingAway = !showingAway; showHistory(); });
let tuned = null;
const openTune = (folder, design) => { tuned = {folder, key: design.key}; $("tune-title").textContent = say("shop_tune_label", {name: design.name}); $("tune").returnValue = ""; $("tune").showModal(); };
$("tune").addEventListener("close", () => { if ($("tune").returnValue === "yes") tryTo("tune", {...tuned, purpose: document.querySelector("[name=purpose]:checked").value}); });

// The large view: one design, or two that turn together at one scale.
let viewed = [], opener = null;
const showViews = async designs => {
  let shapes;
  try { shapes = await Promise.all(designs.map(async one => (await ask(`shape/${one.folder}/${one.file}`)).json())); }
  catch (fault) { $("fault").textContent = fault.message; return; }
  const opening = !$("view").open;
  if (opening) opener = document.activeElement;
  viewed = designs;
  shared.views.forEach(view => view.close());
  shared.views = []; shared.pan = [0, 0];
  shared.radius = Math.max(...shapes.map(shape => shape.radius));
  $("stages").replaceChildren();
  const one = designs.length === 1;
  $("view").classList.toggle("compare", !one);
  $("view-title").textContent = one ? designs[0].name : say("side_by_side");
  $("view-back").hidden = $("view-next").hidden = !one || list.designs.length < 2 || !list.designs.some(design => design.key === designs[0].key);
  if (opening) $("view").showModal();
  shared.begin(shapes[0]);
  $("view-colour").setAttribute("aria-pressed", shared.bare);
  designs.forEach((design, i) => {
    const stage = element("div", "stage"), canvas = element("canvas"), side = element("div", "side");
    if (!one) { const head = element("div", "stage-head"); head.append(element("h3", "", design.name)); stage.append(head); }
    canvas.tabIndex = 0;
    canvas.setAttribute("role", "application"); canvas.setAttribute("aria-roledescription", say("canvas_role")); canvas.setAttribute("aria-label", say("canvas_label", {name: design.name}));
    stage.append(canvas);
    $("stages").append(stage);
    try { shared.views.push(new View(canvas, shapes[i], shared)); }
    catch (unable) { const still = element("div", "still"), held = element("div"); putPicture(held, design.folder, design); still.append(held, element("p", "", say("no_webgl"))); canvas.replaceWith(still); }
    side.tabIndex = 0; side.setAttribute("role", "region"); side.setAttribute("aria-label", say("facts_of", {name: design.name}));
    side.append(makeFacts(design.facts));
    if (one && design.looks) side.append(element("p", "why", design.looks));
    if (one && design.why?.length && thingOf(design.folder)?.kind !== "find") { const why = element("p", "why", design.why.join("; ")); why.lang = "en"; side.append(why); }
    if (one && thingOf(design.folder)?.kind === "tune" && /^\d/.test(design.file)) { const a = element("a", "button", say("shop_before_after")); a.href = `files/${design.folder}/compare-${design.file.slice(0, -5)}.svg`; a.target = "_blank"; a.rel = "noopener"; side.append(a); }
    if (one) {  // what the card offers
      const deeds = element("div", "deeds"), marks = ["pick", "reject"].map(word => { const b = button(say("shop_" + word), "", async () => { await mark(design, word); marks.forEach(([other, at]) => at.setAttribute("aria-pressed", wordOf(design.key) === other)); }); b.setAttribute("aria-pressed", wordOf(design.key) === word); return [word, b]; });
      deeds.append(...marks.map(([, b]) => b), button(say("shop_build"), "", () => { $("view").close(); tryTo("kit", {folder: design.folder, key: design.key}); }), button(say("shop_tune"), "", () => { $("view").close(); openTune(design.folder, design); }));
      side.append(deeds);
    }
    stage.append(side);
  });
  document.querySelector(".controls").hidden = !shared.views.length;
  if (opening && shared.views.length) shared.views[0].canvas.focus({preventScroll: true});
  shared.draw();
};
const step = by => { const at = list.designs.findIndex(design => design.key === viewed[0].key); showViews([{folder: shown, ...list.designs[(at + by + list.designs.length) % list.designs.length]}]); };
$("view-back").addEventListener("click", () => step(-1));
$("view-next").addEventListener("click", () => step(1));
$("view-close").addEventListener("click", () => $("view").close());
$("view").addEventListener("close", () => { shared.views.forEach(view => view.close()); shared.views = []; $("stages").replaceChildren(); if (opener?.isConnected) opener.focus(); });
listenToView(shared);
$("compare-open").addEventListener("click", () => showViews(compared));

followTheme(store, () => shared.draw());
listen();
})();
