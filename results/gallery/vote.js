// The vote. What is agreed lies under one key, and every ballot under a key of its own: windows
// that show the same page share them, and none can write over another's. A ballot's code is drawn
// by lot, so the order of the keys tells nobody who voted when.
const voteKey = "sixtyfold-vote-" + data.id, draftKey = "sixtyfold-draft-" + data.id;
const guide = {designs: designs.map(design => design.name), numbers: designs.map(design => design.number), gallery: data.id};
let vote = null, draft = {picks: [], seed: 0, last: ""}, unlocked = false;
const ballotKey = code => `sixtyfold-ballot-${data.id}-${vote.round}-${code}`;
const spoiledKey = () => `sixtyfold-spoiled-${data.id}-${vote.round}`;
const isOpen = () => !!vote && !vote.closed;
const kindOf = method => method === "ranking" ? "ranking" : "picks";
const drawSeed = () => crypto.getRandomValues(new Uint32Array(1))[0] || 1;
const onBallot = () => vote && vote.among || guide.numbers;
const ballotPaper = () => isOpen() ? {among: vote.among, seed: vote.shuffle ? draft.seed : 0} : {among: null, seed: 0};

// What is stored is read as carefully as a file.
const parse = text => { try { return JSON.parse(text); } catch (broken) { return null; } };
const isText = (value, most) => typeof value === "string" && value.length <= most;
const isVote = v => v && v.version === 2 && /^[a-z]{10}$/.test(v.round) && ["approval", "ranking"].includes(v.method) && typeof v.closed === "boolean" &&
  typeof v.shuffle === "boolean" && isText(v.code, 40) && isText(v.of, 80) && Number.isInteger(v.late) && Number.isInteger(v.saved) &&
  (v.among === null || Array.isArray(v.among) && v.among.length > 1 && v.among.every(number => byNumber.has(number)));
const isBallot = b => b && isText(b.of, 200) && Number.isInteger(b.count) && b.count >= 1 && Array.isArray(b.places) &&
  b.places.every(place => Array.isArray(place) && place.length && place.every(i => Number.isInteger(i) && i >= 0 && i < designs.length)) && new Set(b.places.flat()).size === b.places.flat().length;
const load = () => {
  const text = store.get(voteKey), stored = parse(text);
  if (text && !isVote(stored)) {  // never written over in silence
    store.drop(voteKey);
    save("vote-unreadable.txt", [voteKey, ...store.keys(`sixtyfold-ballot-${data.id}-`)].map(key => `${key} ${key === voteKey ? text : store.get(key)}`).join("\n"), "text/plain");
    tell(say("unread_title"), say("unread_text"));
  }
  vote = isVote(stored) ? stored : null;
  const kept = parse(session.get(draftKey));
  const isMine = vote && kept && kept.round === vote.round && Array.isArray(kept.picks) && kept.picks.every(number => onBallot().includes(number)) && new Set(kept.picks).size === kept.picks.length;
  draft = isMine ? {picks: kept.picks, seed: kept.seed >>> 0 || 1, last: String(kept.last)} : {picks: [], seed: drawSeed(), last: ""};
  if (vote) session.set(draftKey, JSON.stringify({...draft, round: vote.round}));
};
const keepVote = () => vote ? store.set(voteKey, JSON.stringify(vote)) : store.drop(voteKey);
const keepDraft = () => session.set(draftKey, JSON.stringify({...draft, round: vote.round}));
const readKept = () => {  // {ballots, unread}: each ballot with its code
  const start = ballotKey(""), found = store.keys(start).map(key => ({...parse(store.get(key)), code: key.slice(start.length)}));
  return {ballots: found.filter(isBallot), unread: found.filter(ballot => !isBallot(ballot)).length};
};
const knownCodes = () => { const start = ballotKey(""); return new Set(store.keys(start).map(key => key.slice(start.length))); };
const addBallot = ({places, of = vote.of, count = 1, code = randomCode()}) => {
  store.set(ballotKey(code), JSON.stringify({of, count, places}));
  return code;
};
const countVoters = ballots => ballots.reduce((sum, ballot) => sum + ballot.count, 0);
const keptSpoiled = () => (parse(store.get(spoiledKey())) ?? []).filter(line => isText(line, 2000));
const begin = settings => {
  vote = {version: 2, round: randomCode(), method: "approval", of: "", shuffle: false, code: "", closed: false, among: null, late: 0, saved: 0, ...settings};
  draft = {picks: [], seed: drawSeed(), last: ""};
  keepVote(); keepDraft();
};
const end = () => {
  for (const key of [...store.keys(ballotKey("")), spoiledKey()]) store.drop(key);
  vote = null; draft = {picks: [], seed: 0, last: ""}; keepVote();
};
$("memory-note").hidden = store.lasting;

// Another window of this page cast, closed or began something.
const follow = () => { const was = JSON.stringify(vote); load(); if (JSON.stringify(vote) !== was && isOpen()) unlocked = false; showVote(); };
window.addEventListener("storage", event => { if (!event.key || event.key.includes(data.id)) follow(); });
document.addEventListener("visibilitychange", () => { if (!document.hidden) follow(); });

const showVote = () => {
  const open = isOpen();
  document.body.classList.toggle("voting", open);
  if (!open) $("lead").open = false;
  $("bar").hidden = !open;
  $("result").hidden = !(vote && vote.closed);
  $("vote-open").disabled = !!vote;
  $("vote-open").textContent = say(!vote ? "vote" : open ? "vote_is_open" : "vote_is_closed");
  arrange();
  showChoosing();
  if (open) {
    const {ballots} = readKept(), n = countVoters(ballots), approval = vote.method === "approval", picks = draft.picks;
    $("voter").textContent = say("voter", {n: n + 1}) + (vote.of ? `, ${vote.of}` : "");
    $("said").textContent = picks.length ? sayPicks(picks) : say(approval ? "pick_every" : "choose_in_order");
    $("cast").textContent = say(picks.length ? "cast" : "cast_blank");
    $("cast").classList.toggle("main", picks.length > 0);
    $("clear").disabled = !picks.length;
    $("undo").disabled = !draft.last;
    $("export").disabled = $("close-vote").disabled = !n;
    if (document.activeElement !== $("class-now")) $("class-now").value = vote.of;
  }
  clearBar();
  if (vote && vote.closed) showResult();
};
$("lead").addEventListener("toggle", clearBar);
addEventListener("resize", clearBar);

const countBallots = ballots => (vote.method === "approval" ? countApproval : countSchulze)(ballots, designs.length);
const fileName = ballots => {
  const classes = [...new Set(ballots.map(ballot => ballot.of))], of = classes.length === 1 ? classes[0].normalize("NFKD").replaceAll(/[^\w-]+/g, "-").replaceAll(/^-+|-+$/g, "") : "";
  return `${vote.among ? "run-off" : "ballots"}${of ? "-" + of : ""}.csv`;  // rounds are not counted together
};
const showResult = () => {
  const approval = vote.method === "approval", {ballots, unread} = readKept(), counted = ballots.filter(ballot => ballot.places.length);
  const n = countVoters(counted), blank = countVoters(ballots) - n, among = onBallot();
  const rows = countBallots(counted).map(row => ({...row, number: designs[row.design].number})).filter(row => among.includes(row.number)).sort((a, b) => a.place - b.place || a.number - b.number);
  const best = rows.filter(row => row.place === rows[0].place);
  $("result-title").textContent = !n ? say("no_winner") : best.length === 1 ? say("wins", {name: byNumber.get(best[0].number).name, number: best[0].number}) : say("tie", {list: joinWords(best.map(row => label(row.number)))});
  $("runoff").hidden = !n || best.length < 2 || best.length === among.length && !!vote.among;
  $("winners").replaceChildren(...(n ? best.slice(0, 4) : []).map(row => {
    const figure = element("figure");
    figure.append(cards.get(row.number).querySelector(".picture svg").cloneNode(true), element("figcaption", "", label(row.number)));
    return figure;
  }));
  $("result-list").replaceChildren(...rows.map(row => {
    const item = element("li"), track = element("span", "track"), fill = element("span", "fill");
    const share = approval ? row.value / Math.max(1, n) : 1 - row.value / Math.max(1, designs.length - 1);
    fill.style.width = `${Math.round(70 * share)}%`;
    track.append(fill, element("span", "value", approval ? `${row.value}` : say("place", {nth: ordinal(row.place)})));
    item.dataset.number = row.number; item.dataset.place = row.place;
    item.append(element("span", "", label(row.number)), track);
    return item;
  }));
  const spoiled = [...keptSpoiled(), ...unread ? [say("unread_ballots", {n: unread})] : []];
  $("result-rule").textContent = [say("ballots", {n}) + (blank ? `, ${say("blank", {n: blank})}` : "") + (spoiled.length ? `, ${say("spoiled", {n: spoiled.length})}` : "") + (vote.late ? `, ${say("late", {n: vote.late})}` : "") + ".",
    say(approval ? "rule_approval" : "rule_ranking"), say("rule_ties")].join(" ");
  $("result-spoiled").hidden = !spoiled.length;
  $("result-spoiled").querySelector("summary").textContent = say("spoiled", {n: spoiled.length});
  $("result-spoiled").querySelector("ul").replaceChildren(...spoiled.map(line => element("li", "", line)));
  showClasses(counted, rows);
  const quote = text => /^[\w./-]+$/.test(text) ? text : `'${text.replaceAll("'", "'\\''")}'`;
  const folder = location.protocol === "file:" ? decodeURIComponent(location.pathname).replace(/\/[^/]*$/, "") || "/" : "";
  const command = element("code", "", `sixtyfold tally ${quote(fileName(ballots))}${folder ? ` --gallery ${quote(folder)}` : ""}`);
  $("result-next").replaceChildren(say("count_again") + " ", command);
};
// Each class by itself and all together: picks where they sum up, else places.
const showClasses = (counted, rows) => {
  const classes = [...new Set(counted.map(ballot => ballot.of))].sort((a, b) => a.localeCompare(b, language));
  $("result-classes").hidden = classes.length < 2;
  if (classes.length < 2) { $("result-classes").replaceChildren(); return; }
  const approval = vote.method === "approval", parts = [...classes.map(of => counted.filter(ballot => ballot.of === of)), counted];
  const counts = parts.map(countBallots), cell = row => approval ? row.value : `${row.place}.`;
  const table = element("table"), line = (kind, name, values) => { const tr = element("tr"), head = element("th", "", name); head.scope = kind === "th" ? "col" : "row"; tr.append(head, ...values.map(value => { const e = element(kind, "", value); if (kind === "th") e.scope = "col"; return e; })); return tr; };
  table.append(element("caption", "", say(approval ? "by_class_picks" : "by_class_places")),
    line("th", say("design"), [...classes.map(of => of || say("no_class")), say("all_classes")]),
    ...rows.map(row => line("td", label(row.number), counts.map(count => cell(count[row.design])))),
    line("td", say("ballots_word"), parts.map(countVoters)));
  $("result-classes").replaceChildren(table);
};

const pick = number => {
  load();
  if (!isOpen() || !onBallot().includes(number)) return showVote();
  togglePick(number);
  keepDraft(); showVote();
};
$("vote-open").addEventListener("click", () => { $("vote-start").returnValue = ""; $("vote-start").showModal(); });
$("vote-start").addEventListener("close", async () => {
  const way = $("vote-start").returnValue;
  if (way !== "yes" && way !== "files") return;
  load();
  if (vote) return showVote();
  if (way === "files") return openFiles();
  begin({method: document.querySelector("input[name=method]:checked").value, of: $("start-class").value.trim(), shuffle: $("start-shuffle").checked, code: $("start-code").value.trim()});
  resetArranging(); showVote();
});
$("cast").addEventListener("click", async () => {
  if (!draft.picks.length && !await ask(say("blank_title"), say("blank_text"), say("cast_blank"))) return;
  const picks = draft.picks, round = vote.round;
  load();
  if (!isOpen() || vote.round !== round) {
    showVote();
    return tell(say("gone_title"), say("gone_text"));
  }
  const indices = picks.map(number => guide.numbers.indexOf(number));
  const last = addBallot({places: !picks.length ? [] : vote.method === "ranking" ? indices.map(i => [i]) : [indices]});
  draft = {picks: [], seed: drawSeed(), last};
  keepDraft();
  $("lead").open = false; unlocked = false; compared = []; showCompared();
  if ($("view").open) $("view").close();
  resetArranging(); showVote();
  await ask(say("cast_title", {n: countVoters(readKept().ballots)}), say("cast_text"), say("next_voter"), {no: false});
  window.scrollTo({top: 0});
  const first = document.querySelector(".card:not([hidden]) .choose:not([hidden])");
  if (first) first.focus({preventScroll: true});
});
$("clear").addEventListener("click", () => { draft.picks = []; keepDraft(); showVote(); $("said").textContent = say("cleared"); });
$("undo").addEventListener("click", async () => {
  if (!await ask(say("undo_title"), say("undo_text"), say("undo_yes"))) return;
  load();
  store.drop(ballotKey(draft.last));
  draft = {...draft, picks: [], last: ""}; keepDraft(); showVote();
});
$("close-vote").addEventListener("click", async () => {
  if (!await ask(say("close_title"), say("close_text", {n: countVoters(readKept().ballots)}), say("close_yes"))) return;
  load();
  vote.closed = true; draft.picks = []; keepVote(); keepDraft(); showVote();
  $("result").scrollIntoView(); $("result-title").focus();
});
const saveBallots = () => {
  const {ballots} = readKept();
  save(fileName(ballots), writeBallots(kindOf(vote.method), ballots, guide), "text/csv");
  vote.saved = ballots.length; keepVote();
};
for (const id of ["export", "export-result"]) $(id).addEventListener("click", saveBallots);
$("vote-new").addEventListener("click", async () => {
  const unsaved = readKept().ballots.length !== vote.saved;
  if (!await ask(say("new_title"), say(unsaved ? "new_text_unsaved" : "new_text"), say("new_yes"))) return;
  end(); showVote();
});
$("runoff").addEventListener("click", async () => {
  const items = [...$("result-list").children], among = items.filter(item => item.dataset.place === items[0].dataset.place).map(item => +item.dataset.number).sort((a, b) => a - b);
  if (!await ask(say("runoff_title"), say("runoff_text", {list: joinWords(among.map(label))}), say("runoff_yes"))) return;
  saveBallots();
  const {method, of, shuffle, code} = vote;
  end(); begin({method, of, shuffle, code, among}); resetArranging(); showVote();
  window.scrollTo({top: 0});
});
$("class-now").addEventListener("change", () => { load(); vote.of = $("class-now").value.trim(); keepVote(); showVote(); });

// The leader's menu behind a code: it keeps the curious out, and is no lock.
$("lead").querySelector("summary").addEventListener("click", event => {
  if (!vote.code || unlocked || $("lead").open || location.hash === "#open") return;
  event.preventDefault();
  $("code-text").value = ""; $("code-fault").textContent = ""; $("code-box").returnValue = "";
  $("code-box").showModal();
});
$("code-form").addEventListener("submit", event => {
  if (event.submitter === $("code-no")) return;
  if ($("code-text").value.trim() === vote.code) { unlocked = true; $("code-box").addEventListener("close", () => { $("lead").open = true; $("lead").querySelector("summary").focus(); }, {once: true}); return; }
  event.preventDefault();
  $("code-fault").textContent = say("code_wrong"); $("code-text").select();
});

// Files of ballots: of other devices, or typed elsewhere. Without a vote they make one, closed.
const openFiles = () => { $("files").value = ""; $("files").click(); };
for (const id of ["import", "import-late"]) $(id).addEventListener("click", openFiles);
const decode = async file => {
  const bytes = new Uint8Array(await file.arrayBuffer());
  try { return new TextDecoder("utf-8", {fatal: true}).decode(bytes); } catch (other) { return new TextDecoder("iso-8859-1").decode(bytes); }
};
$("files").addEventListener("change", async () => {
  const chosen = [...$("files").files];
  if (!chosen.length) return;
  if (chosen.some(file => file.size > 16 << 20)) return tell(say("files_fault"), say("files_large"));
  const files = await Promise.all(chosen.map(async file => ({name: file.name, text: await decode(file)})));
  load();
  let read = null;
  try { read = readBallots(files, {...guide, kind: vote ? kindOf(vote.method) : undefined}, vote ? knownCodes() : new Set(), say); } catch (fault) { return tell(say("files_fault"), fault.message); }
  if (!vote) begin({method: read.kind === "ranking" ? "ranking" : "approval", closed: true});
  for (const ballot of read.ballots) addBallot(ballot);
  if (read.spoiled.length) store.set(spoiledKey(), JSON.stringify([...new Set([...keptSpoiled(), ...read.spoiled])].slice(0, 1000)));
  if (vote.closed && vote.saved) vote.late += countVoters(read.ballots);
  keepVote(); showVote();
  const blank = countVoters(read.ballots.filter(ballot => !ballot.places.length));
  await tell(say("files_read"), say("files_text", {n: countVoters(read.ballots)}) + (blank ? ` ${say("files_blank", {n: blank})}` : ""), [...read.spoiled, ...read.notices].slice(0, 60));
});

const addPaper = found => {
  load();
  for (const ballot of found) addBallot({...ballot, of: ballot.of || vote.of});
  const n = found.reduce((sum, {count = 1}) => sum + count, 0);
  added += n;
  if (vote.closed) vote.late += n;
  keepVote(); showVote(); sayAdded();
  return true;
};
{{paper}}
// Paper: a poster of all designs is the page itself; ballot slips are made when asked for.
$("print-poster").addEventListener("click", () => window.print());
$("print-slips").addEventListener("click", () => {
  if (vote) document.querySelector(`input[name=slip-method][value=${vote.method}]`).checked = true;
  $("slips-box").returnValue = ""; $("slips-box").showModal();
});
$("slips-box").addEventListener("close", () => {
  if ($("slips-box").returnValue !== "yes") return;
  const ranking = document.querySelector("input[name=slip-method]:checked").value === "ranking";
  const count = Math.min(400, Math.max(1, Math.round(+$("slip-count").value) || 1));
  const slip = element("section", "slip"), list = element("ol"), numbers = onBallot();
  for (const number of numbers) { const item = element("li"); item.append(element("span", "box"), element("span", "", label(number))); list.append(item); }
  slip.append(element("h2", "", data.title), element("p", "", say(ranking ? "slip_ranking_long" : "slip_approval")), list);
  $("slips").className = "slips " + (numbers.length <= 12 ? "short" : numbers.length <= 40 ? "middling" : "long");
  $("slips").replaceChildren(...Array.from({length: count}, () => slip.cloneNode(true)));
  document.body.classList.add("print-slips");
  window.print();
});
window.addEventListener("afterprint", () => document.body.classList.remove("print-slips"));
load();
