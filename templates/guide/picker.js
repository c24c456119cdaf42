// Shows which pages to print, and marks their sheets on the map. All words stand in the page; without this nothing is missing.
{
  const find = (id) => document.getElementById(id);
  const [paper, size] = [find("picker-paper"), find("picker-size")];
  const mark = (row, on) => {
    row.classList.toggle("picked", on);
    if (on) row.setAttribute("aria-current", "true");
    else row.removeAttribute("aria-current");
  };
  // The first size is none.
  const show = () => {
    let picked = null;
    for (const table of document.querySelectorAll("table.sizes")) {
      const here = table.dataset.paper === paper.value;
      [...table.tBodies[0].rows].forEach((row, index) => {
        const on = here && index + 1 === size.selectedIndex;
        mark(row, on);
        if (on) picked = row;
      });
    }
    find("picker-result").hidden = !picked;
    const labels = picked ? picked.dataset.sheets : "";
    find("picker-pages").textContent = picked ? picked.querySelector(".pages").textContent : "";
    find("picker-sheets").textContent = labels;
    for (const map of document.querySelectorAll("figure.map")) {
      const here = picked && map.dataset.paper === paper.value;
      for (const cell of map.querySelectorAll("[data-sheet]")) {
        const needed = labels.split(" ").includes(cell.dataset.sheet);
        cell.classList.toggle("on", here && needed);
        cell.classList.toggle("off", here && !needed);
      }
    }
  };
  paper.addEventListener("change", show);
  size.addEventListener("change", show);
  show();
  find("picker").hidden = false;
}
