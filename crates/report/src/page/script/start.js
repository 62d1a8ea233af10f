// Every chart of the page gets its curves.
{
  const all = JSON.parse(document.getElementById("curves").textContent);
  for (const figure of document.querySelectorAll("[data-chart]")) new Chart(figure, all[Number(figure.dataset.chart)]);
}
