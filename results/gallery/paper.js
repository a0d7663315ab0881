// Paper ballots: a form like the slip, or lines of text. addPaper takes ballots of places and says
// whether it did.
const slipInputs = () => [...$("slip-fields").querySelectorAll("input")];
let added = 0;
const sayAdded = () => { $("paper-said").textContent = added ? say("paper_added", {n: added}) : say("paper_intro"); };
const openPaper = () => {
  const ranking = vote.method === "ranking";
  added = 0; sayAdded();
  $("slip-help").textContent = say(ranking ? "slip_help_ranking" : "slip_help_approval");
  $("paper-help").textContent = say(ranking ? "paper_help_ranking" : "paper_help_approval");
  $("slip-fields").replaceChildren(...onBallot().map(number => {
    const field = element("label", ranking ? "" : "tick"), input = element("input");
    input.type = ranking ? "text" : "checkbox"; input.dataset.number = number;
    if (ranking) { input.inputMode = "numeric"; input.maxLength = 4; input.autocomplete = "off"; }
    field.append(input, element("span", "", label(number)));
    return field;
  }));
  $("slip-fault").textContent = $("paper-fault").textContent = $("paper-text").value = "";
  $("paper-box").showModal();
  slipInputs()[0].focus();
};
const addSlip = async places => {
  if (!await addPaper([{places}])) return;
  for (const input of slipInputs()) { input.value = ""; input.checked = false; }
  $("slip-fault").textContent = "";
  slipInputs()[0].focus();
};
for (const id of ["paper", "paper-late"]) $(id)?.addEventListener("click", openPaper);
$("slip-form").addEventListener("submit", event => {
  event.preventDefault();
  const index = input => guide.numbers.indexOf(+input.dataset.number), fail = text => { $("slip-fault").textContent = text; };
  if (vote.method === "approval") {
    const ticked = slipInputs().filter(input => input.checked);
    return ticked.length ? addSlip([ticked.map(index)]) : fail(say("slip_empty"));
  }
  const ranks = new Map();
  for (const input of slipInputs()) {
    const text = input.value.trim(), rank = readWhole(text, 9999);
    if (!text) continue;
    if (!rank) { input.focus(); return fail(say("slip_rank", {word: text, name: label(+input.dataset.number)})); }
    ranks.set(rank, [...ranks.get(rank) ?? [], index(input)]);
  }
  return ranks.size ? addSlip([...ranks.keys()].sort((a, b) => a - b).map(rank => ranks.get(rank))) : fail(say("slip_empty"));
});
$("slip-blank").addEventListener("click", () => addSlip([]));
$("paper-form").addEventListener("submit", async event => {
  event.preventDefault();
  const {ballots, fault, notices} = readTyped($("paper-text").value, {...guide, kind: kindOf(vote.method)}, knownCodes(), say);
  if (fault) { $("paper-fault").textContent = fault; return; }
  if (!await addPaper(ballots)) return;
  $("paper-text").value = "";
  $("paper-fault").textContent = notices.join(" ");
});
$("paper-text").addEventListener("keydown", event => { if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) { event.preventDefault(); $("paper-form").requestSubmit(); } });
$("paper-close").addEventListener("click", () => $("paper-box").close());
