"use strict";
(() => {
{{basics}}
{{ballots}}
const designs = data.designs, byNumber = new Map(designs.map(design => [design.number, design]));
const label = number => `${number} ${byNumber.get(number).name}`;
const ask = (title, text, yes, no = true) => new Promise(resolve => {
  $("ask-title").textContent = title; $("ask-text").textContent = text; $("ask-yes").textContent = yes; $("ask-no").hidden = !no;
  const dialog = $("ask");
  dialog.returnValue = "";
  dialog.addEventListener("close", () => resolve(dialog.returnValue === "yes"), {once: true});
  dialog.showModal();
});
const tell = (title, text) => ask(title, text, say("ok"), false);
followTheme(makeStore("localStorage", () => {}), () => {});
$("whole").addEventListener("click", () => document.fullscreenElement ? document.exitFullscreen() : document.documentElement.requestFullscreen());

// What the paper form asks of a vote.
const vote = {method: data.method}, guide = {designs: designs.map(design => design.name), numbers: designs.map(design => design.number), gallery: data.id};
const kindOf = method => method === "ranking" ? "ranking" : "picks";
const onBallot = () => guide.numbers, typed = [], knownCodes = () => new Set(typed);

// The server answers or is away; what it says is shown.
let state = null, isAway = false;
const send = async (name, body) => {
  try {
    const reply = await fetch(name, {method: "POST", headers: {"Content-Type": "application/json"}, body: JSON.stringify(body)});
    return await reply.json();
  } catch (away) { return {taken: false, said: say("desk_lost")}; }
};
const addPaper = async found => {
  const ballots = found.map(({places, count = 1, of = "", code = randomCode()}) => ({code, count, class: of, places: places.map(place => place.map(i => guide.numbers[i]))}));
  const {taken, said} = await send("paper", {ballots});
  if (!taken) { $("slip-fault").textContent = `${say("desk_not_taken")} ${said}`; return false; }
  typed.push(...ballots.map(ballot => ballot.code));
  added += ballots.reduce((sum, {count}) => sum + count, 0);
  sayAdded(); follow();
  return true;
};
{{paper}}
$("paper-back").addEventListener("click", async () => {
  const {taken, said} = await send("paper-back", {code: typed.at(-1)});
  if (taken) typed.pop();
  $("lead-said").textContent = taken ? say("desk_paper_gone") : said;
  follow();
});

// With neither visit nor ballot after this long, phones may not be able to get here.
const isLate = () => performance.now() > 60000;
const show = () => {
  const {given, cast, paper, late, closed, visitors} = state;
  $("cast-count").textContent = cast;
  $("cast-of").textContent = say("desk_cast_of", {n: given});
  $("meter").style.width = `${100 * cast / given}%`;
  $("more-counts").textContent = [...visitors ? [say("desk_visitors", {n: visitors})] : cast ? [] : [say("desk_no_visitor")], ...paper ? [say("desk_typed", {n: paper})] : []].join(" ");
  $("invite").classList.toggle("over", closed);
  $("apart").hidden = closed || !$("lead").open && (visitors > 0 || cast > 0 || !isLate());
  $("slips-file").hidden = $("more").hidden = $("close-vote").hidden = closed;
  $("slips-file").textContent = say("desk_slips", {n: given});
  $("paper").textContent = say(closed ? "late_ballots" : "paper");
  $("paper-back").hidden = !typed.length;
};
$("lead").addEventListener("toggle", () => state && show());
let shown = "";
const follow = async () => {
  try {
    const reply = await fetch("state", {signal: AbortSignal.timeout(5000)});
    state = await reply.json();
    isAway = false;
  } catch (away) { isAway = true; }
  $("alarm").hidden = !isAway;
  if (isAway || !state) return;
  show();
  const key = `${state.closed} ${state.paper}`;
  if (state.closed && key !== shown) { shown = key; await showResult(); }
};
const showResult = async () => {
  const result = await (await fetch("result")).json(), {rows, voters, blank, spoiled} = result, approval = data.method === "approval";
  const best = rows.filter(row => row.place === 1);
  $("result").hidden = false;
  $("result-title").textContent = !best.length ? say("no_winner") : best.length === 1 ? say("wins", {name: byNumber.get(best[0].number).name, number: best[0].number}) : say("tie", {list: joinWords(best.map(row => label(row.number)))});
  $("winners").replaceChildren(...best.slice(0, 4).map(row => {
    const figure = element("figure"), picture = element("img");
    picture.src = `picture/${row.number}.svg`; picture.alt = label(row.number);
    figure.append(picture, element("figcaption", "", label(row.number)));
    return figure;
  }));
  $("result-list").replaceChildren(...rows.map(row => {
    const item = element("li"), track = element("span", "track"), fill = element("span", "fill");
    const share = approval ? row.score / Math.max(1, voters) : 1 - (row.place - 1) / Math.max(1, rows.length - 1);
    fill.style.width = `${Math.round(70 * share)}%`;
    track.append(fill, element("span", "value", approval ? `${row.score}` : say("place", {nth: ordinal(row.place)})));
    item.dataset.number = row.number; item.dataset.place = row.place;
    item.append(element("span", "", label(row.number)), track);
    return item;
  }));
  $("result-rule").textContent = [say("ballots", {n: voters}) + (blank ? `, ${say("blank", {n: blank})}` : "") + (spoiled.length ? `, ${say("spoiled", {n: spoiled.length})}` : "") + (state.late ? `, ${say("late", {n: state.late})}` : "") + ".",
    say(approval ? "rule_approval" : "rule_ranking"), say("rule_ties")].join(" ");
  $("result-spoiled").hidden = !spoiled.length;
  $("result-spoiled").querySelector("summary").textContent = say("spoiled", {n: spoiled.length});
  $("result-spoiled").querySelector("ul").replaceChildren(...spoiled.map(line => element("li", "", line)));
};
$("close-vote").addEventListener("click", async () => {
  if (!await ask(say("close_title"), `${say("close_text", {n: state.cast + state.paper})} ${say("desk_close_text")}`, say("close_yes"))) return;
  const {taken, said} = await send("close", {});
  if (!taken) return tell(say("desk_not_taken"), said);
  $("lead").open = false;
  await follow();
  $("result").scrollIntoView(); $("result-title").focus();
});
$("more").addEventListener("click", () => { $("more-box").returnValue = ""; $("more-box").showModal(); });
$("more-box").addEventListener("close", async () => {
  if ($("more-box").returnValue !== "yes") return;
  const {taken, said} = await send("slips", {more: Math.round(+$("more-count").value) || 0});
  $("lead-said").textContent = taken ? say("desk_more_done") : said;
  follow();
});
setInterval(follow, 1500);
follow();
})();
