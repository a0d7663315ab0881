// A ballot that goes to the server (tools/voting): picks here, the code of a slip, and an answer that
// says whether the ballot is on the disk there. Nothing of it is kept but the picks of this tab.
const vote = {method: data.ballot.method, among: null, closed: data.ballot.closed};
const guide = {numbers: designs.map(design => design.number)};
const draftKey = "sixtyfold-phone-" + data.id;
const isOpen = () => !vote.closed;
const onBallot = () => guide.numbers;
const ballotPaper = () => ({among: null, seed: 0});
const parse = text => { try { return JSON.parse(text); } catch (broken) { return null; } };
const kept = parse(session.get(draftKey));
let draft = {picks: Array.isArray(kept) && new Set(kept).size === kept.length && kept.every(number => guide.numbers.includes(number)) ? kept : []};
let cast = null, code = /^#[a-z]{6}$/.test(location.hash) ? location.hash.slice(1) : "";  // what was cast last, by whom
if (code) history.replaceState(null, "", location.pathname);
const keepDraft = () => session.set(draftKey, JSON.stringify(draft.picks));
document.body.classList.add("phone");
$("price").closest("label").hidden = true;
$("filter-box").querySelector("summary").textContent = say("filters");

const showVote = () => {
  const open = isOpen(), {picks} = draft, isCast = cast && JSON.stringify(cast) === JSON.stringify(picks);
  document.body.classList.toggle("voting", open);
  $("bar").hidden = !open;
  $("over").hidden = open;
  arrange();
  showChoosing();
  if (open) {
    $("voter").textContent = say(isCast ? "phone_is_cast" : cast ? "phone_not_yet" : "phone_ballot");
    $("said").textContent = picks.length ? sayPicks(picks) : isCast ? say("phone_blank") : say(vote.method === "approval" ? "pick_every" : "choose_in_order");
    $("cast").textContent = say(picks.length || isCast ? "cast" : "cast_blank");
    $("cast").classList.toggle("main", picks.length > 0 && !isCast);
    $("clear").disabled = !picks.length;
  }
  clearBar();
};
addEventListener("resize", clearBar);
const pick = number => {
  if (isOpen() && onBallot().includes(number)) togglePick(number);
  keepDraft(); showVote();
};
$("clear").addEventListener("click", () => { draft.picks = []; keepDraft(); showVote(); $("said").textContent = say("cleared"); });

const list = (place, picks) => place.replaceChildren(...picks.length ? picks.map(number => element("li", "", label(number))) : [element("li", "", say("phone_blank"))]);
const close = () => { vote.closed = true; if ($("code-box").open) $("code-box").close(); if ($("view").open) $("view").close(); showVote(); window.scrollTo({top: 0}); };
$("cast").addEventListener("click", () => {
  if ($("view").open) $("view").close();
  list($("code-list"), draft.picks);
  $("code-list").classList.toggle("ranked", vote.method === "ranking" && draft.picks.length > 0);
  $("code-text").value = code; $("code-fault").textContent = "";
  $("code-box").showModal();
  (code ? $("code-yes") : $("code-text")).focus();
});
$("code-no").addEventListener("click", () => $("code-box").close());

// Sent again when no answer came: the same ballot of the same slip counts once however often it
// arrives.
const send = async body => {
  for (let attempt = 0; ; ++attempt) {
    try {
      const reply = await fetch("/ballot", {method: "POST", headers: {"Content-Type": "application/json"}, body, signal: AbortSignal.timeout(8000)});
      if (reply.status !== 503 && reply.status !== 500) return (await reply.json()).outcome;
    } catch (none) { /* the server is away, or its answer was lost */ }
    if (attempt === 3) return "no-answer";
    await new Promise(resolve => setTimeout(resolve, 700 * 2 ** attempt));
  }
};
let sending = false;
$("code-form").addEventListener("submit", async event => {
  event.preventDefault();
  if (sending) return;
  const typed = $("code-text").value.toLowerCase().replaceAll(/[ -]/g, ""), picks = [...draft.picks];
  const fail = text => { $("code-fault").textContent = text; $("code-text").focus(); };
  if (typed.length !== 6) return fail(say("phone_code_short"));
  sending = true;
  $("code-yes").textContent = say("phone_sending"); $("code-fault").textContent = "";
  const places = !picks.length ? [] : vote.method === "ranking" ? picks.map(number => [number]) : [picks];
  const outcome = await send(JSON.stringify({gallery: data.id, code: typed, places}));
  sending = false;
  $("code-yes").textContent = say("cast");
  if (outcome === "closed") { close(); return tell(say("phone_closed"), say("phone_fault_closed")); }
  if (outcome !== "taken" && outcome !== "changed") return fail(say(`phone_fault_${outcome.replaceAll("-", "_")}`));
  code = typed; cast = picks;
  $("code-box").close();
  showVote();
  $("receipt-title").textContent = say(outcome === "taken" ? "phone_taken" : "phone_changed");
  list($("receipt-list"), picks);
  $("receipt-list").classList.toggle("ranked", vote.method === "ranking" && picks.length > 0);
  $("receipt").returnValue = "";
  $("receipt").showModal();
  $("receipt-title").focus();
});
$("receipt").addEventListener("close", () => {
  if ($("receipt").returnValue !== "next") return;
  code = ""; cast = null; draft.picks = []; keepDraft();
  resetArranging(); showVote();
  window.scrollTo({top: 0});
});

// Whoever comes back to the page learns that the vote was closed.
document.addEventListener("visibilitychange", async () => {
  if (document.hidden || vote.closed) return;
  try { if (!(await (await fetch("/state")).json()).open) close(); } catch (away) { /* cast will tell */ }
});
