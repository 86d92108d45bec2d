// Tabs: arrow keys go from one to the next, and one panel is shown at a time.

/** Make a row of tabs; `chosen` is told the name of the one that is picked. */
export function tabs(row, chosen) {
  const all = [...row.querySelectorAll("[role=tab]")];
  row.addEventListener("click", (event) => {
    const tab = event.target.closest("[role=tab]");
    if (tab) chosen(tab.dataset.name);
  });
  row.addEventListener("keydown", (event) => {
    const there = all.filter((tab) => !tab.hidden);
    const at = there.indexOf(document.activeElement);
    const to = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: there.length - 1 }[event.key];
    if (to === undefined || at < 0) return;
    event.preventDefault();
    const tab = there[(to + there.length) % there.length];
    tab.focus();
    chosen(tab.dataset.name);
  });
  return (name) => {
    const found = all.find((tab) => tab.dataset.name === name && !tab.hidden) ?? all[0];
    for (const tab of all) {
      tab.setAttribute("aria-selected", String(tab === found));
      tab.tabIndex = tab === found ? 0 : -1;
      document.getElementById(tab.getAttribute("aria-controls")).hidden = tab !== found;
    }
  };
}
