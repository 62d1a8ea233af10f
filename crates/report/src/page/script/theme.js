// Light, dark, or as the system says; the choice is kept where the browser lets a page from the disk keep anything.
const themes = (() => {
  const root = document.documentElement;
  const listeners = [];
  const told = () => listeners.forEach((listener) => listener());
  const kept = (write) => {
    try {
      if (write !== undefined) localStorage.setItem("quietrail-theme", write);
      return localStorage.getItem("quietrail-theme");
    } catch {
      return null;
    }
  };
  const choose = (choice) => {
    if (choice === "auto") delete root.dataset.theme;
    else root.dataset.theme = choice;
    for (const button of document.querySelectorAll("[data-theme-choice]"))
      button.setAttribute("aria-pressed", String(button.dataset.themeChoice === choice));
    told();
  };
  const bar = document.querySelector("[data-themes]");
  bar.hidden = false;
  bar.addEventListener("click", (event) => {
    const choice = event.target.dataset.themeChoice;
    if (!choice) return;
    kept(choice);
    choose(choice);
  });
  const before = kept();
  if (before === "light" || before === "dark") choose(before);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", told);
  return {
    changed: (listener) => listeners.push(listener),
    colour: (name) => getComputedStyle(root).getPropertyValue(`--${name}`).trim(),
  };
})();
