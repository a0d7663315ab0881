"use strict";
(() => {
{{vote}}
{{view}}
const $ = id => document.getElementById(id);
const data = JSON.parse($("data").textContent);
const options = data.options, byNumber = new Map(options.map(option => [option.number, option]));
const cards = new Map([...document.querySelectorAll(".card")].map(card => [+card.dataset.number, card]));
const ordinal = n => n + (n % 100 > 10 && n % 100 < 14 ? "th" : ["th", "st", "nd", "rd"][n % 10] || "th");
const plural = (n, word) => `${n} ${word}${n === 1 ? "" : "s"}`;
const element = (tag, className, text) => { const e = document.createElement(tag); if (className) e.className = className; if (text !== undefined) e.textContent = text; return e; };
const label = number => `${number} ${byNumber.get(number).name}`;
const save = (name, text, type) => {
  const link = element("a");
  link.href = URL.createObjectURL(new Blob([text], {type}));
  link.download = name;
  document.body.append(link); link.click(); link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 10000);
};
const ask = (title, text, yes) => new Promise(resolve => {
  $("ask-title").textContent = title; $("ask-text").textContent = text; $("ask-yes").textContent = yes;
  $("ask-no").hidden = yes === "Next voter";
  const dialog = $("ask");
  dialog.returnValue = "";
  dialog.addEventListener("close", () => resolve(dialog.returnValue === "yes"), {once: true});
  dialog.showModal();
});

// The poster: as many columns as fill a sheet of paper.
document.body.classList.toggle("many", options.length > 6);
document.documentElement.style.setProperty("--poster-columns", options.length > 40 ? 6 : options.length > 16 ? 5 : options.length > 6 ? 4 : 3);

// Dark and light: as the system says until somebody chooses.
const themeKey = "sixtyfold-theme";
const setTheme = dark => { document.documentElement.dataset.theme = dark ? "dark" : "light"; $("theme").setAttribute("aria-pressed", dark); };
const system = matchMedia("(prefers-color-scheme: dark)");
setTheme(store.get(themeKey) ? store.get(themeKey) === "dark" : system.matches);
system.addEventListener("change", () => { if (!store.get(themeKey)) setTheme(system.matches); });
$("theme").addEventListener("click", () => { const dark = document.documentElement.dataset.theme !== "dark"; store.set(themeKey, dark ? "dark" : "light"); setTheme(dark); });

// Sort and filter; folded on a narrow screen until wanted.
$("filter-box").open = !matchMedia("(max-width: 40rem)").matches;
const addChoices = (select, values) => values.forEach(([value, text]) => { const o = element("option", "", text); o.value = value; select.append(o); });
addChoices($("filter-symmetry"), [...new Set(options.map(o => o.symmetry))].sort().map(s => [s, s]));
addChoices($("filter-panels"), [...new Set(options.map(o => o.panels))].sort((a, b) => a - b).map(n => [n, `at most ${n}`]));
const sheets = [...new Set(options.map(o => o.sheets))].filter(n => n > 0).sort((a, b) => a - b);
addChoices($("filter-sheets"), sheets.map(n => [n, `at most ${n}`]));
addChoices($("filter-difficulty"), [...new Map(options.map(o => [o.difficulty, o.difficultyWord])).entries()].sort((a, b) => a[0] - b[0]).map(([d, word]) => [d, `${word} or easier`]));
const arrange = () => {
  const key = $("sort").value, down = key.startsWith("-") ? -1 : 1, field = key.replace("-", "");
  const sorted = [...options].sort((a, b) => {
    const x = a[field], y = b[field];
    return (typeof x === "string" ? x.localeCompare(y) : down * (x - y)) || a.number - b.number;
  });
  const text = $("filter-text").value.trim().toLowerCase();
  let shown = 0;
  for (const option of sorted) {
    const card = cards.get(option.number);
    const fits = (!$("filter-symmetry").value || option.symmetry === $("filter-symmetry").value) &&
      (!$("filter-panels").value || option.panels <= +$("filter-panels").value) &&
      (!$("filter-sheets").value || option.sheets > 0 && option.sheets <= +$("filter-sheets").value) &&
      (!$("filter-difficulty").value || option.difficulty <= +$("filter-difficulty").value) &&
      (!text || option.name.toLowerCase().includes(text) || String(option.number) === text);
    card.hidden = !fits;
    shown += fits;
    $("cards").append(card);
  }
  $("count").textContent = shown === options.length ? plural(shown, "design") : `${shown} of ${plural(options.length, "design")}`;
};
$("filters").addEventListener("input", arrange);
$("filters").addEventListener("submit", event => event.preventDefault());
arrange();

// What the board costs: sheets times the price of one, as typed or as the page was made with.
const priceKey = "sixtyfold-price-" + data.id;
const digits = cost => cost < 100 && cost % 1 ? 2 : 0;
const showPrice = () => {
  const text = $("price").value.trim(), price = Number(text), known = text !== "" && price >= 0 && price <= 1e6;
  document.body.classList.toggle("priced", known);
  for (const option of options) {
    const cost = cards.get(option.number).querySelector(".cost");
    if (cost) cost.textContent = known ? `${(option.sheets * price).toLocaleString("en", {minimumFractionDigits: digits(option.sheets * price), maximumFractionDigits: digits(option.sheets * price)}).replaceAll(",", "\u202f")} ${data.currency}`.trim() : "type a price";
  }
};
$("price").value = store.get(priceKey) ?? (data.price > 0 ? data.price : "");
$("price").addEventListener("input", () => { store.set(priceKey, $("price").value); showPrice(); });
showPrice();

// The large view: one design, or two that turn together.
let viewed = [];
const showViews = numbers => {
  const opening = !$("view").open;
  viewed = numbers;
  shared.views.forEach(view => view.close());
  shared.views = [];
  $("stages").replaceChildren();
  const one = numbers.length === 1, dialog = $("view");
  dialog.classList.toggle("compare", !one);
  $("view-title").textContent = one ? label(numbers[0]) : "Side by side";
  $("view-back").hidden = $("view-next").hidden = !one || options.length < 2;
  if (!dialog.open) dialog.showModal();
  for (const number of numbers) {
    const option = byNumber.get(number), card = cards.get(number), stage = element("div", "stage");
    if (!one) stage.append(element("h3", "", label(number)));
    $("stages").append(stage);
    const canvas = element("canvas");
    canvas.tabIndex = 0;
    canvas.setAttribute("role", "application");
    canvas.setAttribute("aria-roledescription", "picture that can be turned");
    canvas.setAttribute("aria-label", `${option.name} in three dimensions. Arrow keys turn it, plus and minus zoom, 0 resets.`);
    stage.append(canvas);
    try {
      shared.views.push(new View(canvas, option.shape, shared));
    } catch (unable) {  // no WebGL here: the drawing stands still
      const still = element("div", "still");
      still.append(card.querySelector(".picture svg").cloneNode(true), element("p", "", "This browser can not turn it (no WebGL): here is its drawing."));
      canvas.replaceWith(still);
    }
    const side = element("div", "side");
    if (one) { const part = element("div", "part"); part.append(card.querySelector("template").content.cloneNode(true)); side.append(part); }
    side.append(card.querySelector(".facts").cloneNode(true));
    if (one && option.reasons.length) side.append(element("p", "why", `${option.difficultyWord[0].toUpperCase() + option.difficultyWord.slice(1)}, because of ${option.reasons.join("; ")}.`));
    for (const note of card.querySelectorAll(".body .note")) side.append(note.cloneNode(true));
    stage.append(side);
  }
  document.querySelector(".controls").hidden = !shared.views.length;
  if (opening && shared.views.length) shared.views[0].canvas.focus({preventScroll: true});
  shared.draw();
};
const step = by => { const at = options.findIndex(o => o.number === viewed[0]); showViews([options[(at + by + options.length) % options.length].number]); };
$("view-back").addEventListener("click", () => step(-1));
$("view-next").addEventListener("click", () => step(1));
$("view-close").addEventListener("click", () => $("view").close());
$("view").addEventListener("close", () => { shared.views.forEach(view => view.close()); shared.views = []; $("stages").replaceChildren(); });
$("view").addEventListener("keydown", event => {
  if (event.target.matches("input") || !shared.views.length) return;
  const turns = {ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1]}[event.key];
  if (turns) shared.turnBy(turns[0] * 0.2, turns[1] * 0.2);
  else if (event.key === "+" || event.key === "=") shared.zoomBy(1.15);
  else if (event.key === "-") shared.zoomBy(1 / 1.15);
  else if (event.key === "0") shared.reset();
  else return;
  event.preventDefault();
});
document.querySelectorAll("[data-turn]").forEach(button => button.addEventListener("click", () => { const [right, down] = button.dataset.turn.split(",").map(Number); shared.turnBy(right * 0.25, down * 0.25); }));
document.querySelectorAll("[data-zoom]").forEach(button => button.addEventListener("click", () => shared.zoomBy(button.dataset.zoom > 0 ? 1.25 : 0.8)));
$("view-reset").addEventListener("click", () => { $("view-apart").value = 0; shared.apart = 0; shared.reset(); });
$("view-apart").addEventListener("input", event => { shared.apart = event.target.value / 100; shared.draw(); });
$("view-colour").addEventListener("click", event => { shared.bare = !shared.bare; event.target.setAttribute("aria-pressed", shared.bare); shared.draw(); });

// Choosing two to compare.
let compared = [];
const showCompared = () => {
  cards.forEach((card, number) => card.querySelector(".compare-button").setAttribute("aria-pressed", compared.includes(number)));
  $("compare-open").disabled = compared.length !== 2;
  $("compare-open").textContent = compared.length === 2 ? `Compare ${compared[0]} and ${compared[1]}` : compared.length ? "Compare two: one more" : "Compare two";
};
$("compare-open").addEventListener("click", () => showViews(compared));

// The vote.
const voteKey = "sixtyfold-vote-" + data.id;
let vote = null, draft = [];
const keep = () => vote ? store.set(voteKey, JSON.stringify({vote, draft})) : store.drop(voteKey);
const whole = value => {  // a stored vote is read as carefully as a file
  const isBallot = b => Array.isArray(b) && new Set(b).size === b.length && b.every(n => byNumber.has(n));
  return value && value.vote && ["approval", "ranking"].includes(value.vote.method) && typeof value.vote.closed === "boolean" &&
    Array.isArray(value.vote.ballots) && value.vote.ballots.every(isBallot) && isBallot(value.draft);
};
try {
  const stored = JSON.parse(store.get(voteKey));
  if (whole(stored)) ({vote, draft} = stored);
} catch (unreadable) { /* nothing to go on with */ }
$("memory-note").hidden = store.lasting;

const clearBar = () => { document.documentElement.style.scrollPaddingBottom = $("bar").hidden ? "" : `${$("bar").offsetHeight + 16}px`; };
$("lead").addEventListener("toggle", clearBar);
const showVote = () => {
  const open = vote && !vote.closed;
  document.body.classList.toggle("voting", !!open);
  if (!open) $("lead").open = false;
  $("bar").hidden = !open;
  $("result").hidden = !(vote && vote.closed);
  $("vote-open").disabled = !!vote;
  $("vote-open").textContent = !vote ? "Vote" : open ? "Vote is open" : "Vote is closed";
  cards.forEach((card, number) => {
    const at = open ? draft.indexOf(number) : -1, button = card.querySelector(".choose");
    card.classList.toggle("picked", at >= 0);
    button.setAttribute("aria-pressed", at >= 0);
    button.textContent = !open ? "" : vote.method === "approval" ? (at >= 0 ? "\u2713 Picked" : "Pick") : at >= 0 ? `${ordinal(at + 1)} choice: take back` : `Make ${ordinal(draft.length + 1)} choice`;
    button.setAttribute("aria-label", `${button.textContent}: ${label(number)}`);
  });
  if (open) {
    const n = vote.ballots.length;
    $("voter").textContent = `Voter ${n + 1}`;
    $("said").textContent = draft.length ? (vote.method === "approval" ? `Picked: ${draft.map(label).join(", ")}` : draft.map((number, i) => `${ordinal(i + 1)} ${label(number)}`).join(", "))
      : vote.method === "approval" ? "Pick every design you would gladly build." : "Choose in order: your favourite first.";
    $("cast").disabled = !draft.length;
    $("clear").disabled = !draft.length;
    $("undo").disabled = !n;
    $("export").disabled = !n;
    $("close-vote").disabled = !n;
  }
  // What has the focus is never hidden behind the bar.
  clearBar();
  if (vote && vote.closed) showResult();
};
const showResult = () => {
  const approval = vote.method === "approval", n = vote.ballots.length;
  const rows = (approval ? countApproval : countSchulze)(vote.ballots, options.length).sort((a, b) => a.place - b.place || a.number - b.number);
  const best = rows.filter(row => row.place === 1);
  $("result-title").textContent = best.length === 1 ? `${byNumber.get(best[0].number).name} wins (number ${best[0].number})` : `A tie: ${best.map(row => label(row.number)).join(" and ")}`;
  $("winners").replaceChildren(...best.slice(0, 4).map(row => {
    const figure = element("figure");
    figure.append(cards.get(row.number).querySelector(".picture svg").cloneNode(true), element("figcaption", "", label(row.number)));
    return figure;
  }));
  $("result-list").replaceChildren(...rows.map(row => {
    const item = element("li"), track = element("span", "track"), fill = element("span", "fill");
    const share = approval ? row.value / n : row.value / Math.max(1, options.length - 1);
    fill.style.width = `${Math.round(70 * share)}%`;
    track.append(fill, element("span", "value", approval ? String(row.value) : `${ordinal(row.place)} place`));
    item.append(element("span", "", label(row.number)), track);
    return item;
  }));
  $("result-rule").textContent = `${plural(n, "ballot")}, ` + (approval ? "approval voting: the design picked by most people wins. " : "counted by the Schulze method: a design wins if no other beats it by a stronger chain of majorities. ") +
    "Ties stay ties: this page never breaks one. Vote again between the tied designs, or draw lots before witnesses. `sixtyfold tally` counts the saved ballots again.";
};
const pick = number => {
  const at = draft.indexOf(number);
  if (at >= 0) draft.splice(at, 1); else draft.push(number);
  if (vote.method === "approval") draft.sort((a, b) => a - b);
  keep(); showVote();
};
$("vote-open").addEventListener("click", () => { $("vote-start").returnValue = ""; $("vote-start").showModal(); });
$("vote-start").addEventListener("close", () => {
  if ($("vote-start").returnValue !== "yes") return;
  vote = {method: document.querySelector("input[name=method]:checked").value, ballots: [], closed: false};
  draft = []; keep(); showVote();
});
$("cast").addEventListener("click", async () => {
  vote.ballots.push(draft); draft = []; $("lead").open = false; keep(); showVote();
  await ask(`Ballot ${vote.ballots.length} is in`, "Thank you. Pass the device on: the next person starts with an empty ballot.", "Next voter");
  window.scrollTo({top: 0});
});
$("clear").addEventListener("click", () => { draft = []; keep(); showVote(); });
$("undo").addEventListener("click", async () => {
  if (!await ask("Undo the last ballot?", `Ballot ${vote.ballots.length} is taken out and not shown. Its voter votes again.`, "Undo")) return;
  vote.ballots.pop(); draft = []; keep(); showVote();
});
$("close-vote").addEventListener("click", async () => {
  if (!await ask("Close the vote?", `${plural(vote.ballots.length, "ballot")} will be counted and everybody sees the standing. No more ballots after that.`, "Close and count")) return;
  vote.closed = true; draft = []; keep(); showVote();
  $("result").scrollIntoView(); $("result-title").focus();
});
$("vote-new").addEventListener("click", async () => {
  if (!await ask("Start a new vote?", "The ballots of this vote are thrown away. Save them first if you want to keep them.", "Throw away")) return;
  vote = null; draft = []; keep(); showVote();
});
for (const id of ["export", "export-result"]) $(id).addEventListener("click", () => save("ballots.csv", csvOf(vote), "text/csv"));

$("paper").addEventListener("click", () => {
  $("paper-help").textContent = vote.method === "approval" ? "Picks with spaces between: 3 7 12" : "Favourite first: 7 > 3 > 12";
  $("paper-fault").textContent = ""; $("paper-text").value = "";
  $("paper-box").showModal();
});
$("paper-add").addEventListener("click", () => {
  const found = [];
  for (const [i, line] of $("paper-text").value.split("\n").entries()) {
    if (!line.trim()) continue;
    const {fault, numbers} = readBallot(vote.method, line, options.length);
    if (fault) { $("paper-fault").textContent = `Line ${i + 1}: ${fault}. Nothing was added.`; return; }
    found.push(numbers);
  }
  if (!found.length) { $("paper-fault").textContent = "No ballot was typed."; return; }
  vote.ballots.push(...found);
  keep(); showVote(); $("paper-box").close();
  $("said").textContent = `${plural(found.length, "paper ballot")} added.`;
});

$("cards").addEventListener("click", event => {
  const button = event.target.closest("button"), card = event.target.closest(".card");
  if (!button || !card) return;
  const number = +card.dataset.number;
  if (button.matches(".choose")) pick(number);
  else if (button.matches(".compare-button")) { compared = compared.includes(number) ? compared.filter(n => n !== number) : [...compared.slice(-1), number]; showCompared(); }
  else showViews([number]);
});

// Paper: a poster of all designs is the page itself; ballot slips are made when asked for.
$("print-poster").addEventListener("click", () => window.print());
$("print-slips").addEventListener("click", () => { $("slips-box").returnValue = ""; $("slips-box").showModal(); });
$("slips-box").addEventListener("close", () => {
  if ($("slips-box").returnValue !== "yes") return;
  const ranking = document.querySelector("input[name=slip-method]:checked").value === "ranking";
  const count = Math.min(400, Math.max(1, Math.round(+$("slip-count").value) || 1));
  const slip = element("section", "slip"), list = element("ol");
  for (const option of options) { const item = element("li"); item.append(element("span", "box"), element("span", "", label(option.number))); list.append(item); }
  slip.append(element("h2", "", data.title), element("p", "", ranking ? "Write 1 beside your favourite, 2 beside the next, and so on, as far as you care." : "Tick every design you would gladly build."), list);
  $("slips").className = "slips " + (options.length <= 12 ? "short" : options.length <= 40 ? "middling" : "long");
  $("slips").replaceChildren(...Array.from({length: count}, () => slip.cloneNode(true)));
  document.body.classList.add("print-slips");
  window.print();
});
window.addEventListener("afterprint", () => document.body.classList.remove("print-slips"));
showCompared();
showVote();
})();
