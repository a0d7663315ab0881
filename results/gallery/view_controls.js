// Keys and buttons of the views that share what is given. `before` is called with what is about to
// happen, "turn" or "reset".
const arrowKeys = {ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1]};
// Whether the key is one of the view's: then it was followed. Shift moves in place of turning, or
// turns all the same.
const followKey = (shared, event, before = () => {}, shiftMoves = true) => {
  const arrow = arrowKeys[event.key];
  if (arrow && event.shiftKey && shiftMoves) shared.panBy(arrow[0] * 0.1, -arrow[1] * 0.1);
  else if (arrow) { before("turn"); shared.turnBy(arrow[0] * 0.2, arrow[1] * 0.2); }
  else if (event.key === "+" || event.key === "=") shared.zoomBy(1.15);
  else if (event.key === "-") shared.zoomBy(1 / 1.15);
  else if (event.key === "0") { before("reset"); shared.reset(); }
  else return false;
  event.preventDefault();
  return true;
};
const listenToButtons = (shared, before = () => {}) => {
  document.querySelectorAll("[data-turn]").forEach(button => button.addEventListener("click", () => { const [right, down] = button.dataset.turn.split(",").map(Number); before("turn"); shared.turnBy(right * 0.25, down * 0.25); }));
  document.querySelectorAll("[data-zoom]").forEach(button => button.addEventListener("click", () => shared.zoomBy(button.dataset.zoom > 0 ? 1.25 : 0.8)));
  $("view-reset").addEventListener("click", () => { before("reset"); shared.reset(); });
};
// The dialog whose stages show what is shared.
const listenToView = shared => {
  $("view").addEventListener("keydown", event => { if (!event.target.matches("input") && shared.views.length) followKey(shared, event); });
  listenToButtons(shared, what => { if (what === "reset") $("view-apart").value = shared.apart = 0; });
  $("view-apart").addEventListener("input", event => { shared.apart = event.target.value / 100; shared.draw(); });
  $("view-colour").addEventListener("click", event => { shared.bare = !shared.bare; event.target.setAttribute("aria-pressed", shared.bare); shared.draw(); });
};
