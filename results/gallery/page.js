"use strict";
(() => {
{{basics}}
{{count}}
{{ballots}}
{{view}}
const designs = data.designs, byNumber = new Map(designs.map(design => [design.number, design]));
const cards = new Map([...document.querySelectorAll(".card")].map(card => [+card.dataset.number, card]));

const label = number => `${number} ${byNumber.get(number).name}`;
// A question with an answer, or without `no` something to tell. Enter says yes.
const ask = (title, text, yes, {no = true, list = []} = {}) => new Promise(resolve => {
  $("ask-title").textContent = title; $("ask-text").textContent = text; $("ask-yes").textContent = yes;
  $("ask-no").hidden = !no; $("ask-list").hidden = !list.length;
  $("ask-list").replaceChildren(...list.map(line => element("li", "", line)));
  const dialog = $("ask");
  dialog.returnValue = "";
  dialog.addEventListener("close", () => resolve(dialog.returnValue === "yes"), {once: true});
  dialog.showModal();
});
const tell = (title, text, list) => ask(title, text, say("ok"), {no: false, list});

const store = makeStore("localStorage", () => { $("memory-note").hidden = false; tell(say("full_title"), say("full_text")); });
const session = makeStore("sessionStorage", () => {});

// The poster: as many columns as fill a sheet of paper.
document.body.classList.toggle("many", designs.length > 6);
document.body.classList.toggle("currency", data.currency !== "");
// In the dark, lines on dark colours are light; bare board is light enough for ink.
for (const {number, shape} of designs) if (shape.bare) cards.get(number).querySelector(".picture svg").classList.add("bare");
document.documentElement.style.setProperty("--poster-columns", designs.length > 40 ? 6 : designs.length > 16 ? 5 : designs.length > 6 ? 4 : 3);

followTheme(store, () => shared.draw());

// Sort and filter; folded on a narrow screen until wanted. A long page shows its first designs.
const foldAfter = 24;
let unfolded = false;
const addChoices = (select, values) => values.forEach(([value, text]) => { const o = element("option", "", text); o.value = value; select.append(o); });
addChoices($("filter-symmetry"), [...new Map(designs.map(o => [o.symmetry, o.symmetryWords])).entries()].sort());
addChoices($("filter-panels"), [...new Set(designs.map(o => o.panels))].sort((a, b) => a - b).map(n => [n, say("at_most", {n})]));
const sheets = [...new Set(designs.map(o => o.sheets))].filter(n => n > 0).sort((a, b) => a - b);
addChoices($("filter-sheets"), sheets.map(n => [n, say("at_most", {n})]));
addChoices($("filter-difficulty"), [...new Map(designs.map(o => [o.difficulty, o.difficultyWord])).entries()].sort((a, b) => a[0] - b[0]).map(([d, word]) => [d, say("or_easier", {word})]));
// By lot for one voter: the seed and the number alone decide.
const lotOf = (seed, number) => { let x = Math.imul(seed ^ number * 0x9e3779b1, 0x85ebca6b); x = Math.imul(x ^ x >>> 13, 0xc2b2ae35); return (x ^ x >>> 16) >>> 0; };
const arrange = () => {
  const key = $("sort").value, down = key.startsWith("-") ? -1 : 1, field = key.replace("-", "");
  const {among, seed} = ballotPaper();
  const sorted = [...designs].sort((a, b) => {
    if (field === "number" && seed) return lotOf(seed, a.number) - lotOf(seed, b.number);
    const x = a[field], y = b[field];
    return (typeof x === "string" ? x.localeCompare(y, language) : down * (x - y)) || a.number - b.number;
  });
  const text = $("filter-text").value.trim().toLowerCase();
  let fit = 0, shown = 0;
  for (const design of sorted) {
    const card = cards.get(design.number);
    const fits = (!among || among.includes(design.number)) &&
      (!$("filter-symmetry").value || design.symmetry === $("filter-symmetry").value) &&
      (!$("filter-panels").value || design.panels <= +$("filter-panels").value) &&
      (!$("filter-sheets").value || design.sheets > 0 && design.sheets <= +$("filter-sheets").value) &&
      (!$("filter-difficulty").value || design.difficulty <= +$("filter-difficulty").value) &&
      (!text || design.name.toLowerCase().includes(text) || String(design.number) === text);
    fit += fits;
    const isShown = fits && (unfolded || fit <= foldAfter);
    card.hidden = !fits;
    card.classList.toggle("folded", fits && !isShown);
    shown += isShown;
    $("cards").append(card);
  }
  const all = among ? among.length : designs.length;
  $("count").textContent = fit === all ? say("designs", {n: fit}) : say("designs_of", {n: all, shown: fit});
  $("fold").hidden = shown === fit;
  $("unfold").textContent = say("unfold", {n: fit - shown});
};
const visible = () => [...$("cards").children].filter(card => !card.hidden).map(card => +card.dataset.number);
const resetArranging = () => {
  for (const select of $("filters").querySelectorAll("select")) select.selectedIndex = 0;
  $("filter-text").value = "";
  unfolded = false;
  $("filter-box").open = !matchMedia("(max-width: 40rem)").matches;
};
$("filters").addEventListener("input", () => arrange());
$("filters").addEventListener("submit", event => event.preventDefault());
$("unfold").addEventListener("click", () => {
  const next = [...$("cards").children].find(card => card.classList.contains("folded"));
  unfolded = true; arrange();
  if (next) next.querySelector("button").focus();
});

// What the board costs: sheets times the price of one, as typed or as the page was made with. A
// price is read with a comma or a point; it is written as the language does.
const priceKey = "sixtyfold-price-" + data.id;
const digits = cost => cost < 100 && cost % 1 ? 2 : 0;
const writeCost = cost => `${cost.toLocaleString(language, {minimumFractionDigits: digits(cost), maximumFractionDigits: digits(cost)})} ${data.currency}`.trim();
const showPrice = () => {
  const text = $("price").value.trim(), price = /^\d*[.,]?\d*$/.test(text) ? Number(text.replace(",", ".")) : NaN, known = text !== "" && price >= 0 && price <= 1e6;
  $("price").setAttribute("aria-invalid", text !== "" && !known);
  document.body.classList.toggle("priced", known);
  for (const design of designs) {
    const cost = cards.get(design.number).querySelector(".cost");
    if (cost) cost.textContent = known ? writeCost(design.sheets * price) : say("type_price");
  }
};
$("price").value = store.get(priceKey) ?? (data.price > 0 ? data.price.toLocaleString(language, {maximumFractionDigits: 2, useGrouping: false}) : "");
$("price").addEventListener("input", () => { store.set(priceKey, $("price").value); showPrice(); });
showPrice();

// The large view: one design, or two that turn together at one scale.
let viewed = [];
const showViews = numbers => {
  const opening = !$("view").open;
  viewed = numbers;
  shared.views.forEach(view => view.close());
  shared.views = [];
  shared.pan = [0, 0];
  shared.radius = Math.max(...numbers.map(number => byNumber.get(number).shape.radius));
  $("stages").replaceChildren();
  const one = numbers.length === 1, dialog = $("view");
  dialog.classList.toggle("compare", !one);
  $("view-title").textContent = one ? label(numbers[0]) : say("side_by_side");
  $("view-back").hidden = $("view-next").hidden = !one || visible().length < 2;
  if (!dialog.open) dialog.showModal();
  shared.begin(byNumber.get(numbers[0]).shape);
  $("view-colour").setAttribute("aria-pressed", shared.bare);
  for (const number of numbers) {
    const design = byNumber.get(number), card = cards.get(number), stage = element("div", "stage");
    if (!one) {
      const head = element("div", "stage-head"), choose = element("button", "button choose");
      choose.type = "button"; choose.dataset.choose = number;
      choose.addEventListener("click", () => pick(number));
      head.append(element("h3", "", label(number)), choose);
      stage.append(head);
    }
    $("stages").append(stage);
    const canvas = element("canvas");
    canvas.tabIndex = 0;
    canvas.setAttribute("role", "application");
    canvas.setAttribute("aria-roledescription", say("canvas_role"));
    canvas.setAttribute("aria-label", say("canvas_label", {name: design.name}));
    stage.append(canvas);
    try {
      shared.views.push(new View(canvas, design.shape, shared));
    } catch (unable) {  // no WebGL here: the drawing stands still
      const still = element("div", "still");
      still.append(card.querySelector(".picture svg").cloneNode(true), element("p", "", say("no_webgl")));
      canvas.replaceWith(still);
    }
    const side = element("div", "side");
    side.tabIndex = 0;
    side.setAttribute("role", "region"); side.setAttribute("aria-label", say("facts_of", {name: label(number)}));
    if (one) { const part = element("div", "part"); part.append(card.querySelector("template").content.cloneNode(true)); side.append(part); }
    side.append(card.querySelector(".facts").cloneNode(true));
    if (one && design.reasons.length) side.append(element("p", "why", say("difficulty_because", {word: design.difficultyWord, reasons: design.reasons.join("; ")})));
    for (const note of card.querySelectorAll(".body .note")) side.append(note.cloneNode(true));
    stage.append(side);
  }
  document.querySelector(".controls").hidden = !shared.views.length;
  if (opening && shared.views.length) shared.views[0].canvas.focus({preventScroll: true});
  showChoosing();
  shared.draw();
};
const step = by => { const numbers = visible(), at = numbers.indexOf(viewed[0]); showViews([numbers[(at + by + numbers.length) % numbers.length]]); };
const spin = on => { $("view-spin").setAttribute("aria-pressed", on); shared.spin(on); };
$("view-back").addEventListener("click", () => step(-1));
$("view-next").addEventListener("click", () => step(1));
$("view-close").addEventListener("click", () => $("view").close());
$("view-choose").addEventListener("click", () => pick(viewed[0]));
$("view").addEventListener("close", () => {
  spin(false);
  shared.views.forEach(view => view.close()); shared.views = []; $("stages").replaceChildren();
  const card = viewed.length === 1 && cards.get(viewed[0]);
  if (card && !card.hidden) { card.querySelector(".picture").focus(); card.scrollIntoView({block: "nearest"}); }
});
listenToView(shared);
$("view-spin").addEventListener("click", () => spin(!shared.spinning));

// Choosing two to compare.
let compared = [];
const showCompared = () => {
  cards.forEach((card, number) => card.querySelector(".compare-button").setAttribute("aria-pressed", compared.includes(number)));
  $("compare-open").disabled = compared.length !== 2;
  $("compare-open").textContent = compared.length === 2 ? say("compare_these", {first: compared[0], second: compared[1]}) : compared.length ? say("compare_one_more") : say("compare_two");
};
$("compare-open").addEventListener("click", () => showViews(compared));

$("cards").addEventListener("click", event => {
  const button = event.target.closest("button"), card = event.target.closest(".card");
  if (!button || !card) return;
  const number = +card.dataset.number;
  if (button.matches(".choose")) pick(number);
  else if (button.matches(".compare-button")) { compared = compared.includes(number) ? compared.filter(n => n !== number) : [...compared.slice(-1), number]; showCompared(); }
  else showViews([number]);
});

// What a voter chooses, card by card. The vote below says whether it is open (isOpen), its method,
// what stands on the ballot (onBallot), and what is chosen so far (draft.picks).
const sayPicks = picks => vote.method === "approval" ? say("you_picked", {list: joinWords(picks.map(label))}) : picks.map((number, i) => `${ordinal(i + 1)} ${label(number)}`).join(", ");
const togglePick = number => {
  const at = draft.picks.indexOf(number);
  if (at >= 0) draft.picks.splice(at, 1); else draft.picks.push(number);
  if (vote.method === "approval") draft.picks.sort((a, b) => a - b);
};
// What has the focus is never hidden behind the bar.
const clearBar = () => { document.documentElement.style.scrollPaddingBottom = $("bar").hidden ? "" : `${$("bar").offsetHeight + 16}px`; };
const showChoosing = () => {
  const choose = (button, number) => {
    const at = isOpen() ? draft.picks.indexOf(number) : -1;
    button.setAttribute("aria-pressed", at >= 0);
    button.textContent = !isOpen() ? "" : vote.method === "approval" ? say(at >= 0 ? "picked" : "pick") : at >= 0 ? say("take_back", {nth: ordinal(at + 1)}) : say("make_choice", {nth: ordinal(draft.picks.length + 1)});
    button.setAttribute("aria-label", `${button.textContent}: ${label(number)}`);
    button.hidden = !onBallot().includes(number);
    return at >= 0;
  };
  cards.forEach((card, number) => card.classList.toggle("picked", choose(card.querySelector(".choose"), number)));
  if (viewed.length === 1) choose($("view-choose"), viewed[0]);
  document.querySelectorAll("[data-choose]").forEach(button => choose(button, +button.dataset.choose));
};

{{vote}}

resetArranging();
showCompared();
showVote();
})();
