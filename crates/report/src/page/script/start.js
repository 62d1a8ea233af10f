// Every chart of the page gets its curves.
const charts = (() => {
  const all = JSON.parse(document.getElementById("curves").textContent);
  const figures = [...document.querySelectorAll("[data-chart]")];
  return figures.map((figure) => new Chart(figure, all[Number(figure.dataset.chart)]));
})();
