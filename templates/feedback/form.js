// Gathers what a tester says, keeps it in this browser if it may, and saves it as one file. All words stand in the page.
{
  const { kit, edition, round, tester, paper, file } = document.documentElement.dataset;
  const find = (id) => document.getElementById(id);
  const all = (which, within = document) => [...within.querySelectorAll(which)];
  const form = find("form");
  const fields = form.elements;
  const memory = ["kitwright-feedback", kit, edition, round, tester].join(":");
  const sheets = all("[data-sheet]");
  const steps = all("[data-step]");
  const part = (problem, name) => problem.querySelector('[data-part="' + name + '"]');
  const picked = (within) => within.querySelector("input:checked")?.value ?? "";
  const chosen = (name) => form.querySelector("[name=" + name + "]:checked")?.value ?? "";

  const answer = () => ({
    format: 1,
    kit,
    edition,
    round: Number(round),
    tester,
    language: document.documentElement.lang,
    paper,
    printer: fields.printer.value,
    scale: { unit: chosen("unit"), across: fields.across.value, down: fields.down.value },
    size: chosen("size"),
    map: sheets.map((button) => button.dataset.sheet),
    sheets: all(".problem").map((problem) => ({
      sheet: problem.dataset.of,
      kind: part(problem, "kind").value,
      severity: part(problem, "severity").value,
      note: part(problem, "note").value,
    })),
    steps: steps
      .map((step) => ({
        step: step.dataset.step,
        title: step.dataset.title,
        answer: picked(step),
        note: step.querySelector("textarea").value,
      }))
      .filter((step) => step.answer || step.note),
    fit: fields.fit.value,
    overall: chosen("overall"),
    more: fields.more.value,
  });

  // Keeping: a browser may refuse it, and then the page says so.
  const keep = () => {
    let says = "kept";
    try {
      localStorage.setItem(memory, JSON.stringify(answer()));
    } catch {
      says = "refused";
    }
    const text = find("kept").dataset[says];
    if (find("kept").textContent !== text) find("kept").textContent = text;
  };
  const kept = () => {
    try {
      return JSON.parse(localStorage.getItem(memory) ?? "null");
    } catch {
      return null;
    }
  };

  // Problems on sheets
  const count = () => {
    for (const button of sheets) {
      const n = all(".problem").filter((problem) => problem.dataset.of === button.dataset.sheet).length;
      const noted = button.querySelector(".noted");
      noted.textContent = n ? noted.dataset.says.replace("{n}", n) : "";
      button.classList.toggle("has", n > 0);
    }
  };
  const add = (button) => {
    const problem = find("problem").content.firstElementChild.cloneNode(true);
    problem.dataset.of = button.dataset.sheet;
    problem.querySelector("legend").textContent = button.dataset.legend;
    problem.querySelector(".remove").addEventListener("click", () => {
      problem.remove();
      count();
      keep();
      button.focus();
    });
    find("problems").append(problem);
    count();
    return problem;
  };
  const WAYS = { ArrowUp: [-1, 0], ArrowDown: [1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1] };
  const neighbour = (button, [down, across]) => {
    const at = (other) => [other.dataset.row - button.dataset.row, other.dataset.column - button.dataset.column];
    const far = (other) => (down ? (at(other)[1] === 0 ? at(other)[0] * down : 0) : at(other)[0] === 0 ? at(other)[1] * across : 0);
    return sheets.filter((other) => far(other) > 0).sort((a, b) => far(a) - far(b))[0];
  };
  for (const button of sheets) {
    button.addEventListener("click", () => {
      part(add(button), "kind").focus();
      keep();
    });
    button.addEventListener("keydown", (event) => {
      const next = WAYS[event.key] && neighbour(button, WAYS[event.key]);
      if (!next) return;
      event.preventDefault();
      next.focus();
    });
  }

  // What was typed before. It comes from this browser's memory, which other pages may have written to: only texts are taken.
  const text = (value) => (typeof value === "string" ? value : "");
  const list = (value) => (Array.isArray(value) ? value.filter((entry) => entry && typeof entry === "object") : []);
  const pick = (inputs, value) => inputs.forEach((input) => (input.checked = input.value === value));
  const restore = (was) => {
    for (const name of ["printer", "fit", "more"]) fields[name].value = text(was[name]);
    fields.across.value = text(was.scale?.across);
    fields.down.value = text(was.scale?.down);
    pick(all("[name=unit]"), was.scale?.unit === "in" ? "in" : "mm");
    pick(all("[name=size]"), was.size);
    pick(all("[name=overall]"), was.overall);
    for (const one of list(was.sheets)) {
      const button = sheets.find((sheet) => sheet.dataset.sheet === one.sheet);
      const problem = button && add(button);
      if (problem) for (const name of ["kind", "severity", "note"]) part(problem, name).value = text(one[name]);
    }
    for (const one of list(was.steps)) {
      const step = steps.find((step) => step.dataset.step === one.step);
      if (!step) continue;
      pick(all("input", step), one.answer);
      step.querySelector("textarea").value = text(one.note);
    }
  };
  const was = kept();
  if (was && typeof was === "object") restore(was);

  form.addEventListener("input", keep);
  form.addEventListener("change", keep);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([JSON.stringify(answer(), null, 1)], { type: "application/json" }));
    link.download = file;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
    find("saved").textContent = find("saved").dataset.says;
  });
  // Enter in a line must not save the file by chance.
  form.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target.matches("input")) event.preventDefault();
  });
  find("print").addEventListener("click", () => window.print());
  find("clear").addEventListener("click", () => {
    if (!window.confirm(find("clear").dataset.sure)) return;
    form.reset();
    find("problems").replaceChildren();
    find("saved").textContent = "";
    count();
    try {
      localStorage.removeItem(memory);
    } catch {}
  });
  keep();
}
