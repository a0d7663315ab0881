// Keys and buttons of the dialog whose stages show what is shared.
const listenToView = shared => {
  $("view").addEventListener("keydown", event => {
    if (event.target.matches("input") || !shared.views.length) return;
    const moves = {ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1]}[event.key];
    if (moves && event.shiftKey) shared.panBy(moves[0] * 0.1, -moves[1] * 0.1);
    else if (moves) shared.turnBy(moves[0] * 0.2, moves[1] * 0.2);
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
};
