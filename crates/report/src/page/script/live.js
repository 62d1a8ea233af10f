// The page follows the file that it is about: once a second it asks the script beside it which state there is now. What was
// zoomed, hidden and chosen is the same after it was loaded anew.
{
  const KEPT = "quietrail-charts";
  const place = document.querySelector("[data-state]");
  const known = place.dataset.state;
  const session = (write) => {
    try {
      if (write !== undefined) sessionStorage.setItem(KEPT, write);
      return sessionStorage.getItem(KEPT);
    } catch {
      return null;
    }
  };
  const before = JSON.parse(session() || "[]");
  charts.forEach((chart, at) => before[at] && chart.restore(before[at]));
  window.quietrailState = (state) => {
    if (state === known) return;
    session(JSON.stringify(charts.map((chart) => chart.kept())));
    location.reload();
  };
  setInterval(() => {
    const script = document.createElement("script");
    script.src = `${place.dataset.script}?${Date.now()}`;
    script.addEventListener("load", () => script.remove());
    script.addEventListener("error", () => script.remove());
    document.body.append(script);
  }, 1000);
}
